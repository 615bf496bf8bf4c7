// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"lozenge/cmd/internal/problem"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// A Pattern is a pattern file that was read.
type Pattern struct {
	Spec     quilt.Spec // defaults filled in
	Path     string     // as given; "<standard input>" for that
	Cutter   Cutter     // for the cutter command
	Scraps   string     // path of the scrap bin that the strip sets come from, as it can be opened; "" for none
	Warnings []Problem  // what she should know, in the order of the file

	places map[string]position
	root   position
	text   string
}

// Cutter is how the pieces are laid out for a cutter, as it was written; "" is
// not given.
type Cutter struct{ Sheet, Margin, Gap, From string }

// cutter reads how pieces are laid out for a cutter. The lengths are checked
// here, the sheet's size when it is used.
func (f fields) cutter() Cutter {
	g, ok := f.group("cutter", "a group", &cutterPart)
	if !ok {
		return Cutter{}
	}
	text := func(key string) string {
		if n := g.scalar(key, "a text"); n != nil {
			return n.text
		}
		return ""
	}
	for _, key := range []string{"margin", "gap"} {
		g.length(key, true, 0)
	}
	return Cutter{text("sheet"), text("margin"), text("gap"), text("from")}
}

// Parse reads the pattern in src; path is what messages call it. The error is
// a [Problems] with all that is wrong, in the order of the file, and then the
// Pattern is nil.
func Parse(path string, src []byte) (*Pattern, error) {
	d := &decoder{places: map[string]position{}}
	p := &Pattern{Path: path, places: d.places, root: position{1, 1}, text: string(src)}

	text, bad := clean(src)
	if bad != nil {
		return nil, p.in([]Problem{*bad})
	}
	root, problems := parseYAML(text)
	switch {
	case len(problems) > 0:
		return nil, p.in(problems)
	case root == nil:
		d.fail(p.root, "the pattern is empty", "`lozenge new` writes one to begin with")
	default:
		if root.kind == group {
			p.root = root.at
		}
		p.Spec, p.Cutter, p.Scraps = d.spec(root, path)
	}
	if len(d.problems) > 0 {
		return nil, p.in(d.problems)
	}
	p.Warnings = p.in(d.warnings)
	return p, nil
}

// in names the file in each problem, with the line and a right example, and
// sorts them. What the whole pattern lacks has its example in the hint.
func (p *Pattern) in(ps []Problem) Problems {
	ps = problem.In(p.Path, p.text, ps)
	for i, q := range ps {
		if (position{q.Line, q.Column}) != p.root {
			ps[i].Example = exampleAt(p.text, q.Line, p.Spec.Unit)
		}
	}
	return ps
}

// At returns a problem at the place of a field, such as strips[0].cut, angle
// or finish.width: for values that can be read but not planned with. A field
// that is not in the file is placed where the nearest one around it is.
func (p *Pattern) At(field, message, hint string) Problem {
	at, missing := p.root, field
	for f := field; f != ""; f = f[:max(strings.LastIndexAny(f, ".["), 0)] {
		if found, ok := p.places[f]; ok {
			if at = found; f == field {
				missing = ""
			}
			break
		}
	}
	return p.in([]Problem{{Line: at.line, Column: at.column, Message: message, Hint: hint, Field: missing}})[0]
}

// Wrong turns a [*geometry.Error] into problems at its field, for the size of
// that name where there are several; another error it returns as it is.
func (p *Pattern) Wrong(err error, size string) error {
	var wrong *geometry.Error
	if !errors.As(err, &wrong) {
		return err
	}
	if size != "" {
		size += ": "
	}
	return Problems{p.At(wrong.Field, size+wrong.Reason, wrong.Hint)}
}

// The most spare pieces of a kind, and the most columns or rows.
const (
	MaxSpare = 1000
	MaxSide  = 5000
)

const (
	untitled      = "Untitled"
	maxTitle      = 120 // characters in a name
	maxColourName = 40
	maxNote       = 600 // characters in a note: a paragraph
	maxKey        = 40  // characters in a fabric's key
)

