// SPDX-License-Identifier: Apache-2.0

package fabric_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
)

// shopping is a case for the strips: so many of each width, all as long, in
// grains.
type shopping struct {
	unit   geometry.Unit
	source fabric.Source
	strip  int
	long   int
	widths []int
	number []int
}

func drawShopping(t *rapid.T) shopping {
	s := shopping{
		unit:   rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit"),
		source: rapid.SampledFrom([]fabric.Source{fabric.Yardage, fabric.FatQuarters, fabric.Precut}).Draw(t, "source"),
	}
	g := grains(s.unit)
	s.strip = rapid.IntRange(10*g, 45*g).Draw(t, "strip")
	s.widths = rapid.SliceOfNDistinct(rapid.IntRange(g/2, 18*g), 1, 3, rapid.ID).Draw(t, "widths")
	// Simple parts of the strip fill it exactly.
	s.long = rapid.OneOf(
		rapid.IntRange(g/2, s.strip),
		rapid.Custom(func(t *rapid.T) int { return max(1, s.strip/rapid.IntRange(1, 7).Draw(t, "part")) })).Draw(t, "length")
	for range s.widths {
		s.number = append(s.number, rapid.IntRange(1, 4).Draw(t, "number"))
	}
	return s
}

// needs returns the case as it is asked for, in an order of its own.
func (s shopping) needs(t *rapid.T) []fabric.Need {
	var out []fabric.Need
	for i, w := range s.widths {
		some := rapid.IntRange(0, s.number[i]).Draw(t, "asked for first")
		out = append(out, fabric.Need{Width: length(w, s.unit), Number: some}, fabric.Need{Width: length(w, s.unit), Number: s.number[i] - some})
	}
	return rapid.Permutation(out).Draw(t, "order")
}

// pieces returns the lengths of a width.
func (s shopping) pieces(i int) []int { return slices.Repeat([]int{s.long}, s.number[i]) }

// keep checks that the bill can be cut as it says, and gives all strips.
func (s shopping) keep(t *rapid.T, b fabric.Bill) {
	has := make([]int, len(s.widths))
	for _, w := range b.Wholes {
		used := 0.0
		for _, c := range w.Cut {
			i := slices.IndexFunc(s.widths, func(x int) bool { return length(x, s.unit) == c.Width })
			has[i] += w.Times * c.Number
			used += c.Width * float64(fewestRows(slices.Repeat([]int{s.long}, c.Number), s.strip))
		}
		if used > w.Width+1e-9 || w.Times < 1 || w.Source != s.source || w.Length != length(s.strip, s.unit) {
			t.Fatalf("%+v: strips %v wide together", w, used)
		}
	}
	if !slices.Equal(has, s.number) {
		t.Fatalf("%v strips from %+v, want %v", has, b.Wholes, s.number)
	}
}

// cut cuts all pieces out of what was bought: each width's pieces out of as
// few strips as any way needs, the strips out of the cloth. It reports whether
// there was enough.
func (s shopping) cut(t *rapid.T, bought fabric.Purchase) bool {
	var strips []int // their widths
	for i, w := range s.widths {
		for range fewestRows(s.pieces(i), s.strip) {
			strips = append(strips, w)
		}
	}
	var cloths []*cloth
	var at []rect // of each strip
	in := make([]int, len(strips))
	switch s.source {
	case fabric.Yardage:
		long, _ := boltLength(bought.Buy, s.unit)
		cloths = []*cloth{{w: s.strip, h: long}}
		y := 0
		for _, w := range strips {
			at = append(at, rect{0, y, s.strip, w})
			y += w
		}
	case fabric.FatQuarters:
		short := int(fabric.FatQuarterWidth(s.unit)) * grains(s.unit)
		for range int(bought.Buy) {
			cloths = append(cloths, &cloth{w: s.strip, h: short})
		}
		if in = spread(strips, short, len(cloths)); in == nil {
			return false
		}
		used := make([]int, len(cloths))
		for k, w := range strips {
			at = append(at, rect{0, used[in[k]], s.strip, w})
			used[in[k]] += w
		}
	case fabric.Precut:
		if len(strips) > int(bought.Buy) {
			return false
		}
		for k, w := range strips {
			cloths = append(cloths, &cloth{w: s.strip, h: w})
			at, in[k] = append(at, rect{0, 0, s.strip, w}), k
		}
	}
	base := 0
	for i, w := range s.widths {
		n := fewestRows(s.pieces(i), s.strip)
		row := spread(s.pieces(i), s.strip, n)
		used := make([]int, n)
		for k, p := range s.pieces(i) {
			strip := base + row[k]
			if !cloths[in[strip]].take(rect{used[row[k]], at[strip].y, p, w}) {
				return false
			}
			used[row[k]] += p
		}
		base += n
	}
	return true
}

