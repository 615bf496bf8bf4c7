// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/quilt"
)

// drawCutSheets lays a plan on sheets for a cutter, in one of the ways.
func drawCutSheets(t *rapid.T) (*quilt.Plan, []nest.Sheet, sheet.Cutting) {
	p := drawPlan(t)
	u := p.Spec.Unit
	bed := nest.Bed{Width: u.Of(24, 60), Height: u.Of(16, 40), Margin: u.Of(0.25, 0.5), Gap: u.Of(0.125, 0.3)}
	c := sheet.Cutting{StripSets: rapid.Bool().Draw(t, "strip sets"), Lines: rapid.Bool().Draw(t, "lines")}
	var sheets []nest.Sheet
	var err error
	if c.StripSets {
		sheets, err = nest.StripSets(p.Set, p.Need, []nest.Bed{bed}, p.Yield.Length, p.Spec.MixLeans)
	} else {
		sheets, err = nest.Pieces(p.Set, p.Need, []nest.Bed{bed})
	}
	if err != nil {
		return p, nil, c
	}
	return p, sheets, c
}

// inTextFrame returns a point as it lies to a text that begins at (0, 0) and
// runs to the right.
func inTextFrame(x draw.Text, p geometry.Point) geometry.Point {
	sin, cos := x.Turn.SinCos()
	d := p.Sub(x.At)
	return geometry.Point{X: d.X*cos + d.Y*sin, Y: d.Y*cos - d.X*sin}
}

// Law: the page is the sheet; nothing lies off it; every piece is labelled
// with size, lean and fabric inside its outline; no label lies on a cut line
// or a seam.
func TestCutSheetLabels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sheets, c := drawCutSheets(t)
		for i, s := range sheets {
			d := sheet.CutSheet(p, s, i+1, c)
			if d.Page != (geometry.Rect{Max: geometry.Point{X: s.Width, Y: s.Height}}) {
				t.Fatalf("the page is %v", d.Page)
			}
			if len(d.Parts) != len(s.Pieces()) {
				t.Fatalf("%d pieces noted of %d", len(d.Parts), len(s.Pieces()))
			}
			names := map[string]bool{}
			for _, piece := range d.Parts {
				if names[piece.Name] {
					t.Fatalf("two pieces are named %q", piece.Name)
				}
				names[piece.Name] = true
				all := strings.Join(piece.Labels, "; ")
				for _, word := range []string{"lean", "finished", "cloth"} {
					if !strings.Contains(all, word) {
						t.Fatalf("labels %q say nothing of %s", all, word)
					}
				}
				inside := 0
				for _, x := range d.Texts {
					if contains(piece.Outline, x.At) && contains(piece.Outline, middleOf(x)) {
						inside++
					}
				}
				if inside != len(piece.Labels) {
					t.Fatalf("%q has %d texts inside, want %d", piece.Name, inside, len(piece.Labels))
				}
			}
			for _, x := range d.Texts {
				flat := x
				flat.At = geometry.Point{}
				b := box(flat)
				for _, path := range d.Paths {
					if path.Role == draw.Mark {
						continue
					}
					for j, u := range path.Points {
						v := path.Points[(j+1)%len(path.Points)]
						if _, hit := b.Clip(geometry.Segment{A: inTextFrame(x, u), B: inTextFrame(x, v)}); hit {
							t.Fatalf("label %q lies on a %v line from %v to %v", x.Value, path.Role, u, v)
						}
					}
				}
				if !(x.At.X >= 0 && x.At.X <= s.Width && x.At.Y >= 0 && x.At.Y <= s.Height) || x.Turn == 0 && b.Max.X+x.At.X > s.Width {
					t.Fatalf("label %q at %v lies off the sheet", x.Value, x.At)
				}
			}
			if q := d.Square; q != nil && (q.At.X < s.Margin-1e-9 || q.At.Y < s.Margin-1e-9 ||
				q.At.X+q.Side > s.Width-s.Margin+1e-9 || q.At.Y+q.Side > s.Height-s.Margin+1e-9) {
				t.Fatalf("the square lies in the margin: %+v", q)
			}
		}
	})
}

