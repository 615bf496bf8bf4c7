// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// cutStrips says how strips are cut from fabric.
func (c *composer) cutStrips() {
	s := c.spec()
	c.chapter("strips", "Cutting the strips", 0.1)
	if c.p.FromScraps() {
		c.steps([]text{
			{"Press.", "Starch and press each scrap, and cut one long edge straight."},
			{"Cut the strips", "along the scrap, side by side, " + c.widths() + "; cut pinked or frayed edges off first where there is room."},
			{"Cut to length.", words.Capital(c.ref("cut strips")) + " says which lengths come from each scrap and for which " + c.set() + " they are; put its number on each with a scrap of paper."},
		}, nil)
		c.scrapsToCut()
		return
	}
	steps := []text{
		{"Press and fold.", "Starch and press the fabric. Fold it selvage to selvage, so that the fold hangs straight and both layers lie flat, and lay the fold along a line of the mat."},
		{"Square up the end.", "Lay a line of the ruler on the fold and cut off the ragged end, square to the fold. Close the blade."},
		{"Cut the strips", "from the fold to the selvages, " + c.widths() + ". " + words.Capital(c.ref("cut strips")) + " says how many. After every few strips look whether the ruler still lies square to the fold: a strip cut askew has a bend in its middle. If it does not, square up again."},
	}
	steps = append(steps, c.sources()...)
	c.steps(append(steps, text{"Cut off the selvages.", fmt.Sprintf("What is left must be at least as long as %s says.", c.ref("cut strips"))}), c.foldFigure())

	c.stripsToCut()
	c.fatQuartersToCut()
	if s.AnyColourful() {
		c.para(say(fmt.Sprintf("How many of each colour, %s says.", c.ref("buy"))))
	}
}

// stripsToCut says how many strips of each fabric and width are cut.
func (c *composer) stripsToCut() {
	s := c.spec()
	t := c.newTable("cut strips", "Strips to cut", 2.1)
	for _, cl := range c.p.Cloth {
		cuts := c.p.StripCuts(cl)
		for _, cut := range cuts {
			label := words.Cloth(s, cl.Key)
			if len(c.groups) == 1 {
				label += ", " + c.length(cut.Cut) + " wide"
			} else if len(cuts) > 1 {
				label += fmt.Sprintf(", width of strip %d", cut.Strip+1)
			}
			t.eachWith(row{label: label, swatch: c.swatchOf(cl.Key), ticks: 1}, func(p *quilt.Plan) string {
				one, _ := clothOf(p, cl.Key)
				for _, same := range p.StripCuts(one) {
					if same.Strip == cut.Strip {
						return fmt.Sprint(same.Full)
					}
				}
				return ""
			})
		}
		t.eachWith(row{label: "each cut into", inset: true}, func(p *quilt.Plan) string {
			if one, ok := clothOf(p, cl.Key); ok && one.PerStrip > 1 {
				return fmt.Sprint(one.PerStrip)
			}
			return ""
		})
	}
	t.each("Each strip at least so long", func(p *quilt.Plan) string { return c.atLeast(p.CommonLength) })
	for i, b := range s.Borders {
		t.eachWith(row{label: fmt.Sprintf("Border %d: %s, %s wide", i+1, words.Cloth(s, b.Fabric), c.length(b.Cut)), swatch: c.swatchOf(b.Fabric), ticks: 1}, func(p *quilt.Plan) string {
			return fmt.Sprint(p.Borders[i].Strips)
		})
	}
	t.eachWith(row{label: "Binding, " + c.length(s.BindingCut()) + " wide", ticks: 1}, func(p *quilt.Plan) string { return fmt.Sprint(p.Binding.Strips) })
	c.table(t)
}

// scrapsToCut says which strips are cut from each scrap.
func (c *composer) scrapsToCut() {
	c.para(say("What is named whole is not cut before it is sewn; what hangs over is cut off with the ends of the strip set."))
	t := c.newTable("cut strips", "Scraps, and what is cut from each", 3.4)
	for _, w := range c.p.Cutting {
		t.eachWith(row{label: words.Scrap(c.spec(), w, c.length), swatch: []string{w.Colour.String()}, ticks: 1}, func(*quilt.Plan) string {
			return words.ScrapCuts(c.spec(), w, c.length)
		})
	}
	c.table(t)
}

