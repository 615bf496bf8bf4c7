// SPDX-License-Identifier: Apache-2.0

package measure_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/measure"
	"lozenge/export/outside"
	"lozenge/export/trace"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func points(v ...float64) []geometry.Point {
	var out []geometry.Point
	for i := 0; i < len(v); i += 2 {
		out = append(out, geometry.Point{X: v[i], Y: v[i+1]})
	}
	return out
}

func box(x, y, width, height float64) []geometry.Point {
	return points(x, y, x+width, y, x+width, y+height, x, y+height)
}

// drawing is an SVG of 20 in with a calibration square of 4 in and what is
// given.
func drawing(paths ...measure.Path) *measure.Drawing {
	paths = append(paths, measure.Path{Points: box(1, 1, 4, 4), Closed: true, Role: measure.Square, Square: measure.ByID, Size: "4in"})
	return &measure.Drawing{Format: measure.SVG, Unit: measure.Inch, Roles: true, Pages: []measure.Page{{Width: 20, Height: 20, Paths: paths}}}
}

// through returns the drawing as it is after m.
func through(d *measure.Drawing, m trace.Matrix) *measure.Drawing {
	out := *d
	out.Pages = nil
	for _, p := range d.Pages {
		q := p
		q.Paths = slices.Clone(p.Paths)
		for i := range q.Paths {
			q.Paths[i].Points = nil
			for _, v := range p.Paths[i].Points {
				q.Paths[i].Points = append(q.Paths[i].Points, m.Apply(v))
			}
		}
		q.Texts = slices.Clone(p.Texts)
		for i := range q.Texts {
			q.Texts[i].At = m.Apply(q.Texts[i].At)
			q.Texts[i].Mirrored = q.Texts[i].Mirrored != (m.Det() < 0)
		}
		out.Pages = append(out.Pages, q)
	}
	return &out
}

// A file that was scaled is caught, with the factor named and its cause in
// words: 72, 90 and 96 to the inch, 25.4 mm to the inch, a page shrunk to fit.
func TestFactorsAreNamed(t *testing.T) {
	for _, c := range []struct {
		x, y  float64
		words []string
	}{
		{72. / 96, 72. / 96, []string{"72/96", "75 %", "points", "pixels"}},
		{96. / 72, 96. / 72, []string{"96/72", "133.33 %", "points", "pixels"}},
		{90. / 96, 90. / 96, []string{"90/96", "93.75 %", "pixels of 90"}},
		{96. / 90, 96. / 90, []string{"96/90", "106.67 %", "pixels of 90"}},
		{0.97, 0.97, []string{"97 %", "fit to page"}},
		{1.03, 1.03, []string{"103 %", "enlarged"}},
		{25.4, 25.4, []string{"25.4 times", "millimetres", "taken for inches"}},
		{1 / 25.4, 1 / 25.4, []string{"1/25.4", "inches", "taken for millimetres"}},
		{2.54, 2.54, []string{"2.54 times", "centimetres"}},
		{11 * 25.4 / 297, 11 * 25.4 / 297, []string{"94.07 %", "A4", "letter"}},
		{1. / 96, 1. / 96, []string{"1/96", "1.04 %", "unit was lost"}},
		{25.4 / 96, 25.4 / 96, []string{"25.4/96", "26.46 %", "millimetres", "unit was lost"}},
		{0.7, 0.7, []string{"70 %", "scaled"}},
		{1.01, 1, []string{"101 % of its width", "100 % of its height", "stretched"}},
		{1, 0.99, []string{"99 % of its height", "stretched"}},
	} {
		for _, turn := range []geometry.Angle{0, 90} {
			m := trace.Scale(c.x, c.y)
			if turn != 0 {
				m = m.After(trace.Rotate(turn))
			}
			r := through(drawing(), m).Judge(measure.Options{})
			all := strings.Join(r.Reasons, "\n")
			if r.Verdict != measure.NotTrue || r.OK() {
				t.Errorf("%v: %v", c, r.Verdict)
			}
			for _, w := range c.words {
				if !strings.Contains(all, w) {
					t.Errorf("%v by %v: no %q in %s", c.x, c.y, w, all)
				}
			}
			if math.Abs(r.Square.Width-4*c.x) > 1e-9 || math.Abs(r.Square.Height-4*c.y) > 1e-9 {
				t.Errorf("%v by %v: %v by %v", c.x, c.y, r.Square.Width, r.Square.Height)
			}
		}
	}
	r := through(drawing(), trace.Matrix{1, 0, 0.01, 1, 0, 0}).Judge(measure.Options{})
	if r.Verdict != measure.NotTrue || !strings.Contains(r.Reasons[0], "sheared") {
		t.Errorf("sheared: %v %q", r.Verdict, r.Reasons)
	}
}

