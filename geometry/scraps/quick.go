// SPDX-License-Identifier: Apache-2.0

package scraps

import "math"

// prices say what a diamond and an edge triangle are worth, in strip sets.
type prices struct{ diamond, triangle float64 }

// oneGoal joins the goals into one that is no harder than they are.
func (n need) oneGoal() goal {
	g := goal{halves: true}
	for _, one := range n.goals() {
		g.total += one.total
		g.halves = g.halves && one.halves
	}
	return g
}

// quick returns a number of strip sets that none can be below, without solving
// a linear program. like is the class of a strip set near the shortest of a
// good answer, at which prices are set; the bound holds whatever it is.
//
// By linear duality: at any prices the need is worth so much; a strip set
// costs one, and what it brings in beyond that must be paid for by the lanes
// that it is cut from. So the need can't be worth more than the strip sets and
// all that all lanes bring in at best. Each step of that surplus, from one
// length to the next, is charged to the family with the fewest lanes for it.
func (t *task) quick(n need, like int) int {
	g := n.oneGoal()
	scarce := t.scarcest()
	best := 0.0
	surplus, charged := make([]float64, len(t.lengths)), make([]float64, len(t.lengths))
	for _, ratio := range [...]float64{0.5, 0.56, 0.62, 0.3, 0} {
		for k := like; k >= max(like-2, 0); k-- {
			if worth := t.worth(k, g, ratio); worth > 0 {
				best = max(best, t.dual(n, g, prices{1 / worth, ratio / worth}, scarce, surplus, charged))
			}
		}
	}
	return wholeBound(best)
}

// wholeBound rounds a bound up to a whole number. Its sums are good to a
// millionth.
func wholeBound(b float64) int { return int(math.Ceil(b - 1e-6)) }

// dual returns the bound that prices give.
func (t *task) dual(n need, g goal, p prices, scarce []int, surplus, charged []float64) float64 {
	for k, most := range t.most {
		v := 0.0
		if k > 0 {
			v = surplus[k-1]
		}
		for d, triangles := range most {
			v = max(v, float64(p.diamond*float64(d))+float64(p.triangle*float64(g.value(triangles)))-1)
		}
		surplus[k] = v
	}
	bound := float64(p.diamond*float64(n.all())) + float64(p.triangle*float64(g.total))
	for i, f := range t.families {
		sum, before := 0.0, 0.0
		for k, v := range surplus {
			if scarce[k] == i {
				sum += (v - before) / float64(f.takes)
			}
			charged[k], before = sum, v
		}
		kn := newKnapsack(t.lengths, charged)
		last, brings := int64(-1), 0.0
		for _, l := range t.cloths[f.cloth].possible[f.class] {
			if l != last {
				last = l
				_, brings, _ = kn.best(l + slack)
			}
			bound -= brings
		}
	}
	return bound
}

// scarcest returns, for each class of length, the family with the fewest lanes
// for it.
func (t *task) scarcest() []int {
	out := make([]int, len(t.lengths))
	if len(t.families) == 1 {
		return out
	}
	for k, l := range t.lengths {
		fewest := math.MaxInt
		for i, f := range t.families {
			n := 0
			for _, lane := range t.cloths[f.cloth].possible[f.class] {
				if lane+slack < l {
					break
				}
				if lane+slack < 2*l {
					n++
				} else {
					n += int((lane + slack) / l)
				}
			}
			if n /= f.takes; n < fewest {
				fewest, out[k] = n, i
			}
		}
	}
	return out
}
