// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strings"

	"lozenge/geometry"
)

// MeasuredSquare is the calibration square of a page. Lengths are in inches.
type MeasuredSquare struct {
	Nominal   float64    // what its sides should be
	Width     float64    // mean of the two sides that run across
	Height    float64    // mean of the two others
	Sides     [4]float64 // from the lower left corner counter-clockwise
	Diagonals [2]float64 // from the lower left, from the lower right corner
	Bent      float64    // how far a side lies off the straight line between its corners
	FoundBy   FoundBy

	corners geometry.Polygon
	path    int    // index of the page's path, or -1
	source  string // where Nominal comes from, in words
	guessed bool   // Nominal was guessed
	cut     bool   // the file calls its line a cut
	part    bool   // only a part of it is seen
}

// measured takes the sides of four corners.
func measured(g geometry.Polygon, by FoundBy) *MeasuredSquare {
	// Lower left first: the corner of least x + y. Corners run
	// counter-clockwise.
	first := 0
	for i, p := range g {
		if p.X+p.Y < g[first].X+g[first].Y {
			first = i
		}
	}
	c := geometry.Polygon{g[first], g[(first+1)%4], g[(first+2)%4], g[(first+3)%4]}
	q := &MeasuredSquare{FoundBy: by, corners: c, path: -1}
	for i := range q.Sides {
		q.Sides[i] = c[(i+1)%4].Sub(c[i]).Len()
	}
	q.Diagonals = [2]float64{c[2].Sub(c[0]).Len(), c[3].Sub(c[1]).Len()}
	q.Width, q.Height = (q.Sides[0]+q.Sides[2])/2, (q.Sides[1]+q.Sides[3])/2
	return q
}

// Words of the lettering inside a square: a size alone, or one that is said to
// be each way.
var (
	sizeAlone   = regexp.MustCompile(`^\s*([0-9][0-9 ./½¼¾⅛⅜⅝⅞-]*\s*(?:in|cm|mm|"))\s*(?:square|[x×].*)?$`)
	sizeEachWay = regexp.MustCompile(`([0-9][0-9 ./½¼¾⅛⅜⅝⅞-]*\s*(?:in|cm|mm|")) each way`)
)

const (
	maxAspect = 1.07 // of what is still taken for a square that was stretched
	maxLean   = 0.06 // cosine of its corners, about 3.5 degrees
)

// outlines is what is closed on a page: each path that is, and what loose
// lines make together.
type outline struct {
	path   int // index of the page's path, or -1
	points geometry.Polygon
	role   Role
}

// squares returns the candidates for the calibration square, of the best kind
// there is.
//
// odd says that what the file calls its calibration square is none.
func (p *Page) squares(outlines []outline, roles bool) (found []*MeasuredSquare, odd bool) {
	var named, layer, shape []*MeasuredSquare
	for _, o := range outlines {
		by := FoundBy("")
		if o.path >= 0 {
			by = p.Paths[o.path].Square
			if p.Paths[o.path].Filled && by == "" {
				continue
			}
		}
		if by == "" && (o.role == Sew || o.role == Mark || roles && o.role == Unknown) {
			continue
		}
		if by == "" && o.role != Square && !boxySquare(o.points.Bounds()) {
			continue
		}
		c, bent := corners(o.points)
		if len(c) != 4 {
			odd = odd || by != "" || o.role == Square
			continue
		}
		q := measured(c, by)
		q.Bent = bent
		q.path = o.path
		switch {
		case by != "":
			named = append(named, q)
		case o.role == Square:
			q.FoundBy = ByLayer
			layer = append(layer, q)
		case q.looksSquare():
			q.FoundBy = ByShape
			q.cut = roles && o.role == Cut
			shape = append(shape, q)
		}
	}
	switch {
	case len(named) > 0:
		return named, false
	case len(layer) > 0:
		return layer, false
	case odd:
		return nil, true
	}
	return shape, false
}

// boxySquare reports whether a rectangle may be the bounds of what looks like a
// square: those of a square are square, however it is turned.
func boxySquare(b geometry.Rect) bool {
	return b.Width() < 1.2*b.Height() && b.Height() < 1.2*b.Width()
}

// looksSquare reports whether four corners were once a square: equal sides
// and right angles, or near enough for one that was stretched a little.
func (q *MeasuredSquare) looksSquare() bool {
	low, high := slices.Min(q.Sides[:]), slices.Max(q.Sides[:])
	if !(low > 0.05) || high > low*maxAspect || q.Bent > low/4 {
		return false
	}
	for i := range q.corners {
		a := q.corners[(i+1)%4].Sub(q.corners[i])
		b := q.corners[(i+3)%4].Sub(q.corners[i])
		if math.Abs(a.Dot(b)) > maxLean*a.Len()*b.Len() {
			return false
		}
	}
	return true
}

// isUsual reports whether the square has a usual size, exactly.
func (q *MeasuredSquare) isUsual() bool {
	for _, q.Nominal = range usual {
		if q.off() <= Tolerance(q.Nominal) {
			return true
		}
	}
	q.Nominal = 0
	return false
}

// side returns the mean of all four.
func (q *MeasuredSquare) side() float64 { return (q.Width + q.Height) / 2 }

