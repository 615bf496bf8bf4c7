// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"
	"strconv"
	"unicode"
	"unicode/utf8"
)

// Window is the window of the page that showed the crosses. A calibration
// holds for it alone: another zoom or size of the window draws the same lines
// elsewhere on the mat.
type Window struct {
	// PixelRatio is the number of the screen's pixels to one of the page's (CSS)
	// pixels, as the browser reports it: the display's scaling times the
	// browser's zoom.
	PixelRatio float64 `json:"device_pixel_ratio"`
	// Width and Height of what the page has to draw on, in the page's pixels.
	Width  float64 `json:"inner_width"`
	Height float64 `json:"inner_height"`
	// Screen names the screen the window stood on, in any words; empty when it
	// isn't known.
	Screen string `json:"screen_name,omitempty"`
	// Zoom of the browser, 1 for 100 %; 0 when it isn't known.
	Zoom float64 `json:"zoom,omitempty"`
}

// The bounds of what is believed of a window.
const (
	leastRatio, mostRatio = 0.05, 20
	mostScreenName        = 200 // characters
)

// Validate returns a [*geometry.Error] for a window that no browser has.
func (w Window) Validate() error {
	bad := func(key, why string, args ...any) error { return badFile("window."+key, why, args...) }
	switch {
	case !(w.PixelRatio >= leastRatio && w.PixelRatio <= mostRatio):
		return bad("device_pixel_ratio", "%v is not believed", w.PixelRatio)
	case !(w.Width >= 1 && w.Width <= mostPixels/leastRatio):
		return bad("inner_width", "no window is %v wide", w.Width)
	case !(w.Height >= 1 && w.Height <= mostPixels/leastRatio):
		return bad("inner_height", "no window is %v high", w.Height)
	case w.Zoom != 0 && !(w.Zoom >= leastRatio && w.Zoom <= mostRatio):
		return bad("zoom", "no browser zooms to %v", w.Zoom)
	case !utf8.ValidString(w.Screen) || utf8.RuneCountInString(w.Screen) > mostScreenName:
		return bad("screen_name", "it is longer than %d characters, or not text", mostScreenName)
	}
	for _, r := range w.Screen {
		if unicode.IsControl(r) {
			return bad("screen_name", "it is not text")
		}
	}
	return nil
}

// Changes says in whole sentences what has changed between the window of a
// kept calibration and the present one, and what to do; nil when nothing has.
// A change of zoom or scaling alters the pixel ratio and the window's size in
// the page's pixels together: it is said once. What isn't known on one side is
// not compared, and sizes that differ by rounding alone are the same.
func (w Window) Changes(now Window) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if w.Screen != "" && now.Screen != "" && w.Screen != now.Screen {
		say("The window stood on the screen %q and stands on %q now: move it to the projector's picture, or calibrate again.", w.Screen, now.Screen)
	}
	same := func(a, b float64) bool { return math.Abs(a-b) <= 1e-3*math.Max(math.Abs(a), math.Abs(b)) }
	ratio := now.PixelRatio / w.PixelRatio
	zoom := 1.0
	if w.Zoom != 0 && now.Zoom != 0 {
		zoom = now.Zoom / w.Zoom
	}
	if !same(zoom, 1) {
		say("The browser's zoom was %s and is %s now: set it back (Ctrl and 0 for 100 %%).", percent(w.Zoom), percent(now.Zoom))
	}
	// What is left of the ratio is the display's scaling, where the zoom is known.
	switch rest := ratio / zoom; {
	case same(rest, 1):
	case w.Zoom != 0 && now.Zoom != 0:
		say("The display's scaling has changed: %s screen pixels went to one of the page's at a zoom of 100 %%, and %s do now; set it back in the computer's display settings.",
			short(w.PixelRatio/w.Zoom), short(now.PixelRatio/now.Zoom))
	default:
		say("The browser's zoom or the display's scaling has changed: %s screen pixels went to one of the page's, and %s do now; set the zoom back (Ctrl and 0 for 100 %%), and the scaling in the computer's display settings.",
			short(w.PixelRatio), short(now.PixelRatio))
	}
	// In the screen's pixels a window keeps its size under any zoom, but for what
	// is lost when its size in the page's pixels is rounded.
	kept := func(a, b float64) bool {
		return math.Abs(a*w.PixelRatio-b*now.PixelRatio) <= math.Max(w.PixelRatio, now.PixelRatio)+0.01
	}
	whole := ratio == 1 // then nothing was rounded differently
	if whole && (w.Width != now.Width || w.Height != now.Height) || !kept(w.Width, now.Width) || !kept(w.Height, now.Height) {
		size := func(w Window) string {
			return fmt.Sprintf("%.0f x %.0f", w.Width*w.PixelRatio, w.Height*w.PixelRatio)
		}
		say("The window was %s pixels large and is %s now: make it fill the screen as it did (F11), at the projector's own resolution.", size(w), size(now))
	}
	return out
}

// short writes a ratio such as 1.25 without needless zeros.
func short(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)
}
