// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Item is a line of a list of goods: what it is, behind the swatches of what is named,
// and how much. Lengths and amounts are held together, see [Held].
type Item struct {
	Name, Said string
	Swatches   [][]string
	Part       bool // of the item above
}

// ToBuy lists what to buy.
func ToBuy(p *quilt.Plan, g quilt.Goods) (out []Item) {
	s, u := p.Spec, p.Spec.Unit
	for _, c := range g.Cloth {
		out = append(out, Item{Cloth(s, c.Key), clothToBuy(p, c), Swatches(s, c.Key), false})
		if len(c.ByColour) > 1 && c.From != quilt.Scraps {
			for _, one := range c.ByColour {
				said := amount(one.Buy, one.Unit)
				if c.From != quilt.Precut {
					said += ": " + Count(one.Strips, "strip")
				}
				out = append(out, Item{s.ColourName(c.Key, one.Number), said, [][]string{{one.Colour.String()}}, true})
			}
		}
	}
	for _, w := range g.SharedFatQuarters() {
		out = append(out, Item{Count(w.Times, "fat quarter"), fmt.Sprintf("of %s, from each %s", Colour(s, w.Fabric, w.Number), StripsOf(w, HeldLengths(u))), nil, true})
	}
	for i, b := range g.Borders {
		spec := s.Borders[i]
		out = append(out, Item{border(i), fmt.Sprintf("%s of %s: %s cut %s wide", amount(b.Buy, b.Unit), Cloth(s, spec.Fabric), Count(b.Strips, "strip"), length(spec.Cut, u)), Swatches(s, spec.Fabric), false})
	}
	for _, sum := range g.Shopping() {
		out = append(out, Item{"", fmt.Sprintf("of %s for %s together: %s", Cloth(s, sum.Fabric.Key), List(sum.For), amount(sum.Buy, sum.Unit)), nil, false})
	}
	batting := sizeOf(p.Batting, u)
	if g.Count > 1 {
		batting = Count(g.Count, "piece") + ", " + batting
	}
	return append(out,
		Item{"backing", fmt.Sprintf("%s: %s, each %s long, of fabric with %s usable width", amount(g.Backing.Buy, g.Backing.Unit), Count(g.Backing.Strips, "panel"), length(p.Backing.Panel, u), length(s.BackingWidth(), u)), nil, false},
		Item{"binding", fmt.Sprintf("%s: %s cut %s wide", amount(g.Binding.Buy, g.Binding.Unit), Count(g.Binding.Strips, "strip"), length(s.BindingCut(), u)), nil, false},
		Item{"batting", batting, nil, false})
}

// HeldLengths writes lengths in the unit so that they are not broken.
func HeldLengths(u geometry.Unit) func(float64) string {
	return func(v float64) string { return length(v, u) }
}

// Lengths and amounts in lists are not broken.
func length(v float64, u geometry.Unit) string  { return Held(geometry.FormatLength(v, u)) }
func atLeast(v float64, u geometry.Unit) string { return Held(RoundedUp(v, u)) }
func amount(buy float64, unit string) string    { return Held(Amount(buy, unit)) }

func sizeOf(s quilt.Size, u geometry.Unit) string {
	return length(s.Width, u) + " by " + length(s.Height, u)
}

func border(i int) string { return fmt.Sprintf("border %d", i+1) }

// clothToBuy says how one fabric is cut for the strip sets.
func clothToBuy(p *quilt.Plan, c quilt.Cloth) string {
	if c.From == quilt.Scraps {
		return BoughtNothing(c)
	}
	said, long := amount(c.Buy, c.Unit), atLeast(p.CommonLength, p.Spec.Unit)
	if len(c.ByColour) > 1 {
		said += fmt.Sprintf(" in %d colours", len(c.ByColour))
	}
	if c.From == quilt.Yardage || c.From == quilt.FatQuarters {
		said += ": " + Count(c.Strips, "strip")
	}
	if c.PerStrip > 1 {
		return said + fmt.Sprintf(", each cut into %d, for %d pieces %s long", c.PerStrip, c.Pieces, long)
	}
	return said + fmt.Sprintf(", each at least %s long", long)
}

// ItemList is a list of goods under a title, and what to know first; "" for nothing.
type ItemList struct {
	Title, First string
	Items        []Item
}

// KitLists are the lists of whoever packs kits: what to buy, what to cut, and what
// goes into each bag.
func KitLists(p *quilt.Plan, g quilt.Goods) []ItemList {
	kits := Count(g.Count, "kit")
	return []ItemList{
		{"Buy for " + kits, strings.TrimSpace("For all kits together: cloth that one kit leaves serves the next, and each amount is rounded up once. " + Straightened(p.Spec)), ToBuy(p, g)},
		{"Cut for " + kits, "Strips of one colour and width are all alike: count them out into the bags once all are cut.", toCut(p, g)},
		{"Into each bag", "", InBag(p, HeldLengths(p.Spec.Unit))},
	}
}

