// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"lozenge/export"
	"lozenge/geometry"
)

// Limits on what is read. A line of AC1015 holds 2049 characters at most, a
// cut file a few megabytes.
const (
	maxLine = 1 << 14
	maxFile = 1 << 28
)

// SyntaxError says where a file stops being a DXF that can be trusted.
type SyntaxError struct {
	Line int // from 1
	Msg  string
}

func (e *SyntaxError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Msg) }

// tag is a group code and its value, two lines of the file.
type tag struct {
	line  int // of the value
	code  int
	value string
}

func (t tag) is(code int, value string) bool { return t.code == code && t.name() == value }

// name returns the value without the blanks that some programs put round it.
func (t tag) name() string { return strings.TrimSpace(t.value) }

func (t tag) errorf(format string, args ...any) error {
	return &SyntaxError{t.line, fmt.Sprintf(format, args...)}
}

func (t tag) int() (int, error) {
	n, err := strconv.ParseInt(t.name(), 10, 32)
	if err != nil {
		return 0, t.errorf("%q is not a whole number", clip(t.value))
	}
	return int(n), nil
}

// float reads a number in digits; strconv would also take NaN, hexadecimal
// and underscores.
func (t tag) float() (float64, error) {
	s := t.name()
	if v, ok := export.Decimal(s); ok {
		return v, nil
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || strings.Trim(s, "+-.0123456789eE") != "" || math.IsInf(v, 0) {
		return 0, t.errorf("%q is not a number", clip(t.value))
	}
	return v, nil
}

func (t tag) angle() (geometry.Angle, error) {
	v, err := t.float()
	return geometry.Angle(math.Mod(v, 360)), err
}

// times reads how often something is repeated. Some programs write 0 for
// once.
func (t tag) times() (int, error) {
	n, err := t.int()
	if err == nil && n < 0 {
		return 0, t.errorf("something is repeated %d times", n)
	}
	return max(n, 1), err
}

// clip keeps a value in a message short.
func clip(s string) string {
	if len(s) > 40 {
		return s[:37] + "..."
	}
	return s
}

// scanner takes a file apart. Values are pieces of it, so that nothing is
// allocated for each of millions of lines.
type scanner struct {
	src  string
	pos  int
	line int
	kept keeper // points of what it says
}

const (
	utf8Mark   = "\xef\xbb\xbf"
	binaryMark = "AutoCAD Binary DXF"
)

func newScanner(r io.Reader) (*scanner, error) {
	var data strings.Builder
	if whole, err := export.Take(&data, r, maxFile); err != nil {
		return nil, err
	} else if !whole {
		return nil, &SyntaxError{1, fmt.Sprintf("the file is larger than %d MB", maxFile>>20)}
	}
	src := data.String()
	switch {
	case strings.HasPrefix(src, binaryMark):
		return nil, &SyntaxError{1, "this is a binary DXF; save it as text (ASCII DXF)"}
	case strings.HasPrefix(src, "\xff\xfe"), strings.HasPrefix(src, "\xfe\xff"):
		return nil, &SyntaxError{1, "this is UTF-16 text; save it as ASCII or UTF-8"}
	}
	return &scanner{src: strings.TrimPrefix(src, utf8Mark)}, nil
}

// entities returns about how many there are, to make room for them at once.
func (s *scanner) entities() int {
	return min(strings.Count(s.src, "LINE")+strings.Count(s.src, "TEXT")+strings.Count(s.src, "POINT"), len(s.src)/24)
}

// readLine returns the next line without its end. The end of the file is an
// error: a whole file ends with a tag of its own.
func (s *scanner) readLine() (string, error) {
	s.line++
	if s.pos >= len(s.src) {
		return "", &SyntaxError{s.line, "the file ends before its EOF mark; it was cut short"}
	}
	line, _, _ := strings.Cut(s.src[s.pos:], "\n")
	s.pos += len(line) + 1
	if len(line) >= maxLine {
		return "", &SyntaxError{s.line, fmt.Sprintf("the line is longer than %d bytes", maxLine)}
	}
	return strings.TrimSuffix(line, "\r"), nil
}

// next returns the next tag.
func (s *scanner) next() (tag, error) {
	text, err := s.readLine()
	if err != nil {
		return tag{}, err
	}
	code, isCode := groupCode(text)
	if !isCode {
		return tag{}, &SyntaxError{s.line, fmt.Sprintf("%q is not a group code", clip(text))}
	}
	value, err := s.readLine()
	return tag{s.line, code, value}, err
}

// groupCode reads a whole number from -5 to 1071, blanks around it.
func groupCode(text string) (int, bool) {
	if len(text) == 2 && text[0]-'1' <= 8 && text[1]-'0' <= 9 { // nearly all
		return int(text[0]-'0')*10 + int(text[1]-'0'), true
	}
	code, err := strconv.Atoi(strings.TrimSpace(text))
	return code, err == nil && code >= -5 && code <= 1071
}
