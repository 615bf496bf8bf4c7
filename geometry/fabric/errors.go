// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"cmp"
	"fmt"
	"math"

	"lozenge/geometry"
)

// Rule is what a value went against.
type Rule int

// The rules.
const (
	NotALength  Rule = iota // not a number, or beyond Limit (MaxLength)
	NotPositive             // a size must be more than Limit (0)
	Negative                // an amount must not be less than Limit (0)
	TooMany                 // more than Limit pieces or strips
	TooLong                 // longer than the strip it is cut from (Limit)
	TooWide                 // wider than the fabric or the quilt it belongs to (Limit)
	TooNarrow               // nothing is left of it but seam allowance (Limit)
	NotASource              // not one of the sources
)

// MaxStrips is the most pieces or strips of a kind that are reckoned with:
// far above any quilt, and far below where counting loses exactness.
const MaxStrips = 1_000_000

// MaxLength is the longest length that is reckoned with, in either unit:
// beyond it float64 no longer tells lengths apart by geometry.Fit.
const MaxLength = 1e6

// Error is a value that nothing can be bought for.
type Error struct {
	Rule  Rule
	What  string  // which value, in words: "border 2: cut width"
	Index int     // of the need or border it belongs to, from 0; -1: none
	Value float64 // what it is
	Limit float64 // what it is measured against
	Hint  string  // what to do
}

// Error says what, why and what to do. Lengths are written as plain numbers
// in the pattern's unit.
func (e *Error) Error() string { return e.say(short) }

// In is Error with lengths written as a quilter writes them in the unit.
func (e *Error) In(u geometry.Unit) string {
	return e.say(func(v float64) string {
		if e.Rule == TooMany || !(math.Abs(v) <= MaxLength) {
			return short(v)
		}
		return geometry.FormatLength(v, u)
	})
}

func (e *Error) say(write func(float64) string) string {
	why := map[Rule]string{
		NotALength:  "is not a length up to %v",
		NotPositive: "must be more than %v",
		Negative:    "must not be less than %v",
		TooMany:     "is more than %v",
		TooLong:     "is longer than the %v that one strip gives",
		TooWide:     "is wider than %v",
		TooNarrow:   "leaves nothing beside seam allowances of %v together",
		NotASource:  "is not a way of buying fabric",
	}[e.Rule]
	if e.Rule != NotASource {
		why = fmt.Sprintf(why, write(e.Limit))
	}
	text := fmt.Sprintf("%s %v %s", e.What, write(e.Value), why)
	if e.Hint != "" {
		text += ": " + e.Hint
	}
	return text
}

// short writes at most six significant digits, and whole numbers in full.
func short(v float64) string {
	if v == math.Trunc(v) && math.Abs(v) < 1e15 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.6g", v)
}

// value is one number that a caller gave, for the checks.
type value struct {
	what  string
	index int
	v     float64
}

func (x value) fail(r Rule, limit float64, hint string) error {
	return &Error{Rule: r, What: x.what, Index: x.index, Value: x.v, Limit: limit, Hint: hint}
}

// positive refuses what is not a size.
func (x value) positive() error {
	switch {
	case math.IsNaN(x.v) || x.v > MaxLength:
		return x.fail(NotALength, MaxLength, "give the length as measured")
	case !(x.v > geometry.Fit):
		return x.fail(NotPositive, 0, "give the length as measured")
	}
	return nil
}

// notNegative refuses what is not an amount.
func (x value) notNegative() error {
	switch {
	case math.IsNaN(x.v) || x.v > MaxLength:
		return x.fail(NotALength, MaxLength, "give the length as measured")
	case x.v < 0:
		return x.fail(Negative, 0, "give 0 where nothing is to be added")
	}
	return nil
}

// check refuses what is not a quilt's size.
func (s Size) check() error {
	return cmp.Or(
		value{"width of the quilt", -1, s.Width}.positive(),
		value{"height of the quilt", -1, s.Height}.positive())
}
