// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/csv"
	"strconv"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// leftoversCSV returns the scrap bin as it is when the strips are cut: a table that
// scraps reads. Lengths are rounded down to what a ruler shows.
func leftoversCSV(p *quilt.Plan) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"fabric", "name", "color", "width", "length", "count"}}
	length := func(v float64) string {
		if v = words.DownToRuler(v, p.Spec.Unit); p.Spec.Unit == geometry.Inch {
			return geometry.FormatFraction(v, 16)
		}
		return strconv.FormatFloat(v, 'f', 1, 64)
	}
	for _, l := range p.Left {
		color := ""
		if l.Colour != nil {
			color = l.Colour.String()
		}
		rows = append(rows, []string{l.Fabric, l.Name, color, length(l.Width), length(l.Length), strconv.Itoa(l.Count)})
	}
	err := w.WriteAll(rows)
	return b.Bytes(), err
}
