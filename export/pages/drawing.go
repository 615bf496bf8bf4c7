// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// drawing is a page on which things are put.
type drawing struct {
	*draw.Drawing
	layout *layout
	boxes  []geometry.Rect // of the texts
}

func newDrawing(l *layout, title, note string) *drawing {
	return &drawing{layout: l, Drawing: &draw.Drawing{
		Title: title, Note: note, Unit: l.unit, Page: l.page, Line: l.in(1. / 64), Scale: 1,
	}}
}

func (d *drawing) in(inches float64) float64 { return d.layout.in(inches) }

func (d *drawing) path(role draw.Role, closed bool, points ...geometry.Point) *draw.Path {
	d.Paths = append(d.Paths, draw.Path{Role: role, Points: points, Closed: closed})
	return &d.Paths[len(d.Paths)-1]
}

func (d *drawing) line(role draw.Role, x0, y0, x1, y1 float64) *draw.Path {
	return d.path(role, false, geometry.Point{X: x0, Y: y0}, geometry.Point{X: x1, Y: y1})
}

// arrow draws a line along the grain, with a head at each end.
func (d *drawing) arrow(s geometry.Segment) {
	d.path(draw.Mark, false, s.A, s.B)
	for _, e := range []geometry.Segment{s, {A: s.B, B: s.A}} {
		back := e.A.Sub(e.B)
		back = back.Mul(d.in(0.12) / back.Len())
		side := geometry.Point{X: -back.Y / 2, Y: back.X / 2}
		d.path(draw.Mark, false, e.B.Add(back).Add(side), e.B, e.B.Add(back).Sub(side))
	}
}

// text puts a text with the left end of its baseline at at.
func (d *drawing) text(at geometry.Point, height float64, value string) {
	d.put(draw.Text{At: at, Height: height, Value: value})
}

// upward puts a text that reads upward, the middle of its baseline at at.
func (d *drawing) upward(at geometry.Point, height float64, value string) {
	d.put(draw.Text{At: at, Height: height, Value: value, Turn: 90, Centred: true})
}

func (d *drawing) put(t draw.Text) {
	d.Texts = append(d.Texts, t)
	d.boxes = append(d.boxes, reach(t))
}

// Box returns where a text lies at most, capitals without what reaches below
// the line. It may be turned by a quarter.
func Box(t draw.Text) geometry.Rect {
	w, from := width(t.Value, t.Height), 0.0
	if t.Centred {
		from = -w / 2
	}
	r := geometry.Rect{Min: geometry.Point{X: from}, Max: geometry.Point{X: from + w, Y: t.Height}}
	if t.Turn == 90 {
		r = geometry.Rect{Min: geometry.Point{X: -t.Height, Y: from}, Max: geometry.Point{Y: from + w}}
	}
	return r.Move(t.At)
}

// descent is how far letters reach below the line, over the height of a
// capital: 207 and 718 thousandths of the size in Adobe's metrics of Helvetica.
const descent = 207.0 / 718

// reach is Box with what reaches below the line.
func reach(t draw.Text) geometry.Rect {
	r := Box(t)
	if t.Turn == 90 {
		r.Max.X += float64(descent * t.Height)
	} else {
		r.Min.Y -= float64(descent * t.Height)
	}
	return r
}

// place puts a text near a point, at most far away from it: inside r and, if
// given, inside the polygon, clear of all lines and texts so far. It reports
// whether there was room.
func (d *drawing) place(value string, height float64, near geometry.Point, far float64, r geometry.Rect, inside geometry.Polygon) bool {
	w, clear := width(value, height), d.in(0.06)
	for _, off := range around {
		low := near.Add(off.Mul(far)).Sub(geometry.Point{X: w / 2, Y: height / 2})
		box := reach(draw.Text{At: low, Height: height, Value: value})
		if d.clear(box.Inset(-clear), r, inside) {
			d.text(low, height, value)
			return true
		}
	}
	return false
}

