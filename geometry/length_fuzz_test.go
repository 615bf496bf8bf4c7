// SPDX-License-Identifier: Apache-2.0

package geometry

import (
	"math"
	"math/big"
	"strings"
	"testing"
	"unicode/utf8"
)

// Whatever the text: either a *LengthError that is complete and no length, or
// a finite length that is the same in inches and centimetres, whose negative
// is read with a minus sign in front, and which white space and capitals do
// not change. Run with
//
//	go test ./geometry -run '^$' -fuzz FuzzParseLength -fuzztime 20s
func FuzzParseLength(f *testing.F) {
	for _, c := range writtenLengths {
		f.Add(c.text, c.bare == Centimetre)
	}
	for _, c := range notLengths {
		if len(c.text) < 100 {
			f.Add(c.text, false)
		}
	}
	f.Fuzz(func(t *testing.T, text string, metric bool) {
		u := Inch
		if metric {
			u = Centimetre
		}
		l, err := ParseLength(text, u)
		if err != nil {
			bad, ok := err.(*LengthError)
			if !ok || bad.Text != text || bad.Reason == "" || bad.Hint == "" || !utf8.ValidString(err.Error()) {
				t.Fatalf("%q: error %#v", text, err)
			}
			if l != (Length{}) || len(err.Error()) > 1000 {
				t.Fatalf("%q: %v beside %d bytes of error", text, l, len(err.Error()))
			}
			return
		}
		in, cm := l.exact(Inch), l.exact(Centimetre)
		if in.Mul(in, big.NewRat(254, 100)).Cmp(cm) != 0 {
			t.Fatalf("%q: %v cm in inches, %v cm", text, in, cm)
		}
		for _, u := range []Unit{Inch, Centimetre} {
			if v := l.In(u); math.IsInf(v, 0) || math.IsNaN(v) || v == 0 && cm.Sign() != 0 {
				t.Fatalf("%q = %v %v", text, v, u)
			}
			if s := FormatLength(l.In(u), u); s == notALength {
				t.Fatalf("%q prints as %s", text, s)
			}
		}
		trimmed := strings.TrimSpace(text)
		same := map[string]*big.Rat{"\t " + text + "\u00a0": cm, strings.ToUpper(trimmed): cm}
		if trimmed[0] != '-' && trimmed[0] != 0xe2 && utf8.RuneCountInString(trimmed) < maxLengthRunes {
			same["-"+trimmed] = new(big.Rat).Neg(cm)
		}
		for other, want := range same {
			m, err := ParseLength(other, u)
			if err != nil || m.exact(Centimetre).Cmp(want) != 0 {
				t.Fatalf("%q is %v cm, but %q is %v, %v", text, cm, other, m.exact(Centimetre), err)
			}
		}
	})
}
