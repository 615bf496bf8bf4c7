// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

// newTable returns a table with a column for each size.
func (c *composer) newTable(key, title string, label float64) *table {
	t := &table{key: key, title: title, label: label}
	for _, s := range c.sizes {
		name := s.Name
		if name == "" {
			name = "this quilt"
		}
		t.heads = append(t.heads, words.Capital(name))
	}
	return t
}

// each adds a row with a cell for each size; an empty cell becomes a dash, and
// a row of nothing but those is left out.
func (c *composer) each(t *table, label string, cell func(*quilt.Plan) string) bool {
	return c.eachWith(t, row{label: label}, cell)
}

func (c *composer) eachWith(t *table, r row, cell func(*quilt.Plan) string) bool {
	any := false
	for _, s := range c.sizes {
		text := cell(s.Plan)
		any = any || text != ""
		if text == "" {
			text = "–"
		}
		r.cells = append(r.cells, text)
	}
	if any {
		t.rows = append(t.rows, r)
	}
	return any
}

// clothOf returns a fabric of a plan's strips by its key.
func clothOf(p *quilt.Plan, key string) (quilt.Cloth, bool) {
	i := slices.IndexFunc(p.Cloth, func(c quilt.Cloth) bool { return c.Key == key })
	if i < 0 {
		return quilt.Cloth{}, false
	}
	return p.Cloth[i], true
}

// boughtOf writes what to buy of one colour of a fabric, nothing where it isn't
// needed.
func (c *composer) boughtOf(p *quilt.Plan, key string, number int) string {
	cl, _ := clothOf(p, key)
	if one, ok := cl.Colour(number); ok {
		return c.bought(one.Purchase)
	}
	return ""
}

// shopping says what to buy.
func (c *composer) shopping() {
	s := c.spec()
	c.chapter("fabric", "Fabric", 0.6)
	intro := fmt.Sprintf("Yardage is for fabric with a usable width of %s, selvages cut off", c.length(s.UsableWidth))
	if s.Backing.UsableWidth != 0 && s.Backing.UsableWidth != s.UsableWidth {
		intro += fmt.Sprintf(", and of %s for the backing", c.length(s.Backing.UsableWidth))
	}
	intro += ". It is what the strips take, rounded up to what shops cut. Nothing is added for fabric that shrinks before you cut it or for a slip of the blade: if you wash your fabrics first, or want to be on the safe side, buy a little more."
	c.para(say(intro))
	if s.AnyColourful() {
		colours := words.ColourTurns(s.ColourOrder, c.set())
		if s.ColourOrder == quilt.Bands {
			colours += fmt.Sprintf(" %s says which colours belong together.", words.Capital(c.ref("colours")))
		}
		c.para(say("Some fabrics come in several colours or prints. " + colours + " A sample stands before each."))
	}
	t := c.newTable("buy", "What to buy", 1.95)
	c.each(t, "Finished size", func(p *quilt.Plan) string { return c.squareCell(p.Outer) })
	for _, cl := range c.allCloth() {
		c.clothRows(t, cl.Key)
	}
	for i, b := range s.Borders {
		c.each(t, fmt.Sprintf("Border %d: %s", i+1, words.Fabric(s, b.Fabric)), func(p *quilt.Plan) string {
			q := p.Borders[i]
			return c.bought(fabric.Purchase{Strips: q.Strips, Length: q.Length, Buy: q.Buy, Unit: q.Unit})
		})
	}
	for _, cl := range c.allCloth() {
		c.each(t, words.Fabric(s, cl.Key)+" for strips and borders, bought together", func(p *quilt.Plan) string {
			for _, sum := range p.Shopping() {
				if sum.Fabric.Key == cl.Key {
					return c.amount(sum.Buy, sum.Unit, sum.Length)
				}
			}
			return ""
		})
	}
	c.each(t, "Backing", func(p *quilt.Plan) string {
		return c.amount(p.Backing.Buy, p.Backing.Unit, p.Backing.Length)
	})
	c.each(t, "Batting, at least", func(p *quilt.Plan) string { return c.squareCell(p.Batting) })
	c.each(t, "Binding", func(p *quilt.Plan) string {
		q := p.Binding
		return c.bought(fabric.Purchase{Strips: q.Strips, Length: q.Length, Buy: q.Buy, Unit: q.Unit})
	})
	c.table(t)
	c.fatQuarters()
}

// allCloth returns the fabrics of the strips, each once, in the order of the
// strip set.
func (c *composer) allCloth() []quilt.Cloth { return c.p.Cloth }

