// SPDX-License-Identifier: Apache-2.0

package table

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/export/outside/virtual"
	"lozenge/geometry/quilt"
)

const goodWindow = `{"do":"window","window":{"ratio":1,"wide":1920,"high":1080,"left":0,"top":0,"device":[1920,1080],"screen":"1920x1080","pinch":1,"secure":true,"awake":true}}`

func TestParseAction(t *testing.T) {
	for _, good := range []string{
		`{"do":"key","text":"n"}`, `{"do":"type","text":"12 3/32, 4 1/2"}`, `{"do":"nudge","right":0.25,"up":-10}`, goodWindow,
		`{"do":"look","look":{"width":2,"colour":1,"light":true,"bright":0.5,"words":1,"all":false,"square":true}}`, "\n {\"do\":\"key\"} \n",
	} {
		if _, err := parseAction([]byte(good)); err != nil {
			t.Errorf("%s: %v", good, err)
		}
	}
	for _, bad := range []string{
		``, `null`, `[]`, `"key"`, `{`, `{}`, `{"do":"run"}`, `{"do":"key"}{}`, `{"do":"key"} x`, `{"do":"key","more":1}`, `{"do":1}`,
		`{"do":"key","text":"` + strings.Repeat("a", 201) + `"}`, `{"do":"nudge","right":1e9}`, `{"do":"nudge","up":1e999}`, `{"do":"nudge","up":NaN}`,
		`{"do":"window"}`, `{"do":"look"}`, `{"do":"key","look":{"width":2,"bright":1,"words":1}}`,
		strings.Replace(goodWindow, `"ratio":1`, `"ratio":0`, 1), strings.Replace(goodWindow, `"wide":1920`, `"wide":-1`, 1),
		strings.Replace(goodWindow, `[1920,1080]`, `[1920]`, 1), strings.Replace(goodWindow, `[1920,1080]`, `[999999,1080]`, 1),
		strings.Replace(goodWindow, `"1920x1080"`, `"\u0000"`, 1), strings.Replace(goodWindow, `"left":0`, `"left":1e7`, 1),
		`{"do":"look","look":{"width":0,"bright":1,"words":1}}`, `{"do":"look","look":{"width":2,"colour":99,"bright":1,"words":1}}`,
		"{\"do\":\"key\",\"text\":\"\xff\"}", strings.Repeat("[", 9000),
	} {
		if a, err := parseAction([]byte(bad)); err == nil {
			t.Errorf("%.80s is taken for %+v", bad, a)
		}
	}
}

// What is taken is within its bounds and means the same when it is written
// and read again.
func FuzzAction(f *testing.F) {
	f.Add([]byte(goodWindow))
	f.Add([]byte(`{"do":"key","text":"n"}`))
	f.Add([]byte(`{"do":"nudge","right":1.25,"up":-3e4}`))
	f.Add([]byte(`{"do":"look","look":{"width":2,"bright":1,"words":1}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		a, err := parseAction(data)
		if err != nil {
			return
		}
		if math.Abs(a.Right) > mostDevice || math.Abs(a.Up) > mostDevice || len([]rune(a.Text)) > mostText {
			t.Fatalf("%+v", a)
		}
		again, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		b, err := parseAction(again)
		if err != nil || !reflect.DeepEqual(a, b) {
			t.Fatalf("%+v, then %+v, %v", a, b, err)
		}
	})
}

// drawAction draws an action that the page could send, whether it makes sense
// or not.
func drawAction(t *rapid.T) action {
	switch rapid.IntRange(0, 11).Draw(t, "what") {
	case 0:
		w := fullScreen(virtual.Tilted().Screen, rapid.SampledFrom([]float64{1, 1.25, 2}).Draw(t, "ratio"))
		if rapid.IntRange(0, 3).Draw(t, "odd") == 0 {
			w.Device = [2]int{rapid.IntRange(1, 5000).Draw(t, "w"), rapid.IntRange(1, 5000).Draw(t, "h")}
			w.Awake = rapid.Bool().Draw(t, "awake")
		}
		return action{Do: doWindow, Window: w}
	case 1, 2:
		return action{Do: doType, Text: rapid.OneOf(
			rapid.SampledFrom([]string{"table", "use", "afresh", "12, 4", "12", "12", "16 31/32", "1/0", "-3, 2 cm", ""}), rapid.StringN(0, 40, 160),
		).Draw(t, "typed")}
	case 3:
		return action{Do: doNudge, Right: rapid.Float64Range(-2000, 2000).Draw(t, "right"), Up: rapid.Float64Range(-2000, 2000).Draw(t, "up")}
	case 4:
		l := plainLook()
		l.All = true
		return action{Do: doLook, Look: &l}
	}
	return action{Do: doKey, Text: rapid.SampledFrom([]string{
		"n", "N", "r", "1", "2", "Enter", " ", "Backspace", "u", "m", "s", "o", "e", "p", "q", "Home", "PageUp", "PageDown", "ArrowLeft", "ArrowRight", "Shift+PageDown", "Shift+PageUp", "x", "Tab", "€", "",
	}).Draw(t, "key")}
}

// Law: whatever the page tells, in whatever order, there is always something
// to show: words, the face, keys, a place on the screen for every line.
func TestAnythingCanBeTold(t *testing.T) {
	plans := []*quilt.Plan{planOf(t, "tide-lap"), planOf(t, "meadow-cot")}
	kept := t.TempDir()
	for _, plan := range plans {
		sits(t, plan, kept, virtual.Tilted()).cuts()
	}
	outside.Cases(t, 25, 100)
	rapid.Check(t, func(rt *rapid.T) {
		s := newSession(Config{Plan: rapid.SampledFrom(plans).Draw(rt, "plan"), Folder: kept})
		defer s.close()
		before := -1
		// Some begin at the table, some at the square, some at the cuts.
		at := rapid.IntRange(0, 2).Draw(rt, "from")
		if at > 0 {
			s.do(action{Do: doWindow, Window: fullScreen(virtual.Tilted().Screen, 1)})
			for _, key := range []string{"1", " "}[:at] {
				s.do(action{Do: doKey, Text: key})
			}
		}
		for range rapid.IntRange(1, 60).Draw(rt, "actions") {
			a := drawAction(rt)
			if a.check() != nil {
				continue
			}
			v := s.do(a)
			showable(rt, a, v, before)
			before = v.Serial
		}
	})
}

// showable checks that a view after an action can be shown.
func showable(rt *rapid.T, a action, v *view, before int) {
	if _, err := json.Marshal(v); err != nil {
		rt.Fatalf("%+v: %v", a, err)
	}
	if v.Serial <= before || v.Say == "" || len(v.Keys) < 5 || v.Stage == "" {
		rt.Fatalf("%+v: %+v", a, v)
	}
	for _, l := range append(v.Lines, v.Fills...) {
		if len(l.Points) < 4 || len(l.Points)%2 != 0 {
			rt.Fatalf("%+v: a line %+v", a, l)
		}
		for i, x := range l.Points {
			most := float64([2]int{v.Screen.Width, v.Screen.Height}[i%2])
			if !(x >= -0.01 && x <= most+0.01) {
				rt.Fatalf("%+v at %s: %v is off a screen of %v", a, v.Stage, l, v.Screen)
			}
		}
	}
}
