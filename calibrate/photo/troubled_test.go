// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo/scene"
	"lozenge/export/outside"
)

// wrongOff is how far off a cross that is said to be found must never be, in
// inches.
const wrongOff = 1. / 32

// TestTroubledScenes has no photo in which something is wrong give a wrong
// calibration; from some none may come. With LOZENGE_SCENES=300 it draws as many
// scenes, half of them good, and says how many were refused.
func TestTroubledScenes(t *testing.T) {
	if n, err := strconv.Atoi(os.Getenv("LOZENGE_SCENES")); err == nil {
		manyScenes(t, n)
		return
	}
	few := map[string]bool{"no ring": true}
	for i, trouble := range scene.Troubles {
		if !outside.Full() && !few[trouble.Name] {
			continue
		}
		tryTrouble(t, i, uint64(200+i), 1000)
	}
}

// tryTrouble reports whether the photo was refused.
func tryTrouble(t *testing.T, which int, seed uint64, width int) bool {
	t.Helper()
	trouble := scene.Troubles[which]
	s := scene.Good(seed, width)
	trouble.Change(&s, rand.New(rand.NewPCG(seed, 9)))
	f, err := read(&s, s.Photo())
	if err != nil {
		return true
	}
	_, worst := astray(&s, f)
	r := calibrate.Solve(f.Readings(), f.Screen, calibrate.Options{})
	if r.Verdict == calibrate.OK && (worst > wrongOff || trouble.Hopeless) {
		t.Errorf("scene %d with %s: %v, the worst cross %.4f in off", seed, trouble.Name, r.Verdict, worst)
	}
	return r.Verdict != calibrate.OK
}

// manyScenes draws many scenes, good ones and troubled ones in turn.
func manyScenes(t *testing.T, n int) {
	good, refused, troubled, stopped := 0, 0, 0, 0
	for i := range n {
		seed := uint64(10000 + i)
		width := []int{1200, 1600}[i/2%2]
		if i%2 == 1 {
			troubled++
			if tryTrouble(t, i/2%len(scene.Troubles), seed, width) {
				stopped++
			}
			continue
		}
		good++
		s := scene.Good(seed, width)
		f, err := read(&s, s.Photo())
		if err != nil {
			refused++
			t.Logf("good scene %d, %d wide, is refused: %v", seed, width, err)
			continue
		}
		if _, worst := astray(&s, f); worst > wrongOff {
			t.Errorf("good scene %d, %d wide: the worst cross %.4f in off", seed, width, worst)
		}
		if i%20 == 0 {
			t.Logf("%d good scenes, %d refused; %d troubled ones, %d refused", good, refused, troubled, stopped)
		}
	}
	t.Logf("%d good scenes, %d refused; %d troubled ones, %d refused", good, refused, troubled, stopped)
}
