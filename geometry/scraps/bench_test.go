// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// fiveHundred is 500 scraps for a quilt of 2,500 diamonds from two strips. The
// scraps hold about so much more than its pieces take.
func fiveHundred(t testing.TB, seed uint64, more float64, angle geometry.Angle) (*quilt.Plan, []scraps.Scrap) {
	t.Helper()
	p, err := quilt.New(quilt.Spec{
		Angle: angle, Seam: 0.25, UsableWidth: 44, Columns: 50, Rows: 50, Layout: quilt.Zigzag,
		Strips:  []quilt.Strip{{Cut: 2, Fabric: "warm"}, {Cut: 2, Fabric: "cool"}},
		Fabrics: []quilt.Fabric{{Key: "warm", Colours: []quilt.Colour{{}}}, {Key: "cool", Colours: []quilt.Colour{{}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	takes := p.Set.CutSide() * (2500 + 0.6*100)
	rnd := rand.New(rand.NewPCG(seed, 500))
	var out []scraps.Scrap
	var have [2]float64
	for i := range 500 {
		s := scraps.Scrap{
			Fabric: []string{"warm", "cool"}[i%2], Count: 1,
			Length: 9 + 0.25*float64(rnd.IntN(4*35+1)),
			Width:  2 + 0.25*float64(rnd.IntN(15)),
		}
		have[i%2] += s.Length * float64(int(s.Width/2))
		out = append(out, s)
	}
	// Wider scraps until there is so much more than the pieces take.
	for f := range 2 {
		for i := f; have[f] < more*takes; i = (i + 2) % 500 {
			out[i].Width += 2
			have[f] += out[i].Length
		}
	}
	return p, out
}

// 500 scraps for 2,500 diamonds, with more or less to spare: the gap between
// the plan and what no plan can be below is at most 3 %.
func TestFiveHundredScraps(t *testing.T) {
	mores := map[geometry.Angle][]float64{60: {1.2, 1.5}, 45: {1.5}}
	if outside.Full() {
		mores = map[geometry.Angle][]float64{60: {1.15, 1.16, 1.2, 1.5}, 45: {1.3, 1.35, 1.5}}
	}
	for angle, mores := range mores {
		for _, more := range mores {
			p, in := fiveHundred(t, 1, more, angle)
			out, err := scraps.New(p, in, false)
			if err != nil {
				t.Fatal(err)
			}
			if !out.Enough {
				t.Errorf("%v degrees, %v times as much: not enough (proven: %v)", float64(angle), more, out.Proven)
				continue
			}
			check(t, p, in, out)
			gap := 100 * float64(len(out.Sets)-out.Bound.Sets) / float64(out.Bound.Sets)
			t.Logf("%v degrees, %v times as much: %d strip sets, at least %d, gap %.2f %%; sewn %.1f, at least %.1f", float64(angle), more, len(out.Sets), out.Bound.Sets, gap, out.Length, out.Bound.Length)
			if gap > 3 {
				t.Errorf("gap %.2f %%", gap)
			}
		}
	}
}

func BenchmarkScraps(b *testing.B) {
	for _, c := range []struct {
		more  float64
		angle geometry.Angle
	}{{1.15, 60}, {1.2, 60}, {1.5, 60}, {1.35, 45}} {
		b.Run(fmt.Sprintf("scraps=500,diamonds=2500,times=%v,degrees=%v", c.more, float64(c.angle)), func(b *testing.B) {
			p, in := fiveHundred(b, 1, c.more, c.angle)
			b.ReportAllocs()
			for b.Loop() {
				if out, err := scraps.New(p, in, false); err != nil || !out.Enough {
					b.Fatal(err)
				}
			}
		})
	}
	p, in := fiveHundred(b, 1, 1.2, 60)
	b.Run("largest,scraps=500", func(b *testing.B) {
		for b.Loop() {
			if out, err := scraps.New(p, in, true); err != nil || out.Quilt == nil {
				b.Fatal(err)
			}
		}
	})
	few := in[:200]
	b.Run("short,scraps=200", func(b *testing.B) {
		for b.Loop() {
			if out, err := scraps.New(p, few, false); err != nil || out.Enough {
				b.Fatal(err)
			}
		}
	})
}
