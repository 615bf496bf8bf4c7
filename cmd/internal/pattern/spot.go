// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"strings"
	"unicode/utf8"
)

// spot is where a value stands in a text, counted in bytes: text[from:to].
type spot struct {
	*node
	from, to int
	entries  []spotEntry // of a group
	items    []*spot     // of a list
}

// spotEntry is a key of a group, text[from:from+len(key)] without its colon and
// quotation marks, and its value.
type spotEntry struct {
	name  string
	from  int
	value *spot
}

// surveyor finds where the values of a text stand.
type surveyor struct {
	text  string
	lines []int // where each line begins
	ok    bool  // everything was found
}

// survey returns where everything of a text that was parsed stands; ok is false
// where something can't be told, as of a text that runs over several lines.
func survey(text string, root *node) (s *spot, ok bool) {
	v := &surveyor{text: text, lines: []int{0}, ok: true}
	for i := range len(text) {
		if text[i] == '\n' {
			v.lines = append(v.lines, i+1)
		}
	}
	return v.spot(root), v.ok
}

// at returns where a place is.
func (v *surveyor) at(p position) int {
	if p.line > len(v.lines) {
		v.ok = false
		return len(v.text)
	}
	i := v.lines[p.line-1]
	for range p.column - 1 {
		_, size := utf8.DecodeRuneInString(v.text[i:])
		i += size
	}
	return min(i, len(v.text))
}

func (v *surveyor) spot(n *node) *spot {
	s := &spot{node: n, from: v.at(n.at)}
	s.to = s.from
	switch n.kind {
	case scalar:
		s.to = v.end(n, s.from)
	case group:
		for _, e := range n.entries {
			one := spotEntry{e.key.text, v.at(e.key.at), v.spot(e.value)}
			if e.value.kind == nothing { // just behind its colon
				colon := strings.IndexByte(v.text[v.end(e.key, one.from):], ':')
				one.value.from = v.end(e.key, one.from) + colon + 1
				one.value.to = one.value.from
			}
			s.entries, s.to = append(s.entries, one), one.value.to
		}
	case list:
		for _, item := range n.items {
			one := v.spot(item)
			s.items, s.to = append(s.items, one), one.to
		}
	}
	if n.inline {
		s.to = v.closed(max(s.to, s.from+1))
	}
	return s
}

// end returns where a text that begins somewhere ends.
func (v *surveyor) end(n *node, from int) int {
	rest := v.text[from:]
	switch {
	case !n.quoted && strings.HasPrefix(rest, n.text):
		return from + len(n.text)
	case n.quoted && strings.HasPrefix(rest, "'"):
		for i := 1; i < len(rest); i++ {
			if rest[i] == '\'' {
				if i+1 < len(rest) && rest[i+1] == '\'' { // a mark in the text
					i++
					continue
				}
				return from + i + 1
			}
		}
	case n.quoted && strings.HasPrefix(rest, `"`):
		for i := 1; i < len(rest); i++ {
			switch rest[i] {
			case '\\':
				i++
			case '"':
				return from + i + 1
			}
		}
	}
	v.ok = false
	return from
}

// closed returns where a group or list in brackets ends of which all but commas,
// blanks and comments is passed.
func (v *surveyor) closed(from int) int {
	for i := from; i < len(v.text); i++ {
		switch v.text[i] {
		case '}', ']':
			return i + 1
		case '#':
			for i+1 < len(v.text) && v.text[i+1] != '\n' {
				i++
			}
		}
	}
	v.ok = false
	return from
}
