// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/frames"
	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// setups are ways to hang a projector.
func setups() map[string]projector {
	out := map[string]projector{}
	for _, turn := range []float64{0, 3, 90, 180, 270} {
		for _, mirrored := range []bool{false, true} {
			p := home
			p.turn, p.mirrored = turn, mirrored
			out[fmt.Sprintf("turned %v mirrored %v", turn, mirrored)] = p
		}
	}
	straight := home
	straight.k1, straight.tiltX, straight.tiltY, straight.turn = 0, 0, 0, 0
	out["straight"] = straight
	uhd := home
	uhd.screen, uhd.k1 = calibrate.Screen{Width: 3840, Height: 2160}, -0.02
	out["large screen"] = uhd
	return out
}

func offLine(p geometry.Point, s geometry.Segment) float64 {
	d := s.B.Sub(s.A)
	t := min(1, max(0, p.Sub(s.A).Dot(d)/d.Dot(d)))
	return p.Sub(s.A.Add(d.Mul(t))).Len()
}

const exact = 0.0005 // in, what every file is held to

// Every cut line that is read back from the files and goes through the
// virtual projector lands where the row of cut lines has it, moved by the
// slides that the frames say, all along its length.
func TestLinesLandWhereTheyShould(t *testing.T) {
	plans := map[string]*quilt.Plan{
		"usual":     planOf(t, nil),
		"face down": planOf(t, func(s *quilt.Spec) { s.Face = geometry.FaceDown }),
		"metric": planOf(t, func(s *quilt.Spec) {
			s.Unit, s.Seam, s.UsableWidth = geometry.Centimetre, 0.75, 107
			s.Strips[0].Cut, s.Strips[1].Cut = 6, 7.5
		}),
		"staggered": planOf(t, func(s *quilt.Spec) { s.Stagger, s.Columns, s.Rows, s.UsableWidth = true, 9, 20, 40 }),
		"mixed":     planOf(t, func(s *quilt.Spec) { s.MixLeans = true; s.Strips[0].Cut = 2 }),
		"45":        planOf(t, func(s *quilt.Spec) { s.Angle = 45 }),
	}
	staggered := slices.ContainsFunc(plans["staggered"].Alike(), func(l quilt.Like) bool { return l.Staggered })
	mixed := slices.ContainsFunc(plans["mixed"].Alike(), func(l quilt.Like) bool { return l.Mixed })
	if !staggered || !mixed {
		t.Fatalf("the plans hold staggered strip sets: %v, mixed ones: %v", staggered, mixed)
	}
	for at, projector := range setups() {
		m, _ := projector.calibrate(t)
		for name, p := range plans {
			if name != "usual" && at != "turned 3 mirrored false" && at != "turned 270 mirrored true" && at != "large screen" {
				continue
			}
			t.Run(at+", "+name, func(t *testing.T) {
				all, err := frames.StripSets(p, m)
				if err != nil {
					t.Fatal(err)
				}
				i := 0
				for _, like := range p.Alike() {
					i += checkRun(t, p, like, all[i:], m, projector)
				}
				if i != len(all) {
					t.Errorf("%d frames, %d of them for strip sets", len(all), i)
				}
			})
		}
	}
}