// fatQuartersToCut says how fat quarters are cut that strips of several widths
// share: only so is what is bought enough.
func (c *composer) fatQuartersToCut() {
	t := c.newTable("fat quarters cut", "Fat quarters, by the strips that are cut from each", 3.2)
	label := func(p *quilt.Plan, w quilt.Whole) string {
		return words.Colour(p.Spec, w.Fabric, w.Number) + ": " + words.StripsOf(w, c.length)
	}
	for _, size := range c.plans() {
		for _, w := range size.Goods().SharedFatQuarters() {
			name := label(size, w)
			t.eachNew(row{label: name, swatch: []string{w.Colour.String()}, ticks: 1}, func(p *quilt.Plan) string {
				n := 0
				for _, w := range p.Goods().SharedFatQuarters() {
					if label(p, w) == name {
						n += w.Times
					}
				}
				return count(n)
			})
		}
	}
	if len(t.rows) > 0 {
		c.table(t)
	}
}

// widths says how wide strips are cut.
func (c *composer) widths() string {
	if len(c.groups) > 1 || c.evenStrips() {
		return c.name('A') + " wide"
	}
	return "as wide as the strip asks: " + c.name('A')
}

// sources says what to know of fat quarters and ready-cut strips, where the
// pattern has them.
func (c *composer) sources() []text {
	var out []text
	if c.from(quilt.FatQuarters) {
		out = append(out, text{"Fat quarters", "are not folded: cut their strips along the longer side."})
	}
	if c.from(quilt.Precut) {
		out = append(out, readyCutStrips)
	}
	return out
}

// foldFigure shows fabric folded once, the fold nearest the reader, and the
// first strips.
func (c *composer) foldFigure() *figure {
	p := c.p
	high := p.Spec.UsableWidth / 2
	var cuts []float64
	x := 0.0
	for i := range 3 {
		cuts = append(cuts, p.Spec.Strips[i%len(p.Spec.Strips)].Cut)
		x += cuts[i]
	}
	if high < x || high > 12*x {
		high = min(max(high, x), 12*x)
	}
	bounds := geometry.Rect{Max: geometry.Point{X: max(x*1.7, high*0.8), Y: high}}
	f := fit(bounds, 2.5, 2.3, margins{left: 0.05, right: 0.05, low: 0.22, high: 0.27 + c.marked()})
	wide := ", each as wide as the strip set asks"
	if !c.sewn() {
		wide = ""
	}
	return f.as("fold", "Strips across folded fabric"+wide+".", func(d *pen) {
		all := bounds.Polygon()
		d.fill(clothColours(p, cloth)[0], all)
		d.outline(all)
		x := 0.0
		for i, w := range cuts {
			a, b := geometry.Point{X: x + w}, geometry.Point{X: x + w, Y: high}
			d.strong(geometry.Segment{A: a, B: b})
			if i == 0 {
				mid := d.measure(geometry.Point{X: x, Y: high}, geometry.Point{X: x + w, Y: high}, 0.22)
				d.labelOn(mid, above, c.mark('A', 0))
			}
			x += w
		}
		d.arrow(geometry.Point{X: x * 1.1, Y: 0.15 * high}, geometry.Point{X: x * 1.1, Y: 0.6 * high}, false)
		d.label(geometry.Point{X: bounds.Max.X, Y: high}.Add(geometry.Point{X: -smallStyle.width("selvages") / 2 / d.scale}), above, "selvages")
		d.label(geometry.Point{X: bounds.Max.X / 2}, below, "fold")
	})
}

