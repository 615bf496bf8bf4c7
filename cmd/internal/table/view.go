// SPDX-License-Identifier: Apache-2.0

package table

import (
	"math"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
)

// view is what the page shows. Places are in device pixels of the page, v
// down.
type view struct {
	Serial int    `json:"serial"` // a view with a lower one is out of date
	Stage  string `json:"stage"`
	Done   int    `json:"done"` // pieces that are cut
	// Picture is the page under the projector; "" while none is open.
	Picture string           `json:"picture"`
	Screen  calibrate.Screen `json:"screen"` // that it was made for

	Say    string   `json:"say"`    // what to do, in one line
	More   []string `json:"more"`   // what else to know
	Notes  []string `json:"notes"`  // what is not as it should be
	Number string   `json:"number"` // of the cut to be made, to be seen from afar
	Face   string   `json:"face"`   // which side of the fabric lies up; "" where none lies there
	Wrong  bool     `json:"wrong"`  // it is the wrong side
	Way    []string `json:"way"`    // the parts of the way to the cuts,
	Here   int      `json:"here"`   // and which of them this is
	Strips []swatch `json:"strips"` // of the strip set, highest first, as they lie on the mat
	Field  *field   `json:"field"`
	// Photo is what a page for the hand offers of photos, or "", and PhotoShown
	// whether it may show what was found in one.
	Photo      string    `json:"photo"`
	PhotoShown bool      `json:"photo_shown"`
	Unit       string    `json:"unit"` // in or cm
	Keys       []keyHelp `json:"keys"`

	Fills []line   `json:"fills"` // outlines that are filled, under the lines
	Lines []line   `json:"lines"`
	Words []word   `json:"words"`
	Cross *cross   `json:"cross"`
	Panel *panel   `json:"panel"` // where the words stand; nil: at Side
	Side  string   `json:"side"`  // top, bottom or middle of the screen
	Turn  int      `json:"turn"`  // quarter turns by which words stand upright
	Quilt *picture `json:"quilt"`
	Look  look     `json:"look"`
}

// What a line is for. The page knows how bright and wide each is.
const (
	asNow    = "now"    // cut here
	asNext   = "next"   // the cut after that
	asLineUp = "lineup" // lay the cut edge here
	asSeam   = "seam"   // never cut
	asRim    = "rim"    // edges of the cloth
	asPiece  = "piece"  // the piece that a cut is for; filled
	asBand   = "band"   // a strip in its colour; filled
	asGhost  = "ghost"  // where a cut edge lies before it is slid
	asArrow  = "arrow"  // which way it is slid
	asSew    = "sew"    // where a piece will be sewn
	asSquare = "square" // the check square
	asCheck  = "check"  // the check square beside the cuts
	asSide   = "side"   // the side of it that is to be measured
	asCross  = "cross"
	asOther  = "other" // crosses that are not in question
)

// line is a polyline: u, v, u, v, ...
type line struct {
	As     string    `json:"as"`
	Points []float64 `json:"points"`
	Colour string    `json:"colour,omitempty"` // of a band
}

// word is a text on the mat.
type word struct {
	As      string     `json:"as"` // as the line beside which it stands
	Text    string     `json:"text"`
	At      [2]float64 `json:"at"`     // left end of the baseline, or its middle
	Across  [2]float64 `json:"across"` // the height of a capital along it
	Up      [2]float64 `json:"up"`     // and at right angles
	Centred bool       `json:"centred"`
}

// cross is one that the arrow keys move.
type cross struct {
	At [2]float64 `json:"at"`
}

// panel is the rectangle of the words: see [onmat.Quad].
type panel struct {
	Matrix [9]float64 `json:"matrix"`
	Wide   float64    `json:"wide"`
	High   float64    `json:"high"`
}

// field is where something is typed.
type field struct {
	Label string `json:"label"`
	Text  string `json:"text"`  // to begin with
	Wrong string `json:"wrong"` // what is wrong with what was typed, or ""
	// Other is a second field, or nil; At is the one to type into, 0 or 1.
	Other *other `json:"other"`
	At    int    `json:"at"`
	Plain bool   `json:"plain"` // a word is asked for, not a length
}

type other struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

// keyHelp is a key, what it does, and what pressing its button sends: "" for
// keys that need the keyboard.
type keyHelp struct {
	Key   string `json:"key"`
	Does  string `json:"does"`
	Press string `json:"press"`
}

