// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// drawColours draws a quilt whose fabrics have some colours each, all
// different.
func drawColours(t *rapid.T, order ColourOrder) Spec {
	s := Spec{
		Angle: geometry.Angle(rapid.SampledFrom([]float64{45, 60, 60, 75}).Draw(t, "angle")),
		Seam:  0.25, UsableWidth: rapid.Float64Range(20, 120).Draw(t, "usable width"), ColourOrder: order,
		Layout:  drawLayout(t, 4),
		Columns: rapid.IntRange(1, 8).Draw(t, "columns"), Rows: rapid.IntRange(1, 8).Draw(t, "rows"),
		MixLeans: rapid.Bool().Draw(t, "mix leans"), Stagger: rapid.Bool().Draw(t, "stagger"),
		Spare: rapid.IntRange(0, 3).Draw(t, "spare"),
	}
	fabrics := rapid.IntRange(1, 3).Draw(t, "fabrics")
	for i := range rapid.IntRange(1, 3).Draw(t, "strips") {
		s.Strips = append(s.Strips, Strip{Cut: rapid.Float64Range(1.5, 4).Draw(t, "cut"), Fabric: fmt.Sprint(i % fabrics)})
	}
	for i := range fabrics {
		f := Fabric{Key: fmt.Sprint(i)}
		for c := range rapid.IntRange(1, 5).Draw(t, "colours") {
			f.Colours = append(f.Colours, Colour{uint8(40 * c), uint8(80 * i), rapid.Uint8().Draw(t, "blue")})
		}
		s.Fabrics = append(s.Fabrics, f)
	}
	return s
}

// drawLayout draws a setting or a layout of one's own, up to so many cells wide and
// high.
func drawLayout(t *rapid.T, most int) Layout {
	l, err := NewLayout(outside.DrawRepeat(t, most))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// fatal is a test, of rapid or not.
type fatal interface{ Fatal(args ...any) }

func planOf(t fatal, s Spec) *Plan {
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// used counts the pieces that are cut from each strip set.
func used(p *Plan) []Count {
	out := make([]Count, len(p.Fewest.Layouts))
	for _, pl := range p.Pieces {
		out[pl.StripSet][pl.Lean][pl.Shape]++
	}
	return out
}

// Where edge triangles of several kinds lie side by side and not all match, those of
// each kind come from what gives them.
func TestEdgesOfSeveralKinds(t *testing.T) {
	l, err := NewLayout([]string{"LR", "LL", "rr", "rr"})
	if err != nil {
		t.Fatal(err)
	}
	p := planOf(t, Spec{
		Angle: 45, Seam: 0.25, UsableWidth: 23, Layout: l, Columns: 4, Rows: 6,
		Strips:  []Strip{{Cut: 2.366, Fabric: "a"}},
		Fabrics: []Fabric{{Key: "a", Colours: []Colour{{0, 0, 252}, {40, 0, 1}, {80, 0, 196}, {120, 0, 186}}}},
		Backing: struct{ UsableWidth, Extra float64 }{42, 4},
	})
	for k, u := range used(p) {
		for lean := range u {
			for shape, n := range u[lean] {
				if gives := p.Fewest.Layouts[k].Gives; n > gives[lean][shape] {
					t.Errorf("strip set %d: %v used, gives %v", k, u, gives)
				}
			}
		}
	}
}

// Law: in every order each piece comes from a strip set that gives it, none
// gives more than is cut from it, and together they give what is needed and
// the spares, no more.
func TestEveryPieceIsCutFromWhatGivesIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.SampledFrom([]ColourOrder{Gradient, Scattered, Bands}).Draw(t, "order")
		p := planOf(t, drawColours(t, order))
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		var given Count
		for k, u := range used(p) {
			for lean := range u {
				for shape, n := range u[lean] {
					gives := p.Fewest.Layouts[k].Gives[lean][shape]
					given[lean][shape] += gives
					if n > gives {
						t.Fatalf("%v: strip set %d: %v used, gives %v", order, k, u, p.Fewest.Layouts[k].Gives)
					}
				}
			}
		}
		if want := p.Need.With(p.Spec.Spare); given != want {
			t.Fatalf("%v: given %v, needed %v", order, given, want)
		}
	})
}

