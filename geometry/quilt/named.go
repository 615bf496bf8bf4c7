// SPDX-License-Identifier: Apache-2.0

package quilt

import "strings"

// NamedLayout is a layout to begin with.
type NamedLayout struct {
	Name  string // plain words, joined by hyphens
	Looks string // what is seen of it, with two strips
	// Fitted says that it is made to a quilt's size; else its repeat is small.
	Fitted bool
	rows   string // the repeat, the top row first
	// quarters are the cells of the upper left, upper right, lower left and lower
	// right part of the quilt.
	quarters string
}

// NamedLayouts returns layouts to begin with, those with a small repeat first.
func NamedLayouts() []NamedLayout {
	return []NamedLayout{
		{Name: "long-zigzag", Looks: "bands climb two rows to the right and two to the left", rows: "L L R R"},
		{Name: "growing-zigzag", Looks: "bands climb in zigzags that grow longer toward the top", rows: "L L L R R R L L R R L R"},
		{Name: "peaks", Looks: "bands run across in tall peaks", rows: "Rl"},
		{Name: "plait", Looks: "narrow ribbons cross like a plait", rows: "RL"},
		{Name: "broad-plait", Looks: "pairs of ribbons cross", rows: "RRLL"},
		{Name: "large-diamonds", Looks: "large diamonds of each fabric stand in rows", rows: "R r"},
		{Name: "strung-diamonds", Looks: "columns of large diamonds between zigzags that climb", rows: "Rl Lr"},
		{Name: "rings", Looks: "a ring around a ring, again and again", rows: "RRll RRll LLrr LLrr"},
		{Name: "shards", Looks: "broad slanting shards that run into points", rows: "Rr"},
		{Name: "nested-diamonds", Looks: "rings around the middle of the quilt", Fitted: true, quarters: "RlLr"},
		{Name: "nested-arrows", Looks: "arrowheads inside one another point to the top", Fitted: true, quarters: "RlRl"},
		{Name: "four-fans", Looks: "arrowheads come from all four sides and meet in the middle", Fitted: true, quarters: "LrRl"},
	}
}

// Of returns the layout for a quilt of so many columns and rows.
func (n NamedLayout) Of(columns, rows int) Layout {
	lines := strings.Fields(n.rows)
	if n.Fitted {
		lines = nil
		for row := rows - 1; row >= 0; row-- {
			var line strings.Builder
			for column := range columns {
				// The middle of the quilt lies (columns - 1/2)/2 columns from its left side,
				// odd rows half a column farther right than even ones.
				part := 0
				if 4*column+2*(row&1) > 2*columns-1 {
					part++
				}
				if 2*row < rows-1 {
					part += 2
				}
				line.WriteByte(n.quarters[part])
			}
			lines = append(lines, line.String())
		}
	}
	l, err := NewLayout(lines)
	if err != nil {
		return Layout{} // a quilt of more cells than a repeat has
	}
	return l
}
