// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"lozenge/cmd/internal/desk"
	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// text collects a report in sections of two columns.
type text struct {
	bytes.Buffer
	unit     geometry.Unit
	sections []desk.Section // the same, for whoever sets it otherwise
}

const keyWidth = 18

func (t *text) section(title string) {
	fmt.Fprintf(t, "\n%s\n", strings.ToUpper(title))
	t.sections = append(t.sections, desk.Section{Title: title})
}

// drawing keeps a drawing of the section, for whoever has room for it.
func (t *text) drawing(title string, draw func() *draw.Drawing) {
	s := &t.sections[len(t.sections)-1]
	s.Drawings = append(s.Drawings, desk.Drawing{Title: title, Draw: draw})
}

// note keeps a line of the section.
func (t *text) note(lead, said string) {
	if n := len(t.sections); n > 0 {
		s := &t.sections[n-1]
		s.Rows = append(s.Rows, [2]string{strings.TrimSpace(lead), said})
	}
}

func (t *text) row(key, format string, a ...any) {
	said := fmt.Sprintf(format, a...)
	t.note(key, said)
	if utf8.RuneCountInString(key) >= keyWidth {
		key += "  "
	}
	fmt.Fprintf(t, "  %-*s%s\n", keyWidth, key, said)
}

// items prints a section of paragraphs, or nothing when there are none.
func (t *text) items(title string, all ...string) {
	if len(all) > 0 {
		t.section(title)
	}
	for _, said := range all {
		t.paragraph("  -", said)
	}
}

// paragraph prints a text behind a lead, below which it goes on.
func (t *text) paragraph(lead, said string) { t.hang(lead, len(lead), said) }

// wrapped prints a row of two columns, the second wrapped.
func (t *text) wrapped(key, said string) { t.paragraph(fmt.Sprintf("  %-*s", keyWidth-1, key), said) }

// hang prints a text behind a lead; further lines are indented so far.
func (t *text) hang(lead string, indent int, said string) {
	t.note(lead, said)
	t.WriteString(words.Wrap(lead, indent, said))
}

// runs splits a list into runs of neighbours that are like the first of them.
func runs[T any](list []T, alike func(first, other T) bool) (out [][]T) {
	for len(list) > 0 {
		n := 1
		for n < len(list) && alike(list[0], list[n]) {
			n++
		}
		out, list = append(out, list[:n]), list[n:]
	}
	return out
}

func (t *text) length(v float64) string { return geometry.FormatLength(v, t.unit) }

// planText returns the plan as a quilter reads it, in the order in which she
// needs it; m is nil when no strip set was measured, kits when there are none.
func planText(p *quilt.Plan, m *quilt.Measured, kits *quilt.Goods) []byte {
	return planWords(p, m, kits).Bytes()
}

func planWords(p *quilt.Plan, m *quilt.Measured, kits *quilt.Goods) *text {
	s := p.Spec
	t := &text{unit: s.Unit}
	fmt.Fprintf(t, "%s\n", s.Name)
	fmt.Fprintln(t, words.Pattern(s))
	t.size(p)
	t.drawing("The quilt", func() *draw.Drawing { return sheet.Picture(p) })
	t.choices(p)
	if m != nil {
		t.measured(m)
	}
	// In the order of the work.
	t.shopping(p)
	t.kits(p, kits)
	t.strips(p)
	t.scraps(p)
	t.stripSets(p)
	t.colours(p)
	t.cutting(p)
	if p.Fewest.OK() {
		t.drawing("The ways in which strip sets are cut", func() *draw.Drawing { d, _ := sheet.Mat(p); return d })
	}
	t.pieces(p)
	t.need(p)
	if !p.FromScraps() {
		t.yield(p)
	}
	t.layOut(p)
	t.rows(p)
	t.finishing(p)
	t.leftovers(p)
	t.items("Note", words.Notes(p)...)
	t.items("Take care", words.SewingRoom()...)
	return t
}