// The tolerance: 1/64 in over 4 in, in proportion over less.
func TestTolerance(t *testing.T) {
	for _, c := range []struct {
		factor float64
		want   measure.Verdict
	}{{1, measure.True}, {1 + 1./257, measure.True}, {1 + 1./255, measure.NotTrue}, {1 - 1./257, measure.True}, {1 - 1./255, measure.NotTrue}} {
		if r := through(drawing(), trace.Scale(c.factor, c.factor)).Judge(measure.Options{}); r.Verdict != c.want {
			t.Errorf("%v: %v, want %v", c.factor, r.Verdict, c.want)
		}
	}
	if measure.Tolerance(4) != 1./64 || measure.Tolerance(8) != 1./64 || measure.Tolerance(1) != 1./256 {
		t.Error("tolerances")
	}
}

func TestHowTheSquareIsFound(t *testing.T) {
	plain := func(paths ...measure.Path) *measure.Drawing {
		return &measure.Drawing{Format: measure.PDF, Unit: measure.Inch, Pages: []measure.Page{{Width: 20, Height: 20, Paths: paths}}}
	}
	edges := func(role measure.Role) []measure.Path {
		b := box(1, 1, 4, 4)
		return []measure.Path{
			{Points: points(1, 1, 5, 1), Role: role}, {Points: []geometry.Point{b[2], b[1]}, Role: role},
			{Points: []geometry.Point{b[2], b[3]}, Role: role}, {Points: []geometry.Point{b[0], b[3]}, Role: role},
		}
	}
	var out geometry.Polygon // with points on its sides
	for i, p := range box(1, 1, 4, 4) {
		next := box(1, 1, 4, 4)[(i+1)%4]
		out = append(out, p, p.Add(next).Mul(.5))
	}
	for name, c := range map[string]struct {
		d  *measure.Drawing
		by measure.FoundBy
	}{
		"by id": {drawing(measure.Path{Points: box(8, 8, 4, 4), Closed: true, Role: measure.Cut}), measure.ByID},
		"layer": {func() *measure.Drawing {
			d := plain(measure.Path{Points: box(1, 1, 4, 4), Closed: true, Role: measure.Square})
			d.Roles = true
			return d
		}(), measure.ByLayer},
		"layer, loose lines": {plain(edges(measure.Square)...), measure.ByLayer},
		"shape":              {plain(measure.Path{Points: box(1, 1, 4, 4), Closed: true}, measure.Path{Points: box(1, 1, 2, 2), Closed: true}, measure.Path{Points: box(0, 0, 20, 10), Closed: true}), measure.ByShape},
		"shape, loose lines": {plain(edges(measure.Unknown)...), measure.ByShape},
		"shape, open ends":   {plain(measure.Path{Points: append(box(1, 1, 4, 4), geometry.Point{X: 1, Y: 1})}), measure.ByShape},
		"shape, subdivided":  {plain(measure.Path{Points: out, Closed: true}), measure.ByShape},
		"shape, turned":      {through(plain(measure.Path{Points: box(1, 1, 4, 4), Closed: true}), trace.Rotate(20)), measure.ByShape},
	} {
		r := c.d.Judge(measure.Options{})
		if r.Square == nil || r.Square.FoundBy != c.by || math.Abs(r.Square.Width-4) > 1e-9 || math.Abs(r.Square.Diagonals[1]-4*math.Sqrt2) > 1e-9 || !r.OK() {
			t.Errorf("%s: %+v, %v", name, r.Square, r.Verdict)
		}
	}
	// What it should be: told, said in the file, or taken for granted.
	d := plain(measure.Path{Points: box(1, 1, 5, 5), Closed: true})
	if r := d.Judge(measure.Options{Square: 5}); r.Verdict != measure.True || r.Square.Nominal != 5 {
		t.Errorf("told: %v %+v", r.Verdict, r.Square)
	}
	d.Pages[0].Texts = []measure.Text{{At: geometry.Point{X: 2, Y: 3}, Value: "calibration square, 5 in each way"}}
	if r := d.Judge(measure.Options{}); r.Verdict != measure.True || r.Square.Nominal != 5 {
		t.Errorf("said: %v %+v", r.Verdict, r.Square)
	}
	d.Pages[0].Texts = nil
	if r := d.Judge(measure.Options{}); r.Verdict != measure.NotTrue || r.Square.Nominal != 4 || !strings.Contains(strings.Join(r.Reasons, " "), "--square") {
		t.Errorf("granted: %v %+v %q", r.Verdict, r.Square, r.Reasons)
	}
	// Nothing to prove it by, or nothing to prove.
	if r := plain(measure.Path{Points: points(0, 0, 1, 1)}).Judge(measure.Options{}); r.Verdict != measure.Unproven || r.OK() {
		t.Errorf("no square: %v", r.Verdict)
	}
	picture := plain(measure.Path{Points: box(0, 0, 4, 4), Closed: true, Role: measure.Mark})
	picture.Roles = true
	if r := picture.Judge(measure.Options{}); r.Verdict != measure.PageOnly || !r.OK() || r.Square != nil {
		t.Errorf("a picture: %v %+v", r.Verdict, r.Square)
	}
	if r := picture.Judge(measure.Options{Square: 4}); r.OK() {
		t.Errorf("a picture that should have a square: %v", r.Verdict)
	}
}

