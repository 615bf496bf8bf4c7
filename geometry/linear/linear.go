// SPDX-License-Identifier: Apache-2.0

// Package linear solves linear programs.
package linear

import (
	"math"
	"slices"
)

// A Program is a linear program: the least cost of columns that are not
// negative and add up to the right-hand side, row by row. It is solved by the
// revised simplex method with a dense inverse, one column entering at a time.
// All sums are written so that no processor fuses them: the answer is the same
// bits everywhere.
type Program struct {
	Rows    int
	Columns []Column
	Basis   []int     // column of each row
	Level   []float64 // how much of each column of the basis is used
	Duals   []float64 // the price of each row
	Steps   int       // columns that have entered
	right   []float64
	inBasis []bool
	inverse []float64 // of the basis, by rows
}

// Column is a column with its entries that are not 0.
type Column struct {
	Cost  float64
	Row   []int32
	Entry []float64
}

// Put sets an entry that was 0 so far.
func (c *Column) Put(row int, v float64) {
	if v != 0 {
		c.Row, c.Entry = append(c.Row, int32(row)), append(c.Entry, v)
	}
}

const tiny = 1e-9

// New starts from columns with one entry each, one a row, that hold the
// right-hand side: entry times right must not be negative.
func New(right []float64, start []Column) *Program {
	m := len(right)
	p := &Program{Rows: m, right: right, Columns: start, inverse: make([]float64, m*m)}
	p.Level, p.Duals = make([]float64, m), make([]float64, m)
	for i := range m {
		e := start[i].Entry[0]
		p.Basis = append(p.Basis, i)
		p.inBasis = append(p.inBasis, true)
		p.inverse[i*m+i] = 1 / e
		p.Level[i] = right[i] / e
		p.Duals[i] = start[i].Cost / e
	}
	return p
}

// Add adds a column, which may enter when the program is optimised next.
func (p *Program) Add(c Column) {
	p.Columns = append(p.Columns, c)
	p.inBasis = append(p.inBasis, false)
}

// Reduced returns what one of a column would change the cost by.
func (p *Program) Reduced(c *Column) float64 {
	v := c.Cost
	for i, r := range c.Row {
		v -= float64(p.Duals[r] * c.Entry[i])
	}
	return v
}

// entering returns the column that lowers the cost fastest, -1 for none.
func (p *Program) entering() int {
	best, at := -tiny, -1
	for j := range p.Columns {
		if p.inBasis[j] {
			continue
		}
		if v := p.Reduced(&p.Columns[j]); v < best {
			best, at = v, j
		}
	}
	return at
}

// Optimise takes steps until no column lowers the cost, and reports false when
// that takes more than so many.
func (p *Program) Optimise(most int) bool {
	turn := make([]float64, p.Rows)
	for ; most > 0; most-- {
		j := p.entering()
		if j < 0 {
			return true
		}
		if !p.enter(j, turn) {
			return false
		}
	}
	return false
}

// enter brings a column into the basis.
func (p *Program) enter(j int, turn []float64) bool {
	p.turn(&p.Columns[j], turn)
	leave, least := -1, math.Inf(1)
	for i, v := range turn {
		if v <= 1e-7 {
			continue
		}
		ratio := max(p.Level[i], 0) / v
		if leave < 0 || ratio < least-1e-12 || ratio < least+1e-12 && v > turn[leave] {
			leave, least = i, min(ratio, least)
		}
	}
	if leave < 0 {
		return false
	}
	p.exchange(j, leave, turn, 0)
	return true
}

// turn returns what one of a column takes of each column of the basis.
func (p *Program) turn(c *Column, turn []float64) {
	m := p.Rows
	for i := range m {
		row, v := p.inverse[i*m:i*m+m], 0.0
		for k, r := range c.Row {
			v += float64(row[r] * c.Entry[k])
		}
		turn[i] = v
	}
}

