// SPDX-License-Identifier: Apache-2.0

package table

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/frames"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// cut shows one cut after another.
type cut struct{ unfit error }

// startCutting goes to the cuts, where she stopped last time.
func (s *session) startCutting() {
	if s.cutting == nil {
		c, err := newCutting(s.plan, s.using.m)
		if err != nil {
			s.enter(&cut{unfit: err})
			return
		}
		s.cutting = c
		s.recall()
	}
	s.enter(&cut{})
}

// recall finds out what is cut, and where to go on.
func (s *session) recall() {
	if s.stop == nil {
		r, lost := s.keeper.lastProgress(s.plan)
		if lost != "" {
			s.note("%s", lost)
		}
		s.cut, s.stop = r.progress(), &r.At
		s.cut.spoiled = slices.DeleteFunc(s.cut.spoiled, func(p pieceOf) bool { return !s.cutting.has(p) })
	}
	s.at = s.cutting.find(*s.stop, s.cut.made)
	if s.at != (place{}) {
		s.note("Here you stopped. Home lays this strip set again.")
	}
}

// moveTo goes to another step and keeps it, with all that is cut.
func (s *session) moveTo(at place) {
	s.at = at
	stop := s.cutting.stopAt(at)
	s.stop = &stop
	if !s.closed {
		s.unkept = s.keeper.keepProgress(s.plan, s.cut.recorded(stop))
	}
}

// on makes the cuts of this step and goes on to the next.
func (s *session) on() {
	if s.at == s.cutting.end() {
		return
	}
	w, at := s.cutting.way(s.at), s.at
	s.cut.made.make(at.StripSet, s.cutsAt(w))
	next := s.cutting.next(at, s.cut.made)
	if next.StripSet < at.StripSet {
		s.note("Strip set %d was skipped: it comes now.", next.StripSet+1)
	}
	s.moveTo(next)
}

// back goes back a step; what was cut there counts as not cut.
func (s *session) back() {
	s.at = s.cutting.before(s.at, s.cut.made)
	if w := s.cutting.way(s.at); s.look.All && len(w.steps[s.at.Step].cuts) > 0 {
		s.at.Step, _ = w.together(s.at.Step)
	}
	s.cut.made.unmake(s.at.StripSet, s.cutsAt(s.cutting.way(s.at)))
	s.moveTo(s.at)
}

// cutsAt returns the numbers of the cuts that are made where she is.
func (s *session) cutsAt(w *way) []int {
	st := w.steps[s.at.Step]
	if !s.look.All || len(st.cuts) == 0 {
		return st.cuts
	}
	_, all := w.together(s.at.Step)
	return all
}

// unmade returns those of the numbers that are not cut yet in her strip set.
func (s *session) unmade(numbers []int) []int {
	return slices.DeleteFunc(slices.Clone(numbers), func(n int) bool { return s.cut.made[s.at.StripSet][n] })
}

func (c *cut) show(s *session, v *view) {
	v.Stage = "cut"
	if c.unfit != nil {
		v.Say = words.Sentence(c.unfit.Error())
		v.more("N calibrates afresh.")
		v.inside(s.using.m)
		v.key("N", "calibrate afresh")
		return
	}
	v.cutKeys()
	n, total := s.cutting.done(&s.cut), s.cutting.total
	done := fmt.Sprintf("Done: %d of %d right-leaning, %d of %d left-leaning.", n[geometry.Right], total[geometry.Right], n[geometry.Left], total[geometry.Left])
	if s.at == s.cutting.end() {
		v.Say = "All pieces are cut."
		v.more(s.spoiledWords()...)
		v.more(done, "Q shows the quilt, X tells of a spoiled piece, E begins afresh with the next quilt.")
		v.inside(s.using.m)
		return
	}
	w := s.cutting.way(s.at)
	st := w.steps[s.at.Step]
	f := &w.frames[st.frame]
	v.Say = s.stepWords(w, st)
	s.cloth(v)
	if n := s.cutsAt(w); len(n) == 1 {
		v.Number = fmt.Sprint(n[0])
	}
	like := s.cutting.alike[s.cutting.of[s.at.StripSet]]
	sets, left := len(s.cutting.of), "none"
	if n := sets - s.at.StripSet - 1; n > 0 {
		left = words.Count(n, "strip set")
	}
	v.more(fmt.Sprintf("Strip set %d of %d, %s; %s left after this one.", s.at.StripSet+1, sets, words.Lean(like.Layout), left), done)
	v.more(s.spoiledWords()...)
	if st.kind == layStep || st.kind == startStep {
		v.more(words.CutAway, words.NoLens)
	}
	colours, names := s.plan.Colours(s.at.StripSet), words.StripFabrics(s.plan, s.at.StripSet)
	for i := len(s.plan.Spec.Strips) - 1; i >= 0; i-- {
		v.Strips = append(v.Strips, swatch{names[i], colours[i].String()})
	}
	v.place(s.using.m, f.Panel)
	if s.fits() {
		c.draw(s, v, w, f)
	}
}

