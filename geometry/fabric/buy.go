// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"math"
	"strings"

	"lozenge/geometry"
)

// Source is how a fabric is bought.
type Source int

// The sources: off the bolt, by the fat quarter, as strips cut to width by the
// shop, or from a scrap bin, where nothing is bought.
const (
	Yardage Source = iota
	FatQuarters
	Precut
	Scraps
)

// String returns the source as the pattern file writes it: "yardage",
// "fat-quarters" or "strips"; "scraps" it writes in another way.
func (s Source) String() string { return [...]string{"yardage", "fat-quarters", "strips", "scraps"}[s] }

// Bolt is what strips are cut from.
type Bolt struct {
	Source Source
	// Strip is the longest strip that one gets: the usable width of fabric,
	// the long side of a fat quarter, or the length of the precut strip.
	Strip float64
	Unit  geometry.Unit
	// Straighten is what is lost once of each purchase of yardage when its cut
	// end is straightened.
	Straighten float64
}

// FatQuarterWidth returns the short side of a fat quarter, across which
// strips are cut: half a yard, 18 in, or 46 cm where fabric is sold by the
// metre.
func FatQuarterWidth(u geometry.Unit) float64 { return u.Of(18, 46) }

// FatQuarterLength returns how long strips along a fat quarter's longer side
// are, selvage off, where nothing else is said: fat quarters measure 18 by 19 to
// 22 in; 20 1/2 is safe to count on (common practice, no source), though patterns
// reckon with 21 (Today's Quilter, June 2024, "Diamond stars").
func FatQuarterLength(u geometry.Unit) float64 { return u.Of(20.5, 52) }

// BuyLength returns what to buy of the length, given in u, and its unit:
// yards in eighths or metres in tenths, rounded up; exactly a step is bought
// as that step. Nothing, or what is not a length, gives 0.
func BuyLength(length float64, u geometry.Unit) (buy float64, name string) {
	name, perStep := "yd", 8.0
	if u == geometry.Centimetre {
		name, perStep = "m", 10
	}
	if !(length > geometry.Fit) {
		return 0, name
	}
	step := u.Of(4.5, 10) // 1/8 yd or 0.1 m
	n := math.Ceil(length / step)
	if geometry.Fits(length, float64((n-1)*step)) {
		n--
	}
	return n / perStep, name
}

// Purchase is what to buy of one fabric.
type Purchase struct {
	// Strips is the number of strips to cut, each as long as the fabric
	// gives, or of precut strips.
	Strips int
	// Length is the strips' widths together: what they take off a bolt.
	Length float64
	// Buy is the amount to buy, rounded up, in Unit.
	Buy float64
	// Unit is "yd", "m", "fat quarters" or "strips".
	Unit string
}

// purchase returns what to buy when these whole pieces are cut, each strip
// into so many lengths.
func (b Bolt) purchase(wholes []Whole, each int) Purchase {
	p := Purchase{Unit: strings.ReplaceAll(b.Source.String(), "-", " ")}
	for _, w := range wholes {
		for _, c := range w.Cut {
			n := w.Times * ((c.Number + each - 1) / each)
			p.Strips += n
			p.Length += float64(c.Width * float64(n))
		}
		p.Buy += float64(w.Times)
	}
	if b.Source == Yardage {
		p.Buy, p.Unit = b.AtTheCounter(p.Length)
	}
	return p
}

// AtTheCounter returns what to buy of yardage so that so much is left when its cut
// end is straightened; nothing of nothing.
func (b Bolt) AtTheCounter(length float64) (buy float64, name string) {
	if !(length > geometry.Fit) {
		return BuyLength(0, b.Unit)
	}
	return BuyLength(length+b.Straighten, b.Unit)
}

// check refuses a bolt that gives no strip.
func (b Bolt) check(index int) error {
	if b.Source < Yardage || b.Source > Precut {
		return value{"source", index, float64(b.Source)}.fail(NotASource, 0, "buy yardage, fat quarters or strips")
	}
	return value{"length of a strip", index, b.Strip}.positive()
}

// checkWidth refuses a strip that is wider than a fat quarter when that is
// what it is cut from.
func (b Bolt) checkWidth(x value) error {
	if q := FatQuarterWidth(b.Unit); b.Source == FatQuarters && !geometry.Fits(x.v, q) {
		return x.fail(TooWide, q, "that is all a fat quarter gives; cut it from yardage, or make it narrower")
	}
	return nil
}