// exchange brings column j into the basis in place of the one of a row. No
// level falls below least.
func (p *Program) exchange(j, leave int, turn []float64, least float64) {
	m := p.Rows
	p.Steps++
	pivot := turn[leave]
	rate := p.Reduced(&p.Columns[j]) / pivot
	from := p.inverse[leave*m : leave*m+m]
	step := p.Level[leave] / pivot
	for k, v := range from {
		if v != 0 {
			p.Duals[k] += float64(rate * v)
		}
	}
	for i := range m {
		if i == leave || turn[i] == 0 {
			continue
		}
		f := turn[i] / pivot
		row := p.inverse[i*m : i*m+m]
		for k, v := range from {
			row[k] -= float64(f * v)
		}
		p.Level[i] = max(p.Level[i]-float64(step*turn[i]), least)
	}
	for k := range from {
		from[k] /= pivot
	}
	p.Level[leave] = step
	p.inBasis[p.Basis[leave]] = false
	p.Basis[leave] = j
	p.inBasis[j] = true
}

// Limit returns a program that is optimal already with one more row: one of
// column j, times sign, and a further column are right together. It is for
// [Program.Restore] to make it good again.
func (p *Program) Limit(j int, sign, right float64) *Program {
	m := p.Rows
	q := &Program{Rows: m + 1, Columns: slices.Clone(p.Columns), Basis: append(slices.Clip(slices.Clone(p.Basis)), len(p.Columns)),
		Level: append(slices.Clip(slices.Clone(p.Level)), right), Duals: append(slices.Clip(slices.Clone(p.Duals)), 0),
		inBasis: append(slices.Clip(slices.Clone(p.inBasis)), true), inverse: make([]float64, (m+1)*(m+1))}
	for i := range m {
		copy(q.inverse[i*(m+1):], p.inverse[i*m:i*m+m])
	}
	last := q.inverse[m*(m+1):]
	last[m] = 1
	if i := slices.Index(p.Basis, j); i >= 0 {
		for k, v := range p.inverse[i*m : i*m+m] {
			last[k] = float64(-sign * v)
		}
		q.Level[m] -= float64(sign * p.Level[i])
	}
	c := &q.Columns[j]
	*c = Column{c.Cost, append(slices.Clip(c.Row), int32(m)), append(slices.Clip(c.Entry), sign)}
	q.Columns = append(q.Columns, Column{Row: []int32{int32(m)}, Entry: []float64{1}})
	return q
}

// Restore takes steps of the dual simplex method until no level is below 0. It
// reports false when that can't be or takes more than so many.
func (p *Program) Restore(most int) bool {
	turn := make([]float64, p.Rows)
	for {
		leave, low := -1, -1e-9
		for i, v := range p.Level {
			if v < low {
				leave, low = i, v
			}
		}
		if leave < 0 {
			return true
		}
		row := p.inverse[leave*p.Rows : (leave+1)*p.Rows]
		enter, least, pivot := -1, math.Inf(1), 0.0
		for j := range p.Columns {
			if p.inBasis[j] {
				continue
			}
			c, v := &p.Columns[j], 0.0
			for k, r := range c.Row {
				v += float64(row[r] * c.Entry[k])
			}
			if v > -1e-7 {
				continue
			}
			ratio := max(p.Reduced(c), 0) / -v
			if enter < 0 || ratio < least-1e-12 || ratio < least+1e-12 && v < pivot {
				enter, least, pivot = j, min(ratio, least), v
			}
		}
		if most--; enter < 0 || most < 0 {
			return false
		}
		p.turn(&p.Columns[enter], turn)
		p.exchange(enter, leave, turn, math.Inf(-1))
	}
}

// Levels returns how much of every column is used.
func (p *Program) Levels() []float64 {
	out := make([]float64, len(p.Columns))
	for i, j := range p.Basis {
		out[j] = p.Level[i]
	}
	return out
}

// Reprice sets the cost of columns anew and works the duals out from it.
func (p *Program) Reprice(cost func(j int) float64) {
	for j := range p.Columns {
		p.Columns[j].Cost = cost(j)
	}
	m := p.Rows
	for k := range m {
		p.Duals[k] = 0
	}
	for i, j := range p.Basis {
		if c := p.Columns[j].Cost; c != 0 {
			for k, v := range p.inverse[i*m : i*m+m] {
				p.Duals[k] += float64(c * v)
			}
		}
	}
}
