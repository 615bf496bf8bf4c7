// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
)

// looking is a second look at a calibration, the next day or after a bump: two
// crosses are shown on the mat's lines, and are moved onto them if they don't lie
// there; a third one where two don't tell enough.
type looking struct {
	*moving
	shown int // crosses
	after stage
	said  *calibrate.Check // what they tell, unless that was enough
}

// asking is [moving.at] while all crosses are shown and none is moved.
const asking = -1

// lookAgain begins a second look, after which it goes on to a stage, or back.
func (s *session) lookAgain(after stage) {
	if !s.fits() {
		s.note("Put the window back as it was, or calibrate afresh.")
		return
	}
	l := &looking{shown: 2, after: after, moving: &moving{
		draft: &draft{mat: s.using.Mat, screen: s.using.Screen}, base: s.using.m, at: asking, crossings: s.using.m.CheckCrossings(s.unit()),
	}}
	if len(l.crossings) < l.shown {
		s.enter(after)
		return
	}
	l.nudges = make([]calibrate.Nudge, len(l.crossings))
	s.enter(l)
}

func (l *looking) show(s *session, v *view) {
	if l.at != asking {
		l.moving.show(s, v)
		return
	}
	v.Stage = "move"
	v.onTheWay(1)
	v.Turn = onmat.Turn(l.base)
	var where []string
	for _, c := range l.crossings[:l.shown] {
		l.draw(v, l.base, c, s.unit())
		where = append(where, fmt.Sprintf("one on the lines %s and %s", s.gridLine(c.X), s.gridLine(c.Y)))
	}
	v.Cross = nil
	v.inside(l.base)
	if l.said != nil {
		v.Say = words.Sentence(l.said.Reasons[0])
		for _, why := range l.said.Reasons[1:] {
			v.more(words.Sentence(why))
		}
		v.more("Press N to calibrate afresh, M to move the crosses once more, U to use the calibration as it was.")
		v.key("M", "move the crosses once more")
		v.key("U", "use the calibration as it was")
	} else {
		v.Say = "Do both crosses lie on the mat's lines?"
		v.more("There should lie "+strings.Join(where, ", ")+".", "Press Enter if they do. If one does not, press M, and move both onto their lines.")
		v.key("Enter", "both lie on the lines")
		v.key("M", "move them onto the lines")
	}
	v.key("N", "calibrate afresh")
	v.key("Backspace", "back")
}

func (l *looking) hear(s *session, a action) {
	if l.at != asking {
		l.hearMoved(s, a)
		return
	}
	switch a.key() {
	case "on":
		if l.said != nil {
			return
		}
		for i, c := range l.crossings[:l.shown] {
			l.nudges[i] = calibrate.Nudge{Point: c.Point, U: c.U, V: c.V, X: c.X, Y: c.Y}
		}
		l.judge(s)
	case "m":
		l.at, l.said = 0, nil
	case "n":
		(&beginning{}).afresh(s)
	case "u":
		if l.said != nil {
			s.enter(&sure{stage: "move", from: l, word: "use", what: "The crosses say that the calibration is no longer right, and every line may be off.", do: func() {
				s.using.caution = "Two crosses said that this calibration is no longer right."
				s.enter(l.after)
			}})
		}
	case "back":
		if s.cutting != nil {
			s.startCutting()
			return
		}
		s.enter(&beginning{})
	}
}

// hearMoved hears what is done while a cross is moved.
func (l *looking) hearMoved(s *session, a action) {
	switch a.key() {
	case "on":
		c := l.crossings[l.at]
		l.nudges[l.at] = calibrate.Nudge{Point: c.Point, U: c.U, V: c.V, X: c.X, Y: c.Y}
		if l.at++; l.at == l.shown {
			l.judge(s)
		}
	case "back":
		l.at--
	default:
		l.moving.hear(s, a)
	}
}

// judge hears what the crosses tell, and goes on if that will do.
func (l *looking) judge(s *session) {
	look := calibrate.SecondLook{Nudges: l.nudges[:l.shown]}
	c := l.base.Check(nil, look.Nudges, s.unit())
	switch c.Verdict {
	case calibrate.Good:
		s.note("Still good: %s", words.HowExact(c.Map, s.unit()))
		s.enter(l.after)
		return
	case calibrate.Third:
		s.note("%s", words.Sentence(c.Reasons[0]))
		l.at, l.shown = l.shown, l.shown+1
		l.redraw()
		return
	case calibrate.Shifted:
		file, err := s.using.File.Moved(c, look)
		if err == nil {
			k := s.using.kept
			k.File, k.Checked = file, false
			err = s.use(k, s.using.caution)
		}
		if err == nil {
			s.note("The picture moved by %s on the mat, and the lines moved with it. %s", words.Small(c.Shift.Len(), s.unit()), words.HowExact(c.Map, s.unit()))
			s.enter(&checking{fresh: true})
			return
		}
		c.Reasons = append([]string{err.Error()}, c.Reasons...)
	}
	l.said, l.at = &c, asking
}

// redraw puts the third cross where the first two say that it is.
func (l *looking) redraw() {
	m, n := &l.crossings[0], &l.crossings[l.at]
	// Moved as the first one was, which is near enough to begin with.
	u, v, _ := l.base.ToScreen(m.X, m.Y)
	to := geometry.Point{X: n.U + m.U - u, Y: n.V + m.V - v}
	if l.screen.Holds(to.X, to.Y) {
		n.U, n.V = to.X, to.Y
	}
}
