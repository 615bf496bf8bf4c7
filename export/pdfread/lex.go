// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"

	"lozenge/export"
)

// The objects of PDF: nil, bool, float64, name, text, array, dict, ref; a
// keyword is what is none of them.
type (
	object  any
	name    string
	text    string
	keyword string
	array   []object
	dict    map[name]object
	ref     struct{ number int }
)

// stream is a dictionary with bytes.
type stream struct {
	dict
	raw []byte
}

// Limits on one object.
const (
	maxDepth = 64
	maxItems = 1 << 17
)

// errEnd says that no object comes any more, errInside that one is cut off.
var (
	errEnd    = errors.New("nothing comes any more")
	errInside = errors.New("an object has no end")
)

// lexer reads objects from bytes.
type lexer struct {
	src   []byte
	pos   int
	items int // in arrays and dictionaries of the object that is being read
}

// classes of bytes (ISO 32000-1, 7.2.2).
const (
	regular = iota
	white
	delimiter
)

var classes = func() (c [256]byte) {
	for _, b := range []byte("\x00\t\n\f\r ") {
		c[b] = white
	}
	for _, b := range []byte("()<>[]{}/%") {
		c[b] = delimiter
	}
	return c
}()

func (l *lexer) space() {
	for l.pos < len(l.src) {
		switch c := l.src[l.pos]; {
		case classes[c] == white:
			l.pos++
		case c == '%':
			for l.pos < len(l.src) && l.src[l.pos] != '\n' && l.src[l.pos] != '\r' {
				l.pos++
			}
		default:
			return
		}
	}
}

// next reads one object; a reference only where refs are allowed. At the end
// it returns errEnd.
func (l *lexer) next(refs bool, depth int) (object, error) {
	l.space()
	if l.pos >= len(l.src) {
		return nil, errEnd
	}
	if depth > maxDepth {
		return nil, fmt.Errorf("objects stand within each other more than %d deep", maxDepth)
	}
	switch c := l.src[l.pos]; c {
	case '/':
		l.pos++
		return l.name(), nil
	case '(':
		return l.literal()
	case '<':
		if l.pos+1 < len(l.src) && l.src[l.pos+1] == '<' {
			l.pos += 2
			return l.dict(refs, depth)
		}
		return l.hex()
	case '[':
		l.pos++
		return l.array(refs, depth)
	case ']', '>', '{', '}', ')':
		l.pos++
		if c == '>' && l.pos < len(l.src) && l.src[l.pos] == '>' {
			l.pos++
			return keyword(">>"), nil
		}
		return keyword(c), nil
	}
	if v, ok, err := l.number(); ok || err != nil {
		if err != nil {
			return nil, err
		}
		if refs && v >= 0 {
			if r, ok := l.reference(v); ok {
				return r, nil
			}
		}
		return v, nil
	}
	word := l.word()
	switch string(word) {
	case "true":
		return true, nil
	case "false":
		return false, nil
	case "null":
		return nil, nil
	}
	return keyword(word), nil
}

// word reads regular bytes; there is at least one.
func (l *lexer) word() []byte {
	from := l.pos
	for l.pos < len(l.src) && classes[l.src[l.pos]] == regular {
		l.pos++
	}
	return l.src[from:l.pos]
}

// number reads a number, if one comes next.
func (l *lexer) number() (v float64, ok bool, err error) {
	l.space()
	if l.pos >= len(l.src) {
		return 0, false, nil
	}
	if c := l.src[l.pos]; c-'0' <= 9 || c == '+' || c == '-' || c == '.' {
		v, err = number(l.word())
		return v, err == nil, err
	}
	return 0, false, nil
}

// number reads a number: sign, digits, one dot. PDF has no exponents.
func number(word []byte) (float64, error) {
	if v, ok := export.Decimal(string(word)); ok {
		return v, nil
	}
	digits := bytes.TrimLeft(word, "+-") // some write --5
	v, err := 0.0, error(nil)
	if string(digits) != "." { // which some write for 0
		v, err = strconv.ParseFloat(string(digits[:min(len(digits), 400)]), 64)
	}
	if err != nil || len(digits) > 400 || len(bytes.Trim(digits, "0123456789.")) > 0 {
		return 0, fmt.Errorf("%s is not a number", clip(word))
	}
	if bytes.IndexByte(word[:len(word)-len(digits)], '-') >= 0 {
		v = -v
	}
	return v, nil
}

func clip(b []byte) string {
	if len(b) > 40 {
		return strconv.Quote(string(b[:37]) + "...")
	}
	return strconv.Quote(string(b))
}

