// SPDX-License-Identifier: Apache-2.0

package target

import (
	"fmt"
	"math"
	"slices"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// band is a step of the error: up to so much.
type band struct {
	most   float64 // in the sheet's unit; +Inf for the last
	words  string
	colour string
}

// bands returns the steps in the fractions of the trade, or in millimetres:
// greens up to 1/32 in, which is what cutting by hand can follow.
func bands(u geometry.Unit) []band {
	colours := [...]string{"#d5ebdd", "#a5d4b5", "#f7eeb5", "#f2cf7d", "#eaa45f", "#d8744d", "#b44a48", "#7d3340"}
	most := [...]float64{1. / 64, 1. / 32, 3. / 64, 1. / 16, 3. / 32, 1. / 8, 1. / 4, math.Inf(1)}
	words := [...]string{"1/64 in", "1/32 in", "3/64 in", "1/16 in", "3/32 in", "1/8 in", "1/4 in", "more"}
	if u == geometry.Centimetre {
		most = [...]float64{0.04, 0.08, 0.12, 0.16, 0.24, 0.32, 0.64, math.Inf(1)}
		words = [...]string{"0.4 mm", "0.8 mm", "1.2 mm", "1.6 mm", "2.4 mm", "3.2 mm", "6.4 mm", "more"}
	}
	var out []band
	for i, c := range colours {
		out = append(out, band{most[i], words[i], c})
	}
	return out
}

// The calibrated area is shaded in so many cells. Within one the error is
// taken as linear: it is a smooth function, largest at the rim.
const cellsAcross, cellsDown = 64, 36

// ErrorMap draws the local 95 % error of a calibration over the mat: the
// calibrated area in the mat's own coordinates (x right, y up, true size),
// shaded in steps, with the crosses of points, the mat's grid and a key.
// points gives the numbers of the crosses; those of readings that stand out
// are marked. Lengths are in u.
func ErrorMap(m *calibrate.Map, points []calibrate.Point, u geometry.Unit) *draw.Drawing {
	d := mapDrawing{
		Pen: draw.NewPen(u, "How far off a line may land",
			"Over the calibrated area of the mat, at true size: 19 of 20 lines land within what the shade says."),
		m: m, bands: bands(u),
	}
	_, mat := m.Area()
	for _, p := range mat {
		d.area = append(d.area, d.at(p))
	}
	d.box = d.area.Bounds()
	// What serves the eye goes with the size of the picture.
	d.size = max(d.box.Width(), d.box.Height()) / 75
	d.Line = d.size / 12
	used := d.shade()
	d.grid()
	d.Path(draw.Mark, true, d.area...)
	d.crosses(points)
	d.worst()
	d.key(used)
	return d.Drawing
}

type mapDrawing struct {
	*draw.Pen
	m     *calibrate.Map
	bands []band
	area  geometry.Polygon
	box   geometry.Rect // of the area
	size  float64       // of a capital letter
}

// at returns a place of the mat, in inches, in the sheet's unit.
func (d *mapDrawing) at(p geometry.Point) geometry.Point { return p.Mul(d.In(1)) }

func (d *mapDrawing) pixel(p geometry.Point) geometry.Point {
	x, y := d.m.ToMat(p.X, p.Y)
	return d.at(geometry.Point{X: x, Y: y})
}

// node is a place on the screen with the error there, in the sheet's unit.
type node struct {
	p geometry.Point
	e float64
}

// shade fills the area, and reports which bands there are.
func (d *mapDrawing) shade() []bool {
	screen, _ := d.m.Area()
	box := screen.Bounds()
	fills := make([][]geometry.Polygon, len(d.bands))
	var places []geometry.Point
	for j := range cellsDown + 1 {
		for i := range cellsAcross + 1 {
			places = append(places, geometry.Point{
				X: box.Min.X + float64(box.Width()*float64(i)/cellsAcross),
				Y: box.Min.Y + float64(box.Height()*float64(j)/cellsDown),
			})
		}
	}
	errors := d.m.LocalErrorsAt(places)
	corner := func(i, j int) node {
		k := j*(cellsAcross+1) + i
		return node{places[k], errors[k] * d.In(1)}
	}
	for j := range cellsDown {
		var low, high []node // of cells side by side in one band
		end := func() {
			if len(low) > 1 {
				slices.Reverse(high)
				d.part(clipTo(append(low, high...), screen), fills)
			}
			low, high = nil, nil
		}
		for i := range cellsAcross {
			a, b, c, e := corner(i, j), corner(i+1, j), corner(i+1, j+1), corner(i, j+1)
			k := d.band(a.e)
			if k != d.band(b.e) || k != d.band(c.e) || k != d.band(e.e) {
				end()
				d.part(clipTo([]node{a, b, c}, screen), fills)
				d.part(clipTo([]node{a, c, e}, screen), fills)
				continue
			}
			if len(low) == 0 {
				low, high = []node{a}, []node{e}
			}
			low, high = append(low, b), append(high, c)
		}
		end()
	}
	used := make([]bool, len(d.bands))
	for i, f := range fills {
		if used[i] = len(f) > 0; used[i] {
			d.Fill(d.bands[i].colour, f)
		}
	}
	return used
}

// band returns the index of the band of an error.
func (d *mapDrawing) band(e float64) int {
	return slices.IndexFunc(d.bands, func(b band) bool { return e <= b.most })
}

// part adds the parts of a cell to the fills of their bands.
func (d *mapDrawing) part(cell []node, fills [][]geometry.Polygon) {
	least := 0.0
	for i, b := range d.bands {
		rest := cell
		if i > 0 {
			from := least
			rest = geometry.Keep(rest, func(n node) float64 { return n.e - from }, between)
		}
		if !math.IsInf(b.most, 1) {
			rest = geometry.Keep(rest, func(n node) float64 { return b.most - n.e }, between)
		}
		least = b.most
		var g geometry.Polygon
		for _, n := range rest {
			g = append(g, d.pixel(n.p))
		}
		if len(g) > 2 && math.Abs(g.Area()) > 1e-9 {
			fills[i] = append(fills[i], g)
		}
	}
}

// clipTo keeps what lies in the convex counter-clockwise area.
func clipTo(g []node, area geometry.Polygon) []node {
	for _, s := range area.Sides() {
		g = geometry.Keep(g, func(n node) float64 { return s.B.Sub(s.A).Cross(n.p.Sub(s.A)) }, between)
	}
	return g
}

// between returns the node the part t of the way from a to b.
func between(a, b node, t float64) node {
	return node{a.p.Add(b.p.Sub(a.p).Mul(t)), a.e + float64((b.e-a.e)*t)}
}

func (d *mapDrawing) line(a, b geometry.Point, thin bool) {
	d.Path(draw.Mark, false, a, b).Thin = thin
}

// grid draws the mat's own lines, every 6 in or 10 cm, with their numbers.
func (d *mapDrawing) grid() {
	step := d.Unit.Of(6, 10)
	b := d.box
	// A whole number times the step: adding up would drift.
	for i := math.Ceil(b.Min.X / step); i*step <= b.Max.X; i++ {
		x := i * step
		d.line(geometry.Point{X: x, Y: b.Min.Y - d.size}, geometry.Point{X: x, Y: b.Max.Y}, true)
		d.Centred(geometry.Point{X: x, Y: b.Min.Y - 2.5*d.size}, d.size, fmt.Sprint(x+0))
	}
	for i := math.Ceil(b.Min.Y / step); i*step <= b.Max.Y; i++ {
		y := i * step
		d.line(geometry.Point{X: b.Min.X - d.size, Y: y}, geometry.Point{X: b.Max.X, Y: y}, true)
		text := fmt.Sprint(y + 0)
		d.Text(geometry.Point{X: b.Min.X - 1.5*d.size - draw.TextWidth(text, d.size), Y: y - d.size/2}, d.size, text)
	}
}

// crosses marks where the crosses land, once each.
func (d *mapDrawing) crosses(points []calibrate.Point) {
	seen := map[geometry.Point]int{}
	suspect := map[geometry.Point]bool{}
	var order []geometry.Point
	for _, p := range points {
		at := geometry.Point{X: p.U, Y: p.V}
		if _, ok := seen[at]; !ok {
			order = append(order, at)
			seen[at] = p.Point
		}
		suspect[at] = suspect[at] || p.Suspect
	}
	middle := d.box.Centre()
	for _, at := range order {
		p, arm := d.pixel(at), 0.8*d.size
		d.line(p.Sub(geometry.Point{X: arm}), p.Add(geometry.Point{X: arm}), false)
		d.line(p.Sub(geometry.Point{Y: arm}), p.Add(geometry.Point{Y: arm}), false)
		text := fmt.Sprint(seen[at])
		if suspect[at] {
			text += " measure again"
		}
		where := p.Add(geometry.Point{X: 0.4 * d.size, Y: -1.5 * d.size})
		// Not for what is in the middle but for rounding.
		if p.X > middle.X+geometry.Fit {
			where.X = p.X - 0.4*d.size - draw.TextWidth(text, d.size)
		}
		if p.Y < middle.Y-geometry.Fit {
			where.Y = p.Y + 0.5*d.size
		}
		d.Text(where, d.size, text)
	}
}

// worst rings the place where a line may land farthest off.
func (d *mapDrawing) worst() {
	e := d.m.Expected()
	if math.IsNaN(e.Worst) {
		return
	}
	at := d.at(e.WorstAt)
	var ring geometry.Polygon
	for i := range 24 {
		sin, cos := geometry.Angle(15 * i).SinCos()
		ring = append(ring, at.Add(geometry.Point{X: cos, Y: sin}.Mul(1.4*d.size)))
	}
	d.Path(draw.Mark, true, ring...)
}

// key says what the shades mean, and sets the page.
func (d *mapDrawing) key(used []bool) {
	b, s := d.box, d.size
	top := b.Max.Y + 2*s
	d.Text(geometry.Point{X: b.Min.X, Y: top + 2*s}, d.size, "How far off a cut line may land: 19 of 20 land within")
	x := b.Min.X
	for i, use := range used {
		if !use {
			continue
		}
		low := geometry.Point{X: x, Y: top - s/4}
		box := geometry.Rect{Min: low, Max: low.Add(geometry.Point{X: 2 * s, Y: 1.5 * s})}
		d.Fill(d.bands[i].colour, []geometry.Polygon{box.Polygon()})
		d.Rect(draw.Mark, box).Thin = true
		d.Text(geometry.Point{X: x + 2.5*s, Y: top}, d.size, d.bands[i].words)
		x += 4*s + draw.TextWidth(d.bands[i].words, s)
	}
	foot := "the outline is the calibrated area; the ring marks its worst place"
	if d.m.Mirrored() {
		foot += "; y may have been read downwards"
	}
	low := b.Min.Y - 5*s
	d.Text(geometry.Point{X: b.Min.X, Y: low}, d.size, foot)
	wide := max(b.Max.X, x, b.Min.X+draw.TextWidth(foot, s))
	d.Page = geometry.Rect{
		Min: geometry.Point{X: b.Min.X - 6*s, Y: low - 2*s},
		Max: geometry.Point{X: wide + 3*s, Y: top + 5*s},
	}
}
