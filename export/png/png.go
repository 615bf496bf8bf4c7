// SPDX-License-Identifier: Apache-2.0

// Package png draws a drawing as a picture of pixels, for looking at where an
// SVG can't be shown. It is not for measuring: a PNG says how many pixels
// make an inch, but few programs keep to it.
package png

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	imagedraw "image/draw"
	"image/png"
	"io"
	"math"
	"slices"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// MaxPixels bounds a picture: 40 million pixels take 320 MB while it is drawn.
const MaxPixels = 40_000_000

// Resolution limits, in pixels to an inch of paper.
const (
	MinDPI = 10
	MaxDPI = 1200
)

// maxAll bounds pictures that are drawn in one run, all together.
const maxAll = 4 * MaxPixels

// SizeError says that a picture, or all of them, would be too large.
type SizeError struct{ Pictures, Width, Height, DPI int } // width and height of the largest

func (e *SizeError) Error() string {
	if e.Pictures == 1 {
		return fmt.Sprintf("at %d pixels an inch the picture would be %d by %d pixels, more than %d million; ask for fewer", e.DPI, e.Width, e.Height, MaxPixels/1_000_000)
	}
	return fmt.Sprintf("at %d pixels an inch %d pictures of up to %d by %d pixels would be too many: no more than %d million each, and %d million together; ask for fewer pixels an inch",
		e.DPI, e.Pictures, e.Width, e.Height, MaxPixels/1_000_000, maxAll/1_000_000)
}

// Check tells before they are drawn whether drawings would be too large: a
// [*SizeError], or nil.
func Check(dpi int, all ...*draw.Drawing) error {
	sum, largest, e := 0.0, 0.0, &SizeError{Pictures: len(all), DPI: dpi}
	for _, s := range all {
		width, height := size(s, dpi)
		if sum += width * height; width*height > largest {
			largest, e.Width, e.Height = width*height, int(width), int(height)
		}
	}
	if largest > MaxPixels || sum > maxAll {
		return e
	}
	return nil
}

// unitOf returns how many pixels a drawn unit takes.
func unitOf(s *draw.Drawing, dpi int) float64 { return s.Unit.Inches(1) * s.Scale * float64(dpi) }

// size returns how many pixels a drawing takes.
func size(s *draw.Drawing, dpi int) (width, height float64) {
	unit := unitOf(s, dpi)
	return math.Ceil(s.Page.Width()*unit - 1e-6), math.Ceil(s.Page.Height()*unit - 1e-6)
}

// Write draws s with dpi pixels to an inch of paper, s.Scale applied, in those
// fonts, and notes the resolution in the file. The error is a [*SizeError], or w's.
func Write(w io.Writer, s *draw.Drawing, dpi int, letters draw.Fonts) error {
	if dpi < MinDPI || dpi > MaxDPI {
		return fmt.Errorf("drawing PNG: %d pixels an inch is not within %d to %d", dpi, MinDPI, MaxDPI)
	}
	width, height := size(s, dpi)
	if !(width >= 1 && height >= 1) {
		return fmt.Errorf("drawing PNG: the page is %v by %v", s.Page.Width(), s.Page.Height())
	}
	if err := Check(dpi, s); err != nil {
		return err
	}
	c := &canvas{
		img:  image.NewRGBA(image.Rect(0, 0, int(width), int(height))),
		unit: unitOf(s, dpi),
		min:  geometry.Point{X: s.Page.Min.X, Y: s.Page.Max.Y},
	}
	imagedraw.Draw(c.img, c.img.Bounds(), image.White, image.Point{}, imagedraw.Src)
	if err := c.drawing(s, letters); err != nil {
		return fmt.Errorf("drawing PNG: %w", err)
	}
	return encode(w, c.img, dpi)
}

// encode adds the chunk that tells the resolution (pHYs of the PNG
// specification, 2nd edition, 11.3.5.3) behind the header.
func encode(w io.Writer, img image.Image, dpi int) error {
	var buf bytes.Buffer
	if err := png.Encode(&buf, img); err != nil {
		return err
	}
	const head = 8 + 25 // signature and IHDR
	perMetre := uint32(math.Round(float64(dpi) / 0.0254))
	data := binary.BigEndian.AppendUint32([]byte("pHYs"), perMetre)
	data = append(binary.BigEndian.AppendUint32(data, perMetre), 1) // the unit is the metre
	chunk := append([]byte{0, 0, 0, byte(len(data) - 4)}, data...)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(data))
	_, err := w.Write(slices.Insert(buf.Bytes(), head, chunk...))
	return err
}

