// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"fmt"
	"strconv"
	"strings"

	"lozenge/geometry"
)

// Unit is a unit of length.
type Unit string

// The units. A file of NoUnit says nothing about its own.
const (
	NoUnit     Unit = "unknown"
	Inch       Unit = "in"
	Centimetre Unit = "cm"
	Millimetre Unit = "mm"
)

// ParseUnit reads "in", "cm" or "mm".
func ParseUnit(s string) (Unit, error) {
	switch u := Unit(strings.ToLower(s)); u {
	case Inch, Centimetre, Millimetre:
		return u, nil
	}
	return NoUnit, fmt.Errorf("%q is not a unit; write in, cm or mm", s)
}

// name is the unit in words, of several.
func (u Unit) name() string {
	return map[Unit]string{Inch: "inches", Centimetre: "centimetres", Millimetre: "millimetres"}[u]
}

// Inches returns how many inches one is; 1 for NoUnit.
func (u Unit) Inches() float64 {
	switch u {
	case Centimetre:
		return 1 / geometry.CentimetresPerInch
	case Millimetre:
		return 1 / (10 * geometry.CentimetresPerInch)
	}
	return 1
}

// Of returns inches in the unit.
func (u Unit) Of(inches float64) float64 {
	switch u {
	case Centimetre:
		return inches * geometry.CentimetresPerInch
	case Millimetre:
		return inches * (10 * geometry.CentimetresPerInch)
	}
	return inches
}

// Format writes inches in the unit, with as many decimals as matter: a ten
// thousandth of an inch, or a few thousandths of a millimetre.
func (u Unit) Format(inches float64) string {
	v, decimals := u.Of(inches), 4
	if u == Millimetre {
		decimals = 3
	}
	text := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', decimals, 64), "0"), ".")
	if text == "-0" {
		text = "0"
	}
	if u == NoUnit {
		return text
	}
	return text + " " + string(u)
}
