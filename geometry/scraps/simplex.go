// SPDX-License-Identifier: Apache-2.0

package scraps

import "math"

// A program is a linear program: the least cost of columns that are not
// negative and add up to the right-hand side, row by row. It is solved by the
// revised simplex method with a dense inverse, one column entering at a time.
// All sums are written so that no processor fuses them: the answer is the same
// bits everywhere.
type program struct {
	rows    int
	right   []float64
	columns []column
	basis   []int // column of each row
	inBasis []bool
	inverse []float64 // of the basis, by rows
	level   []float64 // of the basic columns
	duals   []float64
	steps   int
}

// column is a column with its entries that are not 0.
type column struct {
	cost  float64
	row   []int32
	entry []float64
}

const tiny = 1e-9

// newProgram starts from columns with one entry each, one a row, that hold the
// right-hand side: entry times right must not be negative.
func newProgram(right []float64, start []column) *program {
	m := len(right)
	p := &program{rows: m, right: right, columns: start, inverse: make([]float64, m*m)}
	p.level, p.duals = make([]float64, m), make([]float64, m)
	for i := range m {
		e := start[i].entry[0]
		p.basis = append(p.basis, i)
		p.inBasis = append(p.inBasis, true)
		p.inverse[i*m+i] = 1 / e
		p.level[i] = right[i] / e
		p.duals[i] = start[i].cost / e
	}
	return p
}

func (p *program) add(c column) {
	p.columns = append(p.columns, c)
	p.inBasis = append(p.inBasis, false)
}

// reduced returns what one of a column would change the cost by.
func (p *program) reduced(c *column) float64 {
	v := c.cost
	for i, r := range c.row {
		v -= float64(p.duals[r] * c.entry[i])
	}
	return v
}

// entering returns the column that lowers the cost fastest, -1 for none.
func (p *program) entering() int {
	best, at := -tiny, -1
	for j := range p.columns {
		if p.inBasis[j] {
			continue
		}
		if v := p.reduced(&p.columns[j]); v < best {
			best, at = v, j
		}
	}
	return at
}

// optimise takes steps until no column lowers the cost, and reports false when
// that takes more than so many.
func (p *program) optimise(most int) bool {
	turn := make([]float64, p.rows)
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
func (p *program) enter(j int, turn []float64) bool {
	m, c := p.rows, &p.columns[j]
	for i := range m {
		row, v := p.inverse[i*m:i*m+m], 0.0
		for k, r := range c.row {
			v += float64(row[r] * c.entry[k])
		}
		turn[i] = v
	}
	leave, least := -1, math.Inf(1)
	for i, v := range turn {
		if v <= 1e-7 {
			continue
		}
		ratio := max(p.level[i], 0) / v
		if leave < 0 || ratio < least-1e-12 || ratio < least+1e-12 && v > turn[leave] {
			leave, least = i, min(ratio, least)
		}
	}
	if leave < 0 {
		return false
	}
	p.steps++
	pivot := turn[leave]
	rate := p.reduced(c) / pivot
	from := p.inverse[leave*m : leave*m+m]
	step := max(p.level[leave], 0) / pivot
	for k, v := range from {
		if v != 0 {
			p.duals[k] += float64(rate * v)
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
		p.level[i] = max(p.level[i]-float64(step*turn[i]), 0)
	}
	for k := range from {
		from[k] /= pivot
	}
	p.level[leave] = step
	p.inBasis[p.basis[leave]] = false
	p.basis[leave] = j
	p.inBasis[j] = true
	return true
}

// levels returns how much of every column is used.
func (p *program) levels() []float64 {
	out := make([]float64, len(p.columns))
	for i, j := range p.basis {
		out[j] = p.level[i]
	}
	return out
}

// reprice sets the cost of columns anew and works the duals out from it.
func (p *program) reprice(cost func(j int) float64) {
	for j := range p.columns {
		p.columns[j].cost = cost(j)
	}
	m := p.rows
	for k := range m {
		p.duals[k] = 0
	}
	for i, j := range p.basis {
		if c := p.columns[j].cost; c != 0 {
			for k, v := range p.inverse[i*m : i*m+m] {
				p.duals[k] += float64(c * v)
			}
		}
	}
}
