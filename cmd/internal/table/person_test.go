// SPDX-License-Identifier: Apache-2.0

package table

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/cmd/internal/pattern"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// planOf plans one of the example patterns.
func planOf(t testing.TB, name string) *quilt.Plan {
	t.Helper()
	p, err := pattern.Read("../../../testdata/"+name+".yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := quilt.New(p.Spec)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// person is someone at the mat, without a browser: she hears and is heard
// through actions.
type person struct {
	t   testing.TB
	s   *session
	mat virtual.Projector
	rnd *rand.Rand // her hand; nil is a steady one
}

func (p *person) does(a action) *view {
	p.t.Helper()
	data, err := json.Marshal(a)
	if err != nil {
		p.t.Fatal(err)
	}
	b, err := parseAction(data)
	if err != nil {
		p.t.Fatalf("%s: %v", data, err)
	}
	v := p.s.do(b)
	if _, err := json.Marshal(v); err != nil {
		p.t.Fatalf("%s: %v", data, err)
	}
	return v
}

func (p *person) presses(key string) *view { p.t.Helper(); return p.does(action{Do: doKey, Text: key}) }
func (p *person) types(text string) *view {
	p.t.Helper()
	return p.does(action{Do: doType, Text: text})
}

// fullScreen is the window of a page that fills a projector's picture.
func fullScreen(s calibrate.Screen, ratio float64) *window {
	return &window{
		Ratio: ratio, Wide: int(float64(s.Width) / ratio), High: int(float64(s.Height) / ratio),
		Device: [2]int{s.Width, s.Height}, Screen: s.String(), Pinch: 1, Secure: true, Awake: true,
	}
}

// sits down at the mat, with what was kept in a folder.
func sits(t testing.TB, plan *quilt.Plan, folder string, mat virtual.Projector) *person {
	t.Helper()
	p := &person{t: t, s: newSession(Config{Plan: plan, Folder: folder}), mat: mat}
	t.Cleanup(func() { p.s.close() })
	p.does(action{Do: doWindow, Window: fullScreen(mat.Screen, 1)})
	return p
}

func (p *person) stage(v *view, want string) {
	p.t.Helper()
	if v.Stage != want {
		p.t.Fatalf("at %s, not at %s: %q %q %q %+v", v.Stage, want, v.Say, v.More, v.Notes, v.Field)
	}
}

// reads types where a pixel lands, to 1/32 in or half a millimetre.
func (p *person) reads(u, v float64) string {
	x, y := p.mat.Land(u, v)
	unit := p.s.unit()
	return calibrate.WriteReading(x, unit) + ", " + calibrate.WriteReading(y, unit)
}

var twoLines = regexp.MustCompile(`lines (-?[0-9]+) and (-?[0-9]+)\.$`)

// moves lays the cross onto its crossing, as well as she can.
func (p *person) moves(v *view) *view {
	p.t.Helper()
	m := twoLines.FindStringSubmatch(v.Say)
	if m == nil || v.Cross == nil {
		p.t.Fatalf("%q, cross %+v", v.Say, v.Cross)
	}
	x, _ := strconv.ParseFloat(m[1], 64)
	y, _ := strconv.ParseFloat(m[2], 64)
	u := p.s.unit()
	pu, pv := p.mat.Lights(u.Inches(x), u.Inches(y))
	if p.rnd != nil {
		pu, pv = pu+0.5*p.rnd.NormFloat64(), pv+0.5*p.rnd.NormFloat64()
	}
	quarters := func(v float64) float64 { return math.Round(v*4) / 4 }
	du, dv := quarters(pu-v.Cross.At[0]), quarters(pv-v.Cross.At[1])
	// She knows right and up as they are on the mat.
	x0, _ := p.mat.Land(960, 540)
	if x1, _ := p.mat.Land(961, 540); x1 > x0 {
		p.does(action{Do: doNudge, Right: du, Up: -dv})
	} else {
		p.does(action{Do: doNudge, Right: -du, Up: dv})
	}
	return p.presses("Enter")
}

// calibrates goes from the beginning to the check square.
func (p *person) calibrates() *view {
	p.t.Helper()
	p.stage(p.presses("N"), "begin")
	v := p.types("cutting table")
	for i := range 9 {
		p.stage(v, "read")
		if !strings.HasPrefix(v.Say, fmt.Sprintf("Cross %d:", i+1)) || v.Field == nil || v.Field.Wrong != "" {
			p.t.Fatalf("%q, %+v", v.Say, v.Field)
		}
		at := crossOf(v)
		v = p.types(p.reads(at.X, at.Y))
	}
	p.stage(v, "read")
	v = p.presses("Enter")
	for v.Cross != nil {
		v = p.moves(v)
	}
	p.stage(v, "move")
	v = p.presses("Enter")
	p.stage(v, "square")
	return v
}

// crossOf returns where the bright cross of a view stands.
func crossOf(v *view) geometry.Point {
	for _, l := range v.Lines {
		if l.As == asCross {
			return geometry.Point{X: (l.Points[0] + l.Points[2]) / 2, Y: (l.Points[1] + l.Points[3]) / 2}
		}
	}
	return geometry.Point{}
}

// measures types the four lengths of the check square as it lies there,
// each longer by more.
func (p *person) measures(v *view, more [4]float64) *view {
	p.t.Helper()
	var at []geometry.Point
	for _, l := range v.Lines {
		if l.As == asSquare {
			x, y := p.mat.Land(l.Points[0], l.Points[1])
			at = append(at, geometry.Point{X: x, Y: y})
		}
	}
	if len(at) != 4 {
		p.t.Fatalf("a square with %d sides", len(at))
	}
	v = p.presses("s")
	for i, d := range [4]float64{at[0].Sub(at[1]).Len(), at[0].Sub(at[3]).Len(), at[0].Sub(at[2]).Len(), at[1].Sub(at[3]).Len()} {
		if v.Field == nil || v.Field.Wrong != "" {
			p.t.Fatalf("side %d: %+v", i, v.Field)
		}
		v = p.types(calibrate.WriteReading(d+more[i], p.s.unit()))
	}
	return v
}

// cuts goes all the way to the first cut.
func (p *person) cuts() *view {
	p.t.Helper()
	p.measures(p.calibrates(), [4]float64{})
	v := p.presses("Enter")
	p.stage(v, "cut")
	return v
}
