// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"math"

	"lozenge/geometry"
)

// shape is how an entity is put together from its tags.
type shape int

const (
	skipped shape = iota
	lwPolyline
	polyline // a head; its vertices are entities that follow
	vertex
	lineShape
	pointShape
	textShape
	insertShape
	arcShape
	circleShape
	ellipseShape
	splineShape
)

var shapes = map[string]shape{
	"LWPOLYLINE": lwPolyline, "POLYLINE": polyline, "VERTEX": vertex,
	"LINE": lineShape, "POINT": pointShape, "TEXT": textShape, "INSERT": insertShape,
	"ARC": arcShape, "CIRCLE": circleShape, "ELLIPSE": ellipseShape, "SPLINE": splineShape,
}

// kinds are those of the shapes; those that become no entity have the first.
var kinds = [splineShape + 1]Kind{lineShape: Line, pointShape: Point, textShape: Text}

// builder gathers the tags of one entity.
type builder struct {
	e     Entity
	shape shape
	kind  string // as the file names it
	flags int    // 70 of a polyline or a vertex
	// points are those so far, in memory that is used for every entity in
	// turn.
	points []geometry.Point
	bulge  []float64 // of the side from each point on; those behind the last are 0

	count  tag             // 90 of a polyline; code 0 when it has none
	x      float64         // of a vertex, waiting for its y
	wait   tag             // where that x stands; code 0 when none waits
	at, to place           // 10 and 20, 11 and 21
	of     map[int]float64 // 40 to 51 of an arc, a circle or an ellipse
	spline spline

	insert insert
	normal [3]float64 // of the plane it is drawn in; all 0: straight up
	paper  bool       // it stands on the paper, not in the drawing
	depth  int        // of groups in braces, which belong to other programs
}

// place is a point, and which of its coordinates were given.
type place struct {
	geometry.Point
	x, y bool
}

// item is what a builder becomes: an entity, an insert, or something of a
// kind that is not read.
type item struct {
	entity  Entity
	insert  *insert
	skipped string
}

// begin makes the builder ready for another entity.
func (b *builder) begin(t tag) {
	kind := t.name()
	*b = builder{kind: kind, shape: shapes[kind], points: b.points[:0], bulge: b.bulge[:0]}
	b.e = Entity{Kind: kinds[b.shape], Line: t.line, Layer: "0"}
	if b.shape >= arcShape {
		b.of = map[int]float64{}
	}
	b.insert = insert{line: t.line, scale: geometry.Point{X: 1, Y: 1}, columns: 1, rows: 1}
}

func (b *builder) add(t tag) (err error) {
	if b.shape == skipped {
		return nil
	}
	if t.code == 102 {
		switch v := t.name(); {
		case v == "}":
			b.depth = max(b.depth-1, 0)
		case len(v) > 0 && v[0] == '{':
			b.depth++
		}
		return nil
	}
	if b.depth > 0 || t.code >= 1000 {
		return nil
	}
	switch t.code {
	case 8:
		b.e.Layer = t.name()
		return nil
	case 60:
		if t.name() == "1" {
			b.e.Hidden = "it is marked as not to be seen"
		}
		return nil
	case 67:
		b.paper = t.name() == "1"
		return nil
	case 210, 220, 230:
		b.normal[(t.code-210)/10], err = t.float()
		return err
	}
	switch b.shape {
	case lwPolyline:
		return b.addVertex(t)
	case polyline:
		if t.code == 70 {
			b.flags, err = t.int()
		}
		return err // 10 and 20 are there and mean nothing
	case vertex:
		switch t.code {
		case 70:
			b.flags, err = t.int()
		case 42:
			err = b.addBulge(t)
		}
	case textShape:
		err = b.addText(t)
	case insertShape:
		err = b.addInsert(t)
	case splineShape:
		return b.addSpline(t)
	case arcShape, circleShape, ellipseShape:
		if t.code >= 40 && t.code <= 51 {
			b.of[t.code], err = t.float()
		}
	}
	if err != nil {
		return err
	}
	return b.addPlace(t)
}