// less is the purchase one step smaller.
func less(p fabric.Purchase) fabric.Purchase {
	step := map[string]float64{"yd": 1. / 8, "m": 1. / 10}[p.Unit]
	if step == 0 {
		step = 1
	}
	p.Buy -= step
	return p
}

// TestStripsCanBeCut: what is bought suffices, it is the least that does, and
// the order in which the needs are told changes nothing.
func TestStripsCanBeCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShopping(t)
		bolt := fabric.Bolt{Source: s.source, Strip: length(s.strip, s.unit), Unit: s.unit}
		bought, err := fabric.Strips(s.needs(t), length(s.long, s.unit), bolt)
		if err != nil {
			t.Fatal(err)
		}
		s.keep(t, bought)
		if !s.cut(t, bought.Purchase) {
			t.Fatalf("%+v does not suffice for %+v", bought, s)
		}
		if s.cut(t, less(bought.Purchase)) {
			t.Fatalf("%+v: less would do for %+v", bought, s)
		}
		strips, long := 0, 0
		for i, w := range s.widths {
			n := fewestRows(s.pieces(i), s.strip)
			strips, long = strips+n, long+n*w
		}
		if bought.Strips != strips || !near(bought.Length, length(long, s.unit)) {
			t.Fatalf("%+v, want %d strips, %v long together", bought, strips, length(long, s.unit))
		}
		again, err := fabric.Strips(s.needs(t), length(s.long, s.unit), bolt)
		if err != nil || !reflect.DeepEqual(again, bought) {
			t.Fatalf("in another order %+v, %v, not %+v", again, err, bought)
		}
	})
}

// TestManyStripsCanBeCut: hundreds of alike strips, laid out as a grid.
func TestManyStripsCanBeCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
		g := grains(unit)
		usable := rapid.IntRange(10*g, 110*g).Draw(t, "usable")
		w, l := rapid.IntRange(1, 18*g).Draw(t, "width"), rapid.IntRange(1, usable).Draw(t, "length")
		n := rapid.IntRange(1, 400).Draw(t, "number")
		bought, err := fabric.Strips(
			[]fabric.Need{{Width: length(w, unit), Number: n}}, length(l, unit),
			fabric.Bolt{Strip: length(usable, unit), Unit: unit})
		if err != nil {
			t.Fatal(err)
		}
		long, step := boltLength(bought.Buy, unit)
		gives := func(long int) int { return (long / w) * (usable / l) }
		if gives(long) < n || gives(long-step) >= n {
			t.Fatalf("%d of %d x %d grains from %d wide: %+v gives %d, one step less %d",
				n, w, l, usable, bought, gives(long), gives(long-step))
		}
	})
}

// walk sews strips end to end until they are long enough, and counts them.
func walk(need, strip, loss float64) int {
	n, have := 1, strip
	for have < need-1e-9 {
		have += strip - loss
		n++
	}
	return n
}

