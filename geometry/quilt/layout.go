// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry"
)

// Layout says of each cell of the lattice how its diamond lies. It is a repeat
// of cells that is laid again and again, and no larger than it need be: layouts
// that lay every quilt alike are equal. The zero Layout is [Zigzag].
type Layout struct {
	columns int
	cells   string // R, L, and r, l turned by 180 degrees: the bottom row first, each from left to right
}

// MaxCells is the most cells that a repeat may have.
const MaxCells = 100_000

// The settings: layouts with a name. In Zigzag and Chevron rows alternate
// right- and left-leaning; in Chevron the left-leaning diamonds are turned.
// OneWay is all right-leaning.
var (
	Zigzag  = Layout{}
	Chevron = Layout{1, "Rl"}
	OneWay  = Layout{1, "R"}

	settings = map[Layout]string{Zigzag: "zigzag", Chevron: "chevron", OneWay: "one-way"}
)

// NewLayout returns the layout of a repeat, whose rows are given from the top
// down: letters R and L for diamonds that lean right and left, r and l for those
// turned by 180 degrees. The error is a [*geometry.Error] for layout or, where one
// row is to blame, layout[i].
func NewLayout(rows []string) (Layout, error) {
	rows = slices.Clone(rows)
	if len(rows) == 0 || rows[0] == "" {
		return Layout{}, geometry.Wrong("layout", "the repeat is empty", "give at least one letter: R, L, r or l")
	}
	l := Layout{columns: len(rows[0])}
	if len(rows) > MaxCells/l.columns {
		return Layout{}, geometry.Wrong("layout", fmt.Sprintf("%d rows of %d cells are more than %d", len(rows), l.columns, MaxCells), "make the repeat smaller; it is laid again and again")
	}
	for i, row := range rows {
		field := fmt.Sprintf("layout[%d]", i)
		if at := strings.IndexFunc(row, func(c rune) bool { return !strings.ContainsRune(ways, c) }); at >= 0 {
			return Layout{}, geometry.Wrong(field, fmt.Sprintf("%q, letter %d of row %d, is no way for a diamond to lie", []rune(row[at:])[0], at+1, i+1), "R leans right and L left; r and l are the same turned upside down")
		}
		if len(row) != l.columns {
			return Layout{}, geometry.Wrong(field, fmt.Sprintf("row %d is %d wide, and row 1 is %d", i+1, len(row), l.columns), "give all rows of the repeat as many letters")
		}
	}
	slices.Reverse(rows)
	l.cells = strings.Join(rows, "")
	return l.smallest(), nil
}

// smallest returns the layout with its smallest repeat.
func (l Layout) smallest() Layout {
	columns := period(l.columns, func(n int) bool {
		for i := 0; i < len(l.cells); i += l.columns {
			if row := l.cells[i : i+l.columns]; row[n:] != row[:l.columns-n] {
				return false
			}
		}
		return true
	})
	size := period(len(l.cells)/l.columns, func(n int) bool { return strings.HasPrefix(l.cells, l.cells[n*l.columns:]) }) * l.columns
	var cells strings.Builder
	for i := 0; i < size; i += l.columns {
		cells.WriteString(l.cells[i : i+columns])
	}
	if cells.String() == "RL" && columns == 1 {
		return Zigzag
	}
	return Layout{columns, cells.String()}
}

// period returns the least divisor of n that is a period, as repeats tells of
// those below n.
func period(n int, repeats func(of int) bool) int {
	for of := 1; of < n; of++ {
		if n%of == 0 && repeats(of) {
			return of
		}
	}
	return n
}

// repeat returns the size of the repeat and its cells, as Layout has them.
func (l Layout) repeat() (columns, rows int, cells string) {
	if l == Zigzag {
		return 1, 2, "RL"
	}
	return l.columns, len(l.cells) / l.columns, l.cells
}

// Setting returns the name of the setting that the layout is, "" for none.
func (l Layout) Setting() string { return settings[l] }

