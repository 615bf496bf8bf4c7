// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// layout reads how the diamonds lie: a setting, or the repeat of a layout of her
// own, a list of rows whose letters may stand apart.
func (f fields) layout() quilt.Layout {
	setting, _ := word(f, "setting", settings...)
	n := f.value("layout")
	switch {
	case n == nil:
		return setting
	case f.has("setting"):
		f.d.fail(n.at, "how the diamonds lie is said twice, by setting and by layout", "keep one of the two; a setting is a layout with a name")
		return setting
	case n.kind != list:
		f.d.fail(n.at, "layout: a list of rows is wanted here, "+n.kind.instead(), f.d.shapeHint("layout"))
		return setting
	}
	var rows []string
	for i, row := range n.items {
		f.d.places[fmt.Sprintf("layout[%d]", i)] = row.at
		if row.kind != scalar {
			f.d.fail(row.at, "layout: a row of letters is wanted here, "+row.kind.instead(), f.d.shapeHint("layout"))
			return setting
		}
		rows = append(rows, strings.Join(strings.Fields(row.text), ""))
	}
	l, err := quilt.NewLayout(rows)
	var wrong *geometry.Error
	if errors.As(err, &wrong) {
		f.d.fail(f.d.places[wrong.Field], "layout: "+wrong.Reason, wrong.Hint)
	}
	return l
}

// StarterOf returns [Starter] with a layout to begin with, made to the size of its
// quilt.
func StarterOf(unit geometry.Unit, layout quilt.NamedLayout) ([]byte, error) {
	text := Starter(unit)
	p, err := Parse("", text)
	if err != nil {
		return nil, err
	}
	l := layout.Of(p.Spec.Columns, p.Spec.Rows)
	said := "# " + words.Capital(strings.ReplaceAll(layout.Name, "-", " ")) + ": " + layout.Looks + ".\n"
	if layout.Fitted {
		said += fmt.Sprintf("# It is made to %d columns and %d rows.\n", p.Spec.Columns, p.Spec.Rows)
	}
	said += "layout:"
	for _, row := range l.Rows() {
		said += "\n  - " + strings.Join(strings.Split(row, ""), " ")
	}
	return bytes.Replace(text, []byte("#layout: [R L, L R]"), []byte(said), 1), nil
}
