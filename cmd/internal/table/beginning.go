// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"lozenge/calibrate"
	"lozenge/export/words"
)

// The cautions that stand before everything else.
const (
	lensCaution  = "Never look into the projector's lens. Close the blade whenever you reach up or change places."
	mountCaution = "Leave keystone, zoom and focus of the projector as they are from now on, and let it warm up for twenty minutes."
)

// quiltName is what the quilt is called.
func (s *session) quiltName() string {
	if s.plan.Spec.Name == "" {
		return "your quilt"
	}
	return s.plan.Spec.Name
}

// beginning offers the calibrations that were kept.
type beginning struct {
	read   bool
	offers []kept
}

// mostOffers is how many can be chosen by a digit.
const mostOffers = 9

// gather looks for what was kept, what fits the picture first, and returns
// what is wrong with it.
func (b *beginning) gather(s *session) (notes []string) {
	b.read = true
	b.offers = nil
	if s.given != nil {
		b.offers = append(b.offers, kept{Mat: s.name, given: true, File: *s.given})
	}
	all, notes := s.keeper.calibrations()
	for _, fits := range []bool{true, false} {
		for _, k := range all {
			if fits == (s.window != nil && k.Screen == s.window.device()) && len(b.offers) < mostOffers {
				b.offers = append(b.offers, k)
			}
		}
	}
	return notes
}

func (b *beginning) resized(*session) { b.read = false }

func (b *beginning) show(s *session, v *view) {
	v.Stage = "begin"
	if s.window == nil {
		v.Say = lensCaution
		return
	}
	if !b.read {
		v.Notes = append(v.Notes, b.gather(s)...)
	}
	screen := s.window.device()
	v.Say = lensCaution
	v.onTheWay(-1)
	v.more(fmt.Sprintf("This is lozenge at the table: it lights up every cut of %s on your mat, at true size.", s.quiltName()), mountCaution,
		fmt.Sprintf("This picture has %v pixels.", screen))
	if err := screen.Validate(); err != nil {
		v.more("It is too small to work with: press F for full screen.")
	}
	if len(b.offers) > 0 {
		v.more("Press the number of a calibration, or N to calibrate afresh:")
	} else {
		v.more("Press F for full screen, and then N to calibrate.")
	}
	for i, o := range b.offers {
		text := fmt.Sprintf("%d  %s", i+1, o.Mat)
		if m, err := o.Map(); err == nil {
			text += fmt.Sprintf(": lines within %s", words.Small(m.Expected().P95, s.unit()))
		}
		if o.Screen != screen {
			text += fmt.Sprintf("; needs a picture of %v pixels", o.Screen)
		}
		v.more(text)
		v.key(strconv.Itoa(i+1), "use the calibration of "+o.Mat)
	}
	v.key("N", "calibrate afresh")
	v.key("R", "turn the words round")
}

func (b *beginning) hear(s *session, a action) {
	if s.window == nil {
		return
	}
	switch key := a.key(); key {
	case "n":
		b.afresh(s)
	case "r":
		s.turned = !s.turned
	default:
		n, err := strconv.Atoi(key)
		if key == "on" {
			n, err = 1, nil
		}
		if err == nil && n >= 1 && n <= len(b.offers) {
			b.choose(s, b.offers[n-1])
		}
	}
}

func (b *beginning) afresh(s *session) {
	if err := s.window.device().Validate(); err != nil {
		s.note("This window is too small: press F for full screen.")
		return
	}
	s.using = nil
	if d, ok := s.recalled(); ok {
		s.enter(&resuming{d})
		return
	}
	s.enter(&naming{})
}

func (b *beginning) choose(s *session, k kept) {
	if k.Screen != s.window.device() {
		s.note("That calibration needs a picture of %v pixels, this one has %v. Press F for full screen, set the browser's zoom to 100 %%, or calibrate afresh with N.", k.Screen, s.window.device())
		return
	}
	caution := ""
	if k.Verdict == calibrate.Suspect {
		caution = "This calibration is suspect: a reading does not fit the others."
	}
	if err := s.use(k, caution); err != nil {
		s.note("That calibration can't be used: %v.", err)
		return
	}
	if k.given {
		s.using.square = unmeasured
		s.startCutting()
		return
	}
	s.lookAgain(&checking{})
}

// unmeasured is what is said while nobody knows whether the square is true.
const unmeasured = "The check square was not measured: S measures it."

// naming asks for the mat.
type naming struct{ wrong string }

func (n *naming) show(s *session, v *view) {
	v.Stage = "begin"
	v.Say = "What do you call the mat that lies there?"
	v.more("Each mat and each size of the picture has a calibration of its own.")
	v.Field = &field{Label: "mat", Text: "cutting mat", Wrong: n.wrong, Plain: true}
	v.key("Enter", "go on with that name")
	v.key("Backspace", "in the empty field: back")
}

func (n *naming) hear(s *session, a action) {
	if a.key() == "back" {
		s.enter(&beginning{})
	}
	if a.Do != doType {
		return
	}
	name := strings.Join(strings.Fields(a.Text), " ")
	switch {
	case name == "":
		n.wrong = "Type a name, such as cutting mat."
	case strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }):
		n.wrong = "That has a character that can't be seen."
	case len([]rune(name)) > mostMat:
		n.wrong = fmt.Sprintf("That is longer than %d characters.", mostMat)
	default:
		s.readAll(name)
	}
}
