// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"

	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
)

// showPiece shows one piece at true size, to lay fabric on.
type showPiece struct{ at int }

// kindOf is a kind of piece.
type pieceKind struct {
	shape geometry.Shape
	lean  geometry.Lean
	need  int
}

// kinds returns the kinds of piece that the quilt needs.
func (s *session) kinds() []pieceKind {
	var out []pieceKind
	for _, shape := range geometry.Shapes {
		for _, lean := range geometry.Leans {
			if n := s.plan.Need[lean][shape]; n > 0 {
				out = append(out, pieceKind{shape, lean, n})
			}
		}
	}
	return out
}

func (p *showPiece) show(s *session, v *view) {
	v.Stage = "piece"
	s.cloth(v)
	kinds := s.kinds()
	k := kinds[p.at]
	spec := s.plan.Spec
	piece := s.plan.Piece(k.shape, k.lean)
	outline := s.onMat(piece.Outline, geometry.Point{})
	box := outline.Bounds()
	m := s.using.m
	v.key("Space", "the next piece")
	v.key("Backspace", "the piece before")
	v.key("P", "back to the cuts")
	v.key("Q", "the quilt, with what is cut filled in")
	place, beside, ok := onmat.RoomOf(m).Beside(box.Width(), box.Height(), 4)
	v.Say = words.Sentence(words.Piece(spec, k.shape, k.lean, 1) + " at true size")
	if !ok {
		v.more(fmt.Sprintf("It takes %s by %s, and the calibrated area has no room for it beside these words.", s.plainLength(box.Width()), s.plainLength(box.Height())))
		v.inside(m)
		return
	}
	v.more(
		fmt.Sprintf("The quilt needs %d. It is %s long along the strips and %s wide across them.", k.need, s.plainLength(box.Width()), s.plainLength(box.Height())),
		"Solid: where it is cut. Long dashes: where it is sewn. Short dashes: the seams of the strip set.",
	)
	v.place(m, beside)
	if !s.fits() {
		return
	}
	shift := place.Min.Sub(box.Min)
	v.outline(m, asNow, outline.Move(shift))
	v.outline(m, asSew, s.onMat(piece.Finished, shift))
	for _, seam := range piece.Seams {
		ends := s.onMat([]geometry.Point{seam.A, seam.B}, shift)
		v.line(m, asSeam, ends[0], ends[1])
	}
}

func (p *showPiece) hear(s *session, a action) {
	n := len(s.kinds())
	switch a.key() {
	case "on":
		if p.at++; p.at == n {
			s.enter(&cut{})
		}
	case "back":
		if p.at--; p.at < 0 {
			s.enter(&cut{})
		}
	case "p":
		s.enter(&cut{})
	case "q":
		s.enter(&showQuilt{})
	}
}
