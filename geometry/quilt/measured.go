// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Measured is the plan for the strip sets as they were sewn.
type Measured struct {
	Plan      *Plan // for Ways[Chosen]; its strip sets, colours and pieces are those of the plan that was measured
	Planned   Size  // finished, as it was planned
	Missing   []int // strip sets that are not measured, rising
	SeamTaken float64
	SeamOff   bool  // it makes a strip set wider or narrower by more than a ruler shows
	Ways      []Way // from the fewest strip sets to sew again to the most
	Chosen    int
	Advice    []Advice // of those that are measured, rising
}

// Way is what can be done with strip sets that are not as wide as they should
// be: some are sewn again, the others trimmed to Width.
type Way struct {
	SewAgain []int // strip sets, rising
	Width    float64
	Governs  int // the strip set that can't be wider; 0: Width is the plan's own
	Finished Size
}

// Advice is what to do with a strip set that was measured.
type Advice struct {
	Reading
	SewAgain  bool
	Near, Far Trim    // of the first raw edge and of the last
	OffCentre float64 // as the seam lies too far from the first raw edge; less than 0: too near
	Unevenly  bool    // its widths differ by more than 1/16 in
	Bowed     bool    // so far that a crosscut at its ends, true to the middle, is off by more than 1/16 in
}

// Trim is how much to take off along a raw edge, where the strip set is
// narrowest and where it is widest. Both 0: leave it.
type Trim struct{ Least, Most float64 }

// Measure plans for the strip sets as they were measured, all or only the first
// ones; those not measured are taken to come out no narrower. The narrowest
// governs, the others are trimmed to it; one that is more than 1/8 in (3 mm)
// narrower than most is to be sewn again. The other ways stand beside it. The
// error is an [*geometry.Error] whose Field is "strip_set N", or "strip_set"
// for all.
func (p *Plan) Measure(readings []Reading) (*Measured, error) {
	if err := p.checkReadings(readings); err != nil {
		return nil, err
	}
	readings = slices.SortedFunc(slices.Values(readings), func(a, b Reading) int { return a.StripSet - b.StripSet })
	u := p.Spec.Unit
	m := &Measured{Planned: p.Finished, SeamTaken: p.seamTaken(readings)}
	m.SeamOff = math.Abs(m.SeamTaken-p.Spec.Seam)*float64(2*(len(p.Spec.Strips)-1)) > trimLimit(u)+geometry.Fit
	for n := range p.Fewest.Layouts {
		if !slices.ContainsFunc(readings, func(r Reading) bool { return r.StripSet == n+1 }) {
			m.Missing = append(m.Missing, n+1)
		}
	}
	if err := m.ways(p, readings); err != nil {
		return nil, err
	}
	way := m.Ways[m.Chosen]
	for _, r := range readings {
		m.Advice = append(m.Advice, p.advice(r, way))
	}
	var err error
	m.Plan, err = p.cutTo(way.Width)
	return m, err
}

// ways finds what can be done: trim all, sew those again that are much narrower
// than most, or as many as keep the quilt's size.
func (m *Measured) ways(p *Plan, readings []Reading) error {
	var widths []float64
	for _, r := range readings {
		widths = append(widths, p.usable(r))
	}
	kept := p.Set.Width - trimLimit(p.Spec.Unit)
	all, err1 := p.way(readings, math.Inf(-1))
	usual, err2 := p.way(readings, min(kept, median(widths)-againLimit(p.Spec.Unit)))
	keep, err3 := p.way(readings, kept)
	if err := cmp.Or(err1, err2, err3); err != nil {
		return err
	}
	keep.Width, keep.Governs, keep.Finished = p.Set.Width, 0, p.Finished
	same := func(a, b Way) bool { return a.Width == b.Width && slices.Equal(a.SewAgain, b.SewAgain) }
	m.Ways = slices.CompactFunc([]Way{all, usual, keep}, same)
	m.Chosen = slices.IndexFunc(m.Ways, func(w Way) bool { return same(w, usual) })
	return nil
}

