// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// scrapsReport prints what a scrap bin makes as a quilter reads it.
type scrapsReport struct {
	*text
	plan *quilt.Plan // of the pattern
	made *scraps.Plan
}

func scrapsText(p *quilt.Plan, made *scraps.Plan) []byte {
	r := &scrapsReport{text: &text{unit: p.Spec.Unit}, plan: p, made: made}
	fmt.Fprintf(r, "%s, from the scrap bin\n", p.Spec.Name)
	r.verdict()
	if q := made.Quilt; q != nil {
		r.bands()
		r.scraps(q)
		r.sewing()
		r.leftovers(q)
	}
	r.notUsed()
	r.items("Note", made.Notes...)
	r.items("Take care", words.SewingRoom()...)
	return r.Bytes()
}

// verdict says what the scraps make, how good the plan is, and what to add.
func (r *scrapsReport) verdict() {
	m := r.made
	r.section("What the scraps make")
	if m.Quilt != nil && len(m.Quilt.Choices) > 0 {
		r.offered(m.Quilt)
	} else {
		r.row("you wanted", "%s: %s", words.Diamonds(m.Wanted.Columns, m.Wanted.Rows), r.needWords(r.plan))
	}
	switch {
	case m.Enough:
		r.row("the scraps", "suffice for it")
	case m.Proven:
		r.row("the scraps", "don't suffice for it, however they are cut")
	default:
		r.row("the scraps", "don't suffice for it, as far as was found")
	}
	if !m.Enough {
		r.toAdd()
	}
	if m.IsLargest && m.Quilt != nil {
		q := m.Quilt
		r.row("the largest", "%s: %s", words.Diamonds(m.Made.Columns, m.Made.Rows), r.needWords(q))
		r.row("", "finished %s wide, %s high", r.length(q.Finished.Width), r.length(q.Finished.Height))
		if m.Surely {
			r.row("", "none covers more of the size that you wanted, in width and height")
		} else {
			r.row("", "as far as was found: a larger one is not ruled out")
		}
		if less := m.Trimmed; less != nil {
			r.row("", "with %s trimmed off each strip set: %s", r.length(r.unit.Of(0.5, 1)), words.Diamonds(less.Columns, less.Rows))
		}
	}
	if m.Quilt == nil {
		r.row("the largest", "none: not even one column and one row")
		return
	}
	r.row("this plan", "%s, %s sewn in all", words.Count(len(m.Sets), "strip set"), r.length(m.Length))
	r.wrapped("how good it is", r.boundWords())
}

func (r *scrapsReport) needWords(p *quilt.Plan) string {
	diamonds := p.Need.Diamonds(0) + p.Need.Diamonds(1)
	said := words.Pieces(diamonds, p.Need.Total()-diamonds)
	if n := p.Spec.Spare; n > 0 {
		said += fmt.Sprintf(", and %d of each kind to spare", n)
	}
	return said
}

// boundWords says how far the plan is from what can be at best.
func (r *scrapsReport) boundWords() string {
	m := r.made
	n, least := len(m.Sets), m.Bound.Sets
	var said string
	switch {
	case n == least && m.Length < m.Bound.Length+1e-6:
		said = "no plan takes fewer strip sets, and none with so few is sewn shorter"
	case n == least:
		said = fmt.Sprintf("no plan takes fewer strip sets; none with so few is sewn shorter than %s", r.length(m.Bound.Length))
	default:
		said = fmt.Sprintf("no plan takes fewer than %s: this one takes at most %s more", words.Count(least, "strip set"), above(n-least, least))
	}
	if r.plan.Spec.ColourOrder == quilt.Bands {
		said += " (bands left out of account)"
	}
	return said
}

// above writes part of whole, rounded up to a tenth of a percent.
func above(part, whole int) string {
	tenths := (1000*part + whole - 1) / whole
	if tenths%10 == 0 {
		return fmt.Sprintf("%d %%", tenths/10)
	}
	return fmt.Sprintf("%d.%d %%", tenths/10, tenths%10)
}

