// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"lozenge/export"
)

// pixelsPerInch is CSS's: 1in = 96px (CSS Values and Units 3, 6.2).
const pixelsPerInch = 96

// inPixels is how many pixels, which are user units, a unit is.
var inPixels = map[string]float64{
	"": 1, "px": 1, "in": pixelsPerInch, "cm": pixelsPerInch / 2.54, "mm": pixelsPerInch / 25.4,
	"q": pixelsPerInch / 101.6, "pt": pixelsPerInch / 72., "pc": pixelsPerInch / 6,
}

// text is numbers that are being read, as they stand in attributes.
type text struct {
	s   string
	pos int
}

// blank passes white space and at most one comma; it reports whether there
// was a comma.
func (t *text) blank() (comma bool) {
	for t.pos < len(t.s) {
		switch c := t.s[t.pos]; {
		case c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f':
		case c == ',' && !comma:
			comma = true
		default:
			return comma
		}
		t.pos++
	}
	return comma
}

func (t *text) done() bool { return t.pos >= len(t.s) }

var errNoNumber = errors.New("a number is missing")

// digits returns the index behind the digits that stand at i.
func digits(s string, i int) int {
	for i < len(s) && s[i]-'0' <= 9 {
		i++
	}
	return i
}

// sign returns the index behind a sign that may stand at i.
func sign(s string, i int) int {
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	return i
}

// number reads one number and what blank passes behind it. It takes what
// SVG's grammar takes: sign, digits, one dot, an exponent. 2e2.0 is two
// numbers, and so is 1-2.
func (t *text) number() (float64, error) {
	s, first := t.s, sign(t.s, t.pos)
	end := digits(s, first)
	some := end > first
	if end < len(s) && s[end] == '.' {
		point := end + 1
		end = digits(s, point)
		some = some || end > point
	}
	if !some {
		return 0, errNoNumber
	}
	// An e that no digit follows begins a unit: 2em.
	if end < len(s) && s[end]|0x20 == 'e' {
		exponent := sign(s, end+1)
		if behind := digits(s, exponent); behind > exponent {
			end = behind
		}
	}
	written := s[t.pos:end]
	v, ok := export.Decimal(written)
	if !ok {
		var err error
		if v, err = strconv.ParseFloat(written, 64); err != nil {
			return 0, fmt.Errorf("%s is beyond all measure", clip(written))
		}
	}
	t.pos = end
	t.blank()
	return v, nil
}

// numbers reads exactly as many numbers as there are, or an error.
func numbers(s string, most int) ([]float64, error) {
	t := text{s: s}
	t.blank()
	var out []float64
	for !t.done() {
		v, err := t.number()
		if err != nil {
			return nil, fmt.Errorf("%s is not a list of numbers", clip(s))
		}
		if out = append(out, v); len(out) > most {
			return nil, fmt.Errorf("%s has too many numbers", clip(s))
		}
	}
	return out, nil
}

// length is a length as it is written.
type length struct {
	value float64
	unit  string // lower case; "%" for a percentage
}

// parseLength reads a length; only digits, a dot and an exponent make its
// number (10,5mm is none).
func parseLength(s string) (length, error) {
	s = strings.TrimSpace(s)
	t := text{s: s}
	v, err := t.number()
	rest := ""
	if err == nil {
		rest = strings.ToLower(strings.TrimSpace(s[t.pos:]))
	}
	if err != nil || strings.IndexByte(s[:t.pos], ',') >= 0 || strings.Trim(rest, "abcdefghijklmnopqrstuvwxyz%") != "" {
		if strings.Contains(s, ",") {
			return length{}, fmt.Errorf("%s is not a length; decimals are written with a point", clip(s))
		}
		return length{}, fmt.Errorf("%s is not a length", clip(s))
	}
	return length{v, rest}, nil
}

// units returns a length in user units. whole is what 100 % is.
func (l length) units(whole float64) (float64, error) {
	if l.unit == "%" {
		return l.value * whole / 100, nil
	}
	k, ok := inPixels[l.unit]
	if !ok {
		return 0, fmt.Errorf("the unit %s has no size of its own; write in, cm, mm or px", clip(l.unit))
	}
	return l.value * k, nil
}
