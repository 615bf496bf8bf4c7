// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"strings"
	"unicode/utf16"
)

// maxCodes is how many codes of a font are told apart.
const maxCodes = 1 << 16

// meaning is what the codes of a font's strings stand for, as its ToUnicode
// says (ISO 32000-1, 9.10.3). Without one, each byte is a letter.
type meaning struct {
	letters map[string]string // of a code, its bytes
	length  int               // of a code that isn't among them
}

// fontNamed returns the meaning of the codes of a font of the resources, or nil.
// Lines can be measured without it: what can't be read is not told.
func (c *content) fontNamed(n name) (*meaning, error) {
	all, _ := c.dictOf(c.resources["Font"])
	at, shared := all[n].(ref)
	if m, ok := c.meanings[at]; shared && ok {
		return m, nil
	}
	font, _ := c.dictOf(all[n])
	told, _ := c.resolve(font["ToUnicode"])
	var m *meaning
	if s, ok := told.(*stream); ok {
		if data, err := c.unpack(s); err == nil {
			if err := c.spend(len(data)); err != nil {
				return nil, err
			}
			m = readMeaning(data)
		}
	}
	if shared {
		c.meanings[at] = m
	}
	return m, nil
}

// readMeaning takes in a list of codes as far as it can be understood.
func readMeaning(data []byte) *meaning {
	m := &meaning{letters: map[string]string{}, length: 1}
	l := &lexer{src: data}
	var operands []object
	for l.space(); l.pos < len(l.src); l.space() {
		l.items = 0
		o, err := l.next(false, 0)
		if err != nil {
			break
		}
		k, ok := o.(keyword)
		if !ok {
			operands = append(operands, o)
			continue
		}
		switch k {
		case "endcodespacerange":
			if len(operands) > 0 {
				from, _ := operands[0].(text)
				m.length = max(1, len(from))
			}
		case "endbfchar":
			for i := 0; i+1 < len(operands); i += 2 {
				m.put(operands[i], operands[i+1], 0)
			}
		case "endbfrange":
			for i := 0; i+2 < len(operands); i += 3 {
				m.span(operands[i], operands[i+1], operands[i+2])
			}
		}
		operands = operands[:0]
	}
	return m
}

// put notes that a code stands for letters in UTF-16, the last one so much
// further on.
func (m *meaning) put(code, letters object, further int) {
	c, ok := code.(text)
	to, is := letters.(text)
	if !ok || !is || len(m.letters) >= maxCodes {
		return
	}
	var units []uint16
	for i := 0; i+1 < len(to); i += 2 {
		units = append(units, uint16(to[i])<<8|uint16(to[i+1]))
	}
	if len(units) > 0 {
		units[len(units)-1] += uint16(further)
	}
	m.letters[string(c)] = string(utf16.Decode(units))
}

// span notes codes that follow each other in their last byte.
func (m *meaning) span(from, to, letters object) {
	first, _ := from.(text)
	last, _ := to.(text)
	if len(first) == 0 || len(first) != len(last) {
		return
	}
	end := len(first) - 1
	list, listed := letters.(array)
	for b := int(first[end]); b <= int(last[end]); b++ {
		code := text(string(first[:end]) + string([]byte{byte(b)}))
		switch further := b - int(first[end]); {
		case !listed:
			m.put(code, letters, further)
		case further < len(list):
			m.put(code, list[further], 0)
		}
	}
}

// say writes what a string means.
func (m *meaning) say(b *strings.Builder, s text) {
	for len(s) > 0 && b.Len() < maxLetters {
		n := min(len(s), 4)
		for n > 1 && m.letters[string(s[:n])] == "" {
			n--
		}
		if letters := m.letters[string(s[:n])]; letters != "" {
			b.WriteString(letters)
		} else {
			n = min(m.length, len(s))
		}
		s = s[n:]
	}
}
