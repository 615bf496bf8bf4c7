// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// Sizes of the sewing diagrams, in inches of paper.
const (
	sewingLeast  = 0.055 // lettering on a piece that can still be read
	sewingLong   = 7.5   // the quilt's longer side, if its lettering can be read then
	sewingMost   = 10    // and at most; where that is too small, tiles follow
	sewingWide   = 7.2   // a tile at most
	sewingHigh   = 8.8
	sewingBubble = 0.12 // radius of the circle around the number of a join
)

// sewingTiles is the most tiles that are drawn: of a larger quilt the sheets of
// the rows name each piece.
const sewingTiles = 100

// Gaps in the diagram of the whole, over the finished width of a strip set. The
// combs in them show what an edge is; those between rows are wider than those
// within.
const (
	sewingWithin  = 0.14
	sewingBetween = 0.24
	sewingTick    = 0.4 // of the narrower of two gaps: how far the ticks of a comb stand out
)

// Colours of the sewing diagrams, beside the fabrics'.
const (
	sewingGround = "#d0d0d0" // under every other diagonal row
	BiasColour   = "#c0143c" // combs along bias edges
	sewingSquare = "#000000" // where the sides are squared up
	sewingSlip   = "#ffffff" // behind lettering
)

// Sewing draws the whole quilt for sewing, as it hangs on the design wall before
// its sides are squared up: every piece with its label, diagonal rows told apart
// by the ground they lie on, bias edges marked by a comb, the letters of the
// rows at their lower left ends, and the joins numbered in the order in which
// they are sewn.
//
// It is drawn as large as its lettering needs. Where a page does not hold that,
// the whole shows rows and joins alone, and tiles follow, row by row from the top
// left, that show every piece. Each is drawn when it is called for: those of a
// large quilt are not held at the same time.
func Sewing(p *quilt.Plan, o *sewing.Order) []func() *draw.Drawing {
	frame := p.Frame()
	size := max(frame.Width(), frame.Height())
	pen := func() *sewingPen {
		return newSewingPen(p, o, p.Spec.Name+": sewing order", "The whole quilt for sewing: diagonal rows, labels, bias edges and joins. Not at true size.")
	}
	label := pen().label(sewingWithin*p.Set.FinishedWidth(), sewingBetween*p.Set.FinishedWidth(), 0)
	read := min(label.diamond, label.triangle) / sewingLeast // drawn as an inch of paper, for words that can be read
	all := sewingTile{columns: [2]int{0, p.Columns}, rows: [2]int{0, p.Rows}}
	long := min(max(sewingLong, size/read), sewingMost)
	var tiles []sewingTile
	if size/read > sewingMost {
		tiles = sewingTilesOf(p, read)
	}
	out := []func() *draw.Drawing{func() *draw.Drawing {
		d := pen()
		d.onPaper(size / long)
		d.whole(all, label, size/read > sewingMost, len(tiles))
		return d.Finish(0.25 * d.paper)
	}}
	for i, t := range tiles {
		out = append(out, func() *draw.Drawing {
			title := fmt.Sprintf("%s: sewing order, part %d of %d", p.Spec.Name, i+1, len(tiles))
			d := newSewingPen(p, o, title, "Part of the quilt for sewing: diagonal rows, labels, bias edges and joins. Not at true size.")
			d.onPaper(read)
			d.tile(t, label, title)
			return d.Finish(0.25 * d.paper)
		})
	}
	return out
}

// sewingTile is the part of a quilt that a sheet shows: columns and rows from the
// first to before the second. The edge triangles belong to the lowest and the
// highest row.
type sewingTile struct {
	columns, rows [2]int
}

func (t sewingTile) holds(p *quilt.Plan, at quilt.Placement) bool {
	row := min(max(at.Row, 0), p.Rows-1)
	return t.columns[0] <= at.Column && at.Column < t.columns[1] && t.rows[0] <= row && row < t.rows[1]
}

