// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"errors"
	"fmt"
	"io"
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
	var data strings.Builder
	if l, ok := r.(interface{ Len() int }); ok {
		data.Grow(min(l.Len(), maxFile+1))
	}
	n, err := io.Copy(&data, io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, err
	}
	if n > maxFile {
		return nil, &SyntaxError{0, fmt.Sprintf("the file is larger than %d MB", maxFile>>20)}
	}
	src, err := decode(data.String())
	if err != nil {
		return nil, err
	}
	t, err := parse(src)
	if err != nil {
		return nil, err
	}
	root := &t.elements[1]
	if t.name(root) != "svg" {
		return nil, t.errorf(root, "the root element is <%s>; this is not an SVG file", short(t.name(root)))
	}
	if err := t.checkStyles(); err != nil {
		return nil, err
	}
	d := &measure.Drawing{Format: measure.SVG}
	w := &walker{tree: t, drawing: d, page: &measure.Page{Paths: make([]measure.Path, 0, len(t.elements))}}
	w.pen.Store = &trace.Store{}
	s, err := w.rootState(root, unit)
	if err != nil {
		return nil, err
	}
	for i := root.child; i != 0; i = t.elements[i].next {
		if err := w.walk(i, s); err != nil {
			return nil, err
		}
	}
	if w.images > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%d pictures of pixels in it are not measured", w.images))
	}
	d.Pages = []measure.Page{*w.page}
	return d, nil
}

