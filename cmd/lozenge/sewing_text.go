// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// stitchLength is in millimetres: common practice, no source, where seams of
// strip sets are cut across.
const stitchLength = 2

// across is what rows of diamonds measure side by side, raw edge to raw edge: as
// many diamonds joined in a row do ([quilt.Plan.Checks]).
func across(p *quilt.Plan, rows int) float64 {
	return float64(float64(rows)*p.Set.FinishedWidth()) + 2*p.Set.Seam
}

// sewingText returns the sewing order, step by step.
func sewingText(p *quilt.Plan, o *sewing.Order) []byte {
	return sewingOrder(p, o, false).Bytes()
}

// sewingOrder returns it in sections; on a page with the drawings of the whole and of
// each row.
func sewingOrder(p *quilt.Plan, o *sewing.Order, onPage bool) *sewingWords {
	s := p.Spec
	t := &sewingWords{text: &text{unit: s.Unit}, p: p, o: o, onPage: onPage}
	fmt.Fprintf(t, "%s: sewing order\n", s.Name)
	fmt.Fprintln(t, words.Pattern(s))
	fmt.Fprintf(t, "%s in %s\n", words.Count(len(o.Pieces), "piece"), words.Count(len(o.Rows), "diagonal row"))
	t.labels()
	t.before()
	t.layOut()
	t.piles()
	t.sewRows()
	t.rows()
	t.joinRows()
	t.squareUp()
	t.items("Take care", words.SewingRoom()...)
	t.paragraph("  -", "The instructions of the makers of your machine, iron and starch stand above anything said here.")
	return t
}

type sewingWords struct {
	*text
	p *quilt.Plan
	o *sewing.Order

	onPage bool
}

func (t *sewingWords) labels() {
	t.section("The labels")
	o := t.o
	more := ""
	if len(o.Rows) > 24 {
		more = " After Z come AA, AB and so on."
	}
	t.paragraph("  -", "Every diagonal row climbs to the right. "+words.RowLetters(o.Rows[len(o.Rows)-1].Letters)+more)
	r := o.Rows[len(o.Rows)/2]
	t.paragraph("  -", fmt.Sprintf("Within a row pieces are numbered from its lower left end up: %s is the second piece of row %s. Write each label on a slip of paper and pin it on upright, so that you see when a piece has been turned round.", o.Label(r.First+min(1, r.Number-1)), r.Letters))
	if t.onPage {
		for i, draw := range sheet.Sewing(t.p, o) {
			title := "The whole quilt for sewing"
			if i > 0 {
				title = fmt.Sprintf("Part %d of the quilt", i)
			}
			t.drawing(title, draw)
		}
		return
	}
	t.paragraph("  -", "sewing.svg shows every piece in its place. 'lozenge sewing PATTERN --out DIR' also draws each row by itself, row-01-A.svg and so on, and labels for rows, piles and pieces to cut apart, labels.pdf.")
}

func (t *sewingWords) before() {
	t.section("Before you sew")
	t.wrapped("seam test", words.SeamTest(t.p))
	t.wrapped("stitch length", fmt.Sprintf("about %d mm, %s: shorter than usual, since seams are cut across (common practice)", stitchLength,
		[...]string{"12 or 13 stitches to the inch", "5 stitches to the centimetre"}[t.unit]))
	t.wrapped("starch", words.Noun(2, words.StripSet(t.p.Spec))+" before you cut them, and again when pieces are joined; let it dry before you sew (common practice)")
	t.wrapped("pressing", "every seam open, without steam; lift the iron and set it down, don't push it (common practice)")
}

