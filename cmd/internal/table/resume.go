// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"os"
	"slices"
	"time"

	"lozenge/calibrate"
)

// typedReadings are readings as they were typed, before anything came of them.
// They belong to the size of the picture in which they were read.
type typedReadings struct {
	Kind    string           `json:"kind"`
	Version int              `json:"version"`
	Mat     string           `json:"mat"`
	Screen  calibrate.Screen `json:"screen"`
	Texts   []string         `json:"texts"` // of the crosses; "" is not read yet
	When    time.Time        `json:"when"`  // the last one was typed
}

const (
	readingsKind    = "readings"
	readingsVersion = 1
	readingsFolder  = "readings"
	// The projector or the mat has been moved by the next day, who knows.
	readingsLast = 12 * time.Hour
)

func readingsFile(s calibrate.Screen) string { return s.String() + ".json" }

func (k keeper) keepReadings(d *draft) error {
	return k.save(typedReadings{readingsKind, readingsVersion, d.mat, d.screen, d.texts, time.Now()}, readingsFolder, readingsFile(d.screen))
}

// lastReadings returns what was typed in a picture of that size.
func (k keeper) lastReadings(s calibrate.Screen) (t typedReadings, ok bool) {
	err := k.load(keptReadings, &t, readingsFolder, readingsFile(s))
	ok = err == nil && t.Kind == readingsKind && t.Version == readingsVersion && t.Screen == s &&
		t.Mat != "" && len([]rune(t.Mat)) <= mostMat && time.Since(t.When) < readingsLast
	return t, ok
}

func (k keeper) forgetReadings(s calibrate.Screen) error {
	err := os.Remove(k.path(readingsFolder, readingsFile(s)))
	if k.folder == "" || os.IsNotExist(err) {
		return nil
	}
	return err
}

// recalled returns a draft with what was typed before; ok is false when that
// is nothing.
func (s *session) recalled() (d *draft, ok bool) {
	t, ok := s.keeper.lastReadings(s.window.device())
	if !ok {
		return nil, false
	}
	d = newDraft(t.Mat, t.Screen)
	for i, text := range t.Texts {
		if i < len(d.targets) && len(text) <= mostText {
			if x, y, _, err := parsePlace(text, s.unit()); err == nil {
				d.put(i, text, x, y)
			}
		}
	}
	return d, len(d.read()) > 0
}

// goOn reads on where the readings of a draft end.
func (s *session) goOn(d *draft) {
	s.using, s.cutting = nil, nil
	r := &reading{draft: d, queue: all(d.targets)}
	if i := slices.Index(d.texts, ""); i >= 0 {
		r.goTo(s, i)
		s.enter(r)
		return
	}
	d.solve(s.unit())
	s.enter(&found{draft: d})
}

// resuming asks whether to go on with what was typed before.
type resuming struct{ *draft }

func (r *resuming) show(_ *session, v *view) {
	v.Stage = "begin"
	var read []int
	for i, t := range r.targets {
		if r.texts[i] != "" {
			read = append(read, t.Point)
		}
	}
	v.Say = fmt.Sprintf("Your readings of %s on %s are kept.", calibrate.Crosses(read), r.mat)
	v.more("Press Enter to go on with them, or N to read all crosses afresh: that you must where the projector or the mat was moved since.")
	v.key("Enter", "go on with the readings")
	v.key("N", "calibrate afresh")
	v.key("Backspace", "back")
}

func (r *resuming) hear(s *session, a action) {
	switch a.key() {
	case "on":
		s.goOn(r.draft)
	case "n":
		if err := s.keeper.forgetReadings(r.screen); err != nil {
			s.note("They can't be forgotten: %v.", err)
		}
		s.enter(&naming{})
	case "back":
		s.enter(&beginning{})
	}
}

func (r *resuming) resized(s *session) { s.enter(&beginning{}) }
