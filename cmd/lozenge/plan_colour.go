// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"strconv"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Longer lists are no help at the design wall: so many colourways are listed,
// and rows of pieces of so many letters in all, some 250 lines.
const (
	mostColourways = 100
	mostLetters    = 15_000
)

// colours says what colours each strip set has and which piece of the quilt is
// cut from which. Where all strip sets look alike there is nothing to say.
func (t *text) colours(p *quilt.Plan) {
	ways, _ := p.Colourways()
	if len(ways) < 2 || !p.Fewest.OK() {
		return
	}
	t.section("The colours of the strip sets")
	order, turns := p.Spec.ColourOrder, words.ColourTurns(p.Spec.ColourOrder, "strip set")
	if order == quilt.Bands {
		turns += " So these colours are sewn together:"
	}
	t.paragraph("  -", turns)
	if len(ways) <= mostColourways || order == quilt.Bands {
		for _, w := range ways {
			t.paragraph("  -", fmt.Sprintf("%s: %s.", words.StripSetList(w.StripSets), words.Colours(p, w.StripSets[0])))
		}
	}
}

// layOut says which strip set each piece of the quilt is cut from.
func (t *text) layOut(p *quilt.Plan) {
	ways, _ := p.Colourways()
	if len(ways) < 2 || !p.Fewest.OK() {
		return
	}
	t.section("Where the pieces go")
	t.drawing("From which strip set each piece is cut", func() *draw.Drawing { d, _ := sheet.LabelledPicture(p); return d })
	t.paragraph("  -", placeWords(p))
	t.paragraph("  -", words.Edges(p))
	t.paragraph("  -", "Pieces of the same kind from strip sets of the same colours can be exchanged.")
	var rows []string
	letters := 0
	for _, row := range pieceRows(p) {
		rows = append(rows, rowWords(row, p.Columns))
		letters += len(rows[len(rows)-1])
	}
	if letters > mostLetters {
		t.paragraph("  -", fmt.Sprintf("%d pieces are too many to list: lozenge picture --labels writes on each which strip set it is cut from.", len(p.Pieces)))
		if p.Spec.ColourOrder == quilt.Gradient {
			t.shades(p, ways)
		}
		return
	}
	t.paragraph("  -", "Rows from the bottom up, each from left to right, with the numbers of the strip sets:")
	for i, row := range rows {
		name := fmt.Sprintf("row %d", i)
		switch i {
		case 0:
			name = "bottom edge"
		case p.Rows + 1:
			name = "top edge"
		}
		t.wrapped(name, row)
	}
}

// placeWords says how the order lays the pieces.
func placeWords(p *quilt.Plan) string {
	said := words.ColourOrder(p)
	if p.Spec.ColourOrder == quilt.Scattered {
		switch sets, colours := p.Touching(); {
		case sets+colours == 0:
			said += " No piece touches another of the same strip set or of the same colours."
		case sets == 0:
			said += fmt.Sprintf(" No piece touches another of the same strip set; %s of touching pieces have the same colours.", words.Count(colours, "pair"))
		default:
			said += fmt.Sprintf(" %s of touching pieces come from the same strip set.", words.Count(sets, "pair"))
		}
	}
	return said
}

// pieceRows returns the numbers of the strip sets of the pieces of each row, from
// the bottom up and from left to right, edge triangles included.
func pieceRows(p *quilt.Plan) [][]int {
	out := make([][]int, p.Rows+2)
	for _, pl := range p.Pieces {
		out[pl.Row+1] = append(out[pl.Row+1], pl.StripSet+1)
	}
	return out
}

// rowWords returns "3 from strip set 4, 2 from 5", or just the numbers, piece
// by piece, where there is little to draw together.
func rowWords(row []int, pieces int) string {
	var parts []string
	stretches := runs(row, func(a, b int) bool { return a == b })
	if 2*len(stretches) > pieces {
		for _, k := range row {
			parts = append(parts, strconv.Itoa(k))
		}
		return strings.Join(parts, ", ")
	}
	for i, run := range stretches {
		said := "%d from %d"
		if i == 0 {
			said = "%d from strip set %d"
		}
		parts = append(parts, fmt.Sprintf(said, len(run), run[0]))
	}
	return strings.Join(parts, ", ")
}

// shades says in which rows of diamonds the colours of a large quilt lie.
func (t *text) shades(p *quilt.Plan, ways []quilt.Colourway) {
	if len(ways) > mostColourways {
		return
	}
	way := make([]int, len(p.Fewest.Layouts))
	for w, c := range ways {
		for _, k := range c.StripSets {
			way[k] = w
		}
	}
	type span struct{ first, last int }
	spans := make([]span, len(ways))
	var order []int
	for _, pl := range p.Pieces {
		if pl.Shape != geometry.Diamond {
			continue
		}
		s := &spans[way[pl.StripSet]]
		if s.last == 0 {
			s.first = pl.Row + 1
			order = append(order, way[pl.StripSet])
		}
		s.last = pl.Row + 1
	}
	for _, w := range order {
		t.paragraph("  -", fmt.Sprintf("Rows %d to %d: %s.", spans[w].first, spans[w].last, words.Colours(p, ways[w].StripSets[0])))
	}
}
