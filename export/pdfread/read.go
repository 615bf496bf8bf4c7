// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"

	"lozenge/export"
	"lozenge/export/measure"
	"lozenge/export/trace"
	"lozenge/geometry"
)

const (
	maxPages      = 2000
	pointsPerInch = 72
)

// Read reads a PDF file as a drawing in inches, a page for each of its own,
// y up, its origin at the lower left corner of the page as it is shown. What
// can't be seen, by a layer, a clip, its colour or what lies over it, says so.
// Errors about the file are a *[SyntaxError].
func Read(r io.Reader) (*measure.Drawing, error) {
	d, err := read(r)
	if err != nil {
		return nil, fmt.Errorf("reading PDF: %w", err)
	}
	return d, nil
}

func read(r io.Reader) (*measure.Drawing, error) {
	var data bytes.Buffer
	if whole, err := export.Take(&data, r, maxFile); err != nil {
		return nil, err
	} else if !whole {
		return nil, wrong("the file is larger than %d MB", maxFile>>20)
	}
	f, err := open(data.Bytes())
	if err != nil {
		return nil, err
	}
	root, err := f.dictOf(f.trailer["Root"])
	if err != nil {
		return nil, err
	}
	if root == nil {
		return nil, wrong("it has no catalog")
	}
	d := &measure.Drawing{Format: measure.PDF, Unit: measure.Inch}
	w := &walker{file: f, drawing: d, layersOff: map[int]bool{}, seen: map[int]bool{}, meanings: map[ref]*meaning{}}
	w.pen.Store = &trace.Store{}
	if err := cmp.Or(w.layers(root), w.tree(root["Pages"], inherited{}, 0)); err != nil {
		return nil, err
	}
	if len(d.Pages) == 0 {
		return nil, wrong("it has no page")
	}
	if w.notes > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("notes or fields that lie over its pages are not measured (%d)", w.notes))
	}
	if w.images > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%d pictures of pixels in it are not measured", w.images))
	}
	return d, nil
}

// walker goes through the pages.
type walker struct {
	*file
	drawing *measure.Drawing
	page    *measure.Page
	pen     trace.Pen
	seen    map[int]bool // nodes of the page tree
	ops     int          // operators so far, each time a form is drawn
	texts   int
	images  int
	notes   int // that lie over a page
	clipped int // see trace.Clip

	layersOff map[int]bool // by the number of their object

	meanings map[ref]*meaning // of fonts
}

// inherited is what a node of the page tree hands down.
type inherited struct {
	media, crop, rotate, resources object
}

func (w *walker) tree(o object, in inherited, depth int) error {
	if r, ok := o.(ref); ok {
		if w.seen[r.number] {
			return wrong("the tree of pages comes back to object %d", r.number)
		}
		w.seen[r.number] = true
	}
	if depth > maxDepth {
		return wrong("the tree of pages is more than %d deep", maxDepth)
	}
	d, err := w.dictOf(o)
	if err != nil || d == nil {
		return err
	}
	for key, to := range map[name]*object{"MediaBox": &in.media, "CropBox": &in.crop, "Rotate": &in.rotate, "Resources": &in.resources} {
		if v, ok := d[key]; ok {
			*to = v
		}
	}
	kids, err := w.arrayOf(d["Kids"])
	if err != nil {
		return err
	}
	if kids == nil {
		if len(w.drawing.Pages) >= maxPages {
			return wrong("it has more than %d pages", maxPages)
		}
		if err := w.readPage(d, in); err != nil {
			return fmt.Errorf("page %d: %w", len(w.drawing.Pages)+1, err)
		}
		return nil
	}
	for _, kid := range kids {
		if err := w.tree(kid, in, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// box returns a page box, its corners in order.
func (w *walker) box(o object) (geometry.Rect, bool, error) {
	v, ok, err := w.numbersOf(o, 4)
	if err != nil || !ok {
		return geometry.Rect{}, false, err
	}
	r := geometry.EmptyRect().Grow(geometry.Point{X: v[0], Y: v[1]}, geometry.Point{X: v[2], Y: v[3]})
	return r, r.Width() > 0 && r.Height() > 0 && r.Width() < 1e7 && r.Height() < 1e7, nil
}

func (w *walker) readPage(d dict, in inherited) error {
	box, ok, err := w.box(in.media)
	if err != nil {
		return err
	}
	if !ok {
		return wrong("it has no size (MediaBox)")
	}
	crop, ok, err := w.box(in.crop)
	if err != nil {
		return err
	}
	if ok && crop != box {
		both := geometry.Rect{
			Min: geometry.Point{X: max(box.Min.X, crop.Min.X), Y: max(box.Min.Y, crop.Min.Y)},
			Max: geometry.Point{X: min(box.Max.X, crop.Max.X), Y: min(box.Max.Y, crop.Max.Y)},
		}
		if both.Width() > 0 && both.Height() > 0 {
			if len(w.drawing.Pages) == 0 {
				w.drawing.Notes = append(w.drawing.Notes, fmt.Sprintf("the page was cropped; the sheet itself is %s by %s",
					measure.Inch.Format(box.Width()/pointsPerInch), measure.Inch.Format(box.Height()/pointsPerInch)))
			}
			box = both
		}
	}
	unit := 1.0
	if v, err := w.resolve(d["UserUnit"]); err != nil {
		return err
	} else if v, ok := v.(float64); ok && v > 0 && v < 1e6 && v != 1 {
		unit = v
		w.drawing.Doubt = "it uses UserUnit, which many programs leave out: they would print it in another size"
	}
	k := unit / pointsPerInch
	width, height := box.Width()*k, box.Height()*k
	m := trace.Scale(k, k).After(trace.Translate(-box.Min.X, -box.Min.Y))
	turn, err := w.resolve(in.rotate)
	if err != nil {
		return err
	}
	// Pages are turned clockwise.
	if v, ok := turn.(float64); ok {
		switch math.Mod(math.Mod(v, 360)+360, 360) {
		case 90:
			m = trace.Matrix{0, -1, 1, 0, 0, width}.After(m)
			width, height = height, width
		case 180:
			m = trace.Matrix{-1, 0, 0, -1, width, height}.After(m)
		case 270:
			m = trace.Matrix{0, 1, -1, 0, height, 0}.After(m)
			width, height = height, width
		}
	}
	w.page = &measure.Page{Width: width, Height: height}
	resources, err := w.dictOf(in.resources)
	if err != nil {
		return err
	}
	data, err := w.contents(d["Contents"])
	if err != nil {
		return err
	}
	if err := w.draw(data, resources, graphics{m: m}.inks(), 0); err != nil {
		return err
	}
	if err := w.annotations(d["Annots"], m); err != nil {
		return err
	}
	w.page.Look()
	w.drawing.Pages = append(w.drawing.Pages, *w.page)
	return nil
}

// contents returns the content of a page, which may be in pieces.
func (w *walker) contents(o object) ([]byte, error) {
	parts, err := w.list(o)
	if err != nil {
		return nil, err
	}
	var out []byte
	for _, part := range parts {
		s, ok := part.(*stream)
		if !ok {
			continue
		}
		data, err := w.unpack(s)
		if err != nil {
			return nil, err
		}
		if err := w.spend(len(data)); err != nil {
			return nil, err
		}
		if len(parts) == 1 {
			return data, nil
		}
		out = append(append(out, data...), '\n')
	}
	return out, nil
}
