// SPDX-License-Identifier: Apache-2.0

package geometry

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// writtenLengths are texts that are lengths, and their exact values.
var writtenLengths = []struct {
	text   string
	bare   Unit
	inches string // exact
	source string
}{
	{`5' 3/4"`, Inch, "243/4", "olbrich/ruby-units#276"},
	{`10 3/8 IN.`, Inch, "83/8", "rafelafrance/traiter#8"},
	{`2½`, Inch, "5/2", "jt196/vanilla-cookbook#192"},
	{`2 ½ in`, Inch, "5/2", "jt196/vanilla-cookbook#192"},
	{`2-1/2 in`, Inch, "5/2", "olbrich/ruby-units#276"},
	{`-2 1/2"`, Inch, "-5/2", "angularsen/UnitsNet#72"},
	{`1 ft 2 inches`, Inch, "14", "angularsen/UnitsNet#72"},
	{`¾"`, Inch, "3/4", "DistributedProofreaders/guiguts-py PR#1949"},
	{"1\u20442\"", Inch, "1/2", "Unicode 15.0, 6.2: fraction slash"},
	{"1\u22152\"", Inch, "1/2", "division slash"},
	{`.5"`, Inch, "1/2", "rafelafrance/traiter#8"},
	{`6.5 cm`, Inch, "325/127", "2.54 cm to the inch: 6.5/2.54 = 2.559055"},
	{`65mm`, Centimetre, "325/127", "the same length"},
	{`21/2`, Inch, "21/2", "jt196/vanilla-cookbook#192"},
	{`2 1/2"`, Inch, "5/2", "golang/go#21672: the field a,2 1/2\" of a table"},
	{`010`, Inch, "10", "goccy/go-yaml#894: not octal 8"},
	{`08`, Inch, "8", "go-yaml/yaml#157"},
	{`010/016`, Inch, "5/8", "big.Rat alone reads this as octal 8/14"},
	{`2.50`, Inch, "5/2", "mikefarah/yq#118"},

	{`2 1/2`, Inch, "5/2", "a quilter's mixed number"},
	{`2 1/2`, Centimetre, "125/127", "bare numbers in cm"},
	{`6.5`, Centimetre, "325/127", "bare numbers in cm"},
	{`6.5 in`, Centimetre, "13/2", "a unit wins over the assumed one"},
	{`0`, Inch, "0", "zero"},
	{`-0`, Inch, "0", "zero"},
	{`0/4`, Inch, "0", "zero"},
	{`3.`, Inch, "3", "digits and one dot"},
	{`00.250`, Inch, "1/4", "digits and one dot"},
	{`5.1961524227`, Inch, "51961524227/10000000000", "decimals are exact"},
	{`1/3`, Inch, "1/3", "thirds are exact"},
	{`1 / 2`, Inch, "1/2", "spaces around the slash"},
	{`2 ⅓`, Inch, "7/3", "thirds are exact"},
	{`2-½ in`, Inch, "5/2", "joined by a hyphen"},
	{"2\u20111/2 in", Inch, "5/2", "non-breaking hyphen"},
	{"2\u20131/2 in", Inch, "5/2", "en dash, as word processors set it"},
	{`2 1/2-inch`, Inch, "5/2", "as in 2 1/2-inch strips"},
	{`2½-inch`, Inch, "5/2", "as in 2½-inch strips"},
	{"2\u00a01/2\u00a0in", Inch, "5/2", "no-break space"},
	{"2\u20091/2\u202fin", Inch, "5/2", "thin spaces"},
	{"\t 2   1/2 in\n", Inch, "5/2", "white space around"},
	{"\u22122 1/2", Inch, "-5/2", "minus sign U+2212"},
	{`-¾`, Inch, "-3/4", "minus sign"},
	{`-2-1/2`, Inch, "-5/2", "the sign stands for the mixed number"},
	{`-5' 3"`, Inch, "-63", "the sign stands for the whole length"},
	{`-5mm`, Inch, "-25/127", "spf13/cobra#124"},
	{`2⅟8`, Inch, "17/8", "U+215F"},

	{`2½”`, Inch, "5/2", "curly quotation mark"},
	{`2½″`, Inch, "5/2", "double prime"},
	{`2½''`, Inch, "5/2", "two apostrophes"},
	{`2½’’`, Inch, "5/2", "two curly apostrophes"},
	{`5′ 6½″`, Inch, "133/2", "primes"},
	{`5’ 6½”`, Inch, "133/2", "curly marks"},
	{`5'6"`, Inch, "66", "no space"},
	{`5' 6''`, Inch, "66", "apostrophes only"},
	{`5'-6 1/2"`, Inch, "133/2", "feet and inches joined by a hyphen"},
	{`5 feet 6 in`, Inch, "66", "words"},
	{`1 ft. 2 in.`, Inch, "14", "abbreviations with dots"},
	{`1ft. 2in.`, Inch, "14", "abbreviations with dots"},
	{`1/2 yd`, Inch, "18", "yardage"},
	{`1 yard 9 in`, Inch, "45", "yardage"},
	{`2 Yards`, Inch, "72", "yardage"},
	{`1 yd 1 ft 1 in`, Inch, "49", "36 + 12 + 1"},
	{`1 foot`, Inch, "12", "word"},
	{`3 Inch`, Inch, "3", "word"},
	{`2.54 CM`, Inch, "1", "capitals"},
	{`25.4 MM`, Inch, "1", "capitals"},
	{`1 m`, Inch, "5000/127", "100/2.54"},
	{`1 m 10 cm`, Inch, "5500/127", "110/2.54"},
	{`6 cm 5 mm`, Inch, "325/127", "6.5/2.54"},
}

