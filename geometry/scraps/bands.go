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

// joint is the pieces that join the same bands.
type joint struct {
	bands []int // the number of that of each strip
	need  strip.Count
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
	joints []*joint
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
	for _, pl := range p.Pieces {
		out.joints[out.joint(pl)].need[pl.Lean][pl.Shape]++
	}
	for _, j := range out.joints {
		for strip := range b.at {
			if one := (band{strip, j.bands[strip]}); !slices.Contains(out.bands, one) {
				out.bands = append(out.bands, one)
			}
		}
	}
	slices.SortFunc(out.bands, band.compare)
	// Spare pieces are cut where most of their kind are.
	need := p.Need.With(p.Spec.Spare)
	for lean := range need {
		for shape := range need[lean] {
			most := slices.MaxFunc(out.joints, func(a, b *joint) int { return cmp.Compare(a.need[lean][shape], b.need[lean][shape]) })
			most.need[lean][shape] += need[lean][shape] - p.Need[lean][shape]
		}
	}
	out.sortHues(need)
	out.table = newTable(p.Set, unticks(slices.Max(out.length)), p.Spec.EndTrim, p.Spec.Stagger, held{need.Diamonds(0) + need.Diamonds(1), need.Total()})
	return out
}

// joint returns which joint a piece is of.
func (b *bander) joint(pl quilt.Placement) int {
	bands := make([]int, len(b.at))
	for strip := range bands {
		bands[strip] = b.plan.Band(pl, strip)
	}
	i := slices.IndexFunc(b.joints, func(j *joint) bool { return slices.Equal(j.bands, bands) })
	if i < 0 {
		i = len(b.joints)
		b.joints = append(b.joints, &joint{bands: bands})
	}
	return i
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
			at, _ := slices.BinarySearchFunc(b.bands, band{strip, j.bands[strip]}, band.compare)
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
	for g, one := range b.together(assigned) {
		out.joints = append(out.joints, one.joints)
		cloths, hues, at := b.cloths(one.hues, left)
		t := newTask(b.table, b.bin.need(one.need), cloths)
		var a answer
		if t.greedy(&a); !a.found {
			out.missing += one.need.Total()
			continue
		}
		sets := t.finish(a)
		for _, s := range sets {
			out.sewn += s.length
			for c, lanes := range s.lanes {
				if b.hues[hues[c]].fresh {
					out.added += int64(len(lanes)) * s.length
				}
				for _, l := range lanes {
					left[cloths[c].lanes[l].id] -= s.length
				}
			}
		}
		from := len(out.made.sets)
		out.made.add(b.bin, t, sets, one.need, at)
		for i := range out.made.sets[from:] {
			out.made.sets[from+i].group = g
		}
	}
	return out
}

// cloths returns what is left of the cloths of each strip, each hue once, and
// which of them each strip is of.
func (b *bander) cloths(hues []int, left []int64) (out []*cloth, which []int, at []place) {
	for strip, h := range hues {
		c := slices.Index(which, h)
		if c < 0 {
			c = len(which)
			which = append(which, h)
			one := &cloth{takes: make([]int, len(b.fabrics[b.at[strip].cloth].widths))}
			for _, l := range b.hues[h].lanes {
				if l.length = left[l.id]; b.table.class(l.length) >= 0 {
					one.lanes = append(one.lanes, l)
				}
			}
			one.sort()
			out = append(out, one)
		}
		out[c].takes[b.at[strip].class]++
		at = append(at, place{c, b.at[strip].class})
	}
	return out, which, at
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
		length := ticks(float64(n*side) + float64((float64(j.need.Total())-n)*half))
		for i, one := range b.bands {
			if one.number == j.bands[one.strip] {
				wants[i] += length
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
		n := len(b.of[f]) - 1
		own := b.of[f][:n]
		out[i] = b.of[f][n] // the fresh one
		if at := slices.IndexFunc(own, func(h int) bool { return b.hues[h].key == "" }); s.spill && at >= 0 {
			out[i] = own[at]
			own = slices.Concat(own[:at], own[at+1:])
		}
		for k := range own {
			k = (next[f] + k) % len(own)
			if h := own[k]; room[h] >= float64(wants[i]) {
				out[i], next[f] = h, k
				room[h] -= float64(wants[i])
				if s.inTurn {
					next[f]++
				}
				break
			}
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
	for {
		better := b.improve(best)
		if better == best {
			break
		}
		best = better
	}
	best.made.found = best.enough()
	best.made.sort()
	return best
}

// improve makes every change to an assignment that is better than what was
// found before, while tries are left.
func (b *bander) improve(best *banded) *banded {
	change := func(i, j, hi, hj int) {
		if b.tries <= 0 || best.hue[i] == hi && best.hue[j] == hj {
			return
		}
		hue := slices.Clone(best.hue)
		hue[i], hue[j] = hi, hj
		if one := b.try(hue); one.better(best) {
			best = one
		}
	}
	for i, one := range b.bands {
		f := b.at[one.strip].cloth
		for _, h := range b.of[f] {
			change(i, i, h, h)
		}
		for j, other := range b.bands[:i] {
			if b.at[other.strip].cloth == f {
				change(i, j, best.hue[j], best.hue[i])
			}
		}
	}
	return best
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
