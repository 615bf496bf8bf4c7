// SPDX-License-Identifier: Apache-2.0

package target

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/outside/browser"
)

// A browser that shows the crosses full screen has the middle of each where
// the table says that it is, on a whole pixel: the box around a cross is as
// far to all sides of it, and the pixels are lit there.
func TestChromiumShowsTheCrosses(t *testing.T) {
	page := browser.Open(t, browser.Options{})
	for _, s := range []calibrate.Screen{fullHD, {Width: 1280, Height: 800}, {Width: 3840, Height: 2160}} {
		sheet := sheetOf(s)
		var out bytes.Buffer
		if err := Write(&out, sheet); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "target.svg")
		if err := os.WriteFile(file, out.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		page.Resize(browser.Options{Width: s.Width, Height: s.Height})
		d := page.Drawing(file)
		if d.Width != float64(s.Width) || d.Height != float64(s.Height) || d.Ratio != 1 {
			t.Errorf("%v: %v by %v at %v", s, d.Width, d.Height, d.Ratio)
		}
		img := page.Screenshot()
		if b := img.Bounds(); b.Dx() != s.Width || b.Dy() != s.Height {
			t.Errorf("%v: a picture of %v", s, b)
		}
		targets, err := calibrate.Targets(s, sheet.Grid, 1)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[int]bool{}
		for _, l := range d.Lines {
			name, ok := strings.CutPrefix(l.ID, "cross-")
			if !ok {
				continue
			}
			n, err := strconv.Atoi(name)
			if err != nil || n < 1 || n > len(targets) {
				t.Fatalf("a cross %q", l.ID)
			}
			seen[n] = true
			c := targets[n-1]
			u, v := (l.Box[0]+l.Box[2])/2, (l.Box[1]+l.Box[3])/2
			if math.Abs(u-c.U) > 1e-4 || math.Abs(v-c.V) > 1e-4 || math.Abs(l.Box[2]-l.Box[0]-l.Box[3]+l.Box[1]) > 1e-3 {
				t.Errorf("%v: cross %d is at %v, %v (%v), want %v, %v", s, n, u, v, l.Box, c.U, c.V)
			}
			for _, p := range [][2]int{{-1, -1}, {0, 0}, {5, 5}, {5, -6}, {-6, 5}} {
				if g, _, _, _ := img.At(int(c.U)+p[0], int(c.V)+p[1]).RGBA(); g>>8 < 0xd0 {
					t.Errorf("%v: cross %d is %#x at %v from its middle", s, n, g>>8, p)
				}
			}
		}
		if len(seen) != len(targets) {
			t.Errorf("%v: %d crosses of %d", s, len(seen), len(targets))
		}
	}
}
