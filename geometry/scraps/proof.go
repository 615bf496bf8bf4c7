// SPDX-License-Identifier: Apache-2.0

package scraps

// rates are what prices pay for a diamond of either lean and towards each goal.
type rates struct{ diamond, goal [2]float64 }

// rates reads them off the duals.
func (r *relaxed) rates() rates {
	var out rates
	for _, lean := range r.leans() { // rows of no other are looked at
		out.diamond[lean] = max(r.Duals[lean], 0)
	}
	for g := range r.goals {
		out.goal[g] = max(r.Duals[2+g], 0)
	}
	return out
}

// worth returns what they pay for a need.
func (p rates) worth(n need) float64 {
	sum := 0.0
	for lean, d := range n.diamonds {
		sum += float64(p.diamond[lean] * float64(d))
	}
	for g, one := range n.goals() {
		sum += float64(p.goal[g] * float64(one.total))
	}
	return sum
}

// over returns by how much the prices must be lowered so that no strip set
// brings in more than it costs with its pieces; 0 when nothing is low enough.
func (r *relaxed) over(cost [2]float64) float64 {
	over, rates := 1.0, r.rates()
	for _, lean := range r.leans() {
		g := r.need.of(lean)
		for k, most := range r.most {
			takes := cost[lean] + r.takes(k)
			for d, triangles := range most {
				v := float64(rates.diamond[lean]*float64(d)) + float64(rates.goal[g]*float64(r.goals[g].value(triangles)))
				if v <= takes {
					continue
				}
				if takes <= 0 {
					return 0
				}
				over = max(over, v/takes)
			}
		}
	}
	return over
}

// bound returns a lower bound of what strip sets of these costs cost together,
// proven by the prices alone: whether the program was solved to its end, or
// how exactly, plays no part.
func (r *relaxed) bound(cost [2]float64) float64 {
	r.setPrices()
	over := r.over(cost)
	if over == 0 {
		return 0
	}
	b := r.rates().worth(r.need) / over
	for p := range r.pools {
		kn := newKnapsack(r.lengths, r.poolPrices(r.pools[p]))
		for _, g := range r.groups[p] {
			_, v, _ := kn.best(g.length + slack)
			b -= float64(float64(len(g.lanes)) * v)
		}
	}
	return b
}

// proof shows which needs can't be met: those that its prices make worth more
// than all lanes bring in and as many strip sets as can be cut at all.
type proof struct {
	kind  kind
	rates rates
	limit float64
}

// kind is how edge triangles are counted; prices say nothing about needs of
// another kind.
type kind struct {
	pooled bool
	halves [2]bool
}

func (n need) kind() kind {
	out := kind{pooled: n.pooled}
	for i, g := range n.goals() {
		out.halves[i] = g.halves
	}
	return out
}

// rules reports whether the proof says that a need can't be met.
func (p *proof) rules(n need) bool {
	return p.kind == n.kind() && p.rates.worth(n) > float64(p.limit*(1+1e-9))+1e-6
}

// proof turns the prices into a proof that the need can't be met, with any
// number of strip sets up to most.
func (r *relaxed) proof(most int) *proof {
	// bound is worth over what rows bring in too much, less what lanes bring.
	over, b := r.over(oneEach), r.bound(oneEach)
	p := &proof{kind: r.need.kind(), rates: r.rates()}
	p.limit = (p.rates.worth(r.need)/over - b + float64(most)) * over
	return p
}

// oneEach counts strip sets: each costs one, whatever its lean.
var oneEach = [2]float64{1, 1}
