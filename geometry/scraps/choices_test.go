// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// Laws of what a scrap bin makes: each quilt can be made, none beats another, one
// is chosen and passes the checker, with all that is left of the scraps.
func TestChoicesLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		p.Spec.ColourOrder = quilt.Gradient
		in := drawScraps(t, p, 8)
		out, err := scraps.Quilt(p, in, false)
		var not *quilt.NotMade
		if errors.As(err, &not) {
			if len(not.Choices) > 0 {
				t.Fatalf("nothing is chosen of %+v", not.Choices)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		chosen := 0
		for i, c := range out.Quilt.Choices {
			if i > 0 && (c.Columns <= out.Quilt.Choices[i-1].Columns || c.Rows >= out.Quilt.Choices[i-1].Rows) {
				t.Fatalf("%+v beside %+v", c, out.Quilt.Choices[i-1])
			}
			if c.Chosen {
				chosen++
				if c.Columns != out.Quilt.Columns || c.Rows != out.Quilt.Rows || c.StripSets != len(out.Sets) {
					t.Fatalf("chosen %+v, made %+v in %d", c, out.Made, len(out.Sets))
				}
			}
		}
		if chosen != 1 {
			t.Fatalf("%d chosen", chosen)
		}
		spec := p.Spec
		spec.Columns, spec.Rows, spec.Finish = out.Quilt.Columns, out.Quilt.Rows, nil
		of, err := quilt.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		check(t, of, in, out)
		c := rapid.SampledFrom(out.Quilt.Choices).Draw(t, "choice")
		spec.Columns, spec.Rows = c.Columns, c.Rows
		if of, err = quilt.New(spec); err != nil {
			t.Fatal(err)
		}
		made, err := scraps.Quilt(of, in, true)
		if err != nil || !made.Enough || len(made.Quilt.Choices) > 0 {
			t.Fatalf("%+v can't be made: %v", c, err)
		}
		// The bill holds every strip that is sewn, once.
		strips := 0
		for _, w := range out.Quilt.Cutting {
			for _, s := range w.Strips {
				strips += w.Times * s.Count
				if len(s.StripSets) != w.Times*s.Count {
					t.Fatalf("%+v", w)
				}
			}
		}
		if strips != len(out.Sets)*len(p.Spec.Strips) {
			t.Fatalf("%d strips in the bill of %d strip sets", strips, len(out.Sets))
		}
	})
}
