// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/trace"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// MatchedPiece is an outline of the file and the piece of the plan that it
// is. Lengths are in inches.
type MatchedPiece struct {
	Outline  int    // from 1, in the order of the file
	Name     string // as the quilter knows it, or "" for none of the plan's
	Lean     geometry.Lean
	Shape    geometry.Shape
	Turned   float64   // degrees counter-clockwise from how it lies in the strip set
	Off      []float64 // each vertex, from the lower left one of the strip set on
	Bent     float64   // how far a side lies off the straight line between its corners
	Mirrored bool      // it is the mirror image of the piece that it is called or that is needed
}

// Worst returns the largest of Off.
func (m *MatchedPiece) Worst() float64 {
	if len(m.Off) == 0 {
		return 0
	}
	return slices.Max(m.Off)
}

const (
	maxMatched = 5000   // outlines
	maxLabels  = 4000   // texts that name a piece
	maxSeams   = 20_000 // seam lines that are looked through
	// recognised is how far a vertex may lie off, in inches and in proportion
	// to the piece, for the piece to be known at all.
	recognised = 0.06
)

// candidate is a piece as it is seen on the fabric.
type candidate struct {
	shape   geometry.Shape
	lean    geometry.Lean // as the quilter calls it
	name    string
	outline geometry.Polygon
	seams   []geometry.Segment
	middle  geometry.Point // of the outline's vertices
	needed  int
}

type matcher struct {
	plan       *quilt.Plan
	candidates [len(nearness)][]candidate
	pieces     []MatchedPiece
	left       int // outlines that were not looked at
	rims       int // of rows, and so no pieces
}

// nearness is how near two corners lie to be one: an edge that is just so
// short, a tip trimmed at 89.9 degrees say, may be there in the file and not in
// the plan by the first, and then is in neither by the second.
var nearness = [...]float64{same, 4 * same}

// newMatcher prepares the pieces of a plan, in inches. Where the fabric lies
// wrong side up, a right-leaning piece is seen as a left-leaning one.
func newMatcher(p *quilt.Plan) *matcher {
	m := &matcher{plan: p}
	for i, near := range nearness {
		m.candidates[i] = candidates(p, near)
	}
	return m
}

func candidates(p *quilt.Plan, near float64) []candidate {
	var out []candidate
	k := p.Spec.Unit.Inches(1)
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			piece := p.Piece(shape, lean)
			c := candidate{shape: shape, lean: lean, name: words.Piece(p.Spec, shape, lean, 1), needed: p.Need[lean][shape]}
			for _, v := range piece.Outline {
				c.outline = append(c.outline, v.Mul(k))
			}
			for _, s := range piece.Seams {
				c.seams = append(c.seams, geometry.Segment{A: s.A.Mul(k), B: s.B.Mul(k)})
			}
			c.outline, _ = cornersWithin(c.outline, near)
			c.middle = c.outline.Middle()
			out = append(out, c)
		}
	}
	return out
}

// fit is a rigid motion of a candidate onto an outline.
type fit struct {
	c      *candidate
	shift  int     // vertex i of the candidate is vertex i+shift of the outline
	angle  float64 // radians
	worst  float64
	centre geometry.Point // of the outline
}

// fits returns the ways to lay a candidate onto an outline of as many
// vertices by turning and moving it: for each correspondence of vertices the
// one of least squares (Kabsch's method in two dimensions).
func (c *candidate) fits(g geometry.Polygon) []fit {
	n := len(g)
	if n != len(c.outline) {
		return nil
	}
	out := make([]fit, 0, n)
	centre := g.Middle()
	for shift := range n {
		dot, cross := 0.0, 0.0
		for i, v := range c.outline {
			a, b := v.Sub(c.middle), g[(i+shift)%n].Sub(centre)
			dot += a.Dot(b)
			cross += a.Cross(b)
		}
		f := fit{c: c, shift: shift, angle: math.Atan2(cross, dot), centre: centre}
		f.worst = slices.Max(f.off(g))
		out = append(out, f)
	}
	return out
}

