// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// calibrationCases are the cases of testdata/check/calibration.json.
type calibrationCases struct {
	Cases []struct {
		ID, Model, Verdict string
		Src                [][2]float64 `json:"src_svg"`
		Dst                [][2]float64 `json:"dst_in"`
		Expected           struct {
			H         [][]float64  `json:"H_svg_to_mat_h33_1"`
			K1        float64      `json:"k1"`
			Residuals [][2]float64 `json:"residuals_measured_minus_fit_in"`
		}
	}
	Squares []struct {
		ID       string
		L, W, H  float64
		D1, D2   float64
		Expected map[string]any
	} `json:"square_cases"`
}

func readCalibrationCases(t *testing.T) (c calibrationCases) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/check/calibration.json")
	if err == nil {
		err = json.Unmarshal(data, &c)
	}
	if err != nil || len(c.Cases) != 27 || len(c.Squares) != 7 {
		t.Fatalf("%d cases, %d squares, %v; 27 and 7 are known", len(c.Cases), len(c.Squares), err)
	}
	return c
}

// runIn runs a command with text as its standard input.
func runIn(text string, args ...string) (status int, out, talk string) {
	var o, e bytes.Buffer
	status = run(args, strings.NewReader(text), &o, &e)
	return status, o.String(), e.String()
}

// keysOf lists the keys of a JSON text, nested, those of a list's members
// once.
func keysOf(t *testing.T, text string) []string {
	t.Helper()
	var v any
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	keys := map[string]bool{}
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, inner := range v {
				keys[strings.TrimPrefix(path+"."+k, ".")] = true
				walk(path+"."+k, inner)
			}
		case []any:
			for _, inner := range v {
				walk(path, inner)
			}
		}
	}
	walk("", v)
	var out []string
	for k := range keys {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

var solveKeys = []string{
	"centre", "expected_error", "expected_error.median", "expected_error.p95", "expected_error.worst", "expected_error.worst_at",
	"homography", "k1", "k2", "max", "model",
	"points", "points.deleted_residual", "points.expected_x", "points.expected_y", "points.point", "points.read_x", "points.read_y",
	"points.residual", "points.residual_x", "points.residual_y", "points.suspect",
	"reasons", "rms", "sigma", "swapped", "verdict",
}

// From table to JSON, as a program sees it: every reference case gets the
// whole answer, its verdict and the status that goes with it, and the map and
// the residuals of the 40-digit solution.
func TestSolveReferenceCases(t *testing.T) {
	maps := 0
	for _, c := range readCalibrationCases(t).Cases {
		if c.Src == nil {
			continue // a published matrix, no readings
		}
		csv := "point,u,v,x,y\n"
		for i, s := range c.Src {
			csv += fmt.Sprintf("%d,%s,%s,%s,%s\n", i+1, plain(s[0]), plain(s[1]), plain(c.Dst[i][0]), plain(c.Dst[i][1]))
		}
		lens := "off"
		if c.Model == "H+k1" {
			lens = "fit"
		}
		status, out, talk := runIn(csv, "calibrate", "solve", "-", "--screen", "1920x1080", "--lens", lens, "--json")
		want, wantStatus := calibrate.Suspect, statusNo
		switch {
		case strings.HasPrefix(c.Verdict, "ok"):
			want, wantStatus = calibrate.OK, statusDone
		case strings.HasPrefix(c.Verdict, "reject"):
			want = calibrate.Rejected
		}
		var got jsonSolve
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Errorf("%s: %v\n%s%s", c.ID, err, out, talk)
			continue
		}
		if got.Verdict != string(want) || status != wantStatus {
			t.Errorf("%s: %s with status %d, want %s (%s)\n%v", c.ID, got.Verdict, status, want, c.Verdict, got.Reasons)
		}
		if len(got.Points) != len(c.Src) {
			t.Errorf("%s: %d points of %d", c.ID, len(got.Points), len(c.Src))
		}
		if d := cmp.Diff(solveKeys, keysOf(t, out)); d != "" {
			t.Errorf("%s: keys: %s", c.ID, d)
		}
		if c.Expected.H == nil || got.Homography == nil || want != calibrate.OK {
			continue
		}
		maps++
		for i, s := range c.Src {
			u, v := s[0], s[1]
			px, py := (u-960)/math.Hypot(960, 540), (v-540)/math.Hypot(960, 540)
			bend := func(k1 float64, h [][]float64) (x, y float64) {
				q := 1 + k1*(px*px+py*py)
				du, dv := 960+(u-960)*q, 540+(v-540)*q
				w := h[2][0]*du + h[2][1]*dv + h[2][2]
				return (h[0][0]*du + h[0][1]*dv + h[0][2]) / w, (h[1][0]*du + h[1][1]*dv + h[1][2]) / w
			}
			h := got.Homography
			x, y := bend(*got.K1, [][]float64{h[0][:], h[1][:], h[2][:]})
			wx, wy := bend(c.Expected.K1, c.Expected.H)
			p := got.Points[i]
			r := c.Expected.Residuals[i]
			for _, off := range []float64{x - wx, y - wy, *p.ExpectedX - wx, *p.ExpectedY - wy, *p.ResidualX - r[0], *p.ResidualY - r[1]} {
				if !(math.Abs(off) <= 1e-7) {
					t.Errorf("%s, point %d: off by %v", c.ID, p.Point, off)
				}
			}
		}
	}
	if maps < 10 {
		t.Errorf("only %d maps were compared", maps)
	}
}

// plain writes a number without an exponent.
func plain(v float64) string {
	text := fmt.Sprintf("%.17f", v)
	return strings.TrimRight(strings.TrimRight(text[:min(len(text), 20)], "0"), ".")
}