func (b *builder) addSpline(t tag) (err error) {
	var v float64
	switch t.code {
	case 10, 20:
		return b.addVertex(t)
	case 71:
		b.spline.degree, err = t.int()
	case 40:
		v, err = t.float()
		b.spline.knots = append(b.spline.knots, v)
	case 41:
		v, err = t.float()
		b.spline.weights = append(b.spline.weights, v)
	}
	return err
}

func (b *builder) addVertex(t tag) (err error) {
	switch t.code {
	case 90:
		b.count = t
	case 70:
		b.flags, err = t.int()
	case 10:
		if b.wait.code != 0 {
			return b.wait.errorf("the vertex has no y")
		}
		b.wait = t
		b.x, err = t.float()
	case 20:
		if b.wait.code == 0 {
			return t.errorf("the vertex has no x")
		}
		var y float64
		if y, err = t.float(); err == nil {
			b.points = append(b.points, geometry.Point{X: b.x, Y: y})
			b.wait = tag{}
		}
	case 42:
		err = b.addBulge(t)
	}
	return err
}

// addBulge takes the bulge of the side that begins at the last point so far.
func (b *builder) addBulge(t tag) error {
	v, err := t.float()
	if v == 0 {
		return err
	}
	at := max(len(b.points)-1, 0)
	if b.shape == vertex {
		at = 0 // its point is not there yet
	}
	for len(b.bulge) <= at {
		b.bulge = append(b.bulge, 0)
	}
	b.bulge[at] = v
	return err
}

func (b *builder) addPlace(t tag) (err error) {
	to := &b.at
	if t.code%10 == 1 {
		to = &b.to
	}
	switch t.code {
	case 10, 11:
		to.X, err = t.float()
		to.x = true
	case 20, 21:
		to.Y, err = t.float()
		to.y = true
	}
	return err
}

func (b *builder) addText(t tag) (err error) {
	switch t.code {
	case 1:
		b.e.Value = t.value
	case 40:
		b.e.Height, err = t.float()
	case 50:
		b.e.Turn, err = t.angle()
	}
	return err
}

func (b *builder) addInsert(t tag) (err error) {
	in := &b.insert
	switch t.code {
	case 2:
		in.block = t.name()
	case 41:
		in.scale.X, err = t.float()
	case 42:
		in.scale.Y, err = t.float()
	case 50:
		in.turn, err = t.angle()
	case 44:
		in.step.X, err = t.float()
	case 45:
		in.step.Y, err = t.float()
	case 70:
		in.columns, err = t.times()
	case 71:
		in.rows, err = t.times()
	}
	return err
}

// finish checks what was gathered and keeps its points in the store. The head
// of a POLYLINE comes out without its vertices.
func (b *builder) finish(kept *keeper) (item, error) {
	at := tag{line: b.e.Line}
	if b.shape == skipped || b.paper || b.shape == polyline && b.flags&(meshFlag|facesFlag) != 0 {
		return item{skipped: b.kind}, nil
	}
	switch b.shape {
	case lwPolyline:
		if b.wait.code != 0 {
			return item{}, b.wait.errorf("the vertex has no y")
		}
		if b.count.code != 0 {
			n, err := b.count.int()
			if err != nil {
				return item{}, err
			}
			if n != len(b.points) {
				return item{}, b.count.errorf("the polyline says it has %d vertices and has %d", n, len(b.points))
			}
		}
	case polyline, splineShape:
	case lineShape:
		if !(b.at.x && b.at.y && b.to.x && b.to.y) {
			return item{}, at.errorf("the line lacks a coordinate")
		}
		b.points = append(b.points, b.at.Point, b.to.Point)
	default:
		if !(b.at.x && b.at.y) {
			what := map[shape]string{vertex: "vertex", pointShape: "point", textShape: "text", insertShape: "insert",
				arcShape: "arc", circleShape: "circle", ellipseShape: "ellipse"}
			return item{}, at.errorf("the %s lacks a coordinate", what[b.shape])
		}
		b.points = append(b.points, b.at.Point)
	}
	b.e.Closed = b.flags&closedFlag != 0 // the other bits say other things
	if drawn, err := b.bend(kept); err != nil {
		return item{}, at.errorf("%v", err)
	} else if !drawn {
		return item{skipped: b.kind}, nil
	}
	mirrored, err := b.mirrored()
	if err != nil {
		return item{}, err
	}
	if b.shape != insertShape {
		if b.e.Points = b.points; b.shape != vertex { // those go on to their head
			b.e.Points = kept.Keep(b.points)
		}
		b.e.mirror(mirrored)
		return item{entity: b.e}, nil
	}
	in := b.insert
	switch {
	case in.block == "":
		return item{}, at.errorf("the insert names no block")
	case in.scale.X == 0 || in.scale.Y == 0:
		return item{}, at.errorf("the insert has a scale of 0")
	}
	in.layer, in.at, in.mirrored, in.hidden = b.e.Layer, b.at.Point, mirrored, b.e.Hidden
	return item{insert: &in}, nil
}

