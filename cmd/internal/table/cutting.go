// SPDX-License-Identifier: Apache-2.0

package table

import (
	"math"
	"slices"

	"lozenge/calibrate"
	"lozenge/export/frames"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// cutting is how the strip sets of a plan are cut, step by step.
type cutting struct {
	plan   *quilt.Plan
	alike  []quilt.Like
	ways   []way   // one for each of alike
	of     []int   // the way of each strip set
	places [][]int // of the pieces of each strip set in the quilt
	total  [2]int  // pieces of each lean
}

// way is how strip sets that are alike are cut.
type way struct {
	row    strip.Row       // as it is seen on the mat
	leans  []geometry.Lean // of its pieces, from the right side
	frames []frames.Frame
	steps  []step
	around [][]int // of each piece the numbers of the cuts at its sides and tips
	count  [2]int  // pieces of each lean
}

// What is done in a step.
type stepKind int

const (
	layStep    stepKind = iota // lay the strip set down
	startStep                  // the starting cut
	acrossStep                 // a cut that frees a piece
	tipsStep                   // blunt its tips
	slideStep                  // slide the strip set, line the last cut up
)

// String returns the kind as it is kept.
func (k stepKind) String() string {
	return [...]string{"lay down", "starting cut", "cut across", "blunt tips", "slide"}[k]
}

// step is one thing to do.
type step struct {
	kind  stepKind
	frame int   // of the way's frames
	cuts  []int // numbers
	piece int   // in the row, or -1
}

// newCutting lays out how the plan's strip sets are cut under a projector.
// The error is a [*frames.FitError].
func newCutting(p *quilt.Plan, m *calibrate.Map) (*cutting, error) {
	all, err := frames.StripSets(p, m)
	if err != nil {
		return nil, err
	}
	c := &cutting{plan: p, alike: p.Alike(), places: p.Places()}
	for run, like := range c.alike {
		w := way{row: p.Row(like.Layout)}
		own, err := strip.NewRow(p.Set, like.Lean, like.Word)
		if err != nil {
			return nil, err
		}
		for _, pc := range own.Pieces {
			w.leans = append(w.leans, pc.Lean)
			w.count[pc.Lean]++
		}
		for len(all) > 0 && all[0].Run == run {
			w.frames = append(w.frames, all[0])
			all = all[1:]
		}
		w.steps = stepsOf(w.frames)
		w.around = around(w.row)
		c.ways = append(c.ways, w)
		for range like.Number {
			c.of = append(c.of, run)
			for lean, n := range w.count {
				c.total[lean] += n
			}
		}
	}
	return c, nil
}

func stepsOf(all []frames.Frame) []step {
	var out []step
	for i, f := range all {
		if f.First {
			out = append(out, step{layStep, i, nil, -1}, step{startStep, i, []int{f.ToCut[0]}, -1})
		} else {
			out = append(out, step{slideStep, i, nil, -1})
		}
		for _, p := range f.Pieces {
			out = append(out, step{acrossStep, i, []int{p.Frees}, p.Index})
		}
		for _, p := range f.Pieces {
			if len(p.Trims) > 0 {
				out = append(out, step{tipsStep, i, p.Trims, p.Index})
			}
		}
	}
	return out
}

// around returns for each piece of a row the cuts along which its edges run.
func around(r strip.Row) [][]int {
	all := r.Cuts()
	out := make([][]int, len(r.Pieces))
	for i := range r.Pieces {
		sides := r.Piece(i).Outline.Sides()
		for _, c := range all {
			if slices.ContainsFunc(sides, func(s geometry.Segment) bool { return along(c.Line, s.A) && along(c.Line, s.B) }) {
				out[i] = append(out[i], c.Number)
			}
		}
	}
	return out
}

// along reports whether a point lies on a cut.
func along(s geometry.Segment, p geometry.Point) bool {
	d := s.B.Sub(s.A)
	t := p.Sub(s.A).Dot(d) / d.Dot(d)
	return math.Abs(d.Cross(p.Sub(s.A))) <= geometry.Fit*d.Len() && t > -0.01 && t < 1.01
}

// end is the place behind the last step.
func (c *cutting) end() place { return place{StripSet: len(c.of)} }

// place is a step of a strip set.
type place struct{ StripSet, Step int } // from 0

// stopAt returns a place as it is kept.
func (c *cutting) stopAt(at place) stop {
	if at == c.end() {
		return stop{StripSet: at.StripSet}
	}
	w := c.way(at)
	st := w.steps[at.Step]
	return stop{at.StripSet, st.kind.String(), w.named(st)}
}

// named returns the cut by which a step is known.
func (w *way) named(st step) int {
	switch {
	case st.kind == slideStep:
		return w.frames[st.frame].LineUp
	case len(st.cuts) > 0:
		return st.cuts[0]
	}
	return 0
}

// find returns the place of a stop: the same step, or the one with the same
// cut, or where the strip set goes on. What can't be is the first place where
// something is left to be cut.
func (c *cutting) find(s stop, made cuts) place {
	if s.StripSet < 0 || s.StripSet >= len(c.of) {
		return c.from(0, made)
	}
	at := place{StripSet: s.StripSet}
	w := c.way(at)
	i := slices.IndexFunc(w.steps, func(st step) bool { return st.kind.String() == s.Doing && w.named(st) == s.Cut })
	if i < 0 {
		i = slices.IndexFunc(w.steps, func(st step) bool { return slices.Contains(st.cuts, s.Cut) })
	}
	if i < 0 {
		return c.first(s.StripSet, made)
	}
	at.Step = i
	return at
}

func (c *cutting) way(at place) *way { return &c.ways[c.of[at.StripSet]] }

// left reports whether something is left to be done in a step: a cut to be
// made, or the cloth to be laid for one.
func (w *way) left(i int, made map[int]bool) bool {
	st := w.steps[i]
	if len(st.cuts) > 0 {
		return slices.ContainsFunc(st.cuts, func(n int) bool { return !made[n] })
	}
	return slices.ContainsFunc(w.frames[st.frame].ToCut, func(n int) bool { return !made[n] })
}

// whole reports whether all cuts of a strip set are made.
func (c *cutting) whole(k int, made cuts) bool {
	w := &c.ways[c.of[k]]
	for i := range w.steps {
		if w.left(i, made[k]) {
			return false
		}
	}
	return true
}

// first is where a strip set is begun, or gone on with.
func (c *cutting) first(k int, made cuts) place {
	at := place{StripSet: k}
	w := c.way(at)
	for i := range w.steps {
		if w.left(i, made[k]) {
			at.Step = i
			break
		}
	}
	return at
}

// from is where to go on at strip set k or behind it, and before it where
// nothing else is left: what was skipped comes last.
func (c *cutting) from(k int, made cuts) place {
	for i := range c.of {
		if n := (k + i) % len(c.of); !c.whole(n, made) {
			return c.first(n, made)
		}
	}
	return c.end()
}

// next is the place after at.
func (c *cutting) next(at place, made cuts) place {
	if at == c.end() {
		return at
	}
	w := c.way(at)
	for i := at.Step + 1; i < len(w.steps); i++ {
		if w.left(i, made[at.StripSet]) {
			return place{at.StripSet, i}
		}
	}
	return c.from(at.StripSet+1, made)
}

// before is the place before at: the step before, or where the strip set
// before was left.
func (c *cutting) before(at place, made cuts) place {
	switch {
	case at.Step > 0:
		at.Step--
	case at.StripSet > 0 && c.whole(at.StripSet-1, made):
		at.StripSet--
		at.Step = len(c.way(at).steps) - 1
	case at.StripSet > 0:
		return c.first(at.StripSet-1, made)
	}
	return at
}

// together returns all cuts that are made at a step, when those of a picture
// are made at once: those of the steps from first on.
func (w *way) together(at int) (first int, all []int) {
	first = at
	for first > 0 && len(w.steps[first-1].cuts) > 0 && w.steps[first-1].frame == w.steps[at].frame {
		first--
	}
	for i := first; i < len(w.steps) && w.steps[i].frame == w.steps[at].frame; i++ {
		all = append(all, w.steps[i].cuts...)
	}
	return first, all
}

// has reports whether there is such a piece.
func (c *cutting) has(p pieceOf) bool {
	return p.StripSet >= 0 && p.StripSet < len(c.of) && p.Piece >= 0 && p.Piece < len(c.ways[c.of[p.StripSet]].leans)
}

// done returns how many pieces of each lean are cut.
func (c *cutting) done(p *progress) (n [2]int) {
	for k, run := range c.of {
		w := &c.ways[run]
		for i, lean := range w.leans {
			if w.cut(i, p.made[k]) && !p.isSpoiled(k, i) {
				n[lean]++
			}
		}
	}
	return n
}

// cut reports whether a piece is cut: all its sides and tips.
func (w *way) cut(piece int, made map[int]bool) bool {
	if len(made) == 0 {
		return false
	}
	for _, n := range w.around[piece] {
		if !made[n] {
			return false
		}
	}
	return true
}

// filled reports for each place of the quilt whether its piece is cut.
func (c *cutting) filled(p *progress) []bool {
	out := make([]bool, len(c.plan.Pieces))
	for k, places := range c.places {
		w := &c.ways[c.of[k]]
		for i, to := range places {
			if to >= 0 && w.cut(i, p.made[k]) && !p.isSpoiled(k, i) {
				out[to] = true
			}
		}
	}
	return out
}