// haplokuon/netDxf#166, ixmilia/dxf#68: no unit, so three readings, until one
// is stated.
func TestNoUnit(t *testing.T) {
	d := through(drawing(), trace.Identity())
	d.Format, d.Unit = measure.DXF, measure.NoUnit
	r := d.Judge(measure.Options{})
	if all := strings.Join(r.Reasons, " "); r.OK() || r.Unit != measure.NoUnit || !strings.Contains(all, "4 in, 4 cm or 4 mm") {
		t.Errorf("%v %q", r.Verdict, all)
	}
	if r := d.Judge(measure.Options{Unit: measure.Inch}); r.Verdict != measure.True {
		t.Errorf("in inches: %v %q", r.Verdict, r.Reasons)
	}
	if r := d.Judge(measure.Options{Unit: measure.Millimetre}); r.Verdict != measure.NotTrue || math.Abs(r.Unit.Of(r.Square.Width)-4) > 1e-12 {
		t.Errorf("in millimetres: %v %+v", r.Verdict, r.Square)
	}
}

func TestPixelsHaveThreeReadings(t *testing.T) {
	d := drawing()
	d.Pixels = true
	if all := strings.Join(d.Judge(measure.Options{}).Reasons, " "); !strings.Contains(all, "4 in wide at 96") || !strings.Contains(all, "4.2667 in at 90") || !strings.Contains(all, "5.3333 in at 72") {
		t.Errorf("%q", all)
	}
}

