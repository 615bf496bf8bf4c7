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
	Closed bool // by its flag

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

// Millimetres returns how many millimetres one unit of the drawing is, and
// the variable that says so. $INSUNITS counts; $MEASUREMENT, which chooses
// between inches and millimetres for hatches, only where there is no
// $INSUNITS or it is 0 (FreeCAD/FreeCAD#6461). ok is false when the file says
// nothing or an unknown unit.
func (f *File) Millimetres() (mm float64, variable string, ok bool) {
	const units, system = "$INSUNITS", "$MEASUREMENT"
	if n, stated := f.Int(units); stated && n != 0 {
		mm, ok = millimetres[n]
		return mm, units, ok
	}
	switch n, stated := f.Int(system); {
	case stated && n == 0:
		return 25.4, system, true
	case stated && n == 1:
		return 1, system, true
	}
	return 0, "", false
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
	f := &File{Header: map[string][]Value{}, Skipped: map[string]int{}}
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
	inLayer := false
	return within(s, func(t tag) error {
		switch {
		case t.code == 0:
			inLayer = t.name() == "LAYER"
		case t.code == 2 && inLayer:
			f.Layers = append(f.Layers, t.name())
			inLayer = false
		}
		return nil
	})
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
		if modern && utf8.ValidString(s) {
			return s
		}
		return fromCodePage(s)
	}
	for i := range f.Layers {
		f.Layers[i] = text(f.Layers[i])
	}
	for i := range f.Entities {
		e := &f.Entities[i]
		e.Layer, e.Block, e.Value = text(e.Layer), text(e.Block), text(e.Value)
	}
}
