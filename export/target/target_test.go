// SPDX-License-Identifier: Apache-2.0

package target

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/calibrate"
	"lozenge/export/outside"
	"lozenge/geometry"
)

var fullHD = calibrate.Screen{Width: 1920, Height: 1080}

// words are as long as those that are really on the sheet.
var words = []string{
	strings.Repeat("Set the projector to its own resolution. ", 4),
	strings.Repeat("Show this sheet full screen. ", 4),
	strings.Repeat("Read where the middle of each cross lands. ", 7),
	strings.Repeat("How exact it will be. ", 7),
	strings.Repeat("Then run this. ", 6),
}

func overlap(a, b geometry.Rect) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// Whatever screen and grid: the crosses stand where [calibrate.Targets] has
// them, on whole pixels; no word or number covers a cross, another number or
// another word; nothing runs off the screen. Real projectors' screens have
// room for all the words.
func TestNothingCoversACross(t *testing.T) {
	check := func(t rapid.TB, s calibrate.Screen, g calibrate.Grid) layout {
		l, err := lay(s, g, "Read where the crosses land on the mat", words)
		if err != nil {
			t.Fatal(err)
		}
		targets, _ := calibrate.Targets(s, g, 1)
		if len(l.crosses) != len(targets) || l.stroke < 2 || int(l.stroke)%2 != 0 || !(l.scale > 0) {
			t.Fatalf("%d crosses, stroke %v, scale %v", len(l.crosses), l.stroke, l.scale)
		}
		screen := geometry.Rect{Max: geometry.Point{X: float64(s.Width), Y: float64(s.Height)}}
		type thing struct {
			what string
			box  geometry.Rect
		}
		var all []thing
		for i, c := range l.crosses {
			if c.Target != targets[i] || c.number.value != fmt.Sprint(c.Point) {
				t.Fatalf("%+v, want %+v", c, targets[i])
			}
			// Nothing but the screen's edge stands within the room of a mark.
			r := calibrate.MarkRoom*l.scale - geometry.Fit
			room := geometry.Rect{
				Min: geometry.Point{X: max(0, c.U-r), Y: max(0, c.V-r)},
				Max: geometry.Point{X: min(screen.Max.X, c.U+r), Y: min(screen.Max.Y, c.V+r)},
			}
			n := c.number.box()
			n.Max.Y = c.number.v // digits have no descenders
			all = append(all, thing{fmt.Sprint("cross ", c.Point), room}, thing{fmt.Sprint("number ", c.Point), n})
		}
		for _, one := range l.lines {
			all = append(all, thing{one.value, one.box()})
		}
		for i, a := range all {
			if a.box.Min.X < screen.Min.X || a.box.Min.Y < screen.Min.Y || a.box.Max.X > screen.Max.X || a.box.Max.Y > screen.Max.Y {
				t.Fatalf("%v %v: %s runs off the screen: %+v", s, g, a.what, a.box)
			}
			for _, b := range all[:i] {
				if overlap(a.box, b.box) {
					t.Fatalf("%v %v: %s covers %s", s, g, a.what, b.what)
				}
			}
		}
		return l
	}
	for _, s := range []calibrate.Screen{{Width: 800, Height: 480}, {Width: 854, Height: 480}, {Width: 1024, Height: 768}, {Width: 1280, Height: 720}, {Width: 1280, Height: 800}, fullHD, {Width: 1920, Height: 1200}, {Width: 3840, Height: 2160}, {Width: 1080, Height: 1920}} {
		for _, g := range []calibrate.Grid{{Columns: 2, Rows: 2}, {Columns: 3, Rows: 3}, {Columns: 4, Rows: 3}, {Columns: 5, Rows: 5}} {
			if l := check(t, s, g); !l.whole {
				t.Errorf("%v, %v: the words are not on the sheet", s, g)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		check(t, calibrate.Screen{Width: rapid.IntRange(320, 4096).Draw(t, "width"), Height: rapid.IntRange(200, 2400).Draw(t, "height")},
			calibrate.Grid{Columns: rapid.IntRange(2, 9).Draw(t, "columns"), Rows: rapid.IntRange(2, 9).Draw(t, "rows")})
	})
}

func sheetOf(s calibrate.Screen) Sheet {
	return Sheet{Screen: s, Grid: calibrate.Grid{Columns: 4, Rows: 3}, Title: "Read <these> & those", Words: words}
}

func TestWrite(t *testing.T) {
	var out, again bytes.Buffer
	if err := Write(&out, sheetOf(fullHD)); err != nil {
		t.Fatal(err)
	}
	if err := Write(&again, sheetOf(fullHD)); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
		t.Errorf("written twice, it differs (%v)", err)
	}
	text := out.String()
	for _, want := range []string{
		` width="1920"`, ` height="1080"`, ` viewBox="0 0 1920 1080"`,
		"<title>Read &lt;these&gt; &amp; those</title>",
		`<path id="cross-1" d="M62.058875,20.058875 L129.941125,87.941125 M62.058875,87.941125 L129.941125,20.058875"/>`,
		`<path id="ring" d="M130,54 `,
		`<path id="cross-12" d="M1790.058875,`,
		`fill="#101010"`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not in\n%s", want, text)
		}
	}
	if bad := regexp.MustCompile(`NaN|Inf|[0-9]e[-+]?[0-9]|"-0"`).FindString(text); bad != "" {
		t.Errorf("%q in a number", bad)
	}
	// Well-formed, with an id once each.
	ids := map[string]bool{}
	for d := xml.NewDecoder(&out); ; {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			for _, a := range e.Attr {
				if a.Name.Local == "id" {
					if ids[a.Value] {
						t.Errorf("id %s twice", a.Value)
					}
					ids[a.Value] = true
				}
			}
		}
	}
	for _, id := range []string{"ground", "frame", "crosses", "numbers", "words", "cross-7"} {
		if !ids[id] {
			t.Errorf("no id %s", id)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	for name, change := range map[string]func(*Sheet){
		"screen": func(s *Sheet) { s.Screen.Width = 3 },
		"grid":   func(s *Sheet) { s.Grid.Rows = 1 },
	} {
		s := sheetOf(fullHD)
		change(&s)
		var out bytes.Buffer
		if err := Write(&out, s); err == nil || out.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, out.Len())
		}
	}
	if err := Write(failing{}, sheetOf(fullHD)); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("%v", err)
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