// titleFrom makes the name of a pattern that gives none.
func titleFrom(path string) string {
	base := filepath.Base(path)
	title := strings.TrimSpace(strings.TrimSuffix(base, filepath.Ext(base)))
	if path == problem.StandardInput || title == "" || strings.Trim(title, `./\`) == "" || badText(title, maxTitle) != "" {
		return untitled
	}
	return title
}

// badText says why a text of at most most characters can't stand in print, or
// "".
func badText(s string, most int) string {
	if n := utf8.RuneCountInString(s); n > most {
		return fmt.Sprintf("has %d characters, more than %d", n, most)
	}
	if wrong := problem.Invisible(s); wrong != "" {
		return wrong
	}
	if strings.TrimSpace(s) == "" {
		return "is empty"
	}
	return ""
}

// words reads a text of at most most characters.
func (f fields) words(key, def string, most int) string {
	n := f.scalar(key, "a text")
	if n == nil {
		return def
	}
	if reason := badText(n.text, most); reason != "" {
		f.d.fail(n.at, fmt.Sprintf("%s: %s %s", key, show(n.text), reason), "write a short text on one line")
		return def
	}
	if n.glued && !n.quoted {
		f.d.warn(n.at, fmt.Sprintf("%s: what follows # is taken as a comment, so this is only %s", key, show(n.text)), "put the whole text in quotation marks, or a space behind the #")
	}
	return n.text
}

// spec reads the whole pattern. It is of use only when there are no problems.
func (d *decoder) spec(root *node, path string) (quilt.Spec, Cutter, string) {
	f, ok := d.fields(root, "", "a pattern (one `key: value` on each line)", &wholePart)
	if !ok {
		return quilt.Spec{}, Cutter{}, ""
	}
	// The unit first: the other lengths need it, wherever it stands.
	f.require("unit", "add a line `unit: in` or `unit: cm`")
	d.unit, d.unitKnown = word(f, "unit", units...)

	s := quilt.Spec{Unit: d.unit}
	s.Name = f.words("name", titleFrom(path), maxTitle)
	s.Designer = f.words("designer", "", maxTitle)
	s.Note = f.words("note", "", maxNote)
	s.Angle = f.angle("angle", 60)
	s.Tips, _ = word(f, "tips", tipWords...)
	s.Layout = f.layout()
	s.ColourOrder, _ = word(f, "color_order", orders...)
	s.Edges, _ = word(f, "edges", edgeRules...)
	s.Face, _ = word(f, "face", faces...)
	s.EdgeGrain, _ = word(f, "edge_grain", edgeGrains...)
	s.Shrinkage = f.percent("shrinkage")
	s.TakeUp = f.percent("take_up")
	s.Stagger = f.boolean("stagger")
	s.MixLeans = f.boolean("mix_leans")
	s.Spare, _ = f.integer("spare", 0, MaxSpare, 0)
	f.size(&s)

	c := checks{d: d}
	// 1/4 in is the seam allowance of patchwork; 0.75 cm its round metric twin.
	c.seam = f.length("seam", false, d.unit.Of(0.25, 0.75))
	// 40 in of fabric sold 42 to 44 in wide, selvages off; 1 m likewise.
	c.usable = f.length("usable_width", false, d.unit.Of(40, 100))
	c.endTrim = f.length("end_trim", true, 0)
	if f.has("sewn_width") {
		c.sewn = f.length("sewn_width", false, 0)
	}
	s.Seam, s.UsableWidth, s.EndTrim, s.SewnWidth = c.seam.value, c.usable.value, c.endTrim.value, c.sewn.value

	s.Strips = c.strips(f)
	s.Borders = c.borders(f)
	s.Fabrics = c.fabrics(f)
	f.finishing(&s)

	if s.EdgeGrain == quilt.Straight && s.Angle != 60 {
		d.fail(d.places["edge_grain"], fmt.Sprintf("edge_grain: at %s degrees an edge triangle can't be turned", words.Degrees(s.Angle)), "write bias, or cut at 60 degrees")
	}
	if s.MixLeans && s.Angle != 60 {
		d.fail(d.places["mix_leans"], fmt.Sprintf("mix_leans: at %s degrees the leans share no cut", words.Degrees(s.Angle)), "write false, or cut at 60 degrees")
	}
	c.widths()
	c.sewnWidth()
	c.ends(s)
	return s, f.cutter(), f.scraps(path)
}

// size reads columns and rows, or the size to cover: one of the two ways, or none
// where what is there decides.
func (f fields) size(s *quilt.Spec) {
	s.Columns, _ = f.integer("columns", 1, MaxSide, 0)
	s.Rows, _ = f.integer("rows", 1, MaxSide, 0)
	s.StripSets, _ = f.integer("strip_sets", 1, quilt.MaxStripSets, 0)
	hasC, hasR := f.has("columns"), f.has("rows")
	switch {
	case f.has("finish") && (hasC || hasR):
		f.d.fail(f.d.places["finish"], "the size is given twice, by finish and by columns and rows", "keep one of the two")
	case hasC && !hasR:
		f.d.fail(f.d.places["columns"], "columns is given without rows", "add `rows:`, or give finish instead of both")
	case hasR && !hasC:
		f.d.fail(f.d.places["rows"], "rows is given without columns", "add `columns:`, or give finish instead of both")
	case f.has("strip_sets") && f.has("scraps"):
		f.d.fail(f.d.places["strip_sets"], "strip_sets and scraps both say what there is to sew from", "keep one of the two")
	case !hasC && !f.has("finish") && !f.has("strip_sets") && !f.has("scraps"):
		f.d.missing(f.at, "columns", "the size of the quilt is missing", "give columns and rows, or `finish: {width: 44, height: 50}`, or `strip_sets: 12` or `scraps: my-scraps.csv` for what those make")
	}
	if g, ok := f.group("finish", "a size", &finishPart); ok {
		g.require("width", f.d.shapeHint("finish"))
		g.require("height", f.d.shapeHint("finish"))
		s.Finish = &quilt.Size{Width: g.length("width", false, 0).value, Height: g.length("height", false, 0).value}
	}
}

// finishing reads backing, binding and batting. What they reach past the
// quilt by default is common practice: 4 in (10 cm) a side for quilting, and
// 10 in (25 cm) of binding for corners and the join; strips for binding are
// cut 2 1/2 in (6.5 cm) wide.
func (f fields) finishing(s *quilt.Spec) {
	part := func(key string, p *part) fields {
		if g, ok := f.group(key, "a group", p); ok {
			return g
		}
		return fields{d: f.d, path: key}
	}
	u := s.Unit
	backing, binding, batting := part("backing", &backingPart), part("binding", &bindingPart), part("batting", &battingPart)
	s.Backing.UsableWidth = backing.length("usable_width", false, s.UsableWidth).value
	s.Backing.Extra = backing.length("extra", true, u.Of(4, 10)).value
	s.Binding.Cut = binding.length("cut", false, u.Of(2.5, 6.5)).value
	s.Binding.Extra = binding.length("extra", true, u.Of(10, 25)).value
	s.Binding.Joins, _ = word(binding, "joins", joins...)
	s.Straighten = f.length("straighten", true, u.Of(2, 5)).value
	s.Batting.Extra = batting.length("extra", true, u.Of(4, 10)).value
}
