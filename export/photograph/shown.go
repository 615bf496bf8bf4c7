// SPDX-License-Identifier: Apache-2.0

package photograph

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
)

const (
	mostShown = 2000.0 // pixels along the longer side
	magnified = 100.0  // residuals, which nobody would see
)

var (
	gridColour  = color.RGBA{0, 190, 255, 255}
	zeroColour  = color.RGBA{255, 200, 0, 255}
	crossColour = color.RGBA{255, 60, 200, 255}
	offColour   = color.RGBA{255, 40, 40, 255}
)

// WriteShown writes the photo as a PNG with everything in it that was found: the
// mat's lines as the fit has them, each cross with its number, and how far the
// solution passes it by, a hundred times as long.
func WriteShown(w io.Writer, im *image.Gray, f *photo.Found, r calibrate.Result) error {
	n := max(1, int(math.Ceil(float64(max(im.Rect.Dx(), im.Rect.Dy()))/mostShown)))
	d := &shown{picture: smaller(im, n), n: float64(n), found: f}
	d.grid()
	for _, c := range f.Crosses {
		d.cross(c)
	}
	for _, p := range r.Points {
		d.residual(p)
	}
	return png.Encode(w, d.picture)
}

// smaller returns the picture in colour, n times smaller.
func smaller(im *image.Gray, n int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, im.Rect.Dx()/n, im.Rect.Dy()/n))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			sum := 0
			for j := range n {
				for i := range n {
					sum += int(im.Pix[(y*n+j)*im.Stride+x*n+i])
				}
			}
			v := uint8(sum / (n * n))
			out.SetRGBA(x, y, color.RGBA{v, v, v, 255})
		}
	}
	return out
}

type shown struct {
	picture *image.RGBA
	n       float64 // pixels of the photo in one drawn
	found   *photo.Found
}

// place returns where a place of the mat is drawn.
func (d *shown) place(x, y float64) (float64, float64, bool) {
	px, py, ok := d.found.InPhoto(x, y)
	px, py = px/d.n, py/d.n
	return px, py, ok && px > -50 && py > -50 && px < float64(d.picture.Rect.Dx())+50 && py < float64(d.picture.Rect.Dy())+50
}

// grid draws the mat's lines and numbers every fifth.
func (d *shown) grid() {
	f := d.found
	x0, y0, x1, y1 := f.Lines()
	for k := x0; k <= x1; k++ {
		d.line(k == 0, func(t float64) (float64, float64) { return float64(k) * f.Step, t * f.Step }, y0, y1)
	}
	for k := y0; k <= y1; k++ {
		d.line(k == 0, func(t float64) (float64, float64) { return t * f.Step, float64(k) * f.Step }, x0, x1)
	}
	for k := max(x0, 0); k <= x1; k += 5 {
		d.number(fmt.Sprint(k), float64(k)*f.Step, 0, zeroColour)
	}
	for k := max(y0, 5); k <= y1; k += 5 {
		d.number(fmt.Sprint(k), 0, float64(k)*f.Step, zeroColour)
	}
}

func (d *shown) line(zero bool, at func(t float64) (x, y float64), from, to int) {
	colour, width := gridColour, 0.8
	if zero {
		colour, width = zeroColour, 2
	}
	for k := 4 * from; k < 4*to; k++ {
		x0, y0, ok0 := d.place(at(float64(k) / 4))
		x1, y1, ok1 := d.place(at(float64(k+1) / 4))
		if ok0 && ok1 {
			d.stroke(x0, y0, x1, y1, width, colour)
		}
	}
}

func (d *shown) cross(c photo.Cross) {
	x, y := c.Photo.X/d.n, c.Photo.Y/d.n
	const gap, arm = 3, 12
	for k := range 4 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 2)
		d.stroke(x+gap*cos, y+gap*sin, x+arm*cos, y+arm*sin, 1.5, crossColour)
	}
	d.write(fmt.Sprint(c.Point), x+14, y-14, crossColour)
}

// residual draws from where a cross was found to where the solution has it.
func (d *shown) residual(p calibrate.Point) {
	x0, y0, ok0 := d.place(p.X, p.Y)
	x1, y1, ok1 := d.place(p.ExpectedX, p.ExpectedY)
	if ok0 && ok1 {
		d.stroke(x0, y0, x0+magnified*(x1-x0), y0+magnified*(y1-y0), 2, offColour)
	}
}

// stroke draws a straight line.
func (d *shown) stroke(x0, y0, x1, y1, width float64, c color.RGBA) {
	l := math.Hypot(x1-x0, y1-y0)
	if !(l > 0 && l < 2*mostShown) {
		return
	}
	nx, ny := -(y1-y0)/l*width/2, (x1-x0)/l*width/2
	box := image.Rect(int(min(x0, x1)-3), int(min(y0, y1)-3), int(max(x0, x1)+4), int(max(y0, y1)+4)).Intersect(d.picture.Rect)
	if box.Empty() {
		return
	}
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	ox, oy := float64(box.Min.X), float64(box.Min.Y)
	to := func(move func(x, y float32), x, y float64) { move(float32(x-ox), float32(y-oy)) }
	to(r.MoveTo, x0+nx, y0+ny)
	to(r.LineTo, x1+nx, y1+ny)
	to(r.LineTo, x1-nx, y1-ny)
	to(r.LineTo, x0-nx, y0-ny)
	r.ClosePath()
	r.Draw(d.picture, box, image.NewUniform(c), image.Point{})
}

func (d *shown) number(text string, x, y float64, c color.RGBA) {
	if u, v, ok := d.place(x, y); ok {
		d.write(text, u+4, v-4, c)
	}
}

// write sets small letters twice as large as they are.
func (d *shown) write(text string, x, y float64, c color.RGBA) {
	face := basicfont.Face7x13
	mask := image.NewAlpha(image.Rect(0, 0, face.Advance*len(text), face.Height))
	(&font.Drawer{Dst: mask, Src: image.Opaque, Face: face, Dot: fixed.P(0, face.Ascent)}).DrawString(text)
	for j := range 2 * mask.Rect.Dy() {
		for i := range 2 * mask.Rect.Dx() {
			if at := image.Pt(int(x)+i, int(y)-2*face.Ascent+j); mask.AlphaAt(i/2, j/2).A > 0 && at.In(d.picture.Rect) {
				d.picture.SetRGBA(at.X, at.Y, c)
			}
		}
	}
}