// lettering is what a text says about the calibration square that it stands
// in: how large it is, or that it is one.
type lettering struct {
	at     geometry.Point
	order  int // in the file
	inches float64
	called bool
}

// letterings returns the texts of a page that say such a thing, from left to
// right.
func (p *Page) letterings() []lettering {
	var out []lettering
	for i, t := range p.Texts {
		l := lettering{at: t.At, order: i, called: strings.Contains(strings.ToLower(t.Value), "calibration square")}
		// Most texts say neither, and looking closely takes time.
		var m []string
		if strings.Contains(t.Value, " each way") {
			m = sizeEachWay.FindStringSubmatch(t.Value)
		}
		if first := strings.TrimLeft(t.Value, " \t"); m == nil && first != "" && first[0]-'0' <= 9 {
			m = sizeAlone.FindStringSubmatch(t.Value)
		}
		if m != nil {
			l.inches, _ = ParseSize(m[1])
		}
		if l.called || l.inches > 0 {
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b lettering) int { return cmp.Compare(a.at.X, b.at.X) })
	return out
}

// maxLetterings is how many texts are looked at to find out about all squares
// of a page.
const maxLetterings = 1 << 22

// size returns what the first lettering inside a square says of its size, in
// inches, 0 for nothing, and whether it is called the calibration square.
// left counts the texts that may still be looked at.
func (q *MeasuredSquare) size(all []lettering, left *int) (inches float64, called bool) {
	box := q.corners.Bounds()
	from, _ := slices.BinarySearchFunc(all, box.Min.X, func(l lettering, x float64) int { return cmp.Compare(l.at.X, x) })
	first := math.MaxInt
	for _, l := range all[from:] {
		if *left--; l.at.X > box.Max.X || *left < 0 {
			break
		}
		if l.at.Y < box.Min.Y || l.at.Y > box.Max.Y {
			continue
		}
		called = called || l.called
		if l.inches > 0 && l.order < first {
			inches, first = l.inches, l.order
		}
	}
	return inches, called
}

// ParseSize reads the side of a square, "4in" or "50 mm", in inches.
func ParseSize(s string) (float64, bool) {
	l, err := geometry.ParseLength(s, geometry.Inch)
	if err != nil {
		return 0, false
	}
	v := l.In(geometry.Inch)
	return v, v > 0 && v <= 1000
}

// Sizes of calibration squares where nothing else is said, in inches.
var usual = [...]float64{4, geometry.Centimetre.Inches(10)}

// choose returns the calibration square of a page with its nominal size, or
// nil. asked is the size that the reader was told, 0 if none; metric says
// that the work is in centimetres.
func (p *Page) choose(candidates []*MeasuredSquare, asked float64, metric bool) *MeasuredSquare {
	if len(candidates) == 0 {
		return nil
	}
	best, bestScore := (*MeasuredSquare)(nil), [3]float64{}
	texts, left := p.letterings(), maxLetterings
	for _, q := range candidates {
		said, called := q.size(texts, &left)
		if q.path >= 0 && p.Paths[q.path].Size != "" {
			if v, ok := ParseSize(p.Paths[q.path].Size); ok {
				said = v
			}
		}
		switch {
		case asked > 0:
			q.Nominal, q.source = asked, "as you said"
		case said > 0:
			q.Nominal, q.source = said, "as the file says"
		case q.cut && !called && !q.isUsual():
			continue // at 90 degrees pieces are square as well
		default:
			q.guess(metric)
		}
		// The one that is seen, then the one that is called so, then the one
		// nearest to its size.
		score := [3]float64{0, 1, math.Abs(math.Log(q.side() / q.Nominal))}
		if called || said > 0 {
			score[1] = 0
		}
		if q.path >= 0 && p.Paths[q.path].Hidden != "" {
			score[0], q.part = 1, true
		}
		if best == nil || slices.Compare(score[:], bestScore[:]) < 0 {
			best, bestScore = q, score
		}
	}
	return best
}

// guess takes the usual size that would make the square true, else the one by
// which it is off by a known factor, else the one that goes with the unit of
// the work.
func (q *MeasuredSquare) guess(metric bool) {
	q.guessed = true
	near := slices.MinFunc(usual[:], func(a, b float64) int {
		return cmp.Compare(math.Abs(q.side()-a), math.Abs(q.side()-b))
	})
	q.Nominal = usual[0]
	if metric {
		q.Nominal = usual[1]
	}
	if math.Abs(q.side()-near) <= Tolerance(near) {
		q.Nominal = near
	} else if !named(q.side() / q.Nominal) {
		for _, side := range usual {
			if named(q.side() / side) {
				q.Nominal = side
			}
		}
	}
	q.source = "taken for granted; say what it is with --square"
}

// Tolerance is how much the side of a square may be off, in inches: 1/64 in
// for one of 4 in or more, and in proportion for a smaller one.
func Tolerance(side float64) float64 { return min(1./64, side/256) }

// off returns the most by which a side, or a diagonal in proportion, is off, or
// lies off the straight line.
func (q *MeasuredSquare) off() float64 {
	most := q.Bent
	for _, s := range q.Sides {
		most = max(most, math.Abs(s-q.Nominal))
	}
	for _, d := range q.Diagonals {
		most = max(most, math.Abs(d/math.Sqrt2-q.Nominal))
	}
	return most
}
