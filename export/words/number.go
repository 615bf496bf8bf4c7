// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"strings"
)

// Count writes a number with its noun: "1 diamond", "3 diamonds".
func Count(n int, noun string) string { return fmt.Sprintf("%d %s", n, Noun(n, noun)) }

// Noun returns the noun as it stands behind the number n: "diamonds" for 0 and
// 3, "diamond" for 1.
func Noun(n int, noun string) string {
	switch {
	case n == 1:
		return noun
	case strings.HasSuffix(noun, "s"), strings.HasSuffix(noun, "ch"):
		return noun + "es"
	}
	return noun + "s"
}

// Verb returns the verb that goes with n of something.
func Verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// A puts the article before a noun: "a diamond", "an edge triangle".
func A(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// List writes "a", "a and b", "a, b and c".
func List[T any](items []T) string { return list(items, " and ") }

// Either writes "a", "a or b", "a, b or c".
func Either[T any](items []T) string { return list(items, " or ") }

func list[T any](items []T, last string) string {
	var b strings.Builder
	for i, item := range items {
		switch {
		case i == 0:
		case i == len(items)-1:
			b.WriteString(last)
		default:
			b.WriteString(", ")
		}
		fmt.Fprint(&b, item)
	}
	return b.String()
}

// Numbers writes a noun with the numbers of those that are meant, which rise:
// "cut 3", "strip sets 1 to 4 and 9".
func Numbers(noun string, n []int) string {
	return Noun(len(n), noun) + " " + NumberList(n)
}

// NumberList is Numbers without the noun, "" for none.
func NumberList(n []int) string {
	var parts []string
	for i := 0; i < len(n); {
		k := 1
		for i+k < len(n) && n[i+k] == n[i]+k {
			k++
		}
		if k < 3 {
			k = 1
		}
		parts = append(parts, Span(n[i], n[i+k-1]))
		i += k
	}
	return List(parts)
}

// Span writes the numbers from first to last: "3", "1 and 2", "1 to 11".
func Span(first, last int) string {
	switch last - first {
	case 0:
		return fmt.Sprint(first)
	case 1:
		return fmt.Sprintf("%d and %d", first, last)
	}
	return fmt.Sprintf("%d to %d", first, last)
}

// Ordinal writes "1st", "2nd", "3rd", "4th", "11th".
func Ordinal(n int) string {
	end := "th"
	if n%100/10 != 1 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return fmt.Sprint(n, end)
}

// Letters counts A to Z, AA, AB and so on, from 0.
func Letters(n int) string {
	s := string(rune('A' + n%26))
	if n >= 26 {
		return Letters(n/26-1) + s
	}
	return s
}