func TestLengthsAreReadExactly(t *testing.T) {
	for _, c := range writtenLengths {
		l, err := ParseLength(c.text, c.bare)
		if err != nil {
			t.Errorf("%q: %v; source: %s", c.text, err, c.source)
			continue
		}
		if want := rat(t, c.inches); l.exact(Inch).Cmp(want) != 0 {
			t.Errorf("%q = %v in, want %v; source: %s", c.text, l.exact(Inch), want, c.source)
		}
	}
}

func rat(t *testing.T, text string) *big.Rat {
	t.Helper()
	v, ok := new(big.Rat).SetString(text)
	if !ok {
		t.Fatalf("%q is no fraction", text)
	}
	return v
}

// The values are those of the Unicode Character Database, field
// Numeric_Value.
func TestLengthGlyphs(t *testing.T) {
	values := map[rune]string{
		'¼': "1/4", '½': "1/2", '¾': "3/4",
		'⅐': "1/7", '⅑': "1/9", '⅒': "1/10", '⅓': "1/3", '⅔': "2/3",
		'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6",
		'⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '↉': "0/3",
	}
	for r := rune(0); r < 0x3000; r++ {
		value, ok := values[r]
		if !ok {
			if v := fractionGlyph(r); v != nil {
				t.Errorf("%c (%U) reads as %v", r, r, v)
			}
			continue
		}
		for _, text := range []string{"12%c", "12 %c in", "12-%c\"", "  12  %c "} {
			l, err := ParseLength(fmt.Sprintf(text, r), Inch)
			want := rat(t, value)
			want.Add(want, big.NewRat(12, 1))
			if err != nil || l.exact(Inch).Cmp(want) != 0 {
				t.Errorf("%c in %q = %v, %v; want %v", r, text, l.exact(Inch), err, want)
			}
		}
	}
}

