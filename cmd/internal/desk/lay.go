// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"lozenge/cmd/internal/pattern"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// lay is how the diamonds lie, and where in the picture.
type lay struct {
	Own    bool     `json:"own"`    // a layout of her own stands in the pattern
	Name   string   `json:"name"`   // of one to begin with that it is; "" for none
	Repeat []string `json:"repeat"` // its rows, the top row first

	Columns int        `json:"columns"` // of the picture's quilt
	Rows    int        `json:"rows"`
	First   [2]float64 `json:"first"` // centre of the diamond in column 0 of row 0, in the picture, down
	Step    [2]float64 `json:"step"`  // to the next column, and up to the next row, which lies half a column farther right or left
}

// layOf returns how the diamonds lie by the values of a text, in the picture of a plan.
func layOf(values map[string]string, p *quilt.Plan, page geometry.Rect) *lay {
	repeat, own := repeatOf(values, p.Spec.Layout)
	at := p.Centre(quilt.Placement{})
	l := &lay{Own: own, Repeat: repeat, Columns: p.Columns, Rows: p.Rows,
		First: [2]float64{at.X - page.Min.X, page.Max.Y - at.Y}, Step: [2]float64{p.ColumnStep, p.RowStep}}
	if made, err := quilt.NewLayout(repeat); err == nil && own {
		for _, n := range quilt.NamedLayouts() {
			if n.Of(p.Columns, p.Rows) == made {
				l.Name = n.Name
			}
		}
	}
	return l
}

// repeatOf returns the rows of the repeat that stands in a pattern, else those of the
// layout that is planned.
func repeatOf(values map[string]string, planned quilt.Layout) (rows []string, own bool) {
	for {
		row := strings.Join(strings.Fields(values[fmt.Sprintf("layout[%d]", len(rows))]), "")
		if row == "" || len(rows) > 0 && len(row) != len(rows[0]) || strings.Trim(row, "RLrl") != "" {
			break
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return planned.Rows(), false
	}
	return rows, true
}

// lay changes how the diamonds lie: to a layout to begin with, or to what is seen,
// as her own; by turning one; or by repeating those that are marked.
func (s *session) lay(a action) error {
	p := s.plan
	if p == nil || len(s.problems) > 0 {
		return errNoPlan
	}
	values, _ := pattern.Values(s.text)
	repeat, _ := repeatOf(values, p.Spec.Layout)
	switch a.Do {
	case doLay:
		if a.Name == "" {
			break
		}
		n, ok := named(a.Name)
		if !ok {
			return fmt.Errorf("%q is no layout to begin with", a.Name)
		}
		repeat = n.Of(p.Columns, p.Rows).Rows()
	case doTurn:
		if len(a.Cells) != 1 || !inQuilt(p, a.Cells...) {
			return errNoCell
		}
		if a.Alone { // the whole quilt with its edge triangles becomes the repeat
			repeat = quilt.RepeatOf(repeat, 0, -1, p.Columns, p.Rows+2)
		}
		repeat = quilt.TurnCell(repeat, a.Cells[0][0], a.Cells[0][1])
	case doRepeat:
		if len(a.Cells) != 2 || !inQuilt(p, a.Cells...) {
			return errNoCell
		}
		from, to := a.Cells[0], a.Cells[1]
		low := [2]int{min(from[0], to[0]), min(from[1], to[1])}
		repeat = quilt.RepeatOf(repeat, low[0], low[1], max(from[0], to[0])-low[0]+1, max(from[1], to[1])-low[1]+1)
	}
	text, err := pattern.Lay(s.text, repeat)
	if err != nil {
		return err
	}
	if len(text) > mostText {
		return errTooMuch
	}
	s.put(text)
	return nil
}

var errNoCell = errors.New("there is no such diamond")

// inQuilt reports whether cells, column and row, are pieces of a quilt.
func inQuilt(p *quilt.Plan, cells ...[2]int) bool {
	return !slices.ContainsFunc(cells, func(c [2]int) bool { return c[0] < 0 || c[0] >= p.Columns || c[1] < -1 || c[1] > p.Rows })
}

// named returns the layout to begin with of a name.
func named(name string) (quilt.NamedLayout, bool) {
	all := quilt.NamedLayouts()
	i := slices.IndexFunc(all, func(n quilt.NamedLayout) bool { return n.Name == name })
	if i < 0 {
		return quilt.NamedLayout{}, false
	}
	return all[i], true
}
