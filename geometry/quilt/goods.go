// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
)

// Purchase is what to buy of one fabric.
type Purchase = fabric.Purchase

// MaxKits is the most kits that are bought and cut together.
const MaxKits = 1000

// Goods is what is bought for one quilt or for several alike, and what is cut from
// it.
type Goods struct {
	Count   int     // of quilts
	Cloth   []Cloth // as in Plan
	Cutting []Whole // the bill of cutting, as in Plan; where a strip set takes a strip it stands Count times
	Borders []Purchase
	Backing Purchase // its Strips are panels
	Binding Purchase

	straighten func(length float64) (buy float64, unit string)
	spec       []Border
}

// Goods returns what one quilt takes.
func (p *Plan) Goods() Goods {
	g := Goods{Count: 1, Cloth: p.Cloth, Cutting: p.Cutting, Binding: p.Binding.Purchase, straighten: p.Spec.counter, spec: p.Spec.Borders}
	for _, b := range p.Borders {
		g.Borders = append(g.Borders, b.Purchase)
	}
	b := p.Backing
	g.Backing = Purchase{Strips: b.Panels, Length: b.Length, Buy: b.Buy, Unit: b.Unit}
	return g
}

// KitsFrom says why no kits can be packed of what the quilt is made from; nil where
// they can.
func (s Spec) KitsFrom(scraps bool) error {
	const instead = "take that line out, and give columns and rows (or finish), so that it is planned from cloth that is bought"
	switch {
	case scraps:
		return geometry.Wrong("scraps", "one scrap bin is there once, and each kit would need another like it", instead)
	case s.StripSets != 0:
		return geometry.Wrong("strip_sets", "these strip sets are there once, and each kit would need as many again", instead)
	}
	return nil
}

// Kits returns what so many quilts take that are all like the plan, bought and cut
// together: a strip of which one quilt uses only a part serves the next, and amounts
// are straightened and rounded up once. It is never more than as many times what one
// takes. A plan whose strip sets give no quilt has no kits.
//
// Errors: fewer than 1 or more than MaxKits, more strips than are reckoned with, and
// those of [Spec.KitsFrom]; each is a [*geometry.Error].
func (p *Plan) Kits(n int) (Goods, error) {
	if n < 1 || n > MaxKits {
		return Goods{}, geometry.Wrong("kits", fmt.Sprintf("%d is not within 1 to %d", n, MaxKits), "pack as many as the class has places, 20 for one")
	}
	if err := p.Spec.KitsFrom(p.FromScraps()); err != nil {
		return Goods{}, err
	}
	g := p.Goods()
	g.Count = n
	if strips := n * len(p.Fewest.Layouts) * len(p.Spec.Strips); strips > fabric.MaxStrips {
		return Goods{}, geometry.Wrong("kits", fmt.Sprintf("%d kits take %d strips, more than %d", n, strips, fabric.MaxStrips), "pack fewer at a time")
	}
	var err error
	if g.Cloth, g.Cutting, err = p.buy(p.sewing(), p.CommonLength, n); err != nil {
		return Goods{}, err
	}
	for i, b := range p.Borders {
		bolt := p.Spec.bolt(p.Spec.Borders[i].Fabric)
		bill, err := fabric.Strips([]fabric.Need{{Width: b.Cut, Number: n * b.Strips}}, bolt.Strip, bolt)
		if err != nil {
			return Goods{}, p.Spec.wrong("borders", err)
		}
		g.Borders[i] = bill.Purchase
	}
	g.Backing = times(g.Backing, n)
	g.Backing.Buy, _ = fabric.BuyLength(g.Backing.Length+float64(float64(g.Backing.Strips)*p.Spec.Straighten), p.Spec.Unit)
	g.Binding = times(g.Binding, n)
	g.Binding.Buy, _ = p.Spec.counter(g.Binding.Length)
	return g, nil
}

// times returns the strips of n purchases; what to buy is left as it is.
func times(p Purchase, n int) Purchase {
	p.Strips *= n
	p.Length = float64(p.Length * float64(n))
	return p
}