// notLengths are texts that must be refused, with a part of the reason or
// the hint that must be given.
var notLengths = []struct{ text, says, source string }{
	{`1/0`, "over zero", "olbrich/ruby-units#276"},
	{`0/0`, "over zero", "olbrich/ruby-units#276"},
	{`1/2/3`, "slash too many", "olbrich/ruby-units#276"},
	{`2 1/2 1/4`, "number too many", "rafelafrance/traiter#8"},
	{`1.5 1/2`, "both decimals and a fraction", "olbrich/ruby-units#276"},
	{`1.5½`, "both decimals and a fraction", "olbrich/ruby-units#276"},
	{`1/2.5`, "both decimals and a fraction", "olbrich/ruby-units#276"},
	{`1.5/2`, "both decimals and a fraction", "olbrich/ruby-units#276"},
	{`2 - 1/2`, "difference", "angularsen/UnitsNet#72"},
	{`2 -1/2`, "difference", "angularsen/UnitsNet#72"},
	{`2- 1/2`, "difference", "angularsen/UnitsNet#72"},
	{"2\u22121/2", "difference", "a true minus sign joins nothing"},
	{`2 3`, "two numbers", "rafelafrance/traiter#8"},
	{`2 3/2`, "not less than 1", "a mixed number's fraction is less than 1"},
	{``, "empty", "rafelafrance/traiter#8"},
	{" \u00a0\t", "empty", "white space only"},

	{`NaN`, "not a number", "golang/go#30990"},
	{`NaN in`, "not a number", "golang/go#30990"},
	{`inf mm`, "not a number", "golang/go#30990"},
	{`-Infinity`, "not a number", "golang/go#30990"},
	{`+Inf`, "plus", "golang/go#30990"},
	{`0x1p-2 in`, "base ten", "golang/go#30990"},
	{`1_000 mm`, "underscore", "golang/go#30990"},
	{`1e400 mm`, "exponent", "stripe/veneur PR#158"},
	{`1e-400 mm`, "exponent", "stripe/veneur PR#158"},
	{`1E3`, "exponent", "stripe/veneur PR#158"},

	{`27" wide`, "wide is not a unit", "golang/go#14525"},
	{`"27" wide`, "begins with a quotation mark", "golang/go#14525"},
	{`1ft.2in.`, "dot after ft", "1 ft 2 in or 1 ft .2 in"},
	{`a,2 1/2"`, "comma", "golang/go#21672: a line that was not split"},
	{"2 1/2\",x\n3\"", "more than one line", "golang/go#21672: rows run together"},
	{`"2 1/2"`, "leave out the quotation marks", "golang/go#21672"},
	{`2 1/2""`, "two marks", "goccy/go-yaml#894"},

	{`0o10`, "base ten", "goccy/go-yaml#894"},
	{`0b1`, "base ten", "goccy/go-yaml#894"},
	{`0x1F`, "base ten", "goccy/go-yaml#894"},
	{`1_000`, "underscore", "goccy/go-yaml#894"},
	{`1e3`, "exponent", "goccy/go-yaml#894"},
	{`2024-01-02`, "date", "go-yaml/yaml#157"},
	{`1/2/2024`, "slash too many", "a date"},
	{`no`, "begin with a number", "ghodss/yaml#66"},
	{`true`, "begin with a number", "ghodss/yaml#66"},
	{`null`, "begin with a number", "ghodss/yaml#66"},
	{`~`, "no place", "ghodss/yaml#66"},
	{`#5`, "comment", "yaml/pyyaml#395"},
	{`.nan`, "dot without digits", "goccy/go-yaml#894"},
	{`.inf`, "dot without digits", "goccy/go-yaml#894"},
	{`6,5`, "write 6.5", "decimal comma"},
	{`6,5 cm`, "write 6.5 cm", "decimal comma"},
	{`1,000 mm`, "write 1000 mm or 1.000 mm", "decimal comma or thousands"},
	{`1,000,000`, "without commas", "thousands"},
	{`1:30`, "colon", "yaml/pyyaml#395"},

	{`.`, "dot without digits", "no digit"},
	{`-`, "no number", "no digit"},
	{`in`, "no number", "no digit"},
	{`/2`, "above its slash", "half a fraction"},
	{`1/`, "below its slash", "half a fraction"},
	{`1/in`, "below its slash", "half a fraction"},
	{`1//2`, "below its slash", "two slashes"},
	{`½/2`, "slash too many", "a fraction of a fraction"},
	{`1/½`, "below its slash", "a fraction of a fraction"},
	{`½½`, "number too many", "two fractions"},
	{`½ 2`, "number too many", "the fraction first"},
	{`1.2.3`, "more than one dot", "a version"},
	{`1/-2`, "below its slash", "a sign inside"},
	{`--5`, "minus sign", "two signs"},
	{`-5' -3"`, "- has no place", "two signs"},
	{`2-3`, "range", "a range"},
	{`2 1/2-3`, "range", "a range"},
	{`2 to 3 in`, "to is not a unit", "a range"},
	{`5 -`, "no place after the number", "a difference cut short"},
	{`1 m-10 cm`, "- has no place", "a hyphen joins feet and inches only"},
	{`+5`, "plus", "a plus sign"},
	{`2+1/2`, "plus", "a sum"},
	{`2 in cm`, "two units", "two units"},
	{`3 cm 2 in`, "mixes", "two systems"},
	{`2 in 3 ft`, "larger unit first", "the smaller unit first"},
	{`2 in 3 in`, "larger unit first", "two lengths"},
	{`5' 6`, "no unit", "inches without their mark"},
	{`1'000`, "no unit", "an apostrophe that parts thousands"},
	{`5'''`, "two units", "three apostrophes"},
	{`1 ft.5 in`, "dot after ft", "1 ft 5 in or 1 ft 1/2 in"},
	{`5 px`, "px is not a unit", "screen units"},
	{`5 km`, "km is not a unit", "no unit for quilts"},
	{`5 in²`, "not one of the digits", "an area"},
	{`5 %`, "no place", "a share"},
	{`$5`, "no place", "a price"},
	{`５`, "not one of the digits 0 to 9", "full-width digit"},
	{`٣ in`, "not one of the digits 0 to 9", "Arabic-Indic digit"},
	{`²`, "not one of the digits 0 to 9", "superscript"},
	{"2\u200b1/2", "invisible", "zero-width space"},
	{"2\x001/2", "invisible", "NUL"},
	{"2\xbd in", "UTF-8", "½ in Latin-1"},
	{`5 3/16 in (5.196)`, "only one of the two", "our own output with its remainder"},
	{strings.Repeat("9", 65), "longer than 64", "absurd digits"},
	{"0." + strings.Repeat("0", 1<<20) + "1", "longer than 64", "absurd digits"},
}

