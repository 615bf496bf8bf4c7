// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"math"
	"testing"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/strip"
)

// Worked figures that quilters have published, each with where it stands. Where a page
// rounded or slipped its figure stands in the words, and the row has the exact one, by the
// rule that the page gives. Inches, seams of 1/4.

// starWidth is how wide a star of eight 45 degree diamonds is, between the outermost of
// its tips: twice the way to one, at 22.5 degrees.
func starWidth(long float64) float64 { return 2 * long * math.Cos(math.Pi/8) }

func TestPublishedDiamonds(t *testing.T) {
	const (
		lone     = "http://www.angelfire.com/va3/jclane/LoneStar/LoneStar.html"
		experts  = "http://en.allexperts.com/q/Quilting-2339/2009/4/Strip-quilting.htm"
		olympic  = "https://quilterscompass.com/2014/02/20/olympic-challenge-day-14-cut-to-the-chase/"
		slaney   = "https://slaneyquiltingstudio.com/how-to-cut-the-hexagon-shape/"
		infinite = "http://www.quiltmaker.com/blogs/quiltypleasures/2013/04/a-bit-about-the-infinite-hexagon/comment-page-2/"
		half     = "https://lovelaughquilt.blogspot.com/2013/12/half-hexagons-new-beginning.html"
		faeries  = "https://faeriesandfibres.blogspot.com/2016/02/making-stars-in-hexagons-with-diamonds.html"
		eight    = "https://abcdocz.com/doc/174108/draw-on-the-line-8-pointed-star-tutorial---page-1"
	)
	of := func(angle geometry.Angle, cut float64) strip.Set {
		s, err := strip.New([]float64{cut, cut}, 0.25, angle, geometry.Matched, 0)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	// Of one strip, as those pages cut them.
	one := func(angle geometry.Angle, cut float64) geometry.Cutting {
		s, err := strip.New([]float64{cut}, 0.25, angle, geometry.Matched, 0)
		if err != nil {
			t.Fatal(err)
		}
		return s.Cutting
	}
	star, three := one(45, 2.25), one(45, 3)
	sharper := one(53.1301, 3.1833)
	flats := one(60, 2.75/2+0.5) // three such diamonds make a hexagon 2 3/4 across its flats
	side := func(finished float64, angle geometry.Angle) geometry.Cutting {
		return one(angle, finished*angle.Sin()+0.5)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"8 by 8 diamonds a point from strips cut 2 1/4: the star is about 69 square, " + lone, starWidth(8 * star.LongDiagonal()), 67.598},
		{"side of its points, same page", 8 * star.FinishedSide(), 19.799},
		{"its strips offset by 2, same page", of(45, 2.25).Offset(1), 1.750},
		{"45 degrees from a strip cut 3: 6 3/4 long, " + experts, three.LongDiagonal(), 6.5328},
		{"and 2 5/8 wide, same page", three.ShortDiagonal(), 2.7060},
		{"6 by 3 can't be had at 45 degrees, but at another angle: 6 long, same page", sharper.LongDiagonal(), 6.0000},
		{"and 3 wide, same page", sharper.ShortDiagonal(), 3.0000},
		{"strips cut 2 1/2 staggered at 60 degrees by 1 1/4, " + olympic, of(60, 2.5).Offset(1), 1.1547},
		{"a hexagon 2 3/4 across its flats: its side, " + slaney, flats.FinishedSide(), 1.5877},
		{"a hexagon is 2 sides across its points, " + infinite, 2 * flats.ShortDiagonal() / flats.FinishedSide(), 2},
		{"and 1.73 across its flats, same page", flats.LongDiagonal() / flats.FinishedSide(), 1.73205},
		{"half hexagon from a strip cut 2 3/4: all sides 3, " + half, one(60, 2.75).FinishedSide(), 2.5981},
		{"for finished sides of 3, same page", one(60, 3.0981).FinishedSide(), 3.0000},
		{"a star of six in a hexagon of side 3 has diamonds of side 1 1/2: their finished strip, " + faeries, side(1.5, 60).FinishedWidth(), 1.2990},
		{"an 18 star of eight: corner 5.2724, " + eight, 18 * side(1, 45).FinishedSide() / starWidth(side(1, 45).LongDiagonal()), 5.2721},
		{"half its side 3.75, same page", side(5.27208, 45).FinishedWidth(), 3.7279},
		{"2 by 3.414 is 6.828, same page", starWidth(side(2, 45).LongDiagonal()), 6.8284},
		{"2.125 by 3.414 is 7.2548, same page", starWidth(side(2.125, 45).LongDiagonal()), 7.2552},
	} {
		if math.Abs(c.got-c.want) > 6e-4 {
			t.Errorf("%s: %.5f, want %v", c.what, c.got, c.want)
		}
	}
	// As it is printed: no ruler shows more.
	if said := geometry.FormatLength(of(60, 2.5).Offset(1), geometry.Inch); said != "1 1/8 in (1.155)" {
		t.Errorf("%q", said)
	}
}

// TestPublishedPurchases: strips by fabric of a star of 8 by 8 diamonds, whose table
// gives 2 4 6 8 10 12 14 and 8 strips of 2 1/4 (the page says 16 for the last); each
// amount of the page is 1/8 yd more than it takes, to spare
// (http://www.angelfire.com/va3/jclane/LoneStar/LoneStar.html). 56 squares of 6 1/2 from
// 42: 6 a strip, 10 strips, 65 in are 1.8 yd, so 1 7/8 (https://cortezquiltcompany.com/,
// tip by Karen Childress). Binding of 45 by 60 with 12 to spare from 40: 222/40 is 5.55, so
// 6 strips of 2 1/2, 15 in, 1/2 yd (https://www.ablockaway.com/how-to-bind-a-quilt.htm).
func TestPublishedPurchases(t *testing.T) {
	bolt := func(usable float64) fabric.Bolt { return fabric.Bolt{Strip: usable} }
	for i, n := range []int{2, 4, 6, 8, 10, 12, 14} {
		bill, err := fabric.Strips([]fabric.Need{{Width: 2.25, Number: n}}, 42, bolt(42))
		if want := float64(i+1) / 8; err != nil || bill.Buy != want {
			t.Errorf("%d strips: %v yd, %v, want %v", n, bill.Buy, err, want)
		}
	}
	bill, err := fabric.Strips([]fabric.Need{{Width: 6.5, Number: 56}}, 6.5, bolt(42))
	if err != nil || bill.Each != 6 || bill.Strips != 10 || bill.Length != 65 || bill.Buy != 1.875 {
		t.Errorf("%+v, %v", bill, err)
	}
	binding, err := fabric.Bind(fabric.Size{Width: 45, Height: 60}, 2.5, 12, 40, 0, geometry.Inch)
	if err != nil || binding.Total != 222 || binding.Strips != 6 || binding.Length != 15 || binding.Buy != 0.5 {
		t.Errorf("%+v, %v", binding, err)
	}
}

// TestPractice: fat quarters are 19 to 22 in long, and 20 1/2 is safe to count on; mitred
// borders are cut 2 to 4 in longer than to their points (common practice, no source).
func TestPractice(t *testing.T) {
	if l := fabric.FatQuarterLength(geometry.Inch); l != 20.5 {
		t.Errorf("fat quarters %v long", l)
	}
	if extra := fabric.MitreExtra(geometry.Inch); extra < 2 || extra > 4 {
		t.Errorf("mitred borders %v longer", extra)
	}
}
