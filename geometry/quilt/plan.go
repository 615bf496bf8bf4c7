// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/strip"
)

// MaxPieces is the most pieces of fabric that the diamonds of a plan may have, one
// of each strip in each diamond: far more than any quilt, and no more than every
// output draws in a few seconds.
const MaxPieces = 200_000

// MaxYield is the most diamonds that a strip set may give: many times those of
// strips across the fabric. The time to choose strip sets grows with its square.
const MaxYield = 500

// mostDiamonds is how many diamonds those are.
func (s Spec) mostDiamonds() int { return MaxPieces / max(len(s.Strips), 1) }

// Plan is a planned quilt. Lengths are in Spec.Unit.
type Plan struct {
	Spec       Spec
	Set        strip.Set // as it is cut
	Columns    int
	Rows       int
	ColumnStep float64    // 2s sin(angle/2)
	RowStep    float64    // s cos(angle/2)
	Finished   Size       // squared up
	Choice     *Choice    // how a size to cover was met, or nil
	Choices    []Possible // what can be made of what is there, where the pattern asks; the one with the fewest columns first
	Need       Count      // pieces in the quilt, without spares
	Yield      strip.Yield
	Fewest     strip.Fewest // the strip sets in cutting order; spares included
	Pieces     []Placement  // from the bottom up, each row from left to right
	SewingRows int          // diagonal rows, lone edge triangles counted

	CommonLength float64 // of the strips for every strip set, end trim included
	Cutting      []Whole // the bill of cutting; nil when no strip set gives the pieces
	Cloth        []Cloth // of the strips, each fabric once, lowest strip first: what the bill comes to
	Savings      Savings
	BandsCost    int             // strip sets more than without the bands order
	Borders      []fabric.Border // as Spec.Borders
	Outer        Size            // finished, borders included
	Backing      fabric.Backing
	Binding      fabric.Binding
	Batting      Size
	Washed       Size // Outer after quilting and washing

	Left []Leftover // of a scrap bin, what is worth keeping; longest first within a fabric
	Next *Larger    // the quilt with a row more, where a little more makes it from a scrap bin

	ribbons [][]int32 // of each strip, of each piece; in the bands order
	groups  []group   // what is needed, by colours
	numbers [][]int   // as in sewing, like these
	order   []int
	laid    []Count
	matches int
	fewer   int // strip sets, and edge triangles that don't match, as in Edges
	leaves  int
	shade   *shade
	wanted  []string // keys of the colours of each piece, where edge triangles match the diamonds as they were scattered
	sewn    []Sewn   // the strip sets, where they are not the planner's own
}

// sew makes these the strip sets of the plan.
func (p *Plan) sew(s sewing) {
	p.Fewest, p.numbers, p.order, p.laid, p.matches = s.Fewest, s.numbers, s.order, s.laid, s.matches
	p.fewer, p.leaves, p.shade = s.fewer, s.leaves, s.shade
}

// sewing returns what sew was given.
func (p *Plan) sewing() sewing {
	return sewing{p.Fewest, p.numbers, p.order, p.laid, p.matches, p.fewer, p.leaves, p.shade}
}

// chosen returns the strip sets of the plan for strips of some length.
func (p *Plan) chosen(terms strip.Terms) sewing {
	return p.coloured(p.fewest(p.groups, terms), terms)
}

// coloured returns strip sets with their colours shaded, where that is asked for: no
// fewer of them.
func (p *Plan) coloured(f sewing, terms strip.Terms) sewing {
	if p.Spec.ColourOrder == Gradient && f.OK() && len(f.Layouts) > 0 {
		return p.shaded(f, terms)
	}
	return f
}

// Choice is how a size to cover was met: the sizes just under and just over
// it, in each direction by itself.
type Choice struct {
	Target      Size
	Under, Over Size // Under is 0 where one column or row covers already
}

// New plans the quilt. The error is a [*geometry.Error], or a [*NotMade].
func New(spec Spec) (*Plan, error) {
	if spec.StripSets != 0 {
		return newOfStripSets(spec)
	}
	p, err := begin(spec)
	if err != nil {
		return nil, err
	}
	length := p.Yield.Length
	p.sew(p.chosen(p.terms(length)))
	if spec.Edges == Matched && (spec.ColourOrder == Scattered || p.freeEnds()) {
		p.matchScattered(p.terms(length))
	}
	p.Savings, p.BandsCost = p.savings(length), p.bandsCost(p.terms(length))
	if err := p.cloth(); err != nil {
		return nil, err
	}
	p.assign()
	return p, nil
}

