// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"cmp"
	"math"

	"lozenge/geometry"
)

// Limits on blocks within blocks. Ten lines that each insert the block
// before ten times are ten thousand million lines: what is placed counts
// against the size of the file.
const (
	maxDepth  = 16
	maxPlaced = 1 << 18 // beyond one for each 8 bytes of the file
	maxKinds  = 1 << 8  // of entities that are not read; there are about fifty
)

// otherKinds counts entities of more kinds than there are.
const otherKinds = "unknown"

// blockDef is a block as it is defined.
type blockDef struct {
	base  geometry.Point
	items []item
}

// insert is where a block stands.
type insert struct {
	line          int
	block, layer  string
	at            geometry.Point
	scale         geometry.Point
	turn          geometry.Angle
	columns, rows int
	step          geometry.Point
	mirrored      bool // its plane is looked at from below
	hidden        string
}

// gatherer turns the tags of a section or a block into items.
type gatherer struct {
	b    *builder // being gathered, or nil
	head *builder // of the POLYLINE whose vertices are being gathered, or nil
	skip bool     // that POLYLINE is of a kind that is not read
	take func(item) error

	room [2]builder // for b and head
	kept *keeper
}

// begin begins to gather an entity.
func (g *gatherer) begin(t tag) {
	g.b = &g.room[0]
	if g.head == g.b {
		g.b = &g.room[1]
	}
	g.b.begin(t)
}

func (g *gatherer) add(t tag) error {
	if t.code != 0 {
		if g.b == nil {
			return nil
		}
		return g.b.add(t)
	}
	if err := g.finish(); err != nil {
		return err
	}
	name := t.name()
	if g.head != nil {
		switch name {
		case "VERTEX":
			g.begin(t)
		case "SEQEND":
			head := g.head
			g.head = nil
			if g.skip {
				return g.take(item{skipped: head.kind})
			}
			it, err := head.finish(g.kept) // once more, now with its vertices
			if err != nil {
				return err
			}
			return g.take(it)
		default:
			return t.errorf("the polyline of line %d has no SEQEND", g.head.e.Line)
		}
		return nil
	}
	switch name {
	case "VERTEX":
		return t.errorf("the vertex stands outside a polyline")
	case "SEQEND": // of the attributes of an insert
		return nil
	}
	g.begin(t)
	return nil
}

// finish ends the entity that is being gathered.
func (g *gatherer) finish() error {
	b := g.b
	if b == nil {
		return nil
	}
	g.b = nil
	it, err := b.finish(g.kept)
	switch {
	case err != nil:
		return err
	case b.shape == polyline:
		g.head, g.skip = b, it.skipped != ""
		return nil
	case b.shape == vertex:
		if g.skip || b.flags&frameFlag != 0 {
			return nil
		}
		if len(b.bulge) > 0 {
			for len(g.head.bulge) < len(g.head.points) {
				g.head.bulge = append(g.head.bulge, 0)
			}
			g.head.bulge = append(g.head.bulge, b.bulge...)
		}
		g.head.points = append(g.head.points, b.points...)
		return nil
	}
	return g.take(it)
}

// end ends the section or the block.
func (g *gatherer) end() error {
	if err := g.finish(); err != nil {
		return err
	}
	if g.head != nil {
		return tag{line: g.head.e.Line}.errorf("the polyline has no SEQEND")
	}
	return nil
}

// readBlocks reads the BLOCKS section.
func readBlocks(s *scanner) (map[string]*blockDef, error) {
	defs := map[string]*blockDef{}
	var def *blockDef
	var start tag
	var g *gatherer // nil in the head of a block
	define := func(t tag) error {
		if _, ok := defs[fold(t.name())]; ok {
			return t.errorf("the block %q is defined twice", clip(t.name()))
		}
		defs[fold(t.name())] = def
		return nil
	}
	err := within(s, func(t tag) (err error) {
		switch {
		case t.is(0, "BLOCK"):
			if def != nil {
				return t.errorf("the block of line %d has no ENDBLK", start.line)
			}
			def, start, g = &blockDef{}, t, nil
		case t.is(0, "ENDBLK"):
			if def == nil {
				return t.errorf("ENDBLK stands outside a block")
			}
			if g != nil {
				err = g.end()
			}
			def = nil
		case def == nil: // what ENDBLK says of itself
			if t.code == 0 {
				return t.errorf("%q stands outside a block", clip(t.value))
			}
		case t.code == 0 && g == nil:
			this := def
			g = &gatherer{kept: &s.kept, take: func(it item) error { this.items = append(this.items, it); return nil }}
			return g.add(t)
		case g != nil:
			return g.add(t)
		case t.code == 2:
			return define(t)
		case t.code == 10:
			def.base.X, err = t.float()
		case t.code == 20:
			def.base.Y, err = t.float()
		}
		return err
	})
	if err == nil && def != nil {
		err = start.errorf("the block has no ENDBLK")
	}
	return defs, err
}

// fold is for names that differ only in case, which are the same name in a
// DXF file (KLayout/klayout#320). Text is in a code page here, of which
// strings.ToUpper knows nothing.
func fold(s string) string {
	out := []byte(s)
	for i, b := range out {
		if b >= 'a' && b <= 'z' {
			out[i] = b - 'a' + 'A'
		}
	}
	return string(out)
}