// rtitmuss/torn#7, scottbez1/splitflap#19: two squares of 2 in side by side
// share an edge; a stretch of a longer edge; the same piece twice.
func TestOverlaps(t *testing.T) {
	cut := func(closed bool, p []geometry.Point) measure.Path {
		return measure.Path{Points: p, Closed: closed, Role: measure.Cut}
	}
	for name, c := range map[string]struct {
		paths        []measure.Path
		pairs        int
		closed, open int
	}{
		"side by side":        {[]measure.Path{cut(true, box(6, 6, 2, 2)), cut(true, box(8, 6, 2, 2))}, 1, 2, 0},
		"part of a longer":    {[]measure.Path{cut(true, box(6, 6, 2, 2)), cut(false, points(8, 9, 8, 5))}, 1, 1, 1},
		"twice":               {[]measure.Path{cut(true, box(6, 6, 2, 2)), cut(true, box(6, 6, 2, 2))}, 4, 2, 0},
		"end to end":          {[]measure.Path{cut(false, points(6, 6, 8, 8)), cut(false, points(10, 10, 8, 8))}, 0, 0, 2},
		"crossing":            {[]measure.Path{cut(false, points(6, 6, 8, 8)), cut(false, points(6, 8, 8, 6))}, 0, 0, 2},
		"beside":              {[]measure.Path{cut(false, points(6, 6, 8, 8)), cut(false, points(6, 6.001, 8, 8.001))}, 0, 0, 2},
		"level, both ways":    {[]measure.Path{cut(false, points(6, 6, 8, 6)), cut(false, points(8.5, 6.00001, 7, 5.99999))}, 1, 0, 2},
		"a seam does not cut": {[]measure.Path{cut(false, points(6, 6, 8, 6)), {Points: points(6, 6, 8, 6), Role: measure.Sew}}, 0, 0, 1},
		"four loose lines":    {[]measure.Path{cut(false, points(6, 6, 8, 6)), cut(false, points(8, 8, 8, 6)), cut(false, points(8, 8, 6, 8)), cut(false, points(6, 6, 6, 8))}, 0, 1, 0},
		"three of four":       {[]measure.Path{cut(false, points(6, 6, 8, 6)), cut(false, points(8, 8, 8, 6)), cut(false, points(8, 8, 6, 8))}, 0, 0, 3},
	} {
		for _, turn := range []geometry.Angle{0, 30, 60, 123.4} {
			r := through(drawing(c.paths...), trace.Rotate(turn)).Judge(measure.Options{})
			if r.Overlaps != c.pairs || r.Closed != c.closed || r.Open != c.open {
				t.Errorf("%s, turned by %v: %d overlaps, %d closed, %d open; want %d, %d, %d", name, turn, r.Overlaps, r.Closed, r.Open, c.pairs, c.closed, c.open)
			}
		}
	}
}

// The number of overlaps is that of comparing every line with every other.
func TestOverlapsAsByBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// On a grid, so that lines do lie on each other.
		var paths []measure.Path
		n := rapid.IntRange(2, 40).Draw(t, "n")
		at := func(name string) geometry.Point {
			return geometry.Point{X: float64(rapid.IntRange(0, 4).Draw(t, name)), Y: float64(rapid.IntRange(0, 4).Draw(t, name))}
		}
		for range n {
			a, b := at("a"), at("b")
			if a != b {
				paths = append(paths, measure.Path{Points: []geometry.Point{a, b}, Role: measure.Cut})
			}
		}
		want := 0
		for i, p := range paths {
			for _, q := range paths[i+1:] {
				a, b := p.Points[0], p.Points[1]
				d := b.Sub(a)
				if d.Cross(q.Points[0].Sub(a)) != 0 || d.Cross(q.Points[1].Sub(a)) != 0 {
					continue
				}
				from, to := d.Dot(q.Points[0].Sub(a))/d.Dot(d), d.Dot(q.Points[1].Sub(a))/d.Dot(d)
				if min(max(from, to), 1)-max(min(from, to), 0) > 1e-9 {
					want++
				}
			}
		}
		turn := geometry.Angle(rapid.Float64Range(0, 180).Draw(t, "turn"))
		if got := through(drawing(paths...), trace.Rotate(turn)).Judge(measure.Options{}).Overlaps; got != want {
			t.Fatalf("%d, by brute force %d", got, want)
		}
	})
}

