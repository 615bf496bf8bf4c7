// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"lozenge/export/measure"
	"lozenge/export/trace"
	"lozenge/geometry"
	"lozenge/geometry/colour"
)

// look is how an element is painted, as far as it tells whether it can be seen
// and what it may be for. All but overflow is handed down.
type look struct {
	stroke, fill           measure.Ink
	strokeAlpha, fillAlpha float32
	color                  measure.Ink
	width                  float64 // of its line, in user units
	dashed, gaps           bool
	evenOdd                bool
	invisible              bool // by visibility
	alpha                  float32
	overflow               string
}

func black() look {
	ink := measure.Ink{Alpha: 1}
	return look{fill: ink, color: ink, width: 1, strokeAlpha: 1, fillAlpha: 1, alpha: 1}
}

// see takes what an element says of how it is painted.
func (s *state) see(said style) {
	l, parent := &s.look, s.look
	l.overflow = "hidden" // what svg and symbol have unless they say otherwise
	for _, d := range said {
		value := strings.ToLower(d.value)
		inherit := value == "inherit" || value == ""
		switch d.name {
		case "color":
			l.color = inkOf(value, parent.color, parent.color)
		case "overflow":
			l.overflow = value
		case "fill-rule":
			l.evenOdd = value == "evenodd" || inherit && parent.evenOdd
		case "visibility":
			l.invisible = !inherit && value != "visible" || inherit && parent.invisible
		case "stroke-opacity":
			l.strokeAlpha = fraction(value, parent.strokeAlpha)
		case "fill-opacity":
			l.fillAlpha = fraction(value, parent.fillAlpha)
		case "stroke-width":
			l.width = s.lineWidth(value, parent.width)
		case "stroke-dasharray":
			l.dashed, l.gaps = dashes(value)
			if inherit {
				l.dashed, l.gaps = parent.dashed, parent.gaps
			}
		}
	}
	for _, d := range said { // color comes first, wherever it stands
		switch d.name {
		case "stroke":
			l.stroke = inkOf(d.value, parent.stroke, l.color)
		case "fill":
			l.fill = inkOf(d.value, parent.fill, l.color)
		}
	}
	s.hide(said)
}

// lineWidth reads the width of a line; what is none is passed over.
func (s *state) lineWidth(value string, inherited float64) float64 {
	if value == "inherit" || value == "" {
		return inherited
	}
	l, err := parseLength(value)
	if err != nil {
		return 1
	}
	width, err := l.units(math.Hypot(s.width, s.height) / math.Sqrt2)
	if err != nil {
		return l.value
	}
	return width
}

// hide takes what hides an element and all inside it, or may.
func (s *state) hide(said style) {
	if said.get("display") == "none" {
		s.hidden = cmp.Or(s.hidden, "display: none")
	}
	if value := said.get("opacity"); value != "" {
		s.look.alpha *= fraction(value, 1)
	}
	for _, name := range [...]string{"mask", "mask-image", "filter", "mix-blend-mode"} {
		if value := strings.ToLower(said.get(name)); value != "" && value != "none" && value != "normal" {
			s.hidden = cmp.Or(s.hidden, "it has a "+name+", which may hide it")
		}
	}
}

// fraction reads an opacity.
func fraction(value string, otherwise float32) float32 {
	l, err := parseLength(value)
	switch {
	case err != nil:
		return otherwise
	case l.unit == "%":
		l.value /= 100
	}
	return float32(min(max(l.value, 0), 1))
}

// dashes reports whether a line is dashed, and whether so little of it is drawn
// that it can't be followed.
func dashes(value string) (dashed, gaps bool) {
	on, all, n := 0.0, 0.0, 0
	for _, word := range strings.FieldsFunc(value, func(r rune) bool { return r == ',' || r == ' ' || r == '\t' || r == '\n' }) {
		l, err := parseLength(word)
		if err != nil {
			return false, false
		}
		if n++; n%2 == 1 {
			on += l.value
		}
		all += l.value
	}
	return all > 0, all > 0 && n%2 == 0 && on < all/8
}

// inkOf reads a paint.
func inkOf(value string, inherited, current measure.Ink) measure.Ink {
	switch value = strings.ToLower(value); value {
	case "none", "transparent":
		return measure.Ink{}
	case "inherit", "":
		return inherited
	case "currentcolor":
		return current
	}
	parts, alpha, ok := paintParts(value)
	if !ok {
		return measure.Ink{Alpha: 1, Unsure: true}
	}
	return measure.Ink{Colour: [3]float32{float32(parts[0]), float32(parts[1]), float32(parts[2])}, Alpha: float32(alpha)}
}

// keywords are the colours that have a name.
var keywords = sync.OnceValue(func() map[string][3]float64 {
	out := map[string][3]float64{}
	for _, name := range colour.Keywords() {
		rgb, _ := colour.Keyword(name)
		out[name] = [3]float64{float64(rgb[0]) / 255, float64(rgb[1]) / 255, float64(rgb[2]) / 255}
	}
	return out
})

