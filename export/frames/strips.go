// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"
	"slices"

	"lozenge/calibrate"
	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// mostNames is how many colours a title names.
const mostNames = 6

// pastSelvage is how far lines across the fabric run past its usable width,
// in inches, so that they reach over the selvages.
const pastSelvage = 1.0

// rawEnd is how much of the fabric's raw end lies beside the squaring cut.
const rawEnd = 0.5

// Strips returns the frames for cutting the strips themselves: for each
// fabric that is not bought as strips, a squaring cut and then the strips'
// widths in order, lowest strip first, across the folded fabric with the fold
// nearest the reader. layers says how it is folded: 1 single, 2 folded once,
// 4 folded twice; 0 is the fewest with which it fits into the picture. The
// plan must have strip sets. The error is a [*FitError].
func Strips(p *quilt.Plan, m *calibrate.Map, layers int) ([]Frame, error) {
	room := onmat.RoomOf(m)
	var groups [][]*run
	for _, c := range p.Cloth {
		if c.From == quilt.Precut {
			continue
		}
		tries := []int{1, 2, 4}
		if c.From == quilt.Scraps {
			tries = []int{1}
		}
		if layers != 0 {
			tries = []int{layers}
		}
		var runs []*run
		for _, n := range tries {
			runs = ofFabric(p, c, n)
			if _, _, ok := settle(room, runs, p.Spec.Unit); ok {
				break
			}
		}
		groups = append(groups, runs)
	}
	if len(groups) == 0 {
		return nil, &FitError{"all fabrics are bought as strips", "there is nothing to cut before the strip sets are sewn"}
	}
	return assemble("strips", groups, m, p.Spec.Unit)
}

// ofFabric returns the runs for one fabric: one for each way in which whole
// pieces of it are cut. Colours of which as many are cut alike share a run.
func ofFabric(p *quilt.Plan, c quilt.Cloth, layers int) []*run {
	alike := func(a, b quilt.Whole) bool {
		return a.Times == b.Times && slices.EqualFunc(a.Strips, b.Strips, func(a, b quilt.StripCut) bool { return a.Strip == b.Strip && a.Full == b.Full })
	}
	var ways []quilt.Whole
	var colours [][]string // of each way
	for _, w := range p.Cutting {
		if w.Fabric != c.Key {
			continue
		}
		i := slices.IndexFunc(ways, func(o quilt.Whole) bool { return alike(o, w) })
		if i < 0 {
			i = len(ways)
			ways, colours = append(ways, w), append(colours, nil)
		}
		colours[i] = append(colours[i], p.Spec.ColourName(w.Fabric, w.Number))
	}
	var runs []*run
	for i, w := range ways {
		r := acrossFabric(p, w, layers)
		switch n := len(colours[i]); {
		case len(c.ByColour) == 1:
		case n == len(c.ByColour):
			r.title += fmt.Sprintf(" in each of %d colours", n)
		case n == 1:
			r.title += " in " + colours[i][0]
		case n > mostNames:
			r.title += fmt.Sprintf(" in each of %d colours, as the plan lists them", n)
		default:
			r.title += " in each of " + words.List(colours[i])
		}
		if w.Times > 1 {
			r.title += fmt.Sprintf(" from each of %d fat quarters", w.Times)
		}
		runs = append(runs, r)
	}
	return runs
}

var foldWords = map[int]string{1: "single", 2: "folded once", 4: "folded twice"}

// acrossFabric returns the run for a whole piece.
func acrossFabric(p *quilt.Plan, w quilt.Whole, layers int) *run {
	u := p.Spec.Unit
	r := &run{height: u.Inches(w.Length)/float64(layers) + pastSelvage, name: "fabric", again: w.Times, left: -rawEnd}
	x := 0.0
	line := func() {
		r.across = append(r.across, cut{len(r.across) + 1, geometry.Segment{A: geometry.Point{X: x}, B: geometry.Point{X: x, Y: r.height}}})
	}
	line()
	for _, s := range w.Strips {
		for range s.Full {
			from := x
			x += u.Inches(s.Cut)
			line()
			r.pieces = append(r.pieces, piece{name: "strip", low: from, high: x})
		}
	}
	r.bands = []float64{r.height / 4}
	r.rims = []geometry.Segment{{A: geometry.Point{X: -rawEnd}, B: geometry.Point{X: x + 2}}}

	r.title = fmt.Sprintf("%s, %s: %s", words.Fabric(p.Spec, w.Fabric), foldWords[layers], words.StripsOf(w, func(v float64) string { return length(u.Inches(v), u) }))
	edge := "fold"
	if layers == 1 {
		edge = "selvage"
	}
	r.foot = edge
	r.lay = fmt.Sprintf("Lay the %s along the thin line nearest you, the raw end to the left of cut 1, which squares it. Cut on past the selvages.", edge)
	r.more = "Square the end again when a strip bends at the fold."
	return r
}
