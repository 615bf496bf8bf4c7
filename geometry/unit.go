// SPDX-License-Identifier: Apache-2.0

package geometry

// Unit is the unit of a pattern's lengths.
type Unit int

// The units. One inch is 2.54 cm exactly (the international yard of 1959:
// addendum to NBS Circular 572).
const (
	Inch Unit = iota
	Centimetre
)

// CentimetresPerInch is exact.
const CentimetresPerInch = 2.54

// String returns "in" or "cm".
func (u Unit) String() string { return [...]string{"in", "cm"}[u] }

// To returns v, given in u, in another unit; unchanged when that is u.
func (u Unit) To(v float64, other Unit) float64 {
	switch {
	case u == other:
		return v
	case other == Centimetre:
		return float64(v * CentimetresPerInch)
	}
	return v / CentimetresPerInch
}

// Inches returns v, given in u, in inches.
func (u Unit) Inches(v float64) float64 { return u.To(v, Inch) }

// FromInches returns v, given in inches, in u.
func (u Unit) FromInches(v float64) float64 { return Inch.To(v, u) }

// Of returns the inches or the centimetres, whichever u is: for sizes that
// are round in both units.
func (u Unit) Of(inches, centimetres float64) float64 {
	if u == Centimetre {
		return centimetres
	}
	return inches
}