// layOut says how each kind of piece stands on the design wall.
func (t *sewingWords) layOut() {
	p, o := t.p, t.o
	t.section("1. Lay the pieces out on the design wall")
	t.paragraph("  -", "Right side up, as they will hang:")
	order := make([]int, len(o.Kinds))
	number := make([]int, len(o.Kinds))
	for i := range order {
		order[i] = i
	}
	for _, pc := range o.Pieces {
		number[pc.Kind]++
	}
	slices.SortStableFunc(order, func(a, b int) int { // diamonds first
		return int(o.Kinds[a].Piece.Shape) - int(o.Kinds[b].Piece.Shape)
	})
	for _, i := range order {
		k := &o.Kinds[i]
		where := "on a point"
		if k.Piece.Shape != geometry.Diamond {
			where = "base along the bottom"
			if k.Finished.Bounds().Min.Y < -p.RowStep/2 {
				where = "base along the top"
			}
			if p.Spec.EdgeGrain == quilt.Straight {
				where = strings.Replace(where, "base", "strip edge", 1)
			}
		}
		t.paragraph(fmt.Sprintf("  %5d", number[i]), fmt.Sprintf("%s: %s%s; %s", words.Piece(p.Spec, k.Piece.Shape, k.Piece.Lean, number[i]), where, t.strips(k), straightSides(k)))
	}
	t.paragraph("  -", fmt.Sprintf("Begin with the edge triangles of the bottom row, points up. Lay %s of %s on them, point to point, every second row half a diamond to the right, then the edge triangles of the top row, points down.", words.Count(p.Rows, "row"), words.Count(p.Columns, "diamond")))
	fabrics := "Below, the fabrics of a piece are named first strip first."
	if len(p.Spec.Strips) == 1 {
		fabrics = ""
	}
	if palette := t.palette(); palette != "" {
		fabrics = strings.TrimSpace(fabrics + " Their colours: " + palette + ".")
	}
	if fabrics != "" {
		t.paragraph("  -", fabrics)
	}
}

// strips says on which side the first and the last strip's fabrics show.
func (t *sewingWords) strips(k *sewing.Kind) string {
	s := t.p.Spec
	if len(s.Strips) < 2 || k.Piece.Shape != geometry.Diamond {
		return ""
	}
	first, last := words.Fabric(s, s.Strips[0].Fabric), words.Fabric(s, s.Strips[len(s.Strips)-1].Fabric)
	if first == last {
		first, last = "the first strip", "the last"
	}
	if k.FirstStrip() < 0 {
		first, last = last, first
	}
	return fmt.Sprintf(", %s to the right and %s to the left", first, last)
}

// straightSides says where a piece has its straight-grain edges.
func straightSides(k *sewing.Kind) string {
	var straight, bias []string
	for _, e := range k.Edges {
		name := e.Side.String()
		if e.Bias() {
			bias = append(bias, name)
		} else {
			straight = append(straight, name)
		}
	}
	switch {
	case len(bias) == 0:
		return "all edges on the grain"
	case len(straight) == 0:
		return "all edges bias"
	}
	return fmt.Sprintf("on the grain %s, bias %s", words.List(straight), words.List(bias))
}

// palette names the colours of each fabric that has several.
func (t *sewingWords) palette() string {
	var parts []string
	for _, key := range t.p.Spec.StripFabrics() {
		if names := t.p.Spec.ColourList(key); len(names) > 1 {
			parts = append(parts, words.Fabric(t.p.Spec, key)+" "+words.List(names))
		}
	}
	return strings.Join(parts, "; ")
}

// fabrics names the fabrics of a piece from strip set k, first strip first.
func (t *sewingWords) fabrics(k int) string {
	if !t.p.Fewest.OK() {
		return words.FromBelow(t.p.Spec)
	}
	return words.PieceFabrics(t.p, k)
}

