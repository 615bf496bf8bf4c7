// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"cmp"
	"slices"
	"strings"

	"lozenge/export/measure"
	"lozenge/export/trace"
)

const unknownClip = "it is clipped in a way that is not followed"

// cut leaves only what lies in a rectangle.
func (w *walker) cut(s *state, box viewBox) {
	pen := trace.Pen{M: s.m, Store: w.pen.Store}
	drawRect(&pen, box.x, box.y, box.width, box.height, 0, 0)
	subs, err := pen.Done()
	if err != nil {
		w.fail(w.root, "a viewport: %v", err)
	}
	s.clip = s.clip.Within(subs, false, &w.clipped)
}

// clip leaves only what lies in a clipPath: one of shapes in the coordinates of
// what it clips (SVG 1.1, 14.3).
func (w *walker) clip(s *state, value string) {
	id, is := strings.CutPrefix(strings.TrimSpace(value), "url(")
	id = strings.Trim(strings.TrimSuffix(id, ")"), " \"'")
	path := w.ids[strings.TrimPrefix(id, "#")]
	if !is || !strings.HasPrefix(id, "#") || path == nil || path.name != "clipPath" {
		s.hidden = cmp.Or(s.hidden, unknownClip)
		return
	}
	shape := path.only()
	if shape == nil || !w.plain(path) || !w.plain(shape) {
		s.hidden = cmp.Or(s.hidden, unknownClip)
		return
	}
	at := *s
	for _, e := range [...]*element{path, shape} {
		if m, err := parseTransform(e.attr("transform")); err != nil {
			w.fail(e, "%v", err)
		} else {
			w.turn(e, &at, m)
		}
	}
	pen := w.pen
	w.pen = trace.Pen{M: at.m, Store: pen.Store}
	err := w.draw(shape, at)
	subs, tooMuch := w.pen.Done()
	if err = cmp.Or(err, tooMuch); err != nil {
		w.fail(shape, "<%s>: %v", shape.name, err)
	}
	w.pen = pen
	s.clip = s.clip.Within(subs, shape.attr("clip-rule") == "evenodd", &w.clipped)
}

// only returns the one shape of a clipPath, or nil: several together clip
// otherwise than one by one.
func (e *element) only() (shape *element) {
	for _, child := range e.children {
		switch child.name {
		case "title", "desc", "metadata":
			continue
		case "path", "rect", "circle", "ellipse", "polygon", "polyline":
			if shape == nil && !child.foreign {
				shape = child
				continue
			}
		}
		return nil
	}
	return shape
}

// plain reports whether nothing changes what an element clips.
func (w *walker) plain(e *element) bool {
	w.visit(e)
	units := e.attr("clipPathUnits")
	of := state{look: black()}
	said := w.styleOf(e)
	of.see(said)
	clip := said.get("clip-path")
	return w.err == nil && of.why() == "" && (clip == "" || clip == "none") && (units == "" || units == "userSpaceOnUse")
}

// image notes where a picture of pixels lies: it may lie over lines.
func (w *walker) image(e *element, s state) {
	w.images++
	width, height := w.length(e, "width", s.width, 0), w.length(e, "height", s.height, 0)
	w.pen.Reset(s.m)
	drawRect(&w.pen, w.length(e, "x", s.width, 0), w.length(e, "y", s.height, 0), width, height, 0, 0)
	subs, err := w.pen.Done()
	if err != nil {
		w.fail(e, "<image>: %v", err)
	}
	for _, sub := range subs {
		w.page.Paths = append(w.page.Paths, measure.Path{
			Points: sub.Points, Closed: true, Role: measure.Mark, Filled: true,
			Area: measure.Ink{Alpha: s.look.alpha, Unsure: true}, Cover: trace.Area(slices.Clone(subs), false), Hidden: s.why(),
		})
	}
}
