// SPDX-License-Identifier: Apache-2.0

package table

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"lozenge/calibrate"
	"lozenge/export/onmat"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// session is all that is known while the page is open. It outlives the page:
// one that is loaded anew goes on where the last one was.
type session struct {
	mu     sync.Mutex
	plan   *quilt.Plan
	keeper keeper
	given  *calibrate.File
	name   string // of the given calibration

	serial  int
	window  *window // nil until the page told
	stage   stage
	turned  bool // words upside down before anything is calibrated
	look    look
	notes   []string // for the next view
	using   *using   // nil before something is calibrated
	cutting *cutting // nil before the first cut with a calibration
	cut     progress
	at      place
	stop    *stop // where at is as it is kept; nil before it was looked for

	pages     pages
	lastPhoto *photographed // nil before one was taken
	// network has the network reach the server and returns the address there.
	network func() (string, error)
	closed  bool
	looks   *saver[look]
	unkept  error // why what is cut can't be kept
}

// using is the calibration in use.
type using struct {
	kept
	m       *calibrate.Map
	caution string // what is said as long as it is in use, or ""
	square  string // the same of the check square
}

// stage is one part of the way: it says what to show and hears what was done.
type stage interface {
	show(*session, *view)
	hear(*session, action)
}

func newSession(c Config) *session {
	s := &session{
		plan: c.Plan, keeper: keeper{c.Folder}, given: c.Given, name: c.GivenName,
		stage: &beginning{},
	}
	s.keeper.sweep(time.Now())
	s.look = s.keeper.lastLook()
	s.looks = newSaver(func(l look) error { return s.keeper.save(l, lookFile) })
	return s
}

// close sees to it that what is to be kept is kept.
func (s *session) close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil
	}
	s.closed = true
	return errors.Join(s.unkept, s.looks.close())
}

// do hears an action and returns what to show; [session.tellOthers] is still to be
// called.
func (s *session) do(a action) *view {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.pages.counts(a.Page, a.Number) {
		return s.view()
	}
	s.notes = nil
	switch a.Do {
	case doWindow:
		// Only the page that shows the picture is judged by its window.
		if s.pages.picture == "" || s.pages.picture == a.Page {
			s.seeWindow(*a.Window)
		}
	case doLook:
		s.look = *a.Look
		s.keepLook()
	default:
		if a.key() == "c" {
			s.showCode()
		} else {
			s.stage.hear(s, a)
		}
	}
	s.serial++
	return s.view()
}

// tellOthers has the pages hear what was done on one of them. It comes after the
// answer to that one, which is the page that is looked at.
func (s *session) tellOthers(a action) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.pages.wake(a.Page)
}

func (s *session) keepLook() {
	if !s.closed {
		s.looks.put(s.look)
	}
}

// tellAll has every open page hear what is to be shown now.
func (s *session) tellAll() {
	s.serial++
	s.pages.wake("")
}

// open has a page hear of all that is done until it is closed; ok is false
// when too many are open.
func (s *session) open(page, as string) (changed <-chan struct{}, closed func(), ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, ok := s.pages.open(page, as)
	if !ok {
		return nil, nil, false
	}
	s.tellAll()
	return c, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.pages.close(page, c) {
			s.tellAll()
		}
	}, true
}

// now returns what to show.
func (s *session) now() *view {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.view()
}

