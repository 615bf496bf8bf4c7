// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/colour"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// labelHeight is the least and labelMost the largest height of a label on
// paper, in inches: 0.07 in are the capitals of 7 point type.
const (
	labelHeight = 0.07
	labelMost   = 0.15
)

// look is what pieces that bear their label at the same place have in common.
type look struct {
	quilt.Stand
	side int // -1 and 1: the squared-up side cuts it
}

func lookOf(p *quilt.Plan, pl quilt.Placement) look {
	l := look{Stand: pl.Stand()}
	odd := pl.Row&1 != 0
	switch {
	case pl.Column == 0 && !odd:
		l.side = -1
	case pl.Column == p.Columns-1 && odd:
		l.side = 1
	}
	return l
}

// spot is where on a piece its label stands: in the middle of the strip that
// has the most room for it, so that it has one colour behind it.
type spot struct {
	strip  int
	middle geometry.Point // from the centre of the piece's diamond
	height float64        // of the largest label that has room
}

// labels are the labels of all pieces: each the number of the strip set that
// it is cut from.
type labels struct {
	plan   *quilt.Plan
	widest float64 // width of the widest label over its height
	leans  bool    // a strip set gives diamonds of both leans, so the lean is written too
	spots  map[look]spot
	height float64 // of those that have room for it
}

// The letter behind the number that tells the lean: its height over the
// number's, and what lies between them.
const (
	leanHeight = 0.65
	leanGap    = 0.15
)

func newLabels(p *quilt.Plan) *labels {
	l := &labels{plan: p, spots: map[look]spot{}, leans: slices.ContainsFunc(p.Fewest.Layouts, func(l strip.Layout) bool { return l.Mixed })}
	l.widest = draw.TextWidth(strconv.Itoa(len(p.Fewest.Layouts)), 1)
	if l.leans {
		l.widest += draw.TextWidth("R", leanHeight) + leanGap
	}
	l.height = math.Inf(1)
	for _, pl := range p.Pieces {
		k := lookOf(p, pl)
		if _, ok := l.spots[k]; ok {
			continue
		}
		l.spots[k] = l.find(pl)
		if k.side == 0 {
			l.height = min(l.height, l.spots[k].height)
		}
	}
	if math.IsInf(l.height, 1) { // one column: the sides cut every piece
		for _, s := range l.spots {
			l.height = min(l.height, s.height)
		}
	}
	return l
}

// find returns the best spot on a piece.
func (l *labels) find(pl quilt.Placement) spot {
	at, frame := l.plan.Centre(pl), l.plan.Frame()
	best := spot{strip: -1}
	for i, patch := range l.plan.Standing(pl).Patches {
		seen := patch.Move(at).Within(frame)
		if seen == nil {
			continue
		}
		middle, height := draw.LargestBox(seen, l.widest)
		if best.strip < 0 || height > best.height+geometry.Fit {
			best = spot{i, middle.Sub(at), height}
		}
	}
	best.height *= 0.8 // some air around it
	return best
}

// PieceLabels returns the label of every piece of a picture, in the pattern's
// unit where the quilt has its finished size: the number of its strip set, and
// its lean where the strip set does not tell it. None is higher than most; least
// is the height of the lowest letter.
func PieceLabels(p *quilt.Plan, most float64) (texts []draw.Text, least float64) {
	l := newLabels(p)
	least = min(l.height, most)
	for _, s := range l.spots {
		if s.height > 0 {
			least = min(least, s.height)
		}
	}
	if l.leans {
		least *= leanHeight
	}
	return l.texts(most), least
}

// texts labels every piece, in ink that can be read on the strip behind it.
func (l *labels) texts(most float64) (out []draw.Text) {
	colours := colours(l.plan)
	for _, pl := range l.plan.Pieces {
		s := l.spots[lookOf(l.plan, pl)]
		if s.height <= 0 {
			continue
		}
		ink := quilt.Colour(colour.InkOn(colour.RGB(colours[pl.StripSet][s.strip])).RGB()).String()
		h := min(s.height, l.height, most)
		number := strconv.Itoa(pl.StripSet + 1)
		at := l.plan.Centre(pl).Add(s.middle).Sub(geometry.Point{Y: h / 2})
		if !l.leans {
			out = append(out, draw.Text{At: at, Height: h, Value: number, Centred: true, Colour: ink})
			continue
		}
		width := draw.TextWidth(number, h)
		at.X -= (width + float64(leanGap*h) + draw.TextWidth("R", leanHeight*h)) / 2
		out = append(out, draw.Text{At: at, Height: h, Value: number, Colour: ink})
		at.X += width + float64(leanGap*h)
		out = append(out, draw.Text{At: at, Height: leanHeight * h, Value: words.Capital(pl.Lean.String())[:1], Colour: ink})
	}
	return out
}

// legend explains the labels, a line each.
func (l *labels) legend() []string {
	out := []string{"The number of the strip set that the piece is cut from."}
	if l.leans {
		return append(out, "R: right-leaning, L: left-leaning, as the plan has them.")
	}
	right, left, _ := l.plan.Fewest.Number()
	of := func(from, n int, lean geometry.Lean) string {
		return fmt.Sprintf("strip %s %s %s %s", words.Noun(n, "set"), words.Span(from, from+n-1), words.Verb(n, "is", "are"), words.LeanOf(lean))
	}
	if right > 0 && left > 0 {
		out = append(out, words.Sentence(of(1, right, geometry.Right)+", "+of(right+1, left, geometry.Left)))
	}
	return out
}
