// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"math"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
)

// Wanted is a size that a quilt has to cover when it is finished, borders
// included.
type Wanted struct {
	Name     string // "queen"; "" for a size of one's own
	Cover    Size
	Mattress *Size   // on which Cover rests, or nil
	Drop     float64 // with a mattress: how far the quilt hangs down
	// Least and Most are how small and how large published quilts of the name are,
	// width and height each by itself; zero without a name.
	Least, Most Size
}

// mattresses are the sizes that have names, in inches. Mattresses are those
// of the US trade (thesprucecrafts.com, "Standard mattress sizes";
// countrycrossroadsquilters.com, "Standard mattress dimensions"). A throw lies
// on no bed, nor does a lap quilt: 54 by 72 is "lap/throw" in The Quilter, "Quilting
// basics". A crib quilt has no drop, so that nothing hangs where a child sleeps: 36
// by 52 to 45 by 60 is usual; a baby quilt of 30 by 40 is common practice, no source.
//
// Published quilts of the names are as large as The Quilter (above; baby 36 by 54), "Common
// Quilt and Batting Sizes" (honeybegood.com), a lesson of mattresses with a drop
// (slideserve.com, lap about 50 by 65 at ciaspalette.com) and the book that
// quiltsandtreasures.com quotes (twin 64 by 81 to 75 by 93, double and queen 81 by 81 to
// 90 by 90) have them.
var mattresses = [...]struct {
	name        string
	size        Size
	bed         bool
	least, most Size
}{
	{"baby", Size{30, 40}, false, Size{30, 40}, Size{36, 54}},
	{"crib", Size{36, 52}, false, Size{36, 52}, Size{45, 60}},
	{"lap", Size{54, 72}, false, Size{50, 65}, Size{54, 72}},
	{"throw", Size{54, 72}, false, Size{50, 65}, Size{54, 72}},
	{"twin", Size{39, 75}, true, Size{63, 81}, Size{75, 93}},
	{"full", Size{54, 75}, true, Size{78, 81}, Size{90, 90}},
	{"queen", Size{60, 80}, true, Size{81, 81}, Size{96, 98}},
	{"king", Size{76, 80}, true, Size{95, 92}, Size{104, 105}},
}

// DropInches is how far a quilt hangs down over a mattress where nothing else
// is said.
const DropInches = 12

// SizeNames returns the names of sizes, the smallest first.
func SizeNames() []string {
	var out []string
	for _, m := range mattresses {
		out = append(out, m.name)
	}
	return out
}

// NamedSize returns the size of that name in u. A quilt on a mattress hangs
// down by drop on both sides and at the foot; at the head it ends with the
// mattress: a twin of 39 by 75 in with a drop of 12 in is 63 by 87.
func NamedSize(name string, drop float64, u geometry.Unit) (Wanted, bool) {
	for _, m := range mattresses {
		if m.name != name {
			continue
		}
		in := func(s Size) Size { return Size{u.FromInches(s.Width), u.FromInches(s.Height)} }
		size := in(m.size)
		w := Wanted{Name: name, Cover: size, Least: in(m.least), Most: in(m.most)}
		if m.bed {
			w.Cover = Size{size.Width + float64(2*drop), size.Height + drop}
			w.Mattress, w.Drop = &size, drop
		}
		return w, true
	}
	return Wanted{}, false
}

// Covering returns what the smallest quilt of the same pieces is planned from
// that covers a size with its borders on. The borders' finished widths come
// off the size first; the pieces have to cover what is left, in whole columns
// and rows. The strip sets are taken as they should be: how wide one's own
// came out says nothing about others'.
//
// The error, a [*geometry.Error], says that the borders alone are as large as the
// size, or that a border leaves nothing.
func (s Spec) Covering(size Size) (Spec, error) {
	inner, err := s.insideBorders(size)
	if err != nil {
		return Spec{}, err
	}
	s.Columns, s.Rows, s.Finish, s.StripSets, s.SewnWidth = 0, 0, &inner, 0, 0
	return s, nil
}

// Sized returns what this very quilt is planned from by its columns and rows,
// whatever gave them.
func (p *Plan) Sized() Spec {
	s := p.Spec
	s.Columns, s.Rows, s.Finish, s.StripSets = p.Columns, p.Rows, nil, 0
	return s
}

