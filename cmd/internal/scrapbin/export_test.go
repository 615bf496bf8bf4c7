// SPDX-License-Identifier: Apache-2.0

package scrapbin

import (
	"lozenge/cmd/internal/spreadsheet"
	"lozenge/geometry/quilt"
)

// Parse reads a table from its text, as [Read] does.
func Parse(name string, data []byte, spec quilt.Spec) (*Bin, error) {
	t, err := spreadsheet.Parse(name, data, Columns...)
	if err != nil {
		return nil, err
	}
	return from(t, spec)
}
