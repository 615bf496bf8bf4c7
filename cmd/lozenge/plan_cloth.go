// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// shopping prints what to buy of each fabric.
func (t *text) shopping(p *quilt.Plan) {
	t.section("What to buy")
	for _, one := range words.ToBuy(p, p.Goods()) {
		name := one.Name
		if one.Part {
			name = "  " + name
		}
		t.row(name, "%s", words.Loose(one.Said))
	}
	if said := words.Straightened(p.Spec); said != "" {
		t.paragraph("  -", said)
	}
}

// kits prints what is bought and cut for all kits, and what goes into each bag.
func (t *text) kits(p *quilt.Plan, kits *quilt.Goods) {
	if kits == nil {
		return
	}
	for _, list := range words.KitLists(p, *kits) {
		t.section(list.Title)
		if list.First != "" {
			t.paragraph("  -", list.First)
		}
		for _, one := range list.Items {
			lead := "  - "
			if one.Part {
				lead = "    - "
			}
			t.hang(strings.TrimSuffix(lead+one.Name+":", " :"), len(lead)+1, words.Loose(one.Said))
		}
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
		t.hang("  - "+words.Scrap(p.Spec, w, t.length)+":", 5, words.ScrapCuts(p.Spec, w, t.length))
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
