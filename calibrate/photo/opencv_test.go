// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"encoding/json"
	"fmt"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo/scene"
	"lozenge/export/outside"
)

// The chessboards that Debian's package opencv-doc has.
const chessboards = "/usr/share/doc/opencv-doc/examples/data"

// TestChessboards takes the lens out of 13 real photographs of a chessboard,
// from the corners that OpenCV finds in each, one photo alone. Least squares with
// k1 and k2 leave 0.236 pixels on average (measured with python3-opencv 4.6).
func TestChessboards(t *testing.T) {
	outside.OnlyFull(t)
	python := outside.Python(t, "cv2")
	if _, err := os.Stat(chessboards); err != nil {
		outside.Lacks(t, "opencv-doc is not installed (apt-get install opencv-doc)")
	}
	var boards [][][2]float64
	if err := json.Unmarshal(outside.Run(t, python, "testdata/opencv_corners.py", "chessboards", chessboards), &boards); err != nil || len(boards) != 13 {
		t.Fatalf("%d chessboards, %v; 13 are known", len(boards), err)
	}
	var all float64
	for i, corners := range boards {
		r := &ruling{camera: newCamera(640, 480)}
		var found []*node
		for k, p := range corners {
			found = append(found, &node{i: k % 9, j: k / 9, x: p[0], y: p[1]})
		}
		if !r.start(found, 1) {
			t.Fatalf("chessboard %d is not fitted", i+1)
		}
		mean := 0.0
		for k, p := range corners {
			x, y, _ := r.camera.back(float64(k%9), float64(k/9))
			mean += math.Hypot(x-p[0], y-p[1]) / float64(len(corners))
		}
		all += mean / float64(len(boards))
	}
	t.Logf("%.3f pixels are left on average", all)
	if all > 0.25 {
		t.Errorf("%.3f pixels are left on average", all)
	}
}

// TestAgainstCornerSubPix finds the crosses of the same photos with OpenCV's
// cornerSubPix, begun where ours ends, in windows of several sizes: the best of
// them is not more exact than ours.
func TestAgainstCornerSubPix(t *testing.T) {
	outside.OnlyFull(t)
	python := outside.Python(t, "cv2")
	var ours []float64
	theirs := make([][]float64, 5)
	for _, seed := range []uint64{3, 5, 8} {
		s := scene.Good(seed, 1600)
		im := s.Photo()
		f, err := Read(im, Options{Screen: calibrate.Screen{Width: 1920, Height: 1080}, Step: s.Mat.Step})
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "photo.png")
		w, err := os.Create(file)
		if err == nil {
			err = png.Encode(w, im)
		}
		if err != nil || w.Close() != nil {
			t.Fatal(err)
		}
		args := []string{"testdata/opencv_corners.py", "crosses", file}
		for _, c := range f.Crosses {
			args = append(args, fmt.Sprintf("%v,%v", c.Photo.X, c.Photo.Y))
		}
		var found [][][2]float64
		if err := json.Unmarshal(outside.Run(t, python, args...), &found); err != nil || len(found) != len(theirs) {
			t.Fatal(err)
		}
		off := func(c Cross, x, y float64) float64 {
			mx, my := s.ToMat(x, y)
			wx, wy := s.Projector.ToMat(c.U, c.V)
			return math.Hypot(mx-wx, my-wy)
		}
		for i, c := range f.Crosses {
			ours = append(ours, off(c, c.Photo.X, c.Photo.Y))
			for k := range theirs {
				theirs[k] = append(theirs[k], off(c, found[k][i][0], found[k][i][1]))
			}
		}
	}
	median := func(v []float64) float64 { return quantile(0.5, slices.Clone(v)) }
	best := math.Inf(1)
	for _, v := range theirs {
		best = min(best, median(v))
	}
	t.Logf("half of our crosses are within %.4f in, of OpenCV's best window within %.4f", median(ours), best)
	if median(ours) > best {
		t.Errorf("half of our crosses are within %.4f in, of OpenCV's best window within %.4f", median(ours), best)
	}
}
