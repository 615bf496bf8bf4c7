// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"lozenge/export/outside"
)

// BenchmarkAgainstOpenCV fits a homography to readings to 1/32 in of a grid of
// crosses, and has OpenCV do the same with its method 0: both begin with the
// direct linear transformation and then make the squared distances on the mat
// least by Levenberg and Marquardt's iteration. Ours also finds the covariance,
// without which it has no homography to give. OpenCV is called from Python,
// whose part is taken off. Metrics besides the times: how far the two maps lie
// apart at most, anywhere on the screen, in billionths of an inch; the root mean square distance of each
// from the readings; and the time of a whole Solve, with the search for blunders
// and the error to be expected.
func BenchmarkAgainstOpenCV(b *testing.B) {
	for _, side := range []int{3, 5} {
		b.Run(fmt.Sprintf("points=%d", side*side), func(b *testing.B) { againstOpenCV(b, side) })
	}
}

func againstOpenCV(b *testing.B, side int) {
	python := outside.Python(b, "cv2")
	screen := Screen{1920, 1080}
	readings := tiltedReadings(screen, side)
	var given struct {
		Screen [][2]float64 `json:"screen"`
		Mat    [][2]float64 `json:"mat"`
	}
	for _, r := range readings {
		given.Screen = append(given.Screen, [2]float64{r.U, r.V})
		given.Mat = append(given.Mat, [2]float64{r.X, r.Y})
	}
	data, err := json.Marshal(given)
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "readings.json")
	if err := os.WriteFile(file, data, 0o644); err != nil {
		b.Fatal(err)
	}
	var ours, theirs [3][3]float64
	fitOnce := func() {
		c := newSession(readings, nil, screen, Options{Lens: LensOff})
		start, ok := startAt(c.obs)
		if !ok {
			b.Fatal("no linear fit")
		}
		if c.fit, ok = start.fit(); !ok {
			b.Fatal("no fit")
		}
		if c.bench.minimise(&c.fit, c.obs, mostSteps); !c.fit.settled || !c.bench.covariance(&c.fit, c.obs) {
			b.Fatal("not settled")
		}
		h := c.homography()
		ours = *h
	}
	var race outside.Race
	var whole []float64
	for b.Loop() {
		our := outside.Timed(500, fitOnce)
		whole = append(whole, outside.Timed(50, func() { Solve(readings, screen, Options{Lens: LensOff}) }).Seconds())
		var said struct {
			Seconds    float64
			Homography [3][3]float64
		}
		if err := json.Unmarshal(outside.Run(b, python, filepath.Join("testdata", "compare_opencv.py"), file), &said); err != nil {
			b.Fatal(err)
		}
		race.Round(our, time.Duration(said.Seconds*float64(time.Second)))
		theirs = said.Homography
	}
	apart := 0.0
	for u := 0.0; u <= float64(screen.Width); u += 60 {
		for v := 0.0; v <= float64(screen.Height); v += 60 {
			x, y := through(&ours, u, v)
			p, q := through(&theirs, u, v)
			apart = max(apart, math.Hypot(x-p, y-q))
		}
	}
	race.Report(b)
	b.ReportMetric(apart*1e9, "nin-apart")
	b.ReportMetric(rmsOf(&ours, readings), "in-our-rms")
	b.ReportMetric(rmsOf(&theirs, readings), "in-their-rms")
	b.ReportMetric(outside.Median(whole).Seconds()*1e3, "ms-whole-solve")
	// OpenCV keeps places in single precision: 24 bits of 1920 pixels are
	// 1e-4 of a pixel, 2e-6 in here.
	if apart > 1e-4 || rmsOf(&ours, readings) > rmsOf(&theirs, readings)+1e-9 {
		b.Errorf("%v in apart; ours lies %v in from the readings, theirs %v", apart, rmsOf(&ours, readings), rmsOf(&theirs, readings))
	}
}

// tiltedReadings are those of a grid under a projector that looks down askew,
// read to 1/32 in.
func tiltedReadings(s Screen, side int) []Reading {
	rnd := rand.New(rand.NewPCG(9, 25))
	h := [3][3]float64{{0.0187, 0.0011, 1.2}, {0.0007, -0.0191, 21.4}, {1.7e-5, -2.3e-5, 1}}
	var out []Reading
	for i := range side {
		for j := range side {
			u := float64(s.Width) * (0.05 + 0.9*float64(i)/float64(side-1))
			v := float64(s.Height) * (0.05 + 0.9*float64(j)/float64(side-1))
			x, y := through(&h, u, v)
			read := func(v float64) float64 { return math.Round((v+0.03*rnd.NormFloat64())*32) / 32 }
			out = append(out, Reading{Point: len(out) + 1, U: u, V: v, X: read(x), Y: read(y)})
		}
	}
	return out
}

func through(h *[3][3]float64, u, v float64) (x, y float64) {
	w := h[2][0]*u + h[2][1]*v + h[2][2]
	return (h[0][0]*u + h[0][1]*v + h[0][2]) / w, (h[1][0]*u + h[1][1]*v + h[1][2]) / w
}

func rmsOf(h *[3][3]float64, readings []Reading) float64 {
	sum := 0.0
	for _, r := range readings {
		x, y := through(h, r.U, r.V)
		sum += (x-r.X)*(x-r.X) + (y-r.Y)*(y-r.Y)
	}
	return math.Sqrt(sum / float64(len(readings)))
}