// Every reference square: its numbers, and a status that says whether it is
// true.
func TestSquareReferenceCases(t *testing.T) {
	for _, c := range readCalibrationCases(t).Squares {
		status, out, _ := runIn("", "calibrate", "square", "--size", plain(c.L), "--width", plain(c.W), "--height", plain(c.H),
			"--diagonals", plain(c.D1)+","+plain(c.D2), "--json")
		if d := cmp.Diff([]string{"advice", "closure", "scale_x", "scale_y", "skew_degrees", "verdict"}, keysOf(t, out)); d != "" {
			t.Errorf("%s: keys: %s", c.ID, d)
		}
		var got jsonSquare
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		for key, v := range map[string]*float64{"scale_x": got.ScaleX, "scale_y": got.ScaleY, "skew_deg": got.Skew, "parallelogram_residual_in": got.Closure} {
			if want := c.Expected[key].(float64); v == nil || !(math.Abs(*v-want) < 1e-9) {
				t.Errorf("%s: %s is %v, want %v", c.ID, key, v, want)
			}
		}
		if (got.Verdict == "suspect") != (c.Expected["residual_flag_3sigma"] == true) || (status == statusDone) != (got.Verdict == "ok") {
			t.Errorf("%s: %s with status %d", c.ID, got.Verdict, status)
		}
	}
}

func TestFractionsOfTheTrade(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0 in", 1e-6: "1/64 in", 1. / 64: "1/64 in", 0.0157: "1/32 in", 0.0287: "1/32 in", 1. / 32: "1/32 in",
		0.04: "3/64 in", 1. / 16: "1/16 in", 0.999: "1 in", 1.01: "1 1/64 in", math.Inf(1): "unknown",
	} {
		if got := within(v, geometry.Inch); got != want {
			t.Errorf("%v: %s, want %s", v, got, want)
		}
	}
	for v, want := range map[float64]string{0: "0 mm", 0.04: "0.4 mm", 0.0401: "0.5 mm", 0.2: "2 mm"} {
		if got := within(v/2.54, geometry.Centimetre); got != want {
			t.Errorf("%v cm: %s, want %s", v, got, want)
		}
	}
	if within(math.NaN(), geometry.Inch) != "unknown" {
		t.Error("NaN")
	}
	for v, want := range map[float64]string{0: "0", 0.01: "under 1/64", 0.03: "1/32", 1: "1"} {
		if got := offBy(v, geometry.Inch); got != want {
			t.Errorf("%v: %s, want %s", v, got, want)
		}
	}
}

// A quilt cut to a drawing at the wrong scale: the cut sizes go with the
// drawing, the seam allowance stays. By hand: 5 in diamonds of two 3 in strips
// are cut 5 1/2 in wide; at 97 % that is 5.335 in, 4.835 in finished, and the
// quilt loses the same part of its size.
func TestQuiltAtTheWrongScale(t *testing.T) {
	pattern := "unit: in\nstrips: [{cut: 3, fabric: a}, {cut: 3, fabric: b}]\ncolumns: 8\nrows: 9\n"
	p, err := talk{in: strings.NewReader(pattern), err: &bytes.Buffer{}}.readPlan("-")
	if err != nil {
		t.Fatal(err)
	}
	got := scaled(p, 0.97)
	want := []float64{5.335, 4.835, p.Finished.Width * 4.835 / 5, p.Finished.Height * 4.835 / 5}
	for i, v := range []float64{got.cut, got.finished, got.quilt.Width, got.quilt.Height} {
		if math.Abs(v-want[i]) > 1e-12 {
			t.Errorf("%v, want %v", v, want[i])
		}
	}
	if same := scaled(p, 1); math.Abs(same.quilt.Width-p.Finished.Width) > 1e-12 || math.Abs(same.quilt.Height-p.Finished.Height) > 1e-12 {
		t.Errorf("%+v", same)
	}
	if gone := scaled(p, 0.05); gone.finished != 0 || gone.quilt.Width != 0 {
		t.Errorf("%+v", gone)
	}
}

// What solve reads is what target wrote: from the empty table, filled in for
// a projector that hangs square above the mat, to the calibration that is
// kept, for every grid.
func TestFromTargetToCalibration(t *testing.T) {
	for _, grid := range []string{"2x2", "3x3", "4x3", "9x9"} {
		status, out, talk := runIn("", "calibrate", "target", "--screen", "1920x1080", "--grid", grid, "-o", t.TempDir()+"/t.svg", "--csv", "-")
		if status != statusDone {
			t.Fatal(talk)
		}
		lines := strings.Split(strings.TrimSpace(out), "\n")
		for i, l := range lines[1:] {
			var p int
			var u, v float64
			if _, err := fmt.Sscanf(l, "%d,%g,%g,,", &p, &u, &v); err != nil || p != i+1 {
				t.Fatalf("%q: %v", l, err)
			}
			lines[i+1] = fmt.Sprintf("%d,%v,%v,%s,%s", p, u, v, plain(1+u/56), plain(20-v/56))
		}
		status, out, talk = runIn(strings.Join(lines, "\n"), "calibrate", "solve", "-", "--screen", "1920x1080", "-o", "-")
		if status != statusDone || !strings.Contains(talk, "VERDICT: OK") {
			t.Fatalf("%s: status %d\n%s", grid, status, talk)
		}
		var f calibrate.File
		if err := json.Unmarshal([]byte(out), &f); err != nil {
			t.Fatal(err)
		}
		m, err := f.Map()
		if err != nil {
			t.Fatal(err)
		}
		if x, y := m.ToMat(560, 280); math.Abs(x-11) > 1e-9 || math.Abs(y-15) > 1e-9 {
			t.Errorf("%s: %v, %v", grid, x, y)
		}
	}
}