// sewingTilesOf parts a quilt into tiles about alike; nil when there would be too many.
func sewingTilesOf(p *quilt.Plan, paper float64) []sewingTile {
	parts := func(n int, room, step float64) int {
		each := max(int(room*paper/step)-1, 1)
		return (n + each - 1) / each
	}
	across, up := parts(p.Columns, sewingWide, p.ColumnStep), parts(p.Rows, sewingHigh, p.RowStep)
	if across*up > sewingTiles {
		return nil
	}
	var out []sewingTile
	for j := up - 1; j >= 0; j-- {
		for i := range across {
			out = append(out, sewingTile{
				[2]int{i * p.Columns / across, (i + 1) * p.Columns / across},
				[2]int{j * p.Rows / up, (j + 1) * p.Rows / up},
			})
		}
	}
	return out
}

// whole draws the diagram of the whole; where it is small without labels and
// combs, which so many tiles then show.
func (d *sewingPen) whole(all sewingTile, label sewingLabel, small bool, tiles int) {
	d.bare = small
	if !small {
		d.labels = label.atMost(0.12 * d.paper)
	}
	d.pieces(all)
	for i := range d.order.Joins {
		d.joinNumber(i)
	}
	d.sewingLegend(small, tiles)
}

// tile draws a part of the quilt so that all can be read.
func (d *sewingPen) tile(t sewingTile, label sewingLabel, title string) {
	p, inch := d.plan, d.paper
	d.labels = label.atMost(0.12 * inch)
	d.pieces(t)
	for i := range d.order.Joins {
		j := d.order.Joins[i]
		if t.holds(p, d.order.Pieces[d.order.Seams[j.First+j.Number-1].Pieces[0]].Placement) {
			d.joinNumber(i)
		}
	}
	at := geometry.Point{X: d.Box.Min.X, Y: d.Box.Min.Y - 0.3*inch}
	at.Y = d.wrapped(at, 0.12*inch, sewingWide*inch, title)
	at.Y = d.wrapped(geometry.Point{X: at.X, Y: at.Y - 0.04*inch}, 0.09*inch, sewingWide*inch, fmt.Sprintf("Columns %d to %d from the left, rows %d to %d from the bottom.",
		t.columns[0]+1, t.columns[1], t.rows[0]+1, t.rows[1]))
	d.explainBias(geometry.Point{X: at.X, Y: at.Y - 0.05*inch}, 0.09*inch, sewingWide*inch, sewingBiasWords)
}

// pieces draws the pieces of a part, the letters of the rows that begin there,
// and where the sides are squared up.
func (d *sewingPen) pieces(t sewingTile) {
	p, o, frame := d.plan, d.order, d.plan.Frame()
	d.stand(0, sewingWithin*p.Set.FinishedWidth(), sewingBetween*p.Set.FinishedWidth())
	for i, r := range o.Rows {
		for j := r.First; j < r.First+r.Number; j++ {
			if !t.holds(p, o.Pieces[j].Placement) {
				continue
			}
			at := p.Centre(o.Pieces[j].Placement)
			if i%2 == 0 {
				d.ground = append(d.ground, o.Kinds[o.Pieces[j].Kind].Finished.Move(at))
			}
			d.putPiece(j, at)
		}
		if t.holds(p, o.Pieces[r.First].Placement) {
			d.rowLetters(r)
		}
	}
	low, high := float64(t.rows[0])*p.RowStep, float64(t.rows[1]+1)*p.RowStep
	if t.rows[1] == p.Rows {
		high = frame.Max.Y
	}
	if t.rows[0] == 0 {
		low = frame.Min.Y
	}
	// Where the sides are squared up there are areas of colour, no cut lines:
	// nothing is cut along this drawing, which is not at true size.
	if t.columns[0] == 0 {
		d.cuts = append(d.cuts, d.upright(frame.Min.X-p.Set.Seam, low, high))
	}
	if t.columns[1] == p.Columns {
		d.cuts = append(d.cuts, d.upright(frame.Max.X+p.Set.Seam, low, high))
	}
	d.pourAll()
	d.lastJoin(t)
}

// wrapped writes a text in as many lines as the room takes, hanging from at, and
// returns how far down they reach.
func (d *pen) wrapped(at geometry.Point, height, room float64, text string) float64 {
	for _, line := range draw.Plain.Wrap(text, height, room) {
		at.Y -= 1.55 * height
		d.Text(at, height, line)
	}
	return at.Y
}

