// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// cutPieces says how strip sets are cut into diamonds and edge triangles.
func (c *composer) cutPieces() {
	s := c.spec()
	c.chapter("cut", "Cutting diamonds and edge triangles", 0.1)
	c.para(say(fmt.Sprintf("Every piece is cut from a %s, right- and left-leaning pieces %s. Mark each pile as you cut it.", c.set(), c.apart())))
	t := c.newTable("pieces", "Pieces to cut", 2.3)
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			t.each(words.Capital(words.Noun(2, words.Leaning(lean, shape)))+c.wideWords(shape), func(p *quilt.Plan) string { return count(p.Need[lean][shape]) })
		}
	}
	if s.Spare > 0 {
		t.each("To spare, of each kind", func(p *quilt.Plan) string { return fmt.Sprint(s.Spare) })
	}
	c.table(t)
	if s.Angle == 60 {
		c.para(say("At 60° the three sides of an edge triangle are alike: a right-leaning one may also serve as a left-leaning one of the same wide side. Let its base lie outermost in the quilt" + map[bool]string{true: ", unless the layout says otherwise.", false: "."}[s.EdgeGrain == quilt.Straight]))
	}
	c.measuresTable()

	c.sub("right", "Right-leaning pieces")
	lean := c.spec().Face.Seen(geometry.Right)
	line := fmt.Sprintf("the ruler's %s line", degrees(s.Angle))
	if !onRuler(s.Angle) {
		line = fmt.Sprintf("the line at %s that you taped to the ruler", degrees(s.Angle))
	}
	on, seam, same := "a seam line, not on the raw edge", "the seam", "the same seam"
	if !c.sewn() {
		on, seam, same = "the strip's edge", "the strip's edge", "the strip's edge"
	}
	if s.Angle == 90 {
		line = "a crossline of the ruler"
	}
	lay := fmt.Sprintf("Lay the %s %s", c.set(), words.Face(s.Face))
	if c.sewn() {
		lay += ", the first strip nearest you"
	}
	slope := fmt.Sprintf("runs up to the %s", lean)
	if s.Angle == 90 {
		slope = "lies square to the strip"
	} else if s.Face == geometry.FaceDown {
		slope += " (from the wrong side a right-leaning piece looks left-leaning)"
	}
	c.step(text{"Starting cut.", fmt.Sprintf("%s. Put %s on %s, so that the ruler's edge %s. Cut off the end, all the way across. Turn the mat round rather than cross your arms. %s shows it.", lay, line, on, slope, words.Capital(c.ref("start "+lean.String())))}, nil)
	c.step(text{"Slide.", c.narrowRuler(fmt.Sprintf("Move the ruler along until its line for %s%s lies on the edge that you just cut, the angle line still on %s. Cut. What comes off is a diamond. Along the strip edge the cuts are %s apart: %s.", c.name('C'), map[bool]string{true: " (C in the drawing)", false: ""}[len(c.groups) == 1], map[bool]string{true: "the seam", false: "the edge"}[c.sewn()], c.name('D'), c.ref("slide "+lean.String())))}, nil)
	c.step(text{"Go on", fmt.Sprintf("in the same way. A small error grows from cut to cut: after every third or fourth look whether the angle line still lies on %s when the ruler's edge lies on the cut. If not, true the end up with a new starting cut.", seam)}, nil)
	shapes := []*figure{c.startFigure(lean), c.slideFigure(lean)}
	if c.needsTriangles() {
		base := fmt.Sprintf("the ruler's %s line on %s, the ruler's edge running the other way", degrees(c.p.BaseAngle()), same)
		if !onRuler(c.p.BaseAngle()) {
			base = fmt.Sprintf("the template of the edge triangle (%s) on the cut edge, and the ruler along its base", c.ref("templates0"))
		}
		said := fmt.Sprintf("An edge triangle lies between a cut of the same lean and its base, which slants the other way. Lay %s, and cut the base so that its two cuts are %s apart along the wide side. The next edge triangle, if there is one, begins on that cut, its wide side on the other strip edge. Where a %s begins with an edge triangle, its starting cut is the base, and slants the other way. See %s.", base, c.name('E'), c.set(), c.ref("triangles "+lean.String()))
		c.step(text{"Edge triangles.", said}, nil)
		shapes = append(shapes, c.triangleFigure(lean))
	}
	if s.Tips == geometry.Matched && (len(c.p.Tips(geometry.Diamond)) > 0 || len(c.p.Tips(geometry.LowerTriangle)) > 0) {
		if len(c.p.Tips(geometry.Diamond)) > 0 {
			shapes = append(shapes, c.tipCloseUp())
		}
		c.step(text{"Blunt the tips.", c.tipWords()}, nil)
	}
	c.step(text{"Check the first piece", fmt.Sprintf("on its printed template (%s): every edge must lie on its line. From tip to tip a diamond measures %s. %s shows the pieces.", c.templatePages(), c.name('F'), words.Capital(c.ref("tips")))}, nil)
	shapes = append(shapes, c.tipFigure())
	if c.leansLeft() {
		c.sub("left", "Left-leaning pieces")
		other := c.spec().Face.Seen(geometry.Left)
		c.step(text{"The other lean.", fmt.Sprintf("Lay the ruler the other way, so that its edge runs up to the %s, and work as before: starting cut, slide (%s), go on. The pieces are mirror images of the others. Keep the two piles apart.", other, c.ref("slide "+other.String()))}, nil)
		shapes = append(shapes, c.slideFigure(other))
	}
	if g := c.p.Savings.Together; g > 0 {
		c.step(text{"Two at once.", fmt.Sprintf("A right-leaning and a left-leaning %s that give nothing but diamonds may be laid right sides together, both first strips nearest you, and cut at once: each cut then gives a piece of either lean.", c.set())}, nil)
	}
	for beside := range slices.Chunk(shapes, 3) {
		c.row(beside...)
	}
	c.oneRow()
	c.waysOfCutting()
}

