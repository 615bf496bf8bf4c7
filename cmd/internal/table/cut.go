// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"

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
		at, ok := s.keeper.lastStop(s.plan)
		if s.stop != nil {
			at, ok = *s.stop, true // the disk may lag behind
		}
		if s.at = (place{}); ok {
			s.at = c.find(at)
		}
		if s.at != (place{}) {
			s.note("Here you stopped. Home goes to the beginning of this strip set.")
		}
	}
	s.enter(&cut{})
}

// moveTo goes to another step and keeps it.
func (s *session) moveTo(at place) {
	s.at = at
	stop := s.cutting.stopAt(at)
	s.stop = &stop
	if !s.closed {
		s.stops.put(stop)
	}
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
	v.Keys = append(v.Keys, cutKeys...)
	n, total := s.cutting.done(s.at), s.cutting.total
	done := fmt.Sprintf("Done: %d of %d right-leaning, %d of %d left-leaning.", n[geometry.Right], total[geometry.Right], n[geometry.Left], total[geometry.Left])
	if s.at == s.cutting.end() {
		v.Say = "All pieces are cut."
		v.more(done, "Q shows the quilt.")
		v.inside(s.using.m)
		return
	}
	w := s.cutting.way(s.at)
	st := w.steps[s.at.Step]
	f := &w.frames[st.frame]
	v.Say = s.stepWords(w, st)
	like := s.cutting.alike[s.cutting.of[s.at.StripSet]]
	sets, left := len(s.cutting.of), "none"
	if n := sets - s.at.StripSet - 1; n > 0 {
		left = words.Count(n, "strip set")
	}
	v.more(fmt.Sprintf("Strip set %d of %d, %s; %s left after this one.", s.at.StripSet+1, sets, words.Lean(like.Layout), left), done)
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
var cutKeys = []keyHelp{
	{"Space", "done: on to the next cut"},
	{"Backspace", "back to the cut before"},
	{"Home", "to the beginning of this strip set"},
	{"Page up, Page down", "to the strip set before, to the next one"},
	{"P", "one piece at true size"},
	{"Q", "the quilt, with what is cut filled in"},
	{"A", "show all cuts, or only this one and the next"},
	{"K", "show a check square beside the cuts"},
	{"M", "measure the check square"},
	{"N", "other calibrations"},
}

// stepWords says what to do.
func (s *session) stepWords(w *way, st step) string {
	spec := s.plan.Spec
	name := func(piece int) string {
		return words.Piece(spec, w.row.Pieces[piece].Shape, w.leans[piece], 1)
	}
	switch st.kind {
	case layStep:
		return fmt.Sprintf("Lay strip set %d down, %s, %s nearest you: its edges and its left end on the thin lines.",
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
	return fmt.Sprintf("Slide the strip set %s to the left and line the edge of cut %d up with the broken line.", s.plainLength(f.Slide), f.LineUp)
}

// looks tells as what each cut line of a frame is drawn at a step; "" for those
// that are made.
func (w *way) looks(at int) map[int]string {
	out := map[int]string{}
	for i, st := range w.steps {
		as := asLater
		switch {
		case st.frame != w.steps[at].frame:
			continue
		case i < at:
			as = ""
		case i == at:
			as = asNow
		case i == at+1:
			as = asNext
		}
		for _, n := range st.cuts {
			out[n] = as
		}
	}
	return out
}

// draw draws the frame as it stands at a step.
func (c *cut) draw(s *session, v *view, w *way, f *frames.Frame) {
	m, st, cuts := s.using.m, w.steps[s.at.Step], w.looks(s.at.Step)
	if st.piece >= 0 {
		v.fill(m, asPiece, s.onMat(w.row.Piece(st.piece).Outline, f.Shift))
	}
	edge, words := asRim, "" // of the cut that is lined up
	if st.kind == slideStep {
		edge, words = asLineUp, asLineUp
	}
	for _, p := range f.Paths {
		switch p.Role {
		case draw.Cut:
			v.draw(m, cuts[p.Number], p)
		case draw.LineUp:
			v.draw(m, edge, p)
		case draw.Sew:
			v.draw(m, asSeam, p)
		case draw.Mark:
			v.draw(m, asRim, p)
		}
	}
	for _, t := range f.Texts {
		switch {
		case t.Number == 0 || t.Faint:
		case t.Number == f.LineUp:
			v.write(m, words, t)
		default:
			v.write(m, cuts[t.Number], t)
		}
	}
	square := f.Square.Rect()
	v.outline(m, asCheck, square.Polygon())
	v.write(m, asCheck, draw.Text{At: square.Centre(), Height: 0.3, Value: s.plainLength(f.Square.Side), Centred: true})
}

func (c *cut) hear(s *session, a action) {
	key := a.key()
	if c.unfit != nil && key != "n" {
		return
	}
	at := s.at
	switch key {
	case " ", "enter", "arrowright":
		at = s.cutting.next(at)
	case "backspace", "arrowleft":
		at = s.cutting.before(at)
	case "home":
		at.Step = 0
	case "pagedown":
		if at.StripSet < len(s.cutting.of) {
			at = place{StripSet: at.StripSet + 1}
		}
	case "pageup":
		switch {
		case at.Step > 0:
			at.Step = 0
		case at.StripSet > 0:
			at = place{StripSet: at.StripSet - 1}
		}
	case "p":
		s.enter(&showPiece{})
	case "q":
		s.enter(&showQuilt{})
	case "m":
		s.enter(&checking{})
	case "n":
		s.enter(&beginning{})
	}
	if at != s.at {
		s.moveTo(at)
	}
}
