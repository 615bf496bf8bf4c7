// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// A two-strip set of 3 in strips finishes 5 in wide, so the row step is 5 in
// and the column step 5.7735 in: 9 columns by 9 rows are the smallest quilt
// that covers 44 x 50 in (8 columns make 43.30 in; 9 rows make 50 in exactly).
func TestFinishChoosesTheSmallestThatCovers(t *testing.T) {
	s := spec([]float64{3, 3}, 0.25, 60, 40, quilt.Zigzag, 0, 0)
	s.Finish = &quilt.Size{Width: 44, Height: 50}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	if p.Columns != 9 || p.Rows != 9 {
		t.Fatalf("%d columns, %d rows, want 9 and 9", p.Columns, p.Rows)
	}
	got := fmt.Sprintf("%.4f %.4f", p.Choice.Under, p.Choice.Over)
	if want := "{43.3013 45.0000} {49.0748 50.0000}"; got != want {
		t.Errorf("under and over %s, want %s", got, want)
	}
}

// Law: the chosen quilt covers the size, one column or row fewer does not,
// and the exact size of a quilt chooses that quilt.
func TestFinishLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		exact := mustPlan(t, s)
		again := s
		again.Columns, again.Rows, again.Finish = 0, 0, &exact.Finished
		if p := mustPlan(t, again); p.Columns != s.Columns || p.Rows != s.Rows {
			t.Fatalf("size of %d x %d chose %d x %d", s.Columns, s.Rows, p.Columns, p.Rows)
		}
		target := quilt.Size{
			Width:  exact.Finished.Width * rapid.Float64Range(0.1, 8).Draw(t, "width"),
			Height: exact.Finished.Height * rapid.Float64Range(0.1, 8).Draw(t, "height"),
		}
		again.Finish = &target
		p := mustPlan(t, again)
		c := p.Choice
		if c.Over != p.Finished || c.Over.Width < target.Width-geometry.Fit || c.Over.Height < target.Height-geometry.Fit ||
			c.Under.Width >= target.Width || c.Under.Height >= target.Height {
			t.Fatalf("%+v for %+v", *c, target)
		}
	})
}

// A strip set sewn narrower makes a smaller quilt of as many pieces.
func TestSewnWidthKeepsTheCounts(t *testing.T) {
	s := spec([]float64{3, 3}, 0.25, 60, 40, quilt.Zigzag, 0, 0)
	s.Finish = &quilt.Size{Width: 44, Height: 50}
	s.SewnWidth = 5.4375
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	// h = 5 7/16 - 1/2 = 4.9375; (9 + 1) h = 49.375 high.
	if p.Columns != 9 || p.Rows != 9 || p.Finished.Height != 49.375 || p.Set.Width != 5.4375 {
		t.Errorf("%d x %d, height %v, width %v", p.Columns, p.Rows, p.Finished.Height, p.Set.Width)
	}
	// a' = (6 - 5.4375)/2 = 0.28125, so the seam lies at 3 - 0.28125.
	if y := p.Set.Seams[0]; y != 2.71875 {
		t.Errorf("seam line at %v, want 2.71875", y)
	}
}

func TestErrorsNameTheField(t *testing.T) {
	for field, change := range map[string]func(*quilt.Spec){
		"angle":         func(s *quilt.Spec) { s.Angle = 10 },
		"seam":          func(s *quilt.Spec) { s.Seam = 0 },
		"strips":        func(s *quilt.Spec) { s.Strips = nil },
		"strips[1].cut": func(s *quilt.Spec) { s.Strips[1].Cut = 0.5 },
		"columns":       func(s *quilt.Spec) { s.Columns = 0 },
		"rows":          func(s *quilt.Spec) { s.Rows = -1 },
		"finish":        func(s *quilt.Spec) { s.Finish = &quilt.Size{Width: 1e7, Height: 1} },
		"end_trim":      func(s *quilt.Spec) { s.EndTrim = 40 },
		"sewn_width":    func(s *quilt.Spec) { s.SewnWidth = 0.4 },
	} {
		s := spec([]float64{3, 3}, 0.25, 60, 40, quilt.Zigzag, 4, 4)
		change(&s)
		_, err := quilt.New(s)
		var e *geometry.Error
		if !errors.As(err, &e) || e.Field != field {
			t.Errorf("%s: got %v", field, err)
		}
	}
}

func TestNotes(t *testing.T) {
	s := spec([]float64{3, 3}, 0.25, 60, 40, quilt.OneWay, 4, 4)
	s.Fabrics = nil // of no colour that could run together
	p, _ := quilt.New(s)
	if len(words.Notes(p)) != 1 || !strings.Contains(words.Notes(p)[0], "sews the strips back together") {
		t.Errorf("one-way with one colour a fabric: %q", words.Notes(p))
	}
	s = spec([]float64{3, 2, 3}, 0.25, 60, 40, quilt.Zigzag, 4, 4)
	s.Fabrics = nil
	p, _ = quilt.New(s)
	if len(words.Notes(p)) != 1 || !strings.Contains(words.Notes(p)[0], "islands") {
		t.Errorf("three strips in zigzag: %q", words.Notes(p))
	}
}

// Law: every piece comes from a strip set that gives it, and no strip set
// gives more than is cut from it.
func TestColoursFollowTheStripSets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		for i := range s.Fabrics {
			s.Fabrics[i].Colours = make([]quilt.Colour, rapid.IntRange(1, 5).Draw(t, "colours"))
		}
		s.ColourOrder = rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands}).Draw(t, "order")
		p := mustPlan(t, s)
		used := make([]quilt.Count, len(p.Fewest.Layouts))
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		for _, pl := range p.Pieces {
			used[pl.StripSet][pl.Lean][pl.Shape]++
		}
		for k, u := range used {
			for lean := range u {
				for shape, n := range u[lean] {
					if n > p.Fewest.Layouts[k].Gives[lean][shape] {
						t.Fatalf("strip set %d: %v used, gives %v", k, u, p.Fewest.Layouts[k].Gives)
					}
				}
			}
		}
	})
}

func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{16, 50, 160, 440} {
		b.Run(fmt.Sprintf("diamonds=%d", n*n), func(b *testing.B) {
			s := spec([]float64{2.5}, 0.25, 60, 40, quilt.Zigzag, n, n)
			for b.Loop() {
				if _, err := quilt.New(s); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n), "ns/diamond")
		})
	}
}