func TestLengthsAreRefused(t *testing.T) {
	for _, c := range notLengths {
		for _, u := range []Unit{Inch, Centimetre} {
			l, err := ParseLength(c.text, u)
			name := Quote(c.text, maxLengthRunes)
			if err == nil {
				t.Errorf("%s was read as %v in; source: %s", name, l.exact(Inch), c.source)
				continue
			}
			if l != (Length{}) {
				t.Errorf("%s: %v beside an error", name, l)
			}
			var bad *LengthError
			if !errors.As(err, &bad) || bad.Text != c.text || bad.Reason == "" || bad.Hint == "" {
				t.Errorf("%s: incomplete error %#v", name, err)
				continue
			}
			if len(err.Error()) > 500 {
				t.Errorf("%s: message of %d bytes", name, len(err.Error()))
			}
			if got := bad.Reason + "; " + bad.Hint; !strings.Contains(got, c.says) {
				t.Errorf("%s: %q does not say %q", name, got, c.says)
			}
		}
	}
}

func TestLengthWarnings(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"21/2", "21/2 was read as 10 1/2; if 2 1/2 is meant, put the space in"},
		{"-21/2 in", "-21/2 was read as -10 1/2; if -2 1/2 is meant, put the space in"},
		{"115/16", "115/16 was read as 7 3/16; if 1 15/16 is meant, put the space in"},
		{"105/8", "105/8 was read as 13 1/8; if 10 5/8 is meant, put the space in"},
		{"3/2", "3/2 was read as 1 1/2"},
		{"8/8 yd", "8/8 was read as 1"},
		{"5' 21/2\"", "21/2 was read as 10 1/2; if 2 1/2 is meant, put the space in"},
		{"2 1/2", ""},
		{"7/8", ""},
		{"10 1/2", ""},
		{"10½", ""},
	} {
		l, err := ParseLength(c.text, Inch)
		if err != nil || l.Warning() != c.want {
			t.Errorf("%q warns %q, %v; want %q", c.text, l.Warning(), err, c.want)
		}
	}
}

func TestLengthZeroValue(t *testing.T) {
	var l Length
	if l.In(Inch) != 0 || l.In(Centimetre) != 0 || l.Warning() != "" {
		t.Errorf("the zero Length is %v in, %v cm, %q", l.In(Inch), l.In(Centimetre), l.Warning())
	}
	if l, err := ParseLength("-0", Inch); err != nil || math.Signbit(l.In(Inch)) {
		t.Errorf("-0 = %v, %v", l.In(Inch), err)
	}
}

