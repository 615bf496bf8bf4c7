// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"lozenge/geometry"
)

// faint is the least difference between a line and its ground, of all three
// colours from 0 to 1, that counts as seen.
const faint = 0.125

// mostLooks is how many pairs of a line and an area are looked at on a page, to
// find out what is painted over what.
const mostLooks = 1 << 27

// tooBroad reports whether the line of a square is so broad that half of it is more than
// the sides may be off: 1/64 in, or as much of a large one as of one of 4 in, so that
// what was enlarged is called by its factor.
func tooBroad(line float64, box geometry.Rect) bool {
	return boxySquare(box) && line > max(1./32, box.Width()/128)
}

// Clipped is why a line can't be seen of which some lies outside of a clip.
const Clipped = "it is clipped, wholly or in part"

const (
	whyUnpainted = "nothing paints it"
	whyUnsure    = "what paints it can't be followed"
	whyGround    = "its colour is that of the ground"
	whyCovered   = "something is painted over it"
	whyOffPage   = "it runs off the page"
	whyBroad     = "its line is so broad that nobody can tell where it runs"
	whyTooMuch   = "too much is painted on the page to tell what shows"
)

// Look finds out what on a page can't be seen because of how it is painted, or
// where: an area without a colour, white on white, under another area, or beyond
// the edge of the page. It is for readers of formats that paint.
func (p *Page) Look() {
	var areas []int
	for i := range p.Paths {
		if path := &p.Paths[i]; path.Area.paints() && path.Cover != nil && (path.Hidden == "" || path.Hidden == Clipped) {
			areas = append(areas, i)
		}
	}
	sheet := geometry.Rect{Max: geometry.Point{X: p.Width, Y: p.Height}}
	over := p.index(areas)
	looks := 0
	for i := range p.Paths {
		path := &p.Paths[i]
		if path.Hidden != "" || path.Square == "" && (path.Role == Mark || path.Role == Sew) {
			continue
		}
		box := geometry.Polygon(path.Points).Bounds()
		ink := path.Line
		if !ink.paints() {
			ink = path.Area
		}
		switch {
		case !ink.paints(), !path.Line.paints() && len(path.Points) < 3:
			path.Hidden = whyUnpainted
		case ink.Unsure:
			path.Hidden = whyUnsure
		case !holds(sheet, box):
			path.Hidden = whyOffPage
		case path.Line.paints() && tooBroad(path.Broad, box):
			path.Hidden = whyBroad
		case looks > mostLooks:
			path.Hidden = whyTooMuch
		default:
			path.Hidden = p.under(i, ink, box, over.near(box, &looks), &looks)
		}
	}
}

// holds reports whether a box lies in another one, but for a hundredth of an inch.
func holds(outer, inner geometry.Rect) bool {
	const slack = 0.01
	return inner.Min.X > outer.Min.X-slack && inner.Min.Y > outer.Min.Y-slack &&
		inner.Max.X < outer.Max.X+slack && inner.Max.Y < outer.Max.Y+slack
}

// under tells why a path can't be seen for what is painted under and over it, or
// nothing.
func (p *Page) under(i int, ink Ink, box geometry.Rect, areas []int, looks *int) string {
	ground := [3]float32{1, 1, 1}
	places := p.Paths[i].places()
	shows := make([]float32, len(places)) // how much of each does
	for j := range shows {
		shows[j] = 1
	}
	for _, a := range areas {
		area := &p.Paths[a]
		if *looks++; *looks > mostLooks {
			return whyTooMuch
		}
		if a == i || !meets(area.Cover.Box(), box) {
			continue
		}
		if *looks += len(places) * area.Cover.Edges(); *looks > mostLooks {
			return whyTooMuch
		}
		through := 1 - area.Area.Alpha
		if area.Area.Unsure {
			through = 0
		}
		n := 0
		for j, at := range places {
			// On the very edge of its neighbour half of a line shows.
			if !area.Cover.Deep(at, 0.005) {
				continue
			}
			if n++; a > i {
				shows[j] *= through
			}
		}
		if a < i && 2*n > len(places) {
			for c := range ground {
				ground[c] += (area.Area.Colour[c] - ground[c]) * area.Area.Alpha
			}
		}
	}
	seen := ink.against(ground)
	if seen < faint {
		return whyGround
	}
	covered := 0
	for _, part := range shows {
		if part*seen < faint {
			covered++
		}
	}
	if 10*covered > len(places) {
		return whyCovered
	}
	return ""
}

func meets(a, b geometry.Rect) bool {
	return a.Max.X >= b.Min.X && a.Min.X <= b.Max.X && a.Max.Y >= b.Min.Y && a.Min.Y <= b.Max.Y
}

// against is the largest difference to a ground, of all three colours.
func (i Ink) against(ground [3]float32) float32 {
	most := float32(0)
	for c := range ground {
		most = max(most, (ground[c]-i.Colour[c])*i.Alpha, (i.Colour[c]-ground[c])*i.Alpha)
	}
	return most
}

// places are some along a line, its corners left out.
func (p *Path) places() []geometry.Point {
	sides := p.edges(nil)
	step := max(1, len(sides)/64)
	var out []geometry.Point
	for i := 0; i < len(sides); i += step {
		for _, t := range [...]float64{0.1, 0.35, 0.65, 0.9} {
			out = append(out, sides[i].A.Add(sides[i].B.Sub(sides[i].A).Mul(t)))
		}
	}
	return out
}
