// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Notes returns what she should know of a plan before she cuts.
func Notes(p *quilt.Plan) []string {
	out := append(lies(p), packing(p)...)
	if n := p.BandsCost; n > 0 {
		out = append(out, fmt.Sprintf("Bands of one colour each take %s, %d more than gradient or scattered would, since only strips of colours that belong together are sewn together.", Count(len(p.Fewest.Layouts), "strip set"), n))
	}
	return append(out, MakerNotes(p)...)
}

// MakerNotes returns those of the notes that concern whoever sews the quilt and not
// only whoever plans it: colours that it doesn't take, and colours that run together.
func MakerNotes(p *quilt.Plan) []string { return append(unused(p), together(p)...) }

// lies tells how the pieces lie and what the layout does with the strips.
func lies(p *quilt.Plan) (out []string) {
	s, setting := p.Spec, p.Spec.Layout.Setting()
	if s.Layout.Alike() && !s.AnyColourful() {
		name := "A layout of diamonds that all lie alike"
		if setting != "" {
			name = Capital(setting)
		}
		out = append(out, name+" with one colour a fabric only sews the strips back together: give a fabric several colours, or choose zigzag or chevron.")
	}
	if n := len(s.Strips); n > 2 && setting != "" && !s.Layout.Alike() {
		out = append(out, fmt.Sprintf("With %d strips the inner fabrics are islands in a %s; only the outer two run on from diamond to diamond.", n, setting))
	}
	if s.EdgeGrain == quilt.Straight {
		out = append(out, "The edge triangles are turned so that their strip edges lie outermost: the top and bottom edges don't stretch, and the bands of colour stop there.")
	}
	if setting != "" {
		return out
	}
	out = append(out, takes(p))
	if len(s.Strips) > 1 && s.EdgeGrain == quilt.BandsOn {
		out = append(out, runsOn(p.Course()))
	}
	if n := p.ShadeLeft(); n > 0 {
		out = append(out, fmt.Sprintf("%s %s out of place in the gradient. Along the top or bottom of this layout not all pieces lie alike, so not all ways of shading it were tried: one with fewer may be found by hand.", Count(n, "piece"), Verb(n, "lies", "lie")))
	}
	return out
}

// takes tells what a layout of one's own takes.
func takes(p *quilt.Plan) string {
	of := func(lean geometry.Lean) string {
		n, turned := p.Need.Diamonds(lean), p.Turned(lean)
		said := Count(n, Leaning(lean, geometry.Diamond))
		if turned > 0 && turned == n {
			said += " turned upside down"
		} else if turned > 0 {
			said += fmt.Sprintf(" (%d turned upside down)", turned)
		}
		return said
	}
	for _, lean := range geometry.Leans {
		if p.Need.Diamonds(lean.Other()) == 0 {
			return "This layout takes " + of(lean) + " and none of the other lean."
		}
	}
	return "This layout takes " + of(geometry.Right) + " and " + of(geometry.Left) + ": strip sets of both leans."
}

// mostBreaks is how many breaks are listed.
const mostBreaks = 6

// runsOn tells how the fabrics run on.
func runsOn(c quilt.Course) string {
	said := "Its fabrics run on from piece to piece in " + Count(c.Bands, "band")
	if c.Bands == 0 {
		said = "No fabric runs on from one piece to the next"
	}
	switch c.Rings {
	case 0:
	case 1:
		said += ", 1 of them a closed ring"
	default:
		said += fmt.Sprintf(", %d of them closed rings", c.Rings)
	}
	if n := c.Islands; n > 0 {
		said += fmt.Sprintf("; besides there %s %s, within one diamond", Verb(n, "is", "are"), Count(n, "island"))
		if n > 1 {
			said += " each"
		}
	}
	if n := len(c.Breaks); n > mostBreaks {
		said += fmt.Sprintf("; between %d pairs of rows all bands break", n)
	} else if n > 0 {
		var pairs []string
		for _, row := range c.Breaks {
			pairs = append(pairs, Span(row, row+1))
		}
		said += "; between rows " + strings.Join(pairs, ", ") + " all bands break"
	}
	return said + "."
}

// packing says where fewer fat quarters than the plan has might do.
func packing(p *quilt.Plan) (out []string) {
	for _, c := range p.Cloth {
		least := 0
		for _, one := range c.ByColour {
			least += one.Least
		}
		if c.From == quilt.FatQuarters && float64(least) < c.Buy {
			out = append(out, fmt.Sprintf("%s: %v %s are the fewest that were found; fewer than %d can't do.", c.Name, c.Buy, c.Unit, least))
		}
	}
	return out
}

// mostUnused is how many colours that are not used a note lists.
const mostUnused = 12

// unused says which colours no strip set has.
func unused(p *quilt.Plan) (out []string) {
	for _, key := range p.Spec.StripFabrics() {
		names, left := p.Spec.ColourList(key), p.Unused(key)
		n := len(left)
		if n == 0 {
			continue
		}
		said := strings.Join(left[:min(n, mostUnused)], ", ")
		if n > mostUnused {
			said += fmt.Sprintf(" and %d more", n-mostUnused)
		}
		why := fmt.Sprintf("%d colours for %s", len(names), Count(len(p.Fewest.Layouts), "strip set"))
		if matched := p.Spec.Edges == quilt.Matched && p.Spec.ColourOrder != quilt.Bands && !p.FromScraps(); matched && len(names) <= len(p.Fewest.Layouts) {
			why += ", which hold the edge triangles in the colours of the others"
		}
		out = append(out, fmt.Sprintf("%s has %s. Not used: %s.", Fabric(p.Spec, key), why, said))
	}
	return out
}

// mostAlike is how many pairs a note lists.
const mostAlike = 5

// together says which colours run together.
func together(p *quilt.Plan) (out []string) {
	pairs := p.AlikeInValue()
	for i, one := range pairs {
		if i == mostAlike {
			n := len(pairs) - i
			return append(out, fmt.Sprintf("So %s %d more %s of colours.", Verb(n, "does", "do"), n, Noun(n, "pair")))
		}
		var names [2]string
		for k, key := range one.Fabrics {
			if names[k] = Fabric(p.Spec, key); p.Spec.ColourTold(key) {
				names[k] += " " + one.Names[k]
			}
		}
		out = append(out, fmt.Sprintf("%s and %s are about as light: from across the room these two run together.", names[0], names[1]))
	}
	return out
}
