// SPDX-License-Identifier: Apache-2.0

package strip_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

func init() { outside.FewCases(30) }

func drawSet(t *rapid.T) strip.Set {
	seam := rapid.Float64Range(0.1, 1).Draw(t, "seam")
	cuts := make([]float64, rapid.IntRange(1, 4).Draw(t, "strips"))
	for i := range cuts {
		cuts[i] = seam * rapid.Float64Range(2.2, 20).Draw(t, "cut over seam")
	}
	set, err := strip.New(cuts, seam,
		geometry.Angle(rapid.OneOf(rapid.Float64Range(15, 90), rapid.SampledFrom([]float64{45, 60, 90})).Draw(t, "angle")),
		rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"), 0)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// drawWord draws a row of pieces that may stand side by side.
func drawWord(t *rapid.T) string {
	var b strings.Builder
	b.WriteString(strings.Repeat("D", rapid.IntRange(0, 3).Draw(t, "diamonds")))
	open := rapid.Bool().Draw(t, "begins before a lower")
	if b.Len() > 0 || open {
		b.WriteString("L")
	}
	for range rapid.IntRange(0, 3).Draw(t, "groups") {
		b.WriteString("U" + strings.Repeat("D", rapid.IntRange(0, 3).Draw(t, "diamonds")) + "L")
	}
	if b.Len() == 0 || rapid.Bool().Draw(t, "ends after an upper") {
		b.WriteString("U" + strings.Repeat("D", rapid.IntRange(0, 3).Draw(t, "diamonds")))
	}
	return b.String()
}

// Laws of a row: all outlines lie in 0..Length and reach both ends, no two
// overlap, and every edge that is cut lies on a cut line.
func TestRowLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, word := drawSet(t), drawWord(t)
		if set.Angle == 60 && rapid.Bool().Draw(t, "mixed") {
			// Behind a lower, at its base line, left-leaning diamonds may stand.
			word = strings.ReplaceAll(word, "L", "L"+strings.Repeat("d", rapid.IntRange(1, 2).Draw(t, "left-leaning diamonds")))
		}
		lean := rapid.SampledFrom(geometry.Leans[:]).Draw(t, "lean")
		row, err := strip.NewRow(set, lean, word)
		if err != nil {
			t.Fatal(err)
		}
		cuts := row.Cuts()
		box := geometry.EmptyRect()
		for i := range row.Pieces {
			p := row.Piece(i)
			box = box.Union(p.Outline.Bounds())
			for j := range i {
				if a := overlap(p.Outline, row.Piece(j).Outline); a > 1e-9 {
					t.Fatalf("%s: pieces %d and %d overlap by %v", word, i, j, a)
				}
			}
			for k, e := range p.Edges {
				u, v := p.Outline[k], p.Outline[(k+1)%len(p.Outline)]
				if e.Kind != geometry.StripEdge && !onACut(cuts, u, v) {
					t.Fatalf("%s %v: %v of piece %d, %v to %v, is not cut", word, lean, e.Kind, i, u, v)
				}
			}
		}
		if math.Abs(box.Min.X) > 1e-9 || math.Abs(box.Max.X-row.Length) > 1e-9 {
			t.Fatalf("%s: outlines reach from %v to %v of %v", word, box.Min.X, box.Max.X, row.Length)
		}
		across := 0
		for i, c := range cuts {
			if c.Number != i+1 {
				t.Fatalf("cut %d has number %d", i+1, c.Number)
			}
			if c.Kind != strip.TipTrimCut {
				across++
				if i > 0 && c.Line.A.X+c.Line.B.X < cuts[i-1].Line.A.X+cuts[i-1].Line.B.X-1e-9 {
					t.Fatalf("cut %d lies left of the one before", c.Number)
				}
			}
		}
		if cuts[0].Kind != strip.Starting || across != len(word)+1 {
			t.Fatalf("%s: %d cuts across, first a %v", word, across, cuts[0].Kind)
		}
	})
}

func onACut(cuts []strip.Cut, u, v geometry.Point) bool {
	for _, c := range cuts {
		d := c.Line.B.Sub(c.Line.A)
		l := d.Len()
		d = d.Mul(1 / l)
		on := func(p geometry.Point) bool {
			r := p.Sub(c.Line.A)
			return math.Abs(d.Cross(r)) < 1e-9 && d.Dot(r) > -1e-9 && d.Dot(r) < l+1e-9
		}
		if on(u) && on(v) {
			return true
		}
	}
	return false
}

func overlap(a, b geometry.Polygon) float64 {
	for i := range b {
		if a = a.Left(b[i], b[(i+1)%len(b)]); a == nil {
			return 0
		}
	}
	return a.Area()
}

// Law: the yield is the largest row that fits, found here by laying rows out;
// and a strip set exactly as long as a row gives that row.
func TestYieldIsTheLongestRowThatFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set := drawSet(t)
		lengthOf := func(word string) float64 {
			row, err := strip.NewRow(set, geometry.Right, word)
			if err != nil {
				t.Fatal(err)
			}
			return row.Length
		}
		length := set.CutSide() * rapid.Float64Range(0.3, 9).Draw(t, "length over side")
		if rapid.Bool().Draw(t, "exact") {
			length = lengthOf(drawWord(t))
		}
		fits := func(word string) bool { return word == "" || lengthOf(word) <= length+geometry.Fit }
		most := func(before, after string) int {
			n := -1
			for k := 0; k < 30; k++ {
				if fits(before + strings.Repeat("D", k) + after) {
					n = k
				}
			}
			return n
		}
		y := set.Yield(length)
		value := func(p *int) int {
			if p == nil {
				return -1
			}
			return *p
		}
		if got, want := y.Plain, most("", ""); got != want {
			t.Fatalf("plain %d, want %d", got, want)
		}
		if got, want := value(y.OneTriangle), most("U", ""); got != want {
			t.Fatalf("one triangle %d, want %d", got, want)
		}
		if got, want := value(y.OneTriangle), most("", "L"); got != want {
			t.Fatalf("one triangle %d, at the other end %d", got, want)
		}
		if got, want := value(y.TwoTriangles), most("U", "L"); got != want {
			t.Fatalf("two triangles %d, want %d", got, want)
		}
		triangles := 0
		for k := 1; k < 60; k++ {
			for _, w := range []string{strings.Repeat("UL", k)[:k], strings.Repeat("LU", k)[:k]} {
				if fits(w) {
					triangles = max(triangles, k)
				}
			}
		}
		if y.Triangles != triangles {
			t.Fatalf("triangles %d, want %d", y.Triangles, triangles)
		}
	})
}

