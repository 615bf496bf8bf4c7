// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

// newTable returns a table with a column for each size.
func (c *composer) newTable(key, title string, label float64) *table {
	t := &table{key: key, title: title, label: label, plans: c.plans()}
	if len(c.sizes) == 1 {
		t.label = loneLabel * c.room()
	}
	for _, s := range c.sizes {
		t.heads = append(t.heads, s.head())
	}
	return t
}

// loneHead stands where there is only one size.
const loneHead = "This quilt"

// head names a size at the head of a column or a line.
func (s Size) head() string { return cmp.Or(words.Capital(s.Name), loneHead) }

// each adds a row with a cell for each size; an empty cell becomes a dash, and
// a row of nothing but those is left out.
func (t *table) each(label string, cell func(*quilt.Plan) string) {
	t.eachWith(row{label: label}, cell)
}

func (t *table) eachWith(r row, cell func(*quilt.Plan) string) {
	for _, p := range t.plans {
		r.cells = append(r.cells, cell(p))
	}
	if strings.Join(r.cells, "") != "" {
		r.cells = dashes(r.cells)
		t.rows = append(t.rows, r)
	}
}

// eachNew adds such a row where there is none with the label.
func (t *table) eachNew(r row, cell func(*quilt.Plan) string) {
	if !slices.ContainsFunc(t.rows, func(o row) bool { return o.label == r.label }) {
		t.eachWith(r, cell)
	}
}

// dashes returns cells with a dash for each that is empty.
func dashes(cells []string) []string {
	out := slices.Clone(cells)
	for i, cell := range out {
		out[i] = cmp.Or(cell, "–")
	}
	return out
}

// clothOf returns a fabric of a plan's strips by its key.
func clothOf(p *quilt.Plan, key string) (quilt.Cloth, bool) {
	i := slices.IndexFunc(p.Cloth, func(c quilt.Cloth) bool { return c.Key == key })
	if i < 0 {
		return quilt.Cloth{}, false
	}
	return p.Cloth[i], true
}

// shopping says what to buy.
func (c *composer) shopping() {
	s := c.spec()
	c.chapter("fabric", "Fabric", 0.1)
	intro := fmt.Sprintf("Yardage is for fabric with a usable width of %s, selvages cut off", c.length(s.UsableWidth))
	if s.Backing.UsableWidth != 0 && s.Backing.UsableWidth != s.UsableWidth {
		intro += fmt.Sprintf(", and of %s for the backing", c.length(s.Backing.UsableWidth))
	}
	intro += ". It is what the strips take and what is lost at the cut end, rounded up to what shops cut. Nothing is added for fabric that shrinks before you cut it or for a slip of the blade: if you wash your fabrics first, or want to be on the safe side, buy a little more."
	if c.p.FromScraps() {
		intro = fmt.Sprintf("The strips come from scraps that are there already; backing, batting and binding are bought, of fabric with a usable width of %s.", c.length(s.UsableWidth))
	}
	c.para(say(intro))
	if s.AnyColourful() {
		colours := words.ColourTurns(s.ColourOrder, c.set())
		if s.ColourOrder == quilt.Bands {
			colours += fmt.Sprintf(" %s says which colours belong together.", words.Capital(c.ref("set list")))
		}
		c.para(say("Some fabrics come in several colours or prints. " + colours + " A sample stands before each."))
	}
	t := c.newTable("buy", "What to buy", 1.95)
	t.each("Finished size", func(p *quilt.Plan) string { return c.squareCell(p.Outer) })
	for _, cl := range c.p.Cloth {
		c.clothRows(t, cl)
		c.precutRow(t, cl)
	}
	for i, b := range s.Borders {
		t.eachWith(row{label: fmt.Sprintf("Border %d: %s", i+1, words.Cloth(s, b.Fabric)), swatch: c.swatchOf(b.Fabric)}, func(p *quilt.Plan) string {
			q := p.Borders[i]
			return c.bought(fabric.Purchase{Strips: q.Strips, Length: q.Length, Buy: q.Buy, Unit: q.Unit})
		})
	}
	for _, cl := range c.p.Cloth {
		t.eachWith(row{label: words.Cloth(s, cl.Key) + " for strips and borders, bought together", swatch: c.swatchOf(cl.Key)}, func(p *quilt.Plan) string {
			for _, sum := range p.Goods().Shopping() {
				if sum.Fabric.Key == cl.Key {
					return c.amount(sum.Buy, sum.Unit, sum.Length+s.Straighten)
				}
			}
			return ""
		})
	}
	t.each("Backing", func(p *quilt.Plan) string {
		return c.amount(p.Backing.Buy, p.Backing.Unit, p.Backing.Length+float64(p.Backing.Panels)*s.Straighten)
	})
	t.each("Batting, at least", func(p *quilt.Plan) string { return c.squareCell(p.Batting) })
	t.each("Binding", func(p *quilt.Plan) string {
		q := p.Binding
		return c.bought(fabric.Purchase{Strips: q.Strips, Length: q.Length, Buy: q.Buy, Unit: q.Unit})
	})
	c.table(t)
	c.notes()
	c.fatQuarters()
}

