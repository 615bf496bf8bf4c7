// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/geometry"
)

// InPhoto returns where a place of the mat, in inches, is seen in the photo.
func (f *Found) InPhoto(x, y float64) (px, py float64, ok bool) {
	s, t := f.turn.lines(x, y)
	return f.ruling.camera.back(s/f.ruling.step, t/f.ruling.step)
}

// Lines returns the first and the last of the mat's lines that were followed, by
// the numbers that x and y have there over [Found.Step].
func (f *Found) Lines() (x0, y0, x1, y1 int) {
	r := f.ruling
	ax, ay := f.turn.mat(float64(r.from[0])*r.step, float64(r.from[1])*r.step)
	bx, by := f.turn.mat(float64(r.to[0])*r.step, float64(r.to[1])*r.step)
	whole := func(v float64) int { return int(math.Round(v / r.step)) }
	return whole(min(ax, bx)), whole(min(ay, by)), whole(max(ax, bx)), whole(max(ay, by))
}

// Apart returns how far the crosses of one photo lie from those of another, at
// most, in inches. Whole lines don't count: either may have called another one 0.
// It is +Inf where they have no cross in common.
func Apart(a, b *Found) float64 {
	most, dx, dy, common := 0.0, 0.0, 0.0, false
	for _, c := range a.Crosses {
		at := slices.IndexFunc(b.Crosses, func(o Cross) bool { return o.Point == c.Point })
		if at < 0 {
			continue
		}
		o := b.Crosses[at]
		x, y := o.X-c.X, o.Y-c.Y
		if !common {
			dx, dy = a.Step*math.Round(x/a.Step), a.Step*math.Round(y/a.Step)
		}
		common = true
		most = max(most, math.Hypot(x-dx, y-dy))
	}
	if !common {
		return math.Inf(1)
	}
	return most
}

// grids are the printed grids that mats have, and in how many parts marks divide a
// step of each.
var grids = [...]struct {
	name  string
	step  float64
	fine  bool
	marks int
	parts string
}{{"1in", 1, false, 8, "eighths"}, {"1/2in", 0.5, true, 4, "quarters"}, {"1cm", 1 / geometry.CentimetresPerInch, false, 10, "tenths"}}

// gridOf returns the grid with lines nearest to that far apart.
func gridOf(step float64) int {
	best := 0
	for i, g := range grids {
		if math.Abs(g.step-step) < math.Abs(grids[best].step-step) {
			best = i
		}
	}
	return best
}

// Grids returns the names of the grids that are known.
func Grids() (names []string) {
	for _, g := range grids {
		names = append(names, g.name)
	}
	return names
}

// ParseGrid reads such a name.
func ParseGrid(text string) (step float64, fine bool, err error) {
	plain := strings.ReplaceAll(strings.ToLower(text), " ", "")
	at := slices.Index(Grids(), plain)
	if at < 0 {
		return 0, false, fmt.Errorf("%q is no printed grid that is known here; write one of %s, whichever lines run all over the mat", text, strings.Join(Grids(), ", "))
	}
	return grids[at].step, grids[at].fine, nil
}