// narrowRuler adds what to do where the strip set is wider than the rulers
// that are usual, 8 1/2 in or 20 cm (common practice, no source).
func (c *composer) narrowRuler(words string) string {
	if c.some(func(p *quilt.Plan) bool { return p.Set.Width > c.unit.Of(8.5, 20) }) {
		words += " If your ruler is narrower than that, mark this length along both edges and join the marks."
	}
	return words
}

// apart says how the leans are kept apart.
func (c *composer) apart() string {
	if c.leansLeft() {
		if c.spec().MixLeans {
			return "side by side"
		}
		return "from different ones"
	}
	return "alike: all lean right"
}

// templatePages says where the templates are.
func (c *composer) templatePages() string {
	var parts []string
	for i := range c.groups {
		parts = append(parts, c.ref(fmt.Sprint("templates", i)))
	}
	return "from " + words.List(parts) + " on"
}

// wideWords says what lies on the wide side of an edge triangle.
func (c *composer) wideWords(shape geometry.Shape) string {
	if shape == geometry.Diamond || !c.sewn() {
		return ""
	}
	return ", " + words.OnWideSide(c.spec(), shape)
}

func (c *composer) needsTriangles() bool {
	return c.some(func(p *quilt.Plan) bool {
		return slices.ContainsFunc(geometry.Leans[:], func(l geometry.Lean) bool { return p.Need.Lower(l)+p.Need.Upper(l) > 0 })
	})
}

func (c *composer) tipWords() string {
	tips := c.p.Tips(geometry.Diamond)
	words := "Lay the template on the piece and cut along its tip trims, straight across. "
	if len(tips) > 0 {
		words += fmt.Sprintf("Or measure: a diamond loses %s of either sharp tip, square to its long way, so that %s stay past the point where the seams will cross.", c.length(tips[0].Off), c.length(tips[0].Past))
	}
	triangle := c.p.Tips(geometry.LowerTriangle)
	for _, t := range triangle {
		if len(tips) > 0 && math.Abs(t.Off-tips[0].Off) < geometry.Fit {
			if len(triangle) == 1 {
				words += " So do the tips of an edge triangle; where its tip lies on the edge of the " + c.set() + ", the edge has blunted it already."
			}
			continue
		}
		words += fmt.Sprintf(" The corner of %s at the end of an edge triangle's base loses %s.", degrees(t.Corner), c.length(t.Off))
	}
	return words + " With blunt tips the raw ends of any two edges that are sewn together meet."
}

// drawnFor says for which sizes the drawings of pieces are in proportion.
func (c *composer) drawnFor() string {
	if len(c.groups) == 1 {
		return ""
	}
	return " In proportion for " + c.groups[0].names + "."
}

// ruler returns the outline of a ruler whose edge lies on a cut, so wide, to
// the left or to the right of it as it runs up. It reaches beyond the strip
// set by these shares of the cut's length.
func ruler(cut geometry.Segment, wide float64, toLeft bool, low, high float64) geometry.Polygon {
	along := cut.B.Sub(cut.A)
	u := along.Mul(1 / along.Len())
	n := geometry.Point{X: u.Y, Y: -u.X}.Mul(wide)
	a, b := cut.A.Sub(along.Mul(low)), cut.B.Add(along.Mul(high))
	if toLeft {
		n = n.Mul(-1)
		return geometry.Polygon{a, b, b.Add(n), a.Add(n)}
	}
	return geometry.Polygon{a, a.Add(n), b.Add(n), b}
}

