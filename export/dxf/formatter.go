// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"cmp"
	"io"
	"slices"
	"strconv"

	"lozenge/export"
	"lozenge/geometry"
)

// formatter turns group codes and values into lines, for all forms. It
// replaces the library's, which writes 16 decimals, NaN, -0 and bare line
// feeds, and takes eight allocations for each vertex.
//
// It passes on what it has from time to time, and keeps the first error that
// it got for that.
type formatter struct {
	unused
	w   io.Writer
	out []byte
	num export.Numbers
	err error
}

func newFormatter(w io.Writer) *formatter {
	return &formatter{w: w, out: make([]byte, 0, 2*spillAt), num: export.NewNumbers(export.DXFDecimals)}
}

// spillAt is from how many bytes on they are passed on: no more than fit into
// the caches of a processor.
const spillAt = 1 << 15

func (f *formatter) spill() {
	if f.err == nil {
		_, f.err = f.w.Write(f.out)
	}
	f.out = f.out[:0]
}

// finish passes on what is left. It returns the first error of all.
func (f *formatter) finish() error {
	f.spill()
	return cmp.Or(f.num.Err(), f.err)
}

const lineEnd = "\r\n"

func (f *formatter) code(num int) {
	if len(f.out) > spillAt {
		f.spill()
	}
	f.out = append(strconv.AppendInt(f.out, int64(num), 10), lineEnd...)
}

// WriteString writes a string. A byte that would end the line early and so
// turn the rest into group codes is dropped.
func (f *formatter) WriteString(num int, val string) {
	f.code(num)
	start := len(f.out)
	f.out = append(f.out, val...)
	kept := slices.DeleteFunc(f.out[start:], func(b byte) bool { return b < ' ' })
	f.out = append(f.out[:start+len(kept)], lineEnd...)
}

func (f *formatter) WriteHex(num int, h int) {
	f.code(num)
	f.out = append(appendHex(f.out, h), lineEnd...)
}

// appendHex appends a number in capital hexadecimal digits.
func appendHex(dst []byte, h int) []byte {
	start := len(dst)
	dst = strconv.AppendInt(dst, int64(h), 16)
	for i := start; i < len(dst); i++ {
		if dst[i] >= 'a' {
			dst[i] -= 'a' - 'A'
		}
	}
	return dst
}

func (f *formatter) WriteInt(num int, val int) {
	f.code(num)
	f.out = append(strconv.AppendInt(f.out, int64(val), 10), lineEnd...)
}

// WriteFloat writes a number, always with a point: that is how a reader can
// tell it from a whole number.
func (f *formatter) WriteFloat(num int, val float64) {
	f.code(num)
	f.out = append(f.num.AppendPoint(f.out, val), lineEnd...)
}

// tags writes group codes and what they hold, in turn: a string, an int or a
// float64.
func (f *formatter) tags(pairs ...any) {
	for i := 0; i < len(pairs); i += 2 {
		code := pairs[i].(int)
		switch v := pairs[i+1].(type) {
		case string:
			f.WriteString(code, v)
		case int:
			f.WriteInt(code, v)
		case float64:
			f.WriteFloat(code, v)
		default:
			panic("dxf: a tag of another kind")
		}
	}
}

// vertex writes a point as WriteFloat would, with group codes 10 and 20: in one
// piece, since most of a file is vertices.
func (f *formatter) vertex(p geometry.Point) {
	if len(f.out) > spillAt {
		f.spill()
	}
	f.out = f.num.AppendPoint(append(f.out, "10\r\n"...), p.X)
	f.out = f.num.AppendPoint(append(f.out, "\r\n20\r\n"...), p.Y)
	f.out = append(f.out, lineEnd...)
}
