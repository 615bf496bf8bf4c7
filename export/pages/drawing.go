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
	*draw.Pen
	layout *layout
}

func newDrawing(l *layout, title, note string) *drawing {
	d := &drawing{draw.NewPen(l.unit, title, note), l}
	d.Page = l.page
	return d
}

func (d *drawing) line(role draw.Role, x0, y0, x1, y1 float64) *draw.Path {
	return d.Path(role, false, geometry.Point{X: x0, Y: y0}, geometry.Point{X: x1, Y: y1})
}

// upward puts a text that reads upward, the middle of its baseline at at.
func (d *drawing) upward(at geometry.Point, height float64, value string) {
	d.Put(draw.Text{At: at, Height: height, Value: value, Turn: 90, Centred: true})
}

// descent is how far letters reach below the line, over the height of a
// capital: in the Go fonts, the descent of their hhea table and the capitals of OS/2.
const descent = 432.0 / 1480

// place puts a text, behind swatches if there are any, near a point, at most far away from it: inside r and, if
// given, inside the polygon, clear of all lines and texts so far. It reports
// whether there was room.
func (d *drawing) place(value string, height float64, near geometry.Point, far float64, r geometry.Rect, inside geometry.Polygon, swatches ...[]string) bool {
	room := draw.Room{Holds: func(p geometry.Point) bool {
		if p.X < r.Min.X || p.X > r.Max.X || p.Y < r.Min.Y || p.Y > r.Max.Y {
			return false
		}
		for _, s := range inside.Sides() {
			if s.B.Sub(s.A).Cross(p.Sub(s.A)) < 0 {
				return false
			}
		}
		return true
	}}
	for _, t := range d.Texts {
		room.Boxes = append(room.Boxes, t.Outline(draw.Loose, descent).Bounds())
	}
	for _, f := range d.Fills {
		for _, g := range f.Polygons {
			room.Boxes = append(room.Boxes, g.Bounds())
		}
	}
	for _, p := range d.Paths {
		room.Lines = append(room.Lines, p.Segments()...)
	}
	n := draw.Named{Text: draw.Text{Height: height, Value: value}, Swatches: swatches}
	w, clear := n.Width(draw.Loose), d.In(0.06)
	for _, off := range around {
		n.At = near.Add(off.Mul(far)).Sub(geometry.Point{X: w / 2, Y: height / 2})
		if room.Free(n.Outline(draw.Loose, descent).Bounds().Inset(-clear)) {
			d.PutNamed(draw.Loose, n)
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

// block puts rows of words, hanging from the top left of r.
func (d *drawing) block(r geometry.Rect, rows []row) {
	y := r.Max.Y
	for _, w := range rows {
		y -= w.height
		x := r.Min.X
		if w.sample != noSample {
			d.sample(w.sample, x, y+w.height/2)
			x += d.In(sampleRoom)
		}
		if w.text != "" {
			d.PutNamed(draw.Loose, draw.Named{Text: draw.Text{At: geometry.Point{X: x, Y: y}, Height: w.height, Value: w.text}, Swatches: w.swatches})
		}
		y -= (pitch - 1) * w.height
	}
}

// sample draws a short piece of a line, for the words beside it.
func (d *drawing) sample(s sample, x, y float64) {
	end := x + d.In(0.45)
	switch s {
	case cutSample:
		// Nothing but outlines may stand among the lines that are cut.
		d.line(draw.Mark, x, y, end, y).Dark = true
	case sewSample:
		d.line(draw.Sew, x, y, end, y)
	case seamSample:
		d.line(draw.Sew, x, y, end, y).Thin = true
	case grainSample:
		d.Arrow(geometry.Segment{A: geometry.Point{X: x, Y: y}, B: geometry.Point{X: end, Y: y}}, d.In(0.12), true)
	case glueSample:
		d.line(draw.Mark, x, y, end, y)
		d.cross((x+end)/2, y)
	}
}

// cross marks a point at which pages must meet.
func (d *drawing) cross(x, y float64) {
	r := d.In(0.06)
	d.line(draw.Mark, x-r, y-r, x+r, y+r)
	d.line(draw.Mark, x-r, y+r, x+r, y-r)
}

// frame puts what every page has: header, bar, calibration square and words.
func (d *drawing) frame(r room, words *block, heading string, number, pages int) {
	l := d.layout
	h := d.In(small)
	heading = fmt.Sprintf("page %d of %d: %s", number, pages, heading)
	d.Text(geometry.Point{X: l.header.Min.X, Y: l.header.Max.Y - h}, h, draw.Loose.Shorten(heading, h, l.header.Width()))
	d.scaleBar()
	d.Square = &draw.CalibrationSquare{At: r.square, Side: l.square, Size: strings.ReplaceAll(geometry.FormatLength(l.square, l.unit), " ", "")}
	box := geometry.Rect{Min: r.square, Max: r.square.Add(geometry.Point{X: l.square, Y: l.square})}
	d.block(box.Inset(l.bare()), l.inside.rows)
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
	at := d.In(0.05)
	d.Path(draw.Mark, false, turn(0, at), turn(l.bar, at))
	for i := range int(math.Round(l.bar)) + 1 {
		r := d.In(0.025)
		if i == 0 || i == int(math.Round(l.bar)) {
			r = at
		}
		d.Path(draw.Mark, false, turn(float64(i), at-r), turn(float64(i), at+r))
	}
	h := d.In(small)
	size := geometry.FormatLength(l.bar, l.unit)
	words := "bar: " + size + " from end to end"
	if width(words, h) > l.bar {
		words = size
	}
	if width(words, h) > l.bar {
		return
	}
	if l.upright {
		d.upward(turn(l.bar/2, d.In(0.13)+h), h, words)
		return
	}
	d.Centred(turn(l.bar/2, d.In(0.13)), h, words)
}