// pressOf returns what a key sends.
func pressOf(key string) string {
	switch key {
	case "Space", "Enter":
		return "on"
	case "Backspace":
		return "back"
	case "shift Space":
		return "next"
	case "shift Backspace":
		return "previous"
	case "Home":
		return "home"
	}
	if len(key) == 1 {
		return strings.ToLower(key)
	}
	return ""
}

type swatch struct {
	Name   string `json:"name"`
	Colour string `json:"colour"`
}

// picture is the quilt: cells filled with patches. Matrix takes the quilt's
// coordinates, y up, to pixels as a panel's does.
type picture struct {
	Matrix [9]float64    `json:"matrix"`
	Frame  [2]float64    `json:"frame"`  // width and height of the quilt
	Shapes [][][]float64 `json:"shapes"` // of each kind of cell its patches: x, y, x, y, ...
	Cells  []cell        `json:"cells"`
}

// cell is a place of the quilt: its kind, its middle, whether it is cut, and
// the colours of its patches.
type cell struct {
	Kind    int      `json:"k"`
	X       float64  `json:"x"`
	Y       float64  `json:"y"`
	Done    bool     `json:"d"`
	Now     bool     `json:"n"` // from the strip set that she cuts
	Colours []string `json:"c"`
}

// forHand leaves out what only the picture shows.
func (v *view) forHand() *view {
	h := *v
	h.Fills, h.Lines, h.Words, h.Quilt, h.Panel = nil, nil, nil, nil, nil
	return &h
}

// pixel rounds a place to 1/1000 of a pixel.
func pixel(v float64) float64 { return math.Round(v*1000) / 1000 }

func pair(p geometry.Point) [2]float64 { return [2]float64{pixel(p.X), pixel(p.Y)} }

func flat(points []geometry.Point) []float64 {
	out := make([]float64, 0, 2*len(points))
	for _, p := range points {
		out = append(out, pixel(p.X), pixel(p.Y))
	}
	return out
}

// draw adds what of a path on the mat can be shown, in inches; nothing as "".
func (v *view) draw(m *calibrate.Map, as string, p draw.Path) {
	if as == "" {
		return
	}
	traces, _ := draw.ProjectPath(p, m)
	for _, t := range traces {
		v.Lines = append(v.Lines, line{As: as, Points: flat(t.Points)})
	}
}

func (v *view) line(m *calibrate.Map, as string, from, to geometry.Point) {
	v.draw(m, as, draw.Path{Points: []geometry.Point{from, to}})
}

// outline adds a polygon side by side, as each may be measured.
func (v *view) outline(m *calibrate.Map, as string, g geometry.Polygon) {
	for _, s := range g.Sides() {
		v.line(m, as, s.A, s.B)
	}
}

// fill adds a polygon on the mat, if all of it can be shown.
func (v *view) fill(m *calibrate.Map, as string, g geometry.Polygon) {
	if traces, whole := draw.ProjectPath(draw.Path{Points: g, Closed: true}, m); whole {
		v.Fills = append(v.Fills, line{As: as, Points: flat(traces[0].Points)})
	}
}

// write adds a text on the mat, in inches; nothing as "".
func (v *view) write(m *calibrate.Map, as string, t draw.Text) {
	if l, ok := draw.ProjectText(t, m); ok && as != "" {
		v.Words = append(v.Words, word{as, l.Value, pair(l.At), pair(l.Across), pair(l.Up), l.Centred})
	}
}

// onMat returns places in the pattern's unit in inches, moved.
func (s *session) onMat(g []geometry.Point, by geometry.Point) geometry.Polygon {
	out := make(geometry.Polygon, len(g))
	for i, p := range g {
		out[i] = p.Mul(s.unit().Inches(1)).Add(by)
	}
	return out
}

// place puts the words into a rectangle on the mat.
func (v *view) place(m *calibrate.Map, r geometry.Rect) {
	v.Turn = onmat.Turn(m)
	if q, ok := onmat.QuadOf(m, r); ok {
		v.Panel = &panel{q.Matrix, q.Wide, q.High}
	}
}

func (v *view) more(text ...string) {
	for _, t := range text {
		if t != "" {
			v.More = append(v.More, t)
		}
	}
}

// onTheWay names the parts of the way to the cuts; here is the one she is at.
func (v *view) onTheWay(here int) {
	v.Way = []string{"read the crosses", "move them", "measure the square", "cut"}
	v.Here = here
}

// cloth says which side of the fabric lies up.
func (s *session) cloth(v *view) {
	face := s.plan.Spec.Face
	v.Face, v.Wrong = words.Face(face), face == geometry.FaceDown
}

func (v *view) key(key, does string) { v.Keys = append(v.Keys, keyHelp{key, does, pressOf(key)}) }