func TestLengthErrorMessage(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{`6,5 cm`, "`6,5 cm` is not a length: decimals are written with a point, not a comma; write 6.5 cm"},
		{``, "not a length: it is empty; write it like 2 1/2, 2.5, 2 1/2 in or 6.5 cm"},
		{"2\u200b1/2", `"2\u200b1/2" is not a length: it has an invisible character (U+200B); type it afresh: write it like 2 1/2, 2.5, 2 1/2 in or 6.5 cm`},
	} {
		if _, err := ParseLength(c.text, Inch); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

// The nearest float64 to a decimal number is what strconv gives.
func TestLengthDecimalsAreCorrectlyRounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`-?(0|[1-9][0-9]{0,9})(\.[0-9]{1,20})?`).Draw(t, "text")
		u := Unit(rapid.IntRange(0, 1).Draw(t, "unit"))
		l, err := ParseLength(text, u)
		want, _ := strconv.ParseFloat(text, 64)
		if err != nil || l.In(u) != want {
			t.Fatalf("%s = %v, %v; want %v", text, l.In(u), err, want)
		}
	})
}

// Every way of writing a mixed number gives sign·(whole + n/d)·unit, summed
// here in plain fractions.
func TestLengthMixedNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.Int64Range(0, 999).Draw(t, "whole")
		d := rapid.Int64Range(1, 64).Draw(t, "denominator")
		n := rapid.Int64Range(0, d-1).Draw(t, "numerator")
		join := rapid.SampledFrom([]string{" ", "-", "  ", "\u00a0", "\u2009", "\u2011"}).Draw(t, "join")
		slash := rapid.SampledFrom([]string{"/", "\u2044", "\u2215", " / "}).Draw(t, "slash")
		gap := rapid.SampledFrom([]string{"", " ", "\u202f"}).Draw(t, "gap")
		sign := rapid.SampledFrom([]string{"", "-", "\u2212", "- "}).Draw(t, "sign")
		unit := rapid.SampledFrom([]struct {
			text string
			n, d int64 // inches
		}{
			{text: "", n: 1, d: 1}, {text: "in", n: 1, d: 1}, {text: "\"", n: 1, d: 1}, {text: "″", n: 1, d: 1}, {text: "''", n: 1, d: 1},
			{text: "'", n: 12, d: 1}, {text: "′", n: 12, d: 1}, {text: "FT.", n: 12, d: 1}, {text: "yds", n: 36, d: 1},
			{text: "mm", n: 10, d: 254}, {text: "Cm", n: 100, d: 254}, {text: "m", n: 10000, d: 254},
		}).Draw(t, "unit")
		text := fmt.Sprintf("%s%d%s%d%s%d%s%s", sign, whole, join, n, slash, d, gap, unit.text)
		want := big.NewRat(n, d)
		want.Add(want, big.NewRat(whole, 1)).Mul(want, big.NewRat(unit.n, unit.d))
		if sign != "" {
			want.Neg(want)
		}
		l, err := ParseLength(text, Inch)
		if err != nil || l.exact(Inch).Cmp(want) != 0 || l.Warning() != "" {
			t.Fatalf("%q = %v, %v, %q; want %v", text, l.exact(Inch), err, l.Warning(), want)
		}
	})
}