// sewingPen draws pieces as they stand, from either kind of diagram.
type sewingPen struct {
	*pen
	plan    *quilt.Plan
	order   *sewing.Order
	paper   float64 // what is drawn as an inch of paper
	shapes  []sewingShape
	labels  *sewingLabel // nil: pieces carry no label
	bare    bool         // edges carry no comb
	tick    float64      // of a comb, how far it stands out
	colours [][]quilt.Colour

	ground, combs, slips []geometry.Polygon
	cuts                 []geometry.Polygon // where the sides are squared up
	patches              map[quilt.Colour][]geometry.Polygon
}

// sewingShape is what pieces of one kind look like, the diamond's centre at
// (0, 0).
type sewingShape struct {
	outline geometry.Polygon
	patches []geometry.Polygon
	combs   []geometry.Polygon
}

// sewingLabel is how labels are set: height of a capital on diamonds and on edge
// triangles, and whether they run upwards.
type sewingLabel struct {
	diamond, triangle float64
	turn              geometry.Angle
}

func newSewingPen(p *quilt.Plan, o *sewing.Order, title, note string) *sewingPen {
	return &sewingPen{pen: newPen(p.Spec.Unit, title, note), plan: p, order: o, colours: colours(p), patches: map[quilt.Colour][]geometry.Polygon{}}
}

// onPaper sets what is drawn as an inch of paper.
func (d *sewingPen) onPaper(paper float64) {
	d.paper = paper
	d.Scale = d.In(1) / paper
	d.Line = paper / 72
}

// stand prepares the shapes of all kinds, turned; within and between are the
// gaps between neighbours in a row and between two rows.
func (d *sewingPen) stand(turn geometry.Angle, within, between float64) {
	d.shapes, d.tick = nil, sewingTick*min(within, between)
	for i := range d.order.Kinds {
		d.shapes = append(d.shapes, sewingShapeOf(&d.order.Kinds[i], turn, within, between))
	}
}

func sewingShapeOf(k *sewing.Kind, turn geometry.Angle, within, between float64) sewingShape {
	type inset struct{ a, b, out geometry.Point }
	var insets []inset
	s := sewingShape{outline: k.Finished}
	for i, side := range k.Finished.Sides() {
		gap := 0.0
		switch k.Edges[i].Side {
		case sewing.LowerLeft, sewing.UpperRight:
			gap = within / 2
		case sewing.LowerRight, sewing.UpperLeft:
			gap = between / 2
		}
		dir := side.B.Sub(side.A)
		dir = dir.Mul(1 / dir.Len())
		out := geometry.Point{X: dir.Y, Y: -dir.X}
		insets = append(insets, inset{side.A.Sub(out.Mul(gap)), side.B.Sub(out.Mul(gap)), out})
		s.outline = s.outline.Left(insets[i].a, insets[i].b)
	}
	for _, patch := range k.Patches {
		for _, in := range insets {
			if patch != nil {
				patch = patch.Left(in.a, in.b)
			}
		}
		s.patches = append(s.patches, patch)
	}
	tick := sewingTick * min(within, between)
	for i, in := range insets {
		if !k.Edges[i].Bias() {
			continue
		}
		// The part of the inset line that bounds the outline.
		dir := in.b.Sub(in.a)
		l := dir.Len()
		dir = dir.Mul(1 / l)
		from, to := math.Inf(1), math.Inf(-1)
		for _, v := range s.outline {
			if math.Abs(dir.Cross(v.Sub(in.a))) < 1e-9*l {
				from, to = min(from, dir.Dot(v.Sub(in.a))), max(to, dir.Dot(v.Sub(in.a)))
			}
		}
		if !(to > from) {
			continue
		}
		s.combs = append(s.combs, BiasComb(geometry.Segment{A: in.a.Add(dir.Mul(from)), B: in.a.Add(dir.Mul(to))}, tick)...)
	}
	if turn != 0 {
		sin, cos := turn.SinCos()
		for _, g := range slices.Concat(s.patches, s.combs, []geometry.Polygon{s.outline}) {
			for i, p := range g {
				g[i] = geometry.Point{X: float64(p.X*cos) - float64(p.Y*sin), Y: float64(p.X*sin) + float64(p.Y*cos)}
			}
		}
	}
	return s
}

