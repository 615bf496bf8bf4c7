// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/colour"
	"lozenge/geometry/quilt"
)

// In a gradient the strip sets are found first, as few and as short as they are.
// Then the scraps that they are cut from are exchanged, among each other and for
// what is left over, where those are long and wide enough, so that few pieces
// lie out of place: the colours of every fabric run from dark to light together,
// through both leans alike, and strip sets that give edge triangles stand at the
// end where those lie. That two strip sets cut alike change their leans is an
// exchange of all their strips.

const (
	// mostTrades bounds the trades that are looked at, mostLaid the pieces that
	// are laid to see what they bring, mostShades how often a quilt is laid.
	mostTrades = 4_000_000
	mostLaid   = 600_000
	mostShades = 4000
)

// shader exchanges the strips of the strip sets of a gradient.
type shader struct {
	*bin
	of    *quilt.Plan // of the size that is made
	made  *cutPlan
	used  []int64 // length cut from each strip of the scraps
	rank  map[tone]int
	lanes [][]int // strips of the scraps of each cloth
	share []int   // how much of a diamond each strip covers
	steps int     // left of mostTrades
}

// tone is a colour of a cloth.
type tone struct {
	cloth int
	quilt.Colour
}

// slot is a strip of a strip set.
type slot struct{ set, strip int }

// trade is a strip that is cut from another strip of the scraps.
type trade struct {
	slot
	id int
}

// shade exchanges the strips of made and returns where each strip set stands
// from the dark end to the light one, from 1.
func (b *bin) shade(of *quilt.Plan, made *cutPlan) []int {
	s := &shader{bin: b, of: of, made: made, used: make([]int64, len(made.strips)), rank: map[tone]int{}, steps: mostTrades, lanes: make([][]int, len(b.fabrics))}
	for _, set := range made.sets {
		for _, id := range set.ids {
			s.used[id] += ticks(set.Length)
		}
	}
	tones := make([][]quilt.Colour, len(b.fabrics))
	for id, strip := range made.strips {
		s.lanes[strip.fabric] = append(s.lanes[strip.fabric], id)
		if c := s.toneOf(id); s.rank[c] == 0 {
			s.rank[c] = 1 // seen
			tones[strip.fabric] = append(tones[strip.fabric], c.Colour)
		}
	}
	for cloth, own := range tones {
		stops := make([][]colour.Lab, len(own))
		for i, c := range own {
			stops[i] = []colour.Lab{colour.LabOf(colour.RGB(c))}
		}
		// As far as the eye goes along the walk: cloths that hardly differ hardly
		// count.
		walk, far := colour.Walk(stops, []int{1}), 0
		for n, i := range walk {
			if n > 0 {
				far += int(math.Sqrt(float64(stops[i][0].Apart(stops[walk[n-1]][0]))))
			}
			s.rank[tone{cloth, own[i]}] = far / 100
		}
	}
	for _, st := range of.Spec.Strips {
		s.share = append(s.share, int(1000*(st.Cut-float64(2*of.Spec.Seam))))
	}
	// A walk through the strip sets' colours is sometimes better than the order of
	// the colours of each fabric, before or after.
	kept, before := s.all(), s.look(nil)
	best := s.exchange()
	turns := s.turns()
	if walked := s.look(nil); walked.compare(best) < 0 {
		best, turns = walked, nil
	}
	if before.compare(best) < 0 {
		s.make(kept)
		return nil
	}
	return turns
}

// ranks returns how far each strip of a strip set is from the dark end of its
// fabric's colours, in tenths of CIELAB.
func (s *shader) ranks(set int) []int {
	out := make([]int, len(s.at))
	for i := range out {
		out[i] = s.dark(slot{set, i})
	}
	return out
}

// turns returns where each strip set stands, from 1 for the darkest.
func (s *shader) turns() []int {
	ranks := make([][]int, len(s.made.sets))
	light := make([]int, len(ranks))
	for k := range ranks {
		ranks[k] = s.ranks(k)
		for i, r := range ranks[k] {
			light[k] += r * s.share[i]
		}
	}
	out := make([]int, len(ranks))
	for n, k := range ordered(len(ranks), func(i, j int) int {
		return cmp.Or(cmp.Compare(light[i], light[j]), slices.Compare(ranks[i], ranks[j]))
	}) {
		out[k] = n + 1
	}
	return out
}

