// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/strip"
)

// Cloth is one fabric of the strips: how much of it to cut and to buy, as the
// bill of cutting has it.
type Cloth struct {
	Fabric
	fabric.Purchase               // of all colours together
	Pieces          int           // strips for strip sets, each CommonLength long
	PerStrip        int           // how many of those a strip of this fabric gives
	ByColour        []ColourCloth // those that are needed; each is bought by itself
}

// ColourCloth is one colour of a fabric.
type ColourCloth struct {
	Colour Colour
	Number int // of the colour in the fabric, from 0
	fabric.Purchase
	Least int // whole pieces below which there is no way; see [fabric.Bill]
}

// Colour returns what to buy of the colour with that number, from 0; false for
// one that no strip set needs.
func (c Cloth) Colour(number int) (ColourCloth, bool) {
	for _, one := range c.ByColour {
		if one.Number == number {
			return one, true
		}
	}
	return ColourCloth{}, false
}

// cloth works out what to buy for strips, borders, backing and binding, and
// the size of the batting.
func (p *Plan) cloth() error {
	if p.Fewest.OK() && len(p.Fewest.Layouts) > 0 {
		if err := p.commonLength(); err != nil {
			return err
		}
	}
	return p.finishing()
}

// finishing works out borders, backing, binding and batting.
func (p *Plan) finishing() error {
	s := p.Spec
	var specs []fabric.BorderSpec
	for _, b := range s.Borders {
		specs = append(specs, fabric.BorderSpec{Cut: b.Cut, Mitred: b.Corners == Mitred, Bolt: s.bolt(b.Fabric)})
	}
	var err error
	if p.Borders, err = fabric.Borders(fabric.Size(p.Finished), s.Seam, specs); err != nil {
		return s.wrong("borders", err)
	}
	p.Outer = p.Finished
	if n := len(p.Borders); n > 0 {
		p.Outer = Size(p.Borders[n-1].Outer)
	}
	outer, u := fabric.Size(p.Outer), s.Unit
	if p.Backing, err = fabric.Back(outer, s.BackingWidth(), s.Backing.Extra, s.Seam, u); err != nil {
		return s.wrong("backing", err)
	}
	if p.Binding, err = fabric.Bind(outer, s.BindingCut(), s.Binding.Extra, s.UsableWidth, s.bindingSeam(), u); err != nil {
		return s.wrong("binding", err)
	}
	p.Backing.Buy, p.Backing.Unit = fabric.BuyLength(p.Backing.Length+float64(float64(p.Backing.Panels)*s.Straighten), u)
	p.Binding.Buy, p.Binding.Unit = s.counter(p.Binding.Length)
	p.Batting = Size(fabric.Batt(outer, s.Batting.Extra))
	p.Washed = Size(fabric.AfterWashing(outer, s.Shrinkage, s.TakeUp))
	return nil
}

// wrong says what is wrong with a field, or with the border of a list of them.
func (s Spec) wrong(field string, err error) error {
	reason := err.Error()
	var bad *fabric.Error
	if errors.As(err, &bad) {
		reason = bad.In(s.Unit)
		if field == "borders" && bad.Index >= 0 {
			field = fmt.Sprintf("borders[%d].cut", bad.Index)
		}
	}
	return geometry.Wrong(field, reason, "")
}

// BindingCut returns how wide the strips of the binding are cut: 2 1/2 in or
// 6.5 cm where nothing else is said.
func (s Spec) BindingCut() float64 { return cmp.Or(s.Binding.Cut, s.Unit.Of(2.5, 6.5)) }

// BackingWidth returns the usable width of the fabric of the backing: that of all
// fabric where nothing else is said.
func (s Spec) BackingWidth() float64 { return cmp.Or(s.Backing.UsableWidth, s.UsableWidth) }

// bolt returns what strips of a fabric are cut from.
func (s Spec) bolt(key string) fabric.Bolt {
	f := s.fabric(key)
	return fabric.Bolt{Source: f.From, Strip: cmp.Or(f.StripLength, s.UsableWidth), Unit: s.Unit, Straighten: s.Straighten}
}

// counter returns what to buy of yardage so that so much is left when its end is
// straightened.
func (s Spec) counter(length float64) (buy float64, name string) {
	return fabric.Bolt{Unit: s.Unit, Straighten: s.Straighten}.AtTheCounter(length)
}

// bindingSeam returns half of what a join of the binding takes: on the diagonal
// that is its strips' width.
func (s Spec) bindingSeam() float64 {
	if s.Binding.Joins == StraightJoins {
		return s.Seam
	}
	return s.BindingCut() / 2
}

// mostLengths bounds the lengths that are tried for a fabric many times as long as
// the shortest.
const mostLengths = 24

// commonLength chooses how long the strips of all strip sets are cut. The
// shortest fabric's strips allow the fewest strip sets; a shorter length that
// still allows them may get more strips out of each of a longer fabric. Only
// lengths that divide a strip of some fabric evenly can do that.
func (p *Plan) commonLength() error {
	longest := p.Spec.shortestStrip()
	tried := []float64{longest}
	for _, st := range p.Spec.Strips {
		whole := p.Spec.bolt(st.Fabric).Strip
		if whole <= longest+geometry.Fit {
			continue
		}
		first := max(2, math.Floor(whole/longest))
		for k := first; whole/k > longest/4 && k < first+mostLengths; k++ {
			if l := whole / k; l < longest && !slices.Contains(tried, l) {
				tried = append(tried, l)
			}
		}
	}
	best := math.Inf(1)
	for i, length := range tried {
		f := p.sewing()
		if i > 0 {
			if length <= p.Spec.EndTrim {
				continue
			}
			terms := p.terms(length - p.Spec.EndTrim)
			if f = p.fewest(p.groups, terms); !f.OK() || len(f.Layouts) > len(p.Fewest.Layouts) {
				continue // whichever colours they have
			}
			if f = p.coloured(f, terms); len(f.Layouts) > len(p.Fewest.Layouts) || f.matches < p.matches {
				continue
			}
		}
		used := p.longestRow(f.Fewest) + p.Spec.EndTrim
		cloth, cutting, err := p.buy(f, used, 1)
		if err != nil {
			return err
		}
		area := 0.0
		for _, c := range cloth {
			area += c.Length
		}
		if area < best-geometry.Fit {
			best, p.Cloth, p.Cutting, p.CommonLength = area, cloth, cutting, used
			p.sew(f)
		}
	}
	return nil
}

func (p *Plan) longestRow(f strip.Fewest) float64 {
	longest := 0.0
	for _, l := range alike(f.Layouts, p.SetLength) {
		longest = max(longest, p.Set.Uses(l.Layout))
	}
	return longest
}

// MitreExtra returns by how much mitred borders are cut longer than to their points.
func (p *Plan) MitreExtra() float64 { return fabric.MitreExtra(p.Spec.Unit) }
