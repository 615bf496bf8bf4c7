// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"math"
	"slices"

	"lozenge/calibrate"
	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
)

// moving has each cross moved onto a crossing of the mat's own grid.
type moving struct {
	*draft
	crossings []calibrate.Crossing
	at        int
	only      []int          // those alone are to be moved; nil: all
	base      *calibrate.Map // the map while nothing better is known
}

// moving begins with cross i, or with the first that can be moved.
func (d *draft) moving(s *session, i int) *moving {
	m := &moving{draft: d, base: d.result.Map}
	if m.base == nil && s.using != nil {
		m.base = s.using.m
	}
	m.crossings = calibrate.Result{Map: m.base}.Crossings(d.targets, s.unit())
	if len(d.nudges) != len(d.targets) {
		d.nudges = make([]calibrate.Nudge, len(d.targets))
	}
	for j, n := range d.nudges {
		// What was moved before keeps its crossing.
		if n.Point != 0 {
			c := &m.crossings[j]
			c.X, c.Y, c.U, c.V, c.OnScreen = n.X, n.Y, n.U, n.V, true
		}
	}
	m.at = max(i, 0)
	if !m.crossings[m.at].OnScreen && !m.step(1) {
		m.step(-1)
	}
	return m
}

// step goes on by d to a cross that can be moved; false when there is none.
func (m *moving) step(d int) bool {
	for i := m.at + d; i >= 0 && i < len(m.crossings); i += d {
		if m.crossings[i].OnScreen && (m.only == nil || slices.Contains(m.only, i)) {
			m.at = i
			return true
		}
	}
	return false
}

// best is the best map that is known.
func (m *moving) best() *calibrate.Map {
	if m.result.Map != nil {
		return m.result.Map
	}
	return m.base
}

func (m *moving) show(s *session, v *view) {
	u := s.unit()
	v.Stage = "move"
	v.onTheWay(1)
	c := m.crossings[m.at]
	best := m.best()
	v.Turn = onmat.Turn(best)
	v.Say = fmt.Sprintf("Move the cross with the arrow keys until it lies on the mat's lines %s and %s.", s.gridLine(c.X), s.gridLine(c.Y))
	near := ""
	if m.targets != nil { // else it is a second look
		near = fmt.Sprintf(" It is the crossing nearest to cross %d.", c.Point)
	}
	v.more(
		fmt.Sprintf("That is %s to the right and %s up.%s Press Enter when it lies right.", s.plainLength(c.X), s.plainLength(c.Y), near),
		"An arrow moves it by 1 pixel, with shift by 10, with Alt or Ctrl by a quarter.",
	)
	if m.result.Map != nil {
		v.more("So far: " + words.HowExact(m.result.Map, u))
	}
	m.draw(v, best, c, u)
	if q, ok := onmat.RoomOf(best).Away(geometry.Point{X: c.X, Y: c.Y}, 1.6); ok {
		v.place(best, q)
	}
	v.key("arrows", "move the cross by 1 pixel")
	v.key("shift and arrows", "by 10 pixels")
	v.key("Alt or Ctrl and arrows", "by a quarter of a pixel")
	v.key("Enter", "it lies right: the next one")
	v.key("Backspace", "the cross before")
}

// gridLine names a line of the mat's grid by its number.
func (s *session) gridLine(inches float64) string {
	v := s.unit().FromInches(inches)
	return fmt.Sprint(math.Round(v))
}

// draw draws the cross where it stands now, its arms along the mat's lines, as
// far as they lie on the screen.
func (m *moving) draw(v *view, best *calibrate.Map, c calibrate.Crossing, u geometry.Unit) {
	reach := u.Inches(u.Of(0.9, 2))
	at := geometry.Point{X: c.X, Y: c.Y}
	u0, v0, _ := best.ToScreen(c.X, c.Y)
	for _, d := range []geometry.Point{{X: reach}, {Y: reach}} {
		var arm []float64
		for i := -4; i <= 4; i++ {
			p := at.Add(d.Mul(float64(i) / 4))
			pu, pv, _ := best.ToScreen(p.X, p.Y)
			if pu, pv = pu-u0+c.U, pv-v0+c.V; m.screen.Holds(pu, pv) {
				arm = append(arm, pixel(pu), pixel(pv))
			}
		}
		if len(arm) >= 4 {
			v.Lines = append(v.Lines, line{As: asCross, Points: arm})
		}
	}
	v.Cross = &cross{At: pair(geometry.Point{X: c.U, Y: c.V})}
}

// nudge moves the cross by so many pixels to the right and up, as someone at
// the mat sees it; it stays on the screen.
func (m *moving) nudge(right, up float64) {
	c, best := &m.crossings[m.at], m.best()
	at := geometry.Point{X: c.X, Y: c.Y}
	r, w := axis(best, at, geometry.Point{X: 1}), axis(best, at, geometry.Point{Y: 1})
	c.U = min(float64(m.screen.Width), max(0, c.U+right*r[0]+up*w[0]))
	c.V = min(float64(m.screen.Height), max(0, c.V+right*r[1]+up*w[1]))
}

// axis returns the direction along an axis of the screen that comes nearest to
// one on the mat.
func axis(m *calibrate.Map, at, d geometry.Point) [2]float64 {
	u0, v0, _ := m.ToScreen(at.X, at.Y)
	u1, v1, _ := m.ToScreen(at.X+d.X, at.Y+d.Y)
	du, dv := u1-u0, v1-v0
	if math.Abs(du) >= math.Abs(dv) {
		return [2]float64{math.Copysign(1, du), 0}
	}
	return [2]float64{0, math.Copysign(1, dv)}
}

func (m *moving) hear(s *session, a action) {
	if a.Do == doNudge {
		m.nudge(a.Right, a.Up)
		return
	}
	switch a.key() {
	case "on":
		m.lay(s)
	case "back":
		switch {
		case m.step(-1):
		case len(m.read()) > 0:
			s.enter(&found{draft: m.draft})
		case s.using != nil:
			s.enter(&checking{})
		}
	}
}

// lay hears that the cross lies right.
func (m *moving) lay(s *session) {
	c := &m.crossings[m.at]
	m.nudges[m.at] = calibrate.Nudge{Point: c.Point, U: c.U, V: c.V, X: c.X, Y: c.Y}
	more := m.step(1)
	if len(m.read()) > 0 || !more {
		m.solve(s.unit())
	}
	if more {
		m.redraw()
		return
	}
	s.enter(&found{draft: m.draft, refined: true})
}

// redraw puts the crosses that are still to be moved where the best map has
// them.
func (m *moving) redraw() {
	for i := range m.crossings {
		c := &m.crossings[i]
		if m.nudges[i].Point != 0 {
			continue
		}
		if u, v, ok := m.best().ToScreen(c.X, c.Y); ok {
			c.U, c.V = u, v
		}
	}
}
