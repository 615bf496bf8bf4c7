// SPDX-License-Identifier: Apache-2.0

package table

import (
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
	count  [2]int // pieces of each lean
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
	ends  int   // the piece that is done with it, or -1
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
			out = append(out, step{layStep, i, nil, -1, -1}, step{startStep, i, []int{f.ToCut[0]}, -1, -1})
		} else {
			out = append(out, step{slideStep, i, nil, -1, -1})
		}
		for _, p := range f.Pieces {
			s := step{acrossStep, i, []int{p.Frees}, p.Index, -1}
			if len(p.Trims) == 0 {
				s.ends = p.Index
			}
			out = append(out, s)
		}
		for _, p := range f.Pieces {
			if len(p.Trims) > 0 {
				out = append(out, step{tipsStep, i, p.Trims, p.Index, p.Index})
			}
		}
	}
	return out
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
// cut, or the beginning of the strip set. What can't be is the beginning of
// all.
func (c *cutting) find(s stop) place {
	switch {
	case s.StripSet < 0 || s.StripSet > len(c.of):
		return place{}
	case s.StripSet == len(c.of):
		return c.end()
	}
	at := place{StripSet: s.StripSet}
	w := c.way(at)
	i := slices.IndexFunc(w.steps, func(st step) bool { return st.kind.String() == s.Doing && w.named(st) == s.Cut })
	if i < 0 {
		i = slices.IndexFunc(w.steps, func(st step) bool { return slices.Contains(st.cuts, s.Cut) })
	}
	at.Step = max(i, 0)
	return at
}

func (c *cutting) way(at place) *way { return &c.ways[c.of[at.StripSet]] }

func (c *cutting) next(at place) place {
	if at == c.end() {
		return at
	}
	if at.Step++; at.Step == len(c.way(at).steps) {
		return place{StripSet: at.StripSet + 1}
	}
	return at
}

func (c *cutting) before(at place) place {
	switch {
	case at.Step > 0:
		at.Step--
	case at.StripSet > 0:
		at.StripSet--
		at.Step = len(c.way(at).steps) - 1
	}
	return at
}

// done returns how many pieces of each lean are cut.
func (c *cutting) done(at place) (n [2]int) {
	for k := range at.StripSet {
		for lean, more := range c.ways[c.of[k]].count {
			n[lean] += more
		}
	}
	if at == c.end() {
		return n
	}
	w := c.way(at)
	for i := range w.row.Pieces {
		if w.ended(i, at.Step) {
			n[w.leans[i]]++
		}
	}
	return n
}

// ended reports whether a piece is done before a step.
func (w *way) ended(piece, before int) bool {
	return slices.ContainsFunc(w.steps[:before], func(s step) bool { return s.ends == piece })
}

// filled reports for each place of the quilt whether its piece is cut.
func (c *cutting) filled(at place) []bool {
	out := make([]bool, len(c.plan.Pieces))
	for k, places := range c.places {
		if k > at.StripSet || k == len(c.of) {
			break
		}
		for i, to := range places {
			if to >= 0 && (k < at.StripSet || c.way(at).ended(i, at.Step)) {
				out[to] = true
			}
		}
	}
	return out
}
