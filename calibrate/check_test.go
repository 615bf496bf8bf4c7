// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"lozenge/calibrate"
)

// The cases of testdata/check/calibration.json: expected maps from Gauss and
// Newton's iteration in 40-digit arithmetic.
type checkCase struct {
	ID, Note, Model, Verdict string
	Src                      [][2]float64 `json:"src_svg"`
	Dst                      [][2]float64 `json:"dst_in"`
	Strength                 float64      `json:"dlt_s8_over_s1"`
	Outliers                 []int        `json:"expected_outliers"`
	Expected                 struct {
		H         [][]float64  `json:"H_svg_to_mat_h33_1"`
		K1        float64      `json:"k1"`
		Residuals [][2]float64 `json:"residuals_measured_minus_fit_in"`
		RMS       float64      `json:"rms_in"`
		Max       float64      `json:"max_in"`
		DetSign   float64      `json:"det_sign"`
		Inverse   []struct {
			Mat [2]float64 `json:"mat_in"`
			SVG [2]float64 `json:"svg"`
		} `json:"inverse_check"`
		ErrorMap struct {
			Max float64 `json:"rms_over_sigma_max"`
		} `json:"error_map"`
	}
	LOO *struct {
		Deleted []float64 `json:"deleted_residual_in"`
	} `json:"loo"`
	// A published 3x3 matrix with places on both sides.
	H        [][]float64  `json:"H"`
	RawSrc   [][2]float64 `json:"src"`
	RawDst   [][2]float64 `json:"dst"`
	HInverse [][]float64  `json:"H_inverse_h33_1"`
}

type squareCase struct {
	ID       string
	L, W, H  float64
	D1, D2   float64
	Verdict  string
	Expected struct {
		ScaleX  float64 `json:"scale_x"`
		ScaleY  float64 `json:"scale_y"`
		Skew    float64 `json:"skew_deg"`
		Closure float64 `json:"parallelogram_residual_in"`
		Flag    bool    `json:"residual_flag_3sigma"`
	}
}

var fullHD = calibrate.Screen{Width: 1920, Height: 1080}

func checkCases(t *testing.T) (cases []checkCase, squares []squareCase) {
	t.Helper()
	data, err := os.ReadFile("../testdata/check/calibration.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases   []checkCase
		Squares []squareCase `json:"square_cases"`
	}
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cases) != 27 || len(file.Squares) != 7 {
		t.Fatalf("%d cases and %d squares; 27 and 7 are known", len(file.Cases), len(file.Squares))
	}
	return file.Cases, file.Squares
}

func readingsOf(c checkCase) []calibrate.Reading {
	src, dst := c.Src, c.Dst
	if src == nil {
		src, dst = c.RawSrc, c.RawDst
	}
	var out []calibrate.Reading
	for i := range src {
		out = append(out, calibrate.Reading{Point: i + 1, U: src[i][0], V: src[i][1], X: dst[i][0], Y: dst[i][1]})
	}
	return out
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g (off by %.3g)", what, got, want, got-want)
	}
}

func apply(h [3][3]float64, u, v float64) (x, y float64) {
	w := h[2][0]*u + h[2][1]*v + h[2][2]
	return (h[0][0]*u + h[0][1]*v + h[0][2]) / w, (h[1][0]*u + h[1][1]*v + h[1][2]) / w
}

// verdictOf maps a verdict of the reference to one of ours.
func verdictOf(reference string) calibrate.Verdict {
	switch {
	case strings.HasPrefix(reference, "ok"):
		return calibrate.OK
	case strings.HasPrefix(reference, "reject"):
		return calibrate.Rejected
	}
	return calibrate.Suspect
}

