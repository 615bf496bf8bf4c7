// SPDX-License-Identifier: Apache-2.0

package strip

import (
	"cmp"
	"fmt"
	"slices"

	"lozenge/geometry"
)

// Placed is a piece of a row: it lies Offset along the strip from where
// [geometry.Cutting.Piece] draws it.
type Placed struct {
	Shape  geometry.Shape
	Lean   geometry.Lean
	Offset float64
}

// Cut is one cut line of a row.
type Cut struct {
	Number int // from 1, in cutting order
	Kind   CutKind
	Line   geometry.Segment // from the lower edge of the cloth to the upper
}

// CutKind is what a cut of a row does.
type CutKind int

// The kinds of cut. The starting cut trues the end of the strip set; a
// crosscut or a base cut frees a piece; a tip trim blunts one.
const (
	Starting CutKind = iota
	CrosscutCut
	BaseCut
	TipTrimCut
)

// String returns the kind in the quilter's words.
func (k CutKind) String() string {
	return [...]string{"starting cut", "crosscut", "base cut", "tip trim"}[k]
}

// shortestCut is the shortest tip trim that is a cut: files give five decimals, and
// near 90 degrees tips run past by less than that.
const shortestCut = 1e-5

// Row is a strip set laid out from end to end. x = 0 is its left end; all
// outlines lie in 0..Length.
type Row struct {
	Set    Set
	Lean   geometry.Lean
	Word   string // the pieces from the left of a right-leaning row
	Pieces []Placed
	Length float64 // of strip set used
}

// NewRow lays out the pieces that word names: D a diamond, U an upper and L a
// lower edge triangle, as a right-leaning strip set has them from left to
// right. A left-leaning row is its mirror image, so that its pieces follow
// each other from right to left.
//
// D and U end on a crosscut and D and L begin on one, which the neighbours
// share; L ends and U begins on a base line, likewise shared. At 60 degrees a
// base line is also a crosscut of the other lean, and d, a diamond of that
// lean, begins and ends on one. Neighbours that share no line are an error.
func NewRow(set Set, lean geometry.Lean, word string) (Row, error) {
	if word == "" {
		return Row{}, fmt.Errorf("a row needs at least one piece")
	}
	b := &builder{ruler: newRuler(set)}
	row := Row{Set: set, Lean: lean, Word: word}
	for i, c := range word {
		k, ok := kinds[c]
		if !ok || (k == leftDiamond && set.Angle != 60) {
			return Row{}, fmt.Errorf("row %q: no piece %q at %v degrees", word, c, float64(set.Angle))
		}
		if i > 0 && kinds[rune(word[i-1])].end != k.begin {
			return Row{}, fmt.Errorf("row %q: %c can't stand beside %c", word, c, word[i-1])
		}
		row.Pieces = append(row.Pieces, Placed{k.shape, k.lean, b.add(k)})
	}
	row.Length = b.high - b.low
	for i := range row.Pieces {
		p := &row.Pieces[i]
		if p.Offset -= b.low; lean == geometry.Left {
			p.Lean, p.Offset = p.Lean.Other(), row.Length-p.Offset
		}
	}
	return row, nil
}

// MustRow is [NewRow] for a word that the planner spelled, which can be laid
// out.
func MustRow(set Set, lean geometry.Lean, word string) Row {
	row, err := NewRow(set, lean, word)
	if err != nil {
		panic(err)
	}
	return row
}

// line is what two neighbours of a right-leaning row share.
type line int

const (
	crosscutLine line = iota
	baseLine
)

// kind is a piece of a right-leaning row and the lines on which it begins and
// ends.
type kind struct {
	shape      geometry.Shape
	lean       geometry.Lean
	begin, end line
}

var (
	diamond     = kind{geometry.Diamond, geometry.Right, crosscutLine, crosscutLine}
	lower       = kind{geometry.LowerTriangle, geometry.Right, crosscutLine, baseLine}
	upper       = kind{geometry.UpperTriangle, geometry.Right, baseLine, crosscutLine}
	leftDiamond = kind{geometry.Diamond, geometry.Left, baseLine, baseLine}
)

// kinds are the pieces by their letters in a word. A left-leaning diamond stands
// only in a strip set in which the leans are mixed.
var kinds = map[rune]kind{'U': upper, 'D': diamond, 'L': lower, 'd': leftDiamond}

// ruler knows how long the pieces of a strip set are.
type ruler struct {
	extents [2][3]geometry.Rect // of outlines
	centre  [2]float64          // x of the diamond's
	side    float64             // cut side
	base    float64             // base spacing
}

