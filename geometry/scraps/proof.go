// SPDX-License-Identifier: Apache-2.0

package scraps

import "slices"

// proof shows which needs can't be met: those that its prices make worth more
// than all lanes bring in and as many strip sets as can be cut at all.
type proof struct {
	pooled bool
	halves []bool
	price  []float64 // of right- and left-leaning diamonds, and of each goal
	limit  float64
}

// rules reports whether the proof says that a need can't be met.
func (p *proof) rules(n need) bool {
	goals := n.goals()
	if p.pooled != n.pooled || len(p.halves) != len(goals) {
		return false
	}
	sum := 0.0
	for lean, d := range n.diamonds {
		sum += float64(p.price[lean] * float64(d))
	}
	for i, g := range goals {
		if p.halves[i] != g.halves {
			return false
		}
		sum += float64(p.price[2+i] * float64(g.total))
	}
	return sum > float64(p.limit*(1+1e-9))+1e-6
}

// proof turns the prices into a proof that the need can't be met, with any
// number of strip sets up to most.
func (r *relaxed) proof(most int) *proof {
	p := &proof{pooled: r.need.pooled}
	worth := 0.0
	for lean, d := range r.need.diamonds {
		price := max(r.Duals[lean], 0)
		if !slices.Contains(r.leans(), lean) {
			price = 0 // its rows were not looked at
		}
		p.price = append(p.price, price)
		worth += float64(p.price[lean] * float64(d))
	}
	for i, g := range r.goals {
		p.halves = append(p.halves, g.halves)
		p.price = append(p.price, max(r.Duals[2+i], 0))
		worth += float64(p.price[2+i] * float64(g.total))
	}
	// bound is worth over what rows bring in too much, less what lanes bring.
	over, b := r.over([2]float64{1, 1}), r.bound([2]float64{1, 1})
	p.limit = (worth/over - b + float64(most)) * over
	return p
}
