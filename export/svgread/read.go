// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"fmt"
	"io"
	"iter"
	"math"
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
// units inside (which are user units, 96 to an inch, not inches of paper). It
// does not follow style sheets; one that moves anything is an error.
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
	if w.images > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%d pictures of pixels in it are not measured", w.images))
	}
	d.Pages = []measure.Page{*w.page}
	return d, nil
}

// moves reports whether a style has a property that moves or scales.
func moves(style string) bool {
	rest := strings.ToLower(style)
	if !containsAny(rest, "transform", "zoom", "scale", "rotate", "translate", "offset-path") {
		return false
	}
	for {
		i := strings.IndexByte(rest, ':')
		if i < 0 {
			return false
		}
		name := strings.TrimRight(rest[:i], " \t\r\n")
		name = name[strings.LastIndexAny(name, " \t\r\n;{}/")+1:]
		switch name {
		case "transform", "zoom", "scale", "rotate", "translate", "offset-path":
			return true
		}
		rest = rest[i+1:]
	}
}

// state is what an element inherits.
type state struct {
	m             trace.Matrix // to inches of the page, y up
	width, height float64      // of the viewport in user units: what 100 % is
	role          measure.Role
	stroke, fill  paint
	dashed        bool
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
	s := state{fill: painted}
	width, height := w.rootLength("width"), w.rootLength("height")
	box := w.viewBox(root)
	// One of the two follows from the other and the viewBox.
	switch {
	case width == 0 && height > 0 && box != nil:
		width = height * box.width / box.height
	case height == 0 && width > 0 && box != nil:
		height = width * box.height / box.width
	}
	if width == 0 || height == 0 {
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
	w.inherit(root, &s)
	return s
}

// rootLength returns a side of the page in pixels, 0 when it has no physical
// size, and takes its unit for that of the file.
func (w *walker) rootLength(name string) float64 {
	value := strings.TrimSpace(w.root.property(name))
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

// declarations are those of a style, in their order.
func declarations(style string) iter.Seq2[string, string] {
	return func(yield func(name, value string) bool) {
		for one := range strings.SplitSeq(style, ";") {
			name, value, ok := strings.Cut(one, ":")
			if ok && !yield(strings.TrimSpace(name), strings.TrimSpace(value)) {
				return
			}
		}
	}
}

// property returns an attribute, or what the style attribute says instead.
func (e *element) property(name string) string {
	for key, value := range declarations(e.attr("style")) {
		if key == name {
			return value
		}
	}
	return e.attr(name)
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
		w.walk(child, s, nil)
		if e.name == "switch" {
			return // the first is shown; what it may depend on is not looked at
		}
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
	case "g", "a", "switch", "svg", "use", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text":
		if e.property("display") == "none" {
			return
		}
	case "symbol":
		if by == nil {
			return
		}
	case "image":
		w.images++
		return
	default: // definitions, descriptions, what draws nothing
		return
	}
	w.inherit(e, &s)
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
	default:
		w.shape(e, s)
	}
}

// inherit takes the transform, the role and the looks of an element.
func (w *walker) inherit(e *element, s *state) {
	for _, a := range e.attrs {
		switch a.name {
		case "transform":
			m, err := parseTransform(a.value)
			if err != nil {
				w.fail(e, "%v", err)
			}
			w.turn(e, s, m)
		case "transform-origin":
			w.fail(e, "transform-origin is not followed; export the file with plain transforms")
		case "style":
			if moves(a.value) {
				w.fail(e, "the style of <%s> transforms it, which is not followed; export the file with plain attributes", e.name)
			}
		case "stroke", "fill", "stroke-dasharray":
			s.look(a.name, strings.TrimSpace(a.value))
		case "id", ":label":
			if role := measure.RoleNamed(a.value); role != measure.Unknown && e.name == "g" {
				s.role = role
				w.drawing.Roles = true
			}
		}
	}
	// What the style says counts before the attributes.
	for name, value := range declarations(e.attr("style")) {
		s.look(name, value)
	}
}

// turn goes on by a map.
func (w *walker) turn(e *element, s *state, m trace.Matrix) {
	if s.m = s.m.After(m); !s.m.Finite() {
		w.fail(e, "the transforms and viewports up to here go beyond all measure")
	}
}

func containsAny(s string, words ...string) bool {
	for _, w := range words {
		if strings.Contains(s, w) {
			return true
		}
	}
	return false
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
	w.enter(e, s, w.viewBox(e), side("width", s.width), side("height", s.height))
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
