// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// lookalikes are the Greek and Cyrillic letters that print like a letter of
// the English alphabet, each with that one behind it: the pairs of Unicode
// Technical Standard #39, Unicode Security Mechanisms. Keyboards of two
// alphabets slip from one into the other.
const lookalikes = "ͺi ͿJ ΑA ΒB ΕE ΖZ ΗH ΙI ΚK ΜM ΝN ΟO ΡP ΤT ΥY ΧX αa γy ιi νv οo ρp σo υu ϒY ϜF ϱp ϲc ϳj ϹC ϺM " +
	"ЅS ІI ЈJ АA ВB ЕE КK МM НH ОO РP СC ТT УY ХX Ьb аa гr еe оo рp сc уy хx ѕs іi јj ѡw ѴV ѵv ҮY үy һh ҽe ӀI ӏi ԁd ԌG ԛq ԜW ԝw"

// plainLetter returns the letter that r looks like, or r. Letters of another
// width or style (Unicode Standard Annex #15, compatibility) look like theirs.
func plainLetter(r rune) rune {
	if r < unicode.MaxASCII {
		return r
	}
	if at := strings.IndexRune(lookalikes, r); at >= 0 {
		return rune(lookalikes[at+len(string(r))])
	}
	if plain := []rune(norm.NFKC.String(string(r))); len(plain) == 1 && unicode.IsLetter(plain[0]) {
		return plain[0]
	}
	return r
}

// meant asks whether a word is meant by text, or is other where near is "". A
// letter that only looks like another is named.
func meant(text, near, other string) (hint string) {
	if near == "" {
		return stranger(text) + other
	}
	return stranger(text) + fmt.Sprintf("is %s meant?", show(near))
}

// stranger names the first letter of a text that only looks like another, or
// is "".
func stranger(text string) string {
	for i, r := range []rune(text) {
		if plain := plainLetter(r); plain != r && plain < unicode.MaxASCII {
			return fmt.Sprintf("letter %d is %c (%U%s), which only looks like %c; ", i+1, r, r, scriptOf(r), plain)
		}
	}
	return ""
}

func scriptOf(r rune) string {
	switch {
	case unicode.Is(unicode.Cyrillic, r):
		return ", Cyrillic"
	case unicode.Is(unicode.Greek, r):
		return ", Greek"
	}
	return ""
}
