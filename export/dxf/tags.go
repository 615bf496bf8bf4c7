// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

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

type scanner struct {
	in   *bufio.Reader
	line int
	size int
}

var (
	utf8Mark   = []byte("\xef\xbb\xbf")
	binaryMark = []byte("AutoCAD Binary DXF")
)

func newScanner(r io.Reader) (*scanner, error) {
	s := &scanner{in: bufio.NewReaderSize(r, maxLine)}
	start, err := s.in.Peek(len(binaryMark))
	if err != nil && err != io.EOF {
		return nil, err
	}
	switch {
	case bytes.HasPrefix(start, utf8Mark):
		_, err = s.in.Discard(len(utf8Mark))
		return s, err
	case bytes.Equal(start, binaryMark):
		return nil, &SyntaxError{1, "this is a binary DXF; save it as text (ASCII DXF)"}
	case bytes.HasPrefix(start, []byte("\xff\xfe")), bytes.HasPrefix(start, []byte("\xfe\xff")):
		return nil, &SyntaxError{1, "this is UTF-16 text; save it as ASCII or UTF-8"}
	}
	return s, nil
}

// readLine returns the next line without its end, valid until the next call.
func (s *scanner) readLine() ([]byte, error) {
	line, err := s.in.ReadSlice('\n')
	s.line++
	s.size += len(line)
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return nil, &SyntaxError{s.line, fmt.Sprintf("the line is longer than %d bytes", maxLine)}
	case err == io.EOF && len(line) > 0: // no line end at the end of the file
	case err != nil:
		return nil, err
	case s.size > maxFile:
		return nil, &SyntaxError{s.line, fmt.Sprintf("the file is larger than %d MB", maxFile>>20)}
	}
	line = bytes.TrimSuffix(line, []byte("\n"))
	return bytes.TrimSuffix(line, []byte("\r")), nil
}

// next returns the next tag. The end of the file is an error: a whole file
// ends with a tag of its own.
func (s *scanner) next() (tag, error) {
	text, err := s.readLine()
	if err != nil {
		return tag{}, s.ended(err)
	}
	code, err := strconv.Atoi(string(bytes.TrimSpace(text)))
	if err != nil || code < -5 || code > 1071 {
		return tag{}, &SyntaxError{s.line, fmt.Sprintf("%q is not a group code", clip(string(text)))}
	}
	value, err := s.readLine()
	if err != nil {
		return tag{}, s.ended(err)
	}
	return tag{s.line, code, string(value)}, nil
}

func (s *scanner) ended(err error) error {
	if err == io.EOF {
		return &SyntaxError{s.line, "the file ends before its EOF mark; it was cut short"}
	}
	return err
}