// drawRuler draws a ruler over the fabric, seen through, and its angle line at
// height y, with its angle where named.
func (c *composer) drawRuler(d *pen, g geometry.Polygon, over geometry.Polygon, y float64, named bool) {
	// The fabric shows through it lighter.
	seen := over
	for _, side := range g.Sides() {
		seen = seen.Left(side.A, side.B)
	}
	d.bandsOnly(c.p, seen, glass)
	d.path(draw.Mark, false, true, g...)
	if s, ok := g.Across(y); ok {
		d.path(draw.Mark, false, false, s.A, s.B)
		// Beyond the fabric's seam, so that no line crosses the words.
		name := degrees(c.p.Set.Angle)
		if !named || c.p.Set.Angle == 90 {
			return
		}
		at := d.on(s.B)
		at.X -= smallStyle.width(name)/2 + 0.12
		d.labelOn(at, above, name)
	}
}

// angleLine is the height at which the ruler's angle line lies: on the seam
// nearest the middle, or on the strip's edge.
func (c *composer) angleLine() float64 {
	y, best := 0.0, math.Inf(1)
	for _, s := range c.p.Set.Seams {
		if off := math.Abs(s - c.p.Set.Width/2); off < best {
			y, best = s, off
		}
	}
	return y
}

// stepWide is the width of the figure of a step: three stand beside each other.
func (c *composer) stepWide() float64 { return (c.room() - 2*figuresApart) / 3 }

// startFigure shows the starting cut of a lean, as it looks on the mat.
func (c *composer) startFigure(lean geometry.Lean) *figure {
	p := c.p
	w := p.Set.Width
	run := through(p, lean, 0)
	lead := 0.12*w - min(run.B.X, 0)
	cut := through(p, lean, lead)
	long := max(cut.A.X, cut.B.X) + 1.35*p.Set.CutSide()
	fabric := rect(0, 0, long, w)
	r := ruler(cut, 1.15*w, false, 0.2, 0.2)
	f := fit(fabric.Bounds().Union(r.Bounds()), c.stepWide(), 2.2, margins{0.02, 0.02, 0.04, 0.04})
	return f.as("start "+lean.String(), fmt.Sprintf("The starting cut, and the ruler with its %s line on %s.%s", degrees(p.Set.Angle), map[bool]string{true: "a seam line", false: "the strip's edge"}[c.sewn()], c.drawnFor()), func(d *pen) {
		d.fill(ground, r)
		d.bands(p, fabric, cloth)
		off := geometry.Polygon{{}, cut.A, cut.B, {Y: w}}
		d.fill(waste, off)
		c.drawRuler(d, r, geometry.Polygon{cut.A, {X: long}, {X: long, Y: w}, cut.B}, c.angleLine(), true)
		d.outline(fabric)
		d.strong(cut)
	})
}

// slideFigure shows how the ruler slides to the next cut.
func (c *composer) slideFigure(lean geometry.Lean) *figure {
	p := c.p
	w, side := p.Set.Width, p.Set.CutSide()
	run := through(p, lean, 0)
	first := through(p, lean, max(0, -run.B.X))
	second := geometry.Segment{A: first.A.Add(geometry.Point{X: side}), B: first.B.Add(geometry.Point{X: side})}
	long := max(second.A.X, second.B.X) + 0.55*side
	fabric := geometry.Polygon{first.A, {X: long}, {X: long, Y: w}, first.B}
	// The ruler reaches far beyond the fabric on one side; on the other there is
	// room for the length along the edge.
	low, high, off, where, m := 0.06, 0.3, -0.14, below, margins{0.02, 0.02, 0.22 + c.marked(), 0.04}
	if lean == geometry.Left {
		low, high, off, where, m.low, m.high = high, low, 0.14, above, m.high, m.low
	}
	r := ruler(second, 1.2*w, true, low, high)
	f := fit(fabric.Bounds().Union(r.Bounds()), c.stepWide(), 2.4, m)
	is := "C is " + c.name('C') + "."
	if len(c.groups) > 1 {
		is = "C and D: see " + c.ref("measures") + "."
	}
	shows := "The ruler's line lies on the cut edge, its edge on the next cut. "
	if lean != c.spec().Face.Seen(geometry.Right) {
		shows = "The same for the other lean. "
	}
	return f.as("slide "+lean.String(), shows+is+c.drawnFor(), func(d *pen) {
		d.fill(ground, r)
		d.bands(p, fabric, cloth)
		c.drawRuler(d, r, geometry.Polygon{first.A, second.A, second.B, first.B}, c.angleLine(), false)
		d.outline(fabric)
		d.strong(first)
		d.strong(second)
		// The ruler's line on the cut edge.
		along := first.B.Sub(first.A)
		d.path(draw.Mark, false, false, first.A.Sub(along.Mul(low)), first.B.Add(along.Mul(high)))
		// Square from cut to cut, from above the seam; its words lie where the
		// arrow leads away from them.
		u := along.Mul(1 / along.Len())
		n := geometry.Point{X: u.Y, Y: -u.X}.Mul(w)
		from := first.A.Add(along.Mul(0.8))
		beside, side := geometry.Point{X: 0.02, Y: 0.07}, toRight
		if lean == geometry.Left {
			from = first.A.Add(along.Mul(0.2))
			beside.Y = -0.07
		}
		d.measure(from, from.Add(n), 0)
		share := 0.2
		if p.Set.Angle < 40 {
			share, beside.Y = 0.5, 0
		}
		d.labelOn(d.on(from.Add(n.Mul(share))).Add(beside), side, "C")
		a, b := first.A, second.A
		if lean == geometry.Left {
			a, b = first.B, second.B
		}
		d.labelOn(d.measure(a, b, off), where, c.mark('D', 0))
	})
}

