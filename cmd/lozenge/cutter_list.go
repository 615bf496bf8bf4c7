// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// nested lays all pieces that are needed on sheets, and says how their lengths
// come out of strip sets.
func (w *cutterWork) nested() (sheets []nest.Sheet, takes nest.Lengths, err error) {
	p := w.plan
	need := p.Need.With(p.Spec.Spare)
	if !w.cutting.StripSets {
		sheets, err = nest.Pieces(p.Set, need, w.beds)
		return sheets, takes, err
	}
	if !p.Fewest.OK() {
		return nil, takes, &answerNo{tooShort(p)}
	}
	ways, _ := p.Colourways()
	sewn := nest.Sewn{Set: p.Set, Layouts: p.Fewest.Layouts, Length: p.SewnLength(), Alike: len(ways) == 1, MixLeans: p.Spec.MixLeans}
	if p.FromScraps() {
		sewn.Alike = false
		for k := range sewn.Layouts {
			sewn.Lengths = append(sewn.Lengths, p.SetLength(k)-p.Spec.EndTrim)
		}
	}
	return nest.OutOf(sewn, need, w.beds)
}

// laySheets writes the sheets and lists them.
func (w *cutterWork) laySheets() error {
	sheets, takes, err := w.nested()
	if err != nil {
		return err
	}
	w.listHead(sheets)
	noRoom := false
	for i, s := range sheets {
		name := fmt.Sprintf("sheet-%02d", i+1)
		drawn := w.add(name, func(p *quilt.Plan) *draw.Drawing { return sheet.CutSheet(p, s, i+1, w.cutting) })
		w.listSheet(name, s, drawn)
		noRoom = noRoom || drawn.Square == nil
	}
	if noRoom {
		if err := w.square(); err != nil {
			return err
		}
	}
	w.listFoot(sheets, takes)
	return nil
}

// square adds the calibration square by itself.
func (w *cutterWork) square() error {
	s, ok := sheet.SquareSheet(w.plan.Spec, w.beds[0])
	if !ok {
		return usagef("a sheet of %s with a margin of %s has no room for a calibration square; give a larger --sheet or a smaller --margin",
			w.size(w.beds[0].Width, w.beds[0].Height), w.list.length(w.beds[0].Margin))
	}
	if w.form == dxf.SewnProducts {
		// Nothing but pieces is written there.
		q := s.Square
		s.Parts = []draw.Part{{Name: "calibration square", Number: 1, Labels: []string{q.Size}, Outline: q.Rect().Polygon()}}
		s.Square = nil
	}
	w.add("square", func(*quilt.Plan) *draw.Drawing { return s })
	return nil
}

func (w *cutterWork) listHead(sheets []nest.Sheet) {
	from := "single fabrics"
	if w.cutting.StripSets {
		from = fmt.Sprintf("strip sets %s wide", w.list.length(w.plan.Set.Width))
	}
	n := 0
	for _, s := range sheets {
		n += s.Number
	}
	fmt.Fprintf(&w.list, "%s: %s to cut from %s, %s\n", w.plan.Spec.Name, words.Count(n, "sheet"), from, words.Face(w.plan.Spec.Face))
	fmt.Fprintf(&w.list, "margin %s, gap %s\n\n", w.list.length(w.beds[0].Margin), w.list.length(w.beds[0].Gap))
}

func (w *cutterWork) listSheet(name string, s nest.Sheet, drawn *draw.Drawing) {
	t := &w.list
	fmt.Fprintf(t, "%s  cut %d, %s\n", name, s.Number, w.size(s.Width, s.Height))
	for i, g := range w.gives(s.Gives()) {
		key := "gives"
		if i > 0 {
			key = ""
		}
		t.row(key, "%s", g)
	}
	if w.cutting.StripSets {
		t.row("strip set", "%s%s", w.lengths(s), lies(s.Turn()))
	} else {
		t.row("rows", "%d, straight grain along the sheet", len(s.Rows))
	}
	t.row("pieces cover", "%s of the sheet", percent(s.Covered()))
	if s.Width != w.beds[0].Width || s.Height != w.beds[0].Height {
		t.row("note", "larger than %s, on which these pieces don't fit", w.size(w.beds[0].Width, w.beds[0].Height))
	}
	if q := drawn.Square; q != nil {
		t.row("square", "%s, at the %s", q.Size, corner(q, s.Bed))
	} else {
		t.row("square", "no room for one: cut square.dxf first")
	}
}

