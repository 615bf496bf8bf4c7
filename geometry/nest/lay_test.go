// SPDX-License-Identifier: Apache-2.0

package nest_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/strip"
)

func init() { outside.FewCases(25) }

func drawSet(t *rapid.T) strip.Set {
	cuts := rapid.SliceOfN(rapid.Float64Range(1, 4), 1, 3).Draw(t, "cuts")
	angle := rapid.OneOf(rapid.SampledFrom([]float64{30, 45, 60, 60, 60, 72, 90}), rapid.Float64Range(25, 90)).Draw(t, "angle")
	tips := rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Matched, geometry.Sharp}).Draw(t, "tips")
	set, err := strip.New(cuts, 0.25, geometry.Angle(angle), tips, 0)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func drawBed(t *rapid.T) nest.Bed {
	return nest.Bed{
		Width:  rapid.Float64Range(18, 40).Draw(t, "width"),
		Height: rapid.Float64Range(12, 18).Draw(t, "height"),
		Margin: rapid.SampledFrom([]float64{0, 0.25, 1}).Draw(t, "margin"),
		Gap:    rapid.SampledFrom([]float64{0, 0.125, 0.5}).Draw(t, "gap"),
	}
}

func drawNeed(t *rapid.T) strip.Count {
	var need strip.Count
	for lean := range need {
		for shape := range need[lean] {
			need[lean][shape] = rapid.IntRange(0, 40).Draw(t, "need")
		}
	}
	return need
}

// overlap returns the area that two convex outlines share.
func overlap(g, h geometry.Polygon) float64 {
	a, b := g.Bounds(), h.Bounds()
	if a.Min.X >= b.Max.X || b.Min.X >= a.Max.X || a.Min.Y >= b.Max.Y || b.Min.Y >= a.Max.Y {
		return 0
	}
	for i := range h {
		if g = g.Left(h[i], h[(i+1)%len(h)]); g == nil {
			return 0
		}
	}
	return g.Area()
}

// checkSheet: pieces inside the margin, none on another, rows a gap apart,
// strips on the sheet.
func checkSheet(t *rapid.T, s nest.Sheet) {
	pieces := s.Pieces()
	area := 0.0
	for i, p := range pieces {
		area += p.Outline.Area()
		b := p.Outline.Bounds()
		if b.Min.X < s.Margin-1e-8 || b.Min.Y < s.Margin-1e-8 || b.Max.X > s.Width-s.Margin+1e-8 || b.Max.Y > s.Height-s.Margin+1e-8 {
			t.Fatalf("piece %d at %v lies outside the margin of %+v", i, b, s.Bed)
		}
		for k := range i {
			if a := overlap(pieces[k].Outline, p.Outline); a > 1e-7 {
				t.Fatalf("pieces %d and %d share %v", k, i, a)
			}
		}
	}
	if got := s.Covered() * s.Width * s.Height; math.Abs(got-area) > 1e-7 || s.Covered() > 1 {
		t.Fatalf("area %v, covered says %v", area, got)
	}
	for i, r := range s.Rows {
		g := r.Strip()
		if b := g.Bounds(); b.Min.X < -1e-8 || b.Min.Y < -1e-8 || b.Max.X > s.Width+1e-8 || b.Max.Y > s.Height+1e-8 {
			t.Fatalf("strip %d at %v lies off the sheet %+v", i, b, s.Bed)
		}
		if i > 0 {
			// Both lie at one turn: the distance of their lower edges.
			d := r.Place(geometry.Point{}).Sub(s.Rows[i-1].Place(geometry.Point{}))
			sin, cos := r.Turn.SinCos()
			if off := d.Dot(geometry.Point{X: -sin, Y: cos}); off < r.Set.Width+s.Gap-1e-8 {
				t.Fatalf("rows %d and %d lie %v apart", i-1, i, off)
			}
		}
	}
}

func total(sheets []nest.Sheet) (c strip.Count, number int) {
	for _, s := range sheets {
		number += s.Number
		for lean, g := range s.Gives() {
			for shape, n := range g {
				c[lean][shape] += n * s.Number
			}
		}
	}
	return c, number
}

