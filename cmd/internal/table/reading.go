// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"math"
	"strings"

	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
	"lozenge/export/words"
	"lozenge/geometry"
)

// reading shows one cross at a time and asks where it lies on the mat.
type reading struct {
	*draft
	queue []int // of targets to be read, in order
	at    int   // in the queue
	text  string
	wrong string
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
func (d *draft) again(which []int) *reading {
	d.nudges = nil
	return &reading{draft: d, queue: which, text: d.texts[which[0]]}
}

func (r *reading) now() calibrate.Target { return r.targets[r.queue[r.at]] }

// resized begins anew: the crosses stand elsewhere now.
func (r *reading) resized(s *session) {
	s.note("The window has another size now, and the crosses stand elsewhere: begin again with cross 1.")
	s.readAll(r.mat)
}

func (r *reading) show(s *session, v *view) {
	t := r.now()
	u := s.unit()
	v.Stage = "read"
	v.Say = fmt.Sprintf("Cross %d: where does its middle lie on your mat?", t.Point)
	example := "12 3/32, 4 1/2"
	if u == geometry.Centimetre {
		example = "30.7, 11.45"
	}
	v.more(
		fmt.Sprintf("Type how far to the right and how far up the mat's own grid has it, such as %s, and press Enter. %d of %d.", example, r.at+1, len(r.queue)),
		fmt.Sprintf("Read on the mat itself, from straight above, to %s. ", finest(u))+words.NoLens,
	)
	v.Field = &field{Label: "right, up", Text: r.text, Wrong: r.wrong}
	v.Side = "bottom"
	if t.V > float64(r.screen.Height)/2 {
		v.Side = "top"
	}
	v.crossAt(t, r.screen, asCross)
	v.key("Enter", "that is where it lies")
	v.key("Backspace", "in the empty field: the cross before")
}

// crossAt draws a cross that stands straight on the screen, with its number.
func (v *view) crossAt(t calibrate.Target, s calibrate.Screen, as string) {
	arm := math.Round(0.035 * float64(min(s.Width, s.Height)))
	v.Lines = append(v.Lines,
		line{as, []float64{t.U - arm, t.V, t.U + arm, t.V}},
		line{as, []float64{t.U, t.V - arm, t.U, t.V + arm}})
	// The number stands towards the middle of the screen.
	size := math.Round(0.035 * float64(min(s.Width, s.Height)))
	across, up := [2]float64{size, 0}, [2]float64{0, -size}
	at := [2]float64{t.U + size, t.V + 1.6*size}
	if t.U > float64(s.Width)/2 {
		at[0] = t.U - 1.4*size
	}
	if t.V > float64(s.Height)/2 {
		at[1] = t.V - 0.6*size
	}
	if v.Turn == 2 {
		at[0], at[1] = at[0]+0.5*size, at[1]-size
		across, up = [2]float64{-size, 0}, [2]float64{0, size}
	}
	v.Words = append(v.Words, word{as, fmt.Sprint(t.Point), at, across, up, false})
}

func (r *reading) hear(s *session, a action) {
	switch {
	case a.Do == doType:
		r.take(s, a.Text)
	case a.Do == doKey && (a.Text == "Backspace" || a.Text == "ArrowUp"):
		if r.at > 0 {
			r.at--
			r.text, r.wrong = r.texts[r.queue[r.at]], ""
		}
	}
}

func (r *reading) take(s *session, text string) {
	x, y, warning, err := parsePlace(text, s.unit())
	r.text, r.wrong = text, ""
	if err != nil {
		r.wrong = err.Error()
		return
	}
	if warning != "" {
		s.note("%s.", warning)
	}
	i := r.queue[r.at]
	t := r.targets[i]
	r.texts[i] = text
	r.readings[i] = calibrate.Reading{Point: t.Point, U: t.U, V: t.V, X: x, Y: y}
	if r.at++; r.at < len(r.queue) {
		r.text = r.texts[r.queue[r.at]]
		return
	}
	r.solve(s.unit())
	s.enter(&found{draft: r.draft})
}

// parsePlace reads two lengths, how far right and how far up, and returns
// them in inches. The error says what to type.
func parsePlace(text string, u geometry.Unit) (x, y float64, warning string, err error) {
	const how = "type two lengths with a comma between them, how far right and how far up, such as 12 3/32, 4 1/2"
	cut := ","
	if strings.Contains(text, ";") {
		cut = ";"
	}
	parts := strings.Split(text, cut)
	if len(parts) != 2 {
		return 0, 0, "", fmt.Errorf("%s: %s", problem.Show(strings.TrimSpace(text)), how)
	}
	var v [2]float64
	named := 0
	for i, p := range parts {
		l, err := geometry.ParseLength(p, u)
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
