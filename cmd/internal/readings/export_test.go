// SPDX-License-Identifier: Apache-2.0

package readings

import (
	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/spreadsheet"
	"lozenge/geometry"
)

// Parse reads a table from its text, as [Read] does.
func Parse(name string, data []byte, unit geometry.Unit) ([]calibrate.Reading, []problem.Problem, error) {
	t, err := spreadsheet.Parse(name, data, columns...)
	if err != nil {
		return nil, nil, err
	}
	return from(t, unit)
}
