// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"os"
	"strings"
	"testing"
)

// Source: testdata/lookalikes.txt, the pairs of Unicode Technical Standard #39
// as ICU has them.
func TestLookalikes(t *testing.T) {
	data, err := os.ReadFile("testdata/lookalikes.txt")
	if err != nil {
		t.Fatal(err)
	}
	want := map[rune]string{}
	for line := range strings.Lines(string(data)) {
		if r := []rune(line); r[0] != '#' {
			want[r[0]] = strings.TrimSpace(string(r[1:]))
		}
	}
	have := strings.Fields(lookalikes)
	if len(want) < 50 || len(have) != len(want) {
		t.Errorf("%d pairs, and %d in the standard", len(have), len(want))
	}
	for _, pair := range have {
		r := []rune(pair)
		if plain := string(plainLetter(r[0])); plain != string(r[1]) || !strings.Contains(want[r[0]], plain) {
			t.Errorf("%c is taken for %s; the standard has %s", r[0], plain, want[r[0]])
		}
	}
	for r, plain := range map[rune]rune{'a': 'a', 'ｃ': 'c', '𝐜': 'c', 'é': 'é', 'ж': 'ж', '½': '½', '\u00a0': '\u00a0', '_': '_'} {
		if got := plainLetter(r); got != plain {
			t.Errorf("%c is taken for %c", r, got)
		}
	}
}

// Quotation marks as word processors curl them.
func TestCurlyMarks(t *testing.T) {
	checkProblems(t, base+"fabrics: {tide: {colors: [“#1f5f7a”]}, sand: {}}\n", "7:27: colors: `“#1f5f7a”` stands in curly quotation marks; type them straight: \"#1f5f7a\"")
}

// A letter of another alphabet is named where it stands.
func TestStrangers(t *testing.T) {
	checkProblems(t, swap(t, "columns: 8", "cоlumns: 8"),
		"5:1: unknown key `cоlumns` in the pattern itself; letter 2 is о (U+043E, Cyrillic), which only looks like o; is `columns` meant?",
		"6:7: rows is given without columns")
	checkProblems(t, base+"ѕеаm: 3\n", "7:1: letter 1 is ѕ (U+0455, Cyrillic), which only looks like s; is `seam` meant?")
	checkProblems(t, base+"αngle: 60\n", "7:1: letter 1 is α (U+03B1, Greek), which only looks like a; is `angle` meant?")
	checkProblems(t, base+"ａngle: 60\n", "7:1: letter 1 is ａ (U+FF41), which only looks like a; is `angle` meant?")
	checkProblems(t, swap(t, "unit: in", "unit: іn"), "1:7: unit: `іn` is not in or cm; letter 1 is і (U+0456, Cyrillic), which only looks like i; is `in` meant?")
	checkProblems(t, base+"tips: shаrp\n", "7:7: letter 3 is а (U+0430, Cyrillic), which only looks like a; is `sharp` meant?")
	checkProblems(t, swap(t, "fabric: tide", "fabric: tidе"), "3:22: `tidе` can't name a fabric here; letter 4 is е (U+0435, Cyrillic), which only looks like e; use letters a to z")
	checkProblems(t, swap(t, "fabric: tide", "fabric: tidе")+"fabrics: {tide: {}, sand: {}}\n", "3:22: fabric `tidе` is not in fabrics; letter 4 is е (U+0435, Cyrillic), which only looks like e; is `tide` meant?")
	checkProblems(t, base+`fabrics: {tide: {colors: "#1f5f7а"}, sand: {}}`+"\n", "7:26: letter 7 is а (U+0430, Cyrillic), which only looks like a; write \"#1f5f7a\"")
}
