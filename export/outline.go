// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"math"
	"slices"

	"lozenge/geometry"
)

// The reasons why a line is not fit to be cut. Readers of a file crash on
// such lines or drop them without a word (skymakerolof/dxf#20), so they are
// never written.
var (
	ErrNoLine    = errors.New("has fewer than two distinct points")
	ErrNoOutline = errors.New("is closed and has fewer than three corners that do not lie on one line")
)

// Distinct returns points without those that come out as the one before when
// written with the given number of decimals; of a closed outline the last is
// also compared with the first. It returns points itself when there is
// nothing to drop, and [ErrNoLine] or [ErrNoOutline] when too little is left.
// Points that are not finite are kept, for [Numbers] to report.
func Distinct(points []geometry.Point, closed bool, decimals int) ([]geometry.Point, error) {
	unit := 1 / float64(pow10[decimals])
	points = dropRepeats(points, closed, unit)
	switch {
	case len(points) < 2:
		return nil, ErrNoLine
	case closed && flat(points, unit):
		return nil, ErrNoOutline
	}
	return points, nil
}

func dropRepeats(points []geometry.Point, closed bool, unit float64) []geometry.Point {
	n := min(len(points), 1) // as a rule nothing is to be dropped
	for n < len(points) && !same(points[n-1], points[n], unit) {
		n++
	}
	kept := slices.Clip(points[:n]) // what is kept next must not replace the caller's
	for _, p := range points[n:] {
		if !same(kept[len(kept)-1], p, unit) {
			kept = append(kept, p)
		}
	}
	for closed && len(kept) > 1 && same(kept[0], kept[len(kept)-1], unit) {
		kept = kept[:len(kept)-1]
	}
	return kept
}

func same(p, q geometry.Point, unit float64) bool {
	return math.Abs(p.X-q.X) < unit && math.Abs(p.Y-q.Y) < unit
}

// flat reports whether no point lies farther than unit from the line through
// the first point and the one farthest from it.
func flat(points []geometry.Point, unit float64) bool {
	var far geometry.Point
	length := 0.0
	for _, p := range points[1:] {
		d := p.Sub(points[0])
		if l := math.Abs(d.X) + math.Abs(d.Y); l > length {
			far, length = d, l
		}
	}
	limit := unit * length
	for _, p := range points[1:] {
		// Written so that a coordinate that is not a number counts as off
		// the line.
		if !(math.Abs(far.Cross(p.Sub(points[0]))) <= limit) {
			return false
		}
	}
	return true
}
