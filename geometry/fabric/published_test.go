// SPDX-License-Identifier: Apache-2.0

package fabric_test

import (
	"errors"
	"math"
	"testing"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
)

// Worked examples that quilters have published, each with where it stands.
// Where a page slipped, the comment gives the page's figure and the row the
// exact one. Inches and yards.

func yardage(width float64) fabric.Bolt { return fabric.Bolt{Source: fabric.Yardage, Strip: width} }
func fatQuarter(long float64) fabric.Bolt {
	return fabric.Bolt{Source: fabric.FatQuarters, Strip: long}
}
func precut(long float64) fabric.Bolt { return fabric.Bolt{Source: fabric.Precut, Strip: long} }

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9 }

func TestPublishedYardFractions(t *testing.T) {
	for _, c := range []struct{ inches, buy float64 }{
		// https://scissortailquilting.com/convert-fabric-measurements/?amp=1
		// https://catbirdquilts.wordpress.com/2014/02/07/fraction-conversions/
		{4.5, 1. / 8}, {9, 1. / 4}, {13.5, 3. / 8}, {18, 1. / 2}, {22.5, 5. / 8}, {27, 3. / 4}, {31.5, 7. / 8},
		// Thirds are sold too; in eighths they are the next one up.
		{12, 3. / 8}, {24, 3. / 4},
		{36, 1}, {0, 0}, {4.5 + 1e-6, 1. / 4}, {4.5 + 1e-12, 1. / 8}, {1e-3, 1. / 8},
	} {
		if buy, unit := fabric.BuyLength(c.inches, geometry.Inch); buy != c.buy || unit != "yd" {
			t.Errorf("%v in: buy %v %s, want %v yd", c.inches, buy, unit, c.buy)
		}
	}
	for _, c := range []struct{ cm, buy float64 }{
		{10, 0.1}, {10.01, 0.2}, {30.000000000000004, 0.3}, {100, 1}, {91.44, 1}, {110, 1.1}, {-3, 0}, {math.NaN(), 0},
	} {
		if buy, unit := fabric.BuyLength(c.cm, geometry.Centimetre); buy != c.buy || unit != "m" {
			t.Errorf("%v cm: buy %v %s, want %v m", c.cm, buy, unit, c.buy)
		}
	}
	// A fat quarter is a quarter of a yard as area, cut half a yard long.
	if buy, _ := fabric.BuyLength(fabric.FatQuarterWidth(geometry.Inch), geometry.Inch); buy != 0.5 {
		t.Errorf("a fat quarter is %v yd long, want 1/2", buy)
	}
}

func TestPublishedStrips(t *testing.T) {
	for _, c := range []struct {
		source string
		need   fabric.Need
		long   float64
		bolt   fabric.Bolt
		want   fabric.Purchase
	}{
		{"two strips cut 8 take 1/2 yd: http://quilt-it.blogspot.com/2012/06/wanna-tri-cutting-triangles.html",
			fabric.Need{8, 2}, 42, yardage(42), fabric.Purchase{2, 16, 0.5, "yd"}},
		{"and come out of one fat quarter: same page",
			fabric.Need{8, 2}, 21, fatQuarter(21), fabric.Purchase{2, 16, 1, "fat quarters"}},
		{"a fat quarter of 18 x 21 gives six strips of 3: Today's Quilter 2024-06-05, https://gb.readly.com/magazines/todays-quilter/2024-06-05/664b8fb9f8a1de168b55dbf3",
			fabric.Need{3, 6}, 21, fatQuarter(21), fabric.Purchase{6, 18, 1, "fat quarters"}},
		{"7 fat quarters give 42 of them: same page",
			fabric.Need{3, 42}, 21, fatQuarter(21), fabric.Purchase{42, 126, 7, "fat quarters"}},
		{"300 of 3 x 2 from 40: 13 a strip, 24 strips, 48 in = 1 1/3 yd: https://www.bobbininquilts.com/blogs/news/how-to-figure-out-how-much-fabric-you-need-for-your-quilt",
			fabric.Need{2, 300}, 3, yardage(40), fabric.Purchase{24, 48, 1.375, "yd"}},
		{"42/7.75 = 5.42 gives 5: http://quilterscache.com/StartQuiltingPages/startquiltingtwo.html",
			fabric.Need{7.75, 5}, 7.75, yardage(42), fabric.Purchase{1, 7.75, 0.25, "yd"}},
		{"and not a sixth: same page",
			fabric.Need{7.75, 6}, 7.75, yardage(42), fabric.Purchase{2, 15.5, 0.5, "yd"}},
		{"42/14 = 3 exactly: same page",
			fabric.Need{14, 3}, 14, yardage(42), fabric.Purchase{1, 14, 0.5, "yd"}},
		{"and not a fourth: same page",
			fabric.Need{14, 4}, 14, yardage(42), fabric.Purchase{2, 28, 0.875, "yd"}},
		// "About 2 3/4 yd" is rounded: 2.78.
		{"a roll of 40 strips of 2 1/2 holds 2.78 yd: https://quiltnotes.com/learning-center/precut-fabric/",
			fabric.Need{2.5, 40}, 42, yardage(42), fabric.Purchase{40, 100, 2.875, "yd"}},
		{"the same roll, bought by the strip",
			fabric.Need{2.5, 40}, 42, precut(42), fabric.Purchase{40, 100, 40, "strips"}},
		{"two fat eighths, 9 x 22, make a fat quarter: https://www.sewmucheasier.com/pre-cut-fabric-explained",
			fabric.Need{9, 2}, 22, fatQuarter(22), fabric.Purchase{2, 18, 1, "fat quarters"}},
	} {
		got, err := fabric.Strips([]fabric.Need{c.need}, c.long, c.bolt)
		if err != nil || got.Purchase != c.want {
			t.Errorf("%s:\n got %+v, %v\nwant %+v", c.source, got, err, c.want)
		}
	}
}

