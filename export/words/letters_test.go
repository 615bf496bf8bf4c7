// SPDX-License-Identifier: Apache-2.0

package words_test

import (
	"cmp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

func namedPlan(name string, fabrics ...quilt.Fabric) *quilt.Plan {
	return &quilt.Plan{Spec: quilt.Spec{Name: name, Designer: name, Note: name, Fabrics: fabrics}}
}

// What can't be spelled is called anew, by no name that there is already, and told.
func TestInLetters(t *testing.T) {
	p := namedPlan("夢の\"キルト\"",
		quilt.Fabric{Key: "umi", Name: "海", Colours: []quilt.Colour{{0x1f, 0x5f, 0x7a}, {0, 0, 0xff}, {0, 0, 0xfe}}, Names: []string{"Łódź", "青", "あお"}},
		quilt.Fabric{Key: "夢", Colours: []quilt.Colour{{255}}, Names: []string{"赤"}},
		quilt.Fabric{Key: "sand", Name: "Fabric, 1🌊 of", Colours: []quilt.Colour{{255}}},
		quilt.Fabric{Key: "fabric 1", Colours: []quilt.Colour{{255}}},
	)
	got, changed := words.InLetters(p, dxf.R12.Has, true)
	var all []string
	for _, f := range got.Spec.Fabrics {
		all = append(all, cmp.Or(f.Name, f.Key)+": "+strings.Join(f.Names, ", "))
	}
	if want := []string{"fabric 5: Lódz, blue, blue 2", "fabric 2: ", "Fabric, 1 of: ", "fabric 1: "}; !slices.Equal(all, want) {
		t.Errorf("%q, want %q", all, want)
	}
	if s := got.Spec; s.Name != "quilt" || s.Designer != "" || s.Note != "" || p.Spec.Fabrics[0].Names[0] != "Łódź" {
		t.Errorf("%+v", s)
	}
	if told, want := words.Told(changed), `"夢の\"キルト\"" is written "quilt", "夢の\"キルト\"" is left out, "海" is written "fabric 5", "Łódź" is written "Lódz", "青" is written "blue", "あお" is written "blue 2", "夢" is written "fabric 2", "赤" is left out, and 1 more`; told != want {
		t.Errorf("told %s", told)
	}
	if got, changed := words.InLetters(p, dxf.AC1015.Has, true); len(changed) != 1 || changed[0].Now != "Fabric, 1 of" || got == p {
		t.Errorf("%v", changed)
	}
	if got, changed := words.InLetters(p, func(rune) bool { return true }, true); changed != nil || got != p {
		t.Errorf("%v", changed)
	}
}

// Whatever a name is, what becomes of it can be written letter for letter, and each
// letter that it loses is told.
func TestNoLetterIsLostInSilence(t *testing.T) {
	for what, has := range map[string]func(rune) bool{"PDF": draw.Fonts{}.Has, "R12": dxf.R12.Has, "AC1015": dxf.AC1015.Has} {
		rapid.Check(t, func(t *rapid.T) {
			name := rapid.StringOf(rapid.OneOf(rapid.Rune(), rapid.RuneFrom(nil, unicode.Latin, unicode.Greek, unicode.Hebrew, unicode.Thai, unicode.Mn), rapid.RuneFrom([]rune("ab ½⅜″ěŁ夢🌊")))).Draw(t, "name")
			p, changed := words.InLetters(namedPlan(name, quilt.Fabric{Key: name, Name: name, Colours: []quilt.Colour{{}}}), has, true)
			for _, now := range []string{p.Spec.Name, p.Spec.Designer, p.Spec.Note, p.Spec.Fabrics[0].Name} {
				if _, more := draw.Spell(now, has); more != nil {
					t.Errorf("%s: %q is written %q, which loses %v", what, name, now, more)
				}
				told := slices.ContainsFunc(changed, func(o words.Rewritten) bool { return o.Was == name && o.Now == now && len(o.Missing) > 0 })
				if !told && plainly(now) != plainly(name) {
					t.Errorf("%s: %q is written %q, and nothing is told", what, name, now)
				}
			}
		})
	}
}

// plainly is a name without what is no letter.
func plainly(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Variation_Selector) || unicode.IsSpace(r) {
			return -1
		}
		return r
	}, norm.NFC.String(s))
}
