// SPDX-License-Identifier: Apache-2.0

package sewing_test

import (
	"fmt"
	"strings"
	"testing"

	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// The smallest quilt with everything in it, two columns by two rows, drawn and
// sewn on paper by hand. Zigzag, 60 degrees. Diamonds (column, row) from the
// bottom; triangles close the bottom (row -1) and the top (row 2).
func TestTwoByTwoByHand(t *testing.T) {
	o := sewing.New(mustPlan(t, spec([]float64{3, 3}, 0.25, 60, quilt.Zigzag, 2, 2)))
	var got strings.Builder
	for _, r := range o.Rows {
		fmt.Fprintf(&got, "%s:", r.Letters)
		for i := r.First; i < r.First+r.Number; i++ {
			pc := o.Pieces[i]
			fmt.Fprintf(&got, " %s(%d,%d)", o.Label(i), pc.Column, pc.Row)
		}
		if r.Lone {
			fmt.Fprintf(&got, " lone, to %s", o.Rows[r.Neighbour].Letters)
		}
		got.WriteString("\n")
	}
	for _, s := range o.Seams {
		k := o.SeamKinds[s.Kind]
		fmt.Fprintf(&got, "%s %s-%s %s", o.Label(s.Pieces[0]), k.Edges[0].Kind, k.Edges[1].Kind, o.Label(s.Pieces[1]))
		if k.Under != sewing.Either {
			fmt.Fprintf(&got, ", %s underneath", o.Label(s.Pieces[k.Under]))
		}
		got.WriteString("\n")
	}
	for i, j := range o.Joins {
		fmt.Fprintf(&got, "%d: %v to %v, %d seams, bias %v\n", i+1, j.Rows[0], j.Rows[1], j.Number, j.Bias)
	}
	const want = `A: A1(0,2) lone, to B
B: B1(0,0) B2(0,1) B3(1,2)
C: C1(0,-1) C2(1,0) C3(1,1)
D: D1(1,-1) lone, to C
B1 crosscut-strip edge B2, B1 underneath
B2 strip edge-crosscut B3, B3 underneath
C1 strip edge-crosscut C2, C2 underneath
C2 crosscut-strip edge C3, C2 underneath
A1 strip edge-crosscut B2, B2 underneath
B1 strip edge-crosscut C1, C1 underneath
B2 crosscut-strip edge C2, B2 underneath
B3 strip edge-crosscut C3, C3 underneath
C2 strip edge-crosscut D1, D1 underneath
1: [0 0] to [1 1], 1 seams, bias [0 1]
2: [2 2] to [3 3], 1 seams, bias [0 1]
3: [0 1] to [2 3], 3 seams, bias [1 2]
`
	if got.String() != want {
		t.Errorf("got\n%swant\n%s", got.String(), want)
	}
}

// Quilts of one column, where a row may have a lone triangle on either side.
func TestOneColumn(t *testing.T) {
	for rows, want := range map[int]string{1: "0 lone", 2: "0 lone 0 lone", 3: "0 lone 1"} {
		o := sewing.New(mustPlan(t, spec([]float64{3}, 0.25, 60, quilt.Zigzag, 1, rows)))
		var got []string
		for _, j := range o.Joins {
			got = append(got, fmt.Sprint(j.Round))
			if j.Round == 0 {
				got = append(got, "lone")
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%d rows: %v, want %s", rows, got, want)
		}
	}
}

func BenchmarkNew(b *testing.B) {
	for _, size := range [][2]int{{50, 50}, {250, 400}} {
		b.Run(fmt.Sprintf("diamonds=%d", size[0]*size[1]), func(b *testing.B) {
			p, err := quilt.New(spec([]float64{2.5, 2.5}, 0.25, 60, quilt.Zigzag, size[0], size[1]))
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if o := sewing.New(p); len(o.Pieces) != len(p.Pieces) {
					b.Fatal("pieces are missing")
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(size[0]*size[1]), "ns/diamond")
		})
	}
}