// Rendered at the screen's size, the arms of a cross are three pixels wide and
// meet in its middle, and it is dark beside them.
func TestCrossesAreSharp(t *testing.T) {
	rsvg := outside.Tool(t, "rsvg-convert")
	dir := t.TempDir()
	svg, picture := filepath.Join(dir, "t.svg"), filepath.Join(dir, "t.png")
	f, err := os.Create(svg)
	if err != nil {
		t.Fatal(err)
	}
	s := sheetOf(fullHD)
	if err := errors.Join(Write(f, s), f.Close()); err != nil {
		t.Fatal(err)
	}
	outside.Run(t, rsvg, svg, "-o", picture)
	data, err := os.Open(picture)
	if err != nil {
		t.Fatal(err)
	}
	defer data.Close()
	img, err := png.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 1920 || b.Dy() != 1080 {
		t.Fatalf("%v", b)
	}
	grey := func(x, y int) int {
		r, _, _, _ := img.At(x, y).RGBA()
		return int(r >> 8)
	}
	targets, _ := calibrate.Targets(fullHD, s.Grid, 1)
	for _, c := range targets {
		u, v := int(c.U), int(c.V)
		// The middle is the corner of four pixels; out on an arm, and 6 px beside
		// the diagonal, where only the ring may be.
		for i := range 30 {
			for _, got := range []int{grey(u+i, v+i), grey(u-1-i, v-1-i), grey(u+i, v-1-i), grey(u-1-i, v+i)} {
				if got != 0xf2 {
					t.Errorf("cross %d: %#x on an arm, %d px out", c.Point, got, i)
				}
			}
			if i < 12 || i > 15 {
				continue
			}
			for _, got := range []int{grey(u+i+6, v+i), grey(u-7-i, v-1-i), grey(u+i, v-7-i), grey(u-1-i, v+i+6)} {
				if got != 0x10 {
					t.Errorf("cross %d: %#x beside an arm, %d px out", c.Point, got, i)
				}
			}
		}
	}
	for _, got := range []int{grey(0, 0), grey(1919, 1079), grey(0, 540), grey(960, 1)} {
		if got != 0xf2 {
			t.Errorf("the frame is %#x", got)
		}
	}
}
