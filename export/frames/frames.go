// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"
	"slices"

	"lozenge/calibrate"
	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// MostFrames is the most frames that are drawn.
const MostFrames = 999

// A FitError says that something is too large for what is projected, or too
// much.
type FitError struct {
	What string // too large
	Do   string // what to do
}

// Error returns both in one line.
func (e *FitError) Error() string { return e.What + "; " + e.Do }

// StripSets returns the frames for cutting all strip sets of a plan, in
// cutting order. The plan must have strip sets. The error is a [*FitError].
func StripSets(p *quilt.Plan, m *calibrate.Map) ([]Frame, error) {
	var runs []*run
	for _, like := range p.Alike() {
		runs = append(runs, ofLayout(p, like))
	}
	return assemble("frame", [][]*run{runs}, m, p.Spec.Unit)
}

// assemble lays out groups of runs. The runs of a group are equally high and
// lie in the same place.
func assemble(name string, groups [][]*run, m *calibrate.Map, u geometry.Unit) ([]Frame, error) {
	room := onmat.RoomOf(m)
	var all []laid
	total := 0
	for _, runs := range groups {
		l, long, ok := settle(room, runs, u)
		if !ok {
			return nil, tooLarge(runs, room.Box(), long, u)
		}
		all = append(all, l)
		total += l.frames
	}
	if total > MostFrames {
		return nil, &FitError{
			fmt.Sprintf("it would take %d frames, more than %d", total, MostFrames),
			"raise the projector for a larger picture, or plan a smaller quilt",
		}
	}
	var out []Frame
	count := -1
	for g, runs := range groups {
		for i, r := range runs {
			count++
			begin := len(out) + 1
			for j, pt := range all[g].parts[i] {
				s := spoken{
					frame: len(out) + 1, of: total, begin: begin,
					first: j == 0, last: j == len(all[g].parts[i])-1,
				}
				f := r.frame(all[g].place, pt, s, m, u)
				f.Run = count
				f.Name = fmt.Sprintf("%s-%0*d.svg", name, max(2, len(fmt.Sprint(total))), s.frame)
				out = append(out, f)
			}
		}
	}
	return out, nil
}

// tooLarge says why runs don't fit into the calibrated area.
func tooLarge(runs []*run, box geometry.Rect, long *tooLong, u geometry.Unit) error {
	r := runs[0]
	say := func(v float64) string { return words.Length(v, u) }
	wide, deep := box.Width(), box.Height()
	if long != nil {
		return &FitError{
			fmt.Sprintf("one %s takes %s along the %s, and where the %s lies the calibrated area has room for %s",
				long.name, say(long.needs), r.name, r.name, say(long.room)),
			"raise the projector for a larger picture and calibrate again",
		}
	}
	need := r.height + 2*rimRoom + gap + slices.Min(onmat.Squares(u)) + 2*onmat.Inset
	do := "raise the projector for a larger picture"
	if wide > need && wide > deep {
		do += ", or turn the mat so that the picture's long side runs away from you,"
	}
	return &FitError{
		fmt.Sprintf("the %s is %s wide and takes at least %s with its numbers, the check square and what is to be done; the calibrated area is %s from front to back and %s from left to right",
			r.name, say(r.height), say(need), say(deep), say(wide)),
		do + " and calibrate again",
	}
}
