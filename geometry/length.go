// SPDX-License-Identifier: Apache-2.0

package geometry

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Length is a length as it was written, held as an exact fraction of an
// inch: 2 1/3 in and 6.5 cm are both kept without rounding. The zero value is
// the length 0.
type Length struct {
	inches  *big.Rat // nil is 0; never changed once set
	warning string
}

// In returns the float64 nearest to the length in unit u.
func (l Length) In(u Unit) float64 {
	v, _ := l.exact(u).Float64()
	return v
}

// Warning returns what the person who wrote the length should know about how
// it was read, such as that 21/2 is 10 1/2, or "".
func (l Length) Warning() string { return l.warning }

func (l Length) exact(u Unit) *big.Rat {
	v := new(big.Rat)
	if l.inches != nil {
		v.Set(l.inches)
	}
	return v.Quo(v, lengthUnits[u.String()].inches)
}

// A LengthError says why a text is not a length, and what to write instead.
type LengthError struct {
	Text   string // as given
	Reason string // why it is refused
	Hint   string // what to type
}

// Error returns the text (shortened when it is long), the reason and the hint.
func (e *LengthError) Error() string {
	if strings.TrimSpace(e.Text) == "" {
		return fmt.Sprintf("not a length: %s; %s", e.Reason, e.Hint)
	}
	return fmt.Sprintf("%s is not a length: %s; %s", Quote(e.Text, maxLengthRunes), e.Reason, e.Hint)
}

// Quote puts text, at most so many characters of it, in backquotes, since inch
// and foot marks are quotation marks themselves, and makes visible what can't
// be seen.
func Quote(text string, most int) string {
	if rest := []rune(text); len(rest) > most {
		text = string(rest[:most]) + "…"
	}
	for _, r := range text {
		if !unicode.IsPrint(r) || r == '`' || r == utf8.RuneError {
			return fmt.Sprintf("%+q", text)
		}
	}
	return "`" + text + "`"
}

// maxLengthRunes bounds the text of a length, so that no huge numbers are
// built and every length is finite as a float64. The longest sensible one
// (12 yards 2 feet 11 15/16 inches) takes half of it.
const maxLengthRunes = 64

// ParseLength reads a length as a quilter writes it: a whole number, a
// fraction, a mixed number or a decimal, then its unit: 2 1/2, 2-1/2 in, 2½",
// 2.5, 6.5 cm, 65mm, 5' 3/4". A number without a unit is in unit. Several
// numbers with units add up when they go from the larger unit to the smaller
// (1 yd 9 in). A minus sign in front stands for the whole length.
//
// Only the digits 0 to 9 and one dot make a number, read in base ten (010 is
// 10). Anything that could be read in two ways is refused. Neither sign nor
// size is judged.
//
// The error, if any, is a *[LengthError], and then the Length is 0.
func ParseLength(text string, unit Unit) (Length, error) {
	p := lengthParser{sum: new(big.Rat)}
	plain, bad := plainLength(strings.TrimSpace(text))
	if bad == nil {
		bad = p.read(plain, unit)
	}
	if bad != nil {
		return Length{}, &LengthError{Text: text, Reason: bad.reason, Hint: bad.hint}
	}
	return Length{inches: p.sum, warning: p.warning}, nil
}

// plainSigns gives signs that look alike one form: slashes, hyphens, and the
// marks of inches and feet.
var plainSigns = strings.NewReplacer(
	"\u2044", "/", "\u2215", "/",
	"\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2013", "-",
	"″", `"`, "”", `"`, "“", `"`, "ʺ", `"`,
	"′", "'", "’", "'", "‘", "'", "ʹ", "'", "ʼ", "'")

// oneOver finds U+215F, a 1 and its slash in one character, behind a number.
var oneOver = regexp.MustCompile(`([0-9.]|` + glyph + `)⅟`)

// plainLength returns a trimmed text in plain signs with single blanks.
func plainLength(text string) (string, *slip) {
	switch {
	case text == "":
		return "", &slip{"it is empty", lengthHint}
	case len(text) > utf8.UTFMax*maxLengthRunes || utf8.RuneCountInString(text) > maxLengthRunes:
		return "", &slip{fmt.Sprintf("it is longer than %d characters", maxLengthRunes), "write it with fewer digits"}
	case !utf8.ValidString(text):
		return "", &slip{"it is not UTF-8 text", "save the file as UTF-8, or write the fraction as 1/2 and the marks as in or ft"}
	case strings.ContainsAny(text, "\n\r\v\f\u0085\u2028\u2029"):
		return "", &slip{"it runs over more than one line", "write one length on one line"}
	}
	text = plainSigns.Replace(strings.Join(strings.Fields(text), " "))
	text = oneOver.ReplaceAllString(strings.ReplaceAll(text, "''", `"`), "$1 1/")
	return strings.ReplaceAll(text, "⅟", "1/"), nil
}

// A glyph is a fraction in one character (Unicode's blocks Latin-1 Supplement
// and Number Forms).
const glyph = `[¼½¾⅐-⅞↉]`

var glyphs = map[rune]string{
	'¼': "1/4", '½': "1/2", '¾': "3/4", '⅐': "1/7", '⅑': "1/9", '⅒': "1/10", '⅓': "1/3", '⅔': "2/3",
	'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6",
	'⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '↉': "0/3",
}

// fractionGlyph returns the value of a glyph, nil for any other character.
func fractionGlyph(r rune) *big.Rat {
	v, _ := new(big.Rat).SetString(glyphs[r])
	return v
}

// A lengthUnit is a unit that lengths may be written in.
type lengthUnit struct {
	inches *big.Rat
	metric bool
}

