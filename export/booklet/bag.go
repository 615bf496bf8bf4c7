// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// bag says what lies in the bag of a kit: it stands for what others buy and cut.
func (c *composer) bag() {
	c.chapter("fabric", "Your bag", 0.4)
	c.para(say("All cloth for one quilt lies in the bag, cut into strips. Lay it out, tick it off, and ask whoever packed it for what is missing before you sew. Keep strips of one colour and width together; they are all alike."))
	c.para(say(fmt.Sprintf("Where a strip still has its selvages, cut them off: what is left must be at least so long as %s says.", c.ref("buy"))))
	if c.from(quilt.Precut) {
		c.para(readyCutStrips)
	}
	t := c.newTable("buy", "What lies in the bag", 5.4)
	t.heads = []string{"Tick off"}
	for _, one := range words.InBag(c.p, c.length) {
		t.rows = append(t.rows, row{label: words.Capital(one.Name) + ": " + one.Said, cells: []string{""}, swatch: slices.Concat(one.Swatches...)})
	}
	c.table(t)
	c.notes()
}

// from reports whether strips come from such cloth.
func (c *composer) from(source quilt.Source) bool {
	return c.some(func(p *quilt.Plan) bool {
		return slices.ContainsFunc(p.Cloth, func(cl quilt.Cloth) bool { return cl.From == source })
	})
}

// readyCutStrips says what to know of strips that are bought ready cut.
var readyCutStrips = text{"Ready-cut strips", "may have pinked edges. Measure one: where its width is that from peak to peak, let the peaks meet when you sew."}
