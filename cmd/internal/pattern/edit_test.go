// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
)

// blockStyle is a pattern as another person would write it.
const blockStyle = `# mine
"name": 'It''s a quilt'   # for Ida
unit: in

strips:
    - cut: 2 1/2      # the wide one
      fabric: night
    # between them
    - fabric: day
      cut: 2
finish:
  width: 40   # about
  height: 50
fabrics:
  night:
    name: "Night \"sky\""
    colors:
      - "#101020"
      - name: plum
        color: "#402040"
  day: {}   # later
`

func editable(t *rapid.T) string {
	texts := []string{string(Starter(geometry.Inch)), string(Starter(geometry.Centimetre)), blockStyle, "unit: cm\nstrips: [{cut: 6, fabric: a}]\ncolumns: 3\nrows: 4"}
	files, err := filepath.Glob("../../../testdata/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no examples")
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(data))
	}
	text := rapid.SampledFrom(texts).Draw(t, "text")
	switch rapid.IntRange(0, 3).Draw(t, "ends") {
	case 0:
		text = "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n")
	case 1:
		text = strings.TrimSuffix(text, "\n")
	}
	return text
}

// valuesOf returns what stands in a text, by place.
func valuesOf(t *rapid.T, text string) map[string]string {
	clear, bad := clean([]byte(text))
	if bad != nil {
		t.Fatalf("%v in\n%s", bad, text)
	}
	root, problems := parseYAML(clear)
	if len(problems) > 0 {
		t.Fatalf("%v in\n%s", problems, text)
	}
	out := map[string]string{}
	if root != nil {
		flatten(root, "", out)
	}
	return out
}

// commentsOf returns the words of the comments that stand on lines of their own.
func commentsOf(text string) (out []string) {
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(strings.TrimPrefix(line, "\ufeff")); strings.HasPrefix(line, "#") {
			out = append(out, line)
		}
	}
	return out
}

// Any sequence of changes leaves a text in which just that has changed: the rest of
// the values, the comments, the ends of the lines. What is set back leaves the same
// bytes.
func TestEdits(t *testing.T) {
	outside.Cases(t, 60, 1000)
	byHand := 0
	rapid.Check(t, func(t *rapid.T) {
		text := editable(t)
		for range rapid.IntRange(1, 12).Draw(t, "edits") {
			was := valuesOf(t, text)
			places := slices.Sorted(maps.Keys(was))
			value := rapid.SampledFrom([]string{"3", "2 1/2", "2½", "zigzag", "it's: \"so\" #1", "#17506b", "x, y", "true", "-", "Żółć", "{a}", "12x24in", "- 3"}).Draw(t, "value")
			fresh := rapid.SampledFrom([]string{"angle", "spare", "note", "finish.width", "fabrics.new.name", "binding.cut", "edges", "cutter.sheet", "designer"}).Draw(t, "key")
			path := fresh
			if len(places) > 0 && rapid.Bool().Draw(t, "there") {
				path = rapid.SampledFrom(places).Draw(t, "place")
			}
			var out string
			var err error
			switch what := rapid.IntRange(0, 4).Draw(t, "what"); what {
			case 0, 1:
				out, err = Set(text, path, value)
				if err == nil && valuesOf(t, out)[path] != value {
					t.Fatalf("%s is not %q in\n%s", path, value, out)
				}
				if again, e := Set(out, path, value); err == nil && (e != nil || again != out) {
					t.Fatalf("set twice: %v\n%s\n%s", e, out, again)
				}
				if before, ok := was[path]; ok && err == nil && before != "" {
					if back, e := Set(out, path, before); e != nil || !sameButQuotes(back, text) {
						t.Fatalf("set back: %v\n%s\nwas\n%s", e, back, text)
					}
				}
			case 2:
				out, err = Remove(text, path)
				if _, ok := was[path]; err == nil && !ok && out != text && !strings.Contains(path, ".") {
					t.Fatalf("nothing to remove at %s, and yet\n%s", path, out)
				}
			case 3:
				list := rapid.SampledFrom([]string{"strips", "borders"}).Draw(t, "list")
				out, err = Add(text, list, Entry{"cut", value}, Entry{"fabric", "a b"})
			case 4:
				rows := rapid.SliceOfN(rapid.StringMatching("[RLrl]{4}"), 1, 20).Draw(t, "rows")
				if out, err = Lay(text, rows); err == nil {
					now := valuesOf(t, out)
					_, setting := now["setting"]
					for i, row := range rows {
						if strings.ReplaceAll(now[fmt.Sprintf("layout[%d]", i)], " ", "") != row {
							t.Fatalf("%q is not the layout of\n%s", rows, out)
						}
					}
					if _, more := now[fmt.Sprintf("layout[%d]", len(rows))]; more || setting {
						t.Fatalf("not %q alone is the layout of\n%s", rows, out)
					}
				}
			}
			if err != nil {
				if !errors.Is(err, ErrByHand) {
					t.Fatalf("%s: %v in\n%s", path, err, text)
				}
				byHand++
				continue
			}
			// Of the starter's own comments one line is put to use.
			if lost := len(commentsOf(text)) - len(commentsOf(out)); lost > 2 {
				t.Fatalf("%d comments are lost:\n%s\n%s", lost, text, out)
			}
			if strings.Contains(text, "\r\n") != strings.Contains(out, "\r\n") && out != "\ufeff" && out != "" {
				t.Fatalf("other ends of lines:\n%q\n%q", text, out)
			}
			text = out
		}
	})
	t.Logf("%d changes are left to a text editor", byHand)
}