// around are places within a circle of radius 1, the nearest to its centre
// first.
var around = func() []geometry.Point {
	const steps = 16
	var out []geometry.Point
	for i := -steps; i <= steps; i++ {
		for j := -steps; j <= steps; j++ {
			if p := (geometry.Point{X: float64(i) / steps, Y: float64(j) / steps}); p.Len() <= 1 {
				out = append(out, p)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b geometry.Point) int { return cmp.Compare(a.Dot(a), b.Dot(b)) })
	return out
}()

func (d *drawing) clear(box, r geometry.Rect, inside geometry.Polygon) bool {
	if box.Min.X < r.Min.X || box.Max.X > r.Max.X || box.Min.Y < r.Min.Y || box.Max.Y > r.Max.Y {
		return false
	}
	corners := []geometry.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}
	for i, a := range inside {
		b := inside[(i+1)%len(inside)]
		for _, c := range corners {
			if b.Sub(a).Cross(c.Sub(a)) < 0 {
				return false
			}
		}
	}
	for _, o := range d.boxes {
		if box.Min.X < o.Max.X && o.Min.X < box.Max.X && box.Min.Y < o.Max.Y && o.Min.Y < box.Max.Y {
			return false
		}
	}
	for _, p := range d.Paths {
		for i, a := range p.Points {
			if i+1 == len(p.Points) && !p.Closed {
				break
			}
			if _, hit := box.Clip(geometry.Segment{A: a, B: p.Points[(i+1)%len(p.Points)]}); hit {
				return false
			}
		}
	}
	return true
}

// block puts rows of words, hanging from the top left of r.
func (d *drawing) block(r geometry.Rect, rows []row) {
	y := r.Max.Y
	for _, w := range rows {
		y -= w.height
		x := r.Min.X
		if w.sample != noSample {
			d.sample(w.sample, x, y+w.height/2)
			x += d.in(sampleRoom)
		}
		if w.text != "" {
			d.text(geometry.Point{X: x, Y: y}, w.height, w.text)
		}
		y -= (pitch - 1) * w.height
	}
}

// sample draws a short piece of a line, for the words beside it.
func (d *drawing) sample(s sample, x, y float64) {
	end := x + d.in(0.45)
	switch s {
	case cutSample:
		// Nothing but outlines may stand among the lines that are cut.
		d.line(draw.Mark, x, y, end, y).Dark = true
	case sewSample:
		d.line(draw.Sew, x, y, end, y)
	case seamSample:
		d.line(draw.Sew, x, y, end, y).Thin = true
	case grainSample:
		d.arrow(geometry.Segment{A: geometry.Point{X: x, Y: y}, B: geometry.Point{X: end, Y: y}})
	case glueSample:
		d.line(draw.Mark, x, y, end, y)
		d.cross((x+end)/2, y)
	}
}

// cross marks a point at which pages must meet.
func (d *drawing) cross(x, y float64) {
	r := d.in(0.06)
	d.line(draw.Mark, x-r, y-r, x+r, y+r)
	d.line(draw.Mark, x-r, y+r, x+r, y-r)
}

// frame puts what every page has: header, bar, calibration square and words.
func (d *drawing) frame(r room, words *block, heading string, number, pages int) {
	l := d.layout
	h := d.in(small)
	heading = fmt.Sprintf("page %d of %d: %s", number, pages, heading)
	d.text(geometry.Point{X: l.header.Min.X, Y: l.header.Max.Y - h}, h, draw.Loose.Shorten(heading, h, l.header.Width()))
	d.scaleBar()
	d.Square = &draw.CalibrationSquare{At: r.square, Side: l.square, Size: strings.ReplaceAll(geometry.FormatLength(l.square, l.unit), " ", "")}
	box := geometry.Rect{Min: r.square, Max: r.square.Add(geometry.Point{X: l.square, Y: l.square})}
	d.block(box.Inset(d.in(0.15)), l.inside.rows)
	d.block(r.words, words.rows)
}

// scaleBar draws the bar with a stroke at each whole inch or centimetre.
func (d *drawing) scaleBar() {
	l := d.layout
	// The bar is drawn along x and, upright, turned by a quarter.
	turn := func(along, across float64) geometry.Point {
		if l.upright {
			along, across = across, along
		}
		return l.print.Min.Add(geometry.Point{X: along, Y: across})
	}
	at := d.in(0.05)
	d.path(draw.Mark, false, turn(0, at), turn(l.bar, at))
	for i := range int(math.Round(l.bar)) + 1 {
		r := d.in(0.025)
		if i == 0 || i == int(math.Round(l.bar)) {
			r = at
		}
		d.path(draw.Mark, false, turn(float64(i), at-r), turn(float64(i), at+r))
	}
	h := d.in(small)
	size := geometry.FormatLength(l.bar, l.unit)
	words := "bar: " + size + " from end to end"
	if width(words, h) > l.bar {
		words = size
	}
	if width(words, h) > l.bar {
		return
	}
	if l.upright {
		d.upward(turn(l.bar/2, d.in(0.13)+h), h, words)
		return
	}
	d.put(draw.Text{At: turn(l.bar/2, d.in(0.13)), Height: h, Value: words, Centred: true})
}