// toCut lists what is cut from which piece of cloth for all kits.
func toCut(p *quilt.Plan, g quilt.Goods) (out []Item) {
	s, u := p.Spec, p.Spec.Unit
	for _, w := range g.Cutting {
		out = append(out, Item{Colour(s, w.Fabric, w.Number), fromWhole(p, w), [][]string{{w.Colour.String()}}, false})
	}
	for i, b := range g.Borders {
		out = append(out, Item{border(i), fmt.Sprintf("%s cut %s wide, of %s", Count(b.Strips, "strip"), length(s.Borders[i].Cut, u), Cloth(s, s.Borders[i].Fabric)), Swatches(s, s.Borders[i].Fabric), false})
	}
	return append(out,
		Item{"backing", fmt.Sprintf("%s, each %s long", Count(g.Backing.Strips, "panel"), length(p.Backing.Panel, u)), nil, false},
		Item{"binding", fmt.Sprintf("%s cut %s wide", Count(g.Binding.Strips, "strip"), length(s.BindingCut(), u)), nil, false},
		Item{"batting", fmt.Sprintf("%s, %s", Count(g.Count, "piece"), sizeOf(p.Batting, u)), nil, false})
}

// fromWhole says what is cut from whole pieces of cloth: "from each of 12 fat quarters
// 7 strips cut 2 1/2 in wide", "3 strips cut 3 in wide, cut into 6 pieces at least 19
// in long".
func fromWhole(p *quilt.Plan, w quilt.Whole) string {
	u, from := p.Spec.Unit, ""
	if w.From != quilt.Yardage {
		from = "from " + amount(float64(w.Times), strings.ReplaceAll(w.From.String(), "-", " ")) + " "
		if w.Times > 1 {
			from = "from each of " + strings.TrimPrefix(from, "from ")
		}
	}
	var parts []string
	for _, c := range w.Strips {
		pieces := Count(c.Count, "piece") + " at least " + atLeast(c.Length, u) + " long"
		switch strips := Count(c.Full, "strip") + " cut " + length(c.Cut, u) + " wide"; {
		case w.From == quilt.Precut && c.Count == 1:
			return amount(float64(w.Times), "strips") + " as they are"
		case w.From == quilt.Precut:
			parts = append(parts, pieces)
		case c.Count > c.Full:
			parts = append(parts, strips+", cut into "+pieces)
		default:
			parts = append(parts, strips)
		}
	}
	return from + strings.Join(parts, "; ")
}

// InBag lists what lies in the bag of a kit, in the order in which it is sewn.
func InBag(p *quilt.Plan, length func(float64) string) (out []Item) {
	s := p.Spec
	for _, b := range p.Bag() {
		wide := length(b.Cut)
		switch b.For {
		case quilt.ForStripSets:
			out = append(out, Item{Colour(s, b.Fabric, b.Number), fmt.Sprintf("%s cut %s wide, at least %s long, for %s", Count(b.Count, "strip"), wide, length(UpToRuler(b.Length, s.Unit)), lower(StripSetList(b.StripSets))), [][]string{{b.Colour.String()}}, false})
		case quilt.ForBorder:
			out = append(out, Item{border(b.Border), fmt.Sprintf("%s of %s cut %s wide", Count(b.Count, "strip"), Cloth(s, b.Fabric), wide), Swatches(s, b.Fabric), false})
		case quilt.ForBacking:
			out = append(out, Item{b.For.String(), fmt.Sprintf("%s, each %s long", Count(b.Count, "panel"), length(b.Length)), nil, false})
		case quilt.ForBatting:
			out = append(out, Item{b.For.String(), fmt.Sprintf("%s, %s", Count(b.Count, "piece"), wide+" by "+length(b.Length)), nil, false})
		default:
			out = append(out, Item{b.For.String(), fmt.Sprintf("%s cut %s wide", Count(b.Count, "strip"), wide), nil, false})
		}
	}
	return out
}

// Kit names one of several kits by its number from 0: "Kit 3 of 20".
func Kit(i, of int) string { return fmt.Sprintf("Kit %d of %d", i+1, of) }

// KitSize says what a kit makes.
func KitSize(p *quilt.Plan) string {
	u := p.Spec.Unit
	return fmt.Sprintf("%s; finished %s wide, %s high", Diamonds(p.Columns, p.Rows), length(p.Outer.Width, u), length(p.Outer.Height, u))
}