// begin returns what a plan says before its strip sets are chosen.
func begin(spec Spec) (*Plan, error) {
	nominal, err := spec.stripSet(0)
	if err != nil {
		return nil, err
	}
	spec.Fabrics = slices.Clone(spec.Fabrics)
	for i, f := range spec.Fabrics {
		if len(f.Colours) > 1 { // the one of a fabric is named where the pattern does, see ColourTold
			spec.Fabrics[i].Names = f.ColourNames()
		}
	}
	p := &Plan{Spec: spec, Set: nominal}
	if err := p.choose(nominal); err != nil {
		return nil, err
	}
	if spec.SewnWidth != 0 {
		// Columns and rows stay as the nominal width gave them.
		if p.Set, err = spec.stripSet(spec.SewnWidth); err != nil {
			return nil, err
		}
	}
	p.ColumnStep, p.RowStep = steps(p.Set.Cutting)
	p.Finished = finished(p.Set.Cutting, p.Columns, p.Rows)

	length := spec.shortestStrip() - spec.EndTrim
	if !(length > geometry.Fit) {
		return nil, geometry.Wrong("end_trim", fmt.Sprintf("%s leaves nothing of strips %s long", spec.length(spec.EndTrim), spec.length(spec.shortestStrip())), "make end_trim smaller or the strips longer")
	}
	if p.Yield = p.Set.Yield(length); p.Yield.Plain > MaxYield {
		return nil, geometry.Wrong(spec.stripLengthField(), fmt.Sprintf("strips %s long give %d diamonds in a row, more than %d", spec.length(spec.shortestStrip()), p.Yield.Plain, MaxYield), "give the length of the strips as you sew them, or make the strips wider")
	}
	p.Pieces = spec.Layout.lay(p.Columns, p.Rows)
	p.Need = countPieces(p.Pieces)
	p.SewingRows = p.Columns + p.Rows/2 + 1
	if spec.ColourOrder == Bands {
		p.ribbons = p.join()
	}
	p.groups = p.group()
	return p, nil
}

// terms says what strip sets of that length may be.
func (p *Plan) terms(length float64) strip.Terms {
	return strip.Terms{Length: length, MixLeans: p.Spec.MixLeans, Stagger: p.Spec.Stagger}
}

func (s Spec) stripSet(sewn float64) (strip.Set, error) {
	if !(s.Angle >= geometry.MinAngle && s.Angle <= geometry.MaxAngle) {
		return strip.Set{}, geometry.Wrong("angle", fmt.Sprintf("%v is outside %v to %v degrees", float64(s.Angle), geometry.MinAngle, geometry.MaxAngle), "60 is the usual angle")
	}
	if !(s.Seam > 0) {
		return strip.Set{}, geometry.Wrong("seam", s.length(s.Seam)+" is not a seam allowance", "1/4 in is usual")
	}
	cuts := make([]float64, len(s.Strips))
	for i, st := range s.Strips {
		cuts[i] = st.Cut
		if !(st.Cut > float64(2*s.Seam)+geometry.Fit) {
			return strip.Set{}, geometry.Wrong(fmt.Sprintf("strips[%d].cut", i),
				fmt.Sprintf("a strip cut %s wide leaves nothing between two seam allowances of %s", s.length(st.Cut), s.length(s.Seam)),
				"cut the strip wider or make the seam narrower")
		}
	}
	set, err := strip.New(cuts, s.Seam, s.Angle, s.Tips, sewn)
	if err != nil {
		field := "strips"
		if sewn != 0 {
			field = "sewn_width"
		}
		return strip.Set{}, geometry.Wrong(field, err.Error(), "")
	}
	return set, nil
}

// steps returns the column and the row step of the lattice.
func steps(c geometry.Cutting) (column, row float64) {
	return c.ShortDiagonal(), c.LongDiagonal() / 2
}

// finished returns the squared-up size: (columns - 1/2) column steps by
// (rows + 1) row steps.
func finished(c geometry.Cutting, columns, rows int) Size {
	column, row := steps(c)
	return Size{(float64(columns) - 0.5) * column, float64(rows+1) * row}
}