// hand returns how many sheets it takes to lay full strips side by side:
// diamonds of each lean by themselves, edge triangles by themselves.
func hand(set strip.Set, need strip.Count, b nest.Bed) int {
	length := b.Width - 2*b.Margin
	y := set.Yield(length)
	over := func(n, d int) int {
		if n == 0 {
			return 0
		}
		return (n + d - 1) / d
	}
	rows := over(need.Diamonds(0), y.Plain) + over(need.Diamonds(1), y.Plain)
	for lean := range need {
		rows += over(need[lean][1]+need[lean][2], y.Triangles)
	}
	each := int((b.Height - 2*b.Margin + b.Gap + 1e-9) / (set.Width + b.Gap))
	return over(rows, each)
}

// Laws: what is needed is given; no piece lies on another or in the margin;
// never more sheets than laying full strips side by side by hand, so never
// less of the sheets covered.
func TestPiecesLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, bed, need := drawSet(t), drawBed(t), drawNeed(t)
		sheets, err := nest.Pieces(set, need, []nest.Bed{bed})
		var large *nest.TooLarge
		if errors.As(err, &large) {
			if box := set.Piece(large.Shape, 0).Outline.Bounds(); box.Width() <= bed.Width-2*bed.Margin && set.Width <= bed.Height-2*bed.Margin {
				t.Fatalf("%v, but it does", err)
			}
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range sheets {
			checkSheet(t, s)
			if i > 0 && s.Area() > sheets[i-1].Area()+1e-9 {
				t.Fatalf("sheet %d is fuller than the one before", i)
			}
			if s.Turn() != 0 {
				t.Fatalf("sheet %d: the grain runs at %v", i, s.Turn())
			}
		}
		got, number := total(sheets)
		for lean := range need {
			if got[lean][0] < need[lean][0] {
				t.Fatalf("gives %v, need %v", got, need)
			}
			if n := need[lean][1] + need[lean][2]; set.Angle != 60 && got[lean][1]+got[lean][2] < n {
				t.Fatalf("gives %v, need %v", got, need)
			}
		}
		if all := got[0][1] + got[0][2] + got[1][1] + got[1][2]; all < need[0][1]+need[0][2]+need[1][1]+need[1][2] {
			t.Fatalf("gives %v, need %v", got, need)
		}
		if h := hand(set, need, bed); number > h {
			t.Fatalf("%d sheets, by hand %d", number, h)
		}
	})
}

// The same for strip sets, where lowers are no uppers. By hand only one of
// the two is counted in a row of edge triangles.
func TestStripSetsLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, bed, need := drawSet(t), drawBed(t), drawNeed(t)
		for lean := range need {
			need[lean][1] = need[lean][2] // as in every quilt
		}
		mix := rapid.Bool().Draw(t, "mix")
		sheets, err := nest.StripSets(set, need, []nest.Bed{bed}, 40, mix)
		fits(t, err)
		for _, s := range sheets {
			checkSheet(t, s)
			for _, r := range s.Rows {
				if r.Length > 40+1e-9 {
					t.Fatalf("a length of %v from strip sets of 40", r.Length)
				}
				if holdsBoth(r.Row) && !mix {
					t.Fatalf("both leans in %s", r.Word)
				}
			}
		}
		got, _ := total(sheets)
		for lean := range need {
			if got[lean][0] < need[lean][0] || set.Angle != 60 && (got[lean][1] < need[lean][1] || got[lean][2] < need[lean][2]) {
				t.Fatalf("gives %v, need %v", got, need)
			}
		}
		for shape := 1; shape < 3; shape++ {
			if got[0][shape]+got[1][shape] < need[0][shape]+need[1][shape] {
				t.Fatalf("gives %v, need %v", got, need)
			}
		}
		if set.Yield(bed.Width-2*bed.Margin).Plain > 0 {
			need[0][1], need[0][2], need[1][1], need[1][2] = 0, 0, 0, 0
			sheets, _ = nest.StripSets(set, need, []nest.Bed{bed}, 40, false)
			if _, number := total(sheets); number > hand(set, need, bed) {
				t.Fatalf("%d sheets of diamonds, by hand %d", number, hand(set, need, bed))
			}
		}
	})
}

func holdsBoth(r strip.Row) bool {
	var has [2]bool
	for _, p := range r.Pieces {
		has[p.Lean] = has[p.Lean] || p.Shape == geometry.Diamond
	}
	return has[0] && has[1]
}

