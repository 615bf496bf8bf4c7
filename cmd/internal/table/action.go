// SPDX-License-Identifier: Apache-2.0

package table

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"lozenge/calibrate"
)

// action is what the page tells: that a key was pressed, a text typed, the
// window changed.
type action struct {
	Do     string  `json:"do"`               // one of the words below
	Text   string  `json:"text,omitempty"`   // the key's name, or what was typed
	Other  string  `json:"other,omitempty"`  // what was typed into the second field
	Right  float64 `json:"right,omitempty"`  // how far the cross is moved, px, as seen at the mat
	Up     float64 `json:"up,omitempty"`     //
	Page   string  `json:"page,omitempty"`   // the page that tells it
	Number int     `json:"number,omitempty"` // of that page's actions, rising; 0 for none
	Window *window `json:"window,omitempty"` // with doWindow
	Look   *look   `json:"look,omitempty"`   // with doLook
}

// What the page can tell.
const (
	doKey    = "key"    // Text was pressed
	doType   = "type"   // Text was typed into the field and Enter pressed
	doNudge  = "nudge"  // the cross moves by Right and Up
	doWindow = "window" // the window is now like that
	doLook   = "look"   // the lines are to look like that from now on
)

// window is the page's window as the page knows it.
type window struct {
	Ratio  float64 `json:"ratio"`  // device pixels to a CSS pixel
	Wide   int     `json:"wide"`   // of the page, CSS px
	High   int     `json:"high"`   //
	Left   int     `json:"left"`   // where the window stands on the screen
	Top    int     `json:"top"`    //
	Device [2]int  `json:"device"` // size of the page in device pixels
	Screen string  `json:"screen"` // what the browser says of the screen
	Pinch  float64 `json:"pinch"`  // by which the page is spread with two fingers, 1 usually
	Secure bool    `json:"secure"` // the browser trusts the address: it can keep the screen awake
	Awake  bool    `json:"awake"`  // the screen is kept awake
}

func (w *window) device() calibrate.Screen {
	return calibrate.Screen{Width: w.Device[0], Height: w.Device[1]}
}

// kept returns what is kept of the window with a calibration.
func (w *window) kept() calibrate.Window {
	return calibrate.Window{PixelRatio: w.Ratio, Width: float64(w.Wide), Height: float64(w.High), Screen: w.Screen}
}

// look is what the lines look like.
type look struct {
	Width  float64 `json:"width"`  // of a cut line, device px
	Colour int     `json:"colour"` // of the page's list
	Light  bool    `json:"light"`  // dark lines on a light ground
	Bright float64 `json:"bright"` // 1 is all that the projector has
	Words  float64 `json:"words"`  // size of words, 1 is usual
	All    bool    `json:"all"`    // all cuts of a picture at once
	Square bool    `json:"square"` // show the check square beside the cuts
}

// plainLook is what the lines look like before anybody changed it.
func plainLook() look { return look{Width: 2, Bright: 1, Words: 1, Square: false} }

// The bounds of an action.
const (
	mostText    = 200 // characters
	mostColours = 16
	mostPage    = 40 // bytes of the name of a page
	mostDevice  = 1 << 15
)

// parseAction reads an action. It takes one JSON object with known keys and
// values that make sense, and nothing else.
func parseAction(data []byte) (action, error) {
	var a action
	if !utf8.Valid(data) {
		return a, errors.New("not UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&a); err != nil {
		return a, fmt.Errorf("not an action: %v", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return a, errors.New("more than one action")
	}
	return a, a.check()
}

// key returns what was pressed, in small letters, "" when nothing was. Keys
// that mean the same, those of page-turner pedals and presenters among them,
// are called by what they mean: "on" and "back" by a step, and with Shift
// "next" and "previous", by a strip set.
func (a *action) key() string {
	if a.Do != doKey {
		return ""
	}
	key, shift := strings.CutPrefix(strings.ToLower(a.Text), "shift+")
	switch key {
	case " ", "enter", "pagedown", "arrowdown", "arrowright":
		key = "on"
	case "backspace", "pageup", "arrowup", "arrowleft":
		key = "back"
	}
	switch {
	case shift && key == "on":
		return "next"
	case shift && key == "back":
		return "previous"
	}
	return key
}

func (a *action) check() error {
	switch {
	case !slices.Contains([]string{doKey, doType, doNudge, doWindow, doLook}, a.Do):
		return fmt.Errorf("%.20q is nothing to be done", a.Do)
	case utf8.RuneCountInString(a.Text) > mostText || utf8.RuneCountInString(a.Other) > mostText:
		return errors.New("the text is too long")
	case len(a.Page) > mostPage || a.Number < 0:
		return errors.New("no page is called that")
	case math.Abs(a.Right) > mostDevice || math.Abs(a.Up) > mostDevice:
		return errors.New("that is far off any screen")
	case (a.Do == doWindow) != (a.Window != nil) || (a.Do == doLook) != (a.Look != nil):
		return errors.New("what is said does not go with what is to be done")
	}
	if a.Window != nil {
		return a.Window.check()
	}
	if a.Look != nil {
		return a.Look.check()
	}
	return nil
}

func (w *window) check() error {
	size := func(v int) bool { return v >= 1 && v <= mostDevice }
	switch {
	case !(w.Ratio >= 0.1 && w.Ratio <= 20), !(w.Pinch >= 0.1 && w.Pinch <= 20):
		return errors.New("no window has that ratio")
	case w.Left < -mostDevice || w.Left > mostDevice || w.Top < -mostDevice || w.Top > mostDevice:
		return errors.New("no window stands there")
	case !size(w.Wide), !size(w.High), !size(w.Device[0]), !size(w.Device[1]):
		return errors.New("no window has that size")
	case utf8.RuneCountInString(w.Screen) > 40 || strings.ContainsFunc(w.Screen, unicode.IsControl):
		return errors.New("no screen is called that")
	}
	return nil
}

func (l *look) check() error {
	switch {
	case !(l.Width >= 0.5 && l.Width <= 20), !(l.Bright >= 0.5 && l.Bright <= 1), !(l.Words >= 0.3 && l.Words <= 5),
		l.Colour < 0 || l.Colour >= mostColours:
		return errors.New("lines can't look like that")
	}
	return nil
}
