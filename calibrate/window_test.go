// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/calibrate"
)

// What is said about a window that is no longer what it was. A browser reports
// the scaling of the display times its own zoom as the pixel ratio, and the
// window's size in whole pixels of the page (CSSOM View, W3C: devicePixelRatio,
// innerWidth).
func TestWindowChanges(t *testing.T) {
	was := calibrate.Window{PixelRatio: 1, Width: 1920, Height: 1080, Screen: "HDMI-1", Zoom: 1}
	for _, c := range []struct {
		name string
		was  calibrate.Window
		now  calibrate.Window
		says []string // one for each sentence
	}{
		{"nothing", was, was, nil},
		{"zoomed in", was, calibrate.Window{PixelRatio: 1.1, Width: 1745, Height: 981, Screen: "HDMI-1", Zoom: 1.1},
			[]string{"The browser's zoom was 100 % and is 110 % now: set it back (Ctrl and 0 for 100 %)."}},
		{"scaled", was, calibrate.Window{PixelRatio: 1.5, Width: 1280, Height: 720, Screen: "HDMI-1", Zoom: 1},
			[]string{"The display's scaling has changed: 1 screen pixels went to one of the page's at a zoom of 100 %, and 1.5 do now; set it back in the computer's display settings."}},
		{"scaled and zoomed back", was, calibrate.Window{PixelRatio: 1, Width: 1920, Height: 1080, Screen: "HDMI-1", Zoom: 0.5},
			[]string{"zoom was 100 % and is 50 % now", "1 screen pixels went to one of the page's at a zoom of 100 %, and 2 do now"}},
		{"zoom not known", calibrate.Window{PixelRatio: 1.25, Width: 1536, Height: 864}, calibrate.Window{PixelRatio: 1.375, Width: 1396, Height: 785},
			[]string{"zoom or the display's scaling has changed: 1.25 screen pixels went to one of the page's, and 1.375 do now"}},
		{"no longer full screen", was, calibrate.Window{PixelRatio: 1, Width: 1920, Height: 969, Screen: "HDMI-1", Zoom: 1},
			[]string{"The window was 1920 x 1080 pixels large and is 1920 x 969 now: make it fill the screen as it did (F11)"}},
		{"a pixel less", was, calibrate.Window{PixelRatio: 1, Width: 1919, Height: 1080, Screen: "HDMI-1", Zoom: 1},
			[]string{"1919 x 1080 now"}},
		{"another screen", was, calibrate.Window{PixelRatio: 2, Width: 1440, Height: 900, Screen: "eDP-1", Zoom: 1},
			[]string{`stood on the screen "HDMI-1" and stands on "eDP-1" now`, "scaling has changed", "is 2880 x 1800 now"}},
		{"a screen that is not known now", was, calibrate.Window{PixelRatio: 1, Width: 1920, Height: 1080}, nil},
	} {
		got := c.was.Changes(c.now)
		if len(got) != len(c.says) {
			t.Errorf("%s: %q", c.name, got)
			continue
		}
		for i, s := range c.says {
			if !strings.Contains(got[i], s) || strings.Contains(got[i], "%!") {
				t.Errorf("%s: %q does not say %q", c.name, got[i], s)
			}
		}
	}
}

// Zooming changes what a browser reports in many ways, and always makes one
// sentence; zooming back makes none. A window that grew or shrank is noticed
// under any zoom.
func TestWindowLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide, high := rapid.IntRange(640, 7680).Draw(t, "wide"), rapid.IntRange(480, 4320).Draw(t, "high")
		scaling := rapid.SampledFrom([]float64{1, 1.25, 1.5, 2, 3}).Draw(t, "scaling")
		known := rapid.Bool().Draw(t, "zoom is known")
		at := func(zoom float64, less int) calibrate.Window {
			w := calibrate.Window{PixelRatio: scaling * zoom}
			w.Width, w.Height = math.Floor(float64(wide-less)/w.PixelRatio), math.Floor(float64(high)/w.PixelRatio)
			if known {
				w.Zoom = zoom
			}
			return w
		}
		zooms := []float64{0.25, 1. / 3, 0.5, 2. / 3, 0.75, 0.8, 0.9, 1, 1.1, 1.25, 1.5, 1.75, 2, 2.5, 3, 4, 5}
		a, b := rapid.SampledFrom(zooms).Draw(t, "was"), rapid.SampledFrom(zooms).Draw(t, "is")
		if err := at(a, 0).Validate(); err != nil {
			t.Fatal(err)
		}
		want := 1
		if a == b {
			want = 0
		}
		if got := at(a, 0).Changes(at(b, 0)); len(got) != want || want == 1 && !strings.Contains(got[0], "zoom") {
			t.Fatalf("%v, %v: %q", at(a, 0), at(b, 0), got)
		}
		less := rapid.IntRange(35, 400).Draw(t, "less")
		if got := at(a, 0).Changes(at(b, less)); len(got) != want+1 {
			t.Fatalf("%v, %v: %q", at(a, 0), at(b, less), got)
		}
	})
}
