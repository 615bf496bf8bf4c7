// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"fmt"
	"testing"

	"lozenge/geometry/quilt"
)

// colourful is a zigzag of n x n diamonds from two strips, of so many and
// three colours.
func colourful(n, colours int, order quilt.ColourOrder) quilt.Spec {
	s := spec([]float64{2.5, 2.5}, 0.25, 60, 40, quilt.Zigzag, n, n)
	s.ColourOrder = order
	for i, m := range []int{colours, 3} {
		s.Fabrics[i].Colours = nil
		for c := range m {
			s.Fabrics[i].Colours = append(s.Fabrics[i].Colours, quilt.Colour{uint8(37 * c), uint8(91 * c), uint8(100*i + c>>3)})
		}
	}
	return s
}

// 100,000 diamonds take somewhat more than 40 times as long as 2,500.
func BenchmarkColourOrder(b *testing.B) {
	for _, order := range []quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands} {
		for _, colours := range []int{2, 7} {
			for _, n := range []int{50, 316} {
				b.Run(fmt.Sprintf("%v/colours=%d/diamonds=%d", order, colours, n*n), func(b *testing.B) {
					s := colourful(n, colours, order)
					for b.Loop() {
						if _, err := quilt.New(s); err != nil {
							b.Fatal(err)
						}
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n), "ns/diamond")
				})
			}
		}
	}
}

// Every strip set in colours of its own: the walk through all of them is no
// longer the shortest, but must end in time.
func BenchmarkManyColours(b *testing.B) {
	for _, order := range []quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands} {
		for _, colours := range []int{400, 15000} {
			b.Run(fmt.Sprintf("%v/colours=%d", order, colours), func(b *testing.B) {
				s := colourful(316, colours, order)
				for b.Loop() {
					if _, err := quilt.New(s); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// A gradient of many colours, with what matched edges would cost.
func BenchmarkGradientEdges(b *testing.B) {
	for _, n := range []int{50, 100, 316} {
		b.Run(fmt.Sprintf("colours=24/diamonds=%d", n*n), func(b *testing.B) {
			s := colourful(n, 24, quilt.Gradient)
			for b.Loop() {
				p, err := quilt.New(s)
				if err != nil {
					b.Fatal(err)
				}
				p.Edges()
			}
		})
	}
}