type canvas struct {
	img    *image.RGBA
	unit   float64           // pixels to a drawn unit
	min    geometry.Point    // top left corner of the page
	raster vector.Rasterizer // of one shape after another
}

// at turns y round.
func (c *canvas) at(p geometry.Point) (x, y float64) {
	return (p.X - c.min.X) * c.unit, (c.min.Y - p.Y) * c.unit
}

func grey(v uint8) color.RGBA { return color.RGBA{v, v, v, 255} }

func (c *canvas) drawing(s *draw.Drawing, letters draw.Fonts) error {
	for _, f := range s.Fills {
		col, err := draw.RGB(f.Colour)
		if err != nil {
			return err
		}
		c.polygons(f.Polygons, col)
	}
	for _, style := range draw.Styles() {
		for _, p := range s.Paths {
			if p.Role != style.Role {
				continue
			}
			width, col := style.Width*s.Line, grey(style.Grey)
			switch {
			case p.Dark:
				width, col = s.Line, grey(draw.DarkGrey)
			case p.Thin:
				width = style.Thin * s.Line
			}
			points := p.Points
			if p.Closed {
				points = append(points[:len(points):len(points)], points[0])
			}
			c.stroke(points, width, style.Dashes(s.Line, p.Thin), col)
		}
	}
	if q := s.Square; q != nil {
		c.stroke(append(q.Rect().Polygon(), q.At), s.Line/2, nil, grey(0))
	}
	return c.texts(s.Texts, letters)
}

// polygons fills polygons of one colour. They are added up in one go, so that
// no paper shows between neighbours.
func (c *canvas) polygons(polygons []geometry.Polygon, col color.RGBA) {
	box := image.Rectangle{}
	for _, g := range polygons {
		for _, p := range g {
			x, y := c.at(p)
			box = box.Union(image.Rect(int(math.Floor(x)), int(math.Floor(y)), int(math.Ceil(x))+1, int(math.Ceil(y))+1))
		}
	}
	c.fill(box, polygons, col, c.at)
}

// fill fills polygons, which lie in a box of pixels, place telling where their
// points do. Only that part of the picture is gone through.
func (c *canvas) fill(box image.Rectangle, polygons []geometry.Polygon, col color.RGBA, place func(geometry.Point) (x, y float64)) {
	if box = box.Intersect(c.img.Rect); box.Empty() {
		return
	}
	r := &c.raster
	r.Reset(box.Dx(), box.Dy())
	for _, g := range polygons {
		for i, p := range g {
			x, y := place(p)
			if at := (geometry.Point{X: x - float64(box.Min.X), Y: y - float64(box.Min.Y)}); i == 0 {
				r.MoveTo(float32(at.X), float32(at.Y))
			} else {
				r.LineTo(float32(at.X), float32(at.Y))
			}
		}
		r.ClosePath()
	}
	r.Draw(c.img, box, image.NewUniform(col), image.Point{})
}

// stroke draws a line of at least a pixel's width, as a strip for each of its
// parts; dash is how much of it is drawn and left out, if any.
func (c *canvas) stroke(points []geometry.Point, width float64, dash []float64, col color.RGBA) {
	half := max(width*c.unit, 1) / 2
	for i := range points[:len(points)-1] {
		x0, y0 := c.at(points[i])
		x1, y1 := c.at(points[i+1])
		l := math.Hypot(x1-x0, y1-y0)
		if l == 0 {
			continue
		}
		dx, dy := (x1-x0)/l, (y1-y0)/l
		on, step := l, l
		if dash != nil {
			on, step = dash[0]*c.unit, (dash[0]+dash[1])*c.unit
		}
		for from := 0.0; from < l; from += step {
			to := min(from+on, l)
			c.strip(x0+dx*from, y0+dy*from, x0+dx*to, y0+dy*to, dx*half, dy*half, col)
		}
	}
}

// bandHigh is how many lines of pixels of a strip are filled in one go. The
// rasterizer's slopes have 9 bits, so that what is much higher drifts aside.
const bandHigh = 16

