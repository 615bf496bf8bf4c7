// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"fmt"
	"slices"

	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// In a quilt of bands every band is one cloth: one colour of its fabric. So it
// is the bands that say which cloths are sewn together: in zigzag,
// right-leaning strip sets join the lowest band i with the highest band i,
// left-leaning ones the lowest i with the highest i + 1. Which cloth goes into
// which band is free; it is found here by trying, without proof.

// band is one band of colour: which strip it runs through and its number.
type band struct{ strip, number int }

func (a band) compare(b band) int {
	return cmp.Or(cmp.Compare(a.strip, b.strip), cmp.Compare(a.number, b.number))
}

// joint is the pieces that join two bands (and the islands between them).
type joint struct {
	low, high int
	need      strip.Count
}

// hue is one cloth of a fabric: scraps of one colour, or, without colours, of
// one name.
type hue struct {
	fabric int
	key    string
	lanes  []lane
	fresh  bool // not there: would have to be added
}

// bander assigns cloths to bands.
type bander struct {
	*bin
	plan   *quilt.Plan // of the size in question
	bands  []band
	joints []joint
	hues   []hue
	of     [][]int // hues of each fabric; the last is the fresh one
	table  *table
	length []int64 // of every lane, by its id; fresh ones behind
	tries  int     // left
}

// banded is an assignment and what comes of it.
type banded struct {
	hue     []int // of each band
	missing int   // pieces that could not be cut
	added   int64 // length cut from fresh cloth
	sewn    int64
	made    *cutPlan
	joints  [][]int // that each group of strip sets serves
}

func (a *banded) better(b *banded) bool {
	return cmp.Or(cmp.Compare(a.missing, b.missing), cmp.Compare(a.added, b.added),
		cmp.Compare(len(a.made.sets), len(b.made.sets)), cmp.Compare(a.sewn, b.sewn)) < 0
}

func (a *banded) enough() bool { return a.missing == 0 && a.added == 0 }

const (
	// mostTries bounds the assignments that are tried for one quilt, fewTries
	// those for one of the sizes among which the largest is sought.
	mostTries = 400
	fewTries  = 24
	// mostBandSizes bounds those sizes.
	mostBandSizes = 250
)

// newBander sorts the pieces of a quilt by the bands that they join.
func newBander(b *bin, p *quilt.Plan) *bander {
	out := &bander{bin: b, plan: p}
	last := len(b.at) - 1
	index := map[[2]int]int{}
	for _, pl := range p.Pieces {
		key := [2]int{p.Band(pl, 0), p.Band(pl, last)}
		i, ok := index[key]
		if !ok {
			i = len(out.joints)
			index[key] = i
			out.joints = append(out.joints, joint{low: key[0], high: key[1]})
			for strip := range b.at {
				one := band{strip, out.number(out.joints[i], strip)}
				if !slices.Contains(out.bands, one) {
					out.bands = append(out.bands, one)
				}
			}
		}
		out.joints[i].need[pl.Lean][pl.Shape]++
	}
	slices.SortFunc(out.bands, band.compare)
	// Spare pieces are cut where most of their kind are.
	need := p.Need.With(p.Spec.Spare)
	for lean := range need {
		for shape := range need[lean] {
			if more := need[lean][shape] - p.Need[lean][shape]; more > 0 {
				best := 0
				for i, j := range out.joints {
					if j.need[lean][shape] > out.joints[best].need[lean][shape] {
						best = i
					}
				}
				out.joints[best].need[lean][shape] += more
			}
		}
	}
	out.sortHues(need)
	longest := int64(0)
	for _, l := range out.length {
		longest = max(longest, l)
	}
	out.table = newTable(p.Set, unticks(longest), p.Spec.EndTrim, p.Spec.Stagger, held{need.Diamonds(0) + need.Diamonds(1), need.Total()})
	return out
}

// number returns the number of a joint's band in a strip.
func (b *bander) number(j joint, strip int) int {
	if strip > 0 && strip == len(b.at)-1 {
		return j.high
	}
	return j.low
}

