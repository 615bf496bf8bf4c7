// SPDX-License-Identifier: Apache-2.0

package export_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/outside"
	"lozenge/export/svg"
	"lozenge/geometry"
)

// ell is an L: it has no mirror symmetry, so it shows which way up and which
// way round it came out. Its foot points right, its stem up.
func ell(at geometry.Point, size float64) []geometry.Point {
	var out []geometry.Point
	for _, p := range []geometry.Point{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 5}, {X: 0, Y: 5}} {
		out = append(out, at.Add(p.Mul(size)))
	}
	return out
}

// sample has something of everything.
func sample(unit geometry.Unit) *draw.Drawing {
	k := unit.Of(1, 2.5)
	pt := func(x, y float64) geometry.Point { return geometry.Point{X: float64(x * k), Y: float64(y * k)} }
	size := "4in"
	side := 4.0
	if unit == geometry.Centimetre {
		size, side = "100mm", 10
	}
	return &draw.Drawing{
		Title: `A & B <"harbour"> 'steps' 👩🏾‍💻` + "\x01",
		Note:  "Cut lines at true size -- 2½ in strips.",
		Unit:  unit,
		Page:  geometry.Rect{Min: pt(-1, -2), Max: pt(9, 8)},
		Line:  k * 0.02,
		Scale: 1,
		Fills: []draw.Fill{
			{Colour: "#6fb0c2", Polygons: []geometry.Polygon{{pt(0, 0), pt(2, 0), pt(3, 1.7), pt(1, 1.7)}, {pt(1, 1.7), pt(3, 1.7), pt(4, 3.4), pt(2, 3.4)}}},
			{Colour: "#efe6d2", Polygons: []geometry.Polygon{{pt(2, 0), pt(4, 0), pt(5, 1.7), pt(3, 1.7)}}},
		},
		Paths: []draw.Path{
			{Role: draw.Cut, Closed: true, Points: ell(pt(5, 2.5), k)},
			{Role: draw.Cut, Closed: true, Points: []geometry.Point{pt(0, 0), pt(2, 0), pt(3, 1.7), pt(1, 1.7)}},
			{Role: draw.Sew, Points: []geometry.Point{pt(0.5, 0.85), pt(2.5, 0.85)}},
			{Role: draw.Mark, Points: []geometry.Point{pt(-0.5, -0.5), pt(4, -0.5), pt(3.9, -0.4)}},
			{Role: draw.Cut, Thin: true, Points: []geometry.Point{pt(1, 3), pt(1.25, 3.5)}},
		},
		Texts: []draw.Text{
			{At: pt(0, -1.2), Height: k * 0.25, Value: `Tide blues, 2⅜″ & "3½"`},
			{At: pt(6, 7.6), Height: k * 0.2, Value: "Büro “A” 😀 50%%d \\U+0041 ^J\n0\nLINE", Centred: true},
			{At: pt(8.7, 3), Height: k * 0.3, Turn: 60, Value: "turned 60", Centred: true},
		},
		Square: &draw.CalibrationSquare{At: pt(0, 4), Side: side * 0.5, Size: size},
	}
}

// both writes a sheet in both formats.
func both(t testing.TB, s *draw.Drawing) (svgFile, dxfFile []byte) {
	t.Helper()
	var a, b bytes.Buffer
	if err := svg.Write(&a, s); err != nil {
		t.Fatal(err)
	}
	if err := dxf.Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return a.Bytes(), b.Bytes()
}

// asOutside is what an independent reader made of a DXF file.
type asOutside struct {
	Errors, Fixes, Units, Measurement int
	Min, Max                          [3]float64
	Layers                            []string
	Lines                             []struct {
		Layer  string
		Closed bool
		Points [][2]float64
	}
	Texts []string
}