// corner says where a calibration square lies.
func corner(q *draw.CalibrationSquare, b nest.Bed) string {
	v, h := "bottom", "left"
	if q.At.Y+q.Side/2 > b.Height/2 {
		v = "top"
	}
	if q.At.X+q.Side/2 > b.Width/2 {
		h = "right"
	}
	return v + " " + h
}

// gives lists pieces by kind. Of a single fabric an edge triangle has no wide
// side to name, and at 60 degrees no lean.
func (w *cutterWork) gives(c strip.Count) []string {
	var parts []string
	edge := 0
	for lean, of := range c {
		lean := geometry.Lean(lean)
		for shape, n := range of {
			shape := geometry.Shape(shape)
			if n > 0 && (w.cutting.StripSets || shape == geometry.Diamond) {
				parts = append(parts, fmt.Sprintf("%d %s", n, words.Piece(w.plan.Spec, shape, lean, n)))
			} else {
				edge += n
			}
		}
		if edge > 0 && w.plan.Spec.Angle != 60 {
			parts = append(parts, words.Count(edge, words.Leaning(lean, geometry.LowerTriangle)))
			edge = 0
		}
	}
	if edge > 0 {
		parts = append(parts, words.Count(edge, "edge triangle")+", either lean")
	}
	return parts
}

// lengths says how long to cut the strip set for a sheet: "2 lengths of 22
// 3/8 in". A length is never given shorter than it must be.
func (w *cutterWork) lengths(s nest.Sheet) string {
	var parts []string
	for _, run := range runs(s.Rows, func(a, b nest.Row) bool { return math.Abs(b.Length-a.Length) < geometry.Fit }) {
		parts = append(parts, fmt.Sprintf("%s of %s", words.Count(len(run), "length"), w.list.length(w.roundUp(run[0].Length))))
	}
	return strings.Join(parts, ", ")
}

// roundUp returns a length as it is cut: the next 1/16 in or 0.1 cm.
func (w *cutterWork) roundUp(v float64) float64 {
	step := w.list.unit.Of(16, 10)
	return math.Ceil(float64(v*step)-float64(geometry.Fit*step)) / step
}

func lies(turn geometry.Angle) string {
	switch turn {
	case 0:
		return ", along the sheet"
	case 90, -90:
		return ", across the sheet"
	}
	return fmt.Sprintf(", slanted by %s degrees", words.Degrees(turn))
}

func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

func (w *cutterWork) listFoot(sheets []nest.Sheet, takes nest.Lengths) {
	t, p := &w.list, w.plan
	pieces, all, length := 0.0, 0.0, 0.0
	for _, s := range sheets {
		pieces += float64(float64(s.Number) * s.Area())
		all += float64(float64(s.Number) * s.Width * s.Height)
		for _, r := range s.Rows {
			length += float64(float64(s.Number) * w.roundUp(r.Length))
		}
	}
	fmt.Fprintln(t)
	t.row("pieces cover", "%s of all sheets together", percent(pieces/all))
	if w.cutting.StripSets {
		t.row("strip set", "in all %s", t.length(length))
		switch plan := len(p.Fewest.Layouts); {
		case takes.Straight <= plan:
		case takes.Apart:
			t.wrapped("note", fmt.Sprintf("No sheet holds the whole length of a strip set. Cut each apart along the line that two pieces share, with a ruler: then the %s of the plan give these lengths. Cut straight across they take %d, %d more.", words.Count(plan, "strip set"), takes.Straight, takes.Straight-plan))
		default:
			t.wrapped("note", fmt.Sprintf("These lengths take %s, %d more than the plan sews: no sheet holds the whole length of one.", words.Count(takes.Straight, "strip set"), takes.Straight-plan))
		}
	} else {
		t.row("fabric", "%s", words.AnyFabric(p.Spec))
	}
	if w.asks {
		t.wrapped("sheet", fmt.Sprintf("No size was given, so each is as wide as one length needs. Say once what your cutter takes, as --sheet %s, or in the pattern: cutter: {sheet: %s}.", w.example(), w.example()))
	}
	if !w.cutting.Lines && w.form != dxf.SewnProducts {
		t.wrapped("cuts", "Each piece is a whole outline, so edges that two pieces share are cut twice; --lines cuts each once.")
	}
	w.listCautions()
}