// notes passes on what the plans say of the colours, each note once: of some sizes
// with their names.
func (c *composer) notes() {
	of := map[string][]string{} // sizes, by note
	var notes []string
	for _, s := range c.sizes {
		for _, note := range words.MakerNotes(s.Plan) {
			if of[note] = append(of[note], s.head()); !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	}
	for _, note := range notes {
		if sizes := of[note]; len(sizes) < len(c.sizes) {
			note = words.List(sizes) + ": " + note
		}
		c.bullet(say(note))
	}
}

// swatchOf is the swatch of a fabric of one colour; none of several.
func (c *composer) swatchOf(key string) []string {
	if s := words.Swatches(c.spec(), key); len(s) == 1 && len(s[0]) == 1 {
		return s[0]
	}
	return nil
}

// clothRows lists a fabric of the strips: what to buy in all or of each
// colour.
func (c *composer) clothRows(t *table, cl quilt.Cloth) {
	name := words.Cloth(c.spec(), cl.Key)
	if len(cl.Colours) == 1 {
		t.eachWith(row{label: name, swatch: c.swatchOf(cl.Key)}, func(p *quilt.Plan) string {
			if cl, ok := clothOf(p, cl.Key); ok {
				return c.ofCloth(cl.From, cl.Purchase)
			}
			return ""
		})
		return
	}
	t.add(name)
	for k, colour := range cl.Colours {
		t.eachWith(row{label: c.spec().ColourName(cl.Key, k), swatch: []string{colour.String()}, inset: true}, func(p *quilt.Plan) string {
			cl, _ := clothOf(p, cl.Key)
			if one, ok := cl.Colour(k); ok {
				return c.ofCloth(cl.From, one.Purchase)
			}
			return ""
		})
	}
}

// ofCloth says what is bought of a fabric, or that it comes from scraps.
func (c *composer) ofCloth(from quilt.Source, p fabric.Purchase) string {
	if from == quilt.Scraps {
		return number(p.Strips, "strip") + " from scraps"
	}
	return c.bought(p)
}

// precutRow lists how many ready-cut strips serve for a fabric of the strips.
func (c *composer) precutRow(t *table, cl quilt.Cloth) {
	label := "or ready-cut strips"
	if w := c.p.Precut(cl); w > 0 && len(c.groups) == 1 {
		label += " " + c.length(w) + " wide"
	}
	t.eachWith(row{label: label, inset: true}, func(p *quilt.Plan) string {
		cl, ok := clothOf(p, cl.Key)
		w := p.Precut(cl)
		if !ok || w == 0 {
			return ""
		}
		var each []string
		for _, one := range cl.ByColour {
			each = append(each, fmt.Sprint(one.Strips))
		}
		if len(each) > 1 && len(c.groups) > 1 {
			each[0] = written(w, c.unit) + " wide: " + each[0]
		}
		return strings.Join(each, ", ")
	})
}

// mostFatQuarters is how much fabric fat quarters may take, over what yardage
// takes, and still be worth naming.
const mostFatQuarters = 1.6

// fatQuarters says what the quilt takes when its strips are cut from fat
// quarters, where they serve for every size.
func (c *composer) fatQuarters() {
	var plans []*quilt.Plan
	for _, s := range c.sizes {
		spec, ok := s.Plan.Sized().FromFatQuarters()
		if !ok || s.Plan.FromScraps() {
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
	t.plans = plans
	for _, cl := range plans[0].Cloth {
		c.clothRows(t, cl)
	}
	t.add(fmt.Sprintf("How many %s to cut so", words.Noun(2, c.set())))
	for _, w := range c.waysOf(plans) {
		t.rows = append(t.rows, row{label: words.Lean(w.like.Layout) + ": " + c.rowWords(w.like.Layout), cells: w.counts(), inset: true})
	}
	t.each("Each strip at least so long", func(p *quilt.Plan) string { return c.atLeast(p.CommonLength) })
	c.table(t)
}

// count writes a number, nothing for none.
func count(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}