func (t *text) size(p *quilt.Plan) {
	t.section("The finished quilt")
	t.row("size", "%s wide, %s high, sides squared up", t.length(p.Finished.Width), t.length(p.Finished.Height))
	t.row("raw size", "%s wide, %s high, raw edge to raw edge",
		t.length(p.Finished.Width+2*p.Set.Seam), t.length(p.Finished.Height+2*p.Set.Seam))
	t.row("diamonds", "%s", words.Diamonds(p.Columns, p.Rows))
	t.row("steps", "%s from column to column, %s from row to row", t.length(p.ColumnStep), t.length(p.RowStep))
	if c := p.Choice; c != nil {
		t.row("you asked for", "%s wide, %s high", t.length(c.Target.Width), t.length(c.Target.Height))
		if p.Columns > 1 {
			t.row("  in width", "%s %s %s, %d make %s", words.Count(p.Columns-1, "column"), words.Verb(p.Columns-1, "makes", "make"), t.length(c.Under.Width), p.Columns, t.length(c.Over.Width))
		}
		if p.Rows > 1 {
			t.row("  in height", "%s %s %s, %d make %s", words.Count(p.Rows-1, "row"), words.Verb(p.Rows-1, "makes", "make"), t.length(c.Under.Height), p.Rows, t.length(c.Over.Height))
		}
	}
	if width, height := p.ExactCuts(); width != nil {
		t.row("  exactly", "in width from %s, in height from %s", t.cuts(width), t.cuts(height))
	}
	if p.Spec.SewnWidth != 0 {
		t.row("measured", "the strip set is %s wide as you sewed it; sizes follow that", t.length(p.Set.Width))
	}
}

// cuts lists cut widths, lowest strip first: once when they are all the same.
func (t *text) cuts(widths []float64) string {
	said := words.Lengths(widths, t.unit)
	if said = slices.Compact(said); len(said) == 1 {
		return "strips cut " + said[0]
	}
	return "strips cut " + strings.Join(said, ", ")
}

// strips says how wide the strips are cut.
func (t *text) strips(p *quilt.Plan) {
	t.section("Cut the strips")
	for i, st := range p.Spec.Strips {
		t.row(fmt.Sprintf("strip %d", i+1), "cut %s wide: %s", t.length(st.Cut), words.Cloth(p.Spec, st.Fabric))
	}
}

// stripSets says how strips are sewn together.
func (t *text) stripSets(p *quilt.Plan) {
	t.section("Sew the strip sets, first strip nearest you, right side up")
	t.row("seam test first", "%s", words.SeamTest(p))
	if p.Fewest.OK() {
		right, left, mixed := p.Fewest.Number()
		t.row("in all", "%d, %s", len(p.Fewest.Layouts), words.SetLengths(p))
		if mixed > 0 {
			t.row("", "%d right-leaning, %d left-leaning, %d of both leans", right, left, mixed)
		} else if left > 0 {
			t.row("", "%d right-leaning, %d left-leaning", right, left)
		}
	}
	t.row("sewn and pressed", "%s wide, raw edge to raw edge", t.length(p.Set.Width))
	for i, y := range p.Set.Seams {
		t.row(fmt.Sprintf("seam %d", i+1), "%s from the first raw edge", t.length(y))
	}
	if p.Spec.Face == geometry.FaceDown {
		t.row("on the mat", "wrong side up: cut lines and pieces are drawn as they look from there")
	}
	t.paragraph("  -", words.PressStarchMeasure)
}

func (t *text) pieces(p *quilt.Plan) {
	set := p.Set
	t.section("The pieces")
	t.row("diamond", "%s", words.Crosscut(p))
	t.row("", "along the strip the crosscuts are %s apart", t.length(set.CutSide()))
	t.row("", "finished %s between sides, each side %s", t.length(set.FinishedWidth()), t.length(set.FinishedSide()))
	t.row("", "finished %s across, %s from point to point", t.length(set.ShortDiagonal()), t.length(set.LongDiagonal()))
	t.row("edge triangle", "half a diamond across its short diagonal, seam allowance all round")
	t.row("raw edges", "run %s past the seam where they meet", t.length(set.PastSeam()))
	if p.Spec.Tips == geometry.Matched {
		t.row("tips", "cut straight across, so that raw ends meet when two edges are sewn")
	} else {
		t.row("tips", "left sharp; trim the dog ears after sewing")
	}
}

func (t *text) need(p *quilt.Plan) {
	t.section("How many to cut")
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			n := p.Need[lean][shape]
			if n == 0 {
				continue
			}
			spare := ""
			if p.Spec.Spare > 0 {
				spare = fmt.Sprintf(", and %d to spare", p.Spec.Spare)
			}
			t.row(fmt.Sprintf("%6d", n), "%s%s", words.Piece(p.Spec, shape, lean, n), spare)
		}
	}
	if p.Spec.Angle == 60 && len(p.Spec.Strips) > 0 {
		t.paragraph("  -", "At 60 degrees an edge triangle serves for the same half of the other lean: turn it so that its base lies outward.")
	}
}