// checkStyles refuses style sheets that move or scale what is drawn.
func (t *tree) checkStyles() error {
	for i := 1; i < len(t.elements); i++ {
		if e := &t.elements[i]; t.name(e) == "style" && moves(t.characters(e)) {
			return t.errorf(e, "a style sheet transforms what is drawn, which is not followed; export the file with plain attributes")
		}
	}
	return nil
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

type walker struct {
	*tree
	drawing *measure.Drawing
	page    *measure.Page
	pen     trace.Pen
	ids     map[string]int32 // made when first needed
	visited int              // elements, each time one is used
	read    int              // bytes of their tags
	images  int
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
func (w *walker) rootState(root *element, unit measure.Unit) (state, error) {
	s := state{fill: painted}
	get := func(name string) (string, error) { return w.property(root, name) }
	widthText, err := get("width")
	if err != nil {
		return s, err
	}
	heightText, err := get("height")
	if err != nil {
		return s, err
	}
	boxText, err := w.attr(root, "viewBox")
	if err != nil {
		return s, err
	}
	ratio, err := w.attr(root, "preserveAspectRatio")
	if err != nil {
		return s, err
	}
	box, err := parseViewBox(boxText)
	if err != nil {
		return s, w.errorf(root, "%v", err)
	}
	width, err := w.rootLength(root, "width", widthText)
	if err != nil {
		return s, err
	}
	height, err := w.rootLength(root, "height", heightText)
	if err != nil {
		return s, err
	}
	// One of the two follows from the other and the viewBox.
	switch {
	case width == 0 && height > 0 && box != nil:
		width = height * box.width / box.height
	case height == 0 && width > 0 && box != nil:
		height = width * box.height / box.width
	}
	if width == 0 || height == 0 {
		if unit == "" || box == nil {
			return s, w.errorf(root, "the file has no physical size: its width and height are missing or percentages; write them in in, cm or mm, or say with --unit what its numbers are")
		}
		k := unit.Inches() * pixelsPerInch
		width, height = box.width*k, box.height*k
		w.drawing.Unit = unit
		w.drawing.Notes = append(w.drawing.Notes, "the file has no physical size; its numbers were taken as you said")
	}
	s.width, s.height = width, height
	s.m = trace.Identity()
	if box != nil {
		if s.m, err = box.into(width, height, ratio); err != nil {
			return s, w.errorf(root, "%v", err)
		}
		s.width, s.height = box.width, box.height
	}
	const inch = 1. / pixelsPerInch
	w.page.Width, w.page.Height = width*inch, height*inch
	s.m = trace.Matrix{inch, 0, 0, -inch, 0, w.page.Height}.After(s.m)
	if !s.m.Finite() {
		return s, w.errorf(root, "the size of the file is beyond all measure")
	}
	return s, w.inherit(root, &s)
}

// rootLength returns a side of the page in pixels, 0 when it has no physical
// size, and takes its unit for that of the file.
func (w *walker) rootLength(root *element, name, value string) (float64, error) {
	value = strings.TrimSpace(value)
	if value == "" || value == "auto" {
		return 0, nil
	}
	l, err := parseLength(value)
	if err != nil {
		return 0, w.errorf(root, "the %s of the page: %v", name, err)
	}
	if l.unit == "%" {
		return 0, nil
	}
	pixels, err := l.units(0)
	if err != nil {
		return 0, w.errorf(root, "the %s of the page: %v", name, err)
	}
	if !(pixels > 0 && pixels < 1e7) {
		return 0, w.errorf(root, "the %s of the page is %s, which is no size", name, clip(value))
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
	return pixels, nil
}

// property returns an attribute, or what the style attribute says instead.
func (t *tree) property(e *element, name string) (string, error) {
	style, err := t.attr(e, "style")
	if err != nil {
		return "", err
	}
	if strings.Contains(style, name) {
		for style != "" {
			var one string
			one, style, _ = strings.Cut(style, ";")
			if key, value, ok := strings.Cut(one, ":"); ok && strings.TrimSpace(key) == name {
				return strings.TrimSpace(value), nil
			}
		}
	}
	return t.attr(e, name)
}

// visit counts an element each time that it is drawn, and what there is to
// read in its tag: one of a megabyte may be used ten thousand times.
func (w *walker) visit(e *element) error {
	w.visited++
	end := e.end
	if e.count > 0 {
		end = w.attrs[e.attrs+e.count-1].valueEnd
	}
	w.read += int(end - e.at)
	if w.visited > len(w.elements)+maxUsed || w.read > len(w.src)+maxReread {
		return w.errorf(e, "the uses of elements up to here come to more than a file of this size can mean")
	}
	return nil
}

// walk draws an element and all inside it.
func (w *walker) walk(index int32, s state) error {
	e := &w.elements[index]
	if err := w.visit(e); err != nil {
		return err
	}
	if s.depth++; s.depth > maxNested {
		return w.errorf(e, "elements and their uses stand more than %d deep; does one use itself?", maxNested)
	}
	if prefix := w.prefix(e); prefix != "" && prefix != w.prefix(&w.elements[1]) {
		return nil // of another vocabulary
	}
	switch w.name(e) {
	case "g", "a", "switch", "svg", "use":
	case "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text":
	case "image":
		w.images++
		return nil
	default: // definitions, descriptions, what draws nothing
		return nil
	}
	switch display, err := w.property(e, "display"); {
	case err != nil:
		return err
	case display == "none":
		return nil
	}
	if err := w.inherit(e, &s); err != nil {
		return err
	}
	switch w.name(e) {
	case "svg":
		if err := w.nested(e, &s, "", ""); err != nil {
			return err
		}
	case "use":
		return w.use(e, s)
	case "text":
		return w.text(e, s)
	case "g", "a", "switch":
	default:
		return w.shape(e, s)
	}
	for i := e.child; i != 0; i = w.elements[i].next {
		if err := w.walk(i, s); err != nil {
			return err
		}
		if w.name(e) == "switch" {
			break // the first is shown; what it may depend on is not looked at
		}
	}
	return nil
}

// inherit takes the transform, the role and the looks of an element.
func (w *walker) inherit(e *element, s *state) error {
	style := ""
	for _, a := range w.attributes(e) {
		key, value, err := w.key(a), w.value(a), error(nil)
		switch key {
		case "transform", "style", "stroke", "fill", "stroke-dasharray", "id", "label", "inkscape:label", "transform-origin":
			if value, err = resolve(value); err != nil {
				return w.errorf(e, "%s of <%s>: %v", key, short(w.name(e)), err)
			}
		}
		switch key {
		case "transform":
			m, err := parseTransform(value)
			if err != nil {
				return w.errorf(e, "%v", err)
			}
			s.m = s.m.After(m)
			if !s.m.Finite() {
				return w.errorf(e, "the transforms up to here go beyond all measure")
			}
		case "transform-origin":
			return w.errorf(e, "transform-origin is not followed; export the file with plain transforms")
		case "style":
			if moves(value) {
				return w.errorf(e, "the style of <%s> transforms it, which is not followed; export the file with plain attributes", short(w.name(e)))
			}
			style = value
		case "stroke", "fill", "stroke-dasharray":
			s.look(key, strings.TrimSpace(value))
		case "id", "inkscape:label":
			if role := roleNamed(value); role != measure.Unknown && w.name(e) == "g" {
				s.role = role
				w.drawing.Roles = true
			}
		}
	}
	// What the style says counts before the attributes.
	if !containsAny(style, "stroke", "fill") {
		return nil
	}
	for style != "" {
		var one string
		one, style, _ = strings.Cut(style, ";")
		if key, value, ok := strings.Cut(one, ":"); ok {
			s.look(strings.TrimSpace(key), strings.TrimSpace(value))
		}
	}
	return nil
}

func containsAny(s string, words ...string) bool {
	for _, w := range words {
		if strings.Contains(s, w) {
			return true
		}
	}
	return false
}

func roleNamed(id string) measure.Role {
	switch strings.ToLower(strings.TrimSpace(id)) {
	case "cut":
		return measure.Cut
	case "sew":
		return measure.Sew
	case "mark":
		return measure.Mark
	case "square":
		return measure.Square
	}
	return measure.Unknown
}

// nested enters an svg or a symbol; width and height are what a use says, ""
// when it says nothing.
func (w *walker) nested(e *element, s *state, width, height string) error {
	var x, y float64
	var err error
	if w.name(e) == "svg" {
		if x, err = w.length(e, "x", s.width, 0); err != nil {
			return err
		}
		if y, err = w.length(e, "y", s.height, 0); err != nil {
			return err
		}
	}
	side := func(name, used string, whole float64) (float64, error) {
		if used == "" {
			return w.length(e, name, whole, whole)
		}
		l, err := parseLength(used)
		if err == nil {
			var v float64
			if v, err = l.units(whole); err == nil {
				return v, nil
			}
		}
		return 0, w.errorf(e, "%s: %v", name, err)
	}
	wide, err := side("width", width, s.width)
	if err != nil {
		return err
	}
	high, err := side("height", height, s.height)
	if err != nil {
		return err
	}
	s.m = s.m.After(trace.Translate(x, y))
	boxText, err := w.attr(e, "viewBox")
	if err != nil {
		return err
	}
	ratio, err := w.attr(e, "preserveAspectRatio")
	if err != nil {
		return err
	}
	box, err := parseViewBox(boxText)
	if err != nil {
		return w.errorf(e, "%v", err)
	}
	s.width, s.height = wide, high
	if box != nil {
		m, err := box.into(wide, high, ratio)
		if err != nil {
			return w.errorf(e, "%v", err)
		}
		s.m = s.m.After(m)
		s.width, s.height = box.width, box.height
	}
	if !s.m.Finite() {
		return w.errorf(e, "the viewports up to here go beyond all measure")
	}
	return nil
}

// use draws another element here.
func (w *walker) use(e *element, s state) error {
	var target string
	for _, a := range w.attributes(e) {
		if key := w.key(a); key == "href" || strings.HasSuffix(key, ":href") && target == "" {
			target = w.value(a)
		}
	}
	id, ok := strings.CutPrefix(strings.TrimSpace(target), "#")
	if !ok {
		if target == "" {
			return nil
		}
		return w.errorf(e, "it uses %s, which is not in this file; break the link and save again", clip(target))
	}
	if w.ids == nil {
		w.index()
	}
	to, ok := w.ids[id]
	if !ok {
		return w.errorf(e, "it uses %s, and nothing has that id", clip(target))
	}
	x, err := w.length(e, "x", s.width, 0)
	if err != nil {
		return err
	}
	y, err := w.length(e, "y", s.height, 0)
	if err != nil {
		return err
	}
	s.m = s.m.After(trace.Translate(x, y))
	used := &w.elements[to]
	if w.name(used) != "symbol" {
		return w.walk(to, s)
	}
	width, err := w.attr(e, "width")
	if err != nil {
		return err
	}
	height, err := w.attr(e, "height")
	if err != nil {
		return err
	}
	if err := w.inherit(used, &s); err != nil {
		return err
	}
	if err := w.nested(used, &s, width, height); err != nil {
		return err
	}
	if s.depth++; s.depth > maxNested {
		return w.errorf(e, "elements and their uses stand more than %d deep; does one use itself?", maxNested)
	}
	for i := used.child; i != 0; i = w.elements[i].next {
		if err := w.walk(i, s); err != nil {
			return err
		}
	}
	return nil
}

// index finds all ids; the first of two alike counts, as in browsers.
func (w *walker) index() {
	w.ids = map[string]int32{}
	for i := 1; i < len(w.elements); i++ {
		e := &w.elements[i]
		for _, a := range w.attributes(e) {
			if _, ok := w.ids[w.value(a)]; w.key(a) == "id" && !ok {
				w.ids[w.value(a)] = int32(i)
			}
		}
	}
}

// length returns a length attribute in user units; missing is what it is when
// it is not there.
func (w *walker) length(e *element, name string, whole, missing float64) (float64, error) {
	s, err := w.attr(e, name)
	if err != nil {
		return 0, err
	}
	s = strings.TrimSpace(s)
	if s == "" || s == "auto" {
		return missing, nil
	}
	l, err := parseLength(s)
	if err == nil {
		var v float64
		if v, err = l.units(whole); err == nil && !math.IsInf(v, 0) {
			return v, nil
		}
	}
	if err == nil {
		err = errors.New("it is beyond all measure")
	}
	return 0, w.errorf(e, "%s of <%s>: %v", name, short(w.name(e)), err)
}
