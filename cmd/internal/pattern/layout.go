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

// longLayout is how long a layout may be to stand in one line.
const longLayout = 60

// Lay returns the text of a pattern with the rows of a repeat as its layout, the top
// row first, in place of a setting. Of as many rows as it has, only those that differ
// are changed. The errors are those of [Set].
func Lay(text string, rows []string) (string, error) {
	text, err := Remove(text, "setting")
	if err != nil {
		return "", err
	}
	values, _ := Values(text)
	at := func(i int) string { return fmt.Sprintf("layout[%d]", i) }
	apart := " " // as she writes them
	if first := values[at(0)]; len(first) > 1 && !strings.Contains(first, " ") {
		apart = ""
	}
	said, wanted := make([]string, len(rows)), map[string]string{}
	for i, row := range rows {
		said[i] = strings.Join(strings.Split(row, ""), apart)
		wanted[at(i)] = said[i]
	}
	n := 0
	for values[at(n)] != "" {
		n++
	}
	switch n {
	case len(rows):
		for i, row := range said {
			if strings.Join(strings.Fields(values[at(i)]), "") == rows[i] {
				continue
			}
			if text, err = Set(text, at(i), row); err != nil {
				return "", err
			}
		}
		return text, nil
	case 0:
		if text, err = change(text, map[string]string{at(0): "R"}, []string{"layout"}, func(e *edit) { e.insert(e.root, nil, []string{"layout"}, "[R]") }); err != nil {
			return "", err
		}
	}
	return change(text, wanted, []string{"layout"}, func(e *edit) {
		s, rest := e.deepest([]string{"layout"})
		line := "[" + strings.Join(said, ", ") + "]"
		switch {
		case len(rest) > 0 || s.kind != list:
			e.failed = true
		case !s.inline:
			indent := "\n" + strings.Repeat(" ", e.column(s.from)) + "- "
			e.put(s.from, s.to, "- "+strings.Join(said, indent))
		case len(line) <= longLayout || e.root.inline:
			e.put(s.from, s.to, line)
		default:
			e.put(len(strings.TrimRight(e.text[:s.from], " ")), s.to, "\n  - "+strings.Join(said, "\n  - "))
		}
	})
}
