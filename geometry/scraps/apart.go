// SPDX-License-Identifier: Apache-2.0

package scraps

import "lozenge/geometry"

// mostSwaps bounds how many ways exchange tries to divide strip sets.
const mostSwaps = 300

// apart is fulfil where each lean needs edge triangles of its own.
func (t *task) apart(classes []int) ([]cutting, bool) {
	if cuts, ok := t.exchange(classes); ok {
		return cuts, true
	}
	return t.apartExactly(classes)
}

// apartExactly tries every row in every strip set, for each lean, where the
// table of what they give together is not too large.
func (t *task) apartExactly(classes []int) ([]cutting, bool) {
	n, goals := t.need, t.need.goals()
	size := [4]int{n.diamonds[0] + 1, goals[0].total + 1, n.diamonds[1] + 1, goals[1].total + 1}
	states := 1
	for _, s := range size {
		if states *= s; states*len(classes) > mostStates {
			return nil, false
		}
	}
	type step struct {
		before int32
		d      int16
		lean   int8
	}
	steps := make([][]step, len(classes))
	now := []int32{0}
	for j, k := range classes {
		steps[j] = make([]step, states)
		for i := range steps[j] {
			steps[j][i].before = -1
		}
		var next []int32
		for _, i := range now {
			at := [4]int{}
			for rest, c := int(i), 3; c >= 0; c-- {
				at[c], rest = rest%size[c], rest/size[c]
			}
			for lean := range int8(2) {
				for d, most := range t.most[k] {
					to := at
					to[2*lean] = min(at[2*lean]+d, size[2*lean]-1)
					to[2*lean+1] = min(at[2*lean+1]+goals[lean].value(most), size[2*lean+1]-1)
					a := ((to[0]*size[1]+to[1])*size[2]+to[2])*size[3] + to[3]
					if s := &steps[j][a]; s.before < 0 {
						*s = step{i, int16(d), lean}
						next = append(next, int32(a))
					}
				}
			}
		}
		now = next
	}
	at := int32(states - 1)
	if steps[len(classes)-1][at].before < 0 {
		return nil, false
	}
	cuts := make([]cutting, len(classes))
	for j := len(classes) - 1; j >= 0; j-- {
		s := steps[j][at]
		cuts[j] = cutting{class: classes[j], lean: geometry.Lean(s.lean), triangles: t.most[classes[j]][s.d]}
		cuts[j].diamonds[s.lean] = int(s.d)
		at = s.before
	}
	// Each lean shares its own edge triangles out.
	for lean := range 2 {
		var own []cutting
		for _, c := range cuts {
			if int(c.lean) == lean {
				own = append(own, c)
			}
		}
		if !share(own, n.lowers[lean], n.uppers[lean]) {
			return nil, false
		}
		for j := range cuts {
			if int(cuts[j].lean) == lean {
				cuts[j], own = own[0], own[1:]
			}
		}
	}
	return cuts, true
}

// exchange gives strip sets to the lean that lacks most, and then moves or
// exchanges them until both have enough. It may miss a way.
func (t *task) exchange(classes []int) ([]cutting, bool) {
	n := t.need
	goals := n.goals()
	const ratio = 0.56 // of an edge triangle to a diamond
	worth := func(k int, g goal) float64 {
		best := 0.0
		for d, most := range t.most[k] {
			best = max(best, float64(d)+float64(ratio*float64(g.value(most))))
		}
		return best
	}
	var lacks [2]float64
	for lean := range lacks {
		lacks[lean] = float64(n.diamonds[lean]) + float64(ratio*float64(goals[lean].total))
	}
	at := make([]int, len(classes))
	for j, k := range classes {
		if lacks[1] > lacks[0] {
			at[j] = 1
		}
		lacks[at[j]] -= worth(k, goals[at[j]])
	}
	of := func(lean int) (out []int) {
		for j, k := range classes {
			if at[j] == lean {
				out = append(out, k)
			}
		}
		return out
	}
	one := func(lean int) need {
		m := need{pooled: true}
		m.diamonds[lean] = n.diamonds[lean]
		m.lowers[0], m.uppers[0] = n.lowers[lean], n.uppers[lean]
		return m
	}
	solve := func() (cuts [2][]cutting, ok [2]bool) {
		for lean := range cuts {
			cuts[lean], ok[lean] = t.together(of(lean), one(lean))
		}
		return cuts, ok
	}
	cuts, ok := solve()
	for tries := 0; ok != [2]bool{true, true}; {
		if ok == [2]bool{} {
			return nil, false
		}
		short := 0
		if ok[0] {
			short = 1
		}
		// The exchange that gives the short one most and leaves the other
		// enough; i is moved there, j back.
		best, bi, bj := 1e-9, -1, -1
		type pair struct{ a, b int }
		seen := map[pair]bool{}
		for i := range classes {
			if at[i] == short {
				continue
			}
			for j := -1; j < len(classes); j++ {
				p, gain := pair{classes[i], -1}, worth(classes[i], goals[short])
				if j >= 0 {
					if at[j] != short || classes[j] >= classes[i] {
						continue
					}
					p.b, gain = classes[j], gain-worth(classes[j], goals[short])
				}
				if gain <= best || seen[p] || tries >= mostSwaps {
					continue
				}
				seen[p] = true
				tries++
				at[i] = short
				if j >= 0 {
					at[j] = 1 - short
				}
				_, now := solve()
				if now == [2]bool{true, true} {
					cuts, _ = solve()
					return t.inOrder(classes, at, cuts), true
				}
				if now[1-short] {
					best, bi, bj = gain, i, j
				}
				at[i] = 1 - short
				if j >= 0 {
					at[j] = short
				}
			}
		}
		if bi < 0 {
			return nil, false
		}
		at[bi] = short
		if bj >= 0 {
			at[bj] = 1 - short
		}
		cuts, ok = solve()
	}
	return t.inOrder(classes, at, cuts), true
}

// inOrder puts the cuttings of both leans back into the order of the strip
// sets.
func (t *task) inOrder(classes, at []int, cuts [2][]cutting) []cutting {
	out := make([]cutting, len(classes))
	var next [2]int
	for j := range classes {
		lean := at[j]
		out[j] = cuts[lean][next[lean]]
		out[j].lean = geometry.Lean(lean)
		next[lean]++
	}
	return out
}
