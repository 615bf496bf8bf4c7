// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"maps"
	"slices"

	"lozenge/export/words"
	"lozenge/geometry"
)

// bounds returns the box of all lines that can be seen.
func (p *Page) bounds() geometry.Rect {
	r := geometry.EmptyRect()
	for i := range p.Paths {
		if p.Paths[i].Hidden == "" {
			r = r.Grow(p.Paths[i].Points...)
		}
	}
	return r
}

// unseen counts what can't be seen, by why.
type unseen struct {
	squares map[string]string // what may be the calibration square, in words
	lines   map[string]int
}

func (u *unseen) any() bool { return len(u.squares)+len(u.lines) > 0 }

// isSquare reports whether a line has the shape of a square.
func (p *Path) isSquare() bool {
	if !p.Closed || len(p.Points) > mostBends {
		return false
	}
	c, bent := corners(p.Points)
	if len(c) != 4 {
		return false
	}
	q := measured(c, ByShape)
	q.Bent = bent
	return q.looksSquare()
}

// seen returns the drawing without what can't be seen: that proves nothing.
func (d *Drawing) seen() (*Drawing, *unseen) {
	u := &unseen{map[string]string{}, map[string]int{}}
	cut, some := d.isCut(), false
	for i := range d.Pages {
		for j := range d.Pages[i].Paths {
			path := &d.Pages[i].Paths[j]
			some = some || path.Hidden != ""
			switch {
			case path.Hidden == "":
			case path.Role == Square || path.Square != "":
				u.squares[path.Hidden] = "the calibration square"
			case !d.Roles && path.isSquare():
				if u.squares[path.Hidden] == "" {
					u.squares[path.Hidden] = "what may be the calibration square"
				}
			case cut(path):
				u.lines[path.Hidden]++
			}
		}
	}
	if !some {
		return d, u
	}
	out := *d
	out.Pages = slices.Clone(d.Pages)
	for i := range out.Pages {
		p := &out.Pages[i]
		p.Paths = slices.DeleteFunc(slices.Clone(p.Paths), func(path Path) bool {
			// A square of which a part is seen proves nothing, but it may prove
			// that a drawing is too large for its page.
			part := path.Hidden == whyOffPage || path.Hidden == Clipped
			return path.Hidden != "" && !(part && (path.Role == Square || path.Square != "" || path.isSquare()))
		})
	}
	return &out, u
}

// judgeUnseen tells what can't be seen.
func (r *Report) judgeUnseen(u *unseen) {
	for _, why := range slices.Sorted(maps.Keys(u.squares)) {
		r.say("%s can't be seen (%s), so it proves nothing", u.squares[why], why)
	}
	for _, why := range slices.Sorted(maps.Keys(u.lines)) {
		n := u.lines[why]
		r.say("%s can't be seen (%s) and %s not measured; another program may cut %s all the same",
			words.Count(n, "cut line"), why, words.Verb(n, "was", "were"), words.Verb(n, "it", "them"))
	}
}
