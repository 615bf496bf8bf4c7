// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry/sewing"
)

var joinWords = regexp.MustCompile(`\b([A-Z]+)(?:-([A-Z]+))? to ([A-Z]+)(?:-([A-Z]+))?\b`)

// The booklet joins rows as the sewing order does and calls them by the same
// letters, size after size.
func TestBookletJoinsAsTheSewingOrder(t *testing.T) {
	outside.Cases(t, 25, 100)
	rapid.Check(t, func(t *rapid.T) {
		sizes, b := make1(t)
		all := ""
		for _, p := range b.Pages {
			all += pageWords(p) + " "
		}
		_, all, ok := strings.Cut(strings.ReplaceAll(all, "\u00a0", " "), "Which rows are joined when")
		all, _, ok2 := strings.Cut(all, "What must measure what")
		if !ok || !ok2 {
			t.Fatal("the booklet does not say which rows are joined when")
		}
		told := joinWords.FindAllStringSubmatch(all, -1)
		for _, s := range sizes {
			o := sewing.New(s.Plan)
			for _, j := range o.Joins {
				if len(told) == 0 {
					t.Fatalf("%s: joins are missing", s.Name)
				}
				for side, rows := range j.Rows {
					first, last := told[0][1+2*side], told[0][2+2*side]
					if last == "" {
						last = first
					}
					if first != o.Rows[rows[0]].Letters || last != o.Rows[rows[1]].Letters {
						t.Fatalf("%s: %s: the sewing order joins %s-%s there", s.Name, told[0][0], o.Rows[rows[0]].Letters, o.Rows[rows[1]].Letters)
					}
				}
				told = told[1:]
			}
		}
		if len(told) > 0 {
			t.Fatalf("%q is no join", told[0][0])
		}
	})
}