// way sews those again that are narrower than that. The narrowest of the others
// governs, unless a ruler can't tell it from the plan's own width, or strip sets
// so wide would be too short.
func (p *Plan) way(readings []Reading, below float64) (Way, error) {
	w := Way{Width: math.Inf(1)}
	for _, r := range readings {
		switch usable := p.usable(r); {
		case usable < below-geometry.Fit:
			w.SewAgain = append(w.SewAgain, r.StripSet)
		case usable < w.Width:
			w.Width, w.Governs = usable, r.StripSet
		}
	}
	if math.Abs(w.Width-p.Set.Width) <= trimLimit(p.Spec.Unit)+geometry.Fit || w.Width > p.Set.Width && !p.longEnough(w.Width) {
		w.Width, w.Governs = p.Set.Width, 0
	}
	set, err := p.Spec.stripSet(w.Width)
	if err != nil {
		return w, geometry.Wrong(fmt.Sprintf("strip_set %d", w.Governs), fmt.Sprintf("where its seam lies leaves %s, too little to cut from", p.Spec.length(w.Width)), "check the reading, or sew it again")
	}
	w.Finished = finished(set.Cutting, p.Columns, p.Rows)
	return w, nil
}

// longEnough reports whether the plan's strip sets give their pieces when they
// are as wide as that.
func (p *Plan) longEnough(width float64) bool {
	set, err := p.Spec.stripSet(width)
	if err != nil || len(p.Cloth) == 0 {
		return false
	}
	length := p.Yield.Length
	for _, c := range p.Cloth {
		if c.PerStrip > 1 {
			length = p.CommonLength - p.Spec.EndTrim
		}
	}
	return !slices.ContainsFunc(p.Fewest.Layouts, func(l strip.Layout) bool { return !geometry.Fits(set.Uses(l), length) })
}

func (p *Plan) advice(r Reading, way Way) Advice {
	u := p.Spec.Unit
	a := Advice{Reading: r, OffCentre: p.offCentre(r), SewAgain: slices.Contains(way.SewAgain, r.StripSet), Unevenly: r.Uneven() > unevenLimit(u)+geometry.Fit}
	if math.Abs(a.OffCentre) <= trimLimit(u)+geometry.Fit {
		a.OffCentre = 0
	}
	// An arc that bows by b over the length L turns by 4b/L from its middle to
	// either end (for small b).
	ends := 4 * r.Bow / p.Set.Uses(p.Fewest.Layouts[r.StripSet-1])
	a.Bowed = ends*r.Middle > unevenLimit(u)+geometry.Fit
	if !a.SewAgain && r.widest()-way.Width > trimLimit(u)+geometry.Fit {
		a.Near.Least, a.Far.Least = p.trim(r, r.narrowest()-way.Width)
		a.Near.Most, a.Far.Most = p.trim(r, r.widest()-way.Width)
	}
	return a
}

// trim returns what to take off along the first raw edge and along the last
// where the strip set is too wide by that: half of it each, or so that its seam
// comes to lie where it should as far as that goes.
func (p *Plan) trim(r Reading, tooWide float64) (near, far float64) {
	tooWide = max(tooWide, 0)
	near = min(max(tooWide/2+p.offCentre(r), 0), tooWide)
	return near, tooWide - near
}

// cutTo returns the plan with its strip sets, which are sewn, cut as wide as
// that: they are not bought again.
func (p *Plan) cutTo(width float64) (*Plan, error) {
	q := *p
	q.Spec.Columns, q.Spec.Rows, q.Spec.Finish, q.Choice = p.Columns, p.Rows, nil, nil
	q.Spec.SewnWidth = width
	var err error
	if q.Set, err = q.Spec.stripSet(width); err != nil {
		return nil, err
	}
	q.ColumnStep, q.RowStep = steps(q.Set.Cutting)
	q.Finished = finished(q.Set.Cutting, q.Columns, q.Rows)
	q.Yield = q.Set.Yield(p.Yield.Length)
	q.Savings = Savings{Together: p.Savings.Together}
	q.Cutting, q.Cloth = nil, nil
	return &q, q.finishing()
}