// BiasComb returns the comb of a bias edge, which is told from others without
// colour: a line along the edge and short ticks on it, so long in all, to the right
// of the segment. There is an odd number of ticks.
func BiasComb(s geometry.Segment, long float64) []geometry.Polygon {
	dir := s.B.Sub(s.A)
	l := dir.Len()
	dir = dir.Mul(1 / l)
	out := geometry.Point{X: dir.Y, Y: -dir.X}
	box := func(from, to, deep float64) geometry.Polygon {
		a, b := s.A.Add(dir.Mul(from)), s.A.Add(dir.Mul(to))
		return geometry.Polygon{a, a.Add(out.Mul(deep)), b.Add(out.Mul(deep)), b}
	}
	combs := []geometry.Polygon{box(0, l, 0.35*long)}
	n := 2*max(int(l/(4.4*long)), 1) + 1
	wide := 0.75 * long
	for i := range n {
		from := (l - wide) * float64(i) / float64(n-1)
		combs = append(combs, box(from, from+wide, long))
	}
	return combs
}

// explainBias puts a comb like those along bias edges before words about them that
// hang from at, and returns how far down they reach.
func (d *sewingPen) explainBias(at geometry.Point, height, room float64, text string) float64 {
	left := geometry.Point{X: at.X, Y: at.Y - 1.05*height - d.tick/2}
	d.Fill(BiasColour, BiasComb(geometry.Segment{A: geometry.Point{X: at.X + 0.4*d.paper, Y: left.Y}, B: left}, d.tick))
	return d.wrapped(geometry.Point{X: at.X + 0.55*d.paper, Y: at.Y}, height, room-0.55*d.paper, text)
}

const sewingBiasWords = "A comb, red in colour: a bias edge. It stretches: starch it, pin it, and don't pull."

// slipRoom is the white around a label, in heights of its capitals, both sides
// together.
const (
	sewingSlipAcross = 0.7
	sewingSlipHigh   = 0.8
)

func (l sewingLabel) atMost(height float64) *sewingLabel {
	l.diamond, l.triangle = min(l.diamond, height), min(l.triangle, height)
	return &l
}

// label returns how large the labels may be so that the longest fits into the
// shapes that the gaps leave, lying or upright, whichever is larger.
func (d *sewingPen) label(within, between float64, turn geometry.Angle) sewingLabel {
	longest := 0
	for _, r := range d.order.Rows {
		longest = max(longest, len(r.Letters)+len(fmt.Sprint(r.Number)))
	}
	across, high := draw.TextWidth(strings.Repeat("0", longest), 1)+sewingSlipAcross, 1+sewingSlipHigh
	var best sewingLabel
	for _, upright := range []geometry.Angle{0, 90} {
		if upright == 90 {
			across, high = high, across
		}
		l := sewingLabel{math.Inf(1), math.Inf(1), upright}
		for i := range d.order.Kinds {
			k := &d.order.Kinds[i]
			outline := sewingShapeOf(k, turn, within, between).outline
			h := sewingRoom(outline, across, high)
			if k.Piece.Shape == geometry.Diamond {
				l.diamond = min(l.diamond, h)
			} else {
				l.triangle = min(l.triangle, h)
			}
		}
		// Lying labels are easier to read.
		if min(l.diamond, l.triangle) > 1.5*min(best.diamond, best.triangle) {
			best = l
		}
	}
	best.diamond = min(best.diamond, 2*best.triangle)
	return best
}

// sewingRoom returns how many times a rectangle fits into the polygon, its centre
// at the polygon's.
func sewingRoom(g geometry.Polygon, across, high float64) float64 {
	c := sewingMiddle(g)
	k := math.Inf(1)
	for _, s := range g.Sides() {
		dir := s.B.Sub(s.A)
		dir = dir.Mul(1 / dir.Len())
		room := -c.Sub(s.A).Cross(dir)
		k = min(k, room/(math.Abs(dir.Y)*across/2+math.Abs(dir.X)*high/2))
	}
	return 0.9 * k
}

// sewingMiddle returns where a label lies on a piece: the middle of a diamond, the
// centre of the circle inside a triangle. Pieces whose corners the gaps have cut
// off are taken as they are.
func sewingMiddle(g geometry.Polygon) geometry.Point {
	if len(g) != 3 {
		return g.Middle()
	}
	// Each corner weighs as much as the side opposite is long.
	weights, sum := 0.0, geometry.Point{}
	for i, p := range g {
		w := g[(i+1)%3].Sub(g[(i+2)%3]).Len()
		sum, weights = sum.Add(p.Mul(w)), weights+w
	}
	return sum.Mul(1 / weights)
}

