// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/calibrate/photo/scene"
	"lozenge/geometry"
)

// A tally is what many scenes gave. Lengths are in inches.
type tally struct {
	mu             sync.Mutex
	tried, refused map[string]int       // by kind of scene
	off, area      map[string][]float64 // by size of photo: crosses, places
	long           map[string][]float64 // lengths of 24
	inside, places int                  // of what is promised
	asked          int                  // good ones, how wide the picture is
}

func (n *tally) add(f func()) {
	n.mu.Lock()
	defer n.mu.Unlock()
	f()
}

const (
	goodKind    = "good"
	firstScene  = 10000
	mostRefused = 0.03 // of good scenes
	enough      = 200  // good scenes tell how exact and how honest the figures are
	tellAfter   = 50   // scenes
	longLength  = 24.0
)

// The sizes of photos, and what is reached at each, in inches: what the work was
// begun with, and no published figure.
var sizes = []struct {
	name             string
	width            int
	p95, worst       float64 // of crosses; no worst is asked of small ones
	area, longLength float64 // p95 over the calibrated area, and of lengths of 24
}{
	{"1600 px", 1600, 0.006, wrongOff, 0.006, 0.006},
	{"4 Mpx", 2312, 0.006, wrongOff, 0.006, 0.006},
	{"12 Mpx", 4000, 0.002, 0.006, 0.004, 0.006},
}

func (n *tally) kind(name string, refused bool) {
	if n.tried == nil {
		n.tried, n.refused = map[string]int{}, map[string]int{}
		n.off, n.area, n.long = map[string][]float64{}, map[string][]float64{}, map[string][]float64{}
	}
	n.tried[name]++
	if refused {
		n.refused[name]++
	}
}

// manyScenes draws as many scenes as asked for, good ones and troubled ones in
// turn, of all sizes: 300, or 200-300 for some in the middle.
func manyScenes(t *testing.T, asked string) {
	a, b, part := strings.Cut(asked, "-")
	from, err := 0, error(nil)
	if part {
		from, err = strconv.Atoi(a)
		a = b
	}
	to, wrong := strconv.Atoi(a)
	if err != nil || wrong != nil {
		t.Fatalf("LOZENGE_SCENES is %q; write 300, or 200-300", asked)
	}
	var n tally
	next := make(chan int)
	var workers sync.WaitGroup
	for range 2 {
		workers.Go(func() {
			for i := range next {
				n.try(t, i)
			}
		})
	}
	began := time.Now()
	for i := from; i < to; i++ {
		next <- i
		if (i-from)%tellAfter == tellAfter-1 {
			n.add(func() { t.Logf("%d scenes, %v\n%s", i-from+1, time.Since(began).Round(time.Second), n.figures()) })
		}
	}
	close(next)
	workers.Wait()
	t.Logf("%d scenes, %v\n%s", to-from, time.Since(began).Round(time.Second), n.figures())
	n.judge(t)
}

// judge holds what many scenes gave to what is to be reached.
func (n *tally) judge(t *testing.T) {
	good := n.tried[goodKind]
	if refused := n.refused[goodKind]; float64(refused) > 1+mostRefused*float64(good) { // one is chance
		t.Errorf("%d of %d good scenes are refused", refused, good)
	}
	if good < enough {
		return
	}
	if part := float64(n.inside) / float64(n.places); part < 0.92 || part > 0.995 {
		t.Errorf("%.3f of places lie within the promise", part)
	}
	for _, size := range sizes {
		for _, one := range []struct {
			what       string
			of         []float64
			p95, worst float64
		}{
			{"crosses", n.off[size.name], size.p95, size.worst},
			{"places", n.area[size.name], size.area, math.Inf(1)},
			{"lengths of 24 in", n.long[size.name], size.longLength, math.Inf(1)},
		} {
			if p95, worst := quantiles(one.of); p95 > one.p95 || worst > one.worst {
				t.Errorf("%s: %s are up to %.4f in off in 95 of 100, %.4f in at worst", size.name, one.what, p95, worst)
			}
		}
	}
}

// quantiles returns below what 95 of 100 lie, and all; 0 for none.
func quantiles(v []float64) (p95, worst float64) {
	if len(v) == 0 {
		return 0, 0
	}
	v = slices.Sorted(slices.Values(v))
	return v[len(v)*95/100], v[len(v)-1]
}