func (t *text) yield(p *quilt.Plan) {
	y := p.Yield
	t.section(fmt.Sprintf("What %s of strip set gives", t.length(y.Length)))
	t.row("diamonds alone", "%d", y.Plain)
	if y.OneTriangle != nil {
		t.row("", "%d with an edge triangle at one end", *y.OneTriangle)
	}
	if y.TwoTriangles != nil {
		t.row("", "%d with an edge triangle at both ends", *y.TwoTriangles)
	}
	t.row("edge triangles", "%d, one turned against the next", y.Triangles)
	if y.Staggered != nil {
		t.row("staggered", "%s from strips sewn offset, each %s from the one below", words.Count(*y.Staggered, "diamond"), t.length(p.Set.Offset(1)))
	}
}

// cutting prints the cutting list: each way in which strip sets are cut.
func (t *text) cutting(p *quilt.Plan) {
	t.section("Cut the strip sets")
	if !p.Fewest.OK() {
		t.paragraph("  -", "None: "+tooShort(p)+".")
		return
	}
	for _, like := range p.Alike() {
		t.paragraph("  -", fmt.Sprintf("%s, %s: %s. Uses %s, leaves %s.", words.StripSets(like), words.Way(like), words.Row(p.Spec, like.Layout, like.Lean),
			t.length(p.Set.Uses(like.Layout)), t.length(p.Leaves(like))))
	}
	if said := words.Tight(p); said != "" {
		t.paragraph("  -", said)
	}
	t.savings(p)
}

// savings says what other ways of cutting would save.
func (t *text) savings(p *quilt.Plan) {
	n, s := len(p.Fewest.Layouts), p.Savings
	if s.MixedLeans > 0 && s.MixedLeans < n {
		t.paragraph("  -", fmt.Sprintf("Cutting both leans from one strip set (mix_leans: true) would take %s instead of %d.", words.Count(s.MixedLeans, "strip set"), n))
	}
	if s.Staggered > 0 && s.Staggered < n {
		t.paragraph("  -", fmt.Sprintf("Sewing the strips offset (stagger: true) would take %s instead of %d.", words.Count(s.Staggered, "strip set"), n))
	}
	if s.Together > 0 {
		t.paragraph("  -", fmt.Sprintf("A right- and a left-leaning strip set of diamonds, laid right sides together with both first strips nearest you, are cut at once: that saves %s.", words.Count(s.Together, "cut")))
	}
}

// rows says how the pieces are sewn into rows.
func (t *text) rows(p *quilt.Plan) {
	t.section("Sew the rows")
	t.row("diagonal rows", "%d, each going up to the right; a lone edge triangle is sewn to its neighbour last", p.SewingRows)
	for _, c := range p.Checks() {
		switch {
		case c.Pieces == 0:
			t.row("whole top", "must measure %s by %s, raw edge to raw edge", t.length(c.Width), t.length(c.Length))
		case c.Pieces > 1:
			t.row(fmt.Sprintf("%d diamonds", c.Pieces), "joined in a row: %s long, %s wide, square to their seams; %d rows joined: %s across",
				t.length(c.Length), t.length(c.Width), c.Pieces, t.length(c.Length))
		}
	}
	sixteenth := t.unit.Of(1.0/16, 0.15)
	narrow, wide := p.OffBy(sixteenth), p.OffBy(-sixteenth)
	t.row("off by "+t.length(sixteenth), "in every diamond, the whole top measures %s by %s, or %s by %s", t.length(narrow.Width), t.length(narrow.Height), t.length(wide.Width), t.length(wide.Height))
	for i, said := range words.WorkOf(p) {
		t.row([]string{"seams", "thread"}[i], "%s", said)
	}
	t.paragraph("  -", words.RimGrain(p))
	t.paragraph("  -", "A cut edge at any angle but 0 or 90 degrees to the strips is bias and stretches: lift and press, don't push the iron. Pin a bias edge to a straight one with the bias edge underneath.")
	t.paragraph("  -", "When all rows are joined, press and starch the top, then square up the sides through the points of the notches, a seam allowance outside them.")
}
