// SPDX-License-Identifier: Apache-2.0

package scraps

import "lozenge/geometry"

// mostSwaps bounds how many ways exchange tries to deal strip sets out.
const mostSwaps = 300

// deal is strip sets dealt out between the leans, each of which needs edge
// triangles of its own.
type deal struct {
	*task
	classes []int
	lean    []int // of each strip set
	tries   int
}

// swap is a strip set that goes to a lean that lacks something, and one that
// comes back; -1 for none.
type swap struct{ there, back int }

var both = [2]bool{true, true}

// exchange gives strip sets to the lean that lacks most, and then moves or
// exchanges them until both have enough. It may miss a way.
func (t *task) exchange(classes []int) ([]cutting, bool) {
	d := t.deal(classes)
	cuts, enough := d.cuts()
	for enough != both {
		if enough == [2]bool{} {
			return nil, false
		}
		short := 0
		if enough[0] {
			short = 1
		}
		s, ok := d.bestSwap(short)
		if !ok {
			return nil, false
		}
		d.swap(s)
		cuts, enough = d.cuts()
	}
	return d.inOrder(cuts), true
}

// deal deals strip sets out, each to the lean that lacks most.
func (t *task) deal(classes []int) *deal {
	d := &deal{task: t, classes: classes, lean: make([]int, len(classes))}
	var lacks [2]float64
	for lean, g := range t.need.goals() {
		lacks[lean] = float64(t.need.diamonds[lean]) + float64(usual*float64(g.total))
	}
	for j := range classes {
		if lacks[1] > lacks[0] {
			d.lean[j] = 1
		}
		lacks[d.lean[j]] -= d.worth(j, d.lean[j])
	}
	return d
}

// worth returns what a strip set is worth to a lean.
func (d *deal) worth(j, lean int) float64 {
	return d.task.worth(d.classes[j], d.need.goal(lean), usual)
}

// of returns the classes of the strip sets of a lean.
func (d *deal) of(lean int) []int {
	var out []int
	for j, k := range d.classes {
		if d.lean[j] == lean {
			out = append(out, k)
		}
	}
	return out
}

// cuts returns how the strip sets of each lean are cut for its need, and
// whether they are enough.
func (d *deal) cuts() (cuts [2][]cutting, enough [2]bool) {
	for lean := range cuts {
		cuts[lean], enough[lean] = d.together(d.of(lean), d.need.alone(lean))
	}
	return cuts, enough
}

func (d *deal) swap(s swap) {
	d.lean[s.there] = 1 - d.lean[s.there]
	if s.back >= 0 {
		d.lean[s.back] = 1 - d.lean[s.back]
	}
}

// bestSwap returns one that gives both leans enough or, where none does, the
// one that gives the short lean most and leaves the other enough.
func (d *deal) bestSwap(short int) (best swap, ok bool) {
	most := 1e-9
	seen := map[swap]bool{} // by classes
	for i := range d.classes {
		for j := -1; j < len(d.classes); j++ {
			s, alike := swap{i, j}, swap{d.classes[i], -1}
			if j >= 0 {
				alike.back = d.classes[j]
			}
			gain := d.gain(s, short)
			if gain <= most || seen[alike] || d.tries >= mostSwaps {
				continue
			}
			seen[alike] = true
			d.tries++
			d.swap(s)
			_, enough := d.cuts()
			d.swap(s)
			if enough == both {
				return s, true
			}
			if enough[1-short] {
				best, most, ok = s, gain, true
			}
		}
	}
	return best, ok
}

// gain returns how much a swap gives a lean, 0 when it is none.
func (d *deal) gain(s swap, short int) float64 {
	if d.lean[s.there] == short {
		return 0
	}
	gain := d.worth(s.there, short)
	if s.back >= 0 {
		if d.lean[s.back] != short || d.classes[s.back] >= d.classes[s.there] {
			return 0
		}
		gain -= d.worth(s.back, short)
	}
	return gain
}

// inOrder puts the cuttings of both leans back into the order of the strip
// sets.
func (d *deal) inOrder(cuts [2][]cutting) []cutting {
	out := make([]cutting, len(d.classes))
	for j, lean := range d.lean {
		out[j], cuts[lean] = cuts[lean][0], cuts[lean][1:]
		out[j].lean = geometry.Lean(lean)
	}
	return out
}