// sortHues sorts the lanes by cloth and adds a fresh cloth to each fabric.
func (b *bander) sortHues(need strip.Count) {
	cloths := b.cutUp(balanced, need.Total())
	for _, s := range b.strips {
		b.length = append(b.length, ticks(s.length))
	}
	for f, c := range cloths {
		var own []int
		for _, l := range c.lanes {
			key := b.scraps[b.strips[l.id].scrap].cloth()
			i := slices.IndexFunc(own, func(h int) bool { return b.hues[h].key == key })
			if i < 0 {
				i = len(own)
				own = append(own, len(b.hues))
				b.hues = append(b.hues, hue{fabric: f, key: key})
			}
			h := &b.hues[own[i]]
			h.lanes = append(h.lanes, l)
		}
		slices.SortStableFunc(own, func(i, j int) int { return cmp.Compare(b.room(j), b.room(i)) })
		whole := ticks(b.bolt(b.fabrics[f].key))
		fresh := hue{fabric: f, fresh: true}
		for range min(need.Total(), 200) * sum(c.takes) {
			fresh.lanes = append(fresh.lanes, lane{whole, len(c.takes) - 1, len(b.length)})
			b.length = append(b.length, whole)
		}
		b.of = append(b.of, append(own, len(b.hues)))
		b.hues = append(b.hues, fresh)
	}
}

// cloth returns what tells a scrap's cloth from others of its fabric.
func (s Scrap) cloth() string {
	if s.Colour != nil {
		return s.Colour.String()
	}
	return s.Name
}

// room returns the length of all lanes of a hue.
func (b *bander) room(h int) int64 {
	sum := int64(0)
	for _, l := range b.hues[h].lanes {
		sum += l.length
	}
	return sum
}

// alike is the joints that the same cloths join: their strip sets are cut
// together.
type alike struct {
	hues   []int // of each strip
	need   strip.Count
	joints []int
}

// together sorts the joints by the cloths that an assignment gives them, those
// first that need most.
func (b *bander) together(assigned []int) []alike {
	var out []alike
	for i, j := range b.joints {
		var hues []int
		for strip := range b.at {
			at, _ := slices.BinarySearchFunc(b.bands, band{strip, b.number(j, strip)}, band.compare)
			hues = append(hues, assigned[at])
		}
		g := slices.IndexFunc(out, func(g alike) bool { return slices.Equal(g.hues, hues) })
		if g < 0 {
			g = len(out)
			out = append(out, alike{hues: hues})
		}
		for lean := range j.need {
			for shape, n := range j.need[lean] {
				out[g].need[lean][shape] += n
			}
		}
		out[g].joints = append(out[g].joints, i)
	}
	slices.SortStableFunc(out, func(a, b alike) int { return cmp.Compare(b.need.Total(), a.need.Total()) })
	return out
}

// try works out what an assignment gives: strip sets for each pair of cloths
// in turn.
func (b *bander) try(assigned []int) *banded {
	b.tries--
	out := &banded{hue: slices.Clone(assigned), made: &cutPlan{strips: b.strips}}
	left := slices.Clone(b.length)
	spec := b.plan.Spec
	for g, one := range b.together(assigned) {
		out.joints = append(out.joints, one.joints)
		var cloths []*cloth
		var at []place
		var which []int // hue of each cloth
		for strip, h := range one.hues {
			c := slices.Index(which, h)
			if c < 0 {
				c = len(which)
				which = append(which, h)
				cl := &cloth{takes: make([]int, len(b.fabrics[b.at[strip].cloth].widths))}
				for _, l := range b.hues[h].lanes {
					if l.length = left[l.id]; len(b.table.lengths) > 0 && l.length+slack >= b.table.lengths[0] {
						cl.lanes = append(cl.lanes, l)
					}
				}
				cl.sort()
				cloths = append(cloths, cl)
			}
			cloths[c].takes[b.at[strip].class]++
			at = append(at, place{c, b.at[strip].class})
		}
		t := newTask(b.table, newNeed(one.need, spec.Angle == 60, spec.MixLeans), cloths)
		var a answer
		if t.greedy(&a); !a.found {
			out.missing += one.need.Total()
			continue
		}
		sets := t.finish(a)
		for _, s := range sets {
			for c, lanes := range s.lanes {
				for _, l := range lanes {
					left[cloths[c].lanes[l].id] -= s.length
					if b.hues[which[c]].fresh {
						out.added += s.length
					}
				}
			}
			out.sewn += s.length
		}
		from := len(out.made.sets)
		out.made.add(b.bin, t, sets, one.need, at)
		for i := from; i < len(out.made.sets); i++ {
			out.made.sets[i].group = g
		}
	}
	return out
}

// beginning is how cloths are first assigned to bands.
type beginning struct {
	share  float64 // of a cloth that is counted on
	inTurn bool    // another cloth for each band; else as long as it lasts
	spill  bool    // scraps without name or colour take what is left
}

func beginnings() []beginning {
	var out []beginning
	for _, share := range []float64{0.9, 0.8, 0.7, 1} {
		for _, inTurn := range []bool{false, true} {
			out = append(out, beginning{share, inTurn, false}, beginning{share, inTurn, true})
		}
	}
	return out
}