// cutKeys are the keys at the cuts.
func (v *view) cutKeys() {
	v.key("Space", "done: on to the next cut")
	v.key("Backspace", "back: what was cut there counts as not cut")
	v.key("shift Space", "to the next strip set; what is skipped does not count as cut")
	v.key("shift Backspace", "to the strip set before")
	v.key("Home", "lay this strip set again")
	v.key("P", "one piece at true size")
	v.key("Q", "the quilt, with what is cut filled in")
	v.key("M", "move the crosses onto the mat's lines again")
	v.key("B", "after a bump: do two crosses still lie on the lines?")
	v.key("A", "show all cuts, or only this one and the next")
	v.key("K", "show a check square beside the cuts")
	v.key("X", "a piece is spoiled: it is needed once more")
	v.key("E", "begin afresh with the next quilt of this pattern")
	v.key("S", "measure the check square")
	v.key("O", "other calibrations")
	v.key("N", "calibrate afresh")
}

// stepWords says what to do.
func (s *session) stepWords(w *way, st step) string {
	spec := s.plan.Spec
	if s.look.All && len(st.cuts) > 0 {
		return s.allWords(w)
	}
	name := func(piece int) string {
		return words.Piece(spec, w.row.Pieces[piece].Shape, w.leans[piece], 1)
	}
	switch f := &w.frames[st.frame]; st.kind {
	case layStep:
		if edge := s.lineUp(w, f); edge > 0 {
			return fmt.Sprintf("Lay strip set %d down again, %s, %s nearest you: its cut edge, that of cut %d, on the broken line.",
				s.at.StripSet+1, words.Face(spec.Face), words.Fabric(spec, spec.Strips[0].Fabric), edge)
		}
		return fmt.Sprintf("Lay strip set %d down, %s, %s nearest you: its edges and its left end on the dotted lines.",
			s.at.StripSet+1, words.Face(spec.Face), words.Fabric(spec, spec.Strips[0].Fabric))
	case startStep:
		return fmt.Sprintf("Cut %d, the starting cut: it trues the end.", st.cuts[0])
	case acrossStep:
		what := "crosscut"
		for _, c := range w.row.Cuts() {
			if c.Number == st.cuts[0] && c.Kind == strip.BaseCut {
				what = "base cut"
			}
		}
		return fmt.Sprintf("Cut %d, a %s: it frees a %s.", st.cuts[0], what, name(st.piece))
	case tipsStep:
		if len(st.cuts) == 1 {
			return fmt.Sprintf("Blunt the tip of this %s: cut %d.", name(st.piece), st.cuts[0])
		}
		return fmt.Sprintf("Blunt the tips of this %s: cuts %s.", name(st.piece), words.List(st.cuts))
	}
	f := &w.frames[st.frame]
	return fmt.Sprintf("Slide the strip set %s to the left and line the edge of cut %d up with the broken line.", s.plainLength(f.Slide), s.lineUp(w, f))
}

// allWords says what to do when all cuts of a picture are made at once.
func (s *session) allWords(w *way) string {
	var across, tips []int
	first, all := w.together(s.at.Step)
	for i := first; i < len(w.steps) && w.steps[i].frame == w.steps[first].frame; i++ {
		if w.steps[i].kind == tipsStep {
			tips = append(tips, w.steps[i].cuts...)
		} else {
			across = append(across, w.steps[i].cuts...)
		}
	}
	across, tips = s.unmade(across), s.unmade(tips)
	switch {
	case len(across)+len(tips) == 0:
		return fmt.Sprintf("%s are made.", words.Capital(words.Numbers("cut", all)))
	case len(across) == 0:
		return fmt.Sprintf("Blunt the tips: %s.", words.Numbers("cut", tips))
	case len(tips) == 0:
		return fmt.Sprintf("Make %s, from left to right.", words.Numbers("cut", across))
	}
	return fmt.Sprintf("Make %s, from left to right, then blunt the tips: %s.", words.Numbers("cut", across), words.Numbers("cut", tips))
}

// lineUp returns the cut whose edge is laid on its line: in a picture that was
// begun the last one across that is made.
func (s *session) lineUp(w *way, f *frames.Frame) int {
	edge := f.LineUp
	for _, st := range w.steps {
		if (st.kind == acrossStep || st.kind == startStep) && &w.frames[st.frame] == f && s.cut.made[s.at.StripSet][st.cuts[0]] {
			edge = st.cuts[0]
		}
	}
	return edge
}

// drawnAs tells as what each cut line is drawn; those that are not there are
// not drawn. Before the cloth lies there is nothing to cut.
func (s *session) drawnAs(w *way) map[int]string {
	out := map[int]string{}
	if st := w.steps[s.at.Step]; len(st.cuts) == 0 {
		out[s.lineUp(w, &w.frames[st.frame])] = asLineUp
		return out
	}
	if next := s.cutting.next(s.at, s.cut.made); next.StripSet == s.at.StripSet && w.steps[next.Step].frame == w.steps[s.at.Step].frame {
		for _, n := range w.steps[next.Step].cuts {
			out[n] = asNext
		}
	}
	for _, n := range s.cutsAt(w) {
		out[n] = asNow
	}
	for n := range s.cut.made[s.at.StripSet] {
		delete(out, n)
	}
	return out
}