// sameButQuotes reports whether texts are the same but for how values are quoted.
func sameButQuotes(a, b string) bool {
	bare := strings.NewReplacer(`"`, "", `'`, "", `\`, "")
	return a == b || bare.Replace(a) == bare.Replace(b)
}

// Worked examples: what a person would have typed.
func TestEditExamples(t *testing.T) {
	for _, c := range []struct {
		name, text string
		do         func(string) (string, error)
		want       string
	}{
		{"a value", "rows: 4  # tall\n", func(s string) (string, error) { return Set(s, "rows", "5") }, "rows: 5  # tall\n"},
		{"a key behind its neighbour", "unit: in\nrows: 4\n# end\n", func(s string) (string, error) { return Set(s, "columns", "5") }, "unit: in\ncolumns: 5\nrows: 4\n# end\n"},
		{"the starter's line", "unit: in\n#angle: 60\nrows: 4\n", func(s string) (string, error) { return Set(s, "angle", "45") }, "unit: in\nangle: 45\nrows: 4\n"},
		{"in braces", "finish: {width: 3}\n", func(s string) (string, error) { return Set(s, "finish.height", "4") }, "finish: {width: 3, height: 4}\n"},
		{"out of braces", "finish: {width: 3, height: 4}\n", func(s string) (string, error) { return Remove(s, "finish.width") }, "finish: {height: 4}\n"},
		{"the last of braces", "unit: in\nfinish: {width: 3} # so\nrows: 4\n", func(s string) (string, error) { return Remove(s, "finish.width") }, "unit: in\nrows: 4\n"},
		{"a strip", "strips:\n  - {cut: 3, fabric: a}\nrows: 4\n", func(s string) (string, error) { return Add(s, "strips", Entry{"cut", "2 1/2"}, Entry{"fabric", "b"}) }, "strips:\n  - {cut: 3, fabric: a}\n  - {cut: 2 1/2, fabric: b}\nrows: 4\n"},
		{"a strip less", "strips:\n  - {cut: 3, fabric: a} # one\n  - {cut: 2, fabric: b}\nrows: 4\n", func(s string) (string, error) { return Remove(s, "strips[0]") }, "strips:\n  - {cut: 2, fabric: b}\nrows: 4\n"},
		{"a colour", "fabrics:\n  a: {colors: teal}\n", func(s string) (string, error) { return Add(s, "fabrics.a.colors", Entry{"", "#102030"}) }, "fabrics:\n  a: {colors: [teal, \"#102030\"]}\n"},
		{"a colour's fabric", "fabrics:\n  a: {}\n", func(s string) (string, error) { return Add(s, "fabrics.a.colors", Entry{"", "red"}) }, "fabrics:\n  a: {colors: [red]}\n"},
		{"a layout", "unit: in\nsetting: chevron # so\nrows: 4\n", func(s string) (string, error) { return Lay(s, []string{"RL", "lr"}) }, "unit: in\nlayout: [R L, l r]\nrows: 4\n"},
		{"a row of a layout", "layout:\n  - RL # first\n  - rl\nrows: 4\n", func(s string) (string, error) { return Lay(s, []string{"RR", "rl"}) }, "layout:\n  - RR # first\n  - rl\nrows: 4\n"},
		{"a longer layout", "layout: [R]\nrows: 4\n", func(s string) (string, error) {
			return Lay(s, []string{strings.Repeat("R", 32), strings.Repeat("L", 32)})
		}, "layout:\n  - " + strings.Repeat("R ", 31) + "R\n  - " + strings.Repeat("L ", 31) + "L\nrows: 4\n"},
		{"a border", "rows: 4\n", func(s string) (string, error) { return Add(s, "borders", Entry{"cut", "3"}, Entry{"fabric", "a"}) }, "rows: 4\nborders: [{cut: 3, fabric: a}]\n"},
	} {
		got, err := c.do(c.text)
		if err != nil || got != c.want {
			t.Errorf("%s: %v\n%s\nwant\n%s", c.name, err, got, c.want)
		}
	}
}