// reference looks whether "0 R" follows a number.
func (l *lexer) reference(n float64) (ref, bool) {
	ahead := lexer{src: l.src, pos: l.pos}
	ahead.space()
	generation := ahead.word()
	ahead.space()
	whole := int(min(n, 1<<30))
	if string(ahead.word()) != "R" || float64(whole) != n || len(generation) == 0 || len(bytes.Trim(generation, "0123456789")) > 0 {
		return ref{}, false
	}
	l.pos = ahead.pos
	return ref{whole}, true
}

func (l *lexer) name() name {
	word := l.word()
	plain := true
	for _, c := range word {
		plain = plain && c != '#'
	}
	if plain {
		return name(word)
	}
	out := make([]byte, 0, len(word))
	for i := 0; i < len(word); i++ {
		if word[i] == '#' && i+2 < len(word) {
			if v, err := strconv.ParseUint(string(word[i+1:i+3]), 16, 8); err == nil {
				out = append(out, byte(v))
				i += 2
				continue
			}
		}
		out = append(out, word[i])
	}
	return name(out)
}

// literal reads a string in brackets.
func (l *lexer) literal() (object, error) {
	var out []byte
	l.pos++
	depth := 1
	for ; l.pos < len(l.src); l.pos++ {
		c := l.src[l.pos]
		switch c {
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				l.pos++
				return text(out), nil
			}
		case '\\':
			l.pos++
			if l.pos >= len(l.src) {
				return nil, errInside
			}
			switch c = l.src[l.pos]; c {
			case 'n', 'r', 't', 'b', 'f':
				c = ' '
			case '\r', '\n': // the line goes on
				continue
			default:
				if c-'0' <= 7 {
					v := int(c - '0')
					for k := 0; k < 2 && l.pos+1 < len(l.src) && l.src[l.pos+1]-'0' <= 7; k++ {
						l.pos++
						v = v*8 + int(l.src[l.pos]-'0')
					}
					c = byte(v)
				}
			}
		}
		out = append(out, c)
	}
	return nil, errInside
}

// hex reads a string in hexadecimal digits.
func (l *lexer) hex() (object, error) {
	l.pos++
	n := bytes.IndexByte(l.src[l.pos:], '>')
	if n < 0 {
		return nil, errInside
	}
	written := l.src[l.pos : l.pos+n]
	l.pos += n + 1
	out, err := unhex(written)
	return text(out), err
}

// unhex unpacks pairs of hexadecimal digits up to ">"; the last may lack its
// second.
func unhex(written []byte) ([]byte, error) {
	digits, _, _ := bytes.Cut(written, []byte(">"))
	digits = bytes.Map(func(r rune) rune {
		if r < 0x80 && classes[r] == white {
			return -1
		}
		return r
	}, digits)
	if len(digits)%2 == 1 {
		digits = append(digits, '0')
	}
	out, err := hex.DecodeString(string(digits))
	if err != nil {
		return nil, wrong("%s is not a string in hexadecimal digits", clip(written))
	}
	return out, nil
}

func (l *lexer) count() error {
	if l.items++; l.items > maxItems {
		return fmt.Errorf("an object has more than %d parts", maxItems)
	}
	return nil
}

// inside reads an object of another.
func (l *lexer) inside(refs bool, depth int) (object, error) {
	o, err := l.next(refs, depth)
	if err == errEnd {
		err = errInside
	}
	return o, err
}

func (l *lexer) array(refs bool, depth int) (object, error) {
	var out array
	for {
		o, err := l.inside(refs, depth+1)
		if err != nil {
			return nil, err
		}
		if k, ok := o.(keyword); ok {
			if k == "]" {
				return out, nil
			}
			return nil, fmt.Errorf("%s stands in an array", clip([]byte(k)))
		}
		if err := l.count(); err != nil {
			return nil, err
		}
		out = append(out, o)
	}
}

func (l *lexer) dict(refs bool, depth int) (object, error) {
	out := dict{}
	for {
		key, err := l.inside(refs, depth+1)
		if err != nil {
			return nil, err
		}
		if key == keyword(">>") {
			return out, nil
		}
		k, ok := key.(name)
		if !ok {
			return nil, fmt.Errorf("a dictionary has a key that is no name")
		}
		value, err := l.inside(refs, depth+1)
		if err != nil {
			return nil, err
		}
		if k2, ok := value.(keyword); ok {
			return nil, fmt.Errorf("%s stands in a dictionary", clip([]byte(k2)))
		}
		if err := l.count(); err != nil {
			return nil, err
		}
		out[k] = value
	}
}
