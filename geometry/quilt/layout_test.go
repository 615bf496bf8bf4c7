// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"lozenge/export/outside"
)

// anyLayout returns a layout with a repeat of so many columns and rows at most.
func anyLayout(r *rand.Rand, columns, rows int) Layout {
	return layoutOf(r, 1+r.IntN(columns), 1+r.IntN(rows))
}

// layoutOf returns a layout of cells drawn at random.
func layoutOf(r *rand.Rand, columns, rows int) Layout {
	var lines []string
	for range rows {
		var line strings.Builder
		for range columns {
			line.WriteByte("RLrl"[r.IntN(4)])
		}
		lines = append(lines, line.String())
	}
	l, err := NewLayout(lines)
	if err != nil {
		panic(err)
	}
	return l
}

// The count without laying pieces is the count of the pieces laid.
func TestNeedsAreWhatIsLaid(t *testing.T) {
	layouts := []Layout{Zigzag, Chevron, OneWay}
	r := rand.New(rand.NewPCG(22, 1))
	for range len(outside.Of(make([]int, 20), make([]int, 1000))) {
		layouts = append(layouts, anyLayout(r, 5, 4))
	}
	for _, l := range layouts {
		needs := l.Needs()
		for columns := 1; columns < 8; columns++ {
			for rows := 1; rows < 9; rows++ {
				if got, want := needs(columns, rows), countPieces(l.lay(columns, rows)); got != want {
					t.Errorf("%v, %d columns, %d rows: %v, want %v", l, columns, rows, got, want)
				}
			}
		}
	}
}

// A repeat comes down to the smallest that lays every quilt alike, whatever it
// was written as, and is called by its setting. By hand.
func TestLayoutComesDown(t *testing.T) {
	for _, c := range []struct {
		rows string
		want Layout
		is   string // as rows, the top row first
	}{
		{"L R", Zigzag, "L R"},
		{"LLL RRR LLL RRR", Zigzag, "L R"},
		{"l R", Chevron, "l R"},
		{"ll RR", Chevron, "l R"},
		{"RR RR", OneWay, "R"},
		{"R L", Layout{1, "LR"}, "R L"},
		{"r", Layout{1, "r"}, "r"},
		{"RLRL RLRL", Layout{2, "RL"}, "RL"},
		{"RLR RLR", Layout{3, "RLR"}, "RLR"},
		{"RL LR", Layout{2, "LRRL"}, "RL LR"},
		{"RL LR RL", Layout{2, "RLLRRL"}, "RL LR RL"},
	} {
		got, err := NewLayout(strings.Fields(c.rows))
		if err != nil || got != c.want || !slices.Equal(got.Rows(), strings.Fields(c.is)) {
			t.Errorf("%s: %#v %v, rows %v", c.rows, got, err, got.Rows())
		}
	}
}

// A plan of a repeat as large as the quilt, in one colour a fabric and in a
// gradient: 2,500 diamonds take less than 50 ms, and the exponent, from 2,500 to
// 40,000, is below 1.1 (DESIGN's own figures).
func BenchmarkOwnLayout(b *testing.B) {
	for _, colours := range []int{1, 6} {
		for _, n := range []int{50, 200} {
			s := ownSpec(n, n, colours)
			b.Run(fmt.Sprintf("%d colours, %d diamonds", colours, n*n), func(b *testing.B) {
				for b.Loop() {
					if _, err := New(s); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// ownSpec returns a quilt whose layout has a repeat as large as it is.
func ownSpec(columns, rows, colours int) Spec {
	l := layoutOf(rand.New(rand.NewPCG(22, 3)), columns, rows)
	s := Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 40, Layout: l, Columns: columns, Rows: rows,
		Strips:  []Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
		Fabrics: []Fabric{{Key: "a"}, {Key: "b", Colours: []Colour{{240, 240, 240}}}},
		Backing: struct{ UsableWidth, Extra float64 }{42, 4},
	}
	for i := range colours {
		s.Fabrics[0].Colours = append(s.Fabrics[0].Colours, Colour{uint8(25 * i), uint8(30 * i), uint8(20 * i)})
	}
	return s
}