// clothRows lists a fabric of the strips: what to buy in all or of each
// colour, and ready-cut strips that serve.
func (c *composer) clothRows(t *table, key string) {
	s := c.spec()
	name := words.Fabric(s, key)
	colourful := s.Colourful(key)
	if !colourful {
		c.eachWith(t, row{label: name, swatch: c.colourOf(c.p, key)}, func(p *quilt.Plan) string {
			cl, ok := clothOf(p, key)
			if !ok {
				return ""
			}
			return c.bought(cl.Purchase)
		})
	} else {
		t.add(name)
		for k, colour := range c.colours(key) {
			c.eachWith(t, row{label: fmt.Sprintf("colour %d", k+1), swatch: colour.String(), inset: true}, func(p *quilt.Plan) string {
				return c.boughtOf(p, key, k)
			})
		}
	}
	label := "or ready-cut strips"
	if cl, ok := clothOf(c.p, key); ok && len(c.groups) == 1 {
		if w := c.p.Precut(cl); w > 0 {
			label += " " + c.length(w) + " wide"
		}
	}
	c.eachWith(t, row{label: label, inset: true}, func(p *quilt.Plan) string {
		cl, ok := clothOf(p, key)
		w := p.Precut(cl)
		if !ok || w == 0 {
			return ""
		}
		var each []string
		for _, one := range cl.ByColour {
			each = append(each, fmt.Sprint(one.Strips))
		}
		if len(each) == 1 {
			return each[0]
		}
		if len(c.groups) > 1 {
			return written(w, c.unit) + " wide: " + strings.Join(each, ", ")
		}
		return strings.Join(each, ", ")
	})
}

// colours returns the colours of a fabric.
func (c *composer) colours(key string) []quilt.Colour {
	for _, f := range c.spec().Fabrics {
		if f.Key == key {
			return f.Colours
		}
	}
	return nil
}

// mostFatQuarters is how much fabric fat quarters may take, over what yardage
// takes, and still be worth naming.
const mostFatQuarters = 1.6

// fatQuarters says what the quilt takes when its strips are cut from fat
// quarters, where they serve for every size.
func (c *composer) fatQuarters() {
	var plans []*quilt.Plan
	for _, s := range c.sizes {
		spec, ok := s.Plan.Spec.FromFatQuarters()
		if !ok {
			return
		}
		p, err := quilt.New(spec)
		if err != nil || !p.Fewest.OK() {
			return
		}
		// A fat quarter is half as wide as the fabric.
		var from, instead float64
		for i := range p.Cloth {
			from += s.Plan.Cloth[i].Length
			instead += p.Cloth[i].Buy * fabric.FatQuarterWidth(c.unit) / 2
		}
		if instead > mostFatQuarters*from {
			return
		}
		plans = append(plans, p)
	}
	c.sub("fat quarters", "From fat quarters instead")
	c.para(say(fmt.Sprintf("The strips may be cut from fat quarters, which are about %s wide across and give strips of %s along the longer side. Every %s is then shorter, and you need more of them, cut as the table says from left to right; pieces and sewing stay the same.",
		c.length(fabric.FatQuarterWidth(c.unit)), c.length(fabric.FatQuarterLength(c.unit)), c.set())))
	t := c.newTable("fq", "From fat quarters", 2.3)
	of := func(cell func(p *quilt.Plan) string) []string {
		var cells []string
		for _, p := range plans {
			text := cell(p)
			if text == "" {
				text = "–"
			}
			cells = append(cells, text)
		}
		return cells
	}
	for _, cl := range plans[0].Cloth {
		if !c.spec().Colourful(cl.Key) {
			t.rows = append(t.rows, row{label: words.Fabric(c.spec(), cl.Key), swatch: c.colourOf(c.p, cl.Key), cells: of(func(p *quilt.Plan) string {
				one, _ := clothOf(p, cl.Key)
				return c.bought(one.Purchase)
			})})
			continue
		}
		t.add(words.Fabric(c.spec(), cl.Key))
		for k, colour := range c.colours(cl.Key) {
			t.rows = append(t.rows, row{label: fmt.Sprintf("colour %d", k+1), swatch: colour.String(), inset: true, cells: of(func(p *quilt.Plan) string {
				return c.boughtOf(p, cl.Key, k)
			})})
		}
	}
	t.add(fmt.Sprintf("How many %s to cut so", words.Noun(2, c.set())))
	for _, w := range c.waysOf(plans) {
		t.rows = append(t.rows, row{label: words.Lean(w.like.Layout) + ": " + c.rowWords(w.like.Layout), cells: w.counts(), inset: true})
	}
	t.rows = append(t.rows, row{label: "Each strip at least so long", cells: of(func(p *quilt.Plan) string { return c.cell(p.CommonLength) })})
	c.table(t)
}

// count writes a number, nothing for none.
func count(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}
