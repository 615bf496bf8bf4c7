// SPDX-License-Identifier: Apache-2.0

package table

import (
	goqr "github.com/piglig/go-qr"

	"lozenge/geometry"
)

// coding shows the address of the hand page as a QR code, once she has said
// that others on the network may open it.
type coding struct {
	from    stage
	address string // "" before she has said so
}

func (c *coding) show(s *session, v *view) {
	before := &view{}
	c.from.show(s, before)
	v.Stage, v.Done = before.Stage, before.Done
	v.key("Enter", "show the code, and away again")
	v.key("Backspace", "back")
	if c.address == "" {
		v.Say = "Whoever is on this network and has the code can then open the page and press its buttons, until lozenge ends."
		v.more("Press Enter to show the code, Backspace to leave it.")
		return
	}
	v.Say = "Point a phone's camera at the code: the phone then has the buttons."
	v.more(c.address, "Enter goes on without the code.")
	v.Side = "beside"
	if s.window != nil {
		v.code(c.address, s.window.device().Width, s.window.device().Height)
	}
}

// quiet is the rim of light around a QR code, in modules (ISO/IEC 18004,
// section on the quiet zone: 4).
const quiet = 4

// code draws a QR code, dark on a lit square, at the left of a screen: as large
// as there is room, so that it is read through what the projector blurs.
func (v *view) code(text string, wide, high int) {
	q, err := goqr.EncodeText(text, goqr.Medium)
	if err != nil {
		return // an address is never too long; it stands beside it, too
	}
	n := q.Size()
	whole := float64(n + 2*quiet)
	module := float64(int(min(0.8*float64(high), 0.5*float64(wide)) / whole))
	left, top := float64(int(0.04*float64(wide))), float64(int((float64(high)-module*whole)/2))
	box := func(colour string, x, y, w, h float64) {
		r := geometry.Rect{Min: geometry.Point{X: left + x*module, Y: top + y*module}, Max: geometry.Point{X: left + (x+w)*module, Y: top + (y+h)*module}}
		v.Fills = append(v.Fills, line{As: asBand, Points: flat(r.Polygon()), Colour: colour})
	}
	box("#ffffff", 0, 0, whole, whole)
	for y := range n {
		for x := 0; x < n; x++ {
			from := x
			for x < n && q.Module(x, y) {
				x++
			}
			if x > from {
				box("#000000", float64(from+quiet), float64(y+quiet), float64(x-from), 1)
			}
		}
	}
}

func (c *coding) hear(s *session, a action) {
	switch a.key() {
	case "back":
		s.enter(c.from)
	case "on":
		if c.address != "" {
			s.enter(c.from)
			return
		}
		address, err := s.network()
		if err != nil {
			s.note("The phone can't reach this computer: %v.", err)
			s.enter(c.from)
			return
		}
		c.address = address + "hand"
	}
}

func (c *coding) resized(s *session) {
	if r, ok := c.from.(interface{ resized(*session) }); ok {
		s.enter(c.from)
		r.resized(s)
	}
}

// showCode asks whether the hand page may be opened from the network.
func (s *session) showCode() {
	if _, ok := s.stage.(*coding); !ok && s.network != nil {
		s.enter(&coding{from: s.stage})
	}
}
