// SPDX-License-Identifier: Apache-2.0

package table

import (
	"math"
	"strings"
	"testing"

	"lozenge/export/outside/virtual"
	"lozenge/geometry"
)

// strays returns how far off the lines are at most, over the calibrated area.
func (p *person) strays() float64 {
	m, most := p.s.using.m, 0.0
	s := m.Screen()
	for i := range 17 {
		for j := range 9 {
			u, v := float64(s.Width*i)/16, float64(s.Height*j)/8
			x, y := m.ToMat(u, v)
			if !m.Holds(geometry.Point{X: x, Y: y}) {
				continue
			}
			lx, ly := p.mat.Land(u, v)
			most = max(most, math.Hypot(lx-x, ly-y))
		}
	}
	return most
}

// The next day two crosses are shown before the first cut. Where they lie right
// it goes on; after a bump they are moved, a third one where it is asked for, and
// the lines move with them; that is kept.
func TestLookAgain(t *testing.T) {
	folder := t.TempDir()
	plan := planOf(t, "tide-lap")
	sits(t, plan, folder, virtual.Tilted()).cuts()

	p := sits(t, plan, folder, virtual.Tilted())
	v := p.presses("1")
	p.stage(v, "move")
	if v.Say != "Do both crosses lie on the mat's lines?" || v.Cross != nil || len(v.Lines) != 4 {
		t.Errorf("%q, %v, %d lines", v.Say, v.Cross, len(v.Lines))
	}
	v = p.presses("Enter")
	p.stage(v, "square")
	if !strings.HasPrefix(v.Notes[0], "Still good: Lines land within") {
		t.Errorf("%q", v.Notes)
	}

	bumped := virtual.Tilted()
	bumped.X += 0.2
	bumped.Turn += 0.2
	p = sits(t, plan, folder, bumped)
	p.presses("1")
	v = p.presses("m")
	n := 0
	for ; v.Cross != nil; n++ {
		v = p.moves(v)
	}
	p.stage(v, "square")
	if n < 2 || n > 3 || !strings.Contains(v.Notes[0], "on the mat, and the lines moved with it") {
		t.Errorf("%d crosses, %q", n, v.Notes)
	}
	if off := p.strays(); off > p.s.using.m.Expected().Worst {
		t.Errorf("%v in off, promised %v", off, p.s.using.m.Expected().Worst)
	}
	p.stage(p.presses("Enter"), "cut")
	p.s.close()

	// That is what is kept; and B looks again in the middle of the cuts.
	q := sits(t, plan, folder, bumped)
	q.presses("1")
	if v = q.presses("Enter"); !strings.HasPrefix(v.Notes[0], "Still good") {
		t.Errorf("%q", v.Notes)
	}
	q.stage(q.presses("Enter"), "cut")
	q.stage(q.presses("b"), "move")
	q.stage(q.presses("Enter"), "cut")

	// A knock that no few crosses set right.
	knocked := virtual.Tilted()
	knocked.TiltX, knocked.TiltY, knocked.Wide = -9, 12, 41
	q.mat = knocked
	q.presses("b")
	v = q.presses("m")
	for v.Cross != nil {
		v = q.moves(v)
	}
	q.stage(v, "move")
	if !strings.Contains(v.Say, "alibrate again") && !strings.Contains(v.Say, "don't go together") {
		t.Errorf("%q", v.Say)
	}
	if v = q.presses("Enter"); v.Stage != "move" {
		t.Errorf("Enter goes on to %q", v.Stage)
	}
	q.presses("u")
	q.stage(q.types("use"), "cut")
}
