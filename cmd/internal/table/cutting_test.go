// SPDX-License-Identifier: Apache-2.0

package table

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/frames"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

func mapOf(t testing.TB, p virtual.Projector) *calibrate.Map {
	t.Helper()
	f, err := p.Calibrated(calibrate.Grid{Columns: 5, Rows: 5})
	if err != nil {
		t.Fatal(err)
	}
	m, err := f.Map()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Step by step to the end: every cut line of every strip set is shown once to
// be cut, a piece is free before its tips are blunted, what is done only
// grows, and at the end the quilt is whole.
func TestStepByStep(t *testing.T) {
	for _, name := range []string{"tide-lap", "meadow-cot", "ember-throw"} {
		for _, wide := range []float64{38, 27} {
			t.Run(name, func(t *testing.T) {
				p := planOf(t, name)
				mat := virtual.Tilted()
				mat.Wide = wide
				c, err := newCutting(p, mapOf(t, mat))
				if err != nil {
					t.Fatal(err)
				}
				stepsToTheEnd(t, p, c)
			})
		}
	}
}

// stepsToTheEnd goes through all steps of a quilt.
func stepsToTheEnd(t *testing.T, p *quilt.Plan, c *cutting) {
	t.Helper()
	cut := map[[2]int]bool{}
	var before [2]int
	filled := 0
	at := place{}
	g := progress{made: cuts{}}
	for n := 0; at != c.end(); n++ {
		if n > 5000 {
			t.Fatal("no end")
		}
		w := c.way(at)
		st := w.steps[at.Step]
		newCuts(t, w, at, cut)
		g.made.make(at.StripSet, st.cuts)
		done := c.done(&g)
		for lean := range done {
			if done[lean] < before[lean] {
				t.Errorf("%v after %v", done, before)
			}
		}
		before = done
		if n%17 == 0 {
			now := count(c.filled(&g))
			if now < filled || now > done[0]+done[1] {
				t.Errorf("%d places filled, %d before, %v pieces", now, filled, done)
			}
			filled = now
		}
		if s := c.find(c.stopAt(at), g.made); s != at {
			t.Errorf("%+v is kept as %+v and found as %+v", at, c.stopAt(at), s)
		}
		next := c.next(at, g.made)
		if got := c.before(next, g.made); got != at {
			t.Errorf("before %+v comes %+v, not %+v", next, got, at)
		}
		at = next
	}
	if c.next(at, g.made) != at || c.find(c.stopAt(at), g.made) != at {
		t.Error("the end is not the end")
	}
	all := 0
	for k := range c.of {
		all += len(c.way(place{StripSet: k}).row.Cuts())
	}
	if len(cut) != all {
		t.Errorf("%d cuts of %d were shown", len(cut), all)
	}
	if c.done(&g) != c.total || count(c.filled(&g)) != len(p.Pieces) {
		t.Errorf("at the end %v of %v are done, %d of %d places are filled", c.done(&g), c.total, count(c.filled(&g)), len(p.Pieces))
	}
	if c.before(place{}, g.made) != (place{}) {
		t.Error("before the beginning comes something")
	}
}

// newCuts checks that the cuts of a step come once, and tips when their piece
// is free.
func newCuts(t *testing.T, w *way, at place, cut map[[2]int]bool) {
	t.Helper()
	st := w.steps[at.Step]
	for _, number := range st.cuts {
		key := [2]int{at.StripSet, number}
		if cut[key] {
			t.Errorf("cut %d of strip set %d comes twice", number, at.StripSet)
		}
		cut[key] = true
	}
	if st.kind == tipsStep && !cut[[2]int{at.StripSet, frees(w, st.piece)}] {
		t.Errorf("strip set %d: the tips of piece %d come before it is free", at.StripSet, st.piece)
	}
}

// frees returns the cut after which a piece lies free: the later of the two
// across the strip set at its sides.
func frees(w *way, piece int) int {
	last := 0
	outline := w.row.Piece(piece).Outline
	for _, c := range w.row.Cuts() {
		if c.Kind == strip.TipTrimCut {
			continue
		}
		d := c.Line.B.Sub(c.Line.A)
		on := 0
		for _, p := range outline {
			if off := d.Cross(p.Sub(c.Line.A)) / d.Len(); off > -1e-9 && off < 1e-9 {
				on++
			}
		}
		if on >= 2 {
			last = max(last, c.Number)
		}
	}
	return last
}

func count(b []bool) (n int) {
	for _, v := range b {
		if v {
			n++
		}
	}
	return n
}

// What is kept for a stop that the plan does not have is the beginning.
func TestFindsOnlyWhatThereIs(t *testing.T) {
	c, err := newCutting(planOf(t, "tide-lap"), mapOf(t, virtual.Tilted()))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []stop{{StripSet: -1}, {StripSet: 999}, {StripSet: 27}} {
		if at := c.find(s, nil); at != (place{}) {
			t.Errorf("%+v is found at %+v", s, at)
		}
	}
	if at := c.find(stop{3, "slide", 777}, nil); at != (place{StripSet: 3}) {
		t.Errorf("%+v", at)
	}
}

// The bright line is the cut that is spoken of, dim is the next one, and what
// is cut is gone.
func TestWhatIsDrawn(t *testing.T) {
	plan := planOf(t, "tide-lap")
	p := sits(t, plan, t.TempDir(), virtual.Tilted())
	v := p.cuts()
	kinds := func(v *view) map[string]int {
		out := map[string]int{}
		for _, l := range v.Lines {
			out[l.As]++
		}
		return out
	}
	k := kinds(v)
	if k[asNow] != 0 || k[asNext] != 0 || k[asSeam] == 0 || k[asRim] < 3 {
		t.Errorf("laying down: %v", k)
	}
	v = p.presses(" ")
	if k = kinds(v); k[asNow] != 1 || k[asNext] != 1 || len(v.Fills) != 0 {
		t.Errorf("%q: %v, %d fills", v.Say, k, len(v.Fills))
	}
	v = p.presses(" ")
	if k = kinds(v); k[asNow] != 1 || k[asNext] != 1 || len(v.Fills) != 1 {
		t.Errorf("%q: %v, %d fills", v.Say, k, len(v.Fills))
	}
	for !strings.HasPrefix(v.Say, "Blunt the tips") {
		v = p.presses(" ")
	}
	if k = kinds(v); k[asNow] != 2 || k[asNext] != 2 {
		t.Errorf("%q: %v", v.Say, k)
	}
	for !strings.HasPrefix(v.Say, "Slide") {
		v = p.presses(" ")
	}
	if k = kinds(v); k[asLineUp] != 1 || k[asNow] != 0 || k[asNext] != 0 {
		t.Errorf("%q: %v", v.Say, k)
	}
	colour := func(k int) string { return plan.Colours(k)[0].String() }
	if v.Strips[0].Name != "Shell" || !strings.HasPrefix(v.Strips[1].Name, "Tide blues ") || v.Strips[1].Colour != colour(0) {
		t.Errorf("%+v", v.Strips)
	}
	for !strings.HasPrefix(v.Say, "Lay strip set 2") {
		v = p.presses("PageDown")
	}
	cut := plan.Row(plan.Fewest.Layouts[0]).Pieces
	all, sets := [2]int{}, len(plan.Fewest.Layouts)
	for _, l := range plan.Fewest.Layouts {
		for _, pc := range plan.Row(l).Pieces {
			all[pc.Lean]++
		}
	}
	if v.Strips[1].Colour != colour(1) || !strings.Contains(v.More[0], fmt.Sprintf("%d strip sets left after this one", sets-2)) || !strings.Contains(v.More[1], fmt.Sprintf("%d of %d right-leaning, 0 of %d left-leaning", len(cut), all[0], all[1])) || v.Done != len(cut) {
		t.Errorf("%q %q %+v", v.Say, v.More, v.Strips)
	}
	p.goesOn(func(v *view) bool { return v.Say == "All pieces are cut." })
	if v = p.s.now(); !strings.Contains(v.More[0], fmt.Sprintf("%d of %d", all[0], all[0])) || v.Done != all[0]+all[1] {
		t.Errorf("%q %q", v.Say, v.More)
	}
	v = p.presses("q")
	if v.Quilt == nil || len(v.Quilt.Cells) != len(p.s.plan.Pieces) || !v.Quilt.Cells[0].Done {
		t.Errorf("%+v", v.Quilt)
	}
	p.presses("q")
	if v = p.presses("Backspace"); !strings.HasPrefix(v.Say, "Blunt the tips of this left-leaning diamond") || v.Done != all[0]+all[1]-1 {
		t.Errorf("%q, %d", v.Say, v.Done)
	}
}

// goesOn presses On until something is so.
func (p *person) goesOn(until func(*view) bool) (steps int) {
	p.t.Helper()
	for v := p.s.now(); !until(v); v = p.presses("On") {
		if steps++; steps > 2000 {
			p.t.Fatalf("no end: %q", v.Say)
		}
	}
	return steps
}

// What pedals and presenters send is a step, not a strip set; a strip set that
// is skipped does not count as cut, and comes last. Back takes back what On
// did.
func TestStepsAndStripSets(t *testing.T) {
	plan := planOf(t, "tide-lap")
	p := sits(t, plan, t.TempDir(), virtual.Tilted())
	p.cuts()
	for _, keys := range [][2]string{{" ", "Backspace"}, {"Enter", "ArrowUp"}, {"PageDown", "PageUp"}, {"ArrowRight", "ArrowLeft"}, {"ArrowDown", "ArrowLeft"}, {"On", "Back"}} {
		if v := p.presses(keys[0]); !strings.HasPrefix(v.Say, "Cut 1, the starting cut") || v.Done != 0 {
			t.Errorf("%q: %q, %d pieces", keys[0], v.Say, v.Done)
		}
		if v := p.presses(keys[1]); !strings.HasPrefix(v.Say, "Lay strip set 1 ") {
			t.Errorf("%q: %q", keys[1], v.Say)
		}
	}
	p.goesOn(func(v *view) bool { return strings.HasPrefix(v.Say, "Blunt") })
	before := p.s.now()
	if v := p.presses("Shift+PageDown"); !strings.HasPrefix(v.Say, "Lay strip set 2 ") || v.Done != before.Done {
		t.Errorf("%q, %d pieces, %d before", v.Say, v.Done, before.Done)
	}
	// What was begun is laid again, on the edge that was cut last.
	again := "Lay strip set 1 down again"
	if v := p.presses("Shift+ArrowUp"); !strings.HasPrefix(v.Say, again) || !strings.Contains(v.Say, "cut edge") {
		t.Errorf("%q", v.Say)
	}
	if v := p.presses("On"); v.Say != before.Say {
		t.Errorf("%q, was %q", v.Say, before.Say)
	}
	p.presses("Shift+ ")
	if v := p.presses("Back"); !strings.HasPrefix(v.Say, again) || v.Done != before.Done {
		t.Errorf("back from what was skipped: %q", v.Say)
	}
	p.presses("Shift+Enter")
	p.goesOn(func(v *view) bool { return strings.HasPrefix(v.Say, again) })
	if v := p.s.now(); len(v.Notes) != 1 || !strings.Contains(v.Notes[0], "Strip set 1 was skipped") {
		t.Errorf("%q", v.Notes)
	}
	p.goesOn(func(v *view) bool { return v.Say == "All pieces are cut." })
	// The next quilt begins afresh, but not by a key alone.
	p.presses("e")
	if v := p.types("yes"); v.Field == nil || v.Done == 0 {
		t.Errorf("%+v", v)
	}
	if v := p.types("afresh"); !strings.HasPrefix(v.Say, "Lay strip set 1 ") || v.Done != 0 {
		t.Errorf("%q, %d", v.Say, v.Done)
	}
}

// A spoiled piece counts as not cut and is needed once more; the page says
// from which strip set it comes or what to add, also the next day.
func TestSpoiled(t *testing.T) {
	folder, plan := t.TempDir(), planOf(t, "tide-lap")
	p := sits(t, plan, folder, virtual.Tilted())
	p.cuts()
	if v := p.presses("x"); v.Stage != "cut" || len(v.Notes) != 1 {
		t.Errorf("%q %q", v.Say, v.Notes)
	}
	p.goesOn(func(v *view) bool { return v.Done == 2 })
	v := p.presses("x")
	if v.Say != "Which piece is spoiled?" || !strings.HasPrefix(v.More[1], "1  right-leaning edge triangle") || !strings.Contains(v.More[2], "2  right-leaning edge triangle, Tide blues on the wide side") {
		t.Fatalf("%q %q", v.Say, v.More)
	}
	if v = p.presses("Back"); v.Done != 2 {
		t.Errorf("%d pieces", v.Done)
	}
	p.presses("x")
	v = p.presses("2")
	says := func(v *view, what string) bool { return strings.Contains(strings.Join(v.More, "\n"), what) }
	spare := ""
	for k, places := range plan.Places() {
		for i, to := range places {
			pc := plan.Row(plan.Fewest.Layouts[k]).Pieces[i]
			if to < 0 && spare == "" && pc.Shape == plan.Row(plan.Fewest.Layouts[0]).Pieces[0].Shape && pc.Lean == geometry.Right {
				spare = fmt.Sprintf("Strip set %d gives one to spare", k+1)
			}
		}
	}
	if spare == "" {
		spare = "sew one more of the same colours, at least"
	}
	if v.Done != 1 || !says(v, "Needed once more: a right-leaning edge triangle") || !says(v, spare) {
		t.Errorf("%d pieces, %q, should say %q", v.Done, v.More, spare)
	}
	p.s.close()
	p = sits(t, plan, folder, virtual.Tilted())
	p.presses("1")
	p.presses("On")
	if v = p.presses("On"); v.Done != 1 || !says(v, "Needed once more") {
		t.Errorf("next day: %d pieces, %q", v.Done, v.More)
	}
	p.presses("x")
	if v = p.presses("0"); v.Done != 2 || says(v, "Needed once more") {
		t.Errorf("there again: %d pieces, %q", v.Done, v.More)
	}
	p.presses("x")
	p.presses("2")
	p.goesOn(func(v *view) bool { return v.Say == "All pieces are cut." })
	if v = p.s.now(); v.Done != p.s.cutting.total[0]+p.s.cutting.total[1]-1 || !says(v, "Needed once more") {
		t.Errorf("at the end: %d pieces, %q", v.Done, v.More)
	}
}

// With all cuts of a picture shown at once a lap quilt takes few steps.
func TestFewSteps(t *testing.T) {
	p := sits(t, planOf(t, "tide-lap"), t.TempDir(), virtual.Tilted())
	p.cuts()
	l := plainLook()
	l.All = true
	p.does(action{Do: doLook, Look: &l})
	v := p.presses("On")
	n := 0
	for _, l := range v.Lines {
		if l.As == asNow {
			n++
		}
	}
	if !strings.HasPrefix(v.Say, "Make cuts 1 to ") || n < 10 || v.Number != "" {
		t.Errorf("%q with %d lines, %q", v.Say, n, v.Number)
	}
	if v = p.presses("Back"); !strings.HasPrefix(v.Say, "Lay strip set 1 ") {
		t.Errorf("%q", v.Say)
	}
	steps := p.goesOn(func(v *view) bool { return v.Say == "All pieces are cut." })
	sets := len(p.s.plan.Fewest.Layouts)
	if most := 110 * sets / 24; steps > most {
		t.Errorf("%d steps for %d strip sets, more than %d", steps, sets, most)
	}
	t.Logf("%d steps for %d strip sets", steps, sets)
	if v = p.presses("Back"); !strings.HasPrefix(v.Say, "Make ") {
		t.Errorf("%q", v.Say)
	}
}

// The piece that is shown is as large on the mat as the plan has it, and
// leans as it is named, or the other way when it is seen from the wrong side.
func TestPieceAtTrueSize(t *testing.T) {
	for _, name := range []string{"tide-lap", "meadow-cot"} {
		p := sits(t, planOf(t, name), t.TempDir(), virtual.Tilted())
		p.cuts()
		v := p.presses("p")
		kinds := len(p.s.kinds())
		for i := range kinds {
			k := p.s.kinds()[i]
			var g geometry.Polygon
			for _, l := range v.Lines {
				if l.As == asNow {
					x, y := p.mat.Land(l.Points[0], l.Points[1])
					g = append(g, geometry.Point{X: x, Y: y})
				}
			}
			u := p.s.unit()
			want := p.s.plan.Set.Piece(k.shape, k.lean)
			area := u.Inches(u.Inches(want.Outline.Area()))
			if len(g) != len(want.Outline) || !(g.Area() > area*0.995 && g.Area() < area*1.005) {
				t.Errorf("%s %q: %d corners, %.4f sq in, should be %d and %.4f", name, v.Say, len(g), g.Area(), len(want.Outline), area)
			}
			// The centre of the upper half lies to the right of the lower's in
			// what leans right.
			if k.shape == geometry.Diamond {
				box := g.Bounds()
				middle := (box.Min.Y + box.Max.Y) / 2
				upper := g.Within(geometry.Rect{Min: geometry.Point{X: box.Min.X, Y: middle}, Max: box.Max}).Bounds()
				right := upper.Max.X-box.Min.X > box.Width()-1e-3
				seen := right == (k.lean == geometry.Right)
				if seen != (p.s.plan.Spec.Face == 0) {
					t.Errorf("%s %q, face %v: leans right on the mat: %v", name, v.Say, p.s.plan.Spec.Face, right)
				}
			}
			v = p.presses("ArrowRight")
		}
		if v.Stage != "cut" {
			t.Errorf("%+v", v)
		}
	}
}

// A picture that is too small for the strip set says so, and what to do.
func TestTooSmall(t *testing.T) {
	mat := virtual.Tilted()
	mat.Wide = 21
	_, err := newCutting(planOf(t, "ember-throw"), mapOf(t, mat))
	if err != nil {
		var unfit *frames.FitError
		if !errors.As(err, &unfit) {
			t.Fatal(err)
		}
	}
	mat.Wide = 19.5
	p := sits(t, planOf(t, "meadow-cot"), t.TempDir(), mat)
	p.s.plan.Set.Width *= 3
	p.calibrates()
	v := p.presses(" ")
	if v.Stage != "cut" || !strings.Contains(v.Say, "raise the projector") {
		t.Errorf("%q %q", v.Say, v.More)
	}
	for _, key := range []string{" ", "p", "q", "Home"} {
		p.presses(key)
	}
	if v = p.presses("n"); v.Stage != "begin" {
		t.Errorf("%+v", v)
	}
}