// toneOf returns the colour of a strip of the scraps.
func (s *shader) toneOf(id int) tone {
	strip := s.made.strips[id]
	return tone{strip.fabric, s.colour(strip.scrap, s.fabrics[strip.fabric].key)}
}

// apply makes trades if the scraps allow all of them together, and returns those
// that undo them, nil if they don't.
func (s *shader) apply(trades []trade) (undo []trade) {
	for _, one := range trades {
		if place := s.at[one.strip]; s.made.strips[one.id].fabric != place.cloth || s.made.strips[one.id].widest < place.class {
			return nil
		}
	}
	undo = s.make(trades)
	for _, one := range trades {
		if s.used[one.id] > ticks(s.made.strips[one.id].length)+slack {
			s.make(undo)
			return nil
		}
	}
	return undo
}

// make makes trades and returns those that undo them.
func (s *shader) make(trades []trade) (undo []trade) {
	for _, one := range trades {
		set := &s.made.sets[one.set]
		id := &set.ids[one.strip]
		undo = append(undo, trade{one.slot, *id})
		s.used[*id] -= ticks(set.Length)
		s.used[one.id] += ticks(set.Length)
		*id = one.id
		set.Strips[one.strip] = Cut{Scrap: s.made.strips[one.id].scrap, Strip: s.made.strips[one.id].number, Length: set.Length}
	}
	return undo
}

// swap returns the trades that exchange two strips.
func (s *shader) swap(a, b slot) []trade { return []trade{{a, s.id(b)}, {b, s.id(a)}} }

func (s *shader) id(at slot) int { return s.made.sets[at.set].ids[at.strip] }

// shaded is how well a gradient comes out.
type shaded struct {
	out   int // pieces out of place
	above int // of them diamonds
	steps int // from strip set to strip set, in colour
}

func (a shaded) compare(b shaded) int {
	return cmp.Or(cmp.Compare(a.out, b.out), cmp.Compare(a.above, b.above), cmp.Compare(a.steps, b.steps))
}

// look lays the quilt from strip sets that stand so from dark to light.
func (s *shader) look(turns []int) shaded {
	q := s.of.WithStripSets(s.sewn(s.made.sets, turns), nil)
	out := shaded{above: q.Above(), steps: math.MaxInt}
	out.out = out.above + q.Edges().Unmatched
	if turns == nil {
		return out
	}
	out.steps = 0
	order := ordered(len(turns), func(i, j int) int { return cmp.Compare(turns[i], turns[j]) })
	for n := 1; n < len(order); n++ {
		before, after := s.ranks(order[n-1]), s.ranks(order[n])
		for i := range before {
			out.steps += s.share[i] * max(before[i]-after[i], after[i]-before[i])
		}
	}
	return out
}

// exchange sorts the strips and then makes every trade that helps.
func (s *shader) exchange() (best shaded) {
	look := func() shaded { return s.look(s.turns()) }
	best = look()
	kept := s.all()
	s.sort()
	if now := look(); now.compare(best) < 0 {
		best = now
	} else {
		s.make(kept)
	}
	tries := min(mostShades, mostLaid/len(s.of.Pieces))
	try := func(trades []trade) (better bool) {
		undo := s.apply(trades)
		if undo == nil {
			return false
		}
		tries--
		if now := look(); now.compare(best) < 0 {
			best = now
			return true
		}
		s.make(undo)
		return false
	}
	for again := true; again; {
		again = false
		for a := range s.made.sets {
			for trades := range s.trades(a) {
				if again = try(trades) || again; tries <= 0 || s.steps <= 0 {
					return best
				}
			}
		}
	}
	return best
}

// trades lists what a strip set may trade: its strips for those of an earlier
// one, or one of them for what is left over.
func (s *shader) trades(a int) iter.Seq[[]trade] {
	return func(yield func([]trade) bool) {
		for b := range a {
			for _, trades := range s.swaps(a, b) {
				if s.steps--; !yield(trades) {
					return
				}
			}
		}
		for i, at := range s.at {
			s.steps -= len(s.lanes[at.cloth])
			for _, one := range s.others(slot{a, i}) {
				if !yield([]trade{one}) {
					return
				}
			}
		}
	}
}