// start assigns cloths to bands one after the other, each as long as a share
// of it lasts: side by side, so that the same two cloths meet often and fill
// long strip sets, or in turn.
func (b *bander) start(s beginning) []int {
	side, half := b.plan.Set.CutSide(), b.plan.Set.CutSide()/2+b.plan.Set.BaseSpacing()/2
	wants := make([]int64, len(b.bands))
	for _, j := range b.joints {
		n := float64(j.need.Diamonds(0) + j.need.Diamonds(1))
		length := float64(n*side) + float64((float64(j.need.Total())-n)*half)
		for i, one := range b.bands {
			if one.number == b.number(j, one.strip) {
				wants[i] += ticks(length)
			}
		}
	}
	room := make([]float64, len(b.hues))
	for h := range room {
		room[h] = float64(s.share * float64(b.room(h)))
	}
	out := make([]int, len(b.bands))
	next := make([]int, len(b.of))
	for i, one := range b.bands {
		f := b.at[one.strip].cloth
		own := b.of[f]
		n := len(own) - 1 // without the fresh one
		out[i] = own[n]
		if at := slices.IndexFunc(own[:n], func(h int) bool { return b.hues[h].key == "" }); s.spill && at >= 0 {
			out[i] = own[at]
			own = slices.Concat(own[:at], own[at+1:n])
			n--
		}
		for k := range n {
			h := own[(next[f]+k)%n]
			if room[h] < float64(wants[i]) {
				continue
			}
			out[i] = h
			room[h] -= float64(wants[i])
			if next[f] = (next[f] + k) % n; s.inTurn {
				next[f]++
			}
			break
		}
	}
	return out
}

// assign finds a good assignment: from several beginnings, then by giving one
// band another cloth or exchanging the cloths of two, as long as that helps.
func (b *bander) assign(tries int) *banded {
	b.tries = tries
	var best *banded
	for _, s := range beginnings() {
		if one := b.try(b.start(s)); best == nil || one.better(best) {
			best = one
		}
	}
	for again := true; again && b.tries > 0; {
		again = false
		change := func(set func(hue []int)) {
			if b.tries <= 0 {
				return
			}
			hue := slices.Clone(best.hue)
			if set(hue); slices.Equal(hue, best.hue) {
				return
			}
			if one := b.try(hue); one.better(best) {
				best, again = one, true
			}
		}
		for i, one := range b.bands {
			for _, h := range b.of[b.at[one.strip].cloth] {
				change(func(hue []int) { hue[i] = h })
			}
			for j := range i {
				if b.at[one.strip].cloth == b.at[b.bands[j].strip].cloth {
					change(func(hue []int) { hue[i], hue[j] = hue[j], hue[i] })
				}
			}
		}
	}
	best.made.found = best.enough()
	best.made.sort()
	return best
}

// lay says for every piece of the quilt which strip set it is cut from: one of
// those that join its bands.
func (b *bander) lay(one *banded, p *quilt.Plan) {
	group := map[[2]int]int{}
	for g, joints := range one.joints {
		for _, j := range joints {
			group[[2]int{b.joints[j].low, b.joints[j].high}] = g
		}
	}
	last := len(b.at) - 1
	left := make([]strip.Count, len(p.Fewest.Layouts))
	for k, l := range p.Fewest.Layouts {
		left[k] = l.Gives
	}
	for i := range p.Pieces {
		pl := &p.Pieces[i]
		g := group[[2]int{p.Band(*pl, 0), p.Band(*pl, last)}]
		for k := range left {
			if one.made.sets[k].group == g && left[k][pl.Lean][pl.Shape] > 0 {
				left[k][pl.Lean][pl.Shape]--
				pl.StripSet = k
				break
			}
		}
	}
}

// names returns the cloth of each band, by strip: the name of its first scrap.
func (b *bander) names(one *banded) [][]string {
	out := make([][]string, len(b.at))
	for i, band := range b.bands {
		name := ""
		if h := b.hues[one.hue[i]]; len(h.lanes) > 0 && !h.fresh {
			first := len(b.scraps)
			for _, l := range h.lanes {
				first = min(first, b.strips[l.id].scrap)
			}
			name = b.scraps[first].Label()
		}
		out[band.strip] = append(out[band.strip], name)
	}
	return out
}

// sized returns the plan of the quilt in another size.
func (b *bin) sized(size Size) (*quilt.Plan, error) {
	p := b.plan
	if size == (Size{p.Columns, p.Rows}) {
		return p, nil
	}
	spec := p.Spec
	spec.Columns, spec.Rows, spec.Finish = size.Columns, size.Rows, nil
	p, err := quilt.New(spec)
	if err != nil {
		return nil, fmt.Errorf("a quilt of %d columns and %d rows: %w", size.Columns, size.Rows, err)
	}
	return p, nil
}