// ezdxf reads DXF files and prints what the tests look at.
const ezdxf = `
import ezdxf, json, sys
def look(path):
    d = ezdxf.readfile(path)
    a = d.audit()
    m = d.modelspace()
    return {
        "Errors": len(a.errors), "Fixes": len(a.fixes),
        "Units": d.header["$INSUNITS"], "Measurement": d.header["$MEASUREMENT"],
        "Min": list(d.header["$EXTMIN"]), "Max": list(d.header["$EXTMAX"]),
        "Layers": sorted(l.dxf.name for l in d.layers),
        "Lines": [{"Layer": e.dxf.layer, "Closed": bool(e.closed), "Points": list(e.get_points("xy"))}
                  for e in m.query("LWPOLYLINE")],
        "Texts": [ezdxf.decode_dxf_unicode(e.dxf.text) for e in m.query("TEXT")],
    }
print(json.dumps([look(p) for p in sys.argv[1:]]))
`

func readOutside(t *testing.T, files ...[]byte) []asOutside {
	t.Helper()
	python := outside.Python(t, "ezdxf")
	args := []string{"-c", ezdxf}
	for i, file := range files {
		path := filepath.Join(t.TempDir(), fmt.Sprintf("sheet%d.dxf", i))
		if err := os.WriteFile(path, file, 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, path)
	}
	var got []asOutside
	if err := json.Unmarshal(outside.Run(t, python, args...), &got); err != nil {
		t.Fatal(err)
	}
	return got
}

// Another program finds no fault in the DXF, and the same lines in it.
func TestDXFReadOutside(t *testing.T) {
	// Every character of the code page that is no ASCII.
	high := "€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ"
	for r := rune(0xa1); r <= 0xff; r++ {
		high += string(r)
	}
	units := []geometry.Unit{geometry.Inch, geometry.Centimetre}
	var sheets []*draw.Drawing
	var files [][]byte
	for _, unit := range units {
		s := sample(unit)
		s.Texts = append(s.Texts, draw.Text{Height: 0.05, Value: high})
		_, file := both(t, s)
		sheets, files = append(sheets, s), append(files, file)
	}
	for i, got := range readOutside(t, files...) {
		unit, s := units[i], sheets[i]
		if got.Errors != 0 || got.Fixes != 0 {
			t.Errorf("%v: %d errors, %d fixes", unit, got.Errors, got.Fixes)
		}
		if want := [2]int{1 + 4*int(unit), int(unit)}; [2]int{got.Units, got.Measurement} != want {
			t.Errorf("%v: units %d, measurement %d", unit, got.Units, got.Measurement)
		}
		layers := map[string]bool{}
		for _, l := range got.Layers {
			layers[l] = true
		}
		for _, l := range []string{"CUT", "SEW", "MARK", "SQUARE"} {
			if !layers[l] {
				t.Errorf("%v: no layer %s in %q", unit, l, got.Layers)
			}
		}
		if len(got.Lines) != len(s.Paths)+1 {
			t.Fatalf("%v: %d lines", unit, len(got.Lines))
		}
		names := [...]string{draw.Cut: "CUT", draw.Sew: "SEW", draw.Mark: "MARK"}
		bounds := geometry.EmptyRect()
		for i, l := range got.Lines[:len(s.Paths)] {
			p := s.Paths[i]
			if l.Layer != names[p.Role] || l.Closed != p.Closed || len(l.Points) != len(p.Points) {
				t.Errorf("%v: line %d is %+v, want %+v", unit, i, l, p)
				continue
			}
			for j, q := range p.Points {
				if math.Hypot(l.Points[j][0]-q.X, l.Points[j][1]-q.Y) > 1e-8 {
					t.Errorf("%v: line %d, corner %d is %v, want %v", unit, i, j, l.Points[j], q)
				}
			}
			bounds = bounds.Grow(p.Points...)
		}
		square := got.Lines[len(s.Paths)]
		at, side := s.Square.At, s.Square.Side
		want := [][2]float64{{at.X, at.Y}, {at.X + side, at.Y}, {at.X + side, at.Y + side}, {at.X, at.Y + side}}
		if diff := cmp.Diff(want, square.Points); diff != "" || square.Layer != "SQUARE" || !square.Closed {
			t.Errorf("%v: the calibration square is %+v", unit, square)
		}
		// The text only reaches farther than the lines to the bottom, the
		// right and the top.
		bounds = bounds.Grow(at)
		if got.Min[0] != bounds.Min.X || got.Min[1] >= bounds.Min.Y || got.Max[0] <= bounds.Max.X || got.Max[1] <= bounds.Max.Y ||
			got.Max[0] > s.Page.Max.X+1 || got.Max[1] > s.Page.Max.Y {
			t.Errorf("%v: extents %v to %v, lines %v", unit, got.Min, got.Max, bounds)
		}
		texts := []string{"Tide blues, 2⅜″ & \"3½\"", "Büro “A”  50% %d \\U+0041 ^ J 0 LINE", "turned 60", strings.ReplaceAll(high, "\u00ad", ""), s.Square.Size} // a soft hyphen is no letter
		if diff := cmp.Diff(texts, got.Texts); diff != "" {
			t.Errorf("%v: %s", unit, diff)
		}
	}
}