func (s *session) view() *view {
	v := &view{Serial: s.serial, Unit: s.unit().String(), Picture: s.pages.picture, Look: s.look, Side: "middle"}
	if s.window != nil {
		v.Screen = s.window.device()
	}
	v.Notes = append(v.Notes, s.notes...)
	switch {
	case s.using != nil:
		v.Turn = onmat.Turn(s.using.m)
	case s.turned:
		v.Turn = 2
	}
	s.stage.show(s, v)
	if s.using != nil {
		square := s.using.square
		if _, measuring := s.stage.(*checking); measuring {
			square = ""
		}
		for _, text := range []string{square, s.using.caution} {
			if text != "" {
				v.Notes = append(v.Notes, text)
			}
		}
		v.Notes = append(v.Notes, s.changes()...)
	}
	if s.keeper.folder == "" {
		v.Notes = append(v.Notes, "Nothing is kept, neither a calibration nor what is cut: this computer has no folder for it.")
	}
	if err := s.unkept; err != nil {
		v.Notes = append(v.Notes, fmt.Sprintf("What is cut can't be kept: %v.", err))
	}
	if s.window != nil && !s.window.Awake {
		v.Notes = append(v.Notes, s.sleepWords())
	}
	if s.using != nil && !s.fits() {
		v.Panel, v.Quilt, v.Fills, v.Lines, v.Words = nil, nil, nil, nil, nil
	}
	v.commonKeys()
	if s.cutting != nil {
		n := s.cutting.done(&s.cut)
		v.Done = n[0] + n[1]
	}
	return v
}

func (s *session) sleepWords() string {
	if !s.window.Secure {
		return "From another computer the page can't keep the screen awake: switch sleep off in the computer's settings."
	}
	return "This browser does not keep the screen awake: switch sleep off in the computer's settings."
}

// commonKeys are there at every stage.
func (v *view) commonKeys() {
	v.key("C", "a code for a phone: it then has the buttons")
	v.key("F", "full screen, and back")
	v.key("L", "light: thickness and colour of lines, ground, brightness")
	v.key("+", "larger words")
	v.key("-", "smaller words")
	v.key("H", "this list, and away again; ? and F1 do the same")
}

// changes says what is not as it was when the calibration in use was made.
func (s *session) changes() []string {
	if s.window == nil {
		return nil
	}
	var out []string
	if w := s.using.Window; w != nil {
		out = w.Changes(s.window.kept())
	}
	if len(out) == 0 && s.using.Screen != s.window.device() {
		out = append(out, fmt.Sprintf("This calibration was made for a picture of %v pixels, and this one has %v: make the window fill the screen as it did (F or F11).", s.using.Screen, s.window.device()))
	}
	if at := s.using.Stood; at != nil && len(out) == 0 && *at != [2]int{s.window.Left, s.window.Top} {
		out = append(out, "The window was moved on the screen, and the lines with it: make it fill the screen as it did (F11), or move it back.")
	}
	if s.window.Pinch != 1 {
		out = append(out, "The page is spread with two fingers: bring it back to its own size.")
	}
	if len(out) > 0 {
		out = append(out, "Until then no line can be trusted.")
	}
	return out
}

// fits reports whether lines may be drawn: the picture is as large as the
// calibration needs it.
func (s *session) fits() bool {
	return s.using != nil && s.window != nil && s.using.Screen == s.window.device() && s.window.Pinch == 1
}

// seeWindow hears that the window is now like that.
func (s *session) seeWindow(w window) {
	before := s.window
	s.window = &w
	if before == nil || before.device() == w.device() {
		return
	}
	if d, ok := s.stage.(interface{ resized(*session) }); ok {
		d.resized(s)
	}
}

// note says something once.
func (s *session) note(format string, args ...any) {
	s.notes = append(s.notes, fmt.Sprintf(format, args...))
}

// go on to another stage.
func (s *session) enter(next stage) { s.stage = next }

// use takes a calibration into use.
func (s *session) use(k kept, caution string) error {
	m, err := k.Map()
	if err != nil {
		return err
	}
	s.using = &using{kept: k, m: m, caution: caution}
	s.cutting = nil
	s.turned = onmat.Turn(m) == 2
	if m.Mirrored() {
		s.using.caution = strings.TrimSpace(caution + " If these words read backwards on the mat, y was read downwards: calibrate again, or pieces come out leaning the wrong way.")
	}
	return nil
}

func (s *session) unit() geometry.Unit { return s.plan.Spec.Unit }

// plainLength writes a length as the trade does.
func (s *session) plainLength(inches float64) string {
	return words.Length(inches, s.unit())
}
