// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"strconv"

	"lozenge/export"
)

// formatter turns group codes and values into lines, for all forms. It
// replaces the library's, which writes 16 decimals, NaN, -0 and bare line
// feeds, and takes eight allocations for each vertex.
type formatter struct {
	out []byte
	num export.Numbers
}

func newFormatter(size int) *formatter {
	return &formatter{out: make([]byte, 0, size), num: export.NewNumbers(export.DXFDecimals)}
}

const lineEnd = "\r\n"

func (f *formatter) code(num int) {
	f.out = append(strconv.AppendInt(f.out, int64(num), 10), lineEnd...)
}

// WriteString writes a string. A byte that would end the line early and so
// turn the rest into group codes is dropped.
func (f *formatter) WriteString(num int, val string) {
	f.code(num)
	start := len(f.out)
	f.out = append(f.out, val...)
	for i := start; i < len(f.out); i++ {
		if f.out[i] < ' ' {
			f.out = append(f.out[:i], f.out[i+1:]...)
			i--
		}
	}
	f.out = append(f.out, lineEnd...)
}

func (f *formatter) WriteHex(num int, h int) {
	f.code(num)
	start := len(f.out)
	f.out = strconv.AppendInt(f.out, int64(h), 16)
	for i := start; i < len(f.out); i++ {
		if f.out[i] >= 'a' {
			f.out[i] -= 'a' - 'A'
		}
	}
	f.out = append(f.out, lineEnd...)
}

func (f *formatter) WriteInt(num int, val int) {
	f.code(num)
	f.out = append(strconv.AppendInt(f.out, int64(val), 10), lineEnd...)
}

// WriteFloat writes a number, always with a point: that is how a reader can
// tell it from a whole number.
func (f *formatter) WriteFloat(num int, val float64) {
	f.code(num)
	start := len(f.out)
	f.out = f.num.Append(f.out, val)
	if bytes.IndexByte(f.out[start:], '.') < 0 {
		f.out = append(f.out, ".0"...)
	}
	f.out = append(f.out, lineEnd...)
}