// enough checks that the strips of one width can be cut from what was bought,
// and not from one step less.
func enough(t *rapid.T, strips, width, usable int, source fabric.Source, p fabric.Purchase, u geometry.Unit) {
	fits := func(p fabric.Purchase) bool {
		switch source {
		case fabric.FatQuarters:
			return strips <= int(p.Buy)*(int(fabric.FatQuarterWidth(u))*grains(u)/width)
		case fabric.Precut:
			return strips <= int(p.Buy)
		}
		long, _ := boltLength(p.Buy, u)
		c := cloth{w: usable, h: long}
		for k := range strips {
			if !c.take(rect{0, k * width, usable, width}) {
				return false
			}
		}
		return true
	}
	if !fits(p) {
		t.Fatalf("%d strips of %d grains can't be cut from %+v", strips, width, p)
	}
	if fits(less(p)) {
		t.Fatalf("%d strips of %d grains: less than %+v would do", strips, width, p)
	}
	if !near(p.Length, length(strips*width, u)) {
		t.Fatalf("%d strips of %d grains: %+v", strips, width, p)
	}
}

// TestBordersCanBeSewn sews the borders on, one by one, with raw edges that
// must match, after cutting them out of strips sewn end to end.
func TestBordersCanBeSewn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
		g := grains(unit)
		a := rapid.IntRange(0, g).Draw(t, "seam")
		w, h := rapid.IntRange(20*g, 120*g).Draw(t, "width"), rapid.IntRange(20*g, 120*g).Draw(t, "height")
		seam := length(a, unit)
		cuts := rapid.SliceOfN(rapid.IntRange(2*a+1, 2*a+15*g), 0, 3).Draw(t, "cuts")
		var specs []fabric.BorderSpec
		var strips []int
		for _, c := range cuts {
			spec := fabric.BorderSpec{Cut: length(c, unit), Mitred: rapid.Bool().Draw(t, "mitred")}
			strip := rapid.IntRange(10*g, 110*g).Draw(t, "strip")
			spec.Bolt = fabric.Bolt{Strip: length(strip, unit), Unit: unit}
			spec.Bolt.Source = rapid.SampledFrom([]fabric.Source{fabric.Yardage, fabric.FatQuarters, fabric.Precut}).Draw(t, "source")
			specs, strips = append(specs, spec), append(strips, strip)
		}
		got, err := fabric.Borders(fabric.Size{Width: length(w, unit), Height: length(h, unit)}, seam, specs)
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(specs) {
			t.Fatalf("%d borders for %d", len(got), len(specs))
		}
		// The raw quilt; sewing a strip of width c to an edge adds c - 2a.
		rawW, rawH := w+2*a, h+2*a
		for i, b := range got {
			add := 2 * (cuts[i] - 2*a)
			if specs[i].Mitred {
				rawW, rawH = rawW+add, rawH+add
				long := mitredLength(length(rawH, unit), specs[i].Cut, seam) + fabric.MitreExtra(unit)
				wide := mitredLength(length(rawW, unit), specs[i].Cut, seam) + fabric.MitreExtra(unit)
				if !near(b.Sides, long) || !near(b.Ends, wide) {
					t.Fatalf("border %d: %v and %v, want %v and %v", i, b.Sides, b.Ends, long, wide)
				}
			} else {
				if !near(b.Sides, length(rawH, unit)) {
					t.Fatalf("border %d: sides %v for a raw height of %v", i, b.Sides, length(rawH, unit))
				}
				rawW += add
				if !near(b.Ends, length(rawW, unit)) {
					t.Fatalf("border %d: ends %v for a raw width of %v", i, b.Ends, length(rawW, unit))
				}
				rawH += add
			}
			outer := fabric.Size{Width: length(rawW-2*a, unit), Height: length(rawH-2*a, unit)}
			if !near(b.Outer.Width, outer.Width) || !near(b.Outer.Height, outer.Height) || b.Cut != specs[i].Cut {
				t.Fatalf("border %d: %+v, want the size %v", i, b, outer)
			}
			need := b.Sides + b.Sides + b.Ends + b.Ends
			if n := walk(need, specs[i].Bolt.Strip, 2*seam); b.Strips != n || b.Joins != n-1 {
				t.Fatalf("border %d: %+v, want %d strips for %v", i, b, n, need)
			}
			enough(t, b.Strips, cuts[i], strips[i], specs[i].Bolt.Source,
				fabric.Purchase{Strips: b.Strips, Length: b.Length, Buy: b.Buy, Unit: b.Unit}, unit)
		}
	})
}

