// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"strings"
)

// sure asks for a typed word before it does what can't be taken back, or what
// is not as it should be: no single key does.
type sure struct {
	stage string // of the way, as the page knows it
	what  string // is to be known
	word  string
	do    func()
	from  stage // and back to it
	wrong string
}

func (q *sure) show(_ *session, v *view) {
	v.Stage = q.stage
	v.Say = q.what
	v.more(fmt.Sprintf("Type the word %s and press Enter, or go back with Backspace.", q.word))
	v.Field = &field{Label: "word", Wrong: q.wrong, Plain: true}
	v.key("Enter", "take the word that is typed")
	v.key("Backspace", "in the empty field: back")
}

func (q *sure) hear(s *session, a action) {
	switch {
	case a.key() == "back":
		s.enter(q.from)
	case a.Do != doType:
	case strings.EqualFold(strings.TrimSpace(a.Text), q.word):
		q.do()
	case strings.TrimSpace(a.Text) == "":
		s.enter(q.from)
	default:
		q.wrong = fmt.Sprintf("That is not the word %s.", q.word)
	}
}
