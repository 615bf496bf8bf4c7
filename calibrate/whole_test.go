// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/outside"
	"lozenge/geometry"
)

// scipy's least squares (the dogleg of a trust region, from another start, on
// the model written anew) comes to the same map as the whole lens, given how
// the readings and moved crosses are weighed.
func TestWholeAgainstScipy(t *testing.T) {
	python := outside.Python(t, "scipy")
	type request struct {
		From, To   [][2]float64
		Covariance [][]float64
		Lens       [4]float64
		At         [][2]float64
	}
	var ask []request
	var results []calibrate.Result
	at := [][2]float64{{0, 0}, {1920, 0}, {1920, 1080}, {0, 1080}, {960, 540}, {300, 800}, {1500, 333}}
	for i := range outside.Of(uint64(6), 20) {
		r := rand.New(rand.NewPCG(i, 9))
		g := regimeGrids[i%4]
		w := regimes[int(i)%len(regimes)].aim(r)
		readings := w.read(r, g, 32)
		var nudges []calibrate.Nudge
		if i%3 == 0 {
			_, readings, nudges = moved(t, r, g, 5, 0.02*r.Float64()-0.01, 1.0/32, 0.5)
		}
		s := calibrate.Refine(readings, nudges, fullHD, calibrate.Options{})
		if s.Model != calibrate.Whole || s.Used != len(readings) || s.UsedNudges != len(nudges) {
			continue
		}
		q := request{At: at}
		for _, o := range readings {
			q.From, q.To = append(q.From, [2]float64{o.U, o.V}), append(q.To, [2]float64{o.X, o.Y})
		}
		for _, o := range nudges {
			q.From, q.To = append(q.From, [2]float64{o.U, o.V}), append(q.To, [2]float64{o.X, o.Y})
		}
		q.Covariance, q.Lens = s.Map.Believed()
		ask, results = append(ask, q), append(results, s)
	}
	if len(ask) < outside.Of(4, 12) {
		t.Fatalf("only %d cases", len(ask))
	}
	data, err := json.Marshal(ask)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "ask.json")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var answers [][][2]float64
	if err := json.Unmarshal(outside.Run(t, python, "-c", scipyWhole, file), &answers); err != nil {
		t.Fatal(err)
	}
	most := 0.0
	for i, a := range answers {
		for j, p := range at {
			x, y := results[i].Map.ToMat(p[0], p[1])
			off := math.Hypot(x-a[j][0], y-a[j][1])
			most = max(most, off)
			if !(off <= 1e-6) {
				t.Errorf("%d readings, %d nudges, at %v: (%v, %v), want %v", len(results[i].Points), len(results[i].Nudged), p, x, y, a[j])
			}
		}
	}
	t.Logf("%d maps, %.2g in apart at most", len(answers), most)
}

const scipyWhole = `
import json, sys
import numpy as np
from scipy.optimize import least_squares

W, H = 1920.0, 1080.0
R = np.hypot(W, H) / 2

def model(p, uv):
    q = (uv - [W/2, H/2]) / R
    d = q - p[10:12]
    r2 = (d**2).sum(axis=1)
    b = q + d * (p[8]*r2 + p[9]*r2**2)[:, None]
    w = b @ p[6:8] + 1
    return np.stack([(b @ p[0:2] + p[2]) / w, (b @ p[3:5] + p[5]) / w], axis=1)

out = []
for q in json.load(open(sys.argv[1])):
    uv, xy = np.array(q["From"]), np.array(q["To"])
    middle = xy.mean(axis=0)
    L = np.linalg.cholesky(np.array(q["Covariance"]))
    lens = np.array(q["Lens"])
    def f(p):
        return np.concatenate([np.linalg.solve(L, (model(p, uv) - (xy - middle)).ravel()), p[8:] / lens])
    n = np.hstack([(uv - [W/2, H/2]) / R, np.ones((len(uv), 1))])
    start = np.linalg.lstsq(n, xy - middle, rcond=None)[0]
    p = np.concatenate([start[:, 0], start[:, 1], [0, 0], [0, 0, 0, 0]])
    scale = np.concatenate([np.full(6, 10.0), [0.1, 0.1], lens])
    p = least_squares(f, p, x_scale=scale, xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=2000).x
    p = least_squares(f, p, jac='3-point', x_scale=scale, xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=2000).x
    out.append((model(p, np.array(q["At"])) + middle).tolist())
json.dump(out, sys.stdout)
`

// The centre of a lens that is shifted by half the picture's height is found
// where 25 exact readings tell it, and cut lines go where they should.
func TestShiftedCentre(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	w := regime{k1: 0.01, up: 0.5}.aim(r)
	w.p.k1 = 0.01
	var readings []calibrate.Reading
	for _, c := range targetsOf(calibrate.Grid{Columns: 5, Rows: 5}) {
		x, y := w.land(c.U, c.V)
		to := func(v float64) float64 { return math.Round(v*64) / 64 }
		readings = append(readings, calibrate.Reading{Point: c.Point, U: c.U, V: c.V, X: to(x), Y: to(y)})
	}
	s := calibrate.Solve(readings, fullHD, calibrate.Options{Unit: geometry.Inch})
	if s.Model != calibrate.Whole || s.Verdict != calibrate.OK {
		t.Fatalf("%s, %s: %v", s.Model, s.Verdict, s.Reasons)
	}
	t.Logf("k1 %.4f, k2 %.4f, centre %.0f, true one %.0f", s.K1, s.K2, s.Centre, []float64{960 + w.cu, 540 + w.cv})
	if math.Abs(s.Centre.Y-540-w.cv) > 270 || (s.Centre.Y-540)*w.cv < 0 {
		t.Errorf("centre %v, want %v below the middle", s.Centre, w.cv)
	}
}

// Where the readings ask for a lens that no projector has, only k1 is fitted, and
// that is said: the error that is then told knows nothing of the rest.
func TestLensInPart(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	s := calibrate.Solve(aim(r, -0.3).readGrid(r, calibrate.Grid{Columns: 5, Rows: 5}, 1, 0), fullHD, calibrate.Options{})
	if s.Verdict != calibrate.Suspect || s.Model != calibrate.Lensed || rules(s) != string(calibrate.LensInPart) {
		t.Errorf("%s, %s: %s", s.Verdict, s.Model, rules(s))
	}
}