// Greys are laid from the darkest at the bottom to the lightest at the top,
// in whatever order the pattern names them.
func TestGradientOfGreys(t *testing.T) {
	greys := rand.New(rand.NewPCG(3, 4)).Perm(9)
	s := Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 9, Rows: 20,
		Strips:  []Strip{{Cut: 3, Fabric: "a"}, {Cut: 2, Fabric: "b"}},
		Fabrics: []Fabric{{Key: "a"}, {Key: "b", Colours: []Colour{{200, 0, 0}}}},
	}
	for _, v := range greys {
		s.Fabrics[0].Colours = append(s.Fabrics[0].Colours, Colour{uint8(20 + 25*v), uint8(20 + 25*v), uint8(20 + 25*v)})
	}
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	var last [2]uint8
	for _, pl := range p.Pieces {
		if pl.Shape != geometry.Diamond {
			continue
		}
		if now := p.Colours(pl.StripSet)[0][0]; now < last[pl.Lean] {
			t.Fatalf("%+v: grey %d above %d", pl, now, last[pl.Lean])
		} else {
			last[pl.Lean] = now
		}
	}
	if last != [2]uint8{220, 220} {
		t.Errorf("the lightest greys used are %v", last)
	}
}

// Law: scattered, strip set k takes colour k mod n of each fabric; and no order
// takes a strip set more but bands of several colours.
func TestColoursInTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawColours(t, rapid.SampledFrom([]ColourOrder{Gradient, Scattered, Bands}).Draw(t, "order"))
		if s.ColourOrder == Bands {
			for i := range s.Fabrics {
				s.Fabrics[i].Colours = s.Fabrics[i].Colours[:1]
			}
		}
		p := planOf(t, s)
		for k := range p.Fewest.Layouts {
			for i, c := range p.Colours(k) {
				if s.ColourOrder == Gradient {
					break
				}
				f := s.fabric(s.Strips[i].Fabric)
				if want := k % len(f.Colours); c != f.Colours[want] || p.ColourNumbers(k)[i] != want {
					t.Fatalf("strip set %d, strip %d: colour %v, number %d, want %d", k, i, c, p.ColourNumbers(k)[i], want)
				}
			}
		}
		plain := p.Set.Fewest(p.Need.With(s.Spare), p.terms(p.Yield.Length))
		if len(plain.Layouts) != len(p.Fewest.Layouts) || len(p.groups) != 1 {
			t.Fatalf("%d strip sets in %d groups, plainly %d", len(p.Fewest.Layouts), len(p.groups), len(plain.Layouts))
		}
	})
}

// Law: in the bands order every piece has the colours of its bands, and those
// patches of a strip that touch have one colour, judged from the outlines.
func TestBandsKeepTheirColour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawColours(t, Bands)
		s.UsableWidth = 120
		s.Columns, s.Rows = min(s.Columns, 5), min(s.Rows, 5)
		p := planOf(t, s)
		if !p.Fewest.OK() {
			t.Fatal("strips of 120 in are too short")
		}
		for i, st := range s.Strips {
			f := s.fabric(st.Fabric)
			n := len(f.Colours)
			var patches []geometry.Polygon
			var colours []Colour
			for _, pl := range p.Pieces {
				c := p.Colours(pl.StripSet)[i]
				if want := f.Colours[(p.Band(pl, i)+100*n)%n]; c != want {
					t.Fatalf("%+v strip %d: colour %v, its band has %v", pl, i, c, want)
				}
				colours = append(colours, c)
				patches = append(patches, p.Standing(pl).Patches[i].Move(p.Centre(pl)))
			}
			if len(s.Strips) == 1 {
				continue // every piece touches pieces of other bands
			}
			for a := range patches {
				for b := range a {
					if colours[a] != colours[b] && shareEdge(patches[a], patches[b]) {
						t.Fatalf("strip %d of %+v and of %+v touch, %v and %v", i, p.Pieces[a], p.Pieces[b], colours[a], colours[b])
					}
				}
			}
		}
	})
}

