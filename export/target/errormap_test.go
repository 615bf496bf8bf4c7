// SPDX-License-Identifier: Apache-2.0

package target

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/export/svg"
	"lozenge/geometry"
)

// solved returns the calibration of a tilted projector with a lens.
func solved(t rapid.TB, g calibrate.Grid, tilt, k1, noise float64) calibrate.Result {
	targets, err := calibrate.Targets(fullHD, g, 1)
	if err != nil {
		t.Fatal(err)
	}
	var list []calibrate.Reading
	r, c := fullHD.Radius(), fullHD.Centre()
	for i, at := range targets {
		px, py := (at.U-c.X)/r, (at.V-c.Y)/r
		q := 1 + k1*(px*px+py*py)
		px, py = px*q, py*q
		w := 1 + tilt*px - tilt/2*py
		// Any fixed errors do; their size is that of hand readings.
		list = append(list, calibrate.Reading{Point: at.Point, U: at.U, V: at.V,
			X: 19 + 20*px/w + noise*math.Sin(float64(7*i)), Y: 11 - 20*py/w + noise*math.Cos(float64(11*i))})
	}
	return calibrate.Solve(list, fullHD, calibrate.Options{})
}

// The shades tile the calibrated area, and each place has the shade of its
// error.
func TestShadesTellTheError(t *testing.T) {
	outside.Cases(t, 20, 100)
	rapid.Check(t, func(t *rapid.T) {
		g := calibrate.Grid{Columns: rapid.IntRange(2, 4).Draw(t, "columns"), Rows: rapid.IntRange(2, 4).Draw(t, "rows")}
		r := solved(t, g, rapid.Float64Range(-0.15, 0.15).Draw(t, "tilt"), rapid.Float64Range(0, 0.02).Draw(t, "k1"), rapid.Float64Range(0.002, 0.06).Draw(t, "noise"))
		if r.Map == nil {
			return // rejected: there is nothing to draw
		}
		unit := geometry.Unit(rapid.IntRange(0, 1).Draw(t, "unit"))
		s := ErrorMap(r.Map, r.Points, unit)
		per := unit.Of(1, 2.54)
		_, area := r.Map.Area()
		bands := bands(unit)
		got := 0.0
		for _, f := range s.Fills {
			for _, p := range f.Polygons {
				middle := geometry.Point{}
				for _, v := range p {
					middle = middle.Add(v.Mul(1 / (float64(len(p)) * per)))
				}
				if middle.Y > area.Bounds().Max.Y {
					continue // the key
				}
				got += math.Abs(p.Area())
				e := r.Map.LocalError(middle.X, middle.Y) * per
				least := 0.0
				for _, b := range bands {
					if b.colour == f.Colour && !(e > least*0.98 && e < b.most*1.02) {
						t.Fatalf("%v at %v is shaded as %s", e, middle, b.words)
					}
					least = b.most
				}
			}
		}
		if want := area.Area() * per * per; math.Abs(got-want) > 1e-3*want {
			t.Fatalf("%v is shaded of %v", got, want)
		}
		var out, again bytes.Buffer
		if err := svg.Write(&out, s); err != nil {
			t.Fatal(err)
		}
		if svg.Write(&again, ErrorMap(r.Map, r.Points, unit)) != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
			t.Fatal("drawn twice, it differs")
		}
	})
}

// True inches: a cross stands on the sheet where it lands on the mat, and the
// grid's lines where their numbers say.
func TestErrorMapIsTrueToTheMat(t *testing.T) {
	r := solved(t, calibrate.Grid{Columns: 4, Rows: 3}, 0.1, 0.01, 0.02)
	for _, unit := range []geometry.Unit{geometry.Inch, geometry.Centimetre} {
		s := ErrorMap(r.Map, r.Points, unit)
		per := unit.Of(1, 2.54)
		if s.Unit != unit || s.Scale != 1 {
			t.Errorf("unit %v, scale %v", s.Unit, s.Scale)
		}
		for _, p := range r.Points {
			x, y := r.Map.ToMat(p.U, p.V)
			found := false
			for _, path := range s.Paths {
				if len(path.Points) == 2 && !path.Thin {
					m := path.Points[0].Add(path.Points[1]).Mul(0.5 / per)
					found = found || m.Sub(geometry.Point{X: x, Y: y}).Len() < 1e-9
				}
			}
			if !found {
				t.Errorf("cross %d is not at %v, %v", p.Point, x, y)
			}
		}
		if !hasText(s, "12") || !hasText(s, [...]string{"18", "40"}[unit]) || hasText(s, "measure again") {
			t.Errorf("%v", s.Texts)
		}
		for _, text := range s.Texts {
			wide := outside.Helvetica(text.Value, text.Height, false)
			if text.Centred {
				wide /= 2
			}
			if text.At.X < s.Page.Min.X || text.At.X+wide > s.Page.Max.X || text.At.Y < s.Page.Min.Y || text.At.Y+text.Height > s.Page.Max.Y {
				t.Errorf("%q stands off the page", text.Value)
			}
		}
	}
}

// A reading that stands out is marked where it should have been.
func TestErrorMapMarksSuspects(t *testing.T) {
	good := solved(t, calibrate.Grid{Columns: 3, Rows: 3}, 0.1, 0, 0.01)
	var list []calibrate.Reading
	for _, p := range good.Points {
		if p.Point == 6 {
			p.X++
		}
		list = append(list, p.Reading)
	}
	r := calibrate.Solve(list, fullHD, calibrate.Options{})
	if s := ErrorMap(r.Map, r.Points, geometry.Inch); !hasText(s, "6 measure again") {
		t.Errorf("%v", s.Texts)
	}
}

func hasText(s *draw.Drawing, value string) bool {
	for _, t := range s.Texts {
		if strings.Contains(t.Value, value) {
			return true
		}
	}
	return false
}
