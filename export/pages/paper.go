// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"fmt"

	"lozenge/geometry"
)

// Paper is a size of paper, in the pattern's unit.
type Paper struct {
	Name          string // as "letter"; "" for a size of one's own
	Width, Height float64
}

// sizes are the papers that have names: ISO 216 for A4 and A3, ANSI X3.151
// for letter; legal is US common practice.
var sizes = []struct {
	name          string
	unit          geometry.Unit
	width, height float64
}{
	{"letter", geometry.Inch, 8.5, 11},
	{"a4", geometry.Centimetre, 21, 29.7},
	{"a3", geometry.Centimetre, 29.7, 42},
	{"legal", geometry.Inch, 8.5, 14},
}

// Named returns the paper of that name in the unit.
func Named(name string, u geometry.Unit) (Paper, bool) {
	for _, s := range sizes {
		if s.name == name {
			return Paper{name, s.unit.To(s.width, u), s.unit.To(s.height, u)}, true
		}
	}
	return Paper{}, false
}

// Names returns the names of papers.
func Names() []string {
	var out []string
	for _, s := range sizes {
		out = append(out, s.name)
	}
	return out
}

// TooSmallError says that templates cannot be laid out on a paper.
type TooSmallError struct {
	Paper Paper
	Unit  geometry.Unit
	Why   string
}

func (e *TooSmallError) Error() string {
	return fmt.Sprintf("paper %s by %s is too small: %s", geometry.FormatLength(e.Paper.Width, e.Unit),
		geometry.FormatLength(e.Paper.Height, e.Unit), e.Why)
}
