// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"math"
	"strconv"
	"strings"

	"lozenge/export/measure"
	"lozenge/export/trace"
	"lozenge/geometry"
)

// paint is what is known of a fill or a stroke.
type paint uint8

const (
	unpainted paint = iota
	painted
	grey // neither black nor white
)

// look takes a property that tells what a line may be for.
func (s *state) look(name, value string) {
	switch name {
	case "stroke":
		s.stroke = paintOf(value, s.stroke)
	case "fill":
		s.fill = paintOf(value, s.fill)
	case "stroke-dasharray":
		s.dashed = value != "none" && value != "" && strings.Trim(value, "0 ,.") != ""
	}
}

func paintOf(value string, inherited paint) paint {
	switch value = strings.ToLower(value); value {
	case "none", "transparent":
		return unpainted
	case "inherit", "":
		return inherited
	case "gray", "grey", "darkgray", "darkgrey", "lightgray", "lightgrey", "silver", "dimgray", "dimgrey":
		return grey
	}
	if parts, ok := colour(value); ok && measure.Grey(parts[:]...) {
		return grey
	}
	return painted
}

// colour reads #rgb, #rrggbb and rgb( ) with numbers or percentages, as parts
// of 1.
func colour(s string) (parts [3]float64, ok bool) {
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
	role := s.role
	if role == measure.Unknown && s.stroke != unpainted {
		role = measure.RoleByLook(s.dashed, s.stroke == grey)
	}
	for _, sub := range subs {
		w.page.Paths = append(w.page.Paths, measure.Path{
			Points: sub.Points,
			Closed: sub.Closed || e.name == "circle" || e.name == "ellipse",
			Role:   role,
			Filled: s.stroke == unpainted && s.fill != unpainted,
			Square: by,
			Size:   size,
		})
	}
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
	if len(w.page.Texts) >= maxTexts {
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
