// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"lozenge/geometry"
)

// File is what a DXF file holds, as far as it can be measured. Lengths are
// the file's own; see [File.Millimetres].
type File struct {
	Header   map[string][]Value // variables by name, with "$"
	Layers   []string           // of the layer table, in its order
	Entities []Entity           // of the drawing, in the file's order, blocks where they are inserted
	Skipped  map[string]int     // entities of other kinds or on the paper, by kind

	unseen map[string]unseen // layers that are not drawn, by their folded names
}

// unseen is a layer that is off or frozen.
type unseen struct {
	name   string
	frozen bool
}

// why says why what is on a layer is not drawn, or nothing.
func (f *File) why(layer string) (why string, frozen bool) {
	if len(f.unseen) == 0 {
		return "", false
	}
	switch u, is := f.unseen[fold(layer)]; {
	case !is:
		return "", false
	case u.frozen:
		return "its layer " + u.name + " is frozen", true
	default:
		return "its layer " + u.name + " is off", false
	}
}

// Value is a group code and what it holds, as text.
type Value struct {
	Code int
	Text string
}

// Kind is what an entity is.
type Kind int

// The kinds that are read.
const (
	Polyline Kind = iota // LWPOLYLINE, POLYLINE with its vertices, and curves, which are ARC, CIRCLE, ELLIPSE and SPLINE, in short lines
	Line                 // LINE, two points
	Text                 // TEXT, one point: the left end of its baseline
	Point                // POINT
)

// String returns "polyline", "line", "text" or "point".
func (k Kind) String() string { return [...]string{"polyline", "line", "text", "point"}[k] }

// Entity is something drawn.
type Entity struct {
	Kind   Kind
	Line   int // of the file, where it begins
	Layer  string
	Block  string // the one it came in by, the outermost; "" when drawn outright
	Points []geometry.Point
	Closed bool   // by its flag
	Hidden string // why it is not drawn: a layer that is off or frozen, a mark of its own; "" when it is

	// Of text.
	Value  string
	Height float64
	Turn   geometry.Angle
}

// Bounds returns the smallest rectangle round all points but those of text, empty when there are none.
func (f *File) Bounds() geometry.Rect {
	r := geometry.EmptyRect()
	for _, e := range f.Entities {
		if e.Kind != Text {
			r = r.Grow(e.Points...)
		}
	}
	return r
}

// Int returns a header variable that is a whole number.
func (f *File) Int(name string) (int, bool) {
	v := f.Header[name]
	if len(v) == 0 {
		return 0, false
	}
	n, err := strconv.Atoi(strings.TrimSpace(v[0].Text))
	return n, err == nil
}

// Point returns a header variable that is a point.
func (f *File) Point(name string) (geometry.Point, bool) {
	v := f.Header[name]
	if len(v) < 2 || v[0].Code != 10 || v[1].Code != 20 {
		return geometry.Point{}, false
	}
	x, errX := tag{value: v[0].Text}.float()
	y, errY := tag{value: v[1].Text}.float()
	return geometry.Point{X: x, Y: y}, errX == nil && errY == nil
}

// millimetres by $INSUNITS, of the DXF reference, HEADER section. The units
// that nobody draws cloth in are left out.
var millimetres = map[int]float64{
	1: 25.4, 2: 304.8, 4: 1, 5: 10, 6: 1000, 9: 0.0254, 10: 914.4, 13: 0.001, 14: 100,
}

// Millimetres returns how many millimetres one unit of the drawing is, by
// $INSUNITS. ok is false when the file says nothing, 0, or an unknown unit.
// $MEASUREMENT is no unit: it chooses between hatches for inches and for
// millimetres.
func (f *File) Millimetres() (mm float64, ok bool) {
	n, _ := f.Int("$INSUNITS")
	mm, ok = millimetres[n]
	return mm, ok
}

// Metric returns what $MEASUREMENT says, if it stands in the file.
func (f *File) Metric() (metric, stated bool) {
	n, stated := f.Int("$MEASUREMENT")
	return n == 1, stated && (n == 0 || n == 1)
}

// Limits on the header: there are about three hundred variables, of at most
// three values.
const (
	maxVariables = 1 << 12
	maxValues    = 1 << 8
)

// utf8From is the version from which text is UTF-8 (2007).
const utf8From = "AC1021"