// Figured by hand. A strip set 4 in wide has crosscuts 4.62 in apart: one
// length holds a diamond of either lean and the edge triangle between them.
// Where leans may not be mixed they take two lengths.
func TestLeansAreMixedWhereAllowed(t *testing.T) {
	set := mustSet(t, 60, 2.25, 2.25)
	need := strip.Count{{1, 1, 0}, {1, 0, 0}}
	for mix, rows := range map[bool]int{true: 1, false: 2} {
		sheets, err := nest.StripSets(set, need, usual, 40, mix)
		if err != nil {
			t.Fatal(err)
		}
		if len(sheets) != 1 || len(sheets[0].Rows) != rows || holdsBoth(sheets[0].Rows[0].Row) != mix {
			t.Errorf("mixed: %v: %+v", mix, sheets)
		}
	}
}

func mustSet(t testing.TB, angle geometry.Angle, cuts ...float64) strip.Set {
	t.Helper()
	set, err := strip.New(cuts, 0.25, angle, geometry.Matched, 0)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

var usual = []nest.Bed{
	{Width: 24, Height: 12, Margin: 0.25, Gap: 0.125},
	{Width: 24, Height: 24, Margin: 0.25, Gap: 0.125},
}

// Figured by hand. A strip set 4 in wide has crosscuts 4.62 in apart, and a
// diamond is 6.35 in from tip to tip. Along a sheet of 24 by 12 in two lengths
// of 23 1/2 in lie side by side with 4 diamonds each; across it five lengths
// of 11 1/2 in with 2 each.
func TestAcrossHoldsMore(t *testing.T) {
	set := mustSet(t, 60, 2.25, 2.25)
	need := strip.Count{{20, 0, 0}, {20, 0, 0}}
	sheets, err := nest.StripSets(set, need, usual, 40, false)
	if err != nil {
		t.Fatal(err)
	}
	if _, n := total(sheets); n != 4 || sheets[0].Turn() != 90 || len(sheets[0].Rows) != 5 || sheets[0].Gives() != (strip.Count{{10, 0, 0}}) {
		t.Errorf("%d sheets, the first turned by %v with %v", n, sheets[0].Turn(), sheets[0].Gives())
	}
	// Cut from single fabrics the grain stays along the sheet: ten rows of 4,
	// two a sheet.
	if sheets, err = nest.Pieces(set, need, usual); err != nil {
		t.Fatal(err)
	}
	if _, n := total(sheets); n != 5 || sheets[0].Turn() != 0 {
		t.Errorf("%d sheets of single fabric, the first turned by %v", n, sheets[0].Turn())
	}
	if sheets[0].Number != 2 || sheets[1].Number != 1 || sheets[2].Number != 2 {
		t.Errorf("numbers %d, %d, %d", sheets[0].Number, sheets[1].Number, sheets[2].Number)
	}
}

// A diamond 8.66 in wide and 13 in long lies askew where it can't lie along.
func TestSlantedByAFewDegrees(t *testing.T) {
	set := mustSet(t, 60, 4.375, 4.375)
	bed := []nest.Bed{{Width: 24, Height: 12, Margin: 0.25, Gap: 0.125}}
	sheets, err := nest.StripSets(set, strip.Count{{2, 0, 0}}, bed, 40, false)
	if err != nil {
		t.Fatal(err)
	}
	if _, n := total(sheets); n != 1 || sheets[0].Turn() == 0 {
		t.Errorf("%d sheets turned by %v", n, sheets[0].Turn())
	}
}

func TestOnlyTheLargerSheetHoldsIt(t *testing.T) {
	set := mustSet(t, 60, 12)
	sheets, err := nest.Pieces(set, strip.Count{{1, 1, 0}, {1, 0, 0}}, usual)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sheets {
		if s.Height != 24 {
			t.Errorf("a piece 12 in high lies on a sheet %v by %v", s.Width, s.Height)
		}
	}
	_, err = nest.Pieces(mustSet(t, 60, 24), strip.Count{{1, 0, 0}}, usual)
	var large *nest.TooLarge
	if !errors.As(err, &large) || large.Height != 24 || len(large.Beds) != 2 {
		t.Errorf("error %v", err)
	}
	// An edge triangle still fits where the diamond does not.
	small := []nest.Bed{{Width: 7, Height: 6}, {Width: 12, Height: 6}}
	if sheets, err = nest.Pieces(mustSet(t, 60, 5), strip.Count{{1, 1, 1}}, small); err != nil {
		t.Fatal(err)
	}
	if len(sheets) != 2 || sheets[0].Width != 7 || sheets[0].Number != 2 || sheets[0].Gives().Diamonds(0) != 0 || sheets[1].Width != 12 {
		t.Errorf("sheets %+v", sheets)
	}
}

func TestBedValidate(t *testing.T) {
	good := nest.Bed{Width: 24, Height: 12, Margin: 0.25, Gap: 0.125}
	for _, c := range []struct {
		field  string
		change func(*nest.Bed)
	}{
		{"", func(*nest.Bed) {}},
		{"", func(b *nest.Bed) { b.Margin, b.Gap = 0, 0 }},
		{"", func(b *nest.Bed) { b.Gap = 1. / 64 }},
		{"sheet", func(b *nest.Bed) { b.Height = 0 }},
		{"sheet", func(b *nest.Bed) { b.Width = -24 }},
		{"sheet", func(b *nest.Bed) { b.Width = math.NaN() }},
		{"sheet", func(b *nest.Bed) { b.Width = 1e6 }},
		{"margin", func(b *nest.Bed) { b.Margin = -1 }},
		{"margin", func(b *nest.Bed) { b.Margin = 6 }},
		{"margin", func(b *nest.Bed) { b.Margin = math.NaN() }},
		{"gap", func(b *nest.Bed) { b.Gap = -0.125 }},
		{"gap", func(b *nest.Bed) { b.Gap = 1e-5 }},
		{"gap", func(b *nest.Bed) { b.Gap = math.Inf(1) }},
	} {
		b := good
		c.change(&b)
		err := b.Validate(geometry.Inch)
		var wrong *geometry.Error
		if errors.As(err, &wrong) != (c.field != "") || wrong != nil && (wrong.Field != c.field || wrong.Hint == "") {
			t.Errorf("%+v: %v, want a complaint of %q", b, err, c.field)
		}
	}
}

// fits skips a case in which a piece is larger than the sheet; any other error
// fails.
func fits(t *rapid.T, err error) {
	t.Helper()
	var large *nest.TooLarge
	if errors.As(err, &large) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// Law: wrong side up everything is mirrored and stays where it may lie.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, bed, need := drawSet(t), drawBed(t), drawNeed(t)
		sheets, err := nest.StripSets(set, need, []nest.Bed{bed}, 40, true)
		fits(t, err)
		if g, err := nest.Gang(set, geometry.LowerTriangle, geometry.Left, 2, bed); err == nil {
			sheets = append(sheets, g)
		}
		for _, s := range sheets {
			m := s.Mirror()
			checkSheet(t, m)
			a, b := s.Pieces(), m.Pieces()
			for i, p := range a {
				if b[i].Lean != p.Lean.Other() || b[i].Shape != p.Shape {
					t.Fatalf("piece %d: %v %v became %v %v", i, p.Lean, p.Shape, b[i].Lean, b[i].Shape)
				}
				want := p.Outline.MirrorX().Move(geometry.Point{X: s.Width})
				for j, v := range b[i].Outline {
					if v.Sub(want[j]).Len() > 1e-9 {
						t.Fatalf("piece %d, vertex %d lies at %v, want %v", i, j, v, want[j])
					}
				}
			}
		}
	})
}