// lay maps a point of the candidate onto the outline.
func (f *fit) lay(p geometry.Point) geometry.Point {
	sin, cos := math.Sincos(f.angle)
	d := p.Sub(f.c.middle)
	return f.centre.Add(geometry.Point{
		X: float64(cos*d.X) - float64(sin*d.Y),
		Y: float64(sin*d.X) + float64(cos*d.Y),
	})
}

// off returns how far each vertex lies off.
func (f *fit) off(g geometry.Polygon) []float64 {
	out := make([]float64, len(g))
	for i, v := range f.c.outline {
		out[i] = f.lay(v).Sub(g[(i+f.shift)%len(g)]).Len()
	}
	return out
}

// degrees returns the turn, -180 to 180, and how far it is from lying along
// the strips.
func (f *fit) degrees() (turn, askew float64) {
	turn = f.angle * 180 / math.Pi
	if math.Abs(turn) < 1e-6 {
		turn = 0
	}
	askew = math.Abs(math.Mod(math.Abs(turn)+90, 180) - 90)
	return turn, askew
}

// match compares the cut outlines of a page with the plan's pieces. Where the
// square tells that the page is off scale, the pieces are known by their
// shape at true scale and measured as they are. joined tells which outlines
// were joined of loose lines, and open holds those that were not.
func (m *matcher) match(page *Page, outlines []geometry.Polygon, joined []bool, open [][]geometry.Point, q *MeasuredSquare) {
	sx, sy := 1.0, 1.0
	if q != nil && q.Width > 0 && q.Height > 0 {
		sx, sy = q.Nominal/q.Width, q.Nominal/q.Height
	}
	scaled := func(p geometry.Point) geometry.Point { return geometry.Point{X: p.X * sx, Y: p.Y * sy} }
	var seams []geometry.Segment
	for i := range page.Paths {
		path := &page.Paths[i]
		if path.Role != Sew || path.Closed || len(seams) >= maxSeams {
			continue
		}
		for _, s := range path.edges(nil) {
			seams = append(seams, geometry.Segment{A: scaled(s.A), B: scaled(s.B)})
		}
	}
	labels := page.labels(outlines)
	labelled := slices.ContainsFunc(labels, func(l label) bool { return l.named })
	for i, g := range outlines {
		if len(m.pieces) >= maxMatched {
			m.left++
			continue
		}
		piece := MatchedPiece{Outline: len(m.pieces) + 1}
		for k, near := range nearness {
			raw, bent := cornersWithin(g, near)
			trueSize := make(geometry.Polygon, len(raw))
			for j, p := range raw {
				trueSize[j] = scaled(p)
			}
			if f := m.best(m.candidates[k], trueSize, seams, labels[i]); f != nil {
				m.describe(&piece, f, raw, labels[i], labelled)
				piece.Bent = bent
				break
			}
		}
		if joined[i] && (piece.Name == "" || piece.Worst() > Tolerance(4)) && isRim(g, open) {
			m.rims++
			continue
		}
		m.pieces = append(m.pieces, piece)
	}
}

// describe says of a piece what its outline was known for. labelled says that
// there are labels on the page, of which l is the piece's own, if it has one.
func (m *matcher) describe(piece *MatchedPiece, f *fit, raw geometry.Polygon, l label, labelled bool) {
	piece.Lean, piece.Shape, piece.Name = f.c.lean, f.c.shape, f.c.name
	var askew float64
	piece.Turned, askew = f.degrees()
	// The same correspondence, as large as it is.
	asIs := f.c.fits(raw)[f.shift]
	piece.Off = asIs.off(raw)
	switch {
	case askew > 0.5:
		// Turned on the sheet, it tells no lean at 60 degrees.
	case l.named:
		piece.Mirrored = l.lean != piece.Lean
	case !labelled: // beside others that are named, one without a name may be spare
		piece.Mirrored = f.c.needed == 0 && m.plan.Need[piece.Lean.Other()][piece.Shape] > 0
	}
}

// isRim reports whether open cut lines run inside an outline: where each cut is
// a line of its own, those along the edges of a row may close, and are the rim
// of several pieces.
func isRim(g geometry.Polygon, open [][]geometry.Point) bool {
	box := g.Bounds()
	for _, l := range open[:min(len(open), maxSeams)] {
		if at := l[0].Add(l[len(l)-1]).Mul(0.5); within(box, at) && inside(g, at) {
			return true
		}
	}
	return false
}