// example is a size of sheet as it is written.
func (w *cutterWork) example() string {
	if w.list.unit == geometry.Inch {
		return "18x24in"
	}
	return "45x60cm"
}

func (w *cutterWork) listCautions() {
	t := &w.list
	t.paragraph("  -", "Measure the calibration square, cut from paper, before you cut fabric. Cut and sew one test piece before you cut the rest.")
	if w.cutting.StripSets && len(w.plan.Spec.Strips) > 1 {
		t.paragraph("  -", words.ThickSeams)
	}
	t.paragraph("  -", "Keep hands clear of the blade and follow the instructions of the machine's maker.")
}

// layDies puts each kind of piece that is needed into a gang. At 60 degrees
// one die serves for all edge triangles.
func (w *cutterWork) layDies() error {
	p := w.plan
	fmt.Fprintf(&w.list, "%s: dies of %s, gap %s\n", p.Spec.Name, words.Count(w.die, "piece"), w.list.length(w.beds[0].Gap))
	n := 0
	for _, shape := range []geometry.Shape{geometry.Diamond, geometry.LowerTriangle} {
		for _, lean := range geometry.Leans {
			need := p.Need[lean]
			if shape == geometry.Diamond && need[shape] == 0 || shape != geometry.Diamond && need[geometry.LowerTriangle]+need[geometry.UpperTriangle] == 0 {
				continue
			}
			one := words.Leaning(lean, shape)
			if shape != geometry.Diamond && p.Spec.Angle == 60 {
				one = words.Shape(shape)
			}
			what := words.Noun(2, one)
			s, err := w.gang(shape, lean)
			if err != nil {
				return err
			}
			n++
			name := fmt.Sprintf("die-%02d", n)
			w.add(name, func(p *quilt.Plan) *draw.Drawing { return sheet.Die(p, s, what, w.cutting) })
			fmt.Fprintf(&w.list, "\n%s  %s\n", name, what)
			if shape == geometry.Diamond {
				w.list.row("gives", "%s at a time", words.Count(w.die, one))
			} else {
				w.list.row("gives", "%s at a time, turned in turn", words.Count(w.die, "edge triangle"))
			}
			w.list.row("feed", "%s %s wide and %s long", words.Count(len(s.Rows), "strip"), w.list.length(p.Set.Width), w.list.length(w.roundUp(s.Rows[0].Length)))
			if shape != geometry.Diamond && p.Spec.Angle == 60 {
				break
			}
		}
	}
	fmt.Fprintln(&w.list)
	if p.Need.Lean(geometry.Right) > 0 && p.Need.Lean(geometry.Left) > 0 {
		w.list.paragraph("  -", "A die for one lean cuts the other when the fabric lies the other side up, so one of the two may do.")
	}
	w.listCautions()
	return nil
}

// gang lays one die, on the first sheet that holds it.
func (w *cutterWork) gang(shape geometry.Shape, lean geometry.Lean) (s nest.Sheet, err error) {
	for _, b := range w.beds {
		if s, err = nest.Gang(w.plan.Set, shape, lean, w.die, b); err == nil {
			return s, nil
		}
	}
	var few *nest.GangError
	if errors.As(err, &few) {
		b := w.beds[len(w.beds)-1]
		return s, usagef("--die %d: a die of %s holds at most %d of these pieces; give a smaller number or a larger --sheet", w.die, w.size(b.Width, b.Height), few.Most)
	}
	return s, err
}