// paintParts reads a colour by name or in numbers, with or without an alpha.
func paintParts(s string) (parts [3]float64, alpha float64, ok bool) {
	if parts, ok = keywords()[s]; ok {
		return parts, 1, true
	}
	alpha = 1
	if hex, is := strings.CutPrefix(s, "#"); is && (len(hex) == 4 || len(hex) == 8) {
		n := len(hex) / 4
		v, err := strconv.ParseUint(strings.Repeat(hex[3*n:], 3-n), 16, 8)
		if err != nil {
			return parts, 0, false
		}
		s, alpha = "#"+hex[:3*n], float64(v)/255
	}
	if inner, is := strings.CutPrefix(s, "rgba("); is {
		s = "rgb(" + inner
	}
	if inner, is := strings.CutPrefix(s, "rgb("); is && len(inner) < 100 {
		words := strings.FieldsFunc(strings.TrimSuffix(inner, ")"), func(r rune) bool { return r == ',' || r == ' ' || r == '/' })
		if len(words) == 4 {
			alpha = float64(fraction(words[3], 1))
			s = "rgb(" + strings.Join(words[:3], ",") + ")"
		}
	}
	parts, ok = rgb(s)
	return parts, alpha, ok
}

// rgb reads #rgb, #rrggbb and rgb( ) with numbers or percentages, as parts
// of 1.
func rgb(s string) (parts [3]float64, ok bool) {
	if hex, is := strings.CutPrefix(s, "#"); is && (len(hex) == 3 || len(hex) == 6) {
		n := len(hex) / 3
		for i := range parts {
			v, err := strconv.ParseUint(hex[i*n:i*n+n], 16, 8)
			if err != nil {
				return parts, false
			}
			if n == 1 {
				v *= 0x11 // #f is #ff
			}
			parts[i] = float64(v) / 255
		}
		return parts, true
	}
	inner, is := strings.CutPrefix(s, "rgb(")
	if !is || len(inner) > 100 {
		return parts, false
	}
	words := strings.FieldsFunc(strings.TrimSuffix(inner, ")"), func(r rune) bool { return r == ',' || r == ' ' })
	if len(words) != 3 {
		return parts, false
	}
	for i, word := range words {
		l, err := parseLength(word)
		if err != nil {
			return parts, false
		}
		parts[i] = l.value / 255
		if l.unit == "%" {
			parts[i] = l.value / 100
		}
	}
	return parts, true
}

// shape draws a basic shape or a path.
func (w *walker) shape(e *element, s state) {
	w.pen.Reset(s.m)
	if err := w.draw(e, s); err != nil {
		w.fail(e, "<%s>: %v", e.name, err)
	}
	subs, err := w.pen.Done()
	if err != nil {
		w.fail(e, "<%s>: %v", e.name, err)
	}
	id, size, by := e.attr("id"), "", measure.FoundBy("")
	if id == "ground" && w.drawing.Pixels {
		w.drawing.Screen = true
	}
	if id == "calibration-square" && len(subs) > 0 {
		size, by = e.attr("data-size"), measure.ByID
	}
	line, area := s.inks()
	role := s.role
	if role == measure.Unknown && line.Alpha > 0 {
		role = measure.RoleByLook(s.look.dashed, !line.Unsure && measure.Grey(float64(line.Colour[0]), float64(line.Colour[1]), float64(line.Colour[2])))
	}
	var cover *trace.Clip
	if area.Alpha > 0 && len(subs) > 0 {
		cover = trace.Area(slices.Clone(subs), s.look.evenOdd)
	}
	for _, sub := range subs {
		path := measure.Path{
			Points: sub.Points,
			Closed: sub.Closed || e.name == "circle" || e.name == "ellipse",
			Role:   role,
			Filled: line.Alpha == 0 && area.Alpha > 0,
			Square: by,
			Size:   size,
			Line:   line,
			Broad:  s.look.width * s.m.Stretch(),
			Area:   area,
			Cover:  cover,
			Hidden: s.why(),
		}
		if cover = nil; path.Hidden == "" && !s.clip.Keeps(path.Points, path.Closed) {
			path.Hidden = measure.Clipped
		}
		w.page.Paths = append(w.page.Paths, path)
	}
}

// why tells why what an element draws can't be seen, or nothing.
func (s *state) why() string {
	switch {
	case s.hidden != "":
		return s.hidden
	case s.look.invisible:
		return "visibility: hidden"
	case s.look.gaps:
		return "its dashes are too far apart"
	}
	return ""
}

// inks returns what a line and an area are painted with.
func (s *state) inks() (line, area measure.Ink) {
	line, area = s.look.stroke, s.look.fill
	line.Alpha *= s.look.strokeAlpha * s.look.alpha
	area.Alpha *= s.look.fillAlpha * s.look.alpha
	if s.look.width <= 0 {
		line = measure.Ink{}
	}
	return line, area
}

