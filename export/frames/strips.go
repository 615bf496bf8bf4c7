// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

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
	_, outline := m.Area()
	var groups [][]*run
	for _, c := range p.Cloth {
		if c.From == quilt.Precut {
			continue
		}
		tries := []int{1, 2, 4}
		if layers != 0 {
			tries = []int{layers}
		}
		var runs []*run
		for _, n := range tries {
			runs = ofFabric(p, c, n)
			if _, _, _, ok := area(outline).settle(runs, p.Spec.Unit); ok {
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

// widths returns the widths of the strips to be cut of the first colour of a
// fabric, which needs as many as any, in inches, lowest strip first.
func widths(p *quilt.Plan, c quilt.Cloth) []float64 {
	n := len(c.Fabric.Colours)
	if n == 0 {
		n = 1
	}
	sets := (len(p.Fewest.Layouts) + n - 1) / n
	var out []float64
	seen := map[float64]bool{}
	for _, s := range p.Spec.Strips {
		if s.Fabric != c.Key || seen[s.Cut] {
			continue
		}
		seen[s.Cut] = true
		pieces := 0
		for _, other := range p.Spec.Strips {
			if other.Fabric == c.Key && other.Cut == s.Cut {
				pieces += sets
			}
		}
		for range (pieces + c.PerStrip - 1) / c.PerStrip {
			out = append(out, p.Spec.Unit.Inches(s.Cut))
		}
	}
	return out
}

// ofFabric returns the runs for one fabric: one, or for fat quarters one for
// each way in which they are cut.
func ofFabric(p *quilt.Plan, c quilt.Cloth, layers int) []*run {
	u := p.Spec.Unit
	all := widths(p, c)
	room := u.Inches(c.Length) + 1
	if c.From == quilt.FatQuarters {
		room = u.Inches(fabric.FatQuarterWidth(u))
	}
	var runs []*run
	var before []float64
	for len(all) > 0 {
		n, used := 0, 0.0
		for n < len(all) && (n == 0 || geometry.Fits(used+all[n], room)) {
			used += all[n]
			n++
		}
		if now := all[:n]; equal(now, before) {
			runs[len(runs)-1].again++
		} else {
			runs = append(runs, acrossFabric(p, c, now, layers))
		}
		before, all = all[:n], all[n:]
	}
	for _, r := range runs {
		if c.From == quilt.FatQuarters && r.again > 1 {
			r.title += fmt.Sprintf(" from each of %d fat quarters", r.again)
		}
	}
	return runs
}

func equal(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

var foldWords = map[int]string{1: "single", 2: "folded once", 4: "folded twice"}

func acrossFabric(p *quilt.Plan, c quilt.Cloth, widths []float64, layers int) *run {
	u := p.Spec.Unit
	whole := p.Spec.UsableWidth
	if c.StripLength > 0 {
		whole = c.StripLength
	}
	r := &run{height: u.Inches(whole)/float64(layers) + pastSelvage, name: "fabric", again: 1, left: -rawEnd}
	x := 0.0
	at := func(n int) cut {
		return cut{n, geometry.Segment{A: geometry.Point{X: x}, B: geometry.Point{X: x, Y: r.height}}}
	}
	r.across = []cut{at(1)}
	var said []string
	for i := 0; i < len(widths); {
		n := i
		for n < len(widths) && widths[n] == widths[i] {
			n++
		}
		said = append(said, fmt.Sprintf("%s cut %s wide", words.Count(n-i, "strip"), length(widths[i], u)))
		for ; i < n; i++ {
			from := x
			x += widths[i]
			r.across = append(r.across, at(i+2))
			r.pieces = append(r.pieces, piece{name: "strip", low: from, high: x})
		}
	}
	r.bands = []float64{r.height / 4}
	r.rims = []geometry.Segment{{A: geometry.Point{X: -rawEnd}, B: geometry.Point{X: x + 2}}}

	r.title = fmt.Sprintf("%s, %s: %s", words.Fabric(p.Spec, c.Key), foldWords[layers], strings.Join(said, ", "))
	if n := len(c.ByColour); n > 1 {
		r.title += fmt.Sprintf(" of each of %d colours", n)
		if few := len(p.Fewest.Layouts) % n; few != 0 {
			r.more = fmt.Sprintf("The last %d of the colours are for one strip set fewer.", n-few)
		}
	}
	edge := "fold"
	if layers == 1 {
		edge = "selvage"
	}
	r.foot = edge
	r.lay = fmt.Sprintf("Lay the %s along the thin line nearest you, the raw end to the left of cut 1, which squares it. Cut on past the selvages.", edge)
	if r.more == "" {
		r.more = "Square the end again when a strip bends at the fold."
	}
	return r
}