// sewStripSets says how strip sets are sewn, pressed and measured.
func (c *composer) sewStripSets() {
	if !c.sewn() {
		return
	}
	s := c.spec()
	n := len(s.Strips)
	c.chapter("sets", "Sewing the strip sets", 0.1)
	trial := "Cut short strips, as wide as those of the strip set, sew them to each other with a seam of " + c.length(s.Seam) + ", and press. "
	across := c.name('B')
	if len(c.groups) == 1 {
		across = c.length(c.p.Trial().Total)
	}
	trial += "They must measure " + across + " across, raw edge to raw edge. If they are narrower, sew a hair closer to the edge; if wider, a hair farther from it. Every seam adds up: do not go on until it is right."
	c.step(text{"Test your seam.", trial}, nil)
	var order []string
	for _, st := range s.Strips {
		order = append(order, words.Cloth(s, st.Fabric))
	}
	steps := []text{{"Lay the strips in order,", fmt.Sprintf("right side up: %s first, nearest you, then %s. %s", order[0], words.List(order[1:]), c.colourWords())}}
	sew := "Lay the second strip on the first, right sides together and edges even, and sew along the edge. Sew with short stitches, about 2" + words.Hard + "mm, since the seam will be cut across; do not pull."
	if n > 2 {
		sew += " Add the next strip, sewing from the other end: seams sewn all one way make the strip set bow."
	}
	c.steps(append(steps, text{"Sew.", sew}), c.stripSetFigure())
	if c.staggered() {
		c.step(text{"Staggered strip sets:", fmt.Sprintf("begin each strip %s along from the one before it, to the right for right-leaning pieces, to the left for left-leaning ones. Less is lost at the ends. %s says which strip sets are staggered.", c.offsets(), words.Capital(c.ref("set list")))}, c.staggerFigure())
	}
	c.step(text{"Press the seams open.", "Press from the wrong side first, then from the right side, without steam; lift the iron and set it down, do not push. Starch the strip set once more and let it cool flat."}, nil)
	seams := ""
	if len(c.groups) == 1 {
		var where []string
		for _, y := range c.p.Set.Seams {
			where = append(where, c.length(y))
		}
		seams = fmt.Sprintf(" The %s must lie %s from the first raw edge.", words.Noun(len(where), "seam"), words.List(where))
	}
	c.step(text{"Measure", fmt.Sprintf("at both ends and in the middle: the strip set must be %s wide, raw edge to raw edge.%s The strip gauge (%s) shows it at true size. One that is a little too wide is trimmed on both sides; sew one again that is too narrow, or bows.", c.name('B'), seams, c.ref("templates0"))}, nil)

	t := c.newTable("strip sets", "Strip sets to sew", 1.95)
	t.each("for right-leaning pieces", func(p *quilt.Plan) string { r, _, _ := p.Fewest.Number(); return count(r) })
	t.each("for left-leaning pieces", func(p *quilt.Plan) string { _, l, _ := p.Fewest.Number(); return count(l) })
	t.each("for both leans", func(p *quilt.Plan) string { _, _, m := p.Fewest.Number(); return count(m) })
	t.each("of these staggered", func(p *quilt.Plan) string {
		k := 0
		for _, l := range p.Fewest.Layouts {
			if l.Staggered {
				k++
			}
		}
		return count(k)
	})
	t.each("In all", func(p *quilt.Plan) string { return fmt.Sprint(len(p.Fewest.Layouts)) })
	c.table(t)
	c.para(say(fmt.Sprintf("Number the strip sets as you finish them, with a pin or a slip of paper: %s says how each is cut.", c.ref("set list"))))
}

// colourWords says which colours go into which strip set.
func (c *composer) colourWords() string {
	switch s := c.spec(); {
	case !s.AnyColourful():
		return "All strip sets are alike."
	case s.ColourOrder == quilt.Bands:
		return fmt.Sprintf("Only colours that belong together are sewn together: %s says which.", c.ref("set list"))
	}
	return words.ColourTurns(c.spec().ColourOrder, c.set())
}

func (c *composer) staggered() bool {
	return c.some(func(p *quilt.Plan) bool {
		return slices.ContainsFunc(p.Fewest.Layouts, func(l strip.Layout) bool { return l.Staggered })
	})
}

