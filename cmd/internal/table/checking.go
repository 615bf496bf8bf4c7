// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"math"

	"lozenge/calibrate"
	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
)

// checking shows a square and asks how large it came out.
type checking struct {
	fresh  bool // the calibration was just made
	typing bool
	lines  [4]float64 // measured, in
	texts  [4]string
	at     int
	wrong  string
	judged *calibrate.SquareResult
	seen   bool // in a photo, not by a rule
}

// What is measured, in order.
var sides = [4]string{"bottom", "left side", "diagonal from the lower left corner", "diagonal from the lower right corner"}

func (c *checking) show(s *session, v *view) {
	v.Stage = "square"
	v.onTheWay(2)
	m, u := s.using.m, s.unit()
	square, beside, ok := onmat.RoomOf(m).CheckSquare(u)
	if !ok {
		v.Say = "There is no room for a check square in the calibrated area."
		v.more("Press Enter to cut without one, or N to calibrate afresh with a larger picture.")
		v.key("Enter", "cut")
		v.key("N", "calibrate afresh")
		return
	}
	size := s.plainLength(square.Width())
	if s.fits() {
		corners := square.Polygon()
		v.outline(m, asSquare, corners)
		if c.typing {
			ends := [4][2]int{{0, 1}, {0, 3}, {0, 2}, {1, 3}}[c.at]
			v.line(m, asSide, corners[ends[0]], corners[ends[1]])
		}
	}
	v.place(m, beside)
	switch {
	case c.judged != nil:
		c.showJudged(v, u)
		if j := c.judged; j.Verdict != calibrate.OK {
			v.Photo = photoAwaited
		}
	case c.typing:
		v.Say = fmt.Sprintf("Measure the square's %s.", sides[c.at])
		v.more(fmt.Sprintf("It is the bright line, from the middle of one corner to the middle of the other, to %s. %d of 4.", finest(u), c.at+1))
		v.Field = &field{Label: sides[c.at], Text: c.texts[c.at], Wrong: c.wrong}
		v.key("Enter", "so long is it")
		v.key("Backspace", "in the empty field: the line before")
	default:
		v.Say = fmt.Sprintf("This square should measure %s each way.", size)
		if largest := onmat.Squares(u)[0]; square.Width() < largest-geometry.Fit {
			v.more(fmt.Sprintf("The calibrated area has no room for one of %s, which would show more.", s.plainLength(largest)))
		}
		v.Photo = photoAwaited
		v.more("Press S and type what you measure. Measure it whenever the projector was switched on afresh, was bumped, or the mat was moved.")
		v.more(words.HowExact(m, u))
		v.more("Enter goes to the cuts without measuring; M moves the crosses onto the mat's lines again.")
		v.key("S", "measure the square")
		v.key("Enter", "cut without measuring")
		v.key("M", "move the crosses onto the mat's lines again")
		v.key("N", "calibrate afresh")
	}
}

func (c *checking) showJudged(v *view, u geometry.Unit) {
	j := c.judged
	switch {
	case j.Verdict == calibrate.OK && c.seen:
		v.Say = "By the mat's own lines the square is true."
		v.more("A photo can't see whether those lines are true: press S and measure it with a steel rule too. Enter goes to the cuts.")
		v.key("S", "measure the square")
	case j.Verdict == calibrate.OK:
		v.Say = "The square is true. Press Enter to cut."
	case j.Verdict == calibrate.Off:
		v.Say = "The square is not true."
	default:
		v.Say = "These four lengths don't belong to one square."
	}
	for _, a := range j.Advice {
		v.more(words.Sentence(a))
	}
	v.more(fmt.Sprintf("Across %.4f, up %.4f of its size; corner %.2f degrees; closure %s.", j.ScaleX, j.ScaleY, 90-j.SkewDegrees, words.Small(math.Abs(j.Closure), u)))
	if j.Verdict == calibrate.OK {
		v.key("Enter", "cut")
	} else {
		v.more("Press Enter to measure again, M to move the crosses again, N to calibrate afresh, U to use it as it is.")
		v.key("Enter", "measure again")
		v.key("U", "use it as it is")
	}
	v.key("M", "move the crosses onto the mat's lines again")
	v.key("N", "calibrate afresh")
}

func (c *checking) hear(s *session, a action) {
	if a.Do == doType && c.typing {
		c.take(s, a.Text)
		return
	}
	key := a.key()
	if c.typing {
		if key == "back" && c.at > 0 {
			c.at, c.wrong = c.at-1, ""
		} else if key == "back" {
			c.typing = false
		}
		return
	}
	good := c.judged != nil && c.judged.Verdict == calibrate.OK
	switch key {
	case "n":
		(&beginning{}).afresh(s)
	case "m":
		s.moveAgain()
	case "s":
		c.measure()
	case "u":
		if c.judged != nil && !good {
			s.enter(&sure{stage: "square", from: c, word: "use", what: "The square did not measure true, and no piece will.", do: func() {
				c.done(s, false, "The check square did not measure true.")
			}})
		}
	case "back":
		if s.cutting != nil {
			s.startCutting()
			return
		}
		s.enter(&beginning{})
	case "on":
		switch {
		case good && c.seen:
			c.done(s, false, "The check square was measured in a photo, by the mat's own lines only: S measures it.")
		case good, c.judged == nil && s.using.Checked:
			c.done(s, true, "")
		case c.judged == nil:
			c.done(s, false, unmeasured)
		default:
			c.measure()
		}
	}
}

// measure asks for the four lengths.
func (c *checking) measure() { c.judged, c.typing, c.at = nil, true, 0 }

// moveAgain moves the crosses of the calibration in use, without reading them
// again.
func (s *session) moveAgain() {
	if !s.fits() {
		s.note("Put the window back as it was, or calibrate afresh.")
		return
	}
	d := newDraft(s.using.Mat, s.using.Screen)
	s.enter(d.moving(s, 0))
}

func (c *checking) take(s *session, text string) {
	c.texts[c.at], c.wrong = text, ""
	l, err := geometry.ParseLength(text, s.unit())
	if err != nil {
		c.wrong = err.Error()
		return
	}
	if l.Warning() != "" {
		s.note("%s.", l.Warning())
	}
	c.lines[c.at] = l.In(geometry.Inch)
	if c.at++; c.at < len(c.lines) {
		return
	}
	c.judge(calibrate.SquareReading{
		Nominal: s.checkSquare().Width(), Width: c.lines[0], Height: c.lines[1], Diagonal1: c.lines[2], Diagonal2: c.lines[3],
		Purpose: calibrate.ForProjector, Unit: s.unit(),
	}, false)
}

// judge takes the four lengths, as a rule or a photo has them.
func (c *checking) judge(r calibrate.SquareReading, seen bool) {
	judged := calibrate.Square(r)
	c.judged, c.seen, c.typing, c.at = &judged, seen, false, 0
}

// checkSquare returns the square that is shown, empty where there is no room.
func (s *session) checkSquare() geometry.Rect {
	square, _, _ := onmat.RoomOf(s.using.m).CheckSquare(s.unit())
	return square
}

// done keeps the calibration and goes on to the cuts.
func (c *checking) done(s *session, checked bool, caution string) {
	s.using.Checked = checked
	s.using.square = caution
	if c.fresh || checked {
		if err := s.keeper.keepCalibration(s.using.kept); err != nil {
			s.note("The calibration can't be kept for next time: %v.", err)
		}
	}
	s.startCutting()
}