func newRuler(s Set) *ruler {
	r := &ruler{side: s.CutSide(), base: s.BaseSpacing()}
	for _, lean := range geometry.Leans {
		r.centre[lean] = s.Centre(lean).X
		for _, shape := range geometry.Shapes {
			r.extents[lean][shape] = s.Piece(shape, lean).Outline.Bounds()
		}
	}
	return r
}

// middle returns where the first and the last line of a piece cross the
// middle of the strip set, in the frame of its diamond: a crosscut lies
// half a cut side from the centre, a base line a / cos(angle/2).
func (r *ruler) middle(k kind) (begin, end float64) {
	centre, side, base := r.centre[k.lean], r.side/2, r.base/2
	switch k.shape {
	case geometry.LowerTriangle:
		return centre - side, centre + base
	case geometry.UpperTriangle:
		return centre - base, centre + side
	}
	return centre - side, centre + side
}

// builder adds piece after piece and keeps the extent of their outlines.
type builder struct {
	*ruler
	low, high float64
	frame     float64 // where the last piece's diamond lies
	end       float64 // where its last line crosses the middle of the strip set
	started   bool
}

// add puts a piece to the right of the others and returns where its diamond
// lies.
func (b *builder) add(k kind) (frame float64) {
	e := b.extents[k.lean][k.shape]
	begin, end := b.middle(k)
	if !b.started {
		b.started = true
		b.low, b.high, b.end = e.Min.X, e.Max.X, end
		return 0
	}
	b.frame = b.end - begin
	b.end = b.frame + end
	b.low = min(b.low, b.frame+e.Min.X)
	b.high = max(b.high, b.frame+e.Max.X)
	return b.frame
}

// skip leaves room for n diamonds that can't reach to either end.
func (b *builder) skip(n int) { b.end += float64(float64(n) * b.side) }

// Piece returns piece i where it lies in the row.
func (r Row) Piece(i int) geometry.Piece {
	p := r.Pieces[i]
	return r.Set.Piece(p.Shape, p.Lean).Move(geometry.Point{X: p.Offset})
}

// Cuts returns the cut lines in cutting order: the starting cut at the left
// end, each cut that frees a piece from left to right, all the way across
// the strip set, then the tip trims of each piece. A shared line is cut once.
// A cut across may begin or end beyond 0..Length, where it crosses what is
// left over.
func (r Row) Cuts() []Cut {
	var across, trims []Cut
	for i := range r.Pieces {
		k := i
		if r.Lean == geometry.Left {
			k = len(r.Pieces) - 1 - i // the leftmost first
		}
		p := r.Piece(k)
		var sides []Cut // the left one first
		for j, e := range p.Edges {
			a, b := p.Outline[j], p.Outline[(j+1)%len(p.Outline)]
			if a.Y > b.Y {
				a, b = b, a
			}
			switch line := (geometry.Segment{A: a, B: b}); e.Kind {
			case geometry.TipTrim:
				if b.Sub(a).Len() > shortestCut {
					trims = append(trims, Cut{Kind: TipTrimCut, Line: line})
				}
			case geometry.Crosscut:
				sides = append(sides, Cut{Kind: CrosscutCut, Line: line})
			case geometry.Base:
				sides = append(sides, Cut{Kind: BaseCut, Line: line})
			}
		}
		slices.SortFunc(sides, func(a, b Cut) int { return cmp.Compare(a.Line.A.X+a.Line.B.X, b.Line.A.X+b.Line.B.X) })
		if i > 0 {
			sides = sides[1:] // the first is the neighbour's last
		}
		for _, s := range sides {
			s.Line = throughBand(s.Line, r.Set.Width)
			across = append(across, s)
		}
	}
	across[0].Kind = Starting
	out := append(across, trims...)
	for i := range out {
		out[i].Number = i + 1
	}
	return out
}

// throughBand lengthens a line to reach from y = 0 to y = width: a cut goes
// all the way across the strip set.
func throughBand(s geometry.Segment, width float64) geometry.Segment {
	d := s.B.Sub(s.A)
	at := func(y float64) geometry.Point {
		return geometry.Point{X: s.A.X + float64(d.X*((y-s.A.Y)/d.Y)), Y: y}
	}
	return geometry.Segment{A: at(0), B: at(width)}
}

// Count returns how many diamonds of either lean, lower and upper edge
// triangles the row gives.
func (r Row) Count() (diamonds, lower, upper int) {
	var n [3]int
	for _, p := range r.Pieces {
		n[p.Shape]++
	}
	return n[geometry.Diamond], n[geometry.LowerTriangle], n[geometry.UpperTriangle]
}
