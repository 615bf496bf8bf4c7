// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/cmd/internal/problem"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Run with: go test -fuzz FuzzParse ./cmd/internal/pattern
func FuzzParse(f *testing.F) {
	f.Add([]byte(base))
	f.Add(Starter(geometry.Inch))
	f.Add(Starter(geometry.Centimetre))
	f.Add([]byte(strings.ReplaceAll(string(Starter(geometry.Inch)), "\n#", "\n")))
	for _, text := range []string{
		"010", "08", "0o10", "1_000", "1e3", "0x1F", "2024-01-02", "no", "~", "#5", `"2 1/2""`, ".nan", ".inf", "6,5", "1:30",
		`'2 1/2"'`, "2½", "65mm", "21/2", "-2 1/2", "1/0", "[3]", "{a: 3}", "&a 3", "*a", "!!int 3", "|\n  3", "\"\\x41\\u00bd\"",
	} {
		f.Add([]byte(strings.Replace(base, "cut: 3", "cut: "+text, 1)))
		f.Add([]byte(base + "sewn_width: " + text + "\nspare: " + text + "\nname: " + text + "\n"))
	}
	for _, c := range hostile() {
		f.Add([]byte(c[0][:min(len(c[0]), 200)]))
	}
	f.Add([]byte("\xff\xfeu\x00"))
	f.Add([]byte("\xef\xbb\xbf" + strings.ReplaceAll(base, "\n", "\r\n")))

	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := Parse("q.yaml", src)
		again, err2 := Parse("q.yaml", src)
		if (err == nil) != (err2 == nil) || err != nil && err.Error() != err2.Error() {
			t.Fatalf("first %v, then %v", err, err2)
		}
		lines := strings.Count(strings.ReplaceAll(strings.ReplaceAll(string(src), "\r\n", "\n"), "\r", "\n"), "\n") + 1
		sound := func(ps []Problem) {
			for i, q := range ps {
				if q.File != "q.yaml" || strings.TrimSpace(q.Message) == "" || strings.Contains(q.String(), "\n") ||
					q.Line < 0 || q.Line > lines || (q.Line > 0) != (q.Column > 0) ||
					i > 0 && i < problem.Most && q.Line < ps[i-1].Line {
					t.Fatalf("problem %d of %q: %+v", i, src, q)
				}
			}
		}
		if err != nil {
			var ps Problems
			if p != nil || !errors.As(err, &ps) || len(ps) == 0 {
				t.Fatalf("%v with %v", p, err)
			}
			sound(ps)
			return
		}
		sound(p.Warnings)
		if diff := cmp.Diff(p.Spec, again.Spec, cmp.AllowUnexported(quilt.Layout{})); diff != "" {
			t.Fatal(diff)
		}
		checkRanges(t, p.Spec)
	})
}

// checkRanges checks what the rest of the program may rely on.
func checkRanges(t *testing.T, s quilt.Spec) {
	t.Helper()
	rule := func(ok bool, what string) {
		if !ok {
			t.Fatalf("%s in %+v", what, s)
		}
	}
	more := func(v float64) bool { return v > 0 && v <= MaxLength }
	orZero := func(v float64) bool { return v >= 0 && v <= MaxLength && !math.Signbit(v) }
	rule(badText(s.Name, maxTitle) == "", "name")
	rule(s.Designer == "" || badText(s.Designer, maxTitle) == "", "designer")
	rule(s.Note == "" || badText(s.Note, maxNote) == "", "note")
	rule(s.Angle >= geometry.MinAngle && s.Angle <= geometry.MaxAngle, "angle")
	rule(more(s.Seam) && more(s.UsableWidth) && more(s.Backing.UsableWidth) && more(s.Binding.Cut), "a length that is not more than 0")
	rule(orZero(s.EndTrim) && orZero(s.Backing.Extra) && orZero(s.Binding.Extra) && orZero(s.Batting.Extra) && orZero(s.SewnWidth), "a length that is less than 0")
	rule(s.Spare >= 0 && s.Spare <= 1000, "spare")
	rule(len(s.Strips) >= 1 && len(s.Strips) <= MaxStrips, "strips")
	if s.Finish != nil {
		rule(s.Columns == 0 && s.Rows == 0 && more(s.Finish.Width) && more(s.Finish.Height), "finish")
	} else {
		rule(s.Columns >= 1 && s.Columns <= 5000 && s.Rows >= 1 && s.Rows <= 5000, "columns and rows")
	}
	fabrics := map[string]quilt.Fabric{}
	for _, f := range s.Fabrics {
		_, twice := fabrics[f.Key]
		rule(!twice && fabricKey.MatchString(f.Key) && badText(f.Name, maxTitle) == "" && len(f.Colours) > 0 && orZero(f.StripLength), "fabric")
		fabrics[f.Key] = f
	}
	sum := 0.0
	for _, st := range s.Strips {
		sum += st.Cut
		f, ok := fabrics[st.Fabric]
		rule(ok && more(st.Cut) && st.Cut > 2*s.Seam, "strip")
		rule(s.EndTrim < f.StripLength || f.StripLength == 0 && s.EndTrim < s.UsableWidth, "end_trim")
	}
	for _, b := range s.Borders {
		_, ok := fabrics[b.Fabric]
		rule(ok && more(b.Cut) && b.Cut > 2*s.Seam, "border")
	}
	if s.SewnWidth != 0 {
		rule(len(s.Strips) >= 2 && s.SewnWidth > 2*s.Seam && s.SewnWidth < sum, "sewn_width")
	}
}