// lengthUnits are the units by their words and marks. A yard is 36 in, an inch
// 2.54 cm, both exactly.
var lengthUnits = func() map[string]lengthUnit {
	units := map[string]lengthUnit{}
	for _, u := range []struct {
		words  string
		inches *big.Rat
		metric bool
	}{
		{`" in ins inch inches`, big.NewRat(1, 1), false},
		{`' ft foot feet`, big.NewRat(12, 1), false},
		{"yd yds yard yards", big.NewRat(36, 1), false},
		{"mm millimetre millimetres millimeter millimeters", big.NewRat(5, 127), true},
		{"cm centimetre centimetres centimeter centimeters", big.NewRat(50, 127), true},
		{"m metre metres meter meters", big.NewRat(5000, 127), true},
	} {
		for _, word := range strings.Fields(u.words) {
			units[word] = lengthUnit{u.inches, u.metric}
		}
	}
	return units
}()

// A lengthParser reads
//
//	length = [minus] (number | part {["-"] part})
//	part   = number ["-"] unit
//	number = digits | glyph | fraction | digits ["-"] (fraction | glyph)
//
// where the hyphens touch what they join.
type lengthParser struct {
	minus   string   // the sign in front, for the warning
	sum     *big.Rat // inches
	warning string
}

var (
	minusPart  = regexp.MustCompile(`^[-−] ?`)
	numberPart = regexp.MustCompile(`^(?:([0-9]+)[ -]?(` + glyph + `)|(?:([0-9]+)[ -])?([0-9]+) ?/ ?([0-9]+)|(` + glyph + `)|([0-9]+\.?[0-9]*|\.[0-9]+))`)
	unitPart   = regexp.MustCompile(`^(?:[ -]?(\pL+)(?:\.([0-9])?)?| ?(["']))`)
	joinedPart = regexp.MustCompile(`^-(?:[0-9.]|` + glyph + `)`) // 5'-3"
)

// read reads a text in plain signs; a number without a unit is in bare.
func (p *lengthParser) read(text string, bare Unit) *slip {
	rest, last := text, ""
	if sign := minusPart.FindString(rest); sign != "" {
		p.minus, rest = "-", rest[len(sign):]
	}
	for rest != "" || last == "" {
		number := numberPart.FindStringSubmatch(rest)
		if number == nil {
			return slipIn(text)
		}
		rest = rest[len(number[0]):]
		word := bare.String()
		if m := unitPart.FindStringSubmatch(rest); m != nil && m[2] == "" {
			word, rest = m[1]+m[3], rest[len(m[0]):]
		} else if rest != "" {
			return slipIn(text)
		} else if last != "" {
			return &slip{"the number after " + last + " has no unit", "give every number its unit, such as 5 ft 3 in"}
		}
		value, bad := p.number(number)
		if bad != nil {
			return bad
		}
		unit, ok := lengthUnits[strings.ToLower(word)]
		if !ok {
			return slipIn(text)
		}
		if before := lengthUnits[strings.ToLower(last)]; last != "" && before.metric != unit.metric {
			return &slip{"it mixes inches with metric units", "write all of it in inches or all of it in cm"}
		} else if last != "" && unit.inches.Cmp(before.inches) >= 0 {
			return &slip{fmt.Sprintf("%s comes after %s", word, last), "write one length, the larger unit first, such as 5 ft 3 in"}
		}
		p.sum.Add(p.sum, value.Mul(value, unit.inches))
		last = word
		if !unit.metric && joinedPart.MatchString(rest) {
			rest = rest[1:]
		}
		rest = strings.TrimPrefix(rest, " ")
	}
	if p.minus != "" {
		p.sum.Neg(p.sum)
	}
	return nil
}

// number returns the value of what numberPart found. In a mixed number the
// fraction is less than 1; alone it may be more, but then a whole number may
// have run into it, which earns a warning.
func (p *lengthParser) number(found []string) (*big.Rat, *slip) {
	whole, above, below := found[1]+found[3]+found[7], found[4], found[5]
	value := decimal(whole)
	for _, r := range found[2] + found[6] {
		value.Add(value, fractionGlyph(r))
	}
	if above == "" {
		return value, nil
	}
	n, d := decimal(above), decimal(below)
	if d.Sign() == 0 {
		return nil, &slip{"the fraction is over zero", oneFraction}
	}
	if n.Cmp(d) >= 0 && whole != "" {
		return nil, &slip{fmt.Sprintf("the fraction %s/%s after the whole number is not less than 1", above, below), "write a whole number and a fraction, such as 2 1/2"}
	}
	value.Add(value, new(big.Rat).Quo(n, d))
	if n.Cmp(d) >= 0 {
		p.warning = fmt.Sprintf("%s%s/%s was read as %s%s", p.minus, above, below, p.minus, mixedNumber(value))
		if split := splitNumerator(above, d); split != "" {
			p.warning += fmt.Sprintf("; if %s%s/%s is meant, put the space in", p.minus, split, below)
		}
	}
	return value, nil
}

// splitNumerator returns 2 1 for the 21 of 21/2: the shortest whole number
// that leaves a fraction less than 1, or "" when there is none.
func splitNumerator(digits string, below *big.Rat) string {
	for i := 1; i < len(digits); i++ {
		if digits[0] != '0' && digits[i] != '0' && decimal(digits[i:]).Cmp(below) < 0 {
			return digits[:i] + " " + digits[i:]
		}
	}
	return ""
}

// decimal returns the value of digits with at most one dot, in base ten
// whatever they begin with.
func decimal(text string) *big.Rat {
	whole, part, _ := strings.Cut(text, ".")
	n, _ := new(big.Int).SetString("0"+whole+part, 10)
	d := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(len(part))), nil)
	return new(big.Rat).SetFrac(n, d)
}
