// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry/quilt"
)

// ColourTurns says how strip sets, called set, come by their colours.
func ColourTurns(order quilt.ColourOrder, set string) string {
	switch order {
	case quilt.Gradient:
		return fmt.Sprintf("From dark to light each colour of a fabric has its share of the %ss, leaning right and left in turn.", set)
	case quilt.Bands:
		return "Each band of the quilt keeps to one colour; from band to band a fabric's colours come round in turn."
	}
	return fmt.Sprintf("%s 1 takes the first colour of each fabric, %s 2 the second and so on; after a fabric's last colour comes its first again.", Capital(set), set)
}

// mostClimb is how many colours of a fabric are listed.
const mostClimb = 24

// ColourOrder says how the colours lie over the quilt, as they were laid.
func ColourOrder(p *quilt.Plan) string {
	s := p.Spec
	switch s.ColourOrder {
	case quilt.Gradient:
		said := "Going up, the colours shade from dark to light and never turn back"
		if p.Above() > 0 {
			said = "Going up, the colours of each lean shade from dark to light and never turn back"
		}
		var parts []string
		for _, key := range s.StripFabrics() {
			if names := p.Climb(key); len(names) > 1 && len(names) <= mostClimb {
				parts = append(parts, Fabric(s, key)+" "+strings.Join(names, ", "))
			}
		}
		if len(parts) == 0 {
			return said + "."
		}
		return said + ": " + strings.Join(parts, "; ") + "."
	case quilt.Scattered:
		return "The colours are mixed evenly over the quilt."
	}
	switch s.Layout {
	case quilt.Zigzag:
		return "The bands of one colour each climb the quilt."
	case quilt.Chevron:
		return "The bands of one colour each run across the quilt."
	case quilt.OneWay:
		return "The bands of one colour each run along the diagonal rows."
	}
	return "Fabric that runs on from diamond to diamond is one band, of one colour."
}

// Swatches returns the colours of fabrics, by their keys, as swatches show them.
func Swatches(s quilt.Spec, keys ...string) [][]string {
	var out [][]string
	for _, key := range keys {
		i := slices.IndexFunc(s.Fabrics, func(f quilt.Fabric) bool { return f.Key == key })
		if i < 0 || len(s.Fabrics[i].Colours) == 0 {
			continue
		}
		var swatch []string
		for _, c := range s.Fabrics[i].Colours {
			swatch = append(swatch, c.String())
		}
		out = append(out, swatch)
	}
	return out
}

// mostTold is how many colours of a strip are named in one line.
const mostTold = 4

// StripsAlike names the fabric of each strip of strip sets that are cut alike, lowest
// first, with the colours that these have there, and returns these colours as a
// swatch shows them: "Tide blues harbour and mist".
func StripsAlike(p *quilt.Plan, like quilt.Like) (names []string, swatches [][]string) {
	strips := p.Spec.Strips
	swatches = make([][]string, len(strips))
	told := make([][]string, len(strips))
	for k := like.First; k < like.First+like.Number; k++ {
		colours, called := p.Colours(k), p.ColourNames(k)
		for i := range strips {
			if c := colours[i].String(); !slices.Contains(swatches[i], c) {
				swatches[i] = append(swatches[i], c)
			}
			if !slices.Contains(told[i], called[i]) {
				told[i] = append(told[i], called[i])
			}
		}
	}
	for i, st := range strips {
		name := Fabric(p.Spec, st.Fabric)
		if p.Spec.ColourTold(st.Fabric) && len(told[i]) <= mostTold {
			name += " " + List(told[i])
		}
		names = append(names, name)
	}
	return names, swatches
}

// Cloth names a fabric, and its one colour where the pattern names that: "Sand
// linen"; of several none.
func Cloth(s quilt.Spec, key string) string {
	if s.Colourful(key) {
		return Fabric(s, key)
	}
	return Colour(s, key, 0)
}

// Colour names a colour of a fabric by its number from 0: "Tide blues harbour",
// or just "Sand" where that has one colour without a name.
func Colour(s quilt.Spec, key string, number int) string {
	name := Fabric(s, key)
	if s.ColourTold(key) {
		name += " " + s.ColourName(key, number)
	}
	return name
}

// Colours names the colours of strip set k, from 0: "Tide blues harbour, Ash
// silver". Fabrics of one colour are left out.
func Colours(p *quilt.Plan, k int) string {
	return coloursOf(p, k, false)
}

// PieceFabrics names all fabrics of a piece from strip set k with their colours,
// first strip first: "Tide blues harbour, Sand".
func PieceFabrics(p *quilt.Plan, k int) string {
	return coloursOf(p, k, true)
}

// StripFabrics names the fabrics of the strips of strip set k with their colours,
// lowest strip first.
func StripFabrics(p *quilt.Plan, k int) []string {
	numbers, names := p.ColourNumbers(k), p.ColourNames(k)
	var out []string
	for i, st := range p.Spec.Strips {
		name := Fabric(p.Spec, st.Fabric)
		if numbers[i] < 0 || p.Spec.ColourTold(st.Fabric) {
			name += " " + names[i]
		}
		out = append(out, name)
	}
	return out
}

func coloursOf(p *quilt.Plan, k int, plain bool) string {
	var parts []string
	numbers := p.ColourNumbers(k)
	for i, name := range StripFabrics(p, k) {
		if !plain && numbers[i] >= 0 && !p.Spec.Colourful(p.Spec.Strips[i].Fabric) {
			continue
		}
		if plain || !slices.Contains(parts, name) {
			parts = append(parts, name)
		}
	}
	return strings.Join(parts, ", ")
}
