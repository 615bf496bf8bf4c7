// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"cmp"

	"lozenge/geometry"
)

// Backing is what the back of the quilt takes.
type Backing struct {
	Width, Height float64 // of the backing: the quilt and what is extra on each side
	Panels        int     // widths of fabric sewn side by side
	Lengthwise    bool    // the panels and their seams run up and down
	Panel         float64 // length of each panel
	Length        float64 // of yardage: all panels
	Buy           float64 // in Unit, rounded up
	Unit          string  // "yd" or "m"
}

// Back returns the backing for a quilt of the finished size outer, with extra
// on each of its four sides, from fabric of the usable width. Panels are
// whole widths of fabric sewn side by side, each join losing two seam
// allowances; they run the way round that takes less fabric, or, where it is
// the same, the one with fewer joins, or up and down.
//
// Errors: values that are no lengths, and fabric that its seam allowances
// leave nothing of.
func Back(outer Size, usable, extra, seam float64, u geometry.Unit) (Backing, error) {
	up, across, err := BackBothWays(outer, usable, extra, seam, u)
	switch {
	case err != nil:
		return Backing{}, err
	case !geometry.Fits(up.Length, across.Length): // across takes less
		return across, nil
	case geometry.Fits(across.Length, up.Length) && across.Panels < up.Panels:
		return across, nil
	}
	return up, nil
}

// BackBothWays returns both ways of making the backing: with panels that run
// up and down, and with panels that run from side to side. See [Back].
func BackBothWays(outer Size, usable, extra, seam float64, u geometry.Unit) (up, across Backing, err error) {
	width := value{"usable width of the backing", -1, usable}
	err = cmp.Or(outer.check(), width.positive(), checkSeam(seam),
		value{"backing: extra on each side", -1, extra}.notNegative())
	if err != nil {
		return Backing{}, Backing{}, err
	}
	w, h := outer.Width+float64(2*extra), outer.Height+float64(2*extra)
	panels := func(what string, over, panel float64) (Backing, error) {
		n, err := toJoin(value{what, -1, over}, width, seam)
		b := Backing{Width: w, Height: h, Panels: n, Panel: panel, Length: float64(float64(n) * panel)}
		b.Buy, b.Unit = BuyLength(b.Length, u)
		return b, err
	}
	up, err = panels("width of the backing", w, h)
	up.Lengthwise = true
	across, wrong := panels("height of the backing", h, w)
	return up, across, cmp.Or(err, wrong)
}
