// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"container/heap"
	"math"
)

// A node is a crossing of printed lines; a and b are the steps to the next
// ones.
type node struct {
	i, j           int
	x, y           float64
	ax, ay, bx, by float64
	contrast       float64
}

// nodes is a heap of those whose neighbours are still to be looked for, the
// plainest first.
type nodes []*node

func (n nodes) Len() int           { return len(n) }
func (n nodes) Less(a, b int) bool { return n[a].contrast > n[b].contrast }
func (n nodes) Swap(a, b int)      { n[a], n[b] = n[b], n[a] }
func (n *nodes) Push(x any)        { *n = append(*n, x.(*node)) }
func (n *nodes) Pop() any {
	last := (*n)[len(*n)-1]
	*n = (*n)[:len(*n)-1]
	return last
}

const (
	leastContrast = 0.7 // of a line, in local roots of the mean square
	mostNodes     = 6000
	wideLook      = 0.3 // of a step
	closeLook     = 0.16
	shortestStep  = 5.0 // pixels
	mostChange    = 0.3 // of a step, from one to the next
)

// grow follows the lines from a seed, crossing by crossing: perspective and
// lens change little from one to the next.
func grow(p *plane, s seed) []*node {
	first := &node{x: s.x, y: s.y, ax: s.ax, ay: s.ay, bx: s.bx, by: s.by}
	if !first.settle(p, s.sign) {
		return nil
	}
	known := map[[2]int]*node{{0, 0}: first}
	open := &nodes{first}
	out := []*node{first}
	for open.Len() > 0 && len(out) < mostNodes {
		n := heap.Pop(open).(*node)
		for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			at := [2]int{n.i + d[0], n.j + d[1]}
			if known[at] != nil {
				continue
			}
			m := n.next(d, known[[2]int{n.i - d[0], n.j - d[1]}])
			if !m.settle(p, s.sign) || !m.follows(n, d) {
				continue
			}
			known[at] = m
			out = append(out, m)
			heap.Push(open, m)
		}
	}
	return out
}

// next expects a neighbour where the step, or the change of it, leads.
func (n *node) next(d [2]int, before *node) *node {
	fi, fj := float64(d[0]), float64(d[1])
	m := *n
	m.i, m.j = n.i+d[0], n.j+d[1]
	dx, dy := fi*n.ax+fj*n.bx, fi*n.ay+fj*n.by
	if before != nil {
		dx, dy = (dx+n.x-before.x)/2, (dy+n.y-before.y)/2
	}
	m.x, m.y = n.x+dx, n.y+dy
	return &m
}

// follows takes the step that was made for the next one, and reports whether it
// is like the one before.
func (m *node) follows(n *node, d [2]int) bool {
	dx, dy := m.x-n.x, m.y-n.y
	if d[0] != 0 {
		dx, dy = dx*float64(d[0]), dy*float64(d[0])
		if math.Hypot(dx-n.ax, dy-n.ay) > mostChange*math.Hypot(n.ax, n.ay) {
			return false
		}
		m.ax, m.ay = dx, dy
		return true
	}
	dx, dy = dx*float64(d[1]), dy*float64(d[1])
	if math.Hypot(dx-n.bx, dy-n.by) > mostChange*math.Hypot(n.bx, n.by) {
		return false
	}
	m.bx, m.by = dx, dy
	return true
}

// settle moves the node onto the crossing of its two lines. False where no
// lines are.
func (m *node) settle(p *plane, sign float32) bool {
	for _, look := range []float64{wideLook, closeLook} {
		if math.Hypot(m.ax, m.ay) < shortestStep || math.Hypot(m.bx, m.by) < shortestStep {
			return false
		}
		t1, c1, ok1 := m.across(p, sign, look, m.ax, m.ay, m.bx, m.by)
		t2, c2, ok2 := m.across(p, sign, look, m.bx, m.by, m.ax, m.ay)
		if !ok1 || !ok2 {
			return false
		}
		m.x += t1*m.ax + t2*m.bx
		m.y += t1*m.ay + t2*m.by
		m.contrast = min(c1, c2)
	}
	return m.contrast > leastContrast
}

// across returns where the line that runs along (bx, by) is, in parts of the
// step (ax, ay), and how it stands out.
func (m *node) across(p *plane, sign float32, look, ax, ay, bx, by float64) (shift, contrast float64, ok bool) {
	length := math.Hypot(bx, by)
	nx, ny := -by/length, bx/length
	step := ax*nx + ay*ny
	if step < 0 {
		nx, ny, step = -nx, -ny, -step
	}
	reach := max(int(math.Ceil(look*step)), 2)
	sums := make([]float64, 2*reach+1)
	count := 0.0
	for s := 0.12; s <= 0.46; s += max(1/length, 0.02) {
		for _, along := range [2]float64{s, -s} {
			x, y := m.x+along*bx, m.y+along*by
			if !p.holds(x, y, float64(reach)+1) {
				continue
			}
			for k := range sums {
				t := float64(k - reach)
				sums[k] += float64(sign * p.at(x+t*nx, y+t*ny))
			}
			count++
		}
	}
	if count*max(1/length, 0.02) < 0.3 { // at least half of both sides
		return 0, 0, false
	}
	peak := 0
	for k := range sums {
		sums[k] /= count
		if sums[k] > sums[peak] {
			peak = k
		}
	}
	ground := quantile(0.3, append([]float64(nil), sums...))
	contrast = sums[peak] - ground
	if contrast < leastContrast/2 {
		return 0, contrast, false
	}
	sum, weight := 0.0, 0.0
	for k := max(peak-2, 0); k <= min(peak+2, len(sums)-1); k++ {
		if w := sums[k] - ground - 0.3*contrast; w > 0 {
			sum, weight = sum+w*float64(k-reach), weight+w
		}
	}
	return sum / weight / step, contrast, true
}
