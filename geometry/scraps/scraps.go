// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// Scrap is one or more leftover pieces of fabric that are alike. Lengths are in
// the pattern's unit.
type Scrap struct {
	Fabric string // key of one of the pattern's fabrics
	Name   string // as she knows it, or ""
	Colour *quilt.Colour
	Width  float64
	Length float64 // along the strips that it gives
	Count  int
}

// Limits of a scrap bin.
const (
	MaxScraps = 5000   // entries of a table
	MaxCount  = 9999   // alike
	MaxLength = 10_000 // in the pattern's unit
)

// Error is a scrap that no plan can be made with.
type Error struct {
	Scrap int            // its index
	Wrong geometry.Error // its field is a column of a table: "fabric", "width"
}

// Error returns what is wrong in one line.
func (e *Error) Error() string { return fmt.Sprintf("scrap %d: %v", e.Scrap+1, &e.Wrong) }

// Size is how large a quilt is, in diamonds.
type Size struct{ Columns, Rows int }

// StripSet is a strip set to sew from scraps.
type StripSet struct {
	strip.Layout
	Length float64 // that it takes, end trim included
	Sewn   float64 // of its shortest strip as it is sewn: more where strips are left whole
	Strips []Cut   // lowest first

	ids   []int // of its strips among those of all scraps
	group int   // with bands of colour: which cloths it joins
}

// Cut is a length cut from a strip of a scrap.
type Cut struct {
	Scrap int // index of the scrap
	Strip int // number of the strip among those of all scraps of that name, from 1
	// Length is what is cut from it: that of the strip set, or the whole strip
	// where Whole says so.
	Length float64
	Whole  bool
}

// Left is what is left of one strip of a scrap, or of a scrap.
type Left struct {
	Scrap  int
	Strip  int // as in Cut
	Length float64
	Whole  bool // nothing was cut from it
}

// Bound is what no plan from these scraps can be below: its number of strip
// sets, and its sewn length with no more strip sets than [Plan.Sets].
type Bound struct {
	Sets   int
	Length float64
}

// Short is how much of a fabric has to be added for the quilt that she wanted.
type Short struct {
	Fabric string
	Width  float64
	Length float64   // of strips, together
	Strips []float64 // of each, longest first
}

// Plan is what a scrap bin makes.
type Plan struct {
	Scraps []Scrap // those of a colour with a name
	Wanted Size
	Enough bool // for the quilt that was wanted
	// Proven: when not enough, that no plan makes the wanted quilt, rather
	// than that none was found.
	Proven bool
	Made   Size // the quilt that Sets make: the wanted one, or the largest; 0: none
	// IsLargest: Made is the largest quilt that was found, the one that covers
	// most of the wanted quilt's width and height; surely, when it is proven
	// that no larger one is possible.
	IsLargest, Surely bool
	Trimmed           *Size       // the largest with 1/2 in (1 cm) more lost at the end of each strip set, where it was asked for
	Quilt             *quilt.Plan // that quilt, its pieces cut from Sets; nil when there is none
	Sets              []StripSet  // in cutting order
	Length            float64     // of all strip sets together
	Bound             Bound
	Left              []Left
	Short             []Short // when not enough
	Narrow            []int   // scraps that are narrower than every strip of their fabric
	Unused            []int   // scraps of fabrics that the strip sets don't need
	Notes             []string
	// Bands: with bands of colour, for each strip the cloth of its bands, by
	// their numbers.
	Bands [][]string
}

// bin is the scraps cut into strips.
type bin struct {
	plan    *quilt.Plan
	scraps  []Scrap
	fabrics []stuff
	fabric  []int      // of each scrap, among the fabrics; -1: it gives no strip
	at      []place    // of each strip of a strip set
	strips  []physical // all strips of all scraps; a lane's id is its index
	narrow  []int
	unused  []int
}

// stuff is a fabric of the strips.
type stuff struct {
	key    string
	widths []float64 // that are cut of it, narrowest first
	takes  []int     // strips of each width in a strip set
}

// place is what a strip of a strip set is: its cloth, which is its fabric
// unless bands ask for one of several, and class of width.
type place struct{ cloth, class int }

// physical is a strip that is cut along a scrap.
type physical struct {
	scrap  int
	number int // among all strips of that name
	copied int // which of the scraps alike
	length float64
	fabric int
	widest int // class of width that it may serve when the scrap is cut so
}

