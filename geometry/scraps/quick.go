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
// that it is cut from, of any one family. So the need can't be worth more than
// the strip sets and all that all those lanes bring in at best.
func (t *task) quick(n need, like int) int {
	g := n.oneGoal()
	best := 0.0
	for _, ratio := range [...]float64{0.5, 0.56, 0.62, 0.3, 0} {
		for k := like; k >= max(like-2, 0); k-- {
			if worth := t.worth(k, g, ratio); worth > 0 {
				best = max(best, t.dual(n, g, prices{1 / worth, ratio / worth}))
			}
		}
	}
	return wholeBound(best)
}

// wholeBound rounds a bound up to a whole number. Its sums are good to a
// millionth.
func wholeBound(b float64) int { return int(math.Ceil(b - 1e-6)) }

// dual returns the bound that prices give.
func (t *task) dual(n need, g goal, p prices) float64 {
	surplus := make([]float64, len(t.lengths)) // of a strip set of each class
	for k, most := range t.most {
		for d, triangles := range most {
			surplus[k] = max(surplus[k], float64(p.diamond*float64(d))+float64(p.triangle*float64(g.value(triangles)))-1)
		}
	}
	kn := newKnapsack(t.lengths, surplus)
	least := math.Inf(1)
	for _, f := range t.families {
		last, brings, sum := int64(-1), 0.0, 0.0
		for _, l := range t.cloths[f.cloth].possible[f.class] {
			if l != last {
				last = l
				_, brings, _ = kn.best(l + slack)
			}
			sum += brings
		}
		least = min(least, sum/float64(f.takes))
	}
	return float64(p.diamond*float64(n.all())) + float64(p.triangle*float64(g.total)) - least
}
