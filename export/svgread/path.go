// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"fmt"

	"lozenge/export/trace"
	"lozenge/geometry"
)

// arguments is how many numbers each command takes.
var arguments = [256]int8{
	'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7,
}

// drawPath follows path data (SVG 1.1, 8.3).
func drawPath(pen *trace.Pen, d string) error {
	t := text{s: d}
	var (
		command, before byte
		lastControl     geometry.Point // of the curve before
		v               [7]float64
	)
	t.blank()
	for !t.done() {
		from := t.pos
		c := t.s[t.pos]
		if c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' {
			t.pos++
			t.blank()
			command = c
			if c|0x20 == 'z' {
				pen.Close()
				before = 'Z'
				if err := pen.Err(); err != nil {
					return err
				}
				continue
			}
		} else {
			switch command | 0x20 {
			case 0x20, 'z': // none yet, or closed
				return fmt.Errorf("path data has %s where a command should stand", clip(t.s[from:min(from+20, len(t.s))]))
			case 'm': // what follows a move are lines
				command-- // to l or L
			}
		}
		upper := command &^ 0x20
		n := int(arguments[upper])
		if n == 0 {
			return fmt.Errorf("path data has the command %s, which is none", clip(string(rune(command))))
		}
		for i := range n {
			var err error
			if upper == 'A' && (i == 3 || i == 4) {
				v[i], err = t.flag()
			} else {
				v[i], err = t.number()
			}
			if err != nil {
				return fmt.Errorf("path data, command %c at byte %d: %w", command, from+1, err)
			}
		}
		at := pen.At()
		base := geometry.Point{}
		if command >= 'a' {
			base = at
		}
		point := func(i int) geometry.Point { return geometry.Point{X: base.X + v[i], Y: base.Y + v[i+1]} }
		mirrored := func(same ...byte) geometry.Point {
			for _, s := range same {
				if before == s {
					return at.Mul(2).Sub(lastControl)
				}
			}
			return at
		}
		switch upper {
		case 'M':
			pen.Move(point(0))
		case 'L':
			pen.Line(point(0))
		case 'H':
			pen.Line(geometry.Point{X: base.X + v[0], Y: at.Y})
		case 'V':
			pen.Line(geometry.Point{X: at.X, Y: base.Y + v[0]})
		case 'C':
			lastControl = point(2)
			pen.Cubic(point(0), lastControl, point(4))
		case 'S':
			first := mirrored('C', 'S')
			lastControl = point(0)
			pen.Cubic(first, lastControl, point(2))
		case 'Q':
			lastControl = point(0)
			pen.Quad(lastControl, point(2))
		case 'T':
			lastControl = mirrored('Q', 'T')
			pen.Quad(lastControl, point(0))
		case 'A':
			pen.Arc(v[0], v[1], angle(v[2]), v[3] == 1, v[4] == 1, point(5))
		}
		before = upper
		if err := pen.Err(); err != nil {
			return err
		}
	}
	return nil
}

// flag reads a flag of an arc, which may stand packed: a1 1 0 012 3.
func (t *text) flag() (float64, error) {
	if t.done() || t.s[t.pos] != '0' && t.s[t.pos] != '1' {
		return 0, fmt.Errorf("the flag of an arc is neither 0 nor 1")
	}
	v := float64(t.s[t.pos] - '0')
	t.pos++
	t.blank()
	return v, nil
}
