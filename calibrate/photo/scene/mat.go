// SPDX-License-Identifier: Apache-2.0

package scene

import "math"

// A Mat is a cutting mat with its lower left corner at 0, 0.
type Mat struct {
	Width, Height float64
	Step          float64 // between whole lines: 1, or 1/2.54
	Line          float64 // how wide they are
	Ground, Ink   float64 // how much light they send back
	Half          float64 // how strong lines half way between are, of the whole ones; 0 for none
	Ticks         int     // parts of a step that are marked along the edges and every sixth line
	Digits        bool
	Guides        bool    // lines at 45 and 60 degrees, as quilters' mats have them
	Wave          float64 // how far the printed lines are off, as waves
	Fold          float64 // beyond FoldAt everything is drawn so much nearer: slope
	FoldAt        float64
	SplitAt       float64 // beyond it another mat lies, turned by Split, in degrees
	Split         float64
}

// cover returns how much of a stretch of length size about d lies in a line of
// width w about 0.
func cover(d, w, size float64) float64 {
	return min(max((w/2-math.Abs(d))/size+.5, 0), 1)
}

// near returns the distance to the nearest multiple of step, and which.
func near(v, step float64) (float64, float64) {
	n := math.Floor(v/step + .5)
	return v - n*step, n
}

// printed returns which place of the print lies at a place of the mat, which may
// be folded, be two mats, or be printed wavy.
func (m *Mat) printed(x, y float64) (px, py float64) {
	if m.Split != 0 && x > m.SplitAt {
		sin, cos := math.Sincos(m.Split * math.Pi / 180)
		x, y = m.SplitAt+cos*(x-m.SplitAt)-sin*(y-m.Height/2), m.Height/2+sin*(x-m.SplitAt)+cos*(y-m.Height/2)
	}
	if m.Fold != 0 && x > m.FoldAt {
		// The part stands up: its lines are seen where the rays meet it.
		d := x - m.FoldAt
		x = m.FoldAt + d*(1-m.Fold)
		y += m.Fold * d * (y - m.Height/2) / 30
	}
	if m.Wave > 0 {
		x, y = x+m.Wave*math.Sin(y*.5+x*.2+1), y+m.Wave*math.Sin(x*.45-y*.3)
	}
	return x, y
}

const rim = .5 // in: the mat goes on so far beyond its last lines

// plain reports whether nothing is printed within reach of a place of the mat,
// and no rim is there.
func (m *Mat) plain(x, y, reach float64) bool {
	x, y = m.printed(x, y)
	out := max(-x, -y, x-m.Width, y-m.Height) // how far outside the lines
	if out > rim+reach {
		return true
	}
	if out > rim-reach {
		return false
	}
	reach += m.Line / 2
	for _, p := range [2][2]float64{{x, y}, {y, x}} {
		d, n := near(p[0], m.Step)
		if math.Abs(d) < reach || m.Half > 0 && math.Abs(d) > m.Step/2-reach {
			return false
		}
		if d, _ := near(p[1], 6*m.Step); m.Ticks > 1 && math.Abs(d) < .1*m.Step+reach {
			return false
		}
		if m.Digits && n >= 0 && p[1] > 0 && p[1] < .6*m.Step+reach {
			return false
		}
	}
	return !m.Guides || m.guide(x, y, 2*reach) == 0
}

// reflects returns how much light a place of the mat sends back; size is how
// far it is to the next ray.
func (m *Mat) reflects(x, y, size float64) float64 {
	x, y = m.printed(x, y)
	if x < -rim || y < -rim || x > m.Width+rim || y > m.Height+rim {
		// the table: wood with a grain
		return .22 + .05*math.Sin(3*y+math.Sin(x)) + .03*math.Sin(17*y+2*math.Sin(.7*x))
	}
	ink := 0.0
	if x > -m.Line && y > -m.Line && x < m.Width+m.Line && y < m.Height+m.Line {
		dx, _ := near(x, m.Step)
		dy, _ := near(y, m.Step)
		ink = max(cover(dx, m.Line, size), cover(dy, m.Line, size))
		if m.Half > 0 {
			hx, _ := near(x+m.Step/2, m.Step)
			hy, _ := near(y+m.Step/2, m.Step)
			ink = max(ink, cover(hx, m.Line*m.Half, size), cover(hy, m.Line*m.Half, size))
		}
		if m.Guides {
			ink = max(ink, m.guide(x, y, size))
		}
		if m.Ticks > 1 {
			ink = max(ink, m.tick(x, y, size))
		}
	}
	if m.Digits {
		ink = max(ink, m.digit(x, y))
	}
	return m.Ground + (m.Ink-m.Ground)*ink
}

// guides are the slanting lines: sine and cosine, and where on the lower edge
// they begin, of the mat's width.
var guides = func() (out [8][3]float64) {
	for i, g := range [8][2]float64{{45, .1}, {45, .4}, {135, .6}, {135, .9}, {60, .2}, {60, .5}, {120, .5}, {120, .8}} {
		out[i][0], out[i][1] = math.Sincos(g[0] * math.Pi / 180)
		out[i][2] = g[1]
	}
	return out
}()

func (m *Mat) guide(x, y, size float64) float64 {
	out := 0.0
	for i := range guides {
		g := &guides[i]
		out = max(out, cover((x-g[2]*m.Width)*g[0]-y*g[1], m.Line*.8, size))
	}
	return out
}

// tick draws the marks between lines, across every sixth line.
func (m *Mat) tick(x, y, size float64) float64 {
	part := m.Step / float64(m.Ticks)
	out := 0.0
	for _, p := range [2][2]float64{{x, y}, {y, x}} {
		if d, _ := near(p[1], 6*m.Step); math.Abs(d) < .1*m.Step {
			t, _ := near(p[0], part)
			out = max(out, cover(t, m.Line*.6, size))
		}
	}
	return out
}

// digit draws numbers beside every line along two edges, as seven bars.
func (m *Mat) digit(x, y float64) float64 {
	for _, p := range [2][2]float64{{x, y}, {y, x}} {
		along, n := near(p[0], m.Step)
		up := p[1] - .12*m.Step
		if n <= 0 || up < 0 || up > .4*m.Step {
			continue
		}
		along -= .08 * m.Step
		size := .2 * m.Step
		for k, d := range [2]int{int(n) / 10, int(n) % 10} {
			if k == 0 && d == 0 {
				continue
			}
			a := along/size - 1.25*float64(k)
			b := up / size
			if a < 0 || a > 1 || b < 0 || b > 2 {
				continue
			}
			if bars(d, a, b) {
				return 1
			}
		}
	}
	return 0
}

// bars are a digit one wide and two high.
func bars(d int, a, b float64) bool {
	const w = .2
	on := [10]uint8{0x77, 0x24, 0x5d, 0x6d, 0x2e, 0x6b, 0x7b, 0x25, 0x7f, 0x6f}[d]
	return on&1 != 0 && b > 2-w || on&2 != 0 && a < w && b > 1 || on&4 != 0 && a > 1-w && b > 1 ||
		on&8 != 0 && math.Abs(b-1) < w/2 || on&16 != 0 && a < w && b < 1 || on&32 != 0 && a > 1-w && b < 1 || on&64 != 0 && b < w
}
