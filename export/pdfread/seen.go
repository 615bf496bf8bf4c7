// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"cmp"

	"lozenge/export/measure"
	"lozenge/export/trace"
	"lozenge/geometry"
)

// why tells why what is drawn now can't be seen, or nothing.
func (c *content) why() string {
	for _, mark := range c.marks {
		if mark != "" {
			return mark
		}
	}
	switch {
	case c.g.masked:
		return "it has a mask, which may hide it"
	case c.g.blended:
		return "it is mixed with what lies under it, which may hide it"
	}
	return c.g.hidden
}

// cover notes an area of the page that a picture or the like may lie over.
func (c *content) cover(subs []trace.Sub) {
	for _, s := range subs {
		c.page.Paths = append(c.page.Paths, measure.Path{
			Points: s.Points, Closed: true, Role: measure.Mark, Filled: true, Hidden: c.why(),
			Area: measure.Ink{Alpha: c.g.fill.Alpha, Unsure: true}, Cover: trace.Area([]trace.Sub{s}, false),
		})
	}
}

// picture notes where a picture of pixels lies: the square of 1 as it is now.
func (c *content) picture() {
	c.images++
	c.cover(outlineOf(c.g.m, geometry.Rect{Max: geometry.Point{X: 1, Y: 1}}))
}

// whole is the page.
func (c *content) whole() []trace.Sub {
	return outlineOf(trace.Identity(), geometry.Rect{Max: geometry.Point{X: c.page.Width, Y: c.page.Height}})
}

func outlineOf(m trace.Matrix, r geometry.Rect) []trace.Sub {
	return []trace.Sub{{Points: r.Polygon().Map(m.Apply), Closed: true}}
}

// within takes what a form says of what it draws: a box outside of which nothing
// is seen, and a layer.
func (c *content) within(g *graphics, form dict) error {
	box, ok, err := c.numbersOf(form["BBox"], 4)
	if err != nil {
		return err
	}
	if ok {
		r := geometry.EmptyRect().Grow(geometry.Point{X: box[0], Y: box[1]}, geometry.Point{X: box[2], Y: box[3]})
		g.clip = g.clip.Within(outlineOf(g.m, r), false, &c.clipped)
	}
	off, err := c.off(form["OC"])
	g.hidden = cmp.Or(c.why(), off, g.hidden)
	return err
}

// mark begins or ends a part of the content that has a mark, which may be a
// layer.
func (c *content) mark(op keyword) error {
	if op == "EMC" {
		if n := len(c.marks); n > 0 {
			c.marks = c.marks[:n-1]
		}
		return nil
	}
	if len(c.marks) >= maxSaved {
		return wrong("the content has marks within each other more than %d times over", maxSaved)
	}
	why := ""
	if n := len(c.operands); op == "BDC" && n >= 2 && c.operands[n-2].o == name("OC") {
		all, err := c.dictOf(c.resources["Properties"])
		if err != nil {
			return err
		}
		layer, _ := c.operands[n-1].o.(name)
		if why, err = c.off(all[layer]); err != nil {
			return err
		}
	}
	c.marks = append(c.marks, why)
	return nil
}

const (
	layerOff    = "its layer is off"
	layerUnsure = "its layer may be off"
)

// layers notes which layers are off, or are off in print or on a screen (ISO
// 32000-1, 8.11.4).
func (w *walker) layers(root dict) error {
	all, err := w.dictOf(root["OCProperties"])
	if err != nil || all == nil {
		return err
	}
	usual, err := w.dictOf(all["D"])
	if err != nil {
		return err
	}
	state := func(list object, off bool) error {
		groups, err := w.arrayOf(list)
		for _, g := range groups {
			if r, ok := g.(ref); ok {
				w.layersOff[r.number] = off
			}
		}
		return err
	}
	groups, err := w.arrayOf(all["OCGs"])
	if err != nil {
		return err
	}
	if usual["BaseState"] == name("OFF") {
		if err := state(groups, true); err != nil {
			return err
		}
	}
	if err := cmp.Or(state(usual["ON"], false), state(usual["OFF"], true)); err != nil {
		return err
	}
	if usual["AS"] == nil {
		return nil
	}
	for _, o := range groups {
		if err := w.usage(o); err != nil {
			return err
		}
	}
	return nil
}

// usage notes that a layer is off in print or on a screen.
func (w *walker) usage(o object) error {
	r, ok := o.(ref)
	group, err := w.dictOf(o)
	if err != nil || !ok {
		return err
	}
	use, err := w.dictOf(group["Usage"])
	if err != nil {
		return err
	}
	for _, way := range [...]name{"Print", "View"} {
		d, err := w.dictOf(use[way])
		if err != nil {
			return err
		}
		if d[way+"State"] == name("OFF") {
			w.layersOff[r.number] = true
		}
	}
	return nil
}

// off tells why what is on a layer, or on what its members say, is not seen.
func (w *walker) off(o object) (string, error) {
	if r, ok := o.(ref); ok && w.layersOff[r.number] {
		return layerOff, nil
	}
	d, err := w.dictOf(o)
	if err != nil || d == nil || d["Type"] != name("OCMD") {
		return "", err
	}
	if d["VE"] != nil {
		return layerUnsure, nil
	}
	members, err := w.arrayOf(d["OCGs"])
	if err != nil {
		return "", err
	}
	if members == nil {
		members = array{d["OCGs"]}
	}
	off := 0
	for _, m := range members {
		if r, ok := m.(ref); ok && w.layersOff[r.number] {
			off++
		}
	}
	seen := off < len(members) // any is on
	switch policy, _ := d["P"].(name); policy {
	case "AllOn":
		seen = off == 0
	case "AnyOff":
		seen = off > 0
	case "AllOff":
		seen = off == len(members)
	}
	if len(members) > 0 && !seen {
		return layerOff, nil
	}
	return "", nil
}

// annotations notes where something lies over the page.
func (w *walker) annotations(o object, m trace.Matrix) error {
	all, err := w.arrayOf(o)
	if err != nil {
		return err
	}
	n := 0
	for _, a := range all {
		d, err := w.dictOf(a)
		if err != nil {
			return err
		}
		flags, _ := d["F"].(float64)
		box, ok, err := w.numbersOf(d["Rect"], 4)
		if err != nil {
			return err
		}
		if !ok || d["AP"] == nil || int(flags)&(2|32) != 0 {
			continue
		}
		n++
		r := geometry.EmptyRect().Grow(geometry.Point{X: box[0], Y: box[1]}, geometry.Point{X: box[2], Y: box[3]})
		for _, s := range outlineOf(m, r) {
			w.page.Paths = append(w.page.Paths, measure.Path{
				Points: s.Points, Closed: true, Role: measure.Mark, Filled: true,
				Area: measure.Ink{Alpha: 1, Unsure: true}, Cover: trace.Area([]trace.Sub{s}, false),
			})
		}
	}
	w.notes += n
	return nil
}
