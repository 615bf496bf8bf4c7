// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// scale is a line with marks on it, to lay beside a ruler.
type scale struct {
	title string
	marks []mark
}

// mark is one stroke of a scale.
type mark struct {
	at    float64
	label string
}

// scales returns the strip gauge: across the strip set, along it, and past
// the finished points. room is the width of a page, height that of a label.
func scales(p *quilt.Plan, ts []template, room, height float64) []scale {
	set := p.Set
	size := func(v float64) string { return geometry.FormatLength(v, p.Spec.Unit) }
	across := scale{title: "Strip set, raw edge to raw edge: " + size(set.Width)}
	add := func(at float64, what string) { across.marks = append(across.marks, mark{at, size(at) + ", " + what}) }
	across.marks = append(across.marks, mark{0, "0, raw edge"})
	add(set.Seam, "finished edge")
	for _, y := range set.Seams {
		add(y, "seam")
	}
	add(set.Width-set.Seam, "finished edge")
	add(set.Width, "raw edge")

	side := set.CutSide()
	along := scale{title: fmt.Sprintf("Crosscuts, %s° to the strip: %s apart along the strip", words.Degrees(set.Angle), size(side)), marks: []mark{{0, "0"}}}
	for i := 1; ; i++ {
		at := float64(float64(i) * side)
		m := mark{at, size(at)}
		if i > 1 && at+width(m.label, height) > room {
			break
		}
		along.marks = append(along.marks, m)
	}
	out := []scale{across, along}

	tips := scale{title: "Tip trims: from the finished point to the cut", marks: []mark{{0, "0, finished point"}}}
	for _, t := range ts {
		for _, trim := range t.trims() {
			tips.add(t.pastPoint(trim), words.Shape(t.shape), size)
		}
	}
	if len(tips.marks) > 1 {
		out = append(out, tips)
	}
	return out
}

// add adds a mark for a tip trim, or a name to the one that is there.
func (s *scale) add(at float64, what string, size func(float64) string) {
	for i := range s.marks {
		m := &s.marks[i]
		if math.Abs(m.at-at) > 1e-6 {
			continue
		}
		if !strings.Contains(m.label, what) {
			m.label += " and " + what
		}
		return
	}
	s.marks = append(s.marks, mark{at, size(at) + ", tip of " + what})
}

// part is as much of a scale as a page shows at once.
type part struct {
	scale
	from, to float64
}

// parts breaks a scale that is longer than a page shows; room is what there
// is for it and its labels, which stand to the right of their marks. It
// returns nil when a part would be shorter than least.
func (s scale) parts(room, height, least float64) []part {
	end, right, widest := s.marks[len(s.marks)-1].at, 0.0, 0.0
	for _, m := range s.marks {
		w := width(m.label, height)
		right, widest = max(right, m.at+w), max(widest, w)
	}
	if geometry.Fits(right, room) {
		return []part{{scale: s, to: end}}
	}
	long := room - widest
	if long < least {
		return nil
	}
	n := max(int(math.Ceil((end-geometry.Fit)/long)), 1)
	var out []part
	for i := range n {
		p := part{from: float64(float64(i) * long), to: min(float64(float64(i+1)*long), end)}
		p.title = s.title
		if n > 1 {
			p.title += fmt.Sprintf(" (part %d of %d, to be joined end to end)", i+1, n)
		}
		for _, m := range s.marks {
			if m.at > p.from-geometry.Fit && m.at < p.to+geometry.Fit {
				p.marks = append(p.marks, m)
			}
		}
		out = append(out, p)
	}
	return out
}

// levels says how far down each label hangs, so that none lies on another or
// on a stroke: it is below all that begin in its way.
func (p part) levels(clear, height float64) []int {
	out := make([]int, len(p.marks))
	for i := len(p.marks) - 1; i >= 0; i-- {
		end := p.marks[i].at + clear + width(p.marks[i].label, height)
		for j := i + 1; j < len(p.marks); j++ {
			if p.marks[j].at-clear < end {
				out[i] = max(out[i], out[j]+1)
			}
		}
	}
	return out
}

// gaugeRows are the parts of the strip gauge, page by page.
func (l *layout) gaugeRows(p *quilt.Plan, ts []template, r geometry.Rect) (pages [][]part, ok bool) {
	h, wide := l.in(small), r.Width()-l.in(0.1)
	free := 0.0
	for _, s := range scales(p, ts, wide, h) {
		parts := s.parts(wide, h, l.in(1))
		if parts == nil {
			return nil, false
		}
		for _, p := range parts {
			high := l.partHeight(p, r.Width())
			if high > r.Height() {
				return nil, false
			}
			if high > free {
				pages, free = append(pages, nil), r.Height()
			}
			last := len(pages) - 1
			pages[last] = append(pages[last], p)
			free -= high
		}
	}
	return pages, true
}

func (l *layout) title(p part, room float64) *block {
	b := &block{unit: l.unit, room: room}
	b.say(middle, 3, p.title)
	return b
}

func (l *layout) partHeight(p part, room float64) float64 {
	deepest := slices.Max(append(p.levels(l.in(0.05), l.in(small)), 0)) // a part may have no marks
	return l.title(p, room).high() + l.in(0.4) + float64(deepest+2)*pitch*l.in(small)
}

// gauge draws parts of scales, hanging from the top of r.
func (d *drawing) gauge(parts []part, r geometry.Rect) {
	l, h, top := d.layout, d.In(small), r.Max.Y
	for _, p := range parts {
		t := l.title(p, r.Width())
		d.block(geometry.Rect{Min: r.Min, Max: geometry.Point{X: r.Max.X, Y: top}}, t.rows)
		y := top - t.high() - d.In(0.2)
		x := r.Min.X - p.from
		d.line(draw.Mark, x+p.from, y, x+p.to, y)
		levels := p.levels(d.In(0.05), h)
		for i, m := range p.marks {
			low := y - d.In(0.1) - float64(levels[i]+1)*pitch*h
			d.line(draw.Mark, x+m.at, y, x+m.at, low)
			d.Text(geometry.Point{X: x + m.at + d.In(0.05), Y: low}, h, m.label)
		}
		top -= l.partHeight(p, r.Width())
	}
}

func gaugeWords(p *quilt.Plan, b *block) {
	b.say(large, 2, "Strip gauge")
	b.say(b.base, 2, p.Spec.Name)
	b.say(b.base, 0, "Lay each line beside your ruler, zero on zero: every mark must meet its length.")
	b.say(b.base, 0, "Lay it on a sewn and pressed strip set: raw edges and seams must meet their marks.")
}
