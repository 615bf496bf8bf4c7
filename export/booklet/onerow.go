// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// oneRow says which diagonal row is sewn first, as a test, and what is cut for it.
func (c *composer) oneRow() {
	c.sub("one row", "One row first, as a test")
	c.para(say(fmt.Sprintf("Before you cut all, cut and sew one diagonal row: it tells whether cutting and sewing agree while there is time to mend them. It is a row of the quilt, and its pieces stay in it. Cut each %s named here from its left end, in the way it is to be cut anyway, as far as these pieces take; sew the row as the chapter from %s on says.", c.set(), c.ref("rows"))))
	for k, size := range c.sizes {
		o := sewing.New(size.Plan)
		test := o.TestRow()
		t := &table{key: fmt.Sprint("one row ", k), title: fmt.Sprintf("Cut for row %s%s", test.Letters, c.as(size)), label: c.listLabel(1.3),
			corner: words.Capital(c.set()), heads: []string{"Fabrics, first strip first", "Pieces"}}
		pieces := map[int][]string{}
		for _, pc := range o.Pieces[test.First : test.First+test.Number] {
			pieces[pc.StripSet] = append(pieces[pc.StripSet], words.Leaning(pc.Lean, pc.Shape)+c.wideWords(pc.Shape))
		}
		of := map[[2]string][]int{} // strip sets, by what a line says of them
		var lines [][2]string
		for _, set := range slices.Sorted(maps.Keys(pieces)) {
			names, _ := words.StripsAlike(size.Plan, quilt.Like{First: set, Number: 1})
			line := [2]string{words.List(names), counted(pieces[set])}
			if of[line] = append(of[line], set+1); len(of[line]) == 1 {
				lines = append(lines, line)
			}
		}
		for _, line := range lines {
			for sets := range slices.Chunk(of[line], mostTicks) {
				_, swatches := words.StripsAlike(size.Plan, quilt.Like{First: sets[0] - 1, Number: 1})
				each := map[bool]string{true: " from each"}[len(sets) > 1]
				t.rows = append(t.rows, row{label: words.Held(words.NumberList(sets)), ticks: len(sets), swatch: firsts(swatches), cells: []string{line[0], line[1] + each}})
			}
		}
		c.table(t)
		c.para(say(fmt.Sprintf("Sewn and pressed, the %s of row %s must measure %s %s, square to their seams. If they do not, sew a hair closer to the edge or farther from it, and look at the cuts again, before you cut the rest.",
			number(test.Diamonds, "diamond"), test.Letters, c.length(test.Length), words.RowEnds(test.RawEnds))))
	}
}

// counted writes how many there are of each kind of piece: "2 right-leaning
// diamonds and 1 left-leaning diamond".
func counted(pieces []string) string {
	var out []string
	for i, kind := range pieces {
		if slices.Index(pieces, kind) == i {
			n := 0
			for _, other := range pieces {
				if other == kind {
					n++
				}
			}
			noun, wide, _ := strings.Cut(kind, ", ")
			if wide != "" {
				wide = " with " + wide
			}
			out = append(out, words.Count(n, noun)+wide)
		}
	}
	return words.List(out)
}