// mitredLength draws the corner of a mitred border: the strip lies along x,
// its finished inner edge on y = f and the finished outer edge on y = 0, the
// corner at the origin; the seam runs to (f, f). Its raw edges are those
// three moved outward by the seam allowance. It returns how long the strip
// must be for a border whose raw outer side, straight, is as given.
func mitredLength(rawSide, cut, seam float64) float64 {
	f := cut - 2*seam
	// The seam's raw edge: through (0, 0) moved along the normal (-1, 1)/√2.
	nx, ny := -seam/math.Hypot(1, 1), seam/math.Hypot(1, 1)
	at := func(y float64) float64 { return nx + (y - ny) } // x on it, direction (1, 1)
	least := min(at(-seam), at(f+seam))
	return (rawSide - 2*seam) - 2*least
}

// TestMitredByHand: 2 1/2 in round 40 x 50 at 1/4 in: the outer sides are 44
// and 54, and half an inch (1 + √2) = 1.2071 and 3 in to trim come on.
func TestMitredByHand(t *testing.T) {
	got, err := fabric.Borders(fabric.Size{Width: 40, Height: 50}, 0.25,
		[]fabric.BorderSpec{{Cut: 2.5, Mitred: true, Bolt: yardage(42)}, {Cut: 2.5, Bolt: yardage(42)}})
	if err != nil || len(got) != 2 {
		t.Fatal(got, err)
	}
	m, b := got[0], got[1]
	if math.Abs(m.Sides-58.2071) > 5e-5 || math.Abs(m.Ends-48.2071) > 5e-5 || m.Outer != (fabric.Size{Width: 44, Height: 54}) {
		t.Errorf("%+v", m)
	}
	// 212.83 from strips of 42: 5 give 208, 6 give 249.5.
	if m.Strips != 6 || m.Joins != 5 || m.Length != 15 || m.Buy != 0.5 || m.Unit != "yd" {
		t.Errorf("%+v", m)
	}
	// Butted round that: raw 44.5 x 54.5; top and bottom 48.5; 206 together.
	want := fabric.Border{Cut: 2.5, Sides: 54.5, Ends: 48.5, Joins: 4,
		Purchase: fabric.Purchase{Strips: 5, Length: 12.5, Buy: 0.375, Unit: "yd"}, Outer: fabric.Size{Width: 48, Height: 58}}
	if b != want {
		t.Errorf("got %+v\nwant %+v", b, want)
	}
}