// checkRun follows the frames of strip sets that are cut alike and returns
// how many there are.
func checkRun(t failer, p *quilt.Plan, like quilt.Like, all []frames.Frame, m *calibrate.Map, projector projector) int {
	t.Helper()
	lines := map[int]geometry.Segment{}
	across := map[int]bool{}
	for _, c := range p.Row(like.Layout).Cuts() {
		in := func(g geometry.Point) geometry.Point {
			return geometry.Point{X: p.Spec.Unit.Inches(g.X), Y: p.Spec.Unit.Inches(g.Y)}
		}
		lines[c.Number] = geometry.Segment{A: in(c.Line.A), B: in(c.Line.B)}
		across[c.Number] = c.Kind != strip.TipTrimCut
	}
	seen := map[int]int{}
	shift, lastAcross := all[0].Shift, 0
	for k := range all {
		f := &all[k]
		if k > 0 && f.Slide == 0 {
			return k // the next run begins
		}
		shift.X -= f.Slide
		if k > 0 {
			u := p.Spec.Unit
			says := geometry.FormatLength(u.Of(f.Slide, f.Slide*2.54), u)
			if s := f.Note; !strings.Contains(s, "Slide the strip set "+says+" to the left") {
				t.Errorf("%s slides by %v and says %q", f.Name, f.Slide, s)
			}
		}
		doc := read(t, f, m)
		if want := fmt.Sprintf("0 0 %d %d", projector.screen.Width, projector.screen.Height); doc.ViewBox != want || doc.Width+" "+doc.Height != want[4:] {
			t.Errorf("%s: viewBox %s, width %s, height %s", f.Name, doc.ViewBox, doc.Width, doc.Height)
		}
		land := func(what, d string, number int) {
			pts := points(t, d)
			want := lines[number].Move(shift)
			for i, px := range pts {
				for _, part := range []float64{0, 0.25, 0.5, 0.75} {
					if i+1 < len(pts) {
						px = px.Add(pts[i+1].Sub(px).Mul(part))
					}
					x, y := projector.land(px.X, px.Y)
					if off := offLine(geometry.Point{X: x, Y: y}, want); !(off <= exact) {
						t.Fatalf("%s: %s %d lands %.5f in off", f.Name, what, number, off)
					}
				}
			}
		}
		ends := func(d string, number int) {
			pts := points(t, d)
			want := lines[number].Move(shift)
			for i, px := range []geometry.Point{pts[0], pts[len(pts)-1]} {
				x, y := projector.land(px.X, px.Y)
				if off := (geometry.Point{X: x, Y: y}).Sub([]geometry.Point{want.A, want.B}[i]).Len(); !(off <= exact) {
					t.Fatalf("%s: an end of cut %d is %.5f in off", f.Name, number, off)
				}
			}
		}
		cut := doc.group(t, "cut")
		highest, fromCut := 0, []int{}
		for _, path := range cut.Paths {
			seen[path.Number]++
			fromCut = append(fromCut, path.Number)
			land("cut", path.D, path.Number)
			ends(path.D, path.Number)
			if thin := path.Width != ""; thin == across[path.Number] {
				t.Errorf("%s: cut %d is thin: %v", f.Name, path.Number, thin)
			}
			if across[path.Number] {
				highest = max(highest, path.Number)
			}
		}
		if !slices.Equal(fromCut, f.ToCut) || !slices.IsSorted(fromCut) {
			t.Errorf("%s: draws cuts %v for %v", f.Name, fromCut, f.ToCut)
		}
		up, done := doc.group(t, "line-up").Paths, doc.group(t, "done").Paths
		if k == 0 {
			if len(up)+len(done) > 0 {
				t.Errorf("%s begins with a line to line up", f.Name)
			}
		} else {
			// The last cut across is lined up, and one piece is shown again.
			if len(up) != 1 || up[0].Number != lastAcross {
				t.Fatalf("%s lines up %+v after cut %d", f.Name, up, lastAcross)
			}
			land("line", up[0].D, up[0].Number)
			ends(up[0].D, up[0].Number)
			for _, d := range done {
				if d.Number != lastAcross-1 {
					t.Errorf("%s shows cut %d as done beside %d", f.Name, d.Number, lastAcross)
				}
				land("cut that is done", d.D, d.Number)
			}
			// There may be no room for that beside a single new piece.
			both := geometry.EmptyRect()
			for _, n := range []int{lastAcross - 1, lastAcross + 1} {
				both = both.Grow(lines[n].A, lines[n].B)
			}
			if len(done) == 0 && both.Width() < 0.5*areaWidth(m) {
				t.Errorf("%s does not show the piece before", f.Name)
			}
		}
		lastAcross = highest
	}
	defer func() {
		for n := range lines {
			if seen[n] != 1 {
				t.Errorf("cut %d is to be cut on %d frames", n, seen[n])
			}
		}
	}()
	return len(all)
}

func areaWidth(m *calibrate.Map) float64 {
	_, mat := m.Area()
	return mat.Bounds().Width()
}