// toAdd says how much of each fabric is missing.
func (r *scrapsReport) toAdd() {
	if len(r.made.Short) == 0 {
		r.wrapped("to add", "no amount was found; strips as long as the pattern's may be too short")
		return
	}
	for i, s := range r.made.Short {
		key := ""
		if i == 0 {
			key = "to add for it"
		}
		name := words.Fabric(r.plan.Spec, s.Fabric)
		if len(s.Strips) == 1 {
			r.wrapped(key, fmt.Sprintf("%s: a strip cut %s wide, %s long", name, r.length(s.Width), r.length(s.Length)))
			continue
		}
		r.wrapped(key, fmt.Sprintf("%s: %s of strips cut %s wide: %s", name, r.length(s.Length), r.length(s.Width), r.counted(s.Strips)))
	}
}

// counted lists lengths, those alike together: "2 of 40 in and 1 of 9 in".
func (r *scrapsReport) counted(lengths []float64) string {
	var said []string
	for _, run := range runs(lengths, func(a, b float64) bool { return a == b }) {
		said = append(said, fmt.Sprintf("%d of %s", len(run), r.length(run[0])))
	}
	return words.List(said)
}

// bands lists the cloth of every band of colour.
func (r *scrapsReport) bands() {
	if len(r.made.Bands) == 0 {
		return
	}
	way, ok := map[quilt.Layout]string{
		quilt.Zigzag: "from the left", quilt.Chevron: "from the bottom", quilt.OneWay: "from the upper left",
	}[r.plan.Spec.Layout]
	if !ok {
		way = "one after the other across the quilt"
	}
	r.section("Bands of colour")
	for i, names := range r.made.Bands {
		r.hang(fmt.Sprintf("  - strip %d, %s:", i+1, way), 5, strings.Join(names, ", "))
	}
	r.paragraph("  -", "Which cloth goes into which band was found by trying; there may be a better way.")
}

// widths lists the widths in which a fabric is cut.
func (r *scrapsReport) widths(fabric string) string {
	var out []string
	for _, st := range r.plan.Spec.Strips {
		if w := r.length(st.Cut) + " wide"; st.Fabric == fabric && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return words.List(out)
}

// sewing lists the strip sets.
func (r *scrapsReport) sewing() {
	q := r.made.Quilt
	r.section("Sew and cut the strip sets, first strip nearest you")
	if n := len(r.plan.Spec.Strips); n > 1 {
		r.paragraph("  -", "The first strip named lies nearest you. Press the seams open. The row of cuts is told from the left end, right side up.")
	}
	for k, s := range r.made.Sets {
		has := rowHolds(s.Layout)
		diamonds := has.Diamonds(0) + has.Diamonds(1)
		triangles := has.Total() - diamonds
		line := fmt.Sprintf("%s, %s", strings.Join(words.StripFabrics(q, k), " with "), words.Lean(s.Layout))
		if s.Staggered {
			line += ", staggered"
		}
		line += ": " + words.Pieces(diamonds, triangles)
		if triangles > 0 {
			line += " (" + words.Row(q.Spec, s.Layout, s.Layout.Lean) + ")"
		}
		r.hang(fmt.Sprintf("  - strip set %d:", k+1), 5, line)
	}
}

func (r *scrapsReport) notUsed() {
	if len(r.made.Narrow)+len(r.made.Unused) == 0 {
		return
	}
	r.section("Not used")
	for _, i := range r.made.Narrow {
		s := r.made.Scraps[i]
		r.paragraph("  -", fmt.Sprintf("%s, %s long: only %s wide, and %s is cut %s.", s.Label(), r.length(s.Length), r.length(s.Width), s.Fabric, r.widths(s.Fabric)))
	}
	for _, i := range r.made.Unused {
		s := r.made.Scraps[i]
		r.paragraph("  -", fmt.Sprintf("%s, %s long: no strip of the strip set is of %s.", s.Label(), r.length(s.Length), s.Fabric))
	}
}