func contains(g geometry.Polygon, p geometry.Point) bool {
	for i, a := range g {
		if g[(i+1)%len(g)].Sub(a).Cross(p.Sub(a)) < 0 {
			return false
		}
	}
	return true
}

// middleOf returns the middle of a centred text's height.
func middleOf(x draw.Text) geometry.Point {
	sin, cos := x.Turn.SinCos()
	return x.At.Add(geometry.Point{X: -sin, Y: cos}.Mul(x.Height / 2))
}

// Law: a right-leaning diamond looks right-leaning on the sheet, and
// left-leaning when the fabric lies wrong side up; its name stays.
func TestLeanOnTheSheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sheets, c := drawCutSheets(t)
		var named [2]int
		for i, s := range sheets {
			rows := s
			if p.Spec.Face == geometry.FaceDown {
				rows = s.Mirror()
			}
			d := sheet.CutSheet(p, s, i+1, c)
			n := 0
			for _, r := range rows.Rows {
				for range r.Pieces {
					piece := d.Parts[n]
					n++
					if !strings.HasSuffix(piece.Name, "diamond") || p.Spec.Angle == 90 {
						continue
					}
					lean := geometry.Right
					if strings.Contains(piece.Name, "left-leaning") {
						lean = geometry.Left
					}
					named[lean] += s.Number
					// The finished corners in the row's frame: the upper two lie
					// to the right of the lower two, or to the left.
					along := geometry.Point{X: r.Turn.Cos(), Y: r.Turn.Sin()}
					upper, lower := 0.0, 0.0
					middle := 0.0
					for _, v := range piece.Finished {
						middle += along.Cross(v) / 4
					}
					for _, v := range piece.Finished {
						if along.Cross(v) > middle {
							upper += along.Dot(v)
						} else {
							lower += along.Dot(v)
						}
					}
					looks := geometry.Right
					if upper < lower {
						looks = geometry.Left
					}
					if (looks == lean) != (p.Spec.Face == geometry.FaceUp) {
						t.Fatalf("%s looks %v-leaning, face %v", piece.Name, looks, p.Spec.Face)
					}
				}
			}
		}
		if len(sheets) > 0 && p.Spec.Angle != 90 {
			for lean, n := range named {
				if n < p.Need[lean][geometry.Diamond] {
					t.Fatalf("%d %v-leaning diamonds, need %d", n, geometry.Lean(lean), p.Need[lean][geometry.Diamond])
				}
			}
		}
	})
}

// A die says how wide a strip to feed and which way it runs, and has a
// calibration square.
func TestDie(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		u := p.Spec.Unit
		bed := nest.Bed{Width: u.Of(40, 100), Height: u.Of(16, 40), Margin: u.Of(0.25, 0.5), Gap: u.Of(0.25, 0.6)}
		s, err := nest.Gang(p.Set, geometry.Diamond, geometry.Right, 2, bed)
		var large *nest.TooLarge
		var few *nest.GangError
		if errors.As(err, &large) || errors.As(err, &few) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		d := sheet.Die(p, s, "right-leaning diamonds", sheet.Cutting{StripSets: true})
		all := ""
		for _, x := range d.Texts {
			all += x.Value + "\n"
		}
		for _, want := range []string{"along the strip", "feed strip sets " + geometry.FormatLength(p.Set.Width, u), "right-leaning diamond", "2 pieces"} {
			if !strings.Contains(all, want) {
				t.Fatalf("nothing says %q:\n%s", want, all)
			}
		}
		if d.Square == nil || d.Square.Side != u.Of(4, 10) || len(d.Parts) != 2 {
			t.Fatalf("square %v, %d pieces", d.Square, len(d.Parts))
		}
	})
}