// Law, for any quilt that fits and any way to hang the projector: all that is
// drawn lies in the calibrated area, letters included; numbers lie clear of
// lines and of each other; each cut is to be cut once; lettering reads
// upright on the mat.
func TestFrameLaws(t *testing.T) {
	type mapped struct {
		p projector
		m *calibrate.Map
	}
	var all []mapped
	for _, p := range setups() {
		m, _ := p.calibrate(t)
		all = append(all, mapped{p, m})
	}
	slices.SortFunc(all, func(a, b mapped) int { return strings.Compare(fmt.Sprint(a.p), fmt.Sprint(b.p)) })
	drawn := 0
	outside.Cases(t, 30, 100)
	rapid.Check(t, func(t *rapid.T) {
		at := all[rapid.IntRange(0, len(all)-1).Draw(t, "projector")]
		p := drawPlan(t)
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		var fs []frames.Frame
		var err error
		cutting := rapid.SampledFrom([]string{"strip sets", "strips"}).Draw(t, "what")
		if cutting == "strips" {
			fs, err = frames.Strips(p, at.m, rapid.SampledFrom([]int{0, 2, 4}).Draw(t, "layers"))
		} else {
			fs, err = frames.StripSets(p, at.m)
		}
		var unfit *frames.FitError
		if errors.As(err, &unfit) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		if cutting != "strips" {
			i := 0
			for _, like := range p.Alike() {
				i += checkRun(t, p, like, fs[i:], at.m, at.p)
			}
		}
		for i := range fs {
			checkFrame(t, &fs[i], at.m, at.p, p.Spec.Unit)
			drawn++
		}
	})
	if drawn < 50 {
		t.Errorf("only %d frames were looked at", drawn)
	}
}