// try takes the scene of that number: most are as a messenger shrinks photos,
// some larger.
func (n *tally) try(t *testing.T, i int) {
	width := sizes[0].width
	switch i % 80 {
	case 6, 27, 46, 67:
		width = sizes[1].width
	case 38, 73:
		width = sizes[2].width
	}
	if seed := uint64(firstScene + i); i%2 == 1 {
		n.troubled(t, i/2%len(scene.Troubles), seed, width)
	} else {
		n.good(t, seed, width)
	}
}

// good tries a scene with nothing wrong in it.
func (n *tally) good(t *testing.T, seed uint64, width int) {
	s := scene.Any(seed, width)
	f, asked, err := readAsked(t, &s)
	if asked {
		n.add(func() { n.asked++ })
	}
	if err != nil {
		n.add(func() { n.kind(goodKind, true) })
		t.Logf("good scene %d, %d wide, is refused: %v", seed, width, err)
		return
	}
	each, worst := astray(&s, f)
	if worst > wrongOff {
		t.Errorf("good scene %d, %d wide: the worst cross %.4f in off", seed, width, worst)
	}
	r := calibrate.Solve(f.Readings(), f.Screen, calibrate.Options{})
	if r.Verdict != calibrate.OK {
		n.add(func() { n.kind(goodKind, true) })
		t.Logf("good scene %d, %d wide, is %s: %v", seed, width, r.Verdict, r.Reasons)
		return
	}
	area, long := overArea(&s, f, &r), lengths(&s, &r)
	n.add(func() {
		n.kind(goodKind, false)
		size := ""
		for _, one := range sizes {
			if one.width == width {
				size = one.name
			}
		}
		for _, v := range each {
			n.off[size] = append(n.off[size], math.Hypot(v[0], v[1]))
		}
		n.area[size], n.long[size] = append(n.area[size], area...), append(n.long[size], long...)
		for _, v := range area {
			if n.places++; v <= r.Expected.P95 {
				n.inside++
			}
		}
	})
}

// readAsked reads a photo, and where the answer asks for it says how wide the
// picture is on the mat, as a tape has it: 5 of 100 off.
func readAsked(t testing.TB, s *scene.Scene) (f *photo.Found, asked bool, err error) {
	im := s.Photo()
	f, err = read(t, s, im)
	var no *photo.Refusal
	if !errors.As(err, &no) || no.Rule != photo.WhichGrid {
		return f, false, err
	}
	p := &s.Projector
	ax, ay := p.ToMat(0, float64(p.Height)/2)
	bx, by := p.ToMat(float64(p.Width), float64(p.Height)/2)
	s.Said.Wide = math.Hypot(bx-ax, by-ay) * (.95 + .1*float64(s.Seed%2))
	f, err = read(t, s, im)
	return f, true, err
}

// lengths returns how far lengths of 24 in about the middle of the picture are
// off.
func lengths(s *scene.Scene, r *calibrate.Result) (off []float64) {
	x, y := r.Map.ToMat(float64(s.Projector.Width)/2, float64(s.Projector.Height)/2)
	for k := range 12 {
		sin, cos := math.Sincos(math.Pi * float64(k) / 12)
		var ends [2]geometry.Point
		inside := true
		for i, way := range [2]float64{-1, 1} {
			p := geometry.Point{X: x + way*longLength/2*cos, Y: y + way*longLength/2*sin}
			u, v, ok := r.Map.ToScreen(p.X, p.Y)
			if !ok || !r.Map.Holds(p) {
				inside = false
				break
			}
			ends[i].X, ends[i].Y = s.Projector.ToMat(u, v)
		}
		if inside {
			off = append(off, math.Abs(math.Hypot(ends[1].X-ends[0].X, ends[1].Y-ends[0].Y)-longLength))
		}
	}
	return off
}

// figures says what was found, as rows of a table.
func (n *tally) figures() string {
	var out strings.Builder
	for _, size := range sizes {
		for _, one := range []struct {
			what string
			of   []float64
		}{{"crosses", n.off[size.name]}, {"places", n.area[size.name]}, {"lengths of 24 in", n.long[size.name]}} {
			p95, worst := quantiles(one.of)
			fmt.Fprintf(&out, "%s: %d %s, p95 %.4f, worst %.4f\n", size.name, len(one.of), one.what, p95, worst)
		}
	}
	fmt.Fprintf(&out, "%.3f of places within the promise; asked of %d good ones how wide the picture is\n", float64(n.inside)/float64(max(n.places, 1)), n.asked)
	for _, name := range slices.Sorted(maps.Keys(n.tried)) {
		fmt.Fprintf(&out, "%s: %d of %d refused\n", name, n.refused[name], n.tried[name])
	}
	return out.String()
}
