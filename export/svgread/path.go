// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"fmt"
	"strings"

	"lozenge/export/trace"
	"lozenge/geometry"
)

// commands of path data, and how many numbers each takes.
const commands = "MLHVCSQTAZ"

var arguments = [len(commands)]int{2, 2, 1, 1, 6, 4, 4, 2, 7, 0}

// pathData is path data that is being read.
type pathData struct {
	text
	pen     *trace.Pen
	command byte           // as it is written
	upper   byte           // in capitals
	before  byte           // the one before, in capitals
	control geometry.Point // the last one of the curve before
	v       [7]float64
}

// drawPath follows path data (SVG 1.1, 8.3).
func drawPath(pen *trace.Pen, d string) error {
	p := pathData{text: text{s: d}, pen: pen}
	p.blank()
	for !p.done() {
		if err := p.next(); err != nil {
			return err
		}
		p.draw()
		if err := pen.Err(); err != nil {
			return err
		}
	}
	return nil
}

// next reads a command, which may be the one before once more, and its
// numbers.
func (p *pathData) next() error {
	from := p.pos
	c := p.s[p.pos]
	switch {
	case c|0x20 >= 'a' && c|0x20 <= 'z':
		p.pos++
		p.blank()
		p.command = c
	case p.command == 0 || p.command|0x20 == 'z':
		return fmt.Errorf("path data has %s where a command should stand", clip(p.s[from:min(from+20, len(p.s))]))
	case p.command|0x20 == 'm': // what follows a move are lines
		p.command-- // to l or L
	}
	p.before, p.upper = p.upper, p.command&^0x20
	i := strings.IndexByte(commands, p.upper)
	if i < 0 {
		return fmt.Errorf("path data has the command %s, which is none", clip(string(rune(p.command))))
	}
	for k := range arguments[i] {
		var err error
		if p.upper == 'A' && (k == 3 || k == 4) {
			p.v[k], err = p.flag()
		} else {
			p.v[k], err = p.number()
		}
		if err != nil {
			return fmt.Errorf("path data, command %c at byte %d: %w", p.command, from+1, err)
		}
	}
	return nil
}

// point returns a point of the command's numbers.
func (p *pathData) point(i int) geometry.Point {
	q := geometry.Point{X: p.v[i], Y: p.v[i+1]}
	if p.command >= 'a' {
		q = p.pen.At().Add(q)
	}
	return q
}

// mirrored returns the last control point as seen from the other side, when
// the command before was one of the two.
func (p *pathData) mirrored(one, other byte) geometry.Point {
	if p.before == one || p.before == other {
		return p.pen.At().Mul(2).Sub(p.control)
	}
	return p.pen.At()
}

// draw puts the command to the pen.
func (p *pathData) draw() {
	pen, at := p.pen, p.pen.At()
	switch p.upper {
	case 'M':
		pen.Move(p.point(0))
	case 'L':
		pen.Line(p.point(0))
	case 'H':
		pen.Line(geometry.Point{X: p.point(0).X, Y: at.Y})
	case 'V':
		p.v[1] = p.v[0]
		pen.Line(geometry.Point{X: at.X, Y: p.point(0).Y})
	case 'C':
		first := p.point(0)
		p.control = p.point(2)
		pen.Cubic(first, p.control, p.point(4))
	case 'S':
		first := p.mirrored('C', 'S')
		p.control = p.point(0)
		pen.Cubic(first, p.control, p.point(2))
	case 'Q':
		p.control = p.point(0)
		pen.Quad(p.control, p.point(2))
	case 'T':
		p.control = p.mirrored('Q', 'T')
		pen.Quad(p.control, p.point(0))
	case 'A':
		pen.Arc(p.v[0], p.v[1], angle(p.v[2]), p.v[3] == 1, p.v[4] == 1, p.point(5))
	case 'Z':
		pen.Close()
	}
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