// render draws an SVG at a resolution, as another program sees it.
func render(t *testing.T, file []byte, dpi string) image.Image {
	t.Helper()
	tool := outside.Tool(t, "rsvg-convert")
	dir := t.TempDir()
	in, out := filepath.Join(dir, "sheet.svg"), filepath.Join(dir, "sheet.png")
	if err := os.WriteFile(in, file, 0o644); err != nil {
		t.Fatal(err)
	}
	outside.Run(t, tool, "-d", dpi, "-p", dpi, "-b", "white", "-o", out, in)
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// dark is how black a pixel is, 0 to 1.
func dark(img image.Image, x, y int) float64 {
	r, g, b, _ := img.At(x, y).RGBA()
	return 1 - float64(r+g+b)/(3*0xffff)
}

// middle returns where along a row or column of pixels the ink from lo to hi
// has its centre, in pixels from the edge of the first.
func middle(ink func(int) float64, lo, hi int) float64 {
	sum, at := 0.0, 0.0
	for i := lo; i < hi; i++ {
		sum += ink(i)
		at += ink(i) * (float64(i) + 0.5)
	}
	return at / sum
}

// The black edges of the calibration square are where they should be on
// paper, whatever the resolution.
func TestSquareRenderedOutside(t *testing.T) {
	for _, unit := range []geometry.Unit{geometry.Inch, geometry.Centimetre} {
		for _, res := range []struct {
			text string
			dpi  float64
		}{{"96", 96}, {"300", 300}} {
			s := sample(unit)
			s.Fills, s.Paths, s.Texts = nil, nil, nil
			s.Square.At = geometry.Point{X: 0.123, Y: 1.234}
			s.Square.Side = s.Unit.Of(4, 10)
			file, _ := both(t, s)
			img := render(t, file, res.text)
			px := func(v float64) float64 { return s.Unit.Inches(v) * res.dpi }
			if w := px(s.Page.Width()); math.Abs(float64(img.Bounds().Dx())-w) > 1 {
				t.Fatalf("%v at %s dpi: %d pixels wide, want %v", unit, res.text, img.Bounds().Dx(), w)
			}
			q := s.Square
			left, top := px(q.At.X-s.Page.Min.X), px(s.Page.Max.Y-q.At.Y-q.Side)
			side := px(q.Side)
			row, col := int(top+side/2), int(left+side/2)
			across := func(i int) float64 { return dark(img, i, row) }
			down := func(i int) float64 { return dark(img, col, i) }
			for _, edge := range []struct {
				name string
				ink  func(int) float64
				want float64
			}{{"left", across, left}, {"right", across, left + side}, {"top", down, top}, {"bottom", down, top + side}} {
				got := middle(edge.ink, int(edge.want)-10, int(edge.want)+10)
				if !(math.Abs(got-edge.want) <= 0.5) {
					t.Errorf("%v at %s dpi: the %s edge is at %.2f, want %.2f", unit, res.text, edge.name, got, edge.want)
				}
			}
			if d := dark(img, col, row); d != 0 {
				t.Errorf("%v: the square is not empty", unit)
			}
		}
	}
}

// A chiral piece comes out the same way up and the same way round in both
// (fontforge/fontforge#3140, marvingreenberg/FaceSVG#9).
func TestChirality(t *testing.T) {
	s := sample(geometry.Inch)
	s.Fills, s.Texts, s.Square = nil, nil, nil
	s.Paths = s.Paths[:1] // the L
	svgFile, dxfFile := both(t, s)
	f, err := dxf.Read(bytes.NewReader(dxfFile))
	if err != nil {
		t.Fatal(err)
	}
	ring := geometry.Polygon(f.Entities[0].Points)
	if !f.Entities[0].Closed || math.Abs(ring.Area()-7) > 1e-7 {
		t.Errorf("DXF: the L has area %v, want 7, counter-clockwise", ring.Area())
	}
	for i, p := range s.Paths[0].Points {
		if ring[i].Sub(p).Len() > 1e-8 {
			t.Errorf("DXF: corner %d is %v, want %v", i, ring[i], p)
		}
	}
	// The L stands at (5, 2.5) on a page that begins at (-1, -2) and is 10
	// high: seen on the picture, stem at the left, foot at the bottom right.
	img := render(t, svgFile, "96")
	onLine := func(x, y float64) bool {
		u, v := int(math.Round((x+1)*96)), int(math.Round((8-y)*96))
		for du := -2; du <= 2; du++ {
			for dv := -2; dv <= 2; dv++ {
				if dark(img, u+du, v+dv) > 0.4 {
					return true
				}
			}
		}
		return false
	}
	for _, c := range []struct {
		name string
		x, y float64
		want bool
	}{
		{"the stem's left edge", 5, 6, true},
		{"the stem's right edge", 6, 6, true},
		{"the foot's end", 8, 3, true},
		{"the foot's top", 7, 3.5, true},
		{"where a mirrored L has its stem", 8, 6, false},
		{"where an L upside down has its foot", 8, 7, false},
		{"inside the stem", 5.5, 6, false},
	} {
		if got := onLine(c.x, c.y); got != c.want {
			t.Errorf("SVG: %s: line %v, want %v", c.name, got, c.want)
		}
	}
}

// The same sheet gives the same bytes, also when several are written at once:
// the DXF library keeps its layers and styles in global variables.
func TestSameBytes(t *testing.T) {
	inch, cm := sample(geometry.Inch), sample(geometry.Centimetre)
	svgInch, dxfInch := both(t, inch)
	svgCm, dxfCm := both(t, cm)
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for range 20 {
				a, b := both(t, inch)
				c, d := both(t, cm)
				if !bytes.Equal(a, svgInch) || !bytes.Equal(b, dxfInch) || !bytes.Equal(c, svgCm) || !bytes.Equal(d, dxfCm) {
					t.Error("the bytes differ")
					return
				}
			}
		})
	}
	wait.Wait()
}

