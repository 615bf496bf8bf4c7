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
	if u == Centimetre {
		v.Quo(v, inchesPerCentimetre())
	}
	return v
}

func inchesPerCentimetre() *big.Rat { return big.NewRat(50, 127) }

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
	return fmt.Sprintf("%s is not a length: %s; %s", quoteLength(e.Text), e.Reason, e.Hint)
}

// quoteLength puts text in backquotes, since inch and foot marks are quotation
// marks themselves, and makes visible what can't be seen.
func quoteLength(text string) string {
	if rest := []rune(text); len(rest) > maxLengthRunes {
		text = string(rest[:maxLengthRunes]) + "…"
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

// The usual advice, where nothing more to the point can be said.
const lengthHint = "write it like 2 1/2, 2.5, 2 1/2 in or 6.5 cm"

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
	refuse := func(reason, hint string) (Length, error) {
		return Length{}, &LengthError{Text: text, Reason: reason, Hint: hint}
	}
	t := strings.TrimSpace(text)
	if reason, hint := slipInLength(t); reason != "" {
		return refuse(reason, hint)
	}
	tokens, bad := lexLength(t)
	if bad != nil {
		return refuse(bad.reason, bad.hint)
	}
	p := lengthParser{tokens: tokens}
	inches, bad := p.length(unit)
	if bad != nil {
		return refuse(bad.reason, bad.hint)
	}
	return Length{inches: inches, warning: p.warning}, nil
}

// A slip is why a text is refused and what to write instead.
type slip struct{ reason, hint string }

var (
	decimalComma = regexp.MustCompile(`^[^,]*[0-9],([0-9]+)[^,]*$`)
	exponent     = regexp.MustCompile(`[0-9.][eE][-+−]?[0-9]`)
	otherBase    = regexp.MustCompile(`(^|[^0-9.])0[xXoObB][0-9a-fA-F]`)
)

// slipInLength recognises whole texts that are often met and never a length,
// and says about them what the grammar can't. Text is trimmed.
func slipInLength(text string) (reason, hint string) {
	switch {
	case text == "":
		return "it is empty", lengthHint
	case len(text) > utf8.UTFMax*maxLengthRunes || utf8.RuneCountInString(text) > maxLengthRunes:
		return fmt.Sprintf("it is longer than %d characters", maxLengthRunes), "write it with fewer digits"
	case !utf8.ValidString(text):
		return "it is not UTF-8 text", "save the file as UTF-8, or write the fraction as 1/2 and the marks as in or ft"
	case strings.ContainsAny(text, "\n\r\v\f\u0085\u2028\u2029"):
		return "it runs over more than one line", "write one length on one line"
	case decimalComma.MatchString(text):
		point := strings.Replace(text, ",", ".", 1)
		if len(decimalComma.FindStringSubmatch(text)[1]) == 3 {
			return "a comma can be a decimal point or part thousands", "write " + strings.Replace(text, ",", "", 1) + " or " + point
		}
		return "decimals are written with a point, not a comma", "write " + point
	case strings.Contains(text, ","):
		return "it has a comma", "write one length, without commas"
	case strings.Contains(text, "_"):
		return "it has an underscore", "write the digits without a break"
	case exponent.MatchString(text):
		return "it is written with an exponent", "write all the digits out, such as 1000 or 0.001"
	case otherBase.MatchString(text):
		return "it is not in base ten", "write it in base ten, such as 10"
	case strings.Contains(text, ":"):
		return "it has a colon, like a time or a ratio", lengthHint
	case strings.ContainsAny(text, "()"):
		return "it has brackets", "write only one of the two: the fraction or the decimal number"
	case strings.Contains(text, "+"):
		return "it has a plus sign", "leave the plus sign out and write the sum"
	case isInchMark([]rune(text)[0]) || isFootMark([]rune(text)[0]):
		return "it begins with a quotation mark", "leave out the quotation marks around it"
	}
	return "", ""
}

func isInchMark(r rune) bool { return strings.ContainsRune("\"″”“ʺ", r) }
func isFootMark(r rune) bool { return strings.ContainsRune("'′’‘ʹʼ", r) }

type lengthTokenKind int

const (
	lengthEnd    lengthTokenKind = iota
	lengthDigits                 // digits with at most one dot
	lengthGlyph                  // a fraction in one character
	lengthSlash
	lengthHyphen // joins 2-1/2; in front, a minus sign
	lengthMinus  // U+2212, which joins nothing
	lengthUnit
)

// A lengthToken is a word of a written length.
type lengthToken struct {
	kind   lengthTokenKind
	text   string
	spaced bool     // white space stands before it
	value  *big.Rat // of a glyph
	unit   lengthScale
}

// A lengthScale is a unit that lengths may be written in.
type lengthScale struct {
	inches *big.Rat
	metric bool
	word   bool // written with letters
}

// lexLength splits a text into tokens; the last is lengthEnd.
func lexLength(text string) ([]lengthToken, *slip) {
	rs := []rune(text)
	var tokens []lengthToken
	spaced := false
	// run returns the end of the characters from i on for which ok holds.
	run := func(i int, ok func(rune) bool) int {
		for i < len(rs) && ok(rs[i]) {
			i++
		}
		return i
	}
	isDigit := func(r rune) bool { return '0' <= r && r <= '9' }
	for i := 0; i < len(rs); {
		r, end := rs[i], i+1
		tok := lengthToken{spaced: spaced}
		switch {
		case unicode.IsSpace(r):
			spaced = true
			i = end
			continue
		case isDigit(r) || r == '.':
			end = run(i, func(r rune) bool { return isDigit(r) || r == '.' })
			tok.kind = lengthDigits
			number := string(rs[i:end])
			if strings.Count(number, ".") > 1 {
				return nil, &slip{number + " has more than one dot", lengthHint}
			}
			if number == "." {
				return nil, &slip{"a dot without digits is no number", lengthHint}
			}
		case r == '⅟': // U+215F, a 1 and its slash in one character
			tokens = append(tokens, lengthToken{kind: lengthDigits, text: "1", spaced: spaced})
			tok.kind, tok.spaced = lengthSlash, false
		case fractionGlyph(r) != nil:
			tok.kind, tok.value = lengthGlyph, fractionGlyph(r)
		case strings.ContainsRune("/\u2044\u2215", r):
			tok.kind = lengthSlash
		case strings.ContainsRune("-\u2010\u2011\u2012\u2013", r):
			tok.kind = lengthHyphen
		case r == '\u2212':
			tok.kind = lengthMinus
		case isInchMark(r):
			tok.kind, tok.unit = lengthUnit, lengthScale{inches: big.NewRat(1, 1)}
		case isFootMark(r) && end < len(rs) && isFootMark(rs[end]):
			end++
			tok.kind, tok.unit = lengthUnit, lengthScale{inches: big.NewRat(1, 1)}
		case isFootMark(r):
			tok.kind, tok.unit = lengthUnit, lengthScale{inches: big.NewRat(12, 1)}
		case unicode.IsLetter(r):
			end = run(i, unicode.IsLetter)
			word := string(rs[i:end])
			scale, ok := unitWord(word)
			if !ok {
				return nil, unknownWord(word, len(tokens) == 0)
			}
			tok.kind, tok.unit = lengthUnit, scale
			if end < len(rs) && rs[end] == '.' {
				if end+1 < len(rs) && isDigit(rs[end+1]) {
					return nil, &slip{"the dot after " + word + " can end the word or begin a decimal number", "put a space on one side of the dot"}
				}
				end++
			}
		case r == '#' && i == 0:
			return nil, &slip{"# begins a comment or a colour", lengthHint}
		case unicode.IsDigit(r) || unicode.IsNumber(r):
			return nil, &slip{fmt.Sprintf("%c is not one of the digits 0 to 9", r), lengthHint}
		case unicode.IsPrint(r):
			return nil, &slip{fmt.Sprintf("%c has no place in a length", r), lengthHint}
		default:
			return nil, &slip{fmt.Sprintf("it has an invisible character (%U)", r), "type it afresh: " + lengthHint}
		}
		tok.text = string(rs[i:end])
		tokens = append(tokens, tok)
		spaced = false
		i = end
	}
	return append(tokens, lengthToken{kind: lengthEnd}), nil
}

func unknownWord(word string, first bool) *slip {
	switch strings.ToLower(word) {
	case "nan", "inf", "infinity":
		return &slip{word + " is not a number of inches or centimetres", lengthHint}
	}
	if first {
		return &slip{"it does not begin with a number", lengthHint}
	}
	return &slip{word + " is not a unit of length known here", "use in, ft, yd, mm, cm or m"}
}

// fractionGlyph returns the value of a fraction that is one character
// (Unicode's blocks Latin-1 Supplement and Number Forms), or nil.
func fractionGlyph(r rune) *big.Rat {
	var n, d int64
	switch r {
	case '¼':
		n, d = 1, 4
	case '½':
		n, d = 1, 2
	case '¾':
		n, d = 3, 4
	case '⅐':
		n, d = 1, 7
	case '⅑':
		n, d = 1, 9
	case '⅒':
		n, d = 1, 10
	case '⅓', '⅔':
		n, d = int64(r-'⅓')+1, 3
	case '⅕', '⅖', '⅗', '⅘':
		n, d = int64(r-'⅕')+1, 5
	case '⅙':
		n, d = 1, 6
	case '⅚':
		n, d = 5, 6
	case '⅛', '⅜', '⅝', '⅞':
		n, d = 2*int64(r-'⅛')+1, 8
	case '↉':
		n, d = 0, 3
	default:
		return nil
	}
	return big.NewRat(n, d)
}

// unitWord returns the unit that a word means. A yard is 36 in, an inch
// 2.54 cm, both exactly.
func unitWord(word string) (lengthScale, bool) {
	customary := func(inches int64) (lengthScale, bool) {
		return lengthScale{inches: big.NewRat(inches, 1), word: true}, true
	}
	metric := func(mm int64) (lengthScale, bool) {
		return lengthScale{inches: big.NewRat(mm*5, 127), metric: true, word: true}, true
	}
	switch strings.ToLower(word) {
	case "in", "ins", "inch", "inches":
		return customary(1)
	case "ft", "foot", "feet":
		return customary(12)
	case "yd", "yds", "yard", "yards":
		return customary(36)
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters":
		return metric(1)
	case "cm", "centimetre", "centimetres", "centimeter", "centimeters":
		return metric(10)
	case "m", "metre", "metres", "meter", "meters":
		return metric(1000)
	}
	return lengthScale{}, false
}

// A lengthParser reads
//
//	length = [minus] (number | part {["-"] part})
//	part   = number ["-"] unit
//	number = digits | glyph | fraction | digits ["-"] (fraction | glyph)
//
// where the hyphens touch what they join.
type lengthParser struct {
	tokens  []lengthToken
	at      int
	minus   string // the sign in front, for the warning
	warning string
}

// peek returns the token n places on.
func (p *lengthParser) peek(n int) lengthToken {
	return p.tokens[min(p.at+n, len(p.tokens)-1)]
}

// tightHyphen reports whether token n is a hyphen that touches both neighbours.
func (p *lengthParser) tightHyphen(n int) bool {
	t := p.peek(n)
	return t.kind == lengthHyphen && !t.spaced && !p.peek(n+1).spaced
}

func (p *lengthParser) length(bare Unit) (*big.Rat, *slip) {
	if k := p.peek(0).kind; k == lengthHyphen || k == lengthMinus {
		p.minus = "-"
		p.at++
	}
	sum := new(big.Rat)
	var last *lengthToken // the unit before
	for p.peek(0).kind != lengthEnd || last == nil {
		value, bad := p.number()
		if bad != nil {
			return nil, bad
		}
		if p.tightHyphen(0) && p.peek(1).unit.word { // 2 1/2-inch
			p.at++
		}
		t := p.peek(0)
		if t.kind != lengthUnit {
			if last != nil {
				return nil, &slip{"the number after " + last.text + " has no unit", "give every number its unit, such as 5 ft 3 in"}
			}
			if t.kind != lengthEnd {
				return nil, &slip{t.text + " has no place after the number", lengthHint}
			}
			if bare == Centimetre {
				value.Mul(value, inchesPerCentimetre())
			}
			sum = value
			break
		}
		if last != nil {
			if t.unit.metric != last.unit.metric {
				return nil, &slip{"it mixes inches with metric units", "write all of it in inches or all of it in cm"}
			}
			if t.unit.inches.Cmp(last.unit.inches) >= 0 {
				return nil, &slip{fmt.Sprintf("%s comes after %s", t.text, last.text), "write one length, the larger unit first, such as 5 ft 3 in"}
			}
		}
		last = &t
		sum.Add(sum, value.Mul(value, t.unit.inches))
		p.at++
		if next := p.peek(0); next.kind == lengthUnit {
			if next.text == t.text && !t.unit.word {
				return nil, &slip{"it has two marks in a row", "write the mark once, or the word in or ft; if quotation marks have to stand around it, use single ones"}
			}
			return nil, &slip{fmt.Sprintf("it has two units in a row, %s and %s", t.text, next.text), "keep one of them"}
		}
		if p.tightHyphen(0) && !t.unit.metric && p.isNumber(1) { // 5'-3"
			p.at++
		}
	}
	if p.minus != "" {
		sum.Neg(sum)
	}
	return sum, nil
}

// isNumber reports whether a number begins at token n.
func (p *lengthParser) isNumber(n int) bool {
	k := p.peek(n).kind
	return k == lengthDigits || k == lengthGlyph
}

// number reads one number and makes sure that no second one touches it.
func (p *lengthParser) number() (*big.Rat, *slip) {
	first := p.peek(0)
	var value *big.Rat
	switch first.kind {
	case lengthGlyph:
		value = first.value
		p.at++
	case lengthDigits:
		p.at++
		if p.peek(0).kind == lengthSlash {
			var bad *slip
			if value, bad = p.fraction(first, false); bad != nil {
				return nil, bad
			}
			break
		}
		value = decimal(first.text)
		part, bad := p.fractionAfter(first)
		if bad != nil {
			return nil, bad
		}
		if part != nil {
			value.Add(value, part)
		}
	case lengthSlash:
		return nil, &slip{"the fraction has nothing above its slash", lengthHint}
	case lengthHyphen, lengthMinus:
		return nil, &slip{first.text + " has no place there", "put one minus sign in front of the whole length, or none"}
	case lengthUnit:
		return nil, &slip{"no number stands before " + first.text, lengthHint}
	default:
		return nil, &slip{"it has no number", lengthHint}
	}
	switch next := p.peek(0); {
	case next.kind == lengthSlash:
		return nil, &slip{"it has a slash too many", "write one fraction, such as 3/8 or 2 3/8"}
	case p.isNumber(0):
		return nil, &slip{"it has a number too many, " + next.text, lengthHint}
	case (next.kind == lengthHyphen || next.kind == lengthMinus) && p.isNumber(1):
		return nil, &slip{"it has a difference or a range", "write the one length that is meant"}
	}
	return value, nil
}

// fractionAfter reads the fraction that makes the number whole a mixed one,
// if there is one: 1/2, -1/2, ½ or -½.
func (p *lengthParser) fractionAfter(whole lengthToken) (*big.Rat, *slip) {
	n := 0
	dash := p.peek(0).kind == lengthHyphen || p.peek(0).kind == lengthMinus
	if dash {
		n = 1
	}
	if !p.isNumber(n) {
		return nil, nil
	}
	head := p.peek(n)
	isFraction := head.kind == lengthGlyph || p.peek(n+1).kind == lengthSlash
	switch {
	case !isFraction && dash:
		return nil, &slip{"it is a date, a range or a difference", "write the one length that is meant"}
	case !isFraction:
		return nil, &slip{fmt.Sprintf("%s and %s are two numbers", whole.text, head.text), "write a whole number and a fraction, such as 2 1/2, or one decimal number"}
	case strings.Contains(whole.text, "."):
		return nil, &slip{"it has both decimals and a fraction", "write 1 1/2 or 1.5"}
	case dash && !p.tightHyphen(0):
		return nil, &slip{"it can be a mixed number or a difference", "write 2 1/2 for two and a half, or the one length that is meant"}
	}
	p.at += n + 1
	if head.kind == lengthGlyph {
		return head.value, nil
	}
	return p.fraction(head, true)
}

// fraction reads from the slash on. In a mixed number the fraction is less
// than 1; alone it may be more, but then a whole number may have run into it,
// which earns a warning.
func (p *lengthParser) fraction(above lengthToken, mixed bool) (*big.Rat, *slip) {
	below := p.peek(1)
	p.at += 2
	if below.kind != lengthDigits {
		return nil, &slip{"the fraction has no whole number below its slash", "write one fraction, such as 3/8 or 2 3/8"}
	}
	if strings.Contains(above.text+below.text, ".") {
		return nil, &slip{"it has both decimals and a fraction", "write 1 1/2 or 1.5"}
	}
	n, d := decimal(above.text), decimal(below.text)
	if d.Sign() == 0 {
		return nil, &slip{"the fraction is over zero", "write one fraction, such as 3/8 or 2 3/8"}
	}
	value := n.Quo(n, d)
	if value.Cmp(big.NewRat(1, 1)) < 0 {
		return value, nil
	}
	if mixed {
		return nil, &slip{fmt.Sprintf("the fraction %s/%s after the whole number is not less than 1", above.text, below.text), "write a whole number and a fraction, such as 2 1/2"}
	}
	p.warning = fmt.Sprintf("%s%s/%s was read as %s%s", p.minus, above.text, below.text, p.minus, mixedNumber(value))
	if split := splitNumerator(above.text, d); split != "" {
		p.warning += fmt.Sprintf("; if %s%s/%s is meant, put the space in", p.minus, split, below.text)
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
