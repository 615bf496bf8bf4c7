// SPDX-License-Identifier: Apache-2.0

package spreadsheet

import (
	"regexp"
	"strconv"
	"strings"

	"lozenge/cmd/internal/problem"
)

// dates match what a spreadsheet saves for 1/2, 3/8, 1/32 or 2.5 once it took
// them for a day: numbers alone, or with the short name of a month in one of
// the languages of western Europe.
var dates = func() *regexp.Regexp {
	month := `(?:jan|jän|ene|gen|feb|f[ée]v|mar|mär|mrz|mrt|maa|abr|apr|avr|ma[iyj]|mag|jun|jui|giu|jul|lug|aug|ago|ao[uû]|sep|set|o[ck]t|out|ott|nov|d[eéi][czs])\pL?\.?`
	year := `(?:\d\d|\d{4})`
	forms := []string{
		`\d{1,2}[-./ ]{1,2}` + month + `(?:[-./ ]{1,2}` + year + `)?`,
		month + `[-./ ]{1,2}` + `(?:\d|` + year + `)`,
	}
	for _, by := range []string{`-`, `\.`, `/`} {
		forms = append(forms, `\d{1,2}`+by+`\d{1,2}`+by+year, `\d{4}`+by+`\d{1,2}`+by+`\d{1,2}`)
	}
	return regexp.MustCompile(`(?i)^(?:` + strings.Join(forms, "|") + `)(?:[ T]0?0:00(?::00)?)?$`)
}()

// isDate reports whether a text that is no number is a date.
func isDate(text string) bool { return dates.MatchString(text) }

// isDay reports whether a text is a date as spreadsheets count them, in days
// from the end of 1899, of 1930 to 2099: the years that they give a date
// without one, or with two digits. As a length it would be longer than any bolt.
func isDay(text string) bool {
	n, err := strconv.Atoi(text)
	return err == nil && n >= 10_959 && n <= 73_050
}

// failDate notes that a cell is a date.
func (r Row) failDate(column, text string) {
	r.Fail(column, column+": "+problem.Show(text)+" is a date that the spreadsheet made of a number",
		"format the column as text, then type the number again")
}