// Published yields and strip set widths. The addresses are in
// testdata/check/README.md.
func TestPublishedStripSets(t *testing.T) {
	// n equal strips w make (w - 0.5) n + 0.5: vickisfabriccreations 2013-10.
	for _, c := range []struct {
		cut  float64
		n    int
		want float64
	}{{3.25, 9, 25.25}, {2.375, 16, 30.5}, {1.5, 3, 3.5}, {2, 3, 5}, {1.75, 2, 3}} {
		cuts := make([]float64, c.n)
		for i := range cuts {
			cuts[i] = c.cut
		}
		set, err := strip.New(cuts, 0.25, 60, geometry.Matched, 0)
		if err != nil || math.Abs(set.Width-c.want) > 1e-12 {
			t.Errorf("%d strips %v wide make %v, want %v (%v)", c.n, c.cut, set.Width, c.want, err)
		}
	}
	// Common practice, no source: two 2 1/2 in strips make 4 1/2 in, and 42
	// in of it give seven 60 degree diamonds and one edge triangle.
	set, _ := strip.New([]float64{2.5, 2.5}, 0.25, 60, geometry.Matched, 0)
	if y := set.Yield(42); set.Width != 4.5 || y.OneTriangle == nil || *y.OneTriangle != 7 {
		t.Errorf("width %v, yield %+v", set.Width, y)
	}
	// Six strips 3 x 21 give five sharp-tipped diamonds each: Today's
	// Quilter 2024-06-05 leaves the figure to arithmetic.
	set, _ = strip.New([]float64{3}, 0.25, 60, geometry.Sharp, 0)
	if y := set.Yield(21); y.Plain != 5 {
		t.Errorf("3 x 21 gives %d diamonds, want 5", y.Plain)
	}
}

// Sharp diamonds from one strip need k cut sides and the slant of one end:
// floor((L - c/tan)/(c/sin)), tabulated for the usual strips (computed from
// exact geometry; no published table was found).
func TestSharpYieldsOfTheUsualStrips(t *testing.T) {
	for _, c := range []struct {
		cut, angle, length float64
		want               int
	}{
		{1.5, 60, 21, 11}, {1.5, 60, 40, 22}, {1.5, 60, 42, 23}, {1.5, 60, 44, 24},
		{2, 60, 21, 8}, {2, 60, 40, 16}, {2, 60, 42, 17}, {2, 60, 44, 18},
		{2.5, 60, 21, 6}, {2.5, 60, 40, 13}, {2.5, 60, 42, 14}, {2.5, 60, 44, 14},
		{3.5, 60, 21, 4}, {3.5, 60, 40, 9}, {3.5, 60, 44, 10},
		{6.5, 60, 21, 2}, {6.5, 60, 40, 4}, {6.5, 60, 42, 5},
		{2.5, 45, 40, 10}, {2.5, 45, 42, 11}, {4.5, 45, 42, 5},
		{2.5, 30, 40, 7}, {3, 30, 40, 5}, {3, 30, 42, 6},
	} {
		set, err := strip.New([]float64{c.cut}, 0.25, geometry.Angle(c.angle), geometry.Sharp, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := set.Yield(c.length).Plain; got != c.want {
			t.Errorf("%v wide, %v degrees, %v long: %d diamonds, want %d", c.cut, c.angle, c.length, got, c.want)
		}
	}
}

func TestRowsRefuseWhatCannotStandSideBySide(t *testing.T) {
	set, _ := strip.New([]float64{3, 3}, 0.25, 45, geometry.Matched, 0)
	for _, word := range []string{"", "X", "DU", "LD", "UU", "LL", "d", "D D", "Ld"} {
		if row, err := strip.NewRow(set, geometry.Right, word); err == nil {
			t.Errorf("%q was laid out: %+v", word, row)
		}
	}
	set, _ = strip.New([]float64{3, 3}, 0.25, 60, geometry.Matched, 0)
	for _, word := range []string{"Dd", "dD", "dL", "Ud", "UdL"} {
		if row, err := strip.NewRow(set, geometry.Right, word); err == nil {
			t.Errorf("%q was laid out: %+v", word, row)
		}
	}
}

// Tip trims of a staggered set's offset: (w - 2a)/tan for a finished strip of
// 1 1/2 is 0.866 at 60 degrees, of 2 it is 1.155 (exact; a published page
// says about 1:
// https://tourmalinethymequilts.com/diamonds-are-a-girls-best-friend-sometimes/).
func TestStaggerOffset(t *testing.T) {
	for _, c := range [][2]float64{{2, 0.8660}, {2.5, 1.1547}} {
		set, _ := strip.New([]float64{c[0], c[0]}, 0.25, 60, geometry.Matched, 0)
		if got := set.Offset(1); math.Abs(got-c[1]) > 5e-5 {
			t.Errorf("strips %v wide are offset by %v, want %v", c[0], got, c[1])
		}
	}
}
