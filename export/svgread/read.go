// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"lozenge/export/measure"
	"lozenge/export/trace"
)

// Read reads an SVG file as a drawing in inches, y up, its origin at the
// lower left corner of the page. unit is that of the user units of a file
// that gives no physical size, "" when nobody said; then such a file is an
// error. Errors about the file are a *[SyntaxError].
//
// Read follows viewBox and preserveAspectRatio, svg within svg, use and
// symbol, all transforms, all shapes and path commands, and lengths with
// units inside (which are user units, 96 to an inch, not inches of paper). Of
// styles and style sheets it follows what tells whether a line can be seen; one
// that moves anything, or picks elements by more than their name, class and id, is
// an error, and so is what moves by itself: scripts and animation.
func Read(r io.Reader, unit measure.Unit) (*measure.Drawing, error) {
	d, err := read(r, unit)
	if err != nil {
		return nil, fmt.Errorf("reading SVG: %w", err)
	}
	return d, nil
}

func read(r io.Reader, unit measure.Unit) (*measure.Drawing, error) {
	t, err := parse(r)
	if err != nil {
		return nil, err
	}
	if t.root.name != "svg" {
		return nil, t.root.errorf("the root element is <%s>; this is not an SVG file", short(t.root.name))
	}
	d := &measure.Drawing{Format: measure.SVG}
	w := &walker{tree: t, drawing: d, page: &measure.Page{Paths: make([]measure.Path, 0, t.elements)}}
	w.pen.Store = &trace.Store{}
	w.inside(t.root, w.rootState(unit))
	if w.err != nil {
		return nil, w.err
	}
	w.page.Look()
	if w.foreign > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("pieces of other documents in it are not measured (foreignObject, %d)", w.foreign))
	}
	if w.images > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%d pictures of pixels in it are not measured", w.images))
	}
	d.Pages = []measure.Page{*w.page}
	return d, nil
}

// state is what an element inherits.
type state struct {
	m             trace.Matrix // to inches of the page, y up
	width, height float64      // of the viewport in user units: what 100 % is
	role          measure.Role
	look          look
	clip          *trace.Clip
	hidden        string // why it can't be seen
	depth         int
}

// walker draws the elements. After the first error it does nothing more.
type walker struct {
	*tree
	drawing *measure.Drawing
	page    *measure.Page
	pen     trace.Pen
	visited int // elements, each time one is used
	read    int // bytes of their tags
	images  int
	foreign int
	matched int   // rules held against elements
	clipped int   // see trace.Clip
	props   style // of the element at hand
	err     error
}

// fail notes the first error.
func (w *walker) fail(e *element, format string, args ...any) {
	if w.err == nil {
		w.err = e.errorf(format, args...)
	}
}

// Limits on use within use: ten elements that each use the one before ten
// times are ten thousand million.
const (
	maxNested = 512
	maxUsed   = 1 << 18 // beyond one for each element of the file
	maxReread = 1 << 24 // bytes beyond the file's own
	maxTexts  = 20_000
)

// rootState works out the size of the page.
func (w *walker) rootState(unit measure.Unit) state {
	root := w.root
	s := state{look: black()}
	said := slices.Clone(w.styleOf(root))
	width, height := w.rootLength(said, "width"), w.rootLength(said, "height")
	box := w.viewBox(root)
	switch {
	case width > 0 && height == 0, height > 0 && width == 0:
		w.fail(root, "only one of the page's width and height is there: browsers and other programs work out the other each in its own way; write both")
	case width == 0:
		if unit == "" || box == nil {
			w.fail(root, "the file has no physical size: its width and height are missing or percentages; write them in in, cm or mm, or say with --unit what its numbers are")
			return s
		}
		k := unit.Inches() * pixelsPerInch
		width, height = box.width*k, box.height*k
		w.drawing.Unit = unit
		w.drawing.Notes = append(w.drawing.Notes, "the file has no physical size; its numbers were taken as you said")
	}
	const inch = 1. / pixelsPerInch
	w.page.Width, w.page.Height = width*inch, height*inch
	s.m = trace.Matrix{inch, 0, 0, -inch, 0, w.page.Height}
	w.enter(root, &s, box, width, height)
	w.inherit(root, &s, said)
	return s
}

// rootLength returns a side of the page in pixels, 0 when it has no physical
// size, and takes its unit for that of the file.
func (w *walker) rootLength(said style, name string) float64 {
	value := strings.TrimSpace(cmp.Or(said.get(name), w.root.attr(name)))
	if value == "" || value == "auto" {
		return 0
	}
	l, err := parseLength(value)
	if err == nil && l.unit == "%" {
		return 0
	}
	pixels := 0.0
	if err == nil {
		pixels, err = l.units(0)
	}
	switch {
	case err != nil:
		w.fail(w.root, "the %s of the page: %v", name, err)
	case !(pixels > 0 && pixels < 1e7):
		w.fail(w.root, "the %s of the page is %s, which is no size", name, clip(value))
	}
	switch l.unit {
	case "cm":
		w.drawing.Unit = measure.Centimetre
	case "mm", "q":
		w.drawing.Unit = measure.Millimetre
	default:
		w.drawing.Unit = measure.Inch
		w.drawing.Pixels = w.drawing.Pixels || l.unit == "" || l.unit == "px"
	}
	return pixels
}

// visit counts an element each time that it is drawn, and what there is to
// read in its tag: one of a megabyte may be used ten thousand times.
func (w *walker) visit(e *element) {
	w.visited++
	w.read += int(e.size)
	if w.visited > w.elements+maxUsed || w.read > w.size+maxReread {
		w.fail(e, "the uses of elements up to here come to more than a file of this size can mean")
	}
}