// putPiece draws a piece with its diamond's centre at at.
func (d *sewingPen) putPiece(i int, at geometry.Point) {
	pc := d.order.Pieces[i]
	shape := d.shapes[pc.Kind]
	for strip, g := range shape.patches {
		if g != nil {
			c := d.colours[pc.StripSet][strip]
			d.patches[c] = append(d.patches[c], g.Move(at))
		}
	}
	if !d.bare {
		for _, g := range shape.combs {
			d.combs = append(d.combs, g.Move(at))
		}
	}
	d.Path(draw.Mark, true, shape.outline.Move(at)...).Thin = true
	if d.labels == nil {
		return
	}
	h := d.labels.diamond
	if pc.Shape != geometry.Diamond {
		h = d.labels.triangle
	}
	d.slip(sewingMiddle(shape.outline).Add(at), h, d.labels.turn, d.order.Label(i))
}

// slip writes a label on a slip of paper, its middle at at.
func (d *sewingPen) slip(at geometry.Point, height float64, turn geometry.Angle, value string) {
	w := geometry.Point{X: (draw.TextWidth(value, height) + sewingSlipAcross*height) / 2}
	h := geometry.Point{Y: (1 + sewingSlipHigh) * height / 2}
	base := geometry.Point{Y: -height / 2}
	if turn == 90 {
		w, h, base = geometry.Point{Y: w.X}, geometry.Point{X: -h.Y}, geometry.Point{X: height / 2}
	}
	d.slips = append(d.slips, geometry.Polygon{at.Sub(w).Sub(h), at.Add(w).Sub(h), at.Add(w).Add(h), at.Sub(w).Add(h)})
	d.Put(draw.Text{At: at.Add(base), Height: height, Turn: turn, Value: value, Centred: true})
}

// pourAll turns what was collected into areas of colour: the ground lowest, the
// slips on top.
func (d *sewingPen) pourAll() {
	d.Fill(sewingGround, d.ground)
	d.pour(d.patches)
	d.Fill(BiasColour, d.combs)
	d.Fill(sewingSquare, d.cuts)
	d.Fill(sewingSlip, d.slips)
}

// rowLetters writes the letters of a row at its lower left end, outside the
// quilt.
func (d *sewingPen) rowLetters(r sewing.Row) {
	p := d.plan
	pl := d.order.Pieces[r.First].Placement
	at := p.Centre(pl)
	h := min(0.13*d.paper, 0.3*p.ColumnStep, 0.6*p.RowStep)
	// A row of lattice points lies a row step away from the next.
	if pl.Row >= 0 {
		at.X -= p.ColumnStep/2 + draw.TextWidth(r.Letters, h)/2 + 0.6*h
	}
	switch pl.Row {
	case -1:
		at.Y -= 1.6 * h
	case p.Rows:
		at.Y -= 1.2 * h
	default:
		at.Y -= h / 2
	}
	d.Centred(at, h, r.Letters)
}

// seamEnd returns the left (0) or right (1) end of a seam in the quilt.
func (d *sewingPen) seamEnd(seam, end int) geometry.Point {
	s := d.order.Seams[seam]
	line := d.order.SeamKinds[s.Kind].Edges[0].Line
	at := d.plan.Centre(d.order.Pieces[s.Pieces[0]].Placement)
	if end == 0 {
		return at.Add(line.A)
	}
	return at.Add(line.B)
}

// joinNumber writes the number of a join at the upper right end of its seam.
func (d *sewingPen) joinNumber(i int) {
	j := d.order.Joins[i]
	from := d.seamEnd(j.First+j.Number-1, 1)
	number := fmt.Sprint(i + 1)
	h := min(0.09*d.paper, 0.2*d.plan.ColumnStep, 0.4*d.plan.RowStep)
	r := max(1.15*h, draw.TextWidth(number, h)/2+0.3*h)
	to := from
	if from.Y > d.plan.Finished.Height-d.plan.RowStep/2 {
		to.Y += 0.1*d.paper + r
		d.Segment(draw.Mark, geometry.Segment{A: from, B: geometry.Point{X: to.X, Y: to.Y - r}})
	} else {
		to.X += d.plan.ColumnStep/2 + 0.1*d.paper + r
		d.Segment(draw.Mark, geometry.Segment{A: from, B: geometry.Point{X: to.X - r, Y: to.Y}})
	}
	d.bubble(to, r)
	if i == len(d.order.Joins)-1 {
		d.bubble(to, 1.25*r)
	}
	d.Centred(geometry.Point{X: to.X, Y: to.Y - h/2}, h, number)
}

