// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Of the lists and labels of kits, in inches. Words are as high as on other labels, see
// labelWords; those of the lists are read from nearer by.
const (
	kitTitle  = 0.2  // height of capitals in a title
	kitWords  = 0.12 // in the lists
	kitIndent = 1.8  // of what stands behind a box to tick, in heights of its words
	kitPitch  = labelPitch / labelWords
)

// kitLine is a line of a list or a label, behind a box to tick where an item begins.
type kitLine struct {
	draw.Named
	box    bool
	indent float64
}

// kits draws page after page of lists and labels.
type kits struct {
	plan  *quilt.Plan
	goods quilt.Goods
	paper quilt.Size
	pages []*pen
}

// Kits draws on pages of paper of that size, in the pattern's unit, the lists of
// whoever packs kits (what to buy, to cut, and to put into each bag), and then a label
// for each bag, to be cut apart, with what lies in it. Of a label that is longer than
// a page the rest stands on the next.
func Kits(p *quilt.Plan, g quilt.Goods, paper quilt.Size) []*draw.Drawing {
	k := &kits{plan: p, goods: g, paper: paper}
	var lists []kitLine
	for _, list := range words.KitLists(p, g) {
		if lists != nil {
			lists = append(lists, kitLine{Named: k.sized("", kitWords)})
		}
		lists = append(lists, k.wrapped(list.Title, kitTitle)...)
		lists = append(lists, k.wrapped(list.First, kitWords)...)
		lists = append(lists, k.items(list.Items, kitWords)...)
	}
	k.lists(lists)
	k.labels()
	var out []*draw.Drawing
	for _, d := range k.pages {
		out = append(out, d.Drawing)
	}
	return out
}

func (k *kits) in(v float64) float64 { return k.plan.Spec.Unit.FromInches(v) }

// wide and high are the room for words on a page.
func (k *kits) wide() float64 { return k.paper.Width - k.in(2*labelMargin+2*labelInset) }
func (k *kits) high() float64 { return k.paper.Height - k.in(2*labelMargin+2*labelInset) }

// sized returns words with capitals so high, in inches.
func (k *kits) sized(text string, height float64) draw.Named {
	n := say(text)
	n.Height = k.in(height)
	return n
}

func (k *kits) wrapped(text string, height float64) (out []kitLine) {
	for _, line := range draw.Go.Wrap(text, k.in(height), k.wide()) {
		out = append(out, kitLine{Named: k.sized(line, height)})
	}
	return out
}

// items returns the lines of a list. Swatches that take more than half a line have one
// to themselves.
func (k *kits) items(items []words.Item, height float64) (out []kitLine) {
	for _, one := range items {
		text := one.Said
		if one.Name != "" {
			text = words.Capital(one.Name) + ": " + text
		}
		indent := k.in(kitIndent * height)
		if one.Part {
			indent *= 2
		}
		room, swatches := k.wide()-indent, draw.SwatchesWidth(one.Swatches, k.in(height))
		first := kitLine{k.sized("", height), !one.Part, indent}
		first.Swatches = one.Swatches
		lines := draw.Go.Wrap(text, k.in(height), room)
		if swatches <= room/2 {
			lines = draw.Go.Wrap(text, k.in(height), room-swatches)
			first.Value, lines = lines[0], lines[1:]
		}
		out = append(out, first)
		for _, line := range lines {
			out = append(out, kitLine{k.sized(line, height), false, indent})
		}
	}
	return out
}

// page begins a page, under a bookmark unless that is "".
func (k *kits) page(heading string) *pen {
	d := newPen(k.plan.Spec.Unit, fmt.Sprintf("%s: kits, page %d", k.plan.Spec.Name, len(k.pages)+1), "What to buy, cut and pack for kits, and a label for each bag.")
	d.Page = geometry.Rect{Max: geometry.Point{X: k.paper.Width, Y: k.paper.Height}}
	d.Heading = heading
	k.pages = append(k.pages, d)
	return d
}

func heightOf(lines []kitLine) (sum float64) {
	for _, l := range lines {
		sum += l.Height * kitPitch
	}
	return sum
}

// fitting returns how many of the lines go into the height, at least one.
func fitting(lines []kitLine, high float64) int {
	n := 1
	for n < len(lines) && geometry.Fits(heightOf(lines[:n+1]), high) {
		n++
	}
	return n
}

// put writes lines that hang from a height.
func (k *kits) put(d *pen, lines []kitLine, top float64) {
	left := k.in(labelMargin + labelInset)
	for _, l := range lines {
		at := geometry.Point{X: left + l.indent, Y: top - l.Height}
		if l.box {
			d.Rect(draw.Mark, geometry.Rect{Min: geometry.Point{X: left, Y: at.Y}, Max: geometry.Point{X: left + l.Height, Y: top}})
		}
		l.At = at
		d.PutNamed(draw.Go, l.Named)
		top -= l.Height * kitPitch
	}
}

// lists writes the lists, on as many pages as they take.
func (k *kits) lists(lines []kitLine) {
	for heading := "Buy, cut and pack"; len(lines) > 0; heading = "" {
		n := fitting(lines, k.high())
		k.put(k.page(heading), lines[:n], k.paper.Height-k.in(labelMargin+labelInset))
		lines = lines[n:]
	}
}

// labels draws the label of each bag.
func (k *kits) labels() {
	what := append(k.wrapped(words.KitSize(k.plan), labelWords), k.items(words.InBag(k.plan, words.HeldLengths(k.plan.Spec.Unit)), labelWords)...)
	top, low := k.paper.Height-k.in(labelMargin), k.in(labelMargin)
	var d *pen
	at, heading := low, "Labels of the bags"
	for i := range k.goods.Count {
		for rest := what; len(rest) > 0; {
			head := append(k.wrapped(k.plan.Spec.Name, kitTitle), k.wrapped(words.Kit(i, k.goods.Count), kitTitle)...)
			n := fitting(rest, k.high()-heightOf(head))
			lines := append(head, rest[:n]...)
			high := heightOf(lines) + k.in(2*labelInset)
			if d == nil || !geometry.Fits(high, at-low) {
				d, at, heading = k.page(heading), top, ""
			}
			d.Rect(draw.Mark, geometry.Rect{Min: geometry.Point{X: low, Y: at - high}, Max: geometry.Point{X: k.paper.Width - low, Y: at}})
			k.put(d, lines, at-k.in(labelInset))
			at, rest = at-high, rest[n:]
		}
	}
}
