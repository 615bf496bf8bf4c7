// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// mostTicks is how many strip sets share a line of the list, each with a box to
// tick.
const mostTicks = 4

// mostLines is how many lines the list has at most, some ten pages: of a larger quilt
// it would be no help.
const mostLines = 400

// stripSetList lists the strip sets of each size in cutting order: colours, and the
// way in which they are cut.
func (c *composer) stripSetList() {
	c.sub("set list", words.Capital(words.Noun(2, c.set()))+", one by one")
	ways := c.waysOf(c.plans())
	for k, size := range c.sizes {
		p := size.Plan
		title := words.Capital(words.Noun(2, c.set()))
		title += c.several(" of " + size.words())
		t := &table{key: fmt.Sprint("sets ", k), title: title + ": tick each when it is sewn", label: c.listLabel(0.95), corner: "Number", heads: []string{"Fabrics, first strip first", "Cut"}}
		lines := linesOf(p)
		if len(lines) > mostLines {
			c.para(say(words.Sentence(fmt.Sprintf("%s%s are too many to be listed here: the plan lists them all", words.Count(len(p.Fewest.Layouts), c.set()), c.several(" of "+size.words())))))
			continue
		}
		for _, like := range lines {
			names, swatches := words.StripsAlike(p, like)
			w := slices.IndexFunc(ways, func(w way) bool { return w.holds(k, like) })
			t.rows = append(t.rows, row{label: words.Held(words.Span(like.First+1, like.First+like.Number)), ticks: like.Number, swatch: firsts(swatches),
				cells: []string{words.List(names), fmt.Sprintf("way %s, %s (%s)", ways[w].name, words.Way(like), c.ref(fmt.Sprint("way ", w)))}})
		}
		c.table(t)
	}
}

// listLabel is how wide the numbers of strip sets with their boxes and swatches are.
func (c *composer) listLabel(numbers float64) float64 {
	most := row{ticks: mostTicks, swatch: make([]string, len(c.spec().Strips))}
	return ticks(most) + swatches(most) + numbers
}

// linesOf returns the strip sets that share a line: one after the other, of the same
// colours and cut alike.
func linesOf(p *quilt.Plan) (out []quilt.Like) {
	_, colours := p.Colourways()
	for _, like := range p.Alike() {
		for n := 0; n < like.Number; {
			line, first := like, like.First+n
			line.First, line.Number = first, 1
			for line.Number < min(mostTicks, like.Number-n) && colours[first+line.Number] == colours[first] {
				line.Number++
			}
			out = append(out, line)
			n += line.Number
		}
	}
	return out
}

// firsts returns the colour of each strip.
func firsts(swatches [][]string) (out []string) {
	for _, s := range swatches {
		out = append(out, s[:min(1, len(s))]...)
	}
	return out
}