// strip fills the rectangle around a line, a little longer than it, so that
// corners close. A long line that slants covers little of the box around it:
// it is filled band by band, or a thousand of them would take a minute.
func (c *canvas) strip(x0, y0, x1, y1, hx, hy float64, col color.RGBA) {
	g := geometry.Polygon{{X: x0 - hx + hy, Y: y0 - hy - hx}, {X: x1 + hx + hy, Y: y1 + hy - hx}, {X: x1 + hx - hy, Y: y1 + hy + hx}, {X: x0 - hx - hy, Y: y0 - hy + hx}}
	around := g.Bounds()
	top, bottom := max(int(math.Floor(around.Min.Y)), 0), min(int(math.Ceil(around.Max.Y))+1, c.img.Rect.Max.Y)
	for y := top; y < bottom; y += bandHigh {
		part := g
		if bottom-top > bandHigh {
			around.Min.Y, around.Max.Y = float64(y), float64(y+bandHigh)
			if part = g.Within(around); part == nil {
				continue
			}
		}
		band := part.Bounds()
		box := image.Rect(int(math.Floor(band.Min.X)), y, int(math.Ceil(band.Max.X))+1, min(y+bandHigh, bottom))
		c.fill(box, []geometry.Polygon{part}, col, func(p geometry.Point) (x, y float64) { return p.X, p.Y })
	}
}

// texts draws lettering from the outlines of the fonts.
func (c *canvas) texts(texts []draw.Text, letters draw.Fonts) error {
	for _, t := range texts {
		col := grey(draw.Ink)
		if t.Colour != "" {
			var err error
			if col, err = draw.RGB(t.Colour); err != nil {
				return err
			}
		}
		size := t.Height / draw.GoCap
		var line []glyph
		width := 0.0
		for _, run := range letters.Runs(t.Value, false) {
			unit := size / float64(run.Font.UnitsPerEm())
			for _, r := range run.Text {
				line = append(line, glyph{run.Font.Outline(r), width, unit})
				width += run.Font.Advance(r) * size
			}
		}
		start := 0.0
		if t.Centred {
			start = -width / 2
		}
		sin, cos := t.Turn.SinCos()
		c.glyphs(line, col, func(u, v float64) (x, y float64) {
			u += start
			return c.at(t.At.Add(geometry.Point{X: u*cos - v*sin, Y: u*sin + v*cos}))
		})
	}
	return nil
}

// glyph is a letter in a line of text, so far from its left end, its units so
// large.
type glyph struct {
	segments sfnt.Segments
	at, unit float64
}

// place returns where a point of it lies: along the line and above it; the y of
// fonts runs down.
func (g glyph) place(p fixed.Point26_6) (u, v float64) {
	return g.at + float64(p.X)*g.unit, -float64(p.Y) * g.unit
}

// glyphs fills the outlines of a line of text, place telling where their
// points lie in pixels. Only the part of the picture that they cover is gone
// through: there may be a label on each of a hundred thousand pieces.
func (c *canvas) glyphs(line []glyph, col color.RGBA, place func(u, v float64) (x, y float64)) {
	box := image.Rectangle{}
	for _, g := range line {
		for _, s := range g.segments {
			for _, p := range s.Args[:arguments[s.Op]] {
				x, y := place(g.place(p))
				box = box.Union(image.Rect(int(math.Floor(x)), int(math.Floor(y)), int(math.Floor(x))+1, int(math.Floor(y))+1))
			}
		}
	}
	if box = box.Intersect(c.img.Bounds()); box.Empty() {
		return
	}
	r := &c.raster
	r.Reset(box.Dx(), box.Dy())
	for _, g := range line {
		for _, s := range g.segments {
			var at [3][2]float32
			for i, p := range s.Args[:arguments[s.Op]] {
				x, y := place(g.place(p))
				at[i] = [2]float32{float32(x - float64(box.Min.X)), float32(y - float64(box.Min.Y))}
			}
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				r.ClosePath()
				r.MoveTo(at[0][0], at[0][1])
			case sfnt.SegmentOpLineTo:
				r.LineTo(at[0][0], at[0][1])
			case sfnt.SegmentOpQuadTo:
				r.QuadTo(at[0][0], at[0][1], at[1][0], at[1][1])
			case sfnt.SegmentOpCubeTo:
				r.CubeTo(at[0][0], at[0][1], at[1][0], at[1][1], at[2][0], at[2][1])
			}
		}
	}
	r.ClosePath()
	r.Draw(c.img, box, image.NewUniform(col), image.Point{})
}

// arguments is how many points a segment of an outline has.
var arguments = [...]int{sfnt.SegmentOpMoveTo: 1, sfnt.SegmentOpLineTo: 1, sfnt.SegmentOpQuadTo: 2, sfnt.SegmentOpCubeTo: 3}
