// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"cmp"
	"fmt"
	"math"

	"lozenge/geometry"
)

// BorderSpec is one border as it is wanted.
type BorderSpec struct {
	Cut    float64 // width before sewing
	Mitred bool    // corners sewn at 45 degrees; otherwise butted
	Bolt   Bolt
}

// Border is what one border takes.
type Border struct {
	Cut float64
	// Sides and Ends are the raw lengths of each of the two sides, and of
	// each of top and bottom. Butted, the sides are sewn on first.
	Sides, Ends float64
	// What is bought are Strips that are sewn end to end into one with that
	// many Joins; all four lengths are cut from it.
	Purchase
	Joins int
	// Outer is the finished size with this border on.
	Outer Size
}

// Borders returns what the borders take, from the inside out, round a quilt
// of the finished size inner (squared up, so that its raw edges lie one seam
// allowance outside).
//
// Butted: the sides are as long as the raw height, then top and bottom as
// long as the raw width with the sides on. Mitred: each of the four reaches
// the outer corner. There the seam runs at 45 degrees; its raw edge lies one
// seam allowance beyond it, and meets the border's outer raw edge, one seam
// allowance outside the finished one, seam / tan 22.5° = seam (1 + √2) past
// the finished corner. So a length is the finished outer side + 2 seam (1 + √2),
// and 3 in (7.5 cm) more, half at either end, which is trimmed when the corner is
// sewn (common practice, 2 to 4 in; no source).
//
// n strips sewn end to end give n Strip − 2 (n − 1) seam, and all four lengths
// are cut from that, so that a join may come anywhere.
//
// Errors: a cut width of which the seam allowances leave nothing, a border
// finished wider than the smaller side of the quilt that it goes round, one
// wider than a fat quarter it is to be cut from, or values that are no
// lengths. Error.Index is the border's.
func Borders(inner Size, seam float64, specs []BorderSpec) ([]Border, error) {
	if err := cmp.Or(inner.check(), checkSeam(seam)); err != nil {
		return nil, err
	}
	var out []Border
	for i, s := range specs {
		b, err := s.roundQuilt(i, inner, seam)
		if err != nil {
			return nil, err
		}
		out = append(out, b)
		inner = b.Outer
	}
	return out, nil
}

// roundQuilt returns what border i takes round the finished size inner.
func (s BorderSpec) roundQuilt(i int, inner Size, seam float64) (Border, error) {
	name := fmt.Sprintf("border %d", i+1)
	cut := value{name + ": cut width", i, s.Cut}
	if err := cmp.Or(s.Bolt.check(i), cut.positive(), s.Bolt.checkWidth(cut)); err != nil {
		return Border{}, err
	}
	allowances := float64(2 * seam)
	if geometry.Fits(s.Cut, allowances) {
		return Border{}, cut.fail(TooNarrow, allowances, "cut it wider")
	}
	finished := value{name + ": finished width", i, s.Cut - allowances}
	if side := min(inner.Width, inner.Height); !geometry.Fits(finished.v, side) {
		return Border{}, finished.fail(TooWide, side,
			"that is the smaller side of the quilt it goes round; cut it narrower")
	}

	b := Border{Cut: s.Cut}
	both := float64(2 * finished.v)
	b.Outer = Size{inner.Width + both, inner.Height + both}
	if s.Mitred {
		past := float64(allowances * (1 + math.Sqrt2))
		past += MitreExtra(s.Bolt.Unit)
		b.Sides, b.Ends = b.Outer.Height+past, b.Outer.Width+past
	} else {
		b.Sides, b.Ends = inner.Height+allowances, b.Outer.Width+allowances
	}

	all := value{name + ": length all round", i, float64(2*b.Sides) + float64(2*b.Ends)}
	n, err := toJoin(all, value{name + ": strip", i, s.Bolt.Strip}, seam)
	if err != nil {
		return Border{}, err
	}
	wholes, _ := s.Bolt.wholes([]Need{{s.Cut, n}}, 1)
	b.Purchase, b.Joins = s.Bolt.purchase(wholes, 1), n-1
	return b, nil
}

// MitreExtra returns by how much a mitred border is cut longer than to its points.
func MitreExtra(u geometry.Unit) float64 { return u.Of(3, 7.5) }

// checkSeam refuses what is no seam allowance; none at all is one.
func checkSeam(seam float64) error { return value{"seam allowance", -1, seam}.notNegative() }