// choose sets columns and rows, from the size to cover if one is given.
func (p *Plan) choose(set strip.Set) error {
	s := p.Spec
	p.Columns, p.Rows = s.Columns, s.Rows
	if s.Finish != nil {
		column, row := steps(set.Cutting)
		w, h := s.Finish.Width, s.Finish.Height
		if !(w > 0) || !(h > 0) || math.IsInf(w, 0) || math.IsInf(h, 0) {
			return geometry.Wrong("finish", fmt.Sprintf("%s by %s is not a size", s.length(w), s.length(h)), "give width and height")
		}
		if most := float64(s.mostDiamonds()); w/column > most || h/row > most {
			return geometry.Wrong("finish", fmt.Sprintf("%s by %s needs more than %v diamonds", s.length(w), s.length(h), most), "make the quilt smaller or the strips wider")
		}
		p.Columns = smallest(w, func(n int) float64 { return finished(set.Cutting, n, 1).Width }, w/column)
		p.Rows = smallest(h, func(n int) float64 { return finished(set.Cutting, 1, n).Height }, h/row)
		p.Choice = &Choice{Target: *s.Finish, Over: finished(set.Cutting, p.Columns, p.Rows)}
		if p.Columns > 1 {
			p.Choice.Under.Width = finished(set.Cutting, p.Columns-1, 1).Width
		}
		if p.Rows > 1 {
			p.Choice.Under.Height = finished(set.Cutting, 1, p.Rows-1).Height
		}
	}
	switch {
	case p.Columns < 1:
		return geometry.Wrong("columns", fmt.Sprintf("%d columns make no quilt", p.Columns), "give at least 1")
	case p.Rows < 1:
		return geometry.Wrong("rows", fmt.Sprintf("%d rows make no quilt", p.Rows), "give at least 1")
	case p.Columns > s.mostDiamonds()/p.Rows:
		field := "columns"
		if s.Finish != nil {
			field = "finish"
		}
		return geometry.Wrong(field, fmt.Sprintf("%d columns of %d rows are more than %d diamonds (%d pieces of fabric)", p.Columns, p.Rows, s.mostDiamonds(), MaxPieces), "make the quilt smaller or the strips wider")
	}
	return nil
}

// smallest returns the smallest n from 1 whose size covers target; guess is
// within two of it.
func smallest(target float64, size func(int) float64, guess float64) int {
	n := max(int(guess)-2, 1)
	for !geometry.Fits(target, size(n)) {
		n++
	}
	return n
}

// shortestStrip returns the length of the shortest strip of all fabrics in
// the strip set: a strip set is as long as that.
func (s Spec) shortestStrip() float64 {
	shortest := math.Inf(1)
	for _, st := range s.Strips {
		shortest = min(shortest, s.bolt(st.Fabric).Strip)
	}
	return shortest
}

// stripLengthField returns the field that says how long that strip is.
func (s Spec) stripLengthField() string {
	for _, st := range s.Strips {
		if f := s.fabric(st.Fabric); f.StripLength != 0 && f.StripLength == s.shortestStrip() {
			return "fabrics." + f.Key + ".strip_length"
		}
	}
	return "usable_width"
}

// fabric returns the fabric of that key; black yardage where nothing is said.
func (s Spec) fabric(key string) Fabric {
	f := Fabric{Key: key}
	if i := slices.IndexFunc(s.Fabrics, func(f Fabric) bool { return f.Key == key }); i >= 0 {
		f = s.Fabrics[i]
	}
	if len(f.Colours) == 0 {
		f.Colours = []Colour{{}}
	}
	return f
}

// StripFabrics returns the keys of the fabrics of the strips, lowest first.
func (s Spec) StripFabrics() []string {
	var keys []string
	for _, st := range s.Strips {
		if !slices.Contains(keys, st.Fabric) {
			keys = append(keys, st.Fabric)
		}
	}
	return keys
}

// AnyColourful reports whether any fabric of the strips has several colours.
func (s Spec) AnyColourful() bool {
	return slices.ContainsFunc(s.Strips, func(st Strip) bool { return s.Colourful(st.Fabric) })
}

// Colourful reports whether a fabric has more than one colour.
func (s Spec) Colourful(key string) bool { return len(s.fabric(key).Colours) > 1 }
