// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// Each piece is a block of its own with everything on its layer, the
// calibration square too.
func TestSewnPieces(t *testing.T) {
	for _, s := range pieceSheets(t) {
		f := read(t, formed(t, s, SewnProducts))
		if diff := cmp.Diff([]string{"0", "1", "4", "7", "8", "14", "15"}, f.Layers); diff != "" {
			t.Error(diff)
		}
		k := s.Unit.Of(1, 10) // file length per sheet length
		type key struct{ block, layer string }
		found := map[key][]Entity{}
		var blocks []string
		for _, e := range f.Entities {
			if e.Block != "" && (len(blocks) == 0 || blocks[len(blocks)-1] != e.Block) {
				blocks = append(blocks, e.Block)
			}
			found[key{e.Block, e.Layer}] = append(found[key{e.Block, e.Layer}], e)
		}
		if len(blocks) != len(s.Parts)+1 || blocks[len(s.Parts)] != "CALIBRATION_SQUARE" {
			t.Fatalf("%s: blocks %q", s.Title, blocks)
		}
		near := func(what string, got []geometry.Point, want ...geometry.Point) {
			t.Helper()
			for i := range want {
				want[i] = want[i].Mul(k)
			}
			if apart(got, want) > 1e-7 {
				t.Errorf("%s: %s is %v, want %v", s.Title, what, got, want)
			}
		}
		for i, p := range s.Parts {
			on := func(layer string, n int) []Entity {
				t.Helper()
				got := found[key{blocks[i], layer}]
				if len(got) != n {
					t.Fatalf("%s: block %s has %d entities on layer %s, want %d", s.Title, blocks[i], len(got), layer, n)
				}
				return got
			}
			near("the boundary", on("1", 1)[0].Points, append([]geometry.Point(nil), p.Outline...)...)
			near("the sew line", on("14", 1)[0].Points, append([]geometry.Point(nil), p.Finished...)...)
			near("the grain line", on("7", 1)[0].Points, p.Grain.A, p.Grain.B)
			if !on("1", 1)[0].Closed || !on("14", 1)[0].Closed {
				t.Error("an outline is open")
			}
			lines, dots := on("8", len(p.Seams)), on("4", 2*len(p.Seams))
			if len(p.Seams) == 0 {
				t.Fatal("a piece without seams tests nothing")
			}
			for j, seam := range p.Seams {
				near("a seam", lines[j].Points, seam.A, seam.B)
				near("a notch", dots[2*j].Points, seam.A)
				near("a notch", dots[2*j+1].Points, seam.B)
				if lines[j].Kind != Line || dots[2*j].Kind != Point {
					t.Errorf("seam %v, notch %v", lines[j].Kind, dots[2*j].Kind)
				}
			}
			// Every notch is on the boundary.
			for _, d := range dots {
				away := math.Inf(1)
				for j, q := range p.Outline {
					a, b := q.Mul(k), p.Outline[(j+1)%len(p.Outline)].Mul(k)
					side := b.Sub(a)
					if x := d.Points[0].Sub(a); x.Dot(side) >= -1e-6 && x.Dot(side) <= side.Dot(side)+1e-6 {
						away = min(away, math.Abs(side.Cross(x))/side.Len())
					}
				}
				if away > 1e-6 {
					t.Errorf("%s: the notch at %v is %v off the boundary", s.Title, d.Points[0], away)
				}
			}
			var texts []string
			for _, e := range on("15", 2+len(p.Labels)) {
				texts = append(texts, e.Value)
				// Inside the piece from end to end.
				sin, cos := e.Turn.SinCos()
				width := textWidth(SewnProducts.encode(e.Value), e.Height)
				for _, at := range []geometry.Point{
					e.Points[0], e.Points[0].Add(geometry.Point{X: cos * width, Y: sin * width}),
					e.Points[0].Add(geometry.Point{X: -sin * e.Height, Y: cos * e.Height}),
				} {
					for j, q := range p.Outline {
						side := p.Outline[(j+1)%len(p.Outline)].Sub(q)
						if side.Cross(at.Mul(1/k).Sub(q)) < 0 {
							t.Errorf("%s: %q reaches out of its piece at %v", s.Title, e.Value, at)
						}
					}
				}
			}
			want := append([]string{"PIECE NAME: " + p.Name, "QUANTITY: " + strconv.Itoa(p.Number)}, p.Labels...)
			if diff := cmp.Diff(want, texts); diff != "" {
				t.Error(diff)
			}
		}
		square := rings(onLayer(f, "1"), 0)[len(s.Parts)]
		if side := math.Sqrt(square.Area()); math.Abs(side-s.Square.Side*k) > 1e-7 {
			t.Errorf("%s: the calibration square is %v wide", s.Title, side)
		}
		texts := found[key{"", "15"}]
		if len(texts) != 2 || texts[0].Value != "STYLE NAME: "+s.Title || !strings.HasPrefix(texts[1].Value, "UNITS: ") {
			t.Errorf("%s: the drawing says %v", s.Title, texts)
		}
	}
}