func plan(t rapid.TB, spec func(*quilt.Spec)) *quilt.Plan {
	t.Helper()
	s := quilt.Spec{
		Name: "q", Unit: geometry.Inch, Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 3, Rows: 4,
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
		Fabrics: []quilt.Fabric{{Key: "a"}, {Key: "b"}},
	}
	if spec != nil {
		spec(&s)
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// pieces draws one of each piece that is needed, as it is seen, with its
// seams.
func pieces(p *quilt.Plan) (d *measure.Drawing, names []string) {
	x := 6.0
	d = drawing()
	page := &d.Pages[0]
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			if p.Need[lean][shape] == 0 {
				continue
			}
			seen := lean
			if p.Spec.Face == geometry.FaceDown {
				seen = lean.Other()
			}
			piece := p.Set.Piece(shape, seen)
			b := piece.Outline.Bounds()
			piece = piece.Move(geometry.Point{X: x - b.Min.X, Y: -b.Min.Y})
			x += b.Width() + 1
			page.Paths = append(page.Paths, measure.Path{Points: piece.Outline, Closed: true, Role: measure.Cut})
			for _, s := range piece.Seams {
				page.Paths = append(page.Paths, measure.Path{Points: []geometry.Point{s.A, s.B}, Role: measure.Sew})
			}
			names = append(names, lean.String()+" "+shape.String())
		}
	}
	return d, names
}

// alike reports whether pieces are what they should be. At 60 degrees an edge
// triangle is that of the other lean too.
func alike(got []measure.MatchedPiece, want []string, angle float64) bool {
	if len(got) != len(want) {
		return false
	}
	for i, p := range got {
		either := math.Abs(angle-60) < 0.5 && p.Shape != geometry.Diamond
		if !either && want[i] != p.Lean.String()+" "+p.Shape.String() || either && !strings.HasSuffix(want[i], p.Shape.String()) {
			return false
		}
	}
	return true
}

// Every piece is known by its outline and seams, at any angle, whichever side
// lies up; as drawn every vertex is exact, and a mirrored drawing is called
// so where the pattern needs one lean only.
func TestPiecesAreKnown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.OneOf(rapid.Just(60.0), rapid.Just(45.0), rapid.Float64Range(20, 85)).Draw(t, "angle")
		face := rapid.SampledFrom([]geometry.Face{geometry.FaceUp, geometry.FaceDown}).Draw(t, "face")
		layout, err := quilt.NewLayout(outside.DrawRepeat(t, 4))
		if err != nil {
			t.Fatal(err)
		}
		p, err := quilt.New(quilt.Spec{
			Name: "q", Unit: geometry.Inch, Angle: geometry.Angle(angle), Seam: 0.25, UsableWidth: 400, Columns: 3, Rows: 4, Face: face, Layout: layout,
			Strips:  []quilt.Strip{{Cut: rapid.Float64Range(1.5, 3).Draw(t, "first"), Fabric: "a"}, {Cut: rapid.Float64Range(3.5, 5).Draw(t, "second"), Fabric: "b"}},
			Fabrics: []quilt.Fabric{{Key: "a"}, {Key: "b"}},
		})
		if err != nil {
			t.Fatal(err)
		}
		d, names := pieces(p)
		// Turned a little, so that nothing lies level.
		turn := geometry.Angle(rapid.SampledFrom([]float64{0, 0.25, -0.25, 180}).Draw(t, "turn"))
		r := through(d, trace.Rotate(turn)).Judge(measure.Options{Plan: p})
		if r.Verdict != measure.True || !alike(r.Pieces, names, angle) {
			t.Fatalf("%v: %+v, want %v\n%q", r.Verdict, r.Pieces, names, r.Reasons)
		}
		for _, m := range r.Pieces {
			if m.Worst() > 1e-9 || m.Mirrored || math.Abs(math.Mod(math.Abs(m.Turned-float64(turn))+1, 360)-1) > 1e-6 {
				t.Fatalf("%+v, turned by %v", m, turn)
			}
		}
		mirror := through(d, trace.Scale(-1, 1)).Judge(measure.Options{Plan: p})
		if !layout.BothLeans() && mirror.OK() {
			t.Fatalf("mirrored: %v %+v", mirror.Verdict, mirror.Pieces)
		}
	})
}

