// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// mostChoices is how many quilts are listed to choose from; --json has all.
const mostChoices = 24

// choices lists the quilts that what is there makes.
func (t *text) choices(p *quilt.Plan) {
	if len(p.Choices) == 0 {
		return
	}
	what := "your scraps"
	if n := p.Spec.StripSets; n > 0 {
		what = words.Count(n, "strip set")
	}
	t.section("What " + what + " make")
	t.offered(p)
}

// offered lists the quilts that could be made, and says why the plan's is one of them.
func (t *text) offered(p *quilt.Plan) {
	t.possible(p.Choices)
	t.paragraph("  -", words.WhyChosen(p, "write columns and rows into the pattern for another one"))
}

// possible lists quilts to choose from.
func (t *text) possible(all []quilt.Possible) {
	for _, c := range all[:min(len(all), mostChoices)] {
		mark := ""
		if c.Chosen {
			mark = "  <- this plan"
		}
		t.row(fmt.Sprintf("%d by %d", c.Columns, c.Rows), "%s%s", words.Possible(c, t.unit), mark)
	}
	if n := len(all) - mostChoices; n > 0 {
		t.paragraph("  -", fmt.Sprintf("%d more, wider ones: --json lists them.", n))
	}
}

// notMade is the answer of plan where what is there does not make the quilt.
func notMadeText(spec quilt.Spec, e *quilt.NotMade) []byte {
	t := &text{unit: spec.Unit}
	fmt.Fprintf(t, "%s\n", spec.Name)
	t.section("What can be had instead")
	if len(e.Choices) == 0 {
		t.row("nothing", "not even one column and one row")
		return t.Bytes()
	}
	t.possible(e.Choices)
	t.paragraph("  -", "Columns by rows. Write columns and rows of one of them into the pattern, or leave the size out: then one is chosen.")
	return t.Bytes()
}