// swaps lists what two strip sets may exchange: two strips, or all.
func (s *shader) swaps(a, b int) (out [][]trade) {
	var all []trade
	for i := range s.at {
		for j := range s.at {
			x, y := slot{a, i}, slot{b, j}
			if s.at[i].cloth == s.at[j].cloth && s.dark(x) != s.dark(y) {
				out = append(out, s.swap(x, y))
				if i == j {
					all = append(all, s.swap(x, y)...)
				}
			}
		}
	}
	if len(all) > 2 {
		out = append(out, all)
	}
	return out
}

// others lists what a strip may be cut from instead, one strip of the scraps of
// each colour that is used less: the one of which the least is then left.
func (s *shader) others(at slot) (out []trade) {
	count := map[tone]int{}
	for _, set := range s.made.sets {
		for _, id := range set.ids {
			count[s.toneOf(id)]++
		}
	}
	own, length := s.toneOf(s.id(at)), ticks(s.made.sets[at.set].Length)
	room := func(id int) int64 { return ticks(s.made.strips[id].length) + slack - s.used[id] - length }
	best := map[tone]int{} // by colour, where in out
	for _, id := range s.lanes[own.cloth] {
		c := s.toneOf(id)
		if count[c] >= count[own]-1 || room(id) < 0 || s.made.strips[id].widest < s.at[at.strip].class {
			continue
		}
		if n, ok := best[c]; !ok {
			best[c] = len(out)
			out = append(out, trade{at, id})
		} else if room(id) < room(out[n].id) {
			out[n].id = id
		}
	}
	return out
}

// all returns the trades that would make the strips what they are.
func (s *shader) all() (out []trade) {
	for k, set := range s.made.sets {
		for i, id := range set.ids {
			out = append(out, trade{slot{k, i}, id})
		}
	}
	return out
}

// sort gives each strip set in turn, from the dark end of the quilt to the light
// one, the darkest strips that the others behind it can give.
func (s *shader) sort() {
	line := s.line()
	for cloth := range s.fabrics {
		var slots []slot
		for _, k := range line {
			for i, at := range s.at {
				if at.cloth == cloth {
					slots = append(slots, slot{k, i})
				}
			}
		}
		for n, at := range slots {
			others := slots[n+1:]
			if s.steps -= len(others); s.steps <= 0 {
				return
			}
			for _, j := range ordered(len(others), func(i, j int) int { return cmp.Compare(s.dark(others[i]), s.dark(others[j])) }) {
				if s.dark(others[j]) >= s.dark(at) || s.apply(s.swap(at, others[j])) != nil {
					break
				}
			}
		}
	}
}

// dark returns the rank of a strip of a strip set.
func (s *shader) dark(at slot) int { return s.rank[s.toneOf(s.id(at))] }

// line returns the strip sets in the order in which they would best be laid from
// the bottom up: of each lean those that give edge triangles of the bottom edge
// first, those that give them for the top last, and both leans in step.
func (s *shader) line() []int {
	bottom, top := s.of.Pieces[0], s.of.Pieces[len(s.of.Pieces)-1]
	ends := make([]int, len(s.made.sets))
	for k, set := range s.made.sets {
		ends[k] = set.Gives[top.Lean][top.Shape] - set.Gives[bottom.Lean][bottom.Shape]
	}
	middle := make([]float64, len(ends)) // of its diamonds among those of its lean, from 0 to 1
	for _, lean := range geometry.Leans {
		before, all := 0, max(s.of.Need.With(s.of.Spec.Spare).Diamonds(lean), 1)
		for _, k := range ordered(len(ends), func(i, j int) int { return cmp.Compare(ends[i], ends[j]) }) {
			if n := s.made.sets[k].Gives.Diamonds(lean); n > 0 {
				middle[k] = (float64(before) + float64(n)/2) / float64(all)
				before += n
			}
		}
	}
	for k, set := range s.made.sets {
		if set.Gives.Diamonds(0)+set.Gives.Diamonds(1) == 0 && ends[k] > 0 {
			middle[k] = 1
		}
	}
	return ordered(len(ends), func(i, j int) int { return cmp.Or(cmp.Compare(middle[i], middle[j]), cmp.Compare(ends[i], ends[j])) })
}
