// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"cmp"
	"slices"

	"lozenge/geometry"
)

// Need is a number of strips of one width.
type Need struct {
	Width  float64
	Number int
}

// Whole is a whole piece of fabric, Times of which are cut alike: a length of
// yardage as it comes off the bolt, a fat quarter, or a precut strip. Strips
// run along Length, and lie side by side across Width.
type Whole struct {
	Source        Source
	Width, Length float64
	Times         int
	Cut           []Need // from each one: lengths of a width, the widest first
}

// Bill is what to buy of one fabric, and what is cut from which piece of it.
type Bill struct {
	Purchase
	Wholes []Whole
	// Each is how many lengths come out of a strip as long as the fabric
	// gives.
	Each int
	// Least is a number of whole pieces below which there is no way. It is
	// their number, Buy, for precut strips, and for fat quarters from which up
	// to three widths are cut; else it may be less.
	Least int
}

// Strips returns what to buy of one fabric so that all needed strips of that
// length can be cut from it. Several that are short come out of one
// full-length strip, if they are equally wide; different widths are separate
// strips. Strips are cut at full length first, so those of a fat quarter lie
// side by side across its short side, in as few fat quarters as [Bill] says.
//
// Errors: a strip longer than the bolt's Strip, one wider than a fat quarter,
// or a value that is no length or number.
func Strips(needs []Need, length float64, b Bolt) (Bill, error) {
	long := value{"strip length", -1, length}
	if err := cmp.Or(b.check(-1), long.positive()); err != nil {
		return Bill{}, err
	}
	if !geometry.Fits(length, b.Strip) {
		return Bill{}, long.fail(TooLong, b.Strip, "cut shorter strip sets, or buy wider fabric")
	}
	var wanted []Need
	for i, n := range needs {
		if err := b.checkNeed(i, n); err != nil {
			return Bill{}, err
		}
		if n.Number > 0 {
			wanted = append(wanted, n)
		}
	}
	bill := Bill{Each: holds(length, b.Strip, MaxStrips)}
	bill.Wholes, bill.Least = b.wholes(merge(wanted), bill.Each)
	bill.Purchase = b.purchase(bill.Wholes, bill.Each)
	return bill, nil
}

// StripsOf returns what to buy together for so many quilts of which each needs
// that: never more than as many times what one takes.
//
// Errors: those of [Strips].
func StripsOf(needs []Need, length float64, b Bolt, quilts int) (Bill, error) {
	one, err := Strips(needs, length, b)
	if quilts == 1 || err != nil {
		return one, err
	}
	all := make([]Need, len(needs))
	for i, n := range needs {
		all[i] = Need{n.Width, n.Number * quilts}
	}
	together, err := Strips(all, length, b)
	if err != nil || together.Buy <= float64(one.Buy*float64(quilts)) {
		return together, err
	}
	// More widths than the search can do the best with: each quilt by itself.
	for i := range one.Wholes {
		one.Wholes[i].Times *= quilts
	}
	one.Purchase, one.Least = b.purchase(one.Wholes, one.Each), together.Least
	return one, nil
}

// merge returns the needs widest first, equal widths put together.
func merge(needs []Need) []Need {
	slices.SortFunc(needs, func(m, n Need) int { return cmp.Compare(n.Width, m.Width) })
	var out []Need
	for _, n := range needs {
		if k := len(out) - 1; k >= 0 && geometry.Fits(out[k].Width, n.Width) {
			out[k].Number += n.Number
		} else {
			out = append(out, n)
		}
	}
	return out
}

// Fewest returns into how few lengths of the room these go, end to end: the
// least for up to three different ones. Each of them fits.
func Fewest(lengths []float64, room float64) (n int) {
	var needs []Need
	for _, l := range lengths {
		needs = append(needs, Need{l, 1})
	}
	fills, _ := pack(merge(needs), room)
	for _, f := range fills {
		n += f.times
	}
	return n
}

// wholes returns the whole pieces from which the needs, the widest first, are
// cut, so many lengths out of each strip; least is a number of pieces below
// which there is no way.
func (b Bolt) wholes(needs []Need, each int) (out []Whole, least int) {
	var fills []fill
	strips := make([]Need, len(needs))
	all := fill{make([]int, len(needs)), 1}
	for i, n := range needs {
		strips[i] = Need{n.Width, (n.Number + each - 1) / each}
		one := fill{make([]int, len(needs)), strips[i].Number}
		one.holds[i], all.holds[i] = 1, strips[i].Number
		fills, least = append(fills, one), least+strips[i].Number
	}
	switch {
	case len(needs) == 0:
	case b.Source == Yardage:
		fills, least = []fill{all}, 1
	case b.Source == FatQuarters:
		fills, least = pack(strips, FatQuarterWidth(b.Unit))
	}
	for _, f := range fills {
		for f.times > 0 {
			w := b.deal(&f, needs, each)
			if len(w.Cut) > 0 {
				out = append(out, w)
			}
		}
	}
	return out, least
}

// deal takes whole pieces that are cut alike from a fill, and from left the
// lengths that come out of them: all that they hold, as long as these are
// wanted.
func (b Bolt) deal(f *fill, left []Need, each int) Whole {
	w := Whole{Source: b.Source, Length: b.Strip, Times: f.times}
	for i, n := range f.holds {
		c := Need{left[i].Width, min(n*each, left[i].Number)}
		if c.Number == 0 {
			continue
		}
		if w.Times = min(w.Times, left[i].Number/c.Number); c.Number < n*each {
			w.Times = 1
		}
		w.Cut = append(w.Cut, c)
		w.Width += float64(c.Width * float64((c.Number+each-1)/each))
	}
	for i, n := range f.holds {
		left[i].Number -= w.Times * min(n*each, left[i].Number)
	}
	if f.times -= w.Times; b.Source == FatQuarters {
		w.Width = FatQuarterWidth(b.Unit)
	}
	return w
}

func (b Bolt) checkNeed(i int, n Need) error {
	number := value{"number of strips", i, float64(n.Number)}
	width := value{"strip width", i, n.Width}
	if n.Number < 0 {
		return number.fail(Negative, 0, "give 0 where none is needed")
	}
	if n.Number > MaxStrips {
		return number.fail(TooMany, MaxStrips, "make the quilt smaller")
	}
	return cmp.Or(width.positive(), b.checkWidth(width))
}