// Block names are fit for any version, and different even where case is not
// told apart (microsoft/maker.js#432 and #456, LibreCAD/LibreCAD#2551,
// KLayout/klayout#320, mozman/ezdxf#766).
func TestBlockNames(t *testing.T) {
	long := strings.Repeat("long name ", 30)
	names := blockNames{}
	for _, c := range []struct{ in, want string }{
		{"1 right-leaning diamond", "1_RIGHT-LEANING_DIAMOND"},
		{"CUT/A|B", "CUT_A_B"},
		{"red = 1", "RED_1"},
		{"", "PIECE"},
		{"x\n0\nLINE", "X_0_LINE"},
		{"cut", "CUT"},
		{"Cut", "CUT-2"},
		{"CUT-2", "CUT-2-2"},
		{"CUT", "CUT-3"},
		{"*Model_Space", "MODEL_SPACE"},
		{"漢字 😀", "PIECE-2"},
		{long, "LONG_NAME_LONG_NAME_LONG_NAME_L"},
		{long, "LONG_NAME_LONG_NAME_LONG_NAME-2"},
		{long, "LONG_NAME_LONG_NAME_LONG_NAME-3"},
		{`<>/\":;?*|=` + "`,", "PIECE-3"},
	} {
		if got := names.unique(c.in); got != c.want {
			t.Errorf("%q becomes %q, want %q", c.in, got, c.want)
		}
	}
	seen := map[string]bool{}
	for i := range 300 {
		name := names.unique([]string{"A", "a-" + strconv.Itoa(i%7), long}[i%3])
		if seen[name] || len(name) > maxName || strings.ToUpper(name) != name {
			t.Errorf("the name %q", name)
		}
		seen[name] = true
	}
}

func TestSewnErrors(t *testing.T) {
	if err := WriteForm(io.Discard, page(geometry.Inch), SewnProducts); !errors.Is(err, ErrNoPieces) {
		t.Errorf("no pieces: %v", err)
	}
	nan := math.NaN()
	good := func() draw.Part {
		return draw.Part{
			Name: "A", Number: 1, Outline: square(0, 0, 4), Finished: square(1, 1, 2),
			Seams: []geometry.Segment{{A: geometry.Point{Y: 2}, B: geometry.Point{X: 4, Y: 2}}},
			Grain: geometry.Segment{A: geometry.Point{X: 1, Y: 1}, B: geometry.Point{X: 3, Y: 1}},
		}
	}
	for want, change := range map[string]func(*draw.Part){
		"the number to cut is 0": func(p *draw.Part) { p.Number = 0 },
		"the outline has fewer":  func(p *draw.Part) { p.Outline = nil },
		"the sew line is closed": func(p *draw.Part) { p.Finished = square(1, 1, 1e-12)[:3]; p.Finished[2].X = 7; p.Finished[1].X = 3 },
		"the sew line has a":     func(p *draw.Part) { p.Finished[0].X = nan },
		"seam 1 has fewer":       func(p *draw.Part) { p.Seams[0].B = p.Seams[0].A },
		"seam 1 has a":           func(p *draw.Part) { p.Seams[0].B.Y = nan },
		"the grain line has a":   func(p *draw.Part) { p.Grain.B.X = math.Inf(1) },
	} {
		s := page(geometry.Centimetre)
		p := good()
		change(&p)
		s.Parts = []draw.Part{good(), p}
		err := WriteForm(io.Discard, s, SewnProducts)
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), `piece 2 ("A")`) {
			t.Errorf("error %v, want %q in it", err, want)
		}
	}
	// Without seams, grain line and finished corners there is the boundary
	// and its text.
	s := page(geometry.Inch)
	s.Parts = []draw.Part{{Number: 3, Outline: square(0, 0, 4)}}
	f := read(t, formed(t, s, SewnProducts))
	if len(f.Entities) != 5 || f.Entities[0].Layer != "1" || f.Entities[2].Value != "QUANTITY: 3" {
		t.Errorf("a bare piece: %+v", f.Entities)
	}
}
