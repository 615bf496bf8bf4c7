// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"slices"

	"lozenge/geometry/linear"
)

// relaxed is the linear relaxation of a task: how many strip sets of each row
// and how many lanes cut in each way, when fractions are allowed. The ways to
// cut a lane are too many to list; they are added as the prices ask for them
// (Gilmore and Gomory, A linear programming approach to the cutting-stock
// problem, 1961: method from memory).
//
// The rows of the program: diamonds of either lean; each goal of edge
// triangles; for each family and class of length the pieces at least that long
// less those that strip sets take; for each pool and length of lane the number
// of lanes.
type relaxed struct {
	*task
	*linear.Program
	goals  []goal
	pools  []pool
	first  []int // row of the first length of each pool
	means  []meaning
	price  [][]float64 // of a piece, by family and class of length
	groups [][]group   // of lanes, by pool
}

// pool is lanes of one cloth and class of width, and the families that their
// pieces serve.
type pool struct {
	families []int
	lanes    []lane // longest first
	promised bool   // as they could be, not as they are
}

// group is lanes of one length.
type group struct {
	length int64
	lanes  []lane
	cost   float64
}

// meaning is what a column stands for: strip sets of a lean, or lanes of a pool
// and a group cut into classes; else nothing of interest.
type meaning struct {
	sets        bool
	lean        int
	pool, group int
	classes     []int // none: no lanes
}

const (
	// missing is the cost of a diamond or an edge triangle that can't be
	// cut, in strip sets: no use of what is there costs as much.
	missing = 1e5
	// short is a cost that only missing pieces explain.
	short = 1e4
)

// pools returns the lanes as they are cut.
func (t *task) pools() []pool {
	var out []pool
	for c, cl := range t.cloths {
		for class := range cl.takes {
			p := pool{}
			for i, f := range t.families {
				if f.cloth == c && f.class <= class {
					p.families = append(p.families, i)
				}
			}
			for j, l := range cl.lanes {
				if l.class == class {
					l.id = j
					p.lanes = append(p.lanes, l)
				}
			}
			out = append(out, p)
		}
	}
	return out
}

// promised returns the lanes as they could be, for each family by itself, which
// is never less.
func (t *task) promised() []pool {
	var out []pool
	for i, f := range t.families {
		p := pool{families: []int{i}, promised: true}
		for _, l := range t.cloths[f.cloth].possible[f.class] {
			p.lanes = append(p.lanes, lane{length: l})
		}
		out = append(out, p)
	}
	return out
}

// relax sets the program up. fixed says how many pieces of each family and
// class of length are there already, longer ones counted with it. With noise,
// one of several equally good solutions is found, by chance.
func (t *task) relax(pools []pool, fixed [][]int, noise uint32) *relaxed {
	r := &relaxed{task: t, goals: t.need.goals(), pools: pools}
	var right []float64
	var start []linear.Column
	put := func(b, cost, entry float64) {
		start = append(start, linear.Column{Cost: cost, Row: []int32{int32(len(start))}, Entry: []float64{entry}})
		right = append(right, b)
	}
	for _, d := range t.need.diamonds {
		put(float64(d), missing, 1)
	}
	for _, g := range r.goals {
		put(float64(g.total), missing, 1)
	}
	// The simplex method stalls where many rows are tight at once: each gets
	// a little of its own to spare. Bounds don't depend on that.
	state := noise + 1
	chance := func() float64 {
		state = state*1664525 + 1013904223
		return float64(state>>8) / (1 << 24)
	}
	spare := func() float64 { return 1e-7 * (1 + chance()) }
	for i := range t.families {
		for k := range t.lengths {
			b := -spare()
			if fixed != nil {
				b -= float64(fixed[i][k])
			}
			put(b, 0, -1)
		}
		r.price = append(r.price, make([]float64, len(t.lengths)))
	}
	for _, p := range pools {
		r.first = append(r.first, len(right))
		groups := grouped(p, t.lengths[0])
		for g := range groups {
			if noise > 0 {
				groups[g].cost = 1e-3 * chance()
			}
		}
		for _, g := range groups {
			put(float64(len(g.lanes))+spare(), 0, 1)
		}
		r.groups = append(r.groups, groups)
	}
	r.Program = linear.New(right, start)
	r.means = make([]meaning, len(start))
	for i := range 2 + len(r.goals) {
		c := linear.Column{}
		c.Put(i, -1)
		r.add(c, meaning{})
	}
	return r
}

// add adds a column with what it stands for.
func (r *relaxed) add(c linear.Column, m meaning) {
	r.Add(c)
	r.means = append(r.means, m)
}

// mostGroups bounds the lengths of lanes of one pool.
const mostGroups = 160

