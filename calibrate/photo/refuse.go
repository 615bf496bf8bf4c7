// SPDX-License-Identifier: Apache-2.0

package photo

import "fmt"

// Rule says what is wrong with a photo.
type Rule int

// What a photo is refused for.
const (
	Dark      Rule = iota // nothing to see
	NoLines               // no printed lines
	Unsharp               // lines are blurred, or drowned in noise
	Unfit                 // the lines fit no flat mat
	NoCross               // the crosses are not there, or too few
	NoRing                // which cross is the first can't be told
	Mirrored              // the picture is a mirror image
	WrongGrid             // the lines are not as far apart as was said
	WhichGrid             // nothing shows how far apart the lines are
	Stretched             // the sheet is one for another size of picture
	NoSquare              // there is no square of light, or it can't be read
	Loose                 // the crosses lie where no projector puts them
)

// Refusal says why a photo won't do, and what to do.
type Refusal struct {
	Rule Rule
	Text string
}

// Error returns the text.
func (r *Refusal) Error() string { return r.Text }

func refuse(rule Rule, format string, args ...any) *Refusal {
	return &Refusal{rule, fmt.Sprintf(format, args...)}
}