// triangleFigure shows two edge triangles beside a diamond.
func (c *composer) triangleFigure(lean geometry.Lean) *figure {
	p := c.p
	row := rowOf(p, lean, "DLU")
	edge := 0.15 * p.Set.Width
	left, right := 0.0, row.Length
	for _, cut := range row.Cuts() {
		left, right = min(left, cut.Line.A.X, cut.Line.B.X), max(right, cut.Line.A.X, cut.Line.B.X)
	}
	bounds := geometry.Rect{Min: geometry.Point{X: left - edge}, Max: geometry.Point{X: right + edge, Y: p.Set.Width}}
	f := fit(bounds, c.stepWide(), 2.2, margins{left: 0.02, right: 0.02, low: 0.2 + c.marked(), high: 0.2 + c.marked()})
	return f.as("triangles "+lean.String(), fmt.Sprintf("A diamond and two edge triangles, the wide side of one nearest you, that of the next at the far edge.%s", c.drawnFor()), func(d *pen) {
		d.cutRow(p, row, bounds)
		for i := range row.Pieces {
			for _, y := range []float64{0, p.Set.Width} {
				a, b, ok := wideCuts(row, i, y)
				if !ok {
					continue
				}
				off, where := -0.14, below
				if y > 0 {
					off, where = 0.14, above
				}
				mid := d.measure(geometry.Point{X: a, Y: y}, geometry.Point{X: b, Y: y}, off)
				d.labelOn(mid, where, c.mark('E', 0))
			}
		}
	})
}

// wideCuts returns where the two cuts of edge triangle i of a row meet the
// strip edge at height y, if that is its wide side.
func wideCuts(row strip.Row, i int, y float64) (a, b float64, ok bool) {
	piece := row.Piece(i)
	wide := (piece.Shape == geometry.LowerTriangle && y == 0) || (piece.Shape == geometry.UpperTriangle && y > 0)
	if !wide {
		return 0, 0, false
	}
	var xs []float64
	for k, e := range piece.Outline.Sides() {
		if kind := piece.Edges[k].Kind; kind == geometry.Crosscut || kind == geometry.Base {
			d := e.B.Sub(e.A)
			xs = append(xs, e.A.X+d.X*(y-e.A.Y)/d.Y)
		}
	}
	if len(xs) != 2 {
		return 0, 0, false
	}
	return min(xs[0], xs[1]), max(xs[0], xs[1]), true
}