// BagPart is what something in the bag of a kit is for.
type BagPart int

// The parts.
const (
	ForStripSets BagPart = iota
	ForBorder
	ForBinding
	ForBacking
	ForBatting
)

// String returns "strip sets", "border", "binding", "backing" or "batting".
func (b BagPart) String() string {
	return [...]string{"strip sets", "border", "binding", "backing", "batting"}[b]
}

// Bagged is something of which Count lie in the bag of each kit.
type Bagged struct {
	For    BagPart
	Border int    // which, from 0
	Fabric string // its key; "" of backing, binding and batting
	Number int    // of the colour in the fabric, from 0; -1 where the pattern names none
	Colour Colour // black where it names none
	// Cut is the width, Length the length: of strips for strip sets at least so
	// long, of all others just that.
	Cut, Length float64
	Count       int
	StripSets   []int // which take it, from 0, rising, each once
}

// Bag returns what lies in the bag of one kit, in the order in which it is sewn.
func (p *Plan) Bag() (out []Bagged) {
	for _, w := range p.Cutting {
		for _, s := range w.Strips {
			i := slices.IndexFunc(out, func(b Bagged) bool { return b.Fabric == w.Fabric && b.Number == w.Number && b.Cut == s.Cut })
			if i < 0 {
				i = len(out)
				out = append(out, Bagged{Fabric: w.Fabric, Number: w.Number, Colour: w.Colour, Cut: s.Cut, Length: s.Length})
			}
			out[i].Count += w.Times * s.Count
			out[i].StripSets = append(out[i].StripSets, s.StripSets...)
		}
	}
	for i := range out {
		slices.Sort(out[i].StripSets)
		out[i].StripSets = slices.Compact(out[i].StripSets)
	}
	for i, b := range p.Borders {
		key := p.Spec.Borders[i].Fabric
		one := Bagged{For: ForBorder, Border: i, Fabric: key, Cut: b.Cut, Length: p.Spec.bolt(key).Strip, Count: b.Strips}
		if one.Colour = p.Spec.FirstColour(key); p.Spec.Colourful(key) {
			one.Number, one.Colour = -1, Colour{}
		}
		out = append(out, one)
	}
	wide, high := p.Spec.BackingWidth(), p.Backing.Panel
	return append(out,
		Bagged{For: ForBacking, Number: -1, Cut: wide, Length: high, Count: p.Backing.Panels},
		Bagged{For: ForBatting, Number: -1, Cut: p.Batting.Width, Length: p.Batting.Height, Count: 1},
		Bagged{For: ForBinding, Number: -1, Cut: p.Spec.BindingCut(), Length: p.Spec.UsableWidth, Count: p.Binding.Strips})
}

// Shopping is everything of one fabric that yardage is bought for.
type Shopping struct {
	Fabric Fabric
	For    []string // "strips", "border 1"
	Length float64
	Buy    float64
	Unit   string
}

// Shopping joins strips and borders of the same fabric into one length to
// buy, for fabrics with borders that come from yardage.
func (g Goods) Shopping() []Shopping {
	var out []Shopping
	for _, c := range g.Cloth {
		sum := Shopping{Fabric: c.Fabric, Length: c.Length, For: []string{"strips"}}
		for i, b := range g.Borders {
			if g.spec[i].Fabric == c.Key {
				sum.Length += b.Length
				sum.For = append(sum.For, fmt.Sprintf("border %d", i+1))
			}
		}
		if len(sum.For) > 1 && c.From == Yardage && len(c.ByColour) == 1 {
			sum.Buy, sum.Unit = g.straighten(sum.Length)
			out = append(out, sum)
		}
	}
	return out
}

// SharedFatQuarters returns the fat quarters of fabrics of which several widths
// are cut, so that strips of both may have to come from one.
func (g Goods) SharedFatQuarters() (out []Whole) {
	for _, w := range g.Cutting {
		if w.From == FatQuarters && slices.ContainsFunc(g.Cutting, func(o Whole) bool { return o.Fabric == w.Fabric && len(o.Strips) > 1 }) {
			out = append(out, w)
		}
	}
	return out
}
