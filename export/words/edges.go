// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"strings"

	"lozenge/geometry/quilt"
)

// Edges says how many edge triangles match the diamonds that they touch, and
// what the other rule for them would cost or leave.
func Edges(p *quilt.Plan) string {
	e := p.Edges()
	said := "Each edge triangle has the colours of a diamond that it touches."
	if e.Unmatched > 0 {
		said = fmt.Sprintf("%d of %s touch no diamond of their own colours.", e.Unmatched, Count(2*p.Columns, "edge triangle"))
		if e.Unmatched == 1 {
			said = fmt.Sprintf("1 of %s touches no diamond of its own colours.", Count(2*p.Columns, "edge triangle"))
		}
	}
	switch {
	case e.Unmatched > 0 && p.Spec.ColourOrder == quilt.Bands:
		said = strings.TrimSuffix(said, ".") + ": their bands begin or end there."
	case e.Unmatched > 0 && e.More == nil && p.Spec.Edges == quilt.Matched:
		said += " edges: matched asks that all match, but these strip sets were not chosen for it."
	case e.Fewer > 0:
		said += fmt.Sprintf(" That takes %s more than edges: thrifty, which would leave %s that don't match.", Count(e.Fewer, "strip set"), Count(e.Leaves, "edge triangle"))
	case e.Unmatched > 0 && e.More != nil && *e.More == 0:
		said += " With edges: matched all would match, in as many strip sets, but fewer diamonds would lie in order."
	case e.More != nil && *e.More > 0:
		said += fmt.Sprintf(" With edges: matched all would match; that takes %s more.", Count(*e.More, "strip set"))
	}
	return said
}
