// SPDX-License-Identifier: Apache-2.0

package table

import (
	"slices"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// draft is a calibration that is being made.
type draft struct {
	mat      string
	screen   calibrate.Screen
	targets  []calibrate.Target
	texts    []string // as typed; "" is not read yet
	readings []calibrate.Reading
	nudges   []calibrate.Nudge // in the order of the crossings
	result   calibrate.Result
}

// The crosses: enough for the lens to show and for a slip to be named.
var grid = calibrate.Grid{Columns: 3, Rows: 3}

func newDraft(mat string, s calibrate.Screen) *draft {
	targets, err := calibrate.Targets(s, grid, 1)
	if err != nil {
		panic(err) // the screen was looked at before
	}
	return &draft{mat: mat, screen: s, targets: targets, texts: make([]string, len(targets)), readings: make([]calibrate.Reading, len(targets))}
}

// put takes a reading.
func (d *draft) put(i int, text string, x, y float64) {
	t := d.targets[i]
	d.texts[i] = text
	d.readings[i] = calibrate.Reading{Point: t.Point, U: t.U, V: t.V, X: x, Y: y}
}

// read returns the readings that were taken.
func (d *draft) read() []calibrate.Reading {
	var out []calibrate.Reading
	for i, r := range d.readings {
		if d.texts[i] != "" {
			out = append(out, r)
		}
	}
	return out
}

// placed returns the crosses that were laid onto their crossings.
func (d *draft) placed() []calibrate.Nudge {
	return slices.DeleteFunc(slices.Clone(d.nudges), func(n calibrate.Nudge) bool { return n.Point == 0 })
}

// solve works out the map from all that is known.
func (d *draft) solve(u geometry.Unit) {
	d.result = calibrate.Refine(d.read(), d.placed(), d.screen, calibrate.Options{Unit: u})
}

// indexOf returns the index of a cross by its number.
func (d *draft) indexOf(point int) int {
	return slices.IndexFunc(d.targets, func(t calibrate.Target) bool { return t.Point == point })
}
