// SPDX-License-Identifier: Apache-2.0

package quilt

// Work is what sewing and cutting the top comes to. Lengths are finished ones: the
// ends of seams in the allowances are left out.
type Work struct {
	Seams     int     // between pieces
	StripSets float64 // length of the seams within strip sets
	Pieces    float64 // of those between pieces
	Borders   float64 // of those that join borders to the top
	Thread    float64 // three times all seams (common practice, no source)
	Crosscuts int     // cuts across the strip sets, tips included
}

// Length returns the length of all seams.
func (w Work) Length() float64 { return w.StripSets + w.Pieces + w.Borders }

// threadPerSeam is how much thread a seam takes: needle and bobbin each follow it,
// and each stitch locks (common practice, no source).
const threadPerSeam = 3

// Work returns what sewing and cutting the top comes to. Two pieces are joined along
// a whole side of a diamond, s long.
func (p *Plan) Work() Work {
	w := Work{}
	for i := range p.Pieces {
		for _, j := range p.touching(i) {
			if j >= 0 {
				w.Seams++
			}
		}
	}
	w.Seams /= 2 // each was counted from both sides
	w.Pieces = float64(float64(w.Seams) * p.Set.FinishedSide())
	if p.Fewest.OK() {
		for _, like := range p.Alike() {
			w.StripSets += float64(float64(like.Number*(len(p.Set.Cuts)-1)) * like.Length)
			w.Crosscuts += like.Number * len(p.Row(like.Layout).Cuts())
		}
	}
	inner := p.Finished
	for i, b := range p.Borders {
		w.Borders += 2 * (inner.Width + inner.Height)
		if p.Spec.Borders[i].Corners == Butted {
			w.Borders += 2 * (b.Outer.Width - inner.Width) // top and bottom run over the sides
		}
		inner = Size(b.Outer)
	}
	w.Thread = threadPerSeam * w.Length()
	return w
}
