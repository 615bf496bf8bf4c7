// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"fmt"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// New plans what a scrap bin makes of a pattern: the quilt, or, when the scraps
// don't suffice or largest is asked for, the largest quilt of about its
// proportions. The error is an [*Error] when a scrap can't be.
func New(p *quilt.Plan, scraps []Scrap, largest bool) (*Plan, error) {
	b, err := newBin(p, scraps)
	if err != nil {
		return nil, err
	}
	out := &Plan{
		Scraps: b.scraps, Wanted: Size{p.Columns, p.Rows},
		Narrow: b.narrow, Unused: b.unused,
	}
	bands := p.Spec.ColourOrder == quilt.Bands
	need := p.Need.With(p.Spec.Spare)
	made := b.solve(need)
	if !made.found && !made.never {
		if larger := b.larger(); larger != nil {
			larger.bound, made = made.bound, larger
		}
	}
	var bd *bander
	var one *banded
	if bands {
		bd, one = b.banded(p, made, mostTries)
		made = one.made
	}
	out.Enough, out.Proven = made.found, made.never
	out.Made, out.Bound = out.Wanted, made.bound
	if !out.Enough {
		if bands {
			out.Short = b.shortOfBands(bd, one)
		} else {
			out.Short = b.shortfall(need)
		}
	}
	if !out.Enough || largest {
		var most *found
		if !bands {
			most = b.largest()
		} else if most, bd, one, err = b.largestBands(); err != nil {
			return nil, err
		}
		made, out.IsLargest, out.Made = nil, true, Size{}
		if most != nil {
			made, out.Made, out.Surely = most.plan, most.size, most.proven
		}
	}
	out.note(b)
	if made == nil {
		out.Bound = Bound{}
		b.cutUp(balanced, 1)
		out.Left = b.left(&cutPlan{strips: b.strips})
		return out, nil
	}
	of, err := b.sized(out.Made)
	if err != nil {
		return nil, err
	}
	var turns []int
	if p.Spec.ColourOrder == quilt.Gradient {
		turns = b.shade(of, made)
	}
	sets := b.sewn(made.sets, turns)
	if bands {
		for k, s := range made.sets {
			for _, j := range one.joints[s.group] {
				sets[k].Bands = append(sets[k].Bands, bd.joints[j].bands)
			}
		}
	}
	made.leaveWhole(p.Spec.Unit.Of(mostLeft, mostLeftCentimetres))
	for k, s := range made.sets {
		sets[k].Length, sets[k].Spare = s.Sewn, made.spare(s)
	}
	shown := *of
	shown.Spec.Fabrics = b.shown(made)
	out.Quilt = shown.WithStripSets(sets, b.bill(made, shown.Spec))
	out.Quilt.Left = b.rest(made)
	// The drawings show strip sets as long as the longest.
	out.Quilt.Yield = of.Set.Yield(longestOf(made.sets) - p.Spec.EndTrim)
	if bands {
		out.Bands = bd.names(one)
	}
	out.Sets, out.Length, out.Left = made.sets, made.length(), b.left(made)
	out.Bound = Bound{min(made.bound.Sets, len(out.Sets)), made.bound.Length}
	if out.Length-out.Bound.Length < roundingError {
		out.Bound.Length = out.Length // the least
	}
	return out, nil
}

// larger makes the quilt as a part of a slightly larger one: sometimes a way is
// found for that alone. nil when none is.
func (b *bin) larger() *cutPlan {
	s, _ := b.search()
	own := Size{b.plan.Columns, b.plan.Rows}
	for _, more := range []Size{{0, 0}, {0, 1}, {1, 0}, {0, 2}, {1, 1}} {
		if t, a := s.ask(Size{own.Columns + more.Columns, own.Rows + more.Rows}); a.found {
			count := s.count(own)
			t.need = s.need(count)
			return s.spell(t, a, count)
		}
	}
	return nil
}

// roundingError is what the sums of two ways to work out the sewn length may
// differ by.
const roundingError = 1e-6

// sewn returns strip sets as the quilt's plan takes them, turns being where each
// stands in a gradient.
func (b *bin) sewn(sets []StripSet, turns []int) (out []quilt.Sewn) {
	for k, s := range sets {
		one := quilt.Sewn{Layout: s.Layout, Length: s.Length, Colours: b.colours(s), Names: b.names(s)}
		if turns != nil {
			one.Turn = turns[k]
		}
		out = append(out, one)
	}
	return out
}

// shown returns the pattern's fabrics with the colours that are sewn and what
// they are called, in the order of the strip sets.
func (b *bin) shown(made *cutPlan) []quilt.Fabric {
	out := slices.Clone(b.plan.Spec.Fabrics)
	for _, f := range b.fabrics {
		i := slices.IndexFunc(out, func(o quilt.Fabric) bool { return o.Key == f.key })
		if i < 0 {
			i, out = len(out), append(out, quilt.Fabric{Key: f.key})
		}
		out[i].From, out[i].StripLength = quilt.Scraps, 0
	}
	for i := range out {
		type cloth struct {
			colour quilt.Colour
			name   string
		}
		var seen []cloth
		for _, s := range made.sets {
			names := b.names(s)
			for k, c := range b.colours(s) {
				if one := (cloth{c, names[k]}); b.plan.Spec.Strips[k].Fabric == out[i].Key && !slices.Contains(seen, one) {
					seen = append(seen, one)
				}
			}
		}
		if len(seen) == 0 {
			continue
		}
		out[i].Colours, out[i].Names = nil, nil
		for _, one := range seen {
			out[i].Colours, out[i].Names = append(out[i].Colours, one.colour), append(out[i].Names, one.name)
		}
	}
	return out
}

func longestOf(sets []StripSet) float64 {
	longest := 0.0
	for _, s := range sets {
		longest = max(longest, s.Length)
	}
	return longest
}

func (out *Plan) note(b *bin) {
	if b.plan.Spec.Stagger && len(b.plan.Spec.Strips) > 1 {
		out.Notes = append(out.Notes, "Strips of a strip set of diamonds alone may be sewn staggered where that needs less length, as the pattern allows; such strip sets are marked.")
	}
	for _, f := range b.fabrics {
		if len(f.widths) > 1 {
			out.Notes = append(out.Notes, fmt.Sprintf("Strips of %s are cut in %d widths: each scrap is first cut along its whole length into strips of one width or the other, as listed.", f.key, len(f.widths)))
		}
	}
	if b.plan.Spec.EndTrim > geometry.Fit {
		out.Notes = append(out.Notes, fmt.Sprintf("Lengths to cut include %s a strip set for truing its end.", geometry.FormatLength(b.plan.Spec.EndTrim, b.plan.Spec.Unit)))
	}
}
