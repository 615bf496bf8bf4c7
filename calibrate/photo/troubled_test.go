// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"math/rand/v2"
	"os"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo/scene"
	"lozenge/export/outside"
)

// wrongOff is how far off a cross that is said to be found must never be, in
// inches.
const wrongOff = 1. / 32

// scenesInFull is how many scenes LOZENGE_FULL=1 draws: some five minutes of two
// processors. .ci/scenes draws more.
const scenesInFull = "500"

// TestTroubledScenes has no photo in which something is wrong give a wrong
// calibration; from some none may come. Half of many scenes are good: hardly any
// of those may be refused.
func TestTroubledScenes(t *testing.T) {
	if asked := os.Getenv("LOZENGE_SCENES"); asked != "" {
		manyScenes(t, asked)
		return
	}
	if outside.Full() {
		manyScenes(t, scenesInFull)
		return
	}
	for i, trouble := range scene.Troubles {
		if trouble.Name == "no ring" {
			var n tally
			n.troubled(t, i, uint64(200+i), 1000)
		}
	}
}

// TestScenesOnceRefused reads good scenes that were refused once.
func TestScenesOnceRefused(t *testing.T) {
	outside.OnlyFull(t)
	for _, seed := range []uint64{
		10026, // faint unevenness beside one line looked like marks
	} {
		s := scene.Any(seed, 1600)
		if _, _, err := readAsked(t, &s); err != nil {
			t.Errorf("scene %d: %v", seed, err)
		}
	}
}

// TestScenesOnceWrong reads good scenes in which a cross was far off once.
func TestScenesOnceWrong(t *testing.T) {
	outside.OnlyFull(t)
	for _, once := range []struct {
		seed  uint64
		width int
		most  float64 // in
	}{
		{10042, 1600, 0.01},  // a slanting line ran beside an arm
		{15398, 4000, 0.004}, // the same
		{14358, 4000, 0.004}, // a slanting line lay in an arm
		{19798, 4000, 0.004}, // the same
		{10518, 4000, 0.004}, // a slanting line lay along the edge of an arm
		{13638, 4000, 0.004}, // little of an arm was seen, on one side beside a slanting line
		{15238, 4000, 0.004}, // an arm was seen on one side of the middle alone
	} {
		s := scene.Any(once.seed, once.width)
		f, _, err := readAsked(t, &s)
		if err != nil {
			t.Errorf("scene %d: %v", once.seed, err)
		} else if _, worst := astray(&s, f); worst > once.most {
			t.Errorf("scene %d: the worst cross %.4f in off", once.seed, worst)
		}
	}
}

// troubled tries a scene with one of the troubles.
func (n *tally) troubled(t *testing.T, which int, seed uint64, width int) {
	t.Helper()
	trouble := scene.Troubles[which]
	s := scene.Any(seed, width)
	trouble.Change(&s, rand.New(rand.NewPCG(seed, 9)))
	f, _, err := readAsked(t, &s)
	refused := err != nil
	if !refused {
		_, worst := astray(&s, f)
		r := calibrate.Solve(f.Readings(), f.Screen, calibrate.Options{})
		if r.Verdict == calibrate.OK && (worst > wrongOff || trouble.Hopeless) {
			t.Errorf("scene %d, %d wide, with %s: ok, the worst cross %.4f in off", seed, width, trouble.Name, worst)
		}
		refused = r.Verdict != calibrate.OK
	}
	n.add(func() { n.kind(trouble.Name, refused) })
}