// TestPublishedSquares: how many squares of a size one yard, or one fat
// quarter, gives: that many must take it, and one more must take more.
func TestPublishedSquares(t *testing.T) {
	const page = "http://www.quilterscache.com/M/MathChartsPage.html"
	for _, c := range []struct {
		size   float64
		number int
		bolt   fabric.Bolt
	}{
		// From one yard. The page's header says 42 x 36; its figures hold at 44.
		{1, 1584, yardage(44)}, {1.5, 696, yardage(44)}, {2, 396, yardage(44)}, {2.5, 238, yardage(44)},
		{3.5, 120, yardage(44)}, {4.5, 72, yardage(44)}, {5, 56, yardage(44)}, {6.5, 30, yardage(44)},
		{8.5, 20, yardage(44)}, {10.5, 12, yardage(44)}, {12.5, 6, yardage(44)},
		{7, 30, yardage(44)},    // the page says 35
		{2.5, 224, yardage(42)}, // what the header would give
		// From one fat quarter of 18 x 22.
		{2, 99, fatQuarter(22)}, {2.5, 56, fatQuarter(22)}, {3, 42, fatQuarter(22)}, {3.5, 30, fatQuarter(22)},
		{4, 20, fatQuarter(22)}, {4.5, 16, fatQuarter(22)}, {5, 12, fatQuarter(22)}, {6, 9, fatQuarter(22)},
		{6.5, 6, fatQuarter(22)},
	} {
		for extra := range 2 {
			got, err := fabric.Strips([]fabric.Need{{c.size, c.number + extra}}, c.size, c.bolt)
			if err != nil || (got.Buy <= 1) != (extra == 0) {
				t.Errorf("%d squares of %v from %v: %+v, %v; one gives %d (%s)",
					c.number+extra, c.size, c.bolt, got, err, c.number, page)
			}
		}
	}
}