func (d *sewingPen) bubble(at geometry.Point, r float64) {
	const corners = 24
	points := make([]geometry.Point, corners)
	for i := range points {
		sin, cos := geometry.Angle(i * 360 / corners).SinCos()
		points[i] = at.Add(geometry.Point{X: float64(r * cos), Y: float64(r * sin)})
	}
	d.Path(draw.Mark, true, points...)
}

// lastJoin draws what a part has of the seam that is sewn last.
func (d *sewingPen) lastJoin(t sewingTile) {
	j := d.order.Joins[len(d.order.Joins)-1]
	first, last := -1, -1
	for s := j.First; s < j.First+j.Number; s++ {
		if !t.holds(d.plan, d.order.Pieces[d.order.Seams[s].Pieces[0]].Placement) {
			continue
		}
		if first < 0 {
			first = s
		}
		last = s
	}
	if first >= 0 {
		d.Segment(draw.Sew, geometry.Segment{A: d.seamEnd(first, 0), B: d.seamEnd(last, 1)})
	}
}

func (d *sewingPen) upright(x, from, to float64) geometry.Polygon {
	half := d.Line / 2
	return geometry.Rect{Min: geometry.Point{X: x - half, Y: from}, Max: geometry.Point{X: x + half, Y: to}}.Polygon()
}

func (d *sewingPen) sewingLegend(small bool, tiles int) {
	p, o := d.plan, d.order
	u, inch := p.Spec.Unit, d.paper
	room := max(p.Finished.Width, pictureWords*inch) // for the words
	y := d.wrapped(geometry.Point{Y: d.Box.Min.Y - 0.15*inch}, 0.16*inch, room, p.Spec.Name+": sewing order")
	y = d.wrapped(geometry.Point{Y: y - 0.05*inch}, 0.1*inch, room, fmt.Sprintf("%s, %s; finished %s wide, %s high", words.Count(len(o.Rows), "diagonal row"), words.Count(len(o.Pieces), "piece"),
		geometry.FormatLength(p.Finished.Width, u), geometry.FormatLength(p.Finished.Height, u)))
	item := func(sign func(x, y float64), text string) {
		y -= 0.1 * inch
		sign(0, y-0.095*inch)
		y = d.wrapped(geometry.Point{X: 0.55 * inch, Y: y}, 0.09*inch, room-0.55*inch, text)
	}
	at := func(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
	letters := "Letters: the diagonal rows. Each is sewn by itself first, on white or on grey. "
	switch {
	case !small:
		letters += "Pieces are numbered from the lower left end of their row."
	case tiles > 0:
		letters += fmt.Sprintf("Labels and bias edges of the pieces stand on %s that follow.", words.Count(tiles, "part"))
	default:
		letters += "Pieces are too many to be labelled here; the sheets of the rows name each, and its bias edges."
	}
	item(func(x, y float64) { d.Centred(at(0.2*inch, y-0.065*inch), 0.13*inch, "A") }, letters)
	item(func(x, y float64) {
		d.bubble(at(0.2*inch, y), sewingBubble*inch)
		d.Centred(at(0.2*inch, y-0.045*inch), 0.09*inch, "1")
	}, fmt.Sprintf("Numbers: the seams between rows, in the order in which they are sewn. The last, %d (broken line, two circles), is the longest.", len(o.Joins)))
	if !small {
		y = d.explainBias(geometry.Point{Y: y - 0.1*inch}, 0.09*inch, room, sewingBiasWords)
	}
	item(func(x, y float64) {
		d.Fill(sewingSquare, []geometry.Polygon{d.upright(0.2*inch, y-0.07*inch, y+0.07*inch)})
	}, fmt.Sprintf("Square up the sides here, %s outside the points of the notches, when all rows are joined. Close the blade after every cut.", geometry.FormatLength(p.Set.Seam, u)))
}