// Read reads a DXF file in text form, of any version and of all three forms.
// It takes what other programs write (CR LF or LF, padded codes, a byte order
// mark) and refuses with a *[SyntaxError] what it cannot be sure to have
// understood: a count that is not that of what follows, a vertex without y, a
// number that is none, a block that is not there, a plane that is tilted, a
// file without its end. Blocks are put where they are inserted, turned and
// scaled, up to 16 within each other. Memory stays in proportion to the file,
// of 256 MB at most.
func Read(r io.Reader) (*File, error) {
	s, err := newScanner(r)
	if err != nil {
		return nil, fmt.Errorf("reading DXF: %w", err)
	}
	f := &File{Header: map[string][]Value{}, Skipped: map[string]int{}, unseen: map[string]unseen{}}
	if n := s.entities(); n > 0 {
		f.Entities = make([]Entity, 0, n)
	}
	if err := f.sections(s); err != nil {
		return nil, fmt.Errorf("reading DXF: %w", err)
	}
	f.decode()
	return f, nil
}

var errNoSection = errors.New("there is no SECTION; this is not a DXF file")

func (f *File) sections(s *scanner) error {
	var blocks map[string]*blockDef
	for seen := 0; ; {
		t, err := s.next()
		switch {
		case err != nil:
			return err
		case t.code == 999: // a comment
			continue
		case t.is(0, "EOF"):
			if seen == 0 {
				return errNoSection
			}
			return nil
		case !t.is(0, "SECTION"):
			return t.errorf("%q stands where a SECTION should begin", clip(t.value))
		}
		seen++
		if t, err = s.next(); err != nil {
			return err
		}
		if t.code != 2 {
			return t.errorf("the section has no name")
		}
		switch t.name() {
		case "HEADER":
			err = f.header(s)
		case "TABLES":
			err = f.tables(s)
		case "BLOCKS":
			blocks, err = readBlocks(s)
		case "ENTITIES":
			err = f.entities(s, blocks)
		default:
			err = skip(s)
		}
		if err != nil {
			return err
		}
	}
}

// within passes the tags of a section on, up to its end.
func within(s *scanner, each func(tag) error) error {
	for {
		t, err := s.next()
		switch {
		case err != nil:
			return err
		case t.is(0, "ENDSEC"):
			return nil
		case t.is(0, "EOF"), t.is(0, "SECTION"):
			return t.errorf("the section before has no ENDSEC")
		case t.code == 999:
			continue
		}
		if err := each(t); err != nil {
			return err
		}
	}
}

func skip(s *scanner) error { return within(s, func(tag) error { return nil }) }

func (f *File) header(s *scanner) error {
	name := ""
	return within(s, func(t tag) error {
		switch {
		case t.code == 9:
			name = t.name()
			// The last one counts.
			delete(f.Header, name)
		case name == "":
			return t.errorf("a value stands before the first variable of the header")
		case len(f.Header) > maxVariables || len(f.Header[name]) >= maxValues:
			return t.errorf("the header has more than any drawing's")
		default:
			f.Header[name] = append(f.Header[name], Value{t.code, t.value})
		}
		return nil
	})
}

func (f *File) tables(s *scanner) error {
	var name string
	var in, off, frozen bool
	end := func(t tag) error {
		if !in || !off && !frozen {
			return nil
		}
		if len(f.Entities) > 0 {
			return t.errorf("the layers stand behind the drawing; save it again, from another program")
		}
		f.unseen[fold(name)] = unseen{name, frozen}
		return nil
	}
	err := within(s, func(t tag) (err error) {
		n := 0
		switch {
		case t.code == 0:
			err = end(t)
			in, off, frozen, name = t.name() == "LAYER", false, false, ""
		case !in:
		case t.code == 2 && name == "":
			name = t.name()
			f.Layers = append(f.Layers, name)
		case t.code == 62:
			n, err = t.int()
			off = n < 0
		case t.code == 70:
			n, err = t.int()
			frozen = n&1 != 0
		}
		return err
	})
	if err != nil {
		return err
	}
	return end(tag{line: s.line})
}

func (f *File) entities(s *scanner, blocks map[string]*blockDef) error {
	p := &placer{file: f, blocks: blocks, scan: s}
	g := &gatherer{kept: &s.kept, take: func(it item) error { return p.place(it, nil) }}
	if err := within(s, g.add); err != nil {
		return err
	}
	return g.end()
}

// decode turns text into UTF-8. The version may stand anywhere in the header,
// so this comes last.
func (f *File) decode() {
	v := f.Header["$ACADVER"]
	modern := len(v) > 0 && strings.TrimSpace(v[0].Text) >= utf8From
	text := func(s string) string {
		if !modern || !utf8.ValidString(s) {
			s = fromCodePage(s)
		}
		return unescape(s)
	}
	for i := range f.Layers {
		f.Layers[i] = text(f.Layers[i])
	}
	for i := range f.Entities {
		e := &f.Entities[i]
		e.Layer, e.Block, e.Value, e.Hidden = text(e.Layer), text(e.Block), text(e.Value), text(e.Hidden)
	}
}
