// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
)

// Whole is a whole piece of fabric in one colour, as it is bought, and the
// strips that are cut from it; Times of them are cut alike. All of a plan are
// its bill of cutting: what is bought, cut and sewn is read off it.
type Whole struct {
	Fabric string // its key
	Colour Colour
	Number int    // of the colour in the fabric, from 0
	Name   string // of a scrap, as she knows it; "" otherwise
	From   Source
	// Width is what lies across the strips, Length along them: of yardage
	// what is cut off the bolt and the usable width.
	Width, Length float64
	Times         int
	Strips        []StripCut // in the order of the strip set
}

// StripCut is strips of one width that are cut from a whole piece.
type StripCut struct {
	Cut       float64 // their width
	Strip     int     // of the strip set, from 0: the lowest one that is as wide
	Full      int     // strips as long as the piece, from one of them
	Length    float64 // of the strips as they are sewn: Plan.CommonLength, or, from scraps, of their strip sets or the whole strip
	Count     int     // lengths from one piece
	StripSets []int   // into which those of all Times go, from 0, rising; the same one twice for two of its strips
}

// buy returns what to buy of each fabric for so many quilts alike when every strip
// set takes strips of that length, and the bill of cutting.
func (p *Plan) buy(f sewing, length float64, quilts int) (cloth []Cloth, bill []Whole, err error) {
	for i, st := range p.Spec.Strips {
		if slices.ContainsFunc(p.Spec.Strips[:i], func(o Strip) bool { return o.Fabric == st.Fabric }) {
			continue
		}
		c := Cloth{Fabric: p.Spec.fabric(st.Fabric)}
		for number := range c.Colours {
			one, err := p.buyColour(&c, f, number, length, quilts)
			if err != nil {
				return nil, nil, p.Spec.wrong("fabrics."+st.Fabric, err)
			}
			bill = append(bill, one...)
		}
		cloth = append(cloth, c)
	}
	return cloth, bill, nil
}

// buyColour adds what to buy of one colour to a cloth, and returns its part of
// the bill.
func (p *Plan) buyColour(c *Cloth, f sewing, number int, length float64, quilts int) ([]Whole, error) {
	sets := p.takes(f, c.Key, number)
	var needs []fabric.Need
	for i, k := range sets {
		if len(k) > 0 {
			needs = append(needs, fabric.Need{Width: p.Spec.Strips[i].Cut, Number: len(k)})
		}
	}
	if len(needs) == 0 {
		return nil, nil
	}
	bought, err := fabric.StripsOf(needs, length, p.Spec.bolt(c.Key), quilts)
	if err != nil {
		return nil, err
	}
	c.ByColour = append(c.ByColour, ColourCloth{c.Colours[number], number, bought.Purchase, bought.Least})
	c.PerStrip, c.Unit = bought.Each, bought.Unit
	c.Strips += bought.Strips
	c.Length += bought.Length
	c.Buy += bought.Buy
	for i, k := range sets {
		sets[i] = repeated(k, quilts)
	}
	var out []Whole
	for _, w := range bought.Wholes {
		one := Whole{Fabric: c.Key, Colour: c.Colours[number], Number: number, From: w.Source, Width: w.Width, Length: w.Length, Times: w.Times}
		for i := range sets {
			for _, cut := range w.Cut {
				if len(sets[i]) == 0 || cut.Width != p.Spec.Strips[i].Cut {
					continue
				}
				n := cut.Number * w.Times
				one.Strips = append(one.Strips, StripCut{cut.Width, i, (cut.Number + bought.Each - 1) / bought.Each, length, cut.Number, sets[i][:n:n]})
				sets[i] = sets[i][n:]
				c.Pieces += n
			}
		}
		out = append(out, one)
	}
	return out, nil
}

// repeated returns each of the numbers so many times.
func repeated(numbers []int, times int) []int {
	if times == 1 {
		return numbers
	}
	out := make([]int, 0, len(numbers)*times)
	for _, n := range numbers {
		for range times {
			out = append(out, n)
		}
	}
	return out
}

// takes returns the strip sets that take a colour of a fabric, for each width:
// those of all strips as wide stand at the lowest.
func (p *Plan) takes(f sewing, key string, number int) [][]int {
	out := make([][]int, len(p.Spec.Strips))
	lowest := make([]int, len(out))
	for i, st := range p.Spec.Strips {
		lowest[i] = slices.IndexFunc(p.Spec.Strips, func(o Strip) bool {
			return o.Fabric == st.Fabric && geometry.Fits(o.Cut, st.Cut) && geometry.Fits(st.Cut, o.Cut)
		})
	}
	for k := range f.Layouts {
		for i, c := range p.Spec.colourNumbers(k, f.numbers) {
			if c == number && p.Spec.Strips[i].Fabric == key {
				out[lowest[i]] = append(out[lowest[i]], k)
			}
		}
	}
	return out
}

// StripCuts returns the strips of a fabric by their widths, in the order of
// the strip set, those of all its whole pieces together: as many as [Cloth]
// says.
func (p *Plan) StripCuts(c Cloth) []StripCut {
	var out []StripCut
	for _, w := range p.Cutting {
		if w.Fabric != c.Key {
			continue
		}
		for _, s := range w.Strips {
			i := slices.IndexFunc(out, func(o StripCut) bool { return o.Strip == s.Strip })
			if i < 0 {
				i = len(out)
				out = append(out, StripCut{Cut: s.Cut, Strip: s.Strip, Length: s.Length})
			}
			out[i].Full += w.Times * s.Full
			out[i].Count += w.Times * s.Count
			out[i].StripSets = append(out[i].StripSets, s.StripSets...)
		}
	}
	slices.SortFunc(out, func(a, b StripCut) int { return a.Strip - b.Strip })
	return out
}

// SewnLength returns how long strip sets can be sewn from the strips of the
// bill of cutting, end trim off: those of a fabric that gives two lengths from
// each strip are half as long as it.
func (p *Plan) SewnLength() float64 {
	length := p.Yield.Length
	if p.sewn != nil {
		return length
	}
	for _, c := range p.Cloth {
		length = min(length, p.Spec.bolt(c.Key).Strip/float64(c.PerStrip)-p.Spec.EndTrim)
	}
	return length
}
