// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"slices"

	"lozenge/geometry/strip"
)

// String returns the colour as #rrggbb.
func (c Colour) String() string { return fmt.Sprintf("#%02x%02x%02x", c[0], c[1], c[2]) }

// assign gives each piece the strip set that it is cut from, so that the
// colours lie as the order asks. Each piece gets one that gives it, as far as
// there are enough, and no strip set gives more than is cut from it.
func (p *Plan) assign() {
	switch order := p.Spec.ColourOrder; {
	case p.wanted != nil:
		p.layBands()
	case order == Gradient:
		p.layGradient()
	case order == Scattered:
		p.scatter()
	default:
		p.layBands()
	}
}

// sewing is what strip sets to sew and, in the bands order, in which colours.
type sewing struct {
	strip.Fewest
	// numbers[k] are the numbers from 0 of the colours of each strip of strip
	// set k, lowest first; nil: colour k mod n of every fabric.
	numbers [][]int
	// In the gradient order: the strip sets from the dark end to the light one,
	// which pieces of each lie in the quilt, and how many edge triangles match.
	order   []int
	laid    []Count
	matches int
	// How many strip sets less would do, and how many edge triangles then don't
	// match.
	fewer, leaves int
	shade         *shade
}

// ColourNumbers returns the number, from 0, of each strip's colour among those
// of its fabric, lowest strip first, in strip set k, from 0 in cutting order.
// It is -1 for a colour that is not one of its fabric's.
func (p *Plan) ColourNumbers(k int) []int {
	if k < len(p.sewn) && p.sewn[k].Colours != nil {
		out := make([]int, len(p.Spec.Strips))
		for i, st := range p.Spec.Strips {
			out[i] = slices.Index(p.Spec.fabric(st.Fabric).Colours, p.sewn[k].Colours[i])
		}
		return out
	}
	return p.Spec.colourNumbers(k, p.numbers)
}

// colourNumbers returns the colour numbers of strip set k.
func (s Spec) colourNumbers(k int, numbers [][]int) []int {
	if k < len(numbers) {
		return numbers[k]
	}
	out := make([]int, len(s.Strips))
	for i, st := range s.Strips {
		out[i] = k % len(s.fabric(st.Fabric).Colours)
	}
	return out
}

// FirstColour returns the first colour of a fabric, black for one without.
func (s Spec) FirstColour(key string) Colour { return s.fabric(key).Colours[0] }

// Colours returns the colour of each strip, lowest first, in a piece cut from
// strip set k, from 0 in cutting order.
func (p *Plan) Colours(k int) []Colour {
	if k < len(p.sewn) && p.sewn[k].Colours != nil {
		return p.sewn[k].Colours
	}
	return p.Spec.coloured(p.ColourNumbers(k))
}

// coloured returns the colours with these numbers.
func (s Spec) coloured(numbers []int) []Colour {
	out := make([]Colour, len(s.Strips))
	for i, st := range s.Strips {
		out[i] = s.fabric(st.Fabric).Colours[numbers[i]]
	}
	return out
}

// Colourway is strip sets that show the same colours by the same names: pieces
// of the same kind cut from any of them look alike.
type Colourway struct {
	Colours   []Colour // of each strip, lowest first
	StripSets []int    // from 0, in cutting order
}

// Colourways returns the strip sets by their colours, in the order in which
// those first come when they are cut; way[k] is the colourway of strip set k.
func (p *Plan) Colourways() (ways []Colourway, way []int) {
	seen := map[string]int{}
	var key []byte
	for k := range p.Fewest.Layouts {
		colours := p.Colours(k)
		key = key[:0]
		for i, name := range p.ColourNames(k) {
			key = append(append(append(key, colours[i][:]...), name...), 0)
		}
		w, ok := seen[string(key)]
		if !ok {
			w = len(ways)
			seen[string(key)] = w
			ways = append(ways, Colourway{Colours: colours})
		}
		ways[w].StripSets = append(ways[w].StripSets, k)
		way = append(way, w)
	}
	return ways, way
}