// best returns the fit by which an outline is known, or nil. Several may be
// as good: at 60 degrees a diamond of one lean is that of the other, turned.
// The one with its seams where the file has seams is taken, then the one
// that lies along the strips, then what its label says, then the closest, then
// one that is needed.
func (m *matcher) best(from []candidate, g geometry.Polygon, seams []geometry.Segment, l label) *fit {
	if len(g) < 3 {
		return nil
	}
	box := g.Bounds()
	limit := recognised * max(box.Width(), box.Height())
	var near []geometry.Segment
	for _, s := range seams {
		if within(box, s.A) && within(box, s.B) {
			near = append(near, s)
		}
	}
	var best *fit
	var bestScore [7]float64
	for i := range from {
		c := &from[i]
		for _, f := range c.fits(g) {
			if f.worst > limit {
				continue
			}
			_, askew := f.degrees()
			score := [...]float64{
				math.Round(f.worst / 0.01), // alike to a hundredth of an inch is alike
				-float64(f.seamsThere(near)),
				math.Round(askew),
				l.against(c),
				math.Round(f.worst / same),
				0,
				math.Round(math.Abs(f.angle) * 1000),
			}
			if c.needed == 0 {
				score[5] = 1
			}
			if best == nil || slices.Compare(score[:], bestScore[:]) < 0 {
				best, bestScore = &f, score
			}
		}
	}
	return best
}

func within(box geometry.Rect, p geometry.Point) bool {
	return p.X >= box.Min.X-same && p.X <= box.Max.X+same && p.Y >= box.Min.Y-same && p.Y <= box.Max.Y+same
}

// seamsThere counts the seams of the piece that the file draws where they
// should be.
func (f *fit) seamsThere(drawn []geometry.Segment) int {
	const off = 0.02
	n := 0
	for _, s := range f.c.seams {
		a, b := f.lay(s.A), f.lay(s.B)
		for _, d := range drawn {
			if a.Sub(d.A).Len() < off && b.Sub(d.B).Len() < off || a.Sub(d.B).Len() < off && b.Sub(d.A).Len() < off {
				n++
				break
			}
		}
	}
	return n
}

// label is lettering that names a piece's lean, and perhaps the fabric on its
// wide side.
type label struct {
	named bool
	lean  geometry.Lean
	value string
	wide  string // "sand on the wide side", where that is a line of its own
}

// against is 0 when a label names the piece, 2 when it names another lean.
func (l label) against(c *candidate) float64 {
	switch {
	case l.named && l.lean != c.lean:
		return 2
	case l.named:
		if l.value == c.name || l.wide != "" && strings.HasSuffix(c.name, ", "+l.wide) {
			return 0
		}
	}
	return 1
}

// labels returns for each outline the lettering nearest to it that names a
// lean: inside it, if there is any.
func (p *Page) labels(outlines []geometry.Polygon) []label {
	out := make([]label, len(outlines))
	nearest := make([]float64, len(outlines))
	boxes := make([]geometry.Rect, min(len(outlines), maxMatched))
	for i := range boxes {
		boxes[i] = outlines[i].Bounds()
	}
	// The outline that it stands in, else the one whose box is nearest, else
	// of several such boxes the one of the nearest outline.
	find := func(t Text) (to int, distance float64) {
		to = -1
		least, out := math.Inf(1), -1.0 // out is below 0 as long as no tie asked for it
		for i, box := range boxes {
			dx := max(box.Min.X-t.At.X, 0, t.At.X-box.Max.X)
			dy := max(box.Min.Y-t.At.Y, 0, t.At.Y-box.Max.Y)
			switch d := dx*dx + dy*dy; {
			case d < least, to < 0 && d == least:
				to, least, out = i, d, -1
			case d == least:
				if out < 0 {
					out = apart(outlines[to], t.At)
				}
				if o := apart(outlines[i], t.At); o < out {
					to, out = i, o
				}
			}
		}
		return to, math.Sqrt(least)
	}
	labelled := 0
	for _, t := range p.Texts {
		l, ok := leanNamed(t.Value)
		wide := !ok && strings.HasSuffix(t.Value, " on the wide side")
		if !ok && !wide || labelled > maxLabels {
			continue
		}
		labelled++
		to, distance := find(t)
		switch {
		case to < 0:
		case wide:
			if out[to].wide == "" || distance == 0 {
				out[to].wide = t.Value
			}
		case !out[to].named || distance < nearest[to]:
			l.wide = out[to].wide
			out[to], nearest[to] = l, distance
		}
	}
	return out
}