func (t *sewingWords) piles() {
	t.section("2. Pin the labels on")
	t.paragraph("  -", "Label every piece on the wall, and pin each row's letters on its first piece.")
	if !t.p.Fewest.OK() {
		t.paragraph("  -", "No strip set gives the pieces: "+tooShort(t.p)+". The numbers of strip sets are left out.")
		return
	}
	word := words.StripSet(t.p.Spec)
	t.paragraph("  -", fmt.Sprintf("Keep what you cut in piles, one for each %s and kind, with a slip that names it. These are the places of each pile's pieces on the wall:", word))
	last := -1
	for _, pile := range t.o.Piles() {
		if pile.StripSet != last {
			last = pile.StripSet
			name := fmt.Sprintf("%s %d", word, pile.StripSet+1)
			t.note(name, t.fabrics(pile.StripSet))
			fmt.Fprintf(t, "    %s: %s\n", name, t.fabrics(pile.StripSet))
		}
		var labels []string
		for _, i := range pile.Pieces {
			labels = append(labels, t.o.Label(i))
		}
		t.paragraph(fmt.Sprintf("  %9d", len(pile.Pieces)), words.Piece(t.p.Spec, pile.Shape, pile.Lean, len(pile.Pieces))+": "+strings.Join(labels, " "))
	}
}

func (t *sewingWords) sewRows() {
	p, o := t.p, t.o
	t.section("3. Sew each diagonal row")
	t.paragraph("  -", "Take one row off the wall at a time and lay it beside the machine with its lower left end at the left.")
	t.paragraph("  -", "Sew its pieces in pairs, 1 to 2, 3 to 4 and so on, then the pairs to one another from the lower left end up. Right sides together, edge to edge; the tables say which piece lies underneath, toward the feed dogs. There the machine eases in what stretches: let it, and don't pull.")
	t.tips()
	t.seamKinds(true)
	t.alwaysUnder()
	t.paragraph("  -", "Press each seam open before you cross it with another. Hang the row back on the wall.")
	for _, r := range o.Rows {
		if r.Lone {
			t.paragraph("  -", fmt.Sprintf("Row %s is a lone edge triangle: sew it to row %s, last of all when that row is sewn and pressed.", r.Letters, o.Rows[r.Neighbour].Letters))
		}
	}
	t.paragraph("  -", fmt.Sprintf("Measure square to the seams, raw edge to raw edge; every row is %s wide:", t.length(p.Set.Width)))
	for _, c := range p.Checks() {
		if c.Pieces > 0 {
			t.row(fmt.Sprintf("  %s", words.Count(c.Pieces, "diamond")), "%s", t.length(c.Length))
		}
	}
}

// alwaysUnder says it when one lean lies underneath wherever it matters.
func (t *sewingWords) alwaysUnder() {
	o := t.o
	leans := [2]int{}
	for i := range o.SeamKinds {
		if k := &o.SeamKinds[i]; k.Within && k.Under != sewing.Either {
			leans[o.Kinds[k.Kinds[k.Under]].Piece.Lean]++
		}
	}
	for lean, n := range leans {
		if n > 0 && leans[1-lean] == 0 {
			t.paragraph("  -", fmt.Sprintf("In short: within rows, wherever it matters, the %s piece lies underneath, its bias edge toward the feed dogs.", words.LeanOf(geometry.Lean(lean))))
		}
	}
}

// tips says how raw ends lie where two edges are sewn together.
func (t *sewingWords) tips() {
	p, o := t.p, t.o
	overhang, blunted := 0.0, ""
	for i := range o.SeamKinds {
		k := &o.SeamKinds[i]
		for end := range 2 {
			overhang = max(overhang, math.Abs(k.Overhang(end)))
			if k.Edges[0].Tip(end) != k.Edges[1].Tip(end) {
				blunted = ", a blunted tip on a wide corner"
			}
		}
	}
	if overhang == 0 {
		t.paragraph("  -", fmt.Sprintf("Tips that match: at both ends of every seam the raw ends lie exactly on each other%s. Both reach %s past the point where the next seam will cross; sew from raw end to raw end.", blunted, t.length(p.Set.PastSeam())))
		return
	}
	t.paragraph("  -", fmt.Sprintf("The tips are sharp. A wide corner reaches %s past the point where the next seam will cross; the sharp tip that it meets reaches farther, by as much as the list below says. Let it overhang so much, so that the raw edges cross a seam allowance in, and trim the dog ear when the seam is pressed.", t.length(p.Set.PastSeam())))
}

