// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
	"lozenge/export/target"
	"lozenge/export/words"
	"lozenge/geometry"
)

// reading shows one cross at a time and asks where it lies on the mat.
type reading struct {
	*draft
	queue []int  // of targets to be read, in order
	at    int    // in the queue
	text  string // as it was typed last: how far to the right, or both
	up    string
	wrong string
	asked int // the field to type into
}

func newReading(s *session, mat string) *reading {
	d := newDraft(mat, s.window.device())
	return &reading{draft: d, queue: all(d.targets)}
}

// readAll begins to read the crosses, if the window is one to read them in.
func (s *session) readAll(mat string) {
	if s.window.device().Validate() != nil {
		s.note("This window is too small: press F for full screen.")
		s.enter(&beginning{})
		return
	}
	s.using, s.cutting = nil, nil
	s.enter(newReading(s, mat))
}

// again reads some crosses afresh.
func (d *draft) again(s *session, which []int) *reading {
	d.nudges = nil
	r := &reading{draft: d, queue: which}
	r.goTo(s, 0)
	return r
}

func (r *reading) now() calibrate.Target { return r.targets[r.queue[r.at]] }

// resized goes on with what was read in a picture of this size: the crosses
// stand elsewhere now. What was read in the other size is kept.
func (d *draft) resized(s *session) {
	if before, ok := s.recalled(); ok && before.mat == d.mat {
		s.goOn(before)
		s.note("The window has the size again in which you read %d crosses: they are kept.", len(before.read()))
		return
	}
	s.note("The window has another size now, and the crosses stand elsewhere: begin with cross 1. What you read before is kept, for when the window has its size again.")
	s.readAll(d.mat)
}

func (r *reading) show(s *session, v *view) {
	t := r.now()
	u := s.unit()
	v.Stage = "read"
	v.onTheWay(0)
	v.Say = fmt.Sprintf("Cross %d: where does its middle lie on your mat?", t.Point)
	v.more(
		fmt.Sprintf("Type how far to the right and how far up the mat's own grid has it, such as %s, and press Enter. %d of %d.", exampleOf(u), r.at+1, len(r.queue)),
		fmt.Sprintf("Read on the mat itself, from straight above, to %s. ", finest(u))+words.NoLens,
	)
	v.Field = &field{Label: "to the right", Text: r.text, Wrong: r.wrong, Other: &other{Label: "up", Text: r.up}, At: r.asked}
	v.Side = "bottom"
	if t.V > float64(r.screen.Height)/2 {
		v.Side = "top"
	}
	v.crossAt(t, r.screen, asCross)
	v.Photo = photoOffered
	v.key("Enter", "that is where it lies")
	v.key("Backspace", "in the empty field: the cross before")
}

// crossAt draws the mark of a target, with its number.
func (v *view) crossAt(t calibrate.Target, s calibrate.Screen, as string) {
	scale := float64(min(s.Width, s.Height)) / 1080
	arms, ring := target.Mark(t, scale)
	for _, a := range arms {
		v.Lines = append(v.Lines, line{As: as, Points: []float64{a[0].X, a[0].Y, a[1].X, a[1].Y}})
	}
	if ring != nil {
		l := line{As: as}
		for i := range len(ring) + 1 {
			p := ring[i%len(ring)]
			l.Points = append(l.Points, p.X, p.Y)
		}
		v.Lines = append(v.Lines, l)
	}
	// The number stands beside it, towards the middle of the screen.
	size := math.Round(0.035 * float64(min(s.Width, s.Height)))
	across, up := [2]float64{size, 0}, [2]float64{0, -size}
	number := fmt.Sprint(t.Point)
	half := 0.4 * size * float64(len(number))
	away := calibrate.MarkRoom*scale + half // of the number's middle
	if t.U > float64(s.Width)/2 {
		away = -away
	}
	at := [2]float64{t.U + away - half, t.V + 0.5*size}
	if v.Turn == 2 {
		at[0], at[1] = t.U+away+half, t.V-0.5*size
		across, up = [2]float64{-size, 0}, [2]float64{0, size}
	}
	v.Words = append(v.Words, word{as, number, at, across, up, false})
}