func drawPlan(t *rapid.T) *quilt.Plan {
	unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
	k := unit.Of(1, 2.5)
	layout, err := quilt.NewLayout(outside.DrawRepeat(t, 4))
	if err != nil {
		t.Fatal(err)
	}
	s := quilt.Spec{
		Name: "Frames", Unit: unit, Seam: k / 4, UsableWidth: 40 * k,
		Angle:   geometry.Angle(rapid.SampledFrom([]float64{30, 45, 60, 60, 60, 72, 90}).Draw(t, "angle")),
		Layout:  layout,
		Columns: rapid.IntRange(2, 12).Draw(t, "columns"), Rows: rapid.IntRange(2, 12).Draw(t, "rows"),
		Face:     rapid.SampledFrom([]geometry.Face{geometry.FaceUp, geometry.FaceDown}).Draw(t, "face"),
		Tips:     rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"),
		Stagger:  rapid.Bool().Draw(t, "stagger"),
		EndTrim:  k * rapid.Float64Range(0, 0.5).Draw(t, "end trim"),
		MixLeans: rapid.Bool().Draw(t, "mix"),
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "strips") {
		key := fmt.Sprintf("cloth %d", i)
		s.Strips = append(s.Strips, quilt.Strip{Cut: k * rapid.Float64Range(1.5, 5).Draw(t, "cut"), Fabric: key})
		f := quilt.Fabric{Key: key, Colours: []quilt.Colour{{1, 2, 3}}, From: rapid.SampledFrom([]quilt.Source{quilt.Yardage, quilt.FatQuarters}).Draw(t, "from")}
		if f.From == quilt.FatQuarters {
			f.StripLength = 21 * k
		}
		s.Fabrics = append(s.Fabrics, f)
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// box is where a text lies on the mat, in Helvetica.
func box(x draw.Text) geometry.Rect {
	w := outside.Helvetica(x.Value, x.Height, false)
	left := x.At.X
	if x.Centred {
		left -= w / 2
	}
	return geometry.Rect{Min: geometry.Point{X: left, Y: x.At.Y}, Max: geometry.Point{X: left + w, Y: x.At.Y + x.Height}}
}

func checkFrame(t failer, f *frames.Frame, m *calibrate.Map, projector projector, u geometry.Unit) {
	t.Helper()
	screen, _ := m.Area()
	doc := read(t, f, m)
	for _, g := range doc.Groups {
		for _, p := range g.Paths {
			for _, px := range points(t, p.D) {
				for i, a := range screen {
					d := screen[(i+1)%len(screen)].Sub(a)
					if d.Cross(px.Sub(a))/d.Len() < -1e-5 {
						t.Fatalf("%s: %s reaches %v, outside the calibrated area", f.Name, g.ID, px)
					}
				}
			}
		}
		for _, text := range g.Words.Texts {
			upright(t, f.Name+": "+text.Value, matrix(t, text.Transform), projector)
		}
	}
	for i, text := range f.Texts {
		b := box(text)
		for _, c := range []geometry.Point{b.Min, b.Max, {X: b.Min.X, Y: b.Max.Y}, {X: b.Max.X, Y: b.Min.Y}} {
			if !m.Holds(c) {
				t.Fatalf("%s: %q lies outside the calibrated area", f.Name, text.Value)
			}
		}
		for _, p := range append(f.Paths, draw.Path{Role: draw.Square, Points: f.Square.Rect().Polygon(), Closed: true}) {
			for _, s := range p.Segments() {
				if _, touches := b.Clip(s); touches {
					t.Fatalf("%s: %q (%.2f high) lies on a line of %v", f.Name, text.Value, text.Height, p.Role)
				}
			}
		}
		for _, other := range f.Texts[:i] {
			o := box(other)
			if b.Min.X < o.Max.X && o.Min.X < b.Max.X && b.Min.Y < o.Max.Y && o.Min.Y < b.Max.Y {
				t.Fatalf("%s: %q and %q lie on each other", f.Name, text.Value, other.Value)
			}
		}
	}
	// The square: as large as it says, true to size.
	square := doc.group(t, "square").Paths
	if len(square) != 1 || square[0].ID != "calibration-square" {
		t.Fatalf("%s has no check square", f.Name)
	}
	side, unit := 0.0, ""
	if _, err := fmt.Sscanf(square[0].Size, "%f%s", &side, &unit); err != nil || unit != u.String() {
		t.Fatalf("%s: check square of %q", f.Name, square[0].Size)
	}
	if !slices.ContainsFunc(f.Texts, func(x draw.Text) bool { return strings.HasPrefix(x.Value, geometry.FormatLength(side, u)) }) {
		t.Errorf("%s does not say how large its square is", f.Name)
	}
	want := u.Inches(side)
	if whole := u.Of(side, side/5); whole != math.Round(whole) || want > 12 {
		t.Errorf("%s: a check square of %v", f.Name, square[0].Size)
	}
	lowest := landed(t, square[0].D, projector)
	if math.Abs(lowest.Width()-want) > exact || math.Abs(lowest.Height()-want) > exact {
		t.Errorf("%s: the check square is %v by %v, not %v", f.Name, lowest.Width(), lowest.Height(), want)
	}
}

// landed returns the smallest rectangle on the mat around what a path shows.
func landed(t failer, d string, projector projector) geometry.Rect {
	t.Helper()
	out := geometry.EmptyRect()
	for _, px := range points(t, d) {
		x, y := projector.land(px.X, px.Y)
		out = out.Grow(geometry.Point{X: x, Y: y})
	}
	return out
}

// A photo tells the sides of the check square from the mat's lines, which are half
// an inch or 1 cm apart, where there is room for that.
func TestCheckSquareIsClearOfTheMatsLines(t *testing.T) {
	for at, projector := range setups() {
		m, _ := projector.calibrate(t)
		for _, p := range []*quilt.Plan{planOf(t, nil), planOf(t, func(s *quilt.Spec) {
			s.Unit, s.Seam, s.UsableWidth = geometry.Centimetre, 0.75, 107
			s.Strips[0].Cut, s.Strips[1].Cut = 6, 7.5
		})} {
			all, err := frames.StripSets(p, m)
			if err != nil {
				t.Fatal(err)
			}
			doc := read(t, &all[0], m)
			square := landed(t, doc.group(t, "square").Paths[0].D, projector)
			for _, v := range []float64{square.Min.X, square.Max.X, square.Min.Y, square.Max.Y} {
				lines := p.Spec.Unit.Of(0.5, 1/geometry.CentimetresPerInch)
				if off := math.Abs(v - lines*math.Round(v/lines)); off < 0.15 {
					t.Errorf("%s, in %v: a side of the check square is %.3f in beside a line of the mat", at, p.Spec.Unit, off)
				}
			}
		}
	}
}

// upright checks that a text runs along x on the mat and stands up along y.
func upright(t failer, what string, m [6]float64, projector projector) {
	t.Helper()
	at := func(x, y float64) geometry.Point { // of the text's own frame, y down
		lx, ly := projector.land(m[0]*x+m[2]*y+m[4], m[1]*x+m[3]*y+m[5])
		return geometry.Point{X: lx, Y: ly}
	}
	along, up := at(10, 0).Sub(at(0, 0)), at(0, -10).Sub(at(0, 0))
	if !(along.X > 0 && math.Abs(along.Y) < 0.05*along.X && up.Y > 0 && math.Abs(up.X) < 0.25*up.Y) {
		t.Errorf("%s runs along %v and stands up along %v", what, along, up)
	}
}

// The same frames are the same bytes.
func TestSameBytes(t *testing.T) {
	m, _ := home.calibrate(t)
	var first []byte
	for range 2 {
		fs, err := frames.StripSets(planOf(t, nil), m)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		for i := range fs {
			if err := fs[i].Write(&out, m, frames.PlainLook()); err != nil {
				t.Fatal(err)
			}
		}
		if first == nil {
			first = out.Bytes()
		} else if !bytes.Equal(first, out.Bytes()) {
			t.Error("two runs differ")
		}
	}
}

// As many pieces as fit: a frame that is not the last of its run has no room
// for one more.
func TestAsManyAsFit(t *testing.T) {
	straight := home
	straight.k1, straight.tiltX, straight.tiltY, straight.turn = 0, 0, 0, 0
	m, _ := straight.calibrate(t)
	_, mat := m.Area()
	p := planOf(t, nil)
	// Straight down: the area is a rectangle 36 in times 0.94 wide.
	if w := mat.Bounds().Width(); math.Abs(w-0.94*36) > 1e-6 {
		t.Fatalf("the area is %v wide", w)
	}
	room := mat.Bounds().Width() - 0.2
	fs, err := frames.StripSets(p, m)
	if err != nil {
		t.Fatal(err)
	}
	for i := range fs[:len(fs)-1] {
		if fs[i+1].Slide == 0 {
			continue
		}
		extent := geometry.EmptyRect()
		for _, p := range fs[i].Paths {
			if p.Number > 0 {
				extent = extent.Grow(p.Points...)
			}
		}
		if extent.Width()+p.Set.CutSide() <= room {
			t.Errorf("%s reaches over %v in, a diamond takes %v more, and there are %v", fs[i].Name, extent.Width(), p.Set.CutSide(), room)
		}
	}
}

func TestUnfit(t *testing.T) {
	m, _ := home.calibrate(t)
	small := home
	small.wide = 20
	near, _ := small.calibrate(t)
	wide := func(s *quilt.Spec) { s.Strips[0].Cut, s.Strips[1].Cut, s.UsableWidth = 12, 12, 60 }
	for name, c := range map[string]struct {
		draw func() error
		says []string
	}{
		"too wide": {func() error { _, err := frames.StripSets(planOf(t, wide), m); return err },
			[]string{"the strip set is 23 1/2 in wide", "from front to back", "raise the projector", "turn the mat"}},
		"too long": {func() error {
			_, err := frames.StripSets(planOf(t, func(s *quilt.Spec) {
				s.Strips = s.Strips[:1]
				s.Angle, s.Strips[0].Cut, s.UsableWidth = 15, 4, 80
			}), near)
			return err
		}, []string{"one diamond takes", "along the strip set", "raise the projector"}},
		"fabric": {func() error { _, err := frames.Strips(planOf(t, nil), m, 1); return err },
			[]string{"the fabric is 41 in", "the calibrated area is"}},
		"strips": {func() error {
			_, err := frames.Strips(planOf(t, func(s *quilt.Spec) {
				for i := range s.Fabrics {
					s.Fabrics[i].From = quilt.Precut
				}
			}), m, 0)
			return err
		}, []string{"all fabrics are bought as strips"}},
	} {
		err := c.draw()
		var unfit *frames.FitError
		if !errors.As(err, &unfit) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, words := range c.says {
			if !strings.Contains(err.Error(), words) {
				t.Errorf("%s: %q does not say %q", name, err, words)
			}
		}
	}
}

func BenchmarkFrames(b *testing.B) {
	m, _ := home.calibrate(b)
	p := planOf(b, func(s *quilt.Spec) { s.Columns, s.Rows = 12, 15 })
	n := 0
	for b.Loop() {
		fs, err := frames.StripSets(p, m)
		if err != nil {
			b.Fatal(err)
		}
		for i := range fs {
			if err := fs[i].Write(io.Discard, m, frames.PlainLook()); err != nil {
				b.Fatal(err)
			}
		}
		n = len(fs)
	}
	b.ReportMetric(float64(n), "frames")
}