func (s Spec) insideBorders(size Size) (Size, error) {
	around := 0.0
	for i, b := range s.Borders {
		finished := b.Cut - float64(2*s.Seam)
		if !(finished > geometry.Fit) {
			return Size{}, geometry.Wrong(fmt.Sprintf("borders[%d].cut", i), fmt.Sprintf("%s leaves nothing between two seam allowances of %s", s.length(b.Cut), s.length(s.Seam)), "cut it wider")
		}
		around += finished
	}
	inner := Size{size.Width - float64(2*around), size.Height - float64(2*around)}
	if !(inner.Width > geometry.Fit && inner.Height > geometry.Fit) {
		return Size{}, geometry.Wrong("borders", fmt.Sprintf("they are %s wide when finished, and leave nothing of a quilt of %s by %s", s.length(around), s.length(size.Width), s.length(size.Height)), "make them narrower or the quilt larger")
	}
	return inner, nil
}

// length writes a length for an error.
func (s Spec) length(v float64) string { return geometry.FormatLength(v, s.Unit) }

// CutStep is the step in which quilters cut strips to width: 1/4 in or 0.5 cm.
func CutStep(u geometry.Unit) float64 { return u.Of(0.25, 0.5) }

// Scaled returns what a quilt that covers a size is planned from when the
// strips' widths change with it, so that it has about as many diamonds as
// this one: a crib quilt from narrower strips. Finished widths are multiplied
// by the root of the ratio of the areas inside the borders, and what is cut
// is rounded to the next [CutStep]; none is cut narrower than 1 in (2.5 cm),
// nor narrower than leaves one step between its seam allowances. Borders keep
// their width. A fabric that was bought in ready-cut strips of another width
// comes from yardage instead.
//
// Errors are those of [New] for this quilt and of [Spec.Covering].
func (s Spec) Scaled(size Size) (Spec, error) {
	own := s
	own.SewnWidth = 0
	p, err := New(own)
	if err != nil {
		return Spec{}, err
	}
	inner, err := s.insideBorders(size)
	if err != nil {
		return Spec{}, err
	}
	k := math.Sqrt(inner.Width / p.Finished.Width * (inner.Height / p.Finished.Height))
	changed := map[string]bool{}
	s.Strips = append([]Strip(nil), s.Strips...)
	for i := range s.Strips {
		st := &s.Strips[i]
		if cut := s.scaledCut(st.Cut, k); cut != st.Cut {
			st.Cut = cut
			changed[st.Fabric] = true
		}
	}
	s.Fabrics = append([]Fabric(nil), s.Fabrics...)
	for i := range s.Fabrics {
		if f := &s.Fabrics[i]; f.From == Precut && changed[f.Key] {
			f.From, f.StripLength = Yardage, 0
		}
	}
	return s.Covering(size)
}

func (s Spec) scaledCut(cut, k float64) float64 {
	step := CutStep(s.Unit)
	allowances := float64(2 * s.Seam)
	steps := math.Round((float64((cut-allowances)*k) + allowances) / step)
	least := max(math.Ceil((allowances-geometry.Fit)/step)+1, math.Round(s.Unit.Of(1, 2.5)/step))
	return float64(max(steps, least) * step)
}

// FromFatQuarters returns what the same quilt is planned from when each
// fabric of its strips that comes from yardage is bought by the fat quarter
// instead; ok is false when there is none, when a strip is wider than a fat
// quarter, or when a fabric comes in ready-cut strips, each of which would then
// give one short strip only.
func (s Spec) FromFatQuarters() (out Spec, ok bool) {
	s.Fabrics = append([]Fabric(nil), s.Fabrics...)
	for _, st := range s.Strips {
		for i := range s.Fabrics {
			f := &s.Fabrics[i]
			if f.Key != st.Fabric {
				continue
			}
			if f.From == Precut {
				return Spec{}, false
			}
			if wide := fabric.FatQuarterWidth(s.Unit); !geometry.Fits(st.Cut, wide) {
				return Spec{}, false
			}
			if f.From == Yardage {
				f.From, f.StripLength, ok = FatQuarters, fabric.FatQuarterLength(s.Unit), true
			}
		}
	}
	return s, ok
}