// Rows returns the rows of the repeat, the top row first.
func (l Layout) Rows() (out []string) {
	columns, rows, cells := l.repeat()
	for j := rows - 1; j >= 0; j-- {
		out = append(out, cells[j*columns:(j+1)*columns])
	}
	return out
}

// String returns the setting's name or, of another layout, its rows.
func (l Layout) String() string {
	if name := l.Setting(); name != "" {
		return name
	}
	return strings.Join(l.Rows(), ", ")
}

// MarshalText returns String: two layouts are never alike in JSON.
func (l Layout) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Alike reports whether all diamonds lie alike.
func (l Layout) Alike() bool { return len(l.cells) == 1 }

// BothLeans reports whether some diamonds lean right and others left.
func (l Layout) BothLeans() bool {
	_, _, cells := l.repeat()
	return strings.ContainsAny(cells, "Rr") && strings.ContainsAny(cells, "Ll")
}

// lay returns all pieces: the bottom edge triangles, the rows of diamonds
// from the bottom up, the top edge triangles, each row from left to right.
func (l Layout) lay(columns, rows int) []Placement {
	wide, high, cells := l.repeat()
	out := make([]Placement, 0, columns*(rows+2))
	for row := -1; row <= rows; row++ {
		line := cells[(row+high)%high*wide:][:wide]
		for column := range columns {
			out = append(out, placed(line[column%wide], column, row, rows))
		}
	}
	return out
}

// placed returns the piece of a cell. Of those below and above the quilt, the
// half is kept that points into it: up at the bottom, down at the top. It is the
// upper half of a piece that stands the right way up.
func placed(cell byte, column, row, rows int) Placement {
	p := Placement{Column: column, Row: row, Turned: cell >= 'a'}
	if cell == 'L' || cell == 'l' {
		p.Lean = geometry.Left
	}
	switch {
	case row == -1 && !p.Turned, row == rows && p.Turned:
		p.Shape = geometry.UpperTriangle
	case row == -1, row == rows:
		p.Shape = geometry.LowerTriangle
	}
	return p
}

// Needs returns a function that counts the pieces of a quilt of so many columns
// and rows, without spares: what [Plan.Need] is, without the plan. It takes as
// long as the repeat is large once, and then next to nothing.
func (l Layout) Needs() func(columns, rows int) Count {
	wide, high, cells := l.repeat()
	// sums[j*(wide+1)+i]: of the pieces of each kind of cell, those in the first
	// i columns of the first j rows.
	sums := make([][4]int, (wide+1)*(high+1))
	for j := range high {
		var line [4]int
		for i := range wide {
			line[strings.IndexByte(ways, cells[j*wide+i])]++
			below := sums[j*(wide+1)+i+1]
			for k := range line {
				below[k] += line[k]
			}
			sums[(j+1)*(wide+1)+i+1] = below
		}
	}
	inside := func(columns, rows int) (out [4]int) {
		at := func(i, j int) [4]int { return sums[j*(wide+1)+i] }
		across, up := columns/wide, rows/high
		whole, side, top, corner := at(wide, high), at(columns%wide, high), at(wide, rows%high), at(columns%wide, rows%high)
		for k := range out {
			out[k] = up*(across*whole[k]+side[k]) + across*top[k] + corner[k]
		}
		return out
	}
	return func(columns, rows int) (c Count) {
		line := func(row int) [4]int {
			out := inside(columns, row+1)
			for k, n := range inside(columns, row) {
				out[k] -= n
			}
			return out
		}
		all, bottom, top := inside(columns, rows), line(high-1), line(rows)
		for k, cell := range ways {
			p, q := placed(byte(cell), 0, -1, rows), placed(byte(cell), 0, rows, rows)
			c[p.Lean][geometry.Diamond] += all[k]
			c[p.Lean][p.Shape] += bottom[k]
			c[q.Lean][q.Shape] += top[k]
		}
		return c
	}
}
