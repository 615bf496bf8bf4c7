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
	if parts, ok := colour(value); ok {
		low, high := min(parts[0], parts[1], parts[2]), max(parts[0], parts[1], parts[2])
		if high-low < 0.1 && high > 0.25 && high < 0.95 {
			return grey
		}
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
func (w *walker) shape(e *element, s state) error {
	w.pen.Reset(s.m)
	closedByItself, err := w.draw(e, s)
	if err != nil {
		return err
	}
	subs, err := w.pen.Done()
	if err != nil {
		return w.errorf(e, "<%s>: %v", short(w.name(e)), err)
	}
	id, err := w.attr(e, "id")
	if err != nil {
		return err
	}
	if id == "ground" && w.drawing.Pixels {
		w.drawing.Screen = true
	}
	size := ""
	by := measure.FoundBy("")
	if id == "calibration-square" && len(subs) > 0 {
		if size, err = w.attr(e, "data-size"); err != nil {
			return err
		}
		by = measure.ByID
	}
	role := s.role
	if role == measure.Unknown && s.stroke != unpainted {
		switch {
		case s.dashed:
			role = measure.Sew
		case s.stroke == grey:
			role = measure.Mark
		}
	}
	for _, sub := range subs {
		w.page.Paths = append(w.page.Paths, measure.Path{
			Points: sub.Points,
			Closed: sub.Closed || closedByItself,
			Role:   role,
			Filled: s.stroke == unpainted && s.fill != unpainted,
			Square: by,
			Size:   size,
		})
	}
	return nil
}

// draw puts a shape's lines to the pen.
func (w *walker) draw(e *element, s state) (closed bool, err error) {
	get := func(name string, whole float64) float64 {
		if err != nil {
			return 0
		}
		var v float64
		v, err = w.length(e, name, whole, 0)
		return v
	}
	pen := &w.pen
	diagonal := math.Hypot(s.width, s.height) / math.Sqrt2 // what 100 % of a radius is
	switch w.name(e) {
	case "path":
		d, err := w.attr(e, "d")
		if err != nil || d == "none" {
			return false, err
		}
		if err := drawPath(pen, d); err != nil {
			return false, w.errorf(e, "%v", err)
		}
		return false, nil
	case "line":
		x1, y1 := get("x1", s.width), get("y1", s.height)
		x2, y2 := get("x2", s.width), get("y2", s.height)
		pen.Move(geometry.Point{X: x1, Y: y1})
		pen.Line(geometry.Point{X: x2, Y: y2})
	case "polyline", "polygon":
		points, err := w.attr(e, "points")
		if err != nil {
			return false, err
		}
		if err := drawPoints(pen, points); err != nil {
			return false, w.errorf(e, "<%s>: %v", w.name(e), err)
		}
		if w.name(e) == "polygon" && points != "" {
			pen.Close()
		}
	case "rect":
		x, y := get("x", s.width), get("y", s.height)
		width, height := get("width", s.width), get("height", s.height)
		rx, ry := get("rx", s.width), get("ry", s.height)
		if err != nil || !(width > 0 && height > 0) {
			return false, err
		}
		drawRect(pen, x, y, width, height, rx, ry)
	case "circle", "ellipse":
		centre := geometry.Point{X: get("cx", s.width), Y: get("cy", s.height)}
		rx, ry := get("r", diagonal), 0.0
		if ry = rx; w.name(e) == "ellipse" {
			rx, ry = get("rx", s.width), get("ry", s.height)
		}
		if err != nil || !(rx > 0 && ry > 0) {
			return false, err
		}
		pen.Ellipse(centre, rx, ry, 0, 0, 2*math.Pi)
		return true, nil
	}
	return false, err
}

func drawRect(pen *trace.Pen, x, y, width, height, rx, ry float64) {
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
func (w *walker) text(e *element, s state) error {
	if len(w.page.Texts) >= maxTexts {
		return nil
	}
	at := geometry.Point{X: w.first(e, "x", s.width), Y: w.first(e, "y", s.height)}
	var b strings.Builder
	if err := w.gather(e, &b, 0); err != nil {
		return err
	}
	value := strings.Join(strings.Fields(strings.ToValidUTF8(b.String(), "?")), " ")
	p := s.m.Apply(at)
	if value == "" || math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
		return nil
	}
	// The page's map turns y over once.
	w.page.Texts = append(w.page.Texts, measure.Text{At: p, Value: value, Mirrored: s.m.Det() > 0})
	return nil
}

// first returns the first of the places of a text's letters.
func (w *walker) first(e *element, name string, whole float64) float64 {
	s, err := w.attr(e, name)
	if err != nil {
		return 0
	}
	s = strings.TrimLeft(s, ", ")
	if s == "" {
		if c := e.child; c != 0 && w.name(&w.elements[c]) == "tspan" {
			return w.first(&w.elements[c], name, whole)
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
func (w *walker) gather(e *element, b *strings.Builder, depth int) error {
	if b.Len() > maxText || depth > 16 {
		return nil
	}
	text := w.characters(e)
	b.WriteString(text[:min(len(text), maxText)])
	for i := e.child; i != 0 && b.Len() <= maxText; i = w.elements[i].next {
		if err := w.visit(&w.elements[i]); err != nil {
			return err
		}
		if err := w.gather(&w.elements[i], b, depth+1); err != nil {
			return err
		}
	}
	return nil
}