func TestPublishedBindings(t *testing.T) {
	const forum = "http://www.quiltingboard.com/main-f1/binding-math-t189575.html"
	for _, c := range []struct {
		source                    string
		outer                     fabric.Size
		cut, extra, usable, seam  float64
		total, strips, length, yd float64
	}{
		// The page buys 1/2 yd, more than enough.
		{"https://www.sylviasquiltdepot.com/measuring-fabric-for-continuous-strips.htm",
			fabric.Size{46, 46}, 2.5, 0, 40, 0.25, 184, 5, 12.5, 0.375},
		// 40 less 2 a strip is what is left by a join on the diagonal of strips cut 2.
		{"http://castillejacotton.blogspot.com/2013/06",
			fabric.Size{50, 60}, 2, 0, 40, 1, 220, 6, 12, 0.375},
		{"the same, as the page divides: 220/38 = 5.79",
			fabric.Size{50, 60}, 2, 0, 38, 0, 220, 6, 12, 0.375},
		// The page says 3/4 yd, which is 27 in and half an inch short.
		{forum, fabric.Size{96, 110}, 2.5, 12, 40, 0.25, 424, 11, 27.5, 0.875},
		// By area the same thread gets 0.714 yd, which whole strips don't fit.
		{forum, fabric.Size{96, 110}, 2.5, 20, 42, 0.25, 432, 11, 27.5, 0.875},
		// 4.29 x 3.5 = 15 there; 17.5 in whole strips: 1/2 yd both times.
		{"https://cottonpatchfabrics.com/cgi-bin/Store/store.cgi (How to measure for binding)",
			fabric.Size{40, 50}, 3.5, 0, 42, 0.25, 180, 5, 17.5, 0.5},
		{"arithmetic, no source: 2 x (60 + 72) + 10 = 274; 274/42 = 6.5, so 7 strips of 2 1/2 = 17 1/2 in, 1/2 yd = 18 in",
			fabric.Size{60, 72}, 2.5, 10, 42, 0.25, 274, 7, 17.5, 0.5},
		// The magazine buys 3/4 yd for whatever width it cuts: enough up to 3 3/4.
		{"66 x 72: Today's Quilter 2024-06-05, https://gb.readly.com/magazines/todays-quilter/2024-06-05/664b8fb9f8a1de168b55dbf3",
			fabric.Size{66, 72}, 3.75, 10, 42, 0.25, 286, 7, 26.25, 0.75},
	} {
		got, err := fabric.Bind(c.outer, c.cut, c.extra, c.usable, c.seam, geometry.Inch)
		want := fabric.Binding{c.total, fabric.Purchase{int(c.strips), c.length, c.yd, "yd"}}
		if err != nil || got != want {
			t.Errorf("%s:\n got %+v, %v\nwant %+v", c.source, got, err, want)
		}
	}
	// Overages over the perimeter that pages give: + 8 (https://5minpourcreer.com/to-sew/how-do-you-calculate-quilt-binding.html),
	// + 16 (https://www.quiltingboard.com/8276918-post1.html), + 24
	// (https://quicktipssewing.blogspot.com/2011/11/quick-tip-how-much-fabric-for-binding.html).
	for _, extra := range []float64{8, 16, 24} {
		if b, err := fabric.Bind(fabric.Size{50, 60}, 2.5, extra, 40, 0.25, geometry.Inch); err != nil || b.Total != 220+extra {
			t.Errorf("220 round and %v: %+v, %v", extra, b, err)
		}
	}
}

func TestPublishedBackings(t *testing.T) {
	const (
		gulf     = "https://gulfcoastmakers.com/mosaicism/how-do-you-figure-the-backing-for-a-quilt.html"
		tomorrow = "http://sewtodaycleantomorrow.blogspot.com/2014/09/quilting-maths-part-two.html"
		board    = "https://www.quiltingboard.com/7400852-post21.html"
		cherry   = "https://cherryblossomlove.com/how-to-sew/your-question-how-do-i-figure-out-how-much-fabric-i-need-for-the-back-of-a-quilt.html"
		magazine = "Today's Quilter 2024-06-05, https://gb.readly.com/magazines/todays-quilter/2024-06-05/664b8fb9f8a1de168b55dbf3"
	)
	for _, c := range []struct {
		source        string
		outer         fabric.Size
		usable, extra float64
		up, across    fabric.Backing
		lengthwise    bool
	}{
		{gulf, fabric.Size{60, 70}, 42, 4,
			fabric.Backing{68, 78, 2, true, 78, 156, 4.375, "yd"},
			fabric.Backing{68, 78, 2, false, 68, 136, 3.875, "yd"}, false},
		{tomorrow, fabric.Size{36, 45}, 42, 4,
			fabric.Backing{44, 53, 2, true, 53, 106, 3, "yd"},
			fabric.Backing{44, 53, 2, false, 44, 88, 2.5, "yd"}, false},
		// 130 in = 3.611 yd, or 156 in = 4 1/3 yd.
		{board, fabric.Size{65, 78}, 42, 0,
			fabric.Backing{65, 78, 2, true, 78, 156, 4.375, "yd"},
			fabric.Backing{65, 78, 2, false, 65, 130, 3.625, "yd"}, false},
		// The page takes two of 96 in = 5 1/3 yd and rounds up to eighths. Three
		// of 52 in from side to side take less: the exact answer is 4 3/8 yd.
		{cherry, fabric.Size{52, 96}, 43, 0,
			fabric.Backing{52, 96, 2, true, 96, 192, 5.375, "yd"},
			fabric.Backing{52, 96, 3, false, 52, 156, 4.375, "yd"}, false},
		// The page buys 4 yd for 74 x 80: 148 in are 4.11 yd, so that is short.
		{magazine, fabric.Size{66, 72}, 42, 4,
			fabric.Backing{74, 80, 2, true, 80, 160, 4.5, "yd"},
			fabric.Backing{74, 80, 2, false, 74, 148, 4.125, "yd"}, false},
		// 4 yd leaves 3 on each side.
		{magazine, fabric.Size{66, 72}, 42, 3,
			fabric.Backing{72, 78, 2, true, 78, 156, 4.375, "yd"},
			fabric.Backing{72, 78, 2, false, 72, 144, 4, "yd"}, false},
	} {
		up, across, err := fabric.BackBothWays(c.outer, c.usable, c.extra, 0.25, geometry.Inch)
		if err != nil || up != c.up || across != c.across {
			t.Errorf("%s:\n got %+v\n     %+v, %v\nwant %+v\n     %+v", c.source, up, across, err, c.up, c.across)
		}
		got, err := fabric.Back(c.outer, c.usable, c.extra, 0.25, geometry.Inch)
		if err != nil || got.Lengthwise != c.lengthwise {
			t.Errorf("%s: took %+v, %v", c.source, got, err)
		}
	}
}

