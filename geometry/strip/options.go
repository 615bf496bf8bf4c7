// SPDX-License-Identifier: Apache-2.0

package strip

import "lozenge/geometry"

// Option is one way to cut a strip set: so many pieces, none of which could be
// more without fewer of another kind.
type Option struct {
	Diamonds, Lowers, Uppers int

	row  rich
	flip bool
}

// Options returns the ways to cut a strip set of one lean that may serve a need: for each number of
// edge triangles that fits the one with the most diamonds, an odd edge triangle
// of either half.
func (s Set) Options(terms Terms, need Count) (out []Option) {
	rows := s.richest(terms, need)
	for i, r := range rows {
		if i+1 < len(rows) && rows[i+1].diamonds == r.diamonds {
			continue
		}
		for _, flip := range []bool{false, true} {
			u := planned{rich: r, flip: flip}
			lowers, uppers := u.halves()
			if !flip || lowers != uppers {
				out = append(out, Option{r.diamonds, lowers, uppers, r, flip})
			}
		}
	}
	return out
}

// Gives returns how many pieces of a shape the strip set gives.
func (o Option) Gives(shape geometry.Shape) int {
	return [...]int{o.Diamonds, o.Lowers, o.Uppers}[shape]
}

// Layout returns a strip set of that lean cut so, of which these pieces are
// used: no others are cut but edge triangles between those.
func (o Option) Layout(lean geometry.Lean, gives Count) Layout {
	u := planned{rich: o.row, lean: lean, flip: o.flip, gives: gives}
	return u.layout()
}