// seamKinds lists the kinds of seams within rows or between them, those that
// read the same together.
func (t *sewingWords) seamKinds(within bool) {
	o := t.o
	type line struct {
		said  string
		seams int
	}
	var lines []line
	for i := range o.SeamKinds {
		k := &o.SeamKinds[i]
		if k.Within != within {
			continue
		}
		said := t.seamWords(k)
		if j := slices.IndexFunc(lines, func(l line) bool { return l.said == said }); j >= 0 {
			lines[j].seams += k.Seams
			continue
		}
		lines = append(lines, line{said, k.Seams})
	}
	for _, l := range lines {
		t.paragraph(fmt.Sprintf("  %5d", l.seams), l.said)
	}
}

func (t *sewingWords) seamWords(k *sewing.SeamKind) string {
	name := func(i int) string {
		piece := t.o.Kinds[k.Kinds[i]].Piece
		return words.Leaning(piece.Lean, piece.Shape)
	}
	edge := func(i int) string {
		e := k.Edges[i]
		grain := "straight"
		if e.Bias() {
			grain = fmt.Sprintf("bias, %s degrees to the grain", words.Degrees(geometry.Angle(e.Grain)))
		}
		return fmt.Sprintf("%s (%s)", e.Kind, grain)
	}
	said := fmt.Sprintf("%s, %s, to %s, %s: ", name(0), edge(0), name(1), edge(1))
	switch bias := k.Bias(); {
	case k.Under != sewing.Either && name(0) != name(1):
		said += "the " + name(k.Under) + " underneath"
	case k.Under != sewing.Either:
		said += fmt.Sprintf("the %s of it underneath", k.Edges[k.Under].Kind)
	case bias == 0:
		said += "nothing stretches, either way"
	default:
		said += "both stretch alike, either way"
	}
	var over []string
	for end, where := range []string{"left", "right"} {
		if d := k.Overhang(end); d != 0 {
			i := 0
			if d < 0 {
				i = 1
			}
			over = append(over, fmt.Sprintf("at the %s end the %s overhangs by %s", where, name(i), t.length(math.Abs(d))))
		}
	}
	if len(over) > 0 {
		said += "; " + strings.Join(over, ", ")
	}
	return said
}

// rows prints the table of each row.
func (t *sewingWords) rows() {
	p, o := t.p, t.o
	t.section("The rows")
	from := fmt.Sprintf("  %s", words.StripSet(t.p.Spec))
	if t.onPage {
		for _, s := range rowSheets(o) {
			t.drawing(s.title(o), func() *draw.Drawing { return sheet.SewingRows(p, o, s.first, s.last) })
		}
	}
	for _, r := range o.Rows {
		said := fmt.Sprintf("%s; its %s must measure %s %s", words.Count(r.Number, "piece"), words.Count(r.Diamonds, "diamond"), t.length(r.Length), words.RowEnds(r.RawEnds))
		if r.Lone {
			said = fmt.Sprintf("a lone edge triangle, sewn to row %s last", o.Rows[r.Neighbour].Letters)
		}
		t.note("Row "+r.Letters, said)
		fmt.Fprintf(t, "\n  Row %s: %s\n", r.Letters, said)
		fmt.Fprintf(t, "    %-8s%-11s  %-20s  %s\n", "label", from, "underneath, next seam", "piece")
		for i := r.First; i < r.First+r.Number; i++ {
			pc := o.Pieces[i]
			under := ""
			if i+1 < r.First+r.Number {
				s := o.Seams[r.FirstSeam+i-r.First]
				under = "either"
				if k := o.SeamKinds[s.Kind]; k.Under != sewing.Either {
					under = o.Label(s.Pieces[k.Under])
				}
			}
			number := "-"
			if p.Fewest.OK() {
				number = fmt.Sprint(pc.StripSet + 1)
			}
			what := words.Piece(p.Spec, pc.Shape, pc.Lean, 1) + ": " + t.fabrics(pc.StripSet)
			fmt.Fprintf(t, "    %-8s%11s  %-21s  %s\n", o.Label(i), number, under, what)
		}
	}
}