// newBin sorts the scraps and checks them.
func newBin(p *quilt.Plan, scraps []Scrap) (*bin, error) {
	b := &bin{plan: p, scraps: named(p.Spec, scraps)}
	for _, st := range p.Spec.Strips {
		if b.stuff(st.Fabric) < 0 {
			b.fabrics = append(b.fabrics, stuff{key: st.Fabric})
		}
		if f := &b.fabrics[b.stuff(st.Fabric)]; !slices.Contains(f.widths, st.Cut) {
			f.widths, f.takes = append(f.widths, st.Cut), append(f.takes, 0)
			slices.Sort(f.widths)
		}
	}
	for _, st := range p.Spec.Strips {
		at := place{cloth: b.stuff(st.Fabric)}
		at.class = slices.Index(b.fabrics[at.cloth].widths, st.Cut)
		b.fabrics[at.cloth].takes[at.class]++
		b.at = append(b.at, at)
	}
	strips := 0
	for i, s := range scraps {
		if err := b.check(i, s); err != nil {
			return nil, err
		}
		f := b.stuff(s.Fabric)
		switch {
		case f < 0:
			b.unused = append(b.unused, i)
		case !geometry.Fits(b.fabrics[f].widths[0], s.Width):
			b.narrow = append(b.narrow, i)
			f = -1
		default:
			if strips += s.Count * count(s.Width, b.fabrics[f].widths[0]); strips > MaxStrips {
				return nil, &Error{i, geometry.Error{Field: "count", Reason: fmt.Sprintf("with this the scraps give more than %d strips", MaxStrips), Hint: "leave some out"}}
			}
		}
		b.fabric = append(b.fabric, f)
	}
	return b, nil
}

// stuff returns which fabric of the strips has that key, -1 for none.
func (b *bin) stuff(key string) int {
	return slices.IndexFunc(b.fabrics, func(f stuff) bool { return f.key == key })
}

func (b *bin) check(i int, s Scrap) error {
	fail := func(field, reason, hint string) error {
		return &Error{i, geometry.Error{Field: field, Reason: reason, Hint: hint}}
	}
	u := b.plan.Spec.Unit
	var keys []string
	for _, f := range b.fabrics {
		keys = append(keys, f.key)
	}
	known := b.stuff(s.Fabric) >= 0 || slices.ContainsFunc(b.plan.Spec.Fabrics, func(f quilt.Fabric) bool { return f.Key == s.Fabric })
	switch {
	case !known:
		return fail("fabric", fmt.Sprintf("%q is no fabric of the pattern", s.Fabric), "use one of: "+strings.Join(keys, ", "))
	case !(s.Width > 0 && s.Width <= MaxLength):
		return fail("width", geometry.FormatLength(s.Width, u)+" is not the width of a scrap", "measure across the strip that it gives")
	case !(s.Length > 0 && s.Length <= MaxLength):
		return fail("length", geometry.FormatLength(s.Length, u)+" is not the length of a scrap", "measure along the strip that it gives")
	case s.Count < 1 || s.Count > MaxCount:
		return fail("count", fmt.Sprintf("%d is not a number of scraps", s.Count), fmt.Sprintf("write 1 to %d", MaxCount))
	}
	return nil
}

// named returns the scraps, each of a colour with a name: its own, or what the
// pattern or another scrap of the fabric calls the colour, or its keyword.
func named(spec quilt.Spec, scraps []Scrap) []Scrap {
	out := slices.Clone(scraps)
	of, list := map[string]quilt.Fabric{}, map[string][]int{}
	for i, s := range out {
		if s.Colour != nil {
			f := of[s.Fabric]
			f.Colours, f.Names = append(f.Colours, *s.Colour), append(f.Names, cmp.Or(s.Name, called(spec, s.Fabric, *s.Colour)))
			of[s.Fabric], list[s.Fabric] = f, append(list[s.Fabric], i)
		}
	}
	for key, f := range of {
		for n, name := range f.ColourNames() {
			out[list[key][n]].Name = name
		}
	}
	return out
}

// called returns what a pattern calls a colour of a fabric, "" where it doesn't.
func called(s quilt.Spec, key string, c quilt.Colour) string {
	for _, f := range s.Fabrics {
		if n := slices.Index(f.Colours, c); f.Key == key && n >= 0 && n < len(f.Names) {
			return f.Names[n]
		}
	}
	return ""
}

// Label returns what a scrap of a [Plan] is called: its name, or else its fabric.
func (s Scrap) Label() string {
	if s.Name != "" {
		return s.Name
	}
	return s.Fabric
}
