// SPDX-License-Identifier: Apache-2.0

package words_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

func ExampleCount() {
	for _, n := range []int{0, 1, 2} {
		fmt.Println(words.Count(n, "diamond"))
	}
	// Output:
	// 0 diamonds
	// 1 diamond
	// 2 diamonds
}

func ExampleList() {
	fmt.Println(words.List([]string{"tide", "sand", "ash"}))
	fmt.Println(words.List([]int{3, 5}))
	// Output:
	// tide, sand and ash
	// 3 and 5
}

func ExampleNumbers() {
	fmt.Println(words.Numbers("strip set", []int{4}))
	fmt.Println(words.Numbers("strip set", []int{1, 2, 3, 4, 9}))
	fmt.Println(words.StripSetList([]int{0, 3, 6, 9, 12, 15, 18, 21, 24}))
	// Output:
	// strip set 4
	// strip sets 1 to 4 and 9
	// Strip sets 1, 4, 7 and so on, every 3rd, to 25
}

func ExampleAmount() {
	fmt.Println(words.Amount(1.375, "yd"))
	fmt.Println(words.Amount(0.7, "m"))
	fmt.Println(words.Amount(1, "fat quarters"))
	// Output:
	// 1 3/8 yd
	// 0.7 m
	// 1 fat quarter
}

func ExamplePiece() {
	s := quilt.Spec{
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 3, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{{Key: "tide", Name: "Tide blues"}, {Key: "sand"}},
	}
	fmt.Println(words.Piece(s, geometry.Diamond, geometry.Right, 1))
	fmt.Println(words.Piece(s, geometry.LowerTriangle, geometry.Left, 4))
	fmt.Println(words.Row(s, strip.Layout{Lean: geometry.Right, Word: "UDDL"}, geometry.Right))
	// Output:
	// right-leaning diamond
	// left-leaning edge triangles, Tide blues on the wide side
	// 1 edge triangle with sand on the wide side, 2 diamonds, 1 edge triangle with Tide blues on the wide side
}

// From the law: of a list of n, every item stands once and in order, one "and"
// stands before the last of several, commas before the others.
func TestLists(t *testing.T) {
	for n, want := range []string{"", "a", "a and b", "a, b and c", "a, b, c and d"} {
		if got := words.List([]string{"a", "b", "c", "d"}[:n]); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
		if got, want := words.Either([]string{"a", "b", "c", "d"}[:n]), strings.Replace(want, " and ", " or ", 1); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}

// Plurals and ordinals as dictionaries have them.
func TestNouns(t *testing.T) {
	for one, many := range map[string]string{"diamond": "diamonds", "strip set": "strip sets", "cross": "crosses", "inch": "inches"} {
		if words.Noun(1, one) != one || words.Noun(0, one) != many || words.Noun(12, one) != many {
			t.Errorf("%s: %s, %s, want %s", one, words.Noun(1, one), words.Noun(12, one), many)
		}
	}
	for n, want := range map[int]string{1: "1st", 2: "2nd", 3: "3rd", 4: "4th", 11: "11th", 12: "12th", 13: "13th", 21: "21st", 102: "102nd", 111: "111th"} {
		if got := words.Ordinal(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}

// Parts of a template are lettered as columns of a table are.
func TestLetters(t *testing.T) {
	for n, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 701: "ZZ", 702: "AAA"} {
		if got := words.Letters(n); got != want {
			t.Errorf("row %d is %s, want %s", n, got, want)
		}
	}
}

// Every number of a list of numbers is told, whichever way it is written.
func TestNumbersAreAllTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var in []int
		last := 0
		for range rapid.IntRange(1, 30).Draw(t, "how many") {
			last += rapid.SampledFrom([]int{1, 1, 1, 2, 3, 7}).Draw(t, "step")
			in = append(in, last)
		}
		text := words.Numbers("strip set", in)
		told := strings.TrimPrefix(strings.TrimPrefix(text, "strip set"), "s ")
		var out []int
		for _, part := range strings.Split(strings.ReplaceAll(told, " and ", ", "), ", ") {
			var a, b int
			if n, _ := fmt.Sscanf(part, "%d to %d", &a, &b); n == 1 {
				b = a
			}
			for ; a <= b; a++ {
				out = append(out, a)
			}
		}
		if fmt.Sprint(in) != fmt.Sprint(out) {
			t.Fatalf("%v became %q", in, text)
		}
	})
}