// TestBackingCanBeSewn cuts the panels out of what was bought and sews them
// side by side; no whole panels do it with one step less, either way round.
func TestBackingCanBeSewn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
		g := grains(unit)
		a, extra := rapid.IntRange(0, g).Draw(t, "seam"), rapid.IntRange(0, 8*g).Draw(t, "extra")
		usable := rapid.IntRange(10*g, 110*g).Draw(t, "usable")
		size := rapid.OneOf(rapid.IntRange(1, 300*g), rapid.Custom(func(t *rapid.T) int {
			n := rapid.IntRange(1, 4).Draw(t, "panels") // exactly as wide as n panels
			return max(1, n*usable-2*(n-1)*a-2*extra)
		}))
		w, h := size.Draw(t, "width"), size.Draw(t, "height")
		b, err := fabric.Back(fabric.Size{Width: length(w, unit), Height: length(h, unit)},
			length(usable, unit), length(extra, unit), length(a, unit), unit)
		if err != nil {
			t.Fatal(err)
		}
		w, h = w+2*extra, h+2*extra
		if !near(b.Width, length(w, unit)) || !near(b.Height, length(h, unit)) {
			t.Fatalf("%+v, want %d x %d grains", b, w, h)
		}
		// sewn reports whether panels of the length, as many as the cloth
		// gives, cover over once sewn.
		sewn := func(long, panel, over int) bool {
			c, y, have := cloth{w: usable, h: long}, 0, 0
			for c.take(rect{0, y, usable, panel}) {
				if have > 0 {
					have -= 2 * a
				}
				have, y = have+usable, y+panel
				if have >= over {
					return true
				}
			}
			return false
		}
		panel, over := w, h
		if b.Lengthwise {
			panel, over = h, w
		}
		long, step := boltLength(b.Buy, unit)
		if !near(b.Panel, length(panel, unit)) || !near(b.Length, float64(b.Panels)*b.Panel) || !sewn(long, panel, over) || !sewn(b.Panels*panel, panel, over) {
			t.Fatalf("%+v does not cover", b)
		}
		if sewn(long-step, w, h) || sewn(long-step, h, w) || sewn(b.Panels*panel-1, w, h) || sewn(b.Panels*panel-1, h, w) {
			t.Fatalf("%+v: less would do", b)
		}
	})
}

// TestBindingCanBeSewn cuts the strips out of what was bought and sews them
// end to end.
func TestBindingCanBeSewn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
		g := grains(unit)
		a, extra := rapid.IntRange(0, g).Draw(t, "seam"), rapid.IntRange(0, 24*g).Draw(t, "extra")
		usable, cut := rapid.IntRange(10*g, 110*g).Draw(t, "usable"), rapid.IntRange(g, 4*g).Draw(t, "cut")
		w, h := rapid.IntRange(1, 120*g).Draw(t, "width"), rapid.IntRange(1, 120*g).Draw(t, "height")
		if n := rapid.IntRange(0, 5).Draw(t, "exactly"); n > 0 {
			w = max(1, (n*usable-2*(n-1)*a-extra)/2-h)
		}
		b, err := fabric.Bind(fabric.Size{Width: length(w, unit), Height: length(h, unit)},
			length(cut, unit), length(extra, unit), length(usable, unit), length(a, unit), unit)
		if err != nil {
			t.Fatal(err)
		}
		total := w + w + h + h + extra
		have := func(n int) int { return n*usable - (n-1)*2*a }
		if !near(b.Total, length(total, unit)) || have(b.Strips) < total || b.Strips > 1 && have(b.Strips-1) >= total {
			t.Fatalf("%+v: %d strips give %d grains of %d", b, b.Strips, have(b.Strips), total)
		}
		enough(t, b.Strips, cut, usable, fabric.Yardage,
			fabric.Purchase{Strips: b.Strips, Length: b.Length, Buy: b.Buy, Unit: b.Unit}, unit)
	})
}

// TestSpread: the checker's own search knows what can be laid into rows.
func TestSpread(t *testing.T) {
	if got := fewestRows([]int{18, 18, 12, 12, 12, 12}, 42); got != 2 {
		t.Errorf("%d rows, want 2", got)
	}
	if got := fewestRows([]int{22, 22, 22}, 42); got != 3 {
		t.Errorf("%d rows, want 3", got)
	}
	if got := spread([]int{1, 2}, 3, 1); !slices.Equal(got, []int{0, 0}) {
		t.Errorf("%v", got)
	}
	c := cloth{w: 10, h: 10}
	if !c.take(rect{0, 0, 10, 5}) || c.take(rect{3, 4, 2, 2}) || !c.take(rect{0, 5, 10, 5}) || c.take(rect{0, 5, 10, 6}) {
		t.Error("pieces overlap, or lie outside the cloth")
	}
}