// inside draws what an element holds.
func (w *walker) inside(e *element, s state) {
	for _, child := range e.children {
		if w.err != nil {
			return
		}
		if e.name == "switch" {
			// The first that a program can draw is shown.
			if child.foreign || child.name == "foreignObject" || child.attr("requiredExtensions") != "" {
				continue
			}
			w.walk(child, s, nil)
			return
		}
		w.walk(child, s, nil)
	}
}

// walk draws an element and all inside it; by is the use that it is drawn by,
// or nil.
func (w *walker) walk(e *element, s state, by *element) {
	w.visit(e)
	if s.depth++; s.depth > maxNested {
		w.fail(e, "elements and their uses stand more than %d deep; does one use itself?", maxNested)
	}
	if w.err != nil || e.foreign {
		return
	}
	switch e.name {
	case "g", "a", "switch", "svg", "use", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "image":
	case "symbol":
		if by == nil {
			return
		}
	case "foreignObject":
		w.foreign++
		return
	default: // definitions, descriptions, what draws nothing
		return
	}
	w.inherit(e, &s, w.styleOf(e))
	if e.attr("systemLanguage") != "" || e.attr("requiredExtensions") != "" {
		w.fail(e, "<%s> is only drawn in some languages or by some programs; save the file without such conditions", e.name)
	}
	switch e.name {
	case "g", "a", "switch":
		w.inside(e, s)
	case "svg", "symbol":
		w.nested(e, &s, by)
		w.inside(e, s)
	case "use":
		w.use(e, s)
	case "text":
		w.text(e, s)
	case "image":
		w.image(e, s)
	default:
		w.shape(e, s)
	}
}

// inherit takes the transform, the role and the looks of an element.
func (w *walker) inherit(e *element, s *state, said style) {
	for _, a := range e.attrs {
		switch a.name {
		case "transform":
			if e.name == "svg" {
				w.fail(e, "a transform on <svg> is followed by browsers and not by other programs; put it on a <g> inside")
			}
			m, err := parseTransform(a.value)
			if err != nil {
				w.fail(e, "%v", err)
			}
			w.turn(e, s, m)
		case "transform-origin":
			w.fail(e, "transform-origin is not followed; export the file with plain transforms")
		case "id", ":label":
			if role := measure.RoleNamed(a.value); role != measure.Unknown && e.name == "g" {
				s.role = role
				w.drawing.Roles = true
			}
		}
	}
	s.see(said)
	if value := said.get("clip-path"); value != "" && value != "none" {
		w.clip(s, value)
	}
}

// turn goes on by a map.
func (w *walker) turn(e *element, s *state, m trace.Matrix) {
	if s.m = s.m.After(m); !s.m.Finite() {
		w.fail(e, "the transforms and viewports up to here go beyond all measure")
	}
}

// nested goes into an svg or a symbol. The use by which it is drawn may say
// how large it is.
func (w *walker) nested(e *element, s *state, by *element) {
	if e.name == "svg" {
		w.turn(e, s, trace.Translate(w.length(e, "x", s.width, 0), w.length(e, "y", s.height, 0)))
	}
	side := func(name string, whole float64) float64 {
		own := w.length(e, name, whole, whole)
		if by != nil {
			return w.length(by, name, whole, own)
		}
		return own
	}
	width, height := side("width", s.width), side("height", s.height)
	// Some programs clip to the viewBox, and a symbol whatever it says.
	cut, box := s.look.overflow != "visible" && s.look.overflow != "auto" || e.name == "symbol", w.viewBox(e)
	if cut {
		w.cut(s, viewBox{width: width, height: height})
	}
	if w.enter(e, s, box, width, height); cut && box != nil {
		w.cut(s, *box)
	}
}

// enter takes what is inside an element to a viewport of that size.
func (w *walker) enter(e *element, s *state, box *viewBox, width, height float64) {
	s.width, s.height = width, height
	if box == nil {
		return
	}
	m, err := box.into(width, height, e.attr("preserveAspectRatio"))
	if err != nil {
		w.fail(e, "%v", err)
	}
	w.turn(e, s, m)
	s.width, s.height = box.width, box.height
}

// use draws another element here.
func (w *walker) use(e *element, s state) {
	target := e.attr("href")
	if target == "" {
		target = e.attr(":href")
	}
	if target == "" {
		return
	}
	id, ok := strings.CutPrefix(strings.TrimSpace(target), "#")
	if !ok {
		w.fail(e, "it uses %s, which is not in this file; break the link and save again", clip(target))
	}
	to := w.ids[id]
	if to == nil {
		w.fail(e, "it uses %s, and nothing has that id", clip(target))
		return
	}
	w.turn(e, &s, trace.Translate(w.length(e, "x", s.width, 0), w.length(e, "y", s.height, 0)))
	if w.err == nil {
		w.walk(to, s, e)
	}
}

// length returns a length attribute in user units; missing is what it is when
// it is not there.
func (w *walker) length(e *element, name string, whole, missing float64) float64 {
	s := strings.TrimSpace(e.attr(name))
	if s == "" || s == "auto" {
		return missing
	}
	l, err := parseLength(s)
	v := 0.0
	if err == nil {
		v, err = l.units(whole)
	}
	if err == nil && math.IsInf(v, 0) {
		err = fmt.Errorf("%s is beyond all measure", clip(s))
	}
	if err != nil {
		w.fail(e, "%s of <%s>: %v", name, e.name, err)
		return missing
	}
	return v
}

// viewBox returns that of an element, or nil.
func (w *walker) viewBox(e *element) *viewBox {
	box, err := parseViewBox(e.attr("viewBox"))
	if err != nil {
		w.fail(e, "%v", err)
	}
	return box
}
