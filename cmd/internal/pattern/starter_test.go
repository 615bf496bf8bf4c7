// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func TestStarter(t *testing.T) {
	for _, unit := range []geometry.Unit{geometry.Inch, geometry.Centimetre} {
		text := string(Starter(unit))
		if strings.ContainsAny(text, "<>") {
			t.Errorf("%s: a length is not filled in:\n%s", unit, text)
		}
		spec := parse(t, text).Spec
		if spec.Unit != unit {
			t.Errorf("%s: unit %s", unit, spec.Unit)
		}
		if _, err := quilt.New(spec); err != nil {
			t.Errorf("%s: %v", unit, err)
		}
		// Each setting that is shown works when its # is taken away, and all
		// of them do together.
		optional := regexp.MustCompile(`(?m)^#([a-z_]+:)`)
		all := text
		for _, m := range optional.FindAllStringSubmatch(text, -1) {
			one := func(s string) string {
				s = strings.Replace(s, m[0], m[1], 1)
				if m[1] == "layout:" {
					s = strings.Replace(s, "\nsetting: ", "\n#setting: ", 1)
				}
				if m[1] == "finish:" {
					s = regexp.MustCompile(`(?m)^(columns|rows): .*\n`).ReplaceAllString(s, "")
				}
				return s
			}
			if m[1] != "strip_sets:" && m[1] != "scraps:" { // instead of each other, and of a size
				all = one(all)
			} else {
				parse(t, one(text))
				continue
			}
			if _, err := quilt.New(parse(t, one(text)).Spec); err != nil {
				t.Errorf("%s: %s %v", unit, m[1], err)
			}
		}
		parse(t, all)

		// Every key is there, once.
		for _, key := range wholePart.keys {
			if n := len(regexp.MustCompile(`(?m)^#?`+key+`:`).FindAllString(text, -1)); n != 1 {
				t.Errorf("%s stands in the starter %d times", key, n)
			}
		}
		for _, p := range parts[1:] {
			for _, key := range p.keys {
				if !strings.Contains(text, key+": ") {
					t.Errorf("%s of %s is missing in the starter", key, p.name)
				}
			}
		}
		if longest := slices.MaxFunc(strings.Split(text, "\n"), func(a, b string) int { return len(a) - len(b) }); len(longest) > 120 {
			t.Errorf("a line of %d characters: %s", len(longest), longest)
		}
	}
}

// A pattern from scraps is the starter with the strips of the scraps, and no size.
func TestStarterOfScraps(t *testing.T) {
	want := quilt.Spec{Unit: geometry.Inch, Strips: []quilt.Strip{{Cut: 2.5, Fabric: "bark"}, {Cut: 1.23, Fabric: "no_5"}}, Fabrics: []quilt.Fabric{{Key: "bark"}, {Key: "no_5"}, {Key: "moss"}}}
	text := string(StarterOfScraps(want, "my bin #1.csv"))
	p, err := Parse("q.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if p.Scraps != "my bin #1.csv" || p.Spec.Columns != 0 || !slices.Equal(p.Spec.Strips, want.Strips) || len(p.Spec.Fabrics) != 3 || !strings.Contains(text, "{cut: 2 1/2, fabric: bark}") {
		t.Errorf("%s\n%+v", text, p)
	}
}
