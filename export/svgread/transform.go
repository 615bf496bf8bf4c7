// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"lozenge/export/trace"
	"lozenge/geometry"
)

// parseTransform reads a transform list (SVG 1.1, 7.6).
func parseTransform(s string) (trace.Matrix, error) {
	m := trace.Identity()
	rest := strings.TrimSpace(s)
	for rest != "" {
		name, after, ok := strings.Cut(rest, "(")
		args, next, ok2 := strings.Cut(after, ")")
		if !ok || !ok2 {
			return m, fmt.Errorf("%s is not a transform", clip(s))
		}
		one, err := transform(strings.TrimSpace(name), args)
		if err != nil {
			return m, err
		}
		m = m.After(one)
		rest = strings.TrimLeft(next, " \t\r\n,")
	}
	if !m.Finite() {
		return m, fmt.Errorf("%s goes beyond all measure", clip(s))
	}
	return m, nil
}

func transform(name, args string) (trace.Matrix, error) {
	v, err := numbers(args, 6)
	if err != nil {
		return trace.Matrix{}, fmt.Errorf("%s: %w", name, err)
	}
	switch n := len(v); {
	case name == "matrix" && n == 6:
		return trace.Matrix(v), nil
	case name == "translate" && n == 1:
		return trace.Translate(v[0], 0), nil
	case name == "translate" && n == 2:
		return trace.Translate(v[0], v[1]), nil
	case name == "scale" && n == 1:
		return trace.Scale(v[0], v[0]), nil
	case name == "scale" && n == 2:
		return trace.Scale(v[0], v[1]), nil
	case name == "rotate" && n == 1:
		return trace.Rotate(angle(v[0])), nil
	case name == "rotate" && n == 3:
		return trace.Translate(v[1], v[2]).After(trace.Rotate(angle(v[0]))).After(trace.Translate(-v[1], -v[2])), nil
	case name == "skewX" && n == 1:
		return trace.Matrix{1, 0, angle(v[0]).Tan(), 1, 0, 0}, nil
	case name == "skewY" && n == 1:
		return trace.Matrix{1, angle(v[0]).Tan(), 0, 1, 0, 0}, nil
	}
	return trace.Matrix{}, fmt.Errorf("%s with %d numbers is not a transform", clip(name), len(v))
}

// angle takes whole turns off, for what is exact within one turn.
func angle(degrees float64) geometry.Angle { return geometry.Angle(math.Mod(degrees, 360)) }

// viewBox is a part of the drawing that fills a viewport.
type viewBox struct{ x, y, width, height float64 }

func parseViewBox(s string) (*viewBox, error) {
	if s == "" {
		return nil, nil
	}
	v, err := numbers(s, 4)
	if err != nil || len(v) != 4 || !(v[2] > 0 && v[3] > 0) {
		return nil, fmt.Errorf("viewBox %s is not four numbers with a width and a height", clip(s))
	}
	return &viewBox{v[0], v[1], v[2], v[3]}, nil
}

// preserve is what preserveAspectRatio may say.
var preserve = regexp.MustCompile(`^\s*(?:defer\s+)?(?:(?:(none)|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(?:meet|(slice)))?)?\s*$`)

// share is how much of the room that is left over stands before the drawing.
var share = map[string]float64{"Min": 0, "Mid": 0.5, "": 0.5, "Max": 1}

// into returns the map from the viewBox to a viewport of that size, as
// preserveAspectRatio says (SVG 1.1, 7.8).
func (b *viewBox) into(width, height float64, ratio string) (trace.Matrix, error) {
	sx, sy := width/b.width, height/b.height
	said := preserve.FindStringSubmatch(ratio)
	if said == nil {
		return trace.Matrix{}, fmt.Errorf("preserveAspectRatio %s is unknown", clip(ratio))
	}
	x, y := 0.0, 0.0
	if said[1] == "" {
		k := min(sx, sy)
		if said[4] != "" {
			k = max(sx, sy)
		}
		sx, sy = k, k
		x, y = share[said[2]]*(width-k*b.width), share[said[3]]*(height-k*b.height)
	}
	return trace.Translate(x, y).After(trace.Scale(sx, sy)).After(trace.Translate(-b.x, -b.y)), nil
}