// Law: the strip sets of each row of colours are the fewest that give the
// pieces of those colours and their spares, and no spare is lost.
func TestBandsTakeTheFewest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawColours(t, Bands)
		p := planOf(t, s)
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		type colours struct{ a, b, c int }
		key := func(n []int) colours {
			n = append(slices.Clone(n), 0, 0)
			return colours{n[0], n[1], n[2]}
		}
		need, given := map[colours]Count{}, map[colours]Count{}
		number := map[colours]int{}
		for _, pl := range p.Pieces {
			k := key(p.ColourNumbers(pl.StripSet))
			c := need[k]
			c[pl.Lean][pl.Shape]++
			need[k] = c
		}
		for i, l := range p.Fewest.Layouts {
			k := key(p.ColourNumbers(i))
			c := given[k]
			for lean := range c {
				for shape := range c[lean] {
					c[lean][shape] += l.Gives[lean][shape]
				}
			}
			given[k] = c
			number[k]++
		}
		total := 0
		for k, g := range given {
			for lean := range g {
				for shape, n := range g[lean] {
					spare := n - need[k][lean][shape]
					if spare < 0 || need[k][lean][shape] == 0 && n > 0 {
						t.Fatalf("colours %v: %v given, %v needed", k, g, need[k])
					}
				}
			}
			if f := p.Set.Fewest(g, p.terms(p.Yield.Length)); len(f.Layouts) != number[k] {
				t.Fatalf("colours %v: %d strip sets, %d suffice", k, number[k], len(f.Layouts))
			}
			total += number[k]
		}
		plain := len(p.Set.Fewest(p.Need.With(s.Spare), p.terms(p.Yield.Length)).Layouts)
		if p.BandsCost != total-plain {
			t.Fatalf("%d strip sets, plainly %d: %d more", total, plain, p.BandsCost)
		}
	})
}

// With more colours than bands each band has its own: in zigzag a right-leaning
// strip set pairs band i of the lowest strip with band i of the highest, a
// left-leaning one band i with band i + 1, as the lattice has it.
func TestBandsPairUp(t *testing.T) {
	s := Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 6, Rows: 7, ColourOrder: Bands,
		Strips:  []Strip{{Cut: 2, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
		Fabrics: []Fabric{{Key: "a"}, {Key: "b"}},
	}
	for c := range 8 {
		s.Fabrics[0].Colours = append(s.Fabrics[0].Colours, Colour{uint8(c)})
		s.Fabrics[1].Colours = append(s.Fabrics[1].Colours, Colour{0, uint8(c)})
	}
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	for k, l := range p.Fewest.Layouts {
		n := p.ColourNumbers(k)
		right := l.Gives.Lean(geometry.Right) > 0
		if right && n[1] != n[0] || !right && n[1] != n[0]+1 || right == (l.Gives.Lean(geometry.Left) > 0) {
			t.Errorf("strip set %d gives %v from colours %v", k, l.Gives, n)
		}
	}
	// Right, then left, and those that are cut alike side by side.
	for i, like := range p.Alike() {
		for _, other := range p.Alike()[:i] {
			if other.Lean == like.Lean && other.Word == like.Word || other.Lean > like.Lean {
				t.Errorf("strip sets %+v after %+v", like, other)
			}
		}
	}
}

// Law: pieces come from strip sets that were sewn for just their bands.
func TestStripSetsSewnForBands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := planOf(t, drawColours(t, Bands))
		var sets []Sewn
		open := map[string]int{}
		for _, pl := range rapid.Permutation(p.Pieces).Draw(t, "pieces") {
			// A few pieces each.
			bands := p.bandsOf(pl)
			k, ok := open[fmt.Sprint(bands)]
			if !ok || sets[k].Gives.Total() >= 3 {
				k = len(sets)
				open[fmt.Sprint(bands)] = k
				sets = append(sets, Sewn{Layout: strip.Layout{Lean: pl.Lean}, Bands: [][]int{bands}})
			}
			sets[k].Gives[pl.Lean][pl.Shape]++
		}
		q := p.WithStripSets(sets, nil)
		for k, u := range used(q) {
			if u != sets[k].Gives {
				t.Fatalf("strip set %d gives %v, of which %v are used", k, sets[k].Gives, u)
			}
		}
		for _, pl := range q.Pieces {
			if of, own := sets[pl.StripSet].Bands[0], q.bandsOf(pl); !slices.Equal(of, own) {
				t.Fatalf("%+v joins %v, its strip set %v", pl, own, of)
			}
		}
	})
}

// Colours of scraps are found among the fabric's, or are none of them.
func TestColoursOfWhatIsThere(t *testing.T) {
	p, err := New(Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 1, Rows: 1,
		Strips:  []Strip{{Cut: 2, Fabric: "a"}, {Cut: 2, Fabric: "b"}},
		Fabrics: []Fabric{{Key: "a", Colours: []Colour{{1}, {2}}}, {Key: "b", Colours: []Colour{{3}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	q := p.WithStripSets([]Sewn{{Layout: strip.Layout{Gives: Count{{9, 9, 9}, {9, 9, 9}}}, Colours: []Colour{{2}, {9}}}}, nil)
	if got := q.ColourNumbers(0); !slices.Equal(got, []int{1, -1}) {
		t.Errorf("colour numbers %v", got)
	}
	if got := q.Colours(0); !slices.Equal(got, []Colour{{2}, {9}}) {
		t.Errorf("colours %v", got)
	}
}