// A vertex that is off is found, and by how much.
func TestVertexOff(t *testing.T) {
	p := plan(t, nil)
	d, _ := pieces(p)
	paths := d.Pages[0].Paths
	i := slices.IndexFunc(paths, func(p measure.Path) bool { return p.Role == measure.Cut })
	paths[i].Points[2].X += 0.1
	r := d.Judge(measure.Options{Plan: p})
	// Spread over all vertices by least squares, the one that moved keeps
	// the most.
	if worst := r.Pieces[0].Worst(); r.Verdict != measure.NotTrue || worst < 0.05 || worst > 0.1 || slices.Index(r.Pieces[0].Off, worst) != 2 {
		t.Errorf("%v, %v", r.Verdict, r.Pieces[0].Off)
	}
	if !strings.Contains(strings.Join(r.Reasons, " "), "off by more than") {
		t.Errorf("%q", r.Reasons)
	}
	// An outline of nothing in the pattern.
	d, _ = pieces(p)
	d.Pages[0].Paths = append(d.Pages[0].Paths, measure.Path{Points: box(6, 9, 3, 2), Closed: true, Role: measure.Cut})
	if r := d.Judge(measure.Options{Plan: p}); r.Verdict != measure.NotTrue || !strings.Contains(strings.Join(r.Reasons, " "), "no piece of this pattern") {
		t.Errorf("%v %q", r.Verdict, r.Reasons)
	}
}

// Lettering in a mirror tells without a pattern; labels tell with one.
func TestMirroredIsCaught(t *testing.T) {
	p := plan(t, nil)
	d, _ := pieces(p)
	at := d.Pages[0].Paths[1].Points[0]
	d.Pages[0].Texts = []measure.Text{{At: at, Value: "right-leaning diamond"}}
	if r := d.Judge(measure.Options{}); r.Verdict != measure.True {
		t.Fatalf("as drawn: %v %q", r.Verdict, r.Reasons)
	}
	m := through(d, trace.Scale(-1, 1))
	if r := m.Judge(measure.Options{}); r.Verdict != measure.NotTrue || !strings.Contains(strings.Join(r.Reasons, " "), "mirrored") {
		t.Errorf("lettering: %v %q", r.Verdict, r.Reasons)
	}
	m.Pages[0].Texts[0].Mirrored = false
	if r := m.Judge(measure.Options{Plan: p}); r.Verdict != measure.NotTrue || !r.Pieces[0].Mirrored {
		t.Errorf("label and plan: %v %+v", r.Verdict, r.Pieces)
	}
	m.Format = measure.DXF
	if r := m.Judge(measure.Options{}); r.Verdict != measure.NotTrue {
		t.Errorf("label: %v %q", r.Verdict, r.Reasons)
	}
}

// A DXF may hold any number that a float64 can: no answer about it needs to be
// right, but there must be one.
func TestCoordinatesBeyondMeasure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var paths []measure.Path
		number := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, 1, 1e9, -1e9, 1e300, -1e308, math.MaxFloat64}))
		for range rapid.IntRange(0, 12).Draw(t, "n") {
			var g []geometry.Point
			for range rapid.IntRange(2, 5).Draw(t, "points") {
				g = append(g, geometry.Point{X: number.Draw(t, "x"), Y: number.Draw(t, "y")})
			}
			paths = append(paths, measure.Path{Points: g, Closed: rapid.Bool().Draw(t, "closed") && len(g) > 2, Role: measure.Role(rapid.IntRange(0, 4).Draw(t, "role"))})
		}
		d := drawing(paths...)
		d.Format = measure.DXF
		d.Unit = rapid.SampledFrom([]measure.Unit{measure.NoUnit, measure.Inch}).Draw(t, "unit")
		if r := d.Judge(measure.Options{Plan: plan(t, nil)}); r.Verdict == "" {
			t.Fatal("no verdict")
		}
	})
}

// A hundred thousand pieces, 20 MB as a file.
func BenchmarkJudge(b *testing.B) {
	var paths []measure.Path
	for i := range 200_000 {
		x, y := float64(i%443)*3, float64(i/443)*3
		paths = append(paths, measure.Path{Points: box(x, y, 2+float64(i%7)/10, 2), Closed: true, Role: measure.Cut})
	}
	d := drawing(paths...)
	b.ReportAllocs()
	for b.Loop() {
		if r := d.Judge(measure.Options{}); r.Closed != 200_000 {
			b.Fatal(r.Closed)
		}
	}
}