func (r *reading) hear(s *session, a action) {
	switch {
	case a.Do == doType:
		r.take(s, a.Text, a.Other)
	case a.key() == "photo":
		s.enter(newPhotographing(r.mat, r.screen))
	case a.key() == "back" && r.at > 0:
		r.goTo(s, r.at-1)
	case a.key() == "back" && len(r.queue) == len(r.targets):
		s.enter(&naming{})
	}
}

// goTo asks for another cross of the queue.
func (r *reading) goTo(s *session, i int) {
	r.at = i
	r.text, r.up, r.wrong, r.asked = r.texts[r.queue[i]], "", "", 0
	if parts := splitPlace(r.text, s.unit()); len(parts) == 2 {
		r.text, r.up = strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1])
	}
}

func (r *reading) take(s *session, text, up string) {
	r.text, r.up, r.wrong, r.asked = text, up, "", 0
	both := text
	if up != "" {
		both = text + ";" + up
	} else if _, err := geometry.ParseLength(points(text), s.unit()); err == nil && len(splitPlace(text, s.unit())) == 1 {
		r.asked = 1
		return
	}
	x, y, warning, err := parsePlace(both, s.unit())
	if err != nil {
		r.wrong = err.Error()
		return
	}
	if warning != "" {
		s.note("%s.", warning)
	}
	r.put(r.queue[r.at], both, x, y)
	if err := s.keeper.keepReadings(r.draft); err != nil {
		s.note("The readings can't be kept: %v.", err)
	}
	if r.at+1 < len(r.queue) {
		r.goTo(s, r.at+1)
		return
	}
	r.solve(s.unit())
	s.enter(&found{draft: r.draft})
}

// decimal is a number with a comma for its decimals.
var decimal = regexp.MustCompile(`^\s*(-?[0-9]+),([0-9]+)(\s*[a-z"]*\s*)$`)

// points writes a number that has a comma for its decimals with a point.
func points(text string) string { return decimal.ReplaceAllString(text, "$1.$2$3") }

// metricPair is two numbers without anything between them but a blank.
var metricPair = regexp.MustCompile(`^\s*(-?[0-9]+(?:,[0-9]+)?)\s+(-?[0-9]+(?:,[0-9]+)?)\s*$`)

// splitPlace takes two lengths apart. A comma stands between them where
// decimals have points; in centimetres it may be that of the decimals itself.
func splitPlace(text string, u geometry.Unit) []string {
	switch m := metricPair.FindStringSubmatch(text); {
	case strings.Contains(text, ";"):
		return strings.Split(text, ";")
	case u != geometry.Centimetre:
	case m != nil:
		return m[1:]
	case decimal.MatchString(text):
		return []string{text}
	}
	return strings.Split(text, ",")
}

// exampleOf is a place as she may type it.
func exampleOf(u geometry.Unit) string {
	if u == geometry.Centimetre {
		return "30.7, 11.45"
	}
	return "12 3/32, 4 1/2"
}

// parsePlace reads two lengths, how far right and how far up, and returns
// them in inches. The error says what to type.
func parsePlace(text string, u geometry.Unit) (x, y float64, warning string, err error) {
	parts := splitPlace(text, u)
	if len(parts) != 2 {
		return 0, 0, "", fmt.Errorf("%s: type two lengths with a comma between them, how far right and how far up, such as %s", problem.Show(strings.TrimSpace(text)), exampleOf(u))
	}
	var v [2]float64
	named := 0
	for i, p := range parts {
		l, err := geometry.ParseLength(points(p), u)
		if err != nil {
			return 0, 0, "", err
		}
		if strings.ContainsFunc(p, isUnit) {
			named++
		}
		v[i] = l.In(geometry.Inch)
		if l.Warning() != "" {
			warning = l.Warning()
		}
	}
	if named == 1 {
		return 0, 0, "", fmt.Errorf("%s has a unit at one number only; give it at both or at none", problem.Show(strings.TrimSpace(text)))
	}
	return v[0], v[1], warning, nil
}

// isUnit reports whether a character can only belong to a unit.
func isUnit(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || strings.ContainsRune("\"'″′”’", r)
}

// finest is how exactly a place on the mat is read.
func finest(u geometry.Unit) string {
	if u == geometry.Centimetre {
		return "half a millimetre"
	}
	return "1/32 in"
}
