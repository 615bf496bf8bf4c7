// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Tip is how a sharp corner of a piece is cut straight across.
type Tip struct {
	Corner geometry.Angle // of the finished piece there
	Past   float64        // from the finished corner out to the cut
	Off    float64        // from the cut out to where the raw edges would meet
}

// Tips returns how the corners of a piece of that shape are blunted: each
// angle once, the sharpest first, none with sharp tips. The raw edges would
// meet a/sin(φ/2) from a finished corner of the angle φ, a being the seam
// allowance. A corner that the strip's own edge blunts is not cut.
func (p *Plan) Tips(shape geometry.Shape) []Tip {
	piece := p.Set.Piece(shape, geometry.Right)
	var out []Tip
	for i, e := range piece.Edges {
		if e.Kind != geometry.TipTrim {
			continue
		}
		a, b := piece.Outline[i], piece.Outline[(i+1)%len(piece.Outline)]
		along := b.Sub(a)
		t := Tip{Past: math.Inf(1)}
		for j, c := range piece.Finished {
			past := along.Cross(c.Sub(a)) / along.Len()
			if past < t.Past {
				t.Past = past
				t.Corner = p.cornerAngle(shape, j)
			}
		}
		t.Off = p.Set.Seam/(t.Corner/2).Sin() - t.Past
		if !slices.ContainsFunc(out, func(o Tip) bool { return math.Abs(float64(o.Corner-t.Corner)) < 1e-9 }) {
			out = append(out, t)
		}
	}
	slices.SortFunc(out, func(a, b Tip) int { return cmp.Compare(a.Corner, b.Corner) })
	return out
}

// cornerAngle returns the angle of finished corner i: those of a diamond are
// θ and 180° - θ in turn; an edge triangle has θ at its apex, opposite its
// base, and half of the rest at either end of it.
func (p *Plan) cornerAngle(shape geometry.Shape, i int) geometry.Angle {
	theta := p.Set.Angle
	switch {
	case shape == geometry.Diamond && i%2 == 0,
		shape == geometry.LowerTriangle && i == 0,
		shape == geometry.UpperTriangle && i == 1:
		return theta
	case shape == geometry.Diamond:
		return 180 - theta
	}
	return (180 - theta) / 2
}

// TipToTip returns how long a diamond is from one cut tip to the other, or
// from point to point where its tips stay sharp.
func (p *Plan) TipToTip() float64 {
	past := p.Set.Seam / (p.Set.Angle / 2).Sin()
	if tips := p.Tips(geometry.Diamond); len(tips) > 0 && tips[0].Corner <= p.Set.Angle {
		past = tips[0].Past
	}
	return p.Set.LongDiagonal() + float64(2*past)
}

// WideSide returns how far apart the two cuts of an edge triangle lie along
// the strip edge on its wide side.
func (p *Plan) WideSide() float64 {
	cuts := strip.MustRow(p.Set, geometry.Right, "L").Cuts()
	return math.Abs(cuts[1].Line.A.X - cuts[0].Line.A.X)
}

// BaseAngle returns the angle of an edge triangle's base to the strip, 0 to
// 90 degrees.
func (p *Plan) BaseAngle() geometry.Angle {
	return geometry.Angle((90 + p.Set.Angle/2).FromGrain())
}

// DogEar returns how far a sharp tip stands out past the blunt corner beside
// which it is sewn, along the raw edge, so that the edges cross on the seam
// line: 2a/tan θ.
func (p *Plan) DogEar() float64 {
	sin, cos := p.Set.Angle.SinCos()
	return float64(2*p.Set.Seam) * cos / sin
}

// Precut returns the width of the ready-cut strips that serve for a fabric
// that comes from yardage: sold in rolls of 2 1/2 in and 1 1/2 in, as long as
// the fabric is wide. It is 0 where none serve.
func (p *Plan) Precut(c Cloth) float64 {
	cuts := p.StripCuts(c)
	if c.From != Yardage || len(cuts) != 1 || c.PerStrip != 1 {
		return 0
	}
	for _, inches := range []float64{2.5, 1.5} {
		if math.Abs(p.Spec.Unit.Inches(cuts[0].Cut)-inches) <= geometry.Fit {
			return cuts[0].Cut
		}
	}
	return 0
}