// tipFigure shows a diamond and an edge triangle, what is cut off their tips,
// and where the seams will run.
func (c *composer) tipFigure() *figure {
	p := c.p
	lean := c.spec().Face.Seen(geometry.Right)
	sharp := p.Set
	sharp.Tips = geometry.Sharp
	apart := 0.3 * p.Set.Width
	diamond, pointed := p.Set.Piece(geometry.Diamond, lean), sharp.Piece(geometry.Diamond, lean)
	triangle, pointedTriangle := p.Set.Piece(geometry.LowerTriangle, lean), sharp.Piece(geometry.LowerTriangle, lean)
	move := geometry.Point{X: pointed.Outline.Bounds().Max.X + apart - pointedTriangle.Outline.Bounds().Min.X}
	triangle, pointedTriangle = triangle.Move(move), pointedTriangle.Move(move)
	bounds := pointed.Outline.Bounds().Union(pointedTriangle.Outline.Bounds())
	grey := ""
	if p.Set.Tips == geometry.Matched {
		grey = "Grey: tips that are cut off. "
	}
	f := fit(bounds, c.stepWide(), 2.2, allRound(0.02))
	return f.as("tips", "A diamond and an edge triangle as they are cut. "+grey+"Dashed: where the seams will run when the quilt is sewn."+c.drawnFor(), func(d *pen) {
		for _, pair := range [][2]geometry.Piece{{diamond, pointed}, {triangle, pointedTriangle}} {
			d.fill(cutOff, pair[1].Outline)
			d.bandsOnly(p, pair[0].Outline, cloth)
			d.path(draw.Mark, true, true, pair[1].Outline...)
			d.path(draw.Figure, false, true, pair[0].Outline...)
			d.path(draw.Sew, true, true, pair[0].Finished...)
		}
	})
}

const cutOff = "#b4b4b4"

// tipCloseUp shows the tip of a diamond that lies nearest the reader, and
// what is measured there.
func (c *composer) tipCloseUp() *figure {
	p := c.p
	lean := c.spec().Face.Seen(geometry.Right)
	sharp := p.Set
	sharp.Tips = geometry.Sharp
	cut, pointed := p.Set.Piece(geometry.Diamond, lean), sharp.Piece(geometry.Diamond, lean)
	tip := p.Tips(geometry.Diamond)[0]
	corner := slices.MinFunc(cut.Finished, from(geometry.Point{}))
	opposite := slices.MaxFunc(cut.Finished, from(corner))
	in := opposite.Sub(corner)
	in = in.Mul(1 / in.Len()) // along the long diagonal
	outer := corner.Sub(in.Mul(tip.Past + tip.Off))
	// So much of the piece is seen, square to the diagonal where it is left
	// off.
	deep := 1.5 * (tip.Past + tip.Off)
	edge := corner.Add(in.Mul(deep))
	across := geometry.Point{X: -in.Y, Y: in.X}
	part := func(g geometry.Polygon) geometry.Polygon { return g.Left(edge, edge.Add(across)) }
	raw, seen, finished := part(pointed.Outline), part(cut.Outline), part(cut.Finished)
	bounds := raw.Bounds()
	label := max(widestLine(c.length(tip.Off)), widestLine(c.length(tip.Past)))
	block := c.marked()
	m := margins{left: 0.02, right: 0.02, low: 0.3 * block, high: 0.05}
	if lean == geometry.Right {
		m.left = label + 0.45
	} else {
		m.right = label + 0.45
	}
	f := fit(bounds, c.stepWide(), 2.1, m)
	// The upper words stand higher than a flat tip.
	trim := corner.Sub(in.Mul(tip.Past))
	f.h = max(f.h, f.origin.Y+f.scale*(trim.Y+corner.Y)/2+0.25*math.Abs(in.X)+1.5*block)
	return f.as("tip", "A tip close up: what is cut off (grey), and what stays past the point where the seams cross.", func(d *pen) {
		d.fill(cutOff, raw)
		d.bandsOnly(p, seen, cloth)
		open := func(role draw.Role, thin bool, g geometry.Polygon) {
			for _, s := range g.Sides() {
				if in.Dot(s.A.Sub(edge)) > -1e-7 && in.Dot(s.B.Sub(edge)) > -1e-7 {
					continue // where the drawing leaves off
				}
				d.path(role, thin, false, s.A, s.B)
			}
		}
		open(draw.Mark, false, raw)
		open(draw.Figure, false, seen)
		open(draw.Sew, true, finished)
		// Beside the tip, on the side away from the strip set.
		away := -0.22
		where := toLeft
		if lean == geometry.Left {
			away, where = 0.22, toRight
		}
		for _, way := range []struct {
			a, b  geometry.Point
			v     float64
			raise float64 // of the words over the arrow
		}{{outer, trim, tip.Off, -0.15 * block}, {trim, corner, tip.Past, 0.95 * block}} {
			arrow := d.measure(way.b, way.a, away)
			words := geometry.Point{X: d.at.X + label + 0.08, Y: arrow.Y + way.raise}
			if lean == geometry.Left {
				words.X = d.at.X + d.width - label - 0.08
			}
			d.labelOn(words, where, c.length(way.v))
			d.Path(draw.Mark, false, words, arrow).Thin = true
		}
	})
}

// from compares points by how far they lie from one.
func from(p geometry.Point) func(a, b geometry.Point) int {
	return func(a, b geometry.Point) int { return cmp.Compare(a.Sub(p).Len(), b.Sub(p).Len()) }
}