// Both formats write one corner computed two ways as one point
// (LibrePCB/LibrePCB#960, vlachoudis/bCNC#903).
func TestCornersMeet(t *testing.T) {
	s := sample(geometry.Inch)
	s.Fills, s.Texts, s.Square = nil, nil, nil
	three := 3.0 // a variable, as the compiler would compute both exactly
	third, other := 1/three, 1-2/three
	tie, nearTie := 2.0078125, math.Nextafter(2.0078125, 3) // a half at six decimals
	if third == other {
		t.Fatal("the two thirds are equal; the test tests nothing")
	}
	s.Paths = []draw.Path{
		{Points: []geometry.Point{{X: 3, Y: 3}, {X: third, Y: tie}}},
		{Points: []geometry.Point{{X: other, Y: nearTie}, {X: 3, Y: 0}}},
	}
	svgFile, dxfFile := both(t, s)
	f, err := dxf.Read(bytes.NewReader(dxfFile))
	if err != nil {
		t.Fatal(err)
	}
	if a, b := f.Entities[0].Points[1], f.Entities[1].Points[0]; a != b {
		t.Errorf("DXF: %v and %v", a, b)
	}
	if !bytes.Contains(svgFile, []byte(" L1.333333,5.992188\"")) || !bytes.Contains(svgFile, []byte("\"M1.333333,5.992188 ")) {
		t.Errorf("SVG:\n%s", svgFile)
	}
}