// bend puts the points of a curve in the place of what the file says of it. It
// reports false for one that can't be followed.
func (b *builder) bend(kept *keeper) (drawn bool, err error) {
	radius := b.of[40]
	across, up := geometry.Point{X: radius}, geometry.Point{Y: radius}
	switch b.shape {
	case lwPolyline, polyline:
		if len(b.bulge) > 0 {
			b.points, err = kept.bulges(b.points, b.bulge, b.e.Closed)
		}
	case arcShape:
		const degree = math.Pi / 180
		b.points, b.e.Closed, err = kept.ellipse(b.at.Point, across, up, b.of[50]*degree, around((b.of[51]-b.of[50])*degree))
	case circleShape:
		b.points, b.e.Closed, err = kept.ellipse(b.at.Point, across, up, 0, 2*math.Pi)
	case ellipseShape:
		// 11 and 21 are its long half axis, 40 how long the other one is to it,
		// to the left of it as its plane is seen.
		long := b.to.Point
		short := geometry.Point{X: -long.Y, Y: long.X}.Mul(radius)
		if b.normal[2] < 0 {
			short = short.Mul(-1)
		}
		b.points, b.e.Closed, err = kept.ellipse(b.at.Point, long, short, b.of[41], around(b.of[42]-b.of[41]))
	case splineShape:
		b.spline.control = b.points
		b.points, drawn, err = b.spline.points(kept)
		return drawn, err
	}
	return true, err
}

// Group 70 of a POLYLINE and of a VERTEX.
const (
	closedFlag  = 1
	space3DFlag = 8
	meshFlag    = 16
	facesFlag   = 64
	frameFlag   = 16 // a vertex off the curve, of the frame that shapes it
)

// mirrored reports whether the entity's own coordinates run against the
// drawing's: its plane is looked at from below, and x runs to the left there.
// Lines, points and polylines in space have the drawing's coordinates
// whatever their plane.
func (b *builder) mirrored() (bool, error) {
	switch {
	case b.shape == lineShape, b.shape == pointShape, b.shape == polyline && b.flags&space3DFlag != 0:
		return false, nil
	case (b.shape == ellipseShape || b.shape == splineShape) && b.normal[0] == 0 && b.normal[1] == 0:
		return false, nil
	case b.normal == [3]float64{}:
		return false, nil
	case math.Abs(b.normal[0])+math.Abs(b.normal[1]) > 1e-9*math.Abs(b.normal[2]):
		return false, tag{line: b.e.Line}.errorf("it is drawn in a plane that is tilted; flatten the drawing")
	}
	return b.normal[2] < 0, nil
}

func (e *Entity) mirror(yes bool) {
	if !yes {
		return
	}
	for i := range e.Points {
		e.Points[i].X = -e.Points[i].X
	}
	if e.Kind == Text {
		e.Turn = 180 - e.Turn
	}
}