// draw puts a shape's lines to the pen.
func (w *walker) draw(e *element, s state) error {
	across := func(name string) float64 { return w.length(e, name, s.width, 0) }
	up := func(name string) float64 { return w.length(e, name, s.height, 0) }
	pen := &w.pen
	switch e.name {
	case "path":
		if d := e.attr("d"); d != "none" {
			return drawPath(pen, d)
		}
	case "line":
		pen.Move(geometry.Point{X: across("x1"), Y: up("y1")})
		pen.Line(geometry.Point{X: across("x2"), Y: up("y2")})
	case "polyline", "polygon":
		points := e.attr("points")
		if err := drawPoints(pen, points); err != nil {
			return err
		}
		if e.name == "polygon" && points != "" {
			pen.Close()
		}
	case "rect":
		drawRect(pen, across("x"), up("y"), across("width"), up("height"), across("rx"), up("ry"))
	case "circle":
		r := w.length(e, "r", math.Hypot(s.width, s.height)/math.Sqrt2, 0)
		drawEllipse(pen, across("cx"), up("cy"), r, r)
	case "ellipse":
		drawEllipse(pen, across("cx"), up("cy"), across("rx"), up("ry"))
	}
	return nil
}

func drawEllipse(pen *trace.Pen, cx, cy, rx, ry float64) {
	if rx > 0 && ry > 0 {
		pen.Ellipse(geometry.Point{X: cx, Y: cy}, rx, ry, 0, 0, 2*math.Pi)
	}
}

func drawRect(pen *trace.Pen, x, y, width, height, rx, ry float64) {
	if !(width > 0 && height > 0) {
		return
	}
	at := func(dx, dy float64) geometry.Point { return geometry.Point{X: x + dx, Y: y + dy} }
	// One radius stands for both (SVG 1.1, 9.2).
	switch {
	case rx == 0:
		rx = ry
	case ry == 0:
		ry = rx
	}
	rx, ry = min(rx, width/2), min(ry, height/2)
	if !(rx > 0 && ry > 0) {
		pen.Move(at(0, 0))
		pen.Line(at(width, 0))
		pen.Line(at(width, height))
		pen.Line(at(0, height))
		pen.Close()
		return
	}
	pen.Move(at(rx, 0))
	pen.Line(at(width-rx, 0))
	pen.Arc(rx, ry, 0, false, true, at(width, ry))
	pen.Line(at(width, height-ry))
	pen.Arc(rx, ry, 0, false, true, at(width-rx, height))
	pen.Line(at(rx, height))
	pen.Arc(rx, ry, 0, false, true, at(0, height-ry))
	pen.Line(at(0, ry))
	pen.Arc(rx, ry, 0, false, true, at(rx, 0))
	pen.Close()
}

func drawPoints(pen *trace.Pen, s string) error {
	t := text{s: s}
	t.blank()
	for first := true; !t.done(); first = false {
		x, err := t.number()
		if err != nil {
			return err
		}
		y, err := t.number()
		if err != nil {
			return err
		}
		if first {
			pen.Move(geometry.Point{X: x, Y: y})
		} else {
			pen.Line(geometry.Point{X: x, Y: y})
		}
		if err := pen.Err(); err != nil {
			return err
		}
	}
	return nil
}

// text notes a line of text: where it begins, what it says and whether it is
// seen in a mirror.
func (w *walker) text(e *element, s state) {
	if len(w.page.Texts) >= maxTexts || s.why() != "" {
		return
	}
	at := geometry.Point{X: first(e, "x", s.width), Y: first(e, "y", s.height)}
	var b strings.Builder
	w.gather(e, &b, 0)
	value := strings.Join(strings.Fields(strings.ToValidUTF8(b.String(), "?")), " ")
	p := s.m.Apply(at)
	if value == "" || math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
		return
	}
	// The page's map turns y over once.
	w.page.Texts = append(w.page.Texts, measure.Text{At: p, Value: value, Mirrored: s.m.Det() > 0})
}

// first returns the first of the places of a text's letters.
func first(e *element, name string, whole float64) float64 {
	s := strings.TrimLeft(e.attr(name), ", ")
	if s == "" {
		if len(e.children) > 0 && e.children[0].name == "tspan" {
			return first(e.children[0], name, whole)
		}
		return 0
	}
	if i := strings.IndexAny(s, ", "); i >= 0 {
		s = s[:i]
	}
	l, err := parseLength(s)
	if err != nil {
		return 0
	}
	v, _ := l.units(whole)
	return v
}

// gather puts the characters of an element and of those inside it together.
func (w *walker) gather(e *element, b *strings.Builder, depth int) {
	if b.Len() > maxText || depth > 16 {
		return
	}
	b.Write(e.text[:min(len(e.text), maxText)])
	for _, child := range e.children {
		if w.err != nil || b.Len() > maxText {
			return
		}
		w.visit(child)
		w.gather(child, b, depth+1)
	}
}
