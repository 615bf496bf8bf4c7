// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"strings"
	"testing"

	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
)

// After a bump: B shows two crosses; they are moved by arrows, and laid with a
// tap on the phone; the lines move with them.
func TestAfterABump(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	bumped := virtual.Tilted()
	bumped.X += 0.25
	bumped.Turn += 0.1
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080}, bumped)
	q.stage(q.press("1"), "cut")
	v := q.press("b")
	q.stage(v, "move")
	q.page.Look("both")
	if !strings.HasPrefix(v.Say, "Do both crosses lie") {
		t.Errorf("%q", v.Say)
	}
	p := q.phone()
	p.page.Look("both")
	p.page.Run(`[...document.querySelectorAll("#others button")].find(b => b.textContent.startsWith("Move crosses")).id = "them"`)
	v = p.taps("#them")
	n := 0
	for ; v.Cross != nil; n++ {
		m := twoLines.FindStringSubmatch(v.Say)
		var x, y float64
		fmt.Sscan(m[1], &x)
		fmt.Sscan(m[2], &y)
		u, w := q.mat.Lights(x, y)
		q.moves(u-v.Cross.At[0], w-v.Cross.At[1])
		q.page.Look("move")
		v = p.taps("#on")
	}
	q.stage(v, "square")
	q.page.Look("moved")
	if n < 2 || n > 3 || !strings.Contains(strings.Join(v.Notes, " "), "the lines moved with it") {
		t.Errorf("%d crosses: %q", n, v.Notes)
	}
	if v = q.measures(v); !strings.Contains(v.Say, "true") {
		t.Errorf("%q", v.Say)
	}
	if e := append(q.page.Errors(), p.page.Errors()...); len(e) > 0 {
		t.Errorf("the browsers complain: %q", e)
	}
}