func TestPublishedBattings(t *testing.T) {
	for _, c := range []struct {
		source string
		outer  fabric.Size
		extra  float64
		want   fabric.Size
	}{
		{"+ 8 each way: Today's Quilter 2024-06-05, https://gb.readly.com/magazines/todays-quilter/2024-06-05/664b8fb9f8a1de168b55dbf3",
			fabric.Size{66, 72}, 4, fabric.Size{74, 80}},
		{"http://sewtodaycleantomorrow.blogspot.com/2014/09/quilting-maths-part-two.html",
			fabric.Size{36, 45}, 2, fabric.Size{40, 49}},
		{"+ 6 to each dimension: the crib quilt takes the crib package, http://www.honeybegood.com/blogs/resources/12653533-common-quilt-and-batting-sizes",
			fabric.Size{39, 54}, 3, fabric.Size{45, 60}},
	} {
		if got := fabric.Batt(c.outer, c.extra); got != c.want {
			t.Errorf("%s: %v, want %v", c.source, got, c.want)
		}
	}
}

func TestPublishedShrinkage(t *testing.T) {
	for _, c := range []struct {
		source            string
		before            float64
		shrinkage, takeUp float64
		after             float64
	}{
		{"good cotton 2 %: http://www.all-about-quilts.com/fabric-shrinkage.html", 100, 2, 0, 98},
		{"poor cotton 6 %: same page", 100, 6, 0, 94},
		// 90 x 5 % = 4.5, so plan 95: https://www.quiltingboard.com/6723231-post13.html
		{"95 still gives 90 after 5 %", 95, 5, 0, 90.25},
		{"90 + 4.5 would not", 94.5, 5, 0, 89.775},
		{"take-up first, then what is left shrinks", 100, 5, 3, 92.15},
	} {
		got := fabric.AfterWashing(fabric.Size{c.before, 2 * c.before}, c.shrinkage, c.takeUp)
		if !near(got.Width, c.after) || !near(got.Height, 2*c.after) {
			t.Errorf("%s: %v becomes %v, want %v", c.source, c.before, got, c.after)
		}
	}
	// Measured before and after quilting: 2.2 to 3.6 % (rounded to 0.05) drawn in,
	// https://melgeecrafts.com/needlework/your-question-how-much-does-fabric-shrink-when-you-quilt-it.html
	for _, c := range []struct{ before, after fabric.Size }{
		{fabric.Size{83, 105}, fabric.Size{80, 102}},
		{fabric.Size{57, 68}, fabric.Size{55.5, 66.5}},
		{fabric.Size{66.75, 84.625}, fabric.Size{64.75, 82.75}},
		{fabric.Size{69, 69}, fabric.Size{67.25, 67.25}},
	} {
		most, least := fabric.AfterWashing(c.before, 0, 2.15), fabric.AfterWashing(c.before, 0, 3.65)
		if c.after.Width < least.Width || c.after.Width > most.Width ||
			c.after.Height < least.Height || c.after.Height > most.Height {
			t.Errorf("%v was measured as %v after quilting, computed %v to %v", c.before, c.after, least, most)
		}
	}
	// The square one is drawn in alike both ways: 1 3/4 of 69.
	if got := fabric.AfterWashing(fabric.Size{69, 69}, 0, 100*1.75/69); !near(got.Width, 67.25) || !near(got.Height, 67.25) {
		t.Errorf("69 x 69 becomes %v, want 67 1/4", got)
	}
}

// TestFatQuarterLengths: fat quarters are sold 18 x 19 to 22
// (https://www.quiltingboard.com/main-f1/fat-quarter-conversion-t222332.html):
// a strip of 21 can't come from the short ones.
func TestFatQuarterLengths(t *testing.T) {
	for _, long := range []float64{19, 20, 21, 22} {
		_, err := fabric.Strips([]fabric.Need{{2.5, 1}}, 21, fatQuarter(long))
		var bad *fabric.Error
		if fits := long >= 21; fits != (err == nil) || !fits && (!errors.As(err, &bad) || bad.Rule != fabric.TooLong || bad.Limit != long) {
			t.Errorf("18 x %v: %v", long, err)
		}
	}
}
