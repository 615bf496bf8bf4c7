// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"
	"slices"

	"lozenge/calibrate"
)

// screenMap takes pixels of the screen to inches along the lines, through a
// lens as a camera does: it is what crosses are checked with.
func screenMap(s calibrate.Screen, crosses []cross) (camera, []mark, bool) {
	c := newCamera(s.Width, s.Height)
	var from, to [][2]float64
	var marks []mark
	for _, k := range crosses {
		from = append(from, [2]float64{(k.target.U - c.cx) / c.radius, (k.target.V - c.cy) / c.radius})
		to = append(to, [2]float64{k.x, k.y})
		marks = append(marks,
			mark{x: k.target.U, y: k.target.V, axis: 0, value: k.x},
			mark{x: k.target.U, y: k.target.V, axis: 1, value: k.y})
	}
	h, ok := through(from, to)
	if !ok {
		return c, nil, false
	}
	copy(c.p[:8], h[:8])
	_, ok = c.straighten(marks, atK+2)
	return c, marks, ok
}

const (
	firmCrosses = 8    // that carry the others
	crossOff    = 0.03 // in: a cross so far from where the others have it is none
	mostNear    = 0.01 // in: one so near is always one
	timesStray  = 3.0  // the points of an arm that stray so many times as far as is usual lie on something else too
	timesOff    = 5.0  // between: off so many times as far as is usual, it is none; a slanting line beside an arm pulls at it
)

// readAll reads the arms of all crosses: first where the candidates are, then
// those that failed where the others say. One that the others don't have where
// it was read is none. Crosses that other lines may have touched are taken where
// too few are left without them.
func (a *arms) readAll(l lay, c []candidate, targets []calibrate.Target, g calibrate.Grid) (out []cross) {
	for _, a.doubtful = range [...]bool{false, true} {
		if out = a.readThese(l, c, targets, g); len(out) >= leastCrosses(len(targets)) {
			break
		}
	}
	return out
}

func (a *arms) readThese(l lay, c []candidate, targets []calibrate.Target, g calibrate.Grid) []cross {
	step := a.ruling.step
	found := make([]*cross, len(targets))
	for i, t := range targets {
		if l.of[i] < 0 {
			continue
		}
		var j [4]float64
		j[0], j[1], j[2], j[3] = tangent(&l.h, t.U, t.V)
		q := c[l.of[i]]
		if k, ok := a.read(t, q.s*step, q.t*step, j, ringed(i, g)); ok {
			found[i] = &k
		}
	}
	for range 2 {
		a.readAgain(found, targets, g, 2*crossOff)
	}
	a.readAgain(found, targets, g, 0)
	return all(found)
}

// readAgain reads the crosses anew that are missing, or off where the others
// have them, and keeps those that lie within reach of there.
func (a *arms) readAgain(found []*cross, targets []calibrate.Target, g calibrate.Grid, reach float64) {
	firm := all(found)
	if len(firm) < firmCrosses {
		return
	}
	m, _, ok := screenMap(a.screen, firm)
	if !ok {
		return
	}
	var off, stray []float64
	for _, k := range firm {
		x, y := m.at(k.target.U, k.target.V)
		off = append(off, math.Hypot(k.x-x, k.y-y))
		stray = append(stray, k.stray)
	}
	most := min(max(timesOff*quantile(0.5, off), mostNear), crossOff)
	mostStray := timesStray * quantile(0.5, stray)
	if a.doubtful {
		mostStray = math.Inf(1)
	}
	for i, t := range targets {
		x, y := m.at(t.U, t.V)
		if k := found[i]; k != nil && math.Hypot(k.x-x, k.y-y) < most && k.stray < mostStray {
			continue
		}
		found[i] = nil
		var j [4]float64
		j[0], j[1], j[2], j[3] = m.slope(t.U, t.V)
		if reach == 0 {
			continue
		}
		if k, ok := a.read(t, x, y, j, ringed(i, g)); ok && math.Hypot(k.x-x, k.y-y) < reach {
			found[i] = &k
		}
	}
}

// ringed reports whether a cross may have the ring: it stands in a corner.
func ringed(i int, g calibrate.Grid) bool {
	return slices.Contains(cornerSets(g)[0][:], i)
}

func all(found []*cross) (out []cross) {
	for _, k := range found {
		if k != nil {
			out = append(out, *k)
		}
	}
	return out
}

const (
	ringPart  = 0.35 // of its arms: a ring shines as they do
	ringAlone = 0.45 // of the brightest: no other corner has one
)

// first returns which of the four corners has the ring: 0 for the first cross,
// then round the picture as the corners go.
func (a *arms) first(m *camera, targets []calibrate.Target, g calibrate.Grid, peak float64) (int, bool) {
	best, second, at := 0.0, 0.0, 0
	for k, i := range cornerSets(g)[0] {
		t := targets[i]
		x, y := m.at(t.U, t.V)
		var j [4]float64
		j[0], j[1], j[2], j[3] = m.slope(t.U, t.V)
		v := a.ring(x, y, j)
		if v > best {
			best, second, at = v, best, k
		} else {
			second = max(second, v)
		}
	}
	return at, best > ringPart*peak && second < ringAlone*best
}
