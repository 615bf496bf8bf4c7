// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// shopping prints what to buy of each fabric.
func (t *text) shopping(p *quilt.Plan) {
	t.section("What to buy")
	for _, c := range p.Cloth {
		name := words.Cloth(p.Spec, c.Key)
		t.row(name, "%s", t.cloth(p, c))
		if len(c.ByColour) > 1 && c.From != quilt.Scraps {
			for _, one := range c.ByColour {
				said := words.Amount(one.Buy, one.Unit)
				if c.From != quilt.Precut {
					said += ": " + words.Count(one.Strips, "strip")
				}
				t.row("  "+p.Spec.ColourName(c.Key, one.Number), "%s", said)
			}
		}
	}
	for _, w := range p.SharedFatQuarters() {
		t.row("  "+words.Count(w.Times, "fat quarter"), "of %s, from each %s", words.Colour(p.Spec, w.Fabric, w.Number), words.StripsOf(w, t.length))
	}
	for i, b := range p.Borders {
		spec := p.Spec.Borders[i]
		t.row(fmt.Sprintf("border %d", i+1), "%s of %s: %s cut %s wide", words.Amount(b.Buy, b.Unit), words.Cloth(p.Spec, spec.Fabric), words.Count(b.Strips, "strip"), t.length(b.Cut))
	}
	for _, sum := range p.Shopping() {
		t.row("", "of %s for %s together: %s", words.Cloth(p.Spec, sum.Fabric.Key), words.List(sum.For), words.Amount(sum.Buy, sum.Unit))
	}
	t.row("backing", "%s: %s, each %s long, of fabric with %s usable width", words.Amount(p.Backing.Buy, p.Backing.Unit),
		words.Count(p.Backing.Panels, "panel"), t.length(p.Backing.Panel), t.length(p.Spec.Backing.UsableWidth))
	t.row("binding", "%s: %s cut %s wide", words.Amount(p.Binding.Buy, p.Binding.Unit), words.Count(p.Binding.Strips, "strip"), t.length(p.Spec.Binding.Cut))
	t.row("batting", "%s by %s", t.length(p.Batting.Width), t.length(p.Batting.Height))
	if said := words.Straightened(p.Spec); said != "" {
		t.paragraph("  -", said)
	}
}

// scraps lists from which scraps the strips are cut.
func (t *text) scraps(p *quilt.Plan) {
	if !p.FromScraps() {
		return
	}
	t.section("Cut your scraps")
	t.paragraph("  -", "Cut each scrap lengthwise into strips, then crosswise into these lengths. What is named whole is not cut before it is sewn.")
	for _, w := range p.Cutting {
		t.hang("  - "+words.Scrap(p.Spec, w, t.length)+":", 5, words.ScrapCuts(w, t.length))
	}
}

// leftovers lists what is left of a scrap bin, and what it would serve for.
func (t *text) leftovers(p *quilt.Plan) {
	if !p.FromScraps() {
		return
	}
	t.section("What is left of your scraps")
	if len(p.Left) == 0 {
		t.paragraph("  -", "Nothing worth keeping.")
	}
	for _, l := range p.Left {
		t.paragraph("  -", words.Leftover(p.Spec, l))
	}
	for _, said := range words.Uses(p) {
		t.paragraph("  -", said)
	}
}

// cloth says how one fabric is cut for the strip sets.
func (t *text) cloth(p *quilt.Plan, c quilt.Cloth) string {
	if c.From == quilt.Scraps {
		return words.BoughtNothing(c)
	}
	said := words.Amount(c.Buy, c.Unit)
	if len(c.ByColour) > 1 {
		said += fmt.Sprintf(" in %d colours", len(c.ByColour))
	}
	if c.From == quilt.Yardage || c.From == quilt.FatQuarters {
		said += ": " + words.Count(c.Strips, "strip")
	}
	if c.PerStrip > 1 {
		return said + fmt.Sprintf(", each cut into %d, for %d pieces %s long", c.PerStrip, c.Pieces, words.RoundedUp(p.CommonLength, t.unit))
	}
	return said + fmt.Sprintf(", each at least %s long", words.RoundedUp(p.CommonLength, t.unit))
}

// finishing prints borders, backing, binding and the size after washing.
func (t *text) finishing(p *quilt.Plan) {
	s := p.Spec
	t.section("Finishing")
	inner := p.Finished
	for i, b := range p.Borders {
		how := "butted: sew the sides on first, then top and bottom"
		if s.Borders[i].Corners == quilt.Mitred {
			how = fmt.Sprintf("mitred, with %s to trim: sew all four on, stopping a seam allowance from each corner, then sew the corners", t.length(p.MitreExtra()))
		}
		if i == 0 {
			t.paragraph("  -", words.MeasureFirst)
		}
		t.row(fmt.Sprintf("border %d", i+1), "two sides %s, top and bottom %s, cut %s wide", t.length(b.Sides), t.length(b.Ends), t.length(b.Cut))
		t.row("", "%s", how)
		if b.Joins > 0 {
			t.row("", "join %s end to end first", words.Count(b.Strips, "strip"))
		}
		inner = quilt.Size(b.Outer)
	}
	if len(p.Borders) > 0 {
		t.row("with borders", "%s wide, %s high when finished", t.length(inner.Width), t.length(inner.Height))
	}
	way := "seams across"
	if p.Backing.Lengthwise {
		way = "seams up and down"
	}
	if p.Backing.Panels == 1 {
		way = "no seam"
	}
	t.row("backing", "%s by %s, %s, %s", t.length(p.Backing.Width), t.length(p.Backing.Height), words.Count(p.Backing.Panels, "panel"), way)
	t.row("binding", "%s in all, once round and %s more; join its strips %s", t.length(p.Binding.Total), t.length(s.Binding.Extra), words.BindingJoins(s))
	if s.Shrinkage > 0 || s.TakeUp > 0 {
		t.row("after washing", "about %s wide, %s high, when quilting draws in %v %% and the wash %v %%",
			t.length(p.Washed.Width), t.length(p.Washed.Height), s.TakeUp, s.Shrinkage)
	}
}