func TestFormatLength(t *testing.T) {
	for _, c := range []struct {
		v    float64
		u    Unit
		want string
	}{
		{2.5, Inch, "2 1/2 in"},
		{0.375, Inch, "3/8 in"},
		{5, Inch, "5 in"},
		{0, Inch, "0 in"},
		{math.Copysign(0, -1), Inch, "0 in"},
		{-2.5, Inch, "-2 1/2 in"},
		{-0.375, Inch, "-3/8 in"},
		{0.0625, Inch, "1/16 in"},
		{0.5, Inch, "1/2 in"},
		{0.75, Inch, "3/4 in"},
		{0.9375, Inch, "15/16 in"},
		{3 * math.Sqrt(3), Inch, "5 3/16 in (5.196)"},
		{-3 * math.Sqrt(3), Inch, "-5 3/16 in (-5.196)"},
		{5.2, Inch, "5 3/16 in (5.200)"},
		{0.98, Inch, "1 in (0.980)"},    // 15.68/16
		{7.99, Inch, "8 in (7.990)"},    // carry
		{-7.99, Inch, "-8 in (-7.990)"}, // carry
		{9.9996, Inch, "10 in"},
		{0.03125, Inch, "1/16 in (0.031)"}, // half of a sixteenth
		{-0.03125, Inch, "-1/16 in (-0.031)"},
		{0.02, Inch, "0 in (0.020)"},
		{-0.02, Inch, "0 in (-0.020)"},
		{5 + 1e-10, Inch, "5 in"},
		{5.00049, Inch, "5 in"},
		{5.0005, Inch, "5 in (5.001)"}, // as a float64 it is just less
		{4.9995, Inch, "5 in (5.000)"},
		{1.0355, Inch, "1 1/16 in (1.036)"}, // as a float64 1.03549999…
		{-0.0001, Inch, "0 in"},
		{5e-324, Inch, "0 in"},
		{1 << 60, Inch, "1152921504606846976 in"},
		{12.7, Centimetre, "12.7 cm"},
		{6.5, Centimetre, "6.5 cm"},
		{100, Centimetre, "100 cm"},
		{0.05, Centimetre, "0.05 cm"},
		{2.675, Centimetre, "2.68 cm"}, // as a float64 2.67499999…
		{1.005, Centimetre, "1.01 cm"}, // as a float64 1.00499999…
		{-1.005, Centimetre, "-1.01 cm"},
		{9.995, Centimetre, "10 cm"},
		{0.004, Centimetre, "0 cm"},
		{-0.004, Centimetre, "0 cm"},
		{0, Centimetre, "0 cm"},
		{math.Copysign(0, -1), Centimetre, "0 cm"},
		{3 * math.Sqrt(3), Centimetre, "5.2 cm"},
		{math.NaN(), Inch, "not a length"},
		{math.Inf(1), Inch, "not a length"},
		{math.Inf(-1), Centimetre, "not a length"},
	} {
		if got := FormatLength(c.v, c.u); got != c.want {
			t.Errorf("FormatLength(%v, %v) = %q, want %q", c.v, c.u, got, c.want)
		}
		want := strings.Replace(c.want, " "+c.u.String(), "", 1)
		if got := FormatNumber(c.v, c.u); got != want {
			t.Errorf("FormatNumber(%v, %v) = %q, want %q", c.v, c.u, got, want)
		}
	}
	for _, u := range []Unit{Inch, Centimetre} {
		if got := FormatLength(math.MaxFloat64, u); len(got) != 309+3 {
			t.Errorf("the largest float64 prints as %s", got)
		}
	}
}

// What is printed of a multiple of 1/16 in or of 0.01 cm reads back as the
// same value, with and without its unit.
func TestFormatLengthReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-1<<50, 1<<50).Draw(t, "n")
		for _, c := range []struct {
			u     Unit
			v     float64
			exact *big.Rat
		}{
			{Inch, float64(n) / 16, big.NewRat(n, 16)},
			{Centimetre, float64(n) / 100, big.NewRat(n, 100)},
		} {
			for _, text := range []string{FormatLength(c.v, c.u), FormatNumber(c.v, c.u)} {
				l, err := ParseLength(text, c.u)
				if err != nil || l.In(c.u) != c.v || l.exact(c.u).Cmp(c.exact) != 0 || l.Warning() != "" {
					t.Fatalf("%v %v prints as %q and reads as %v, %v", c.v, c.u, text, l.exact(c.u), err)
				}
			}
		}
	})
}

// What is printed lies within half of the last place of the value, and the
// remainder is there exactly when it shows.
func TestFormatLengthIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e4, 1e4).Draw(t, "v")
		number, note, noted := strings.Cut(FormatLength(v, Inch), " (")
		l, err := ParseLength(number, Inch)
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(v - l.In(Inch))
		if off > 1.0/32+1e-12 {
			t.Fatalf("%v prints as %s", v, number)
		}
		if noted != (off >= 0.0005) && math.Abs(off-0.0005) > 1e-11 {
			t.Fatalf("%v prints as %s (%s", v, number, note)
		}
		if noted {
			if d, err := strconv.ParseFloat(strings.TrimSuffix(note, ")"), 64); err != nil || math.Abs(d-v) > 0.0005+1e-11 {
				t.Fatalf("%v prints as %s (%s", v, number, note)
			}
		}
		l, err = ParseLength(FormatLength(v, Centimetre), Inch)
		if err != nil || math.Abs(l.In(Centimetre)-v) > 0.005+1e-11 {
			t.Fatalf("%v cm prints as %s: %v", v, FormatLength(v, Centimetre), err)
		}
	})
}
