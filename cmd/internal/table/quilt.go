// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"

	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// mostCells is how many pieces the picture shows: at 20,000 one is some ten
// pixels high on a usual screen.
const mostCells = 20_000

// showQuilt shows the finished quilt, with what is cut filled in.
type showQuilt struct{}

func (q *showQuilt) show(s *session, v *view) {
	v.Stage = "quilt"
	m, p := s.using.m, s.plan
	v.Say = words.Capital(s.quiltName())
	n := s.cutting.done(&s.cut)
	v.more(fmt.Sprintf("Filled: what is cut, %d right-leaning and %d left-leaning pieces.", n[geometry.Right], n[geometry.Left]),
		"Outlined: where the pieces of this strip set will lie. It is not at true size; Q goes back to the cuts.")
	v.key("Q", "back to the cuts")
	v.key("P", "one piece at true size")
	if len(p.Pieces) > mostCells {
		v.more(fmt.Sprintf("With %d pieces the picture would be too fine to see.", len(p.Pieces)))
		v.inside(m)
		return
	}
	box, beside, ok := q.room(onmat.RoomOf(m), p)
	if !ok {
		v.inside(m)
		return
	}
	v.place(m, beside)
	quad, ok := onmat.QuadOf(m, box)
	if !ok {
		return
	}
	v.Quilt = pictureOf(p, quad, s.cutting.filled(&s.cut), s.at.StripSet)
}

// room finds the largest room for the picture beside words.
func (q *showQuilt) room(r onmat.Room, p *quilt.Plan) (box, words geometry.Rect, ok bool) {
	size := p.Finished
	for part := 0.95; part > 0.2; part -= 0.05 {
		high := part * r.Box().Height()
		if box, words, ok = r.Beside(high*size.Width/size.Height, high, 9); ok {
			return box, words, true
		}
	}
	return box, words, false
}

// pictureOf draws the quilt into a quad; the places of strip set now are
// outlined.
func pictureOf(p *quilt.Plan, quad onmat.Quad, filled []bool, now int) *picture {
	frame := p.Frame()
	out := &picture{Frame: [2]float64{frame.Width(), frame.Height()}}
	// From the quilt's own coordinates, y up, to the quad's.
	k, l := quad.Wide/frame.Width(), quad.High/frame.Height()
	for row := range 3 {
		a, b, c := quad.Matrix[3*row], quad.Matrix[3*row+1], quad.Matrix[3*row+2]
		out.Matrix[3*row], out.Matrix[3*row+1], out.Matrix[3*row+2] = a*k, -b*l, b*quad.High+c
	}
	kinds, of := p.Standings()
	for _, k := range kinds {
		var shape [][]float64
		for _, patch := range k.Patches {
			shape = append(shape, flat(patch))
		}
		out.Shapes = append(out.Shapes, shape)
	}
	for i, pl := range p.Pieces {
		at := p.Centre(pl)
		c := cell{Kind: of[i], X: pixel(at.X), Y: pixel(at.Y), Done: filled[i], Now: pl.StripSet == now}
		if c.Done {
			for _, colour := range p.Colours(pl.StripSet) {
				c.Colours = append(c.Colours, colour.String())
			}
		}
		out.Cells = append(out.Cells, c)
	}
	return out
}

func (q *showQuilt) hear(s *session, a action) {
	switch a.key() {
	case "q", "on", "back":
		s.enter(&cut{})
	case "p":
		s.enter(&showPiece{})
	}
}