// offsets says how far each strip lies from the one before it.
func (c *composer) offsets() string {
	if len(c.groups) > 1 {
		return c.name('S')
	}
	var each []string
	for i := 1; i < len(c.spec().Strips); i++ {
		each = append(each, c.length(c.p.Set.Offset(i)-c.p.Set.Offset(i-1)))
	}
	if each = slices.Compact(each); len(each) == 1 {
		return each[0]
	}
	return words.List(each)
}

// stripSetFigure shows a strip set with the names of its strips and its width.
func (c *composer) stripSetFigure() *figure {
	p := c.p
	w := p.Set.Width
	long := 1.1 * w
	if len(p.Spec.Strips) > 8 {
		long = 0.15 * w // so that there is room for all names
	}
	names, widest := []string{}, 0.0
	for i, st := range p.Spec.Strips {
		name := smallStyle.shorten(fmt.Sprintf("%d: %s", i+1, words.Cloth(p.Spec, st.Fabric)), 1.1)
		names = append(names, name)
		widest = max(widest, smallStyle.width(name))
	}
	mark := c.mark('B', 0)
	m := margins{left: widestLine(mark) + 0.34, right: widest + 0.22, low: 0.12, high: 0.12}
	bounds := geometry.Rect{Max: geometry.Point{X: long, Y: w}}
	f := fit(bounds, 3, max(1.7, 0.17*float64(len(names))+0.3), m)
	return f.as("strip set", "The strip set, right side up, the first strip nearest you; dashed: seam lines.", func(d *pen) {
		all := bounds.Polygon()
		d.bands(p, all, cloth)
		d.outline(all)
		var at []float64
		for _, b := range p.Set.Bands() {
			at = append(at, d.on(geometry.Point{Y: (b[0] + b[1]) / 2}).Y)
		}
		x := d.on(geometry.Point{X: long}).X
		for i, y := range apart(at, 0.165) {
			if math.Abs(y-at[i]) > 0.01 {
				d.Path(draw.Mark, false, geometry.Point{X: x, Y: at[i]}, geometry.Point{X: x + 0.14, Y: y}).Thin = true
			}
			d.labelOn(geometry.Point{X: x + 0.12, Y: y}, toRight, names[i])
		}
		mid := d.measure(geometry.Point{}, geometry.Point{Y: w}, 0.18)
		d.labelOn(mid, toLeft, mark)
	})
}

// apart moves places, given from the lowest up, away from each other until
// each is so far from the next, about the same middle.
func apart(at []float64, least float64) []float64 {
	out := slices.Clone(at)
	for range 100 {
		moved := false
		for i := 1; i < len(out); i++ {
			if short := least - (out[i] - out[i-1]); short > 1e-6 {
				out[i] += short / 2
				out[i-1] -= short / 2
				moved = true
			}
		}
		if !moved {
			break
		}
	}
	return out
}

// widestLine returns the width of a length in a drawing.
func widestLine(mark string) float64 {
	widest := 0.0
	for _, l := range strings.Split(mark, twinMark) {
		widest = max(widest, smallStyle.width(l))
	}
	return widest
}

// staggerFigure shows a staggered strip set for right-leaning pieces.
func (c *composer) staggerFigure() *figure {
	p := c.p
	n := len(p.Spec.Strips)
	long := 2.2 * p.Set.CutSide()
	far := p.Set.Offset(n - 1)
	bounds := geometry.Rect{Max: geometry.Point{X: long + far, Y: p.Set.Width}}
	f := fit(bounds, 2.9, 1.7, margins{left: 0.05, right: 0.05, low: 0.2 + c.marked(), high: 0.05})
	return f.as("stagger", "Staggered, for right-leaning pieces: the ends follow the cuts.", func(d *pen) {
		colours := clothColours(p, cloth)
		for i, b := range p.Set.Bands() {
			x := p.Set.Offset(i)
			g := rect(x, b[0], x+long, b[1])
			d.fill(colours[i], g)
			d.outline(g)
		}
		d.strong(through(p, geometry.Right, 0.12*p.Set.Width))
		mid := d.measure(geometry.Point{Y: 0}, geometry.Point{X: p.Set.Offset(1)}, -0.12)
		d.labelOn(mid, below, c.mark('S', 0))
	})
}