// draw draws the frame as it stands at a step.
func (c *cut) draw(s *session, v *view, w *way, f *frames.Frame) {
	m, st, cuts := s.using.m, w.steps[s.at.Step], s.drawnAs(w)
	laying := len(st.cuts) == 0
	if laying {
		s.bands(v, f)
	}
	if st.piece >= 0 && !s.look.All {
		v.fill(m, asPiece, s.onMat(w.row.Piece(st.piece).Outline, f.Shift))
	}
	for _, p := range f.Paths {
		switch p.Role {
		case draw.Cut, draw.LineUp:
			as := cuts[p.Number]
			if as == "" && p.Role == draw.LineUp {
				as = asRim
			}
			v.draw(m, as, p)
			if as == asLineUp && st.kind == slideStep {
				slideTo(v, m, p, f.Slide)
			}
		case draw.Sew:
			v.draw(m, asSeam, p)
		case draw.Mark:
			v.draw(m, asRim, p)
		}
	}
	for _, t := range f.Texts {
		if t.Number > 0 && !t.Faint {
			v.write(m, cuts[t.Number], t)
		}
	}
	square := f.Square.Rect()
	v.outline(m, asCheck, square.Polygon())
	v.write(m, asCheck, draw.Text{At: square.Centre(), Height: 0.3, Value: s.plainLength(f.Square.Side), Centred: true})
}

// bands shows the strips in their colours where they are to lie: between the
// cloth's edges and seams, lowest first.
func (s *session) bands(v *view, f *frames.Frame) {
	var level [][]geometry.Point
	for _, p := range f.Paths {
		if (p.Role == draw.Sew || p.Role == draw.Mark) && math.Abs(p.Points[0].Y-p.Points[1].Y) < geometry.Fit {
			level = append(level, p.Points)
		}
	}
	slices.SortFunc(level, func(a, b []geometry.Point) int { return cmp.Compare(a[0].Y, b[0].Y) })
	for i, colour := range s.plan.Colours(s.at.StripSet) {
		if len(level) == len(s.plan.Spec.Strips)+1 {
			low, high := level[i], level[i+1]
			// The lines end where the light does; there nothing can be filled.
			in := geometry.Point{X: 0.02}
			v.fill(s.using.m, asBand, geometry.Polygon{low[0].Add(in), low[1].Sub(in), high[1].Sub(in), high[0].Add(in)})
			if n := len(v.Fills); n > 0 {
				v.Fills[n-1].Colour = colour.String()
			}
		}
	}
}

// slideTo shows from where a cut edge is slid to its line: the edge as it lies
// now, and an arrow.
func slideTo(v *view, m *calibrate.Map, edge draw.Path, far float64) {
	from := geometry.Segment{A: edge.Points[0], B: edge.Points[1]}.Move(geometry.Point{X: far})
	v.line(m, asGhost, from.A, from.B)
	tail := from.A.Add(from.B).Mul(0.5)
	tip := tail.Sub(geometry.Point{X: 0.96 * far})
	head := min(1, far/4)
	v.line(m, asArrow, tail, tip)
	for _, up := range []float64{-1, 1} {
		v.line(m, asArrow, tip, tip.Add(geometry.Point{X: head, Y: 0.6 * up * head}))
	}
}

func (c *cut) hear(s *session, a action) {
	key := a.key()
	if c.unfit != nil && key != "n" && key != "o" {
		return
	}
	at := s.at
	switch key {
	case "on":
		s.on()
		return
	case "back":
		s.back()
		return
	case "home":
		at.Step = 0
	case "next":
		if at.StripSet+1 < len(s.cutting.of) {
			at = s.cutting.first(at.StripSet+1, s.cut.made)
		} else {
			at = s.cutting.from(at.StripSet, s.cut.made)
		}
	case "previous":
		if at.StripSet > 0 {
			at = s.cutting.first(at.StripSet-1, s.cut.made)
		}
	case "p":
		s.enter(&showPiece{})
	case "q":
		s.enter(&showQuilt{})
	case "a":
		s.look.All = !s.look.All
		s.keepLook()
	case "k":
		s.look.Square = !s.look.Square
		s.keepLook()
	case "x":
		s.spoil(c)
	case "e":
		s.enter(&sure{stage: "cut", from: c, word: "afresh", what: "Every piece of this quilt then counts as not cut.", do: func() {
			s.cut = progress{made: cuts{}}
			s.moveTo(place{})
			s.enter(c)
		}})
	case "m":
		s.moveAgain()
	case "b":
		s.lookAgain(c)
	case "s":
		s.enter(&checking{})
	case "o":
		s.enter(&beginning{})
	case "n":
		(&beginning{}).afresh(s)
	}
	if at != s.at {
		s.moveTo(at)
	}
}