func TestReferenceCases(t *testing.T) {
	cases, _ := checkCases(t)
	maps := 0
	for _, c := range cases {
		if c.H != nil {
			continue // a matrix, no readings: TestPublishedMatrix
		}
		t.Run(c.ID, func(t *testing.T) {
			lens := calibrate.LensOff
			if c.Model == "H+k1" {
				lens = calibrate.LensFit
			}
			r := calibrate.Solve(readingsOf(c), fullHD, calibrate.Options{Lens: lens})
			if r.Verdict != verdictOf(c.Verdict) {
				t.Errorf("verdict %s, want %s (%s)\n%v", r.Verdict, verdictOf(c.Verdict), c.Verdict, r.Reasons)
			}
			if c.Expected.H == nil {
				return
			}
			maps++
			if r.Homography == nil {
				t.Fatalf("no map: %v", r.Reasons)
			}
			if string(r.Model) != c.Model {
				t.Fatalf("model %s, want %s", r.Model, c.Model)
			}
			near(t, "rms", r.RMS, c.Expected.RMS, 1e-7)
			near(t, "max", r.Max, c.Expected.Max, 1e-7)
			near(t, "k1", r.K1, c.Expected.K1, 1e-9)
			if c.Expected.ErrorMap.Max < 10 { // beyond, it depends on the grid
				near(t, "growth", r.Growth, c.Expected.ErrorMap.Max, 1e-6)
			}
			if c.Outliers == nil { // the reference counts the outlier in
				near(t, "strength", r.Strength, c.Strength, 1e-6)
			}
			var want [3][3]float64
			for i, row := range c.Expected.H {
				copy(want[i][:], row)
			}
			for i, p := range r.Points {
				near(t, "residual x", p.ResidualX, c.Expected.Residuals[i][0], 1e-7)
				near(t, "residual y", p.ResidualY, c.Expected.Residuals[i][1], 1e-7)
				u, v := bend(c.Src[i][0], c.Src[i][1], c.Expected.K1)
				x, y := apply(want, u, v)
				near(t, "expected x", p.ExpectedX, x, 1e-7)
				near(t, "expected y", p.ExpectedY, y, 1e-7)
				gx, gy := apply(*r.Homography, u, v)
				near(t, "homography x", gx, x, 1e-7)
				near(t, "homography y", gy, y, 1e-7)
				suspect := false
				for _, o := range c.Outliers {
					suspect = suspect || o == i
				}
				if p.Suspect != suspect {
					t.Errorf("cross %d: suspect %v, want %v", p.Point, p.Suspect, suspect)
				}
				if c.LOO != nil && c.Outliers == nil {
					near(t, "deleted residual", p.Deleted, c.LOO.Deleted[i], 1e-7)
				}
			}
			if mirrored := c.Expected.DetSign > 0; r.IsMirrored != mirrored {
				t.Errorf("mirrored %v, want %v", r.IsMirrored, mirrored)
			}
			if r.Verdict == calibrate.Rejected {
				if r.Map != nil {
					t.Error("a rejected calibration has a map")
				}
				return
			}
			for _, i := range c.Expected.Inverse {
				u, v, ok := r.Map.ToScreen(i.Mat[0], i.Mat[1])
				if !ok {
					t.Errorf("%v is off the screen", i.Mat)
				}
				near(t, "u", u, i.SVG[0], 1e-5)
				near(t, "v", v, i.SVG[1], 1e-5)
				x, y := r.Map.ToMat(u, v)
				near(t, "back x", x, i.Mat[0], 1e-9)
				near(t, "back y", y, i.Mat[1], 1e-9)
			}
		})
	}
	if maps < 17 {
		t.Errorf("only %d maps were compared", maps)
	}
}

// bend is the lens of the reference, for 1920 x 1080.
func bend(u, v, k1 float64) (bu, bv float64) {
	r := math.Hypot(960, 540)
	x, y := (u-960)/r, (v-540)/r
	g := 1 + k1*(x*x+y*y)
	return 960 + r*x*g, 540 + r*y*g
}

// By default the verdicts are the same, but for a lens that bends lines: the
// default takes it into account.
func TestReferenceVerdictsByDefault(t *testing.T) {
	cases, _ := checkCases(t)
	for _, c := range cases {
		want := verdictOf(c.Verdict)
		if c.H != nil {
			continue
		}
		if c.Verdict == "warn_systematic_residual" {
			want = calibrate.OK
		}
		if r := calibrate.Solve(readingsOf(c), fullHD, calibrate.Options{}); r.Verdict != want {
			t.Errorf("%s: %s, want %s: %v", c.ID, r.Verdict, want, r.Reasons)
		}
	}
}
