// SPDX-License-Identifier: Apache-2.0

package export

import (
	"fmt"
	"math"
	"strconv"

	"lozenge/geometry"
)

// Decimals of the formats, in the sheet's unit: 1e-6 in and 1e-8 in are far
// below the 0.0005 in that a file is held to, and below what a reader in
// single precision can tell apart.
const (
	SVGDecimals = 6
	DXFDecimals = 8
)

// NotFiniteError says that something about to be written had a coordinate
// that is no number. Readers do not catch it: renderers draw a path up to it
// in silence.
type NotFiniteError struct {
	What  string // as "cut outline 12"
	Value float64
}

func (e *NotFiniteError) Error() string {
	return fmt.Sprintf("%s has a coordinate that is not a number (%v); nothing can be drawn from it",
		e.What, e.Value)
}

// Numbers turns numbers into text with a fixed number of decimals: no
// exponent, no "-0", no trailing zeros, a point as the decimal sign whatever
// the locale.
//
// It fails once and for good at the first NaN or infinity: call Writing
// before each thing written and Err after it.
type Numbers struct {
	decimals int
	scale    float64 // 10^decimals
	what     string
	index    int
	err      error
}

// NewNumbers returns a formatter for the given number of decimals, 0 to 9.
func NewNumbers(decimals int) Numbers {
	if decimals < 0 || decimals > 9 {
		panic("export: decimals outside 0..9")
	}
	return Numbers{decimals: decimals, scale: float64(pow10[decimals]), what: "the drawing"}
}

// Writing names what the next numbers belong to, for the error. An index of
// 0 or more counts things of that name and is printed from 1.
func (n *Numbers) Writing(what string, index int) { n.what, n.index = what, index+1 }

// Err returns a *[NotFiniteError] for the first number that was none, or nil.
func (n *Numbers) Err() error { return n.err }

var pow10 = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9}

const (
	// half is where a number is rounded up: just under one half. What stands
	// exactly on a half (1/128 in to six decimals) and what stands there but
	// for the last bit, because it was computed another way, must come out as
	// the same text, or the ends of two lines no longer meet
	// (LibrePCB/LibrePCB#960, KLayout/klayout#198).
	half = 0.5 + 1.0/1024
	// exact is up to where a scaled number is known to better than half's
	// margin: 2^40 has a last bit of 2^-12.
	exact = 1 << 40
)

// Append appends v to dst. Halves are rounded away from zero. Beyond 2^40
// units of the last decimal the text is strconv's.
func (n *Numbers) Append(dst []byte, v float64) []byte {
	dst, _ = n.append(dst, v)
	return dst
}

// AppendPoint is Append with a decimal point whatever v, and a 0 after it.
func (n *Numbers) AppendPoint(dst []byte, v float64) []byte {
	dst, whole := n.append(dst, v)
	if whole {
		dst = append(dst, ".0"...)
	}
	return dst
}

// append also reports whether v came out as a whole number, without a point.
func (n *Numbers) append(dst []byte, v float64) (out []byte, isWhole bool) {
	if v < 0 {
		// Below half a unit there is nothing left to put a sign before.
		if float64(v*n.scale) > half-1 {
			return append(dst, '0'), true
		}
		if math.IsInf(v, -1) {
			return n.appendLarge(dst, v)
		}
		dst = append(dst, '-')
		v = -v
	}
	scaled := float64(v * n.scale)
	if !(scaled < exact) {
		return n.appendLarge(dst, v)
	}
	units := uint64(scaled + half)
	// A division by a number that the compiler knows is a multiplication.
	var whole, part uint64
	switch n.decimals {
	case 0:
		whole = units
	case SVGDecimals:
		whole, part = units/1e6, units%1e6
	case DXFDecimals:
		whole, part = units/1e8, units%1e8
	default:
		p := pow10[n.decimals]
		whole, part = units/p, units%p
	}
	switch {
	case whole < 10:
		dst = append(dst, '0'+byte(whole))
	case whole < 100:
		dst = append(dst, pairs[whole][:]...)
	case whole < 1000:
		dst = append(append(dst, '0'+byte(whole/100)), pairs[whole%100][:]...)
	default:
		dst = strconv.AppendUint(dst, whole, 10)
	}
	if part == 0 {
		return dst, true
	}
	// Room for the most decimals, of which those that are wanted are kept.
	start := len(dst)
	dst = append(dst, '.', '0', '0', '0', '0', '0', '0', '0', '0', '0')
	dst = dst[:start+1+n.decimals]
	text := dst[start+1:]
	rest := uint32(part)
	switch n.decimals {
	case SVGDecimals:
		low := rest % 10_000
		putPair(text[0:2], rest/10_000)
		putPair(text[2:4], low/100)
		putPair(text[4:6], low%100)
	case DXFDecimals:
		high, low := rest/10_000, rest%10_000
		putPair(text[0:2], high/100)
		putPair(text[2:4], high%100)
		putPair(text[4:6], low/100)
		putPair(text[6:8], low%100)
	default:
		for i := n.decimals - 1; i >= 0; i-- {
			text[i] = '0' + byte(rest%10)
			rest /= 10
		}
	}
	end := n.decimals
	for text[end-1] == '0' {
		end--
	}
	return dst[:start+1+end], false
}

// putPair writes two digits.
func putPair(to []byte, v uint32) {
	p := &pairs[v&127]
	to[0], to[1] = p[0], p[1]
}

// pairs are the pairs of digits, and more: as many as a mask keeps within.
var pairs = func() (out [128][2]byte) {
	for i := range out {
		out[i] = [2]byte{'0' + byte(i/10), '0' + byte(i%10)}
	}
	return out
}()

func (n *Numbers) appendLarge(dst []byte, v float64) (out []byte, isWhole bool) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		if n.err == nil {
			n.err = &NotFiniteError{counted(n.what, n.index), v}
		}
		return append(dst, '0'), true
	}
	start := len(dst)
	dst = strconv.AppendFloat(dst, v, 'f', n.decimals, 64)
	if n.decimals == 0 {
		return dst, true
	}
	for dst[len(dst)-1] == '0' {
		dst = dst[:len(dst)-1]
	}
	if dst[len(dst)-1] == '.' && len(dst) > start {
		return dst[:len(dst)-1], true
	}
	return dst, false
}

func counted(what string, index int) string {
	if index > 0 {
		what += " " + strconv.Itoa(index)
	}
	return what
}

// Finite returns a *[NotFiniteError] for the first coordinate that is no
// number, or nil. What they belong to is named as for [Numbers.Writing].
func Finite(what string, index int, points ...geometry.Point) error {
	for _, p := range points {
		for _, v := range [...]float64{p.X, p.Y} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return &NotFiniteError{counted(what, index+1), v}
			}
		}
	}
	return nil
}

// Format returns numbers as text, a space between, for the few that stand alone.
func (n *Numbers) Format(values ...float64) string {
	var out []byte
	for i, v := range values {
		if i > 0 {
			out = append(out, ' ')
		}
		out = n.Append(out, v)
	}
	return string(out)
}
