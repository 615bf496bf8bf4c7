// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"

	"lozenge/export/words"
	"lozenge/geometry"
)

// length prints inches in the quilter's unit, on one line.
func length(inches float64, u geometry.Unit) string { return words.Held(words.Length(inches, u)) }

// spoken is what a frame says that depends on where it stands.
type spoken struct {
	frame, of    int // from 1, of all frames
	begin        int // frame with which its run begins
	first, last  bool
	slide        float64
	lineUp       int
	across, trim []int // numbers to cut
}

// sentences returns what is written on a frame.
func (r *run) sentences(s spoken, u geometry.Unit) []string {
	out := []string{fmt.Sprintf("Frame %d of %d: %s.", s.frame, s.of, r.title)}
	if s.first {
		out = append(out, r.lay, r.more)
	} else {
		out = append(out, fmt.Sprintf("Slide the %s %s to the left: the edge that cut %d made goes on the broken line.", r.name, length(s.slide, u), s.lineUp))
	}
	todo := "Cut " + span(s.across)
	if len(s.across) > 1 {
		todo += " in order"
	}
	if len(s.trim) > 0 {
		todo += ", then trim the tips: " + span(s.trim)
	}
	out = append(out, todo+".")
	if s.first {
		out = append(out, words.CloseBlade+" "+words.NoLens)
	}
	if s.last {
		switch {
		case r.again > 1 && s.begin == s.frame:
			out = append(out, fmt.Sprintf("The same again for each %s, %d in all.", r.name, r.again))
		case r.again > 1:
			out = append(out, fmt.Sprintf("Begin again at frame %d for the next %s, %d in all.", s.begin, r.name, r.again))
		}
	}
	return out
}

func span(n []int) string { return words.Span(n[0], n[len(n)-1]) }

// samples returns texts as long as any that the run's frames will say.
func (r *run) samples(u geometry.Unit) [][]string {
	s := spoken{
		frame: 888, of: 888, begin: 888, last: true,
		slide: u.Inches(u.Of(88.9, 88.88)), lineUp: 888, across: []int{880, 888}, trim: []int{880, 888},
	}
	later := r.sentences(s, u)
	s.first = true
	s.begin = 8
	return [][]string{later, r.sentences(s, u)}
}