// grouped sorts the lanes of a pool by length, leaving out those shorter than
// least. Where there are too many lengths, neighbours are taken together, as
// the shortest of them, or, when promised, as the longest.
func grouped(p pool, least int64) []group {
	var out []group
	for _, l := range p.lanes {
		if l.length+slack < least {
			break
		}
		if n := len(out); n > 0 && out[n-1].length == l.length {
			out[n-1].lanes = append(out[n-1].lanes, l)
			continue
		}
		out = append(out, group{length: l.length, lanes: []lane{l}})
	}
	n := len(out)
	if n <= mostGroups {
		return out
	}
	fewer := make([]group, mostGroups)
	for i := range fewer {
		for _, g := range out[i*n/mostGroups : (i+1)*n/mostGroups] {
			if one := &fewer[i]; one.length == 0 || !p.promised {
				one.length = g.length
			}
			fewer[i].lanes = append(fewer[i].lanes, g.lanes...)
		}
	}
	return fewer
}

func (r *relaxed) link(family, class int) int {
	return 2 + len(r.goals) + family*len(r.lengths) + class
}

// addRow adds strip sets of a lean, a class of length and so many diamonds.
func (r *relaxed) addRow(lean, k, d int, cost float64) {
	c := linear.Column{Cost: cost}
	c.Put(lean, float64(d))
	g := r.need.of(lean)
	c.Put(2+g, float64(r.goals[g].value(r.most[k][d])))
	for i, f := range r.families {
		for class := range k + 1 {
			c.Put(r.link(i, class), -float64(f.takes))
		}
	}
	r.add(c, meaning{sets: true, lean: lean})
}

// addPattern adds a way to cut the lanes of a group.
func (r *relaxed) addPattern(p, g int, classes []int) {
	c := linear.Column{Cost: r.groups[p][g].cost}
	slices.Sort(classes)
	slices.Reverse(classes)
	for _, f := range r.pools[p].families {
		n := 0
		for k := classes[0]; k >= 0; k-- {
			for n < len(classes) && classes[n] >= k {
				n++
			}
			c.Put(r.link(f, k), float64(n))
		}
	}
	c.Put(r.first[p]+g, 1)
	r.add(c, meaning{pool: p, group: g, classes: classes})
}

// setPrices reads the prices of pieces off the duals: a longer piece also
// serves as a shorter one.
func (r *relaxed) setPrices() {
	for i := range r.families {
		sum := 0.0
		for k := range r.lengths {
			sum += max(r.Duals[r.link(i, k)], 0)
			r.price[i][k] = sum
		}
	}
}

// poolPrices returns what a piece of a pool brings in, by class of length.
func (r *relaxed) poolPrices(p pool) []float64 {
	sum := make([]float64, len(r.lengths))
	for _, f := range p.families {
		for k, v := range r.price[f] {
			sum[k] += v
		}
	}
	return sum
}

// takes returns what the pieces for a strip set of class k cost.
func (r *relaxed) takes(k int) float64 {
	sum := 0.0
	for i, f := range r.families {
		sum += float64(float64(f.takes) * r.price[i][k])
	}
	return sum
}

// leans lists the leans of which anything is needed, right when nothing is but
// edge triangles.
func (r *relaxed) leans() []int {
	switch {
	case !r.need.pooled:
		return []int{0, 1}
	case r.need.diamonds[1] == 0:
		return []int{0}
	case r.need.diamonds[0] == 0:
		return []int{1}
	}
	return []int{0, 1}
}

// generate adds columns that lower the cost, and reports whether it found any.
func (r *relaxed) generate(cost [2]float64) bool {
	r.setPrices()
	before := len(r.Columns)
	for _, lean := range r.leans() {
		type row struct{ k, d int }
		var better []row
		best := -1e-7
		g := r.need.of(lean)
		for k, most := range r.most {
			takes := cost[lean] + r.takes(k)
			for d, triangles := range most {
				v := takes - float64(r.Duals[lean]*float64(d)) - float64(r.Duals[2+g]*float64(r.goals[g].value(triangles)))
				if v < best {
					best = v
					better = append(better, row{k, d})
				}
			}
		}
		// The last few were each the best so far.
		for _, b := range better[max(len(better)-4, 0):] {
			r.addRow(lean, b.k, b.d, cost[lean])
		}
	}
	for p := range r.pools {
		kn := newKnapsack(r.lengths, r.poolPrices(r.pools[p]))
		for g, gr := range r.groups[p] {
			v, _, classes := kn.best(gr.length + slack)
			if v > max(-r.Duals[r.first[p]+g], 0)+gr.cost+1e-7 {
				r.addPattern(p, g, classes)
			}
		}
	}
	return len(r.Columns) > before
}

// run solves the relaxation for the given cost of a right- and of a
// left-leaning strip set, in at most so many steps.
func (r *relaxed) run(cost [2]float64, most int) bool {
	for end := r.Steps + most; r.Steps < end; {
		if !r.Optimise(end - r.Steps) {
			return false
		}
		if !r.generate(cost) {
			return true
		}
	}
	return false
}

// cost sets the cost of strip sets anew, by lean.
func (r *relaxed) cost(cost [2]float64) {
	start := 2 + len(r.goals)
	r.Reprice(func(j int) float64 {
		switch m := r.means[j]; {
		case j < start:
			return missing
		case m.sets:
			return cost[m.lean]
		}
		return 0
	})
}

// costs returns what the solution of the relaxation costs.
func (r *relaxed) costs() float64 {
	sum := 0.0
	for i, j := range r.Basis {
		sum += float64(r.Columns[j].Cost * r.Level[i])
	}
	return sum
}