// placer puts items into the file's entities.
type placer struct {
	file   *File
	blocks map[string]*blockDef
	scan   *scanner
	placed int // by inserts
}

// frame is where a block's coordinates lie in the drawing.
type frame struct {
	x, y, origin geometry.Point // along the block's x, its y, and where its 0 is
	layer        string         // of the insert: what layer 0 of the block means
	hidden       string         // why all of it is not drawn
	block        string         // the outermost
	line         int            // of the outermost insert
	depth        int
}

// place puts an item into the drawing; fr is nil for what is drawn outright.
func (p *placer) place(it item, fr *frame) error {
	switch {
	case it.insert != nil:
		return p.insert(it.insert, fr)
	case it.skipped != "":
		kind := it.skipped
		if _, known := p.file.Skipped[kind]; !known && len(p.file.Skipped) >= maxKinds {
			kind = otherKinds
		}
		p.file.Skipped[kind]++
		return p.pay(fr, 1)
	}
	e := it.entity
	if fr != nil {
		if err := p.pay(fr, 1+len(e.Points)); err != nil {
			return err
		}
		if err := fr.apply(&e); err != nil {
			return err
		}
	}
	if e.Hidden == "" {
		e.Hidden, _ = p.file.why(e.Layer)
	}
	p.file.Entities = append(p.file.Entities, e)
	return nil
}

func (p *placer) pay(fr *frame, n int) error {
	if fr == nil {
		return nil
	}
	if p.placed += n; p.placed > maxPlaced+p.scan.pos/8 {
		return tag{line: fr.line}.errorf("the blocks inserted up to here come to more than a file of this size can mean")
	}
	return nil
}

func (p *placer) insert(in *insert, outer *frame) error {
	def, ok := p.blocks[fold(in.block)]
	if !ok {
		return tag{line: in.line}.errorf("there is no block %q to insert", clip(in.block))
	}
	fr := frame{layer: in.layer, block: in.block, line: in.line, hidden: in.hidden}
	if outer != nil {
		fr.block, fr.line, fr.depth = outer.block, outer.line, outer.depth+1
		if in.layer == "0" {
			fr.layer = outer.layer
		}
		fr.hidden = cmp.Or(outer.hidden, fr.hidden)
	}
	// What is inserted on a layer that is off is drawn, on a frozen one not.
	if why, frozen := p.file.why(fr.layer); frozen {
		fr.hidden = cmp.Or(fr.hidden, why)
	}
	if fr.depth >= maxDepth {
		return tag{line: in.line}.errorf("blocks within blocks are more than %d deep; does %q hold itself?", maxDepth, clip(in.block))
	}
	sin, cos := in.turn.SinCos()
	along, up := geometry.Point{X: cos, Y: sin}, geometry.Point{X: -sin, Y: cos}
	fr.x, fr.y = along.Mul(in.scale.X), up.Mul(in.scale.Y)
	first := in.at.Sub(fr.turned(def.base))
	for row := range in.rows {
		for column := range in.columns {
			this := fr
			this.origin = first.Add(along.Mul(float64(column) * in.step.X)).Add(up.Mul(float64(row) * in.step.Y))
			if in.mirrored {
				this.x.X, this.y.X, this.origin.X = -this.x.X, -this.y.X, -this.origin.X
			}
			if outer != nil {
				this.x, this.y = outer.turned(this.x), outer.turned(this.y)
				this.origin = outer.origin.Add(outer.turned(this.origin))
			}
			if err := p.pay(&this, 1); err != nil {
				return err
			}
			for _, it := range def.items {
				if err := p.place(it, &this); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// turned maps a displacement.
func (fr *frame) turned(d geometry.Point) geometry.Point {
	return fr.x.Mul(d.X).Add(fr.y.Mul(d.Y))
}

// apply brings an entity of the block into the drawing.
func (fr *frame) apply(e *Entity) error {
	points := make([]geometry.Point, len(e.Points))
	for i, q := range e.Points {
		points[i] = fr.origin.Add(fr.turned(q))
		if sum := points[i].X + points[i].Y; math.IsNaN(sum) || math.IsInf(sum, 0) {
			return tag{line: fr.line}.errorf("the insert moves a point of line %d beyond all numbers", e.Line)
		}
	}
	e.Points = points
	e.Block = fr.block
	e.Hidden = cmp.Or(fr.hidden, e.Hidden)
	if e.Layer == "0" {
		e.Layer = fr.layer
	}
	if e.Kind == Text && (fr.x != geometry.Point{X: 1} || fr.y != geometry.Point{Y: 1}) {
		sin, cos := e.Turn.SinCos()
		along := fr.turned(geometry.Point{X: cos, Y: sin})
		e.Turn = geometry.Angle(math.Atan2(along.Y, along.X) * (180 / math.Pi))
		e.Height *= fr.turned(geometry.Point{X: -sin, Y: cos}).Len()
		if math.IsNaN(e.Height) || math.IsInf(e.Height, 0) {
			return tag{line: fr.line}.errorf("the insert makes the text of line %d larger than all numbers", e.Line)
		}
	}
	return nil
}
