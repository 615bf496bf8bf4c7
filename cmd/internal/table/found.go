// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"slices"

	"lozenge/calibrate"
	"lozenge/export/onmat"
	"lozenge/export/words"
)

// found says what the readings, or readings and moved crosses, give.
type found struct {
	*draft
	refined  bool          // the crosses were moved
	photo    *photographed // they were found in a photo; nil: read
	accepted bool          // a suspect result is used all the same
}

// good reports whether the result may be used.
func (f *found) good() bool {
	return f.result.Map != nil && (f.result.Verdict == calibrate.OK || f.accepted)
}

func (f *found) show(s *session, v *view) {
	u := s.unit()
	v.Stage = "read"
	v.onTheWay(0)
	if f.refined {
		v.Stage = "move"
		v.onTheWay(1)
	}
	r := f.result
	switch {
	case r.Map == nil:
		v.Say = "These readings give no sound result."
	case r.Verdict != calibrate.OK && !f.accepted:
		v.Say = "Something stands out."
	case f.refined, f.photo != nil:
		v.Say = "Done: " + words.HowExact(r.Map, u)
	default:
		v.Say = "The readings fit together. " + words.HowExact(r.Map, u)
	}
	for _, reason := range r.Reasons {
		v.more(words.Sentence(reason.Text))
	}
	for _, t := range f.targets {
		as := asOther
		if slices.Contains(f.suspects(), f.indexOf(t.Point)) {
			as = asCross
		}
		v.crossAt(t, f.screen, as)
	}
	if r.Map != nil {
		v.inside(r.Map)
	}
	if f.photo != nil {
		f.photo.tell(s, v)
	}
	switch {
	case f.good() && (f.refined || f.photo != nil):
		v.more("Press Enter: a square comes, to be measured.")
		v.key("Enter", "on to the check square")
	case f.good():
		v.more("Press Enter: now each cross is moved onto a crossing of the mat's own lines, and the lines become more exact.")
		v.key("Enter", "on to moving the crosses")
	default:
		v.more(f.remedy())
		v.key("Enter", "put it right")
		if r.Map != nil {
			v.key("U", "use it as it is")
		}
	}
	v.key("Backspace", "back")
}

// inside puts the words into the middle of the calibrated area, clear of the
// crosses: in the lower half, or the upper.
func (v *view) inside(m *calibrate.Map) {
	room := onmat.RoomOf(m)
	if q, ok := room.Inner(); ok {
		middle := (q.Min.Y + q.Max.Y) / 2
		q.Min.Y, q.Max.Y = middle+0.05*q.Height(), q.Max.Y-0.1*q.Height()
		dx := 0.08 * q.Width()
		q.Min.X, q.Max.X = q.Min.X+dx, q.Max.X-dx
		v.place(m, q)
	}
}

// suspects returns the crosses that are in question, by index.
func (f *found) suspects() []int {
	var out []int
	add := func(point int) {
		if i := f.indexOf(point); i >= 0 && !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	if p := f.result.Swapped; p != nil {
		add(p[0])
		add(p[1])
	}
	for _, p := range f.result.Points {
		if p.Suspect {
			add(p.Point)
		}
	}
	slices.Sort(out)
	return out
}

// loose returns the moved crosses that are in question, by index.
func (f *found) loose() []int {
	var out []int
	for _, p := range f.result.Nudged {
		if i := f.indexOf(p.Point); p.Suspect && i >= 0 {
			out = append(out, i)
		}
	}
	return out
}

// remedy says what Enter will do about it.
func (f *found) remedy() string {
	switch suspects, loose := f.suspects(), f.loose(); {
	case f.photo != nil:
		return "Press Enter to take another photo."
	case len(suspects) > 0:
		return fmt.Sprintf("Press Enter to read %s again.", f.names(suspects))
	case len(loose) > 0:
		return fmt.Sprintf("Press Enter to move %s again.", f.names(loose))
	}
	return "Press Enter to read all crosses again."
}

func (d *draft) names(which []int) string {
	var n []int
	for _, i := range which {
		n = append(n, d.targets[i].Point)
	}
	return calibrate.Crosses(n)
}

func (f *found) hear(s *session, a action) {
	switch a.key() {
	case "on":
		f.on(s)
	case "u":
		if f.result.Map != nil && !f.good() {
			s.enter(&sure{stage: "read", from: f, word: "use", what: "This result is in doubt, and every line may be off.", do: func() {
				f.accepted = true
				s.enter(f)
			}})
		}
	case "t":
		if f.photo != nil {
			f.another(s)
		}
	case "back":
		if f.photo != nil {
			f.another(s)
			return
		}
		if f.refined {
			s.enter(f.moving(s, len(f.nudges)-1))
			return
		}
		last := f.again(s, all(f.targets))
		last.goTo(s, len(last.queue)-1)
		s.enter(last)
	}
}

func all(targets []calibrate.Target) []int {
	var out []int
	for i := range targets {
		out = append(out, i)
	}
	return out
}

func (f *found) on(s *session) {
	switch suspects, loose := f.suspects(), f.loose(); {
	case f.photo != nil && !f.good():
		f.another(s)
	case f.good() && !f.refined && f.photo == nil:
		s.enter(f.moving(s, 0))
	case f.good():
		f.finish(s)
	case len(suspects) > 0:
		s.enter(f.again(s, suspects))
	case len(loose) > 0:
		m := f.moving(s, loose[0])
		m.only = loose
		s.enter(m)
	case len(f.read()) > 0:
		s.enter(f.again(s, all(f.targets)))
	default:
		s.enter(f.moving(s, 0))
	}
}

// finish takes the calibration into use.
func (f *found) finish(s *session) {
	file, err := f.result.File()
	if err != nil {
		s.note("This can't be used: %v.", err)
		return
	}
	w := s.window.kept()
	file.Window = &w
	caution := ""
	if f.result.Verdict != calibrate.OK {
		caution = "This calibration is suspect, and used all the same."
	}
	if err := s.use(kept{Mat: f.mat, Stood: &[2]int{s.window.Left, s.window.Top}, File: file}, caution); err != nil {
		s.note("This can't be used: %v.", err)
		return
	}
	if err := s.keeper.forgetReadings(f.screen); err != nil {
		s.note("The readings can't be forgotten: %v.", err)
	}
	s.enter(&checking{fresh: true})
}