// Law: the square lies inside the margin, a gap clear of every piece.
func TestRoom(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		set, bed, need := drawSet(t), drawBed(t), drawNeed(t)
		sheets, err := nest.StripSets(set, need, []nest.Bed{bed}, 40, true)
		fits(t, err)
		side := rapid.Float64Range(1, 5).Draw(t, "side")
		for _, s := range sheets {
			at, ok := s.Room(side)
			if !ok {
				continue
			}
			found++
			if at.X < s.Margin-1e-8 || at.Y < s.Margin-1e-8 || at.X+side > s.Width-s.Margin+1e-8 || at.Y+side > s.Height-s.Margin+1e-8 {
				t.Fatalf("the square at %v lies outside the margin", at)
			}
			clear := side + 2*s.Gap
			low := at.Sub(geometry.Point{X: s.Gap, Y: s.Gap})
			square := geometry.Polygon{low, {X: low.X + clear, Y: low.Y}, {X: low.X + clear, Y: low.Y + clear}, {X: low.X, Y: low.Y + clear}}
			for i, p := range s.Pieces() {
				if overlap(square, p.Outline) > 1e-6 {
					t.Fatalf("the square at %v is too near to piece %d", at, i)
				}
			}
		}
	})
	if found < 20 {
		t.Errorf("only %d squares found room", found)
	}
}