func (t *sewingWords) joinRows() {
	p, o := t.p, t.o
	t.section("4. Join the rows")
	bias := [3]int{} // seams between rows with no bias edge, with one, with two
	for i := range o.SeamKinds {
		if k := &o.SeamKinds[i]; !k.Within {
			bias[k.Bias()] += k.Seams
		}
	}
	t.seamKinds(false)
	changes := slices.ContainsFunc(o.Joins, sewing.Join.Changes)
	switch {
	case changes:
		t.paragraph("  -", "The bias edge changes sides from diamond to diamond, so neither row can lie underneath all along. Pin at each crossing and at both ends, matching the pressed seams, starch, use an even-feed foot if you have one, and do not pull.")
	case bias[1]+bias[2] > 0:
		t.paragraph("  -", "Pin at each crossing and at both ends, matching the pressed seams, starch, use an even-feed foot if you have one, and do not pull.")
	default:
		t.paragraph("  -", "Straight grain lies on straight grain: nothing stretches. Pin at each crossing and at both ends, matching the pressed seams.")
	}
	t.paragraph("  -", words.JoinInHalves+fmt.Sprintf(" Join %d, the longest seam, comes last. Press each seam open and measure across the rows, square to the seam, raw edge to raw edge.", len(o.Joins)))
	fmt.Fprintf(t, "\n    %-5s %-22s %-20s %-9s %-18s %-10s %s\n", "join", "rows", "seam", "crossings", "bias edges", "underneath", "then across")
	round := -1
	for i, j := range o.Joins {
		if j.Round != round {
			round = j.Round
			fmt.Fprintf(t, "    %s\n", words.Capital(words.Round(round)))
		}
		a, b := o.Rows[j.Rows[0][1]].Letters, o.Rows[j.Rows[1][0]].Letters
		stretch := "none"
		if j.Bias != [2]int{} {
			stretch = fmt.Sprintf("%d on %s, %d on %s", j.Bias[0], a, j.Bias[1], b)
		}
		under := "either"
		if j.Under != sewing.Either {
			under = "row " + [2]string{a, b}[j.Under]
		}
		wide := t.length(across(p, j.Across))
		if j.Round == 0 {
			wide = ""
		}
		told := []string{words.Join(o, j), "a seam of " + t.length(j.Length), words.Count(j.Number-1, "crossing"), "bias edges: " + stretch, under + " underneath"}
		if wide != "" {
			told = append(told, wide+" across then")
		}
		t.note(fmt.Sprintf("join %d", i+1), strings.Join(told, "; "))
		line := fmt.Sprintf("    %-5d %-22s %-20s %-9d %-18s %-10s %s", i+1, words.Join(o, j), t.length(j.Length), j.Number-1, stretch, under, wide)
		fmt.Fprintln(t, strings.TrimRight(line, " "))
	}
	t.paragraph("\n  -", "Between rows \"underneath\" names the row with more edges that stretch.")
}

func (t *sewingWords) squareUp() {
	p, o := t.p, t.o
	t.section("5. Square up the sides")
	t.paragraph("  -", "Press and starch the whole top; let it dry lying flat.")
	falls := t.length(o.Falls[0])
	if other := t.length(o.Falls[1]); other != falls {
		falls += " at the left, " + other + " at the right"
	}
	t.paragraph("  -", fmt.Sprintf("Lay a long ruler through the points of the notches at one side and cut %s outside them, from bottom to top; then the other side. Corners as wide as %s fall away. A small nick inside the seam allowance at two corners is as it should be.", t.length(p.Set.Seam), falls))
	t.row("must measure", "%s by %s, raw edge to raw edge", t.length(p.Finished.Width+2*p.Set.Seam), t.length(p.Finished.Height+2*p.Set.Seam))
	t.paragraph("  -", words.RimGrain(p))
	if len(p.Borders) > 0 {
		t.row("with borders", "%s by %s, raw edge to raw edge", t.length(p.Outer.Width+2*p.Set.Seam), t.length(p.Outer.Height+2*p.Set.Seam))
	}
}