// inside reports whether a point lies within an outline.
func inside(g geometry.Polygon, at geometry.Point) bool {
	in := false
	for i, p := range g {
		q := g[(i+1)%len(g)]
		if (p.Y > at.Y) != (q.Y > at.Y) && at.X < p.X+(q.X-p.X)*((at.Y-p.Y)/(q.Y-p.Y)) {
			in = !in
		}
	}
	return in
}

// apart returns how far a point lies outside an outline, 0 within it.
func apart(g geometry.Polygon, at geometry.Point) float64 {
	if inside(g, at) {
		return 0
	}
	least := math.Inf(1)
	for i, p := range g {
		least = min(least, trace.Off(at, p, g[(i+1)%len(g)]))
	}
	return least
}

// leanNamed reads a name out of lettering. A sentence is none: templates say
// of what lies wrong side up that it looks as if it leaned the other way.
func leanNamed(value string) (label, bool) {
	s := strings.ToLower(strings.TrimSpace(value))
	if strings.HasSuffix(s, ".") {
		return label{}, false
	}
	right, left := strings.Contains(s, "right-leaning"), strings.Contains(s, "left-leaning")
	l := label{named: true, lean: geometry.Right, value: value}
	if left {
		l.lean = geometry.Left
	}
	return l, right != left
}

// judgePieces adds what the comparison with the plan says.
func (r *Report) judgePieces(m *matcher, d *Drawing) {
	if m.rims > 0 {
		r.say("%s no piece but the rim of a row", countOf(m.rims, m.rims+len(m.pieces)))
	}
	r.Pieces = m.pieces
	unknown, mirrored, off := 0, 0, 0
	worst := &MatchedPiece{}
	for i := range m.pieces {
		p := &m.pieces[i]
		switch {
		case p.Name == "":
			unknown++
			continue
		case p.Mirrored:
			mirrored++
		}
		if p.Worst() > Tolerance(4) {
			off++
		}
		if p.Worst() > worst.Worst() {
			worst = p
		}
	}
	n := len(m.pieces)
	if mirrored > 0 {
		r.no("%s mirrored: what is called right-leaning is drawn left-leaning, or the other way round", countOf(mirrored, n))
	}
	if off > 0 {
		r.no("%s off by more than %s from the pattern's pieces; outline %d, the %s, is off by %s at one corner",
			countOf(off, n), r.Unit.Format(Tolerance(4)), worst.Outline, worst.Name, r.Unit.Format(worst.Worst()))
	}
	switch {
	case unknown > 0 && (d.Roles || unknown == n):
		r.no("%s no piece of this pattern", countOf(unknown, n))
	case unknown > 0:
		r.say("%s no piece of this pattern", countOf(unknown, n))
	}
	if n == 0 && r.Open > 0 {
		r.say("there are cut lines but no outlines of pieces to compare with the pattern")
	}
	if m.left > 0 {
		r.say("only the first %d outlines were compared with the pattern", maxMatched)
	}
	if r.Verdict == Unproven && n > 0 && mirrored+off+unknown == 0 && r.Square == nil {
		r.Verdict = True
		r.say("every outline has the size of its piece, which proves the scale")
	}
}

// countOf says of how many of n outlines something is true.
func countOf(k, n int) string {
	switch {
	case n == 1:
		return "the outline is"
	case k == n:
		return "all outlines are"
	}
	return fmt.Sprintf("%d of %d outlines %s", k, n, words.Verb(k, "is", "are"))
}