// An amount in yards is read back by the reader of lengths, and is what was
// to be bought.
func TestAmountsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
		buy, unit := fabric.BuyLength(rapid.Float64Range(0.1, 9000).Draw(t, "length"), u)
		text := words.Amount(buy, unit)
		number, ok := strings.CutSuffix(text, " "+unit)
		if !ok {
			t.Fatalf("%q has no unit", text)
		}
		got, err := geometry.ParseLength(number, geometry.Inch)
		if err != nil || math.Abs(got.In(geometry.Inch)-buy) > 1e-9 {
			t.Fatalf("%v %s is written %q, which reads %v (%v)", buy, unit, text, got, err)
		}
	})
}

// Held text has no place to break, and loosens to what it was.
func TestHeld(t *testing.T) {
	const text = "4 5/8 in and 12 fat quarters"
	if held := words.Held(text); strings.Contains(held, " ") || words.Loose(held) != text {
		t.Error(held)
	}
	if got, want := words.HeldNumbers("6 diamonds and 1 edge triangle"), "6\u00a0diamonds and 1\u00a0edge triangle"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestSentences(t *testing.T) {
	for text, want := range map[string]string{"": "", "it is too long": "It is too long.", "done.": "Done.", "écru is left": "Écru is left."} {
		if got := words.Sentence(text); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A fraction, whichever part of an inch it is to, is read back by the reader of
// lengths as the nearest such part.
func TestFractionsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SampledFrom([]int64{1, 2, 4, 8, 16, 32, 64}).Draw(t, "parts")
		v := rapid.Float64Range(-100, 100).Draw(t, "length")
		text := geometry.FormatFraction(v, parts)
		got, err := geometry.ParseLength(text, geometry.Inch)
		if want := math.Round(v*float64(parts)) / float64(parts); err != nil || got.In(geometry.Inch) != want {
			t.Fatalf("%v to 1/%d is written %q, which reads %v (%v), not %v", v, parts, text, got.In(geometry.Inch), err, want)
		}
	})
}

// Two fabrics of one name are one to choose from.
func TestAnyFabric(t *testing.T) {
	s := quilt.Spec{
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "a"}, {Cut: 3, Fabric: "b"}, {Cut: 3, Fabric: "c"}},
		Fabrics: []quilt.Fabric{{Key: "a", Name: "Foam"}, {Key: "b", Name: "Foam"}, {Key: "c"}},
	}
	if got, want := words.AnyFabric(s), "Foam or c"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Lines keep to 78 columns unless one word is longer, and lose no word.
func TestWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SliceOf(rapid.StringMatching(`[a-z]{1,90}`)).Draw(t, "words")
		text := words.Wrap("  -", 3, strings.Join(in, " "))
		if got := strings.Fields(text); fmt.Sprint(got[1:]) != fmt.Sprint(in) {
			t.Fatalf("%q came out as %q", in, text)
		}
		for _, line := range strings.Split(text, "\n") {
			if len(line) > 78 && len(strings.Fields(line)) > 1 && len(strings.Fields(line)[0]) > 1 {
				t.Fatalf("%q has %d columns", line, len(line))
			}
		}
	})
}

// A fine ruler is divided to 1/32 in (common practice, no source); what falls
// between its lines is written as other lengths are.
func TestOnRuler(t *testing.T) {
	for v, want := range map[float64]string{0: "0 in", 1.0 / 32: "1/32 in", 5.46875: "5 15/32 in", 5.5: "5 1/2 in", 3.0 / 64: "1/16 in (0.047)", 0.031: "1/32 in"} {
		if got := words.OnRuler(v, geometry.Inch); got != want {
			t.Errorf("%v: %s, want %s", v, got, want)
		}
	}
	if got := words.OnRuler(0.09375, geometry.Centimetre); got != "0.09 cm" {
		t.Error(got)
	}
}
