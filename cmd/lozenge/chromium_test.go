// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/pages"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// chromium reads drawings as a browser does that shows them at 100 % on a
// screen of one device pixel to a CSS pixel, of which 96 make an inch (CSS
// Values and Units, "absolute lengths"; SVG 2, "units"). What it read is
// turned into the pattern's unit, y up from the page's lower edge.
type chromium struct {
	t    *testing.T
	page *browser.Page
	plan *quilt.Plan
}

func (c *chromium) unit(px float64) float64 {
	return px / 96 * c.plan.Spec.Unit.Of(1, geometry.CentimetresPerInch)
}

// within is 0.0005 in in the pattern's unit.
func (c *chromium) within() float64 { return c.unit(96 * exact) }

// read reads a file and holds it to what every file promises: its root is as
// large as it should be, its calibration square is square and of the size that
// it says, and walking along a line leads to its vertices.
func (c *chromium) read(file string, width, height float64) (lines map[string][]browser.Line) {
	c.t.Helper()
	d := c.page.Drawing(file)
	if d.Ratio != 1 {
		c.t.Fatalf("%s: %v device pixels to a CSS pixel", file, d.Ratio)
	}
	// The browser lays boxes out in 64ths of a pixel, 0.00016 in.
	if w, h := c.unit(d.Width), c.unit(d.Height); math.Abs(w-width) > c.within() || math.Abs(h-height) > c.within() {
		c.t.Errorf("%s: the page is %v by %v, want %v by %v", file, w, h, width, height)
	}
	up := func(p [2]float64) [2]float64 { return [2]float64{c.unit(p[0]), height - c.unit(p[1])} }
	lines = map[string][]browser.Line{}
	for _, l := range d.Lines {
		for i, w := range l.Walked {
			if off := math.Hypot(w[0]-l.Points[i][0], w[1]-l.Points[i][1]); !(off <= 96*exact/2) {
				c.t.Errorf("%s: walking along a %s line, vertex %d is %v px off", file, l.Group, i, off)
			}
		}
		for i := range l.Points {
			l.Points[i] = up(l.Points[i])
		}
		lines[l.Group] = append(lines[l.Group], l)
		if l.ID == "calibration-square" {
			c.square(file, l)
		}
	}
	if e := c.page.Errors(); len(e) > 0 {
		c.t.Errorf("%s: %q", file, e)
	}
	return lines
}

func (c *chromium) square(file string, l browser.Line) {
	c.t.Helper()
	nominal, err := geometry.ParseLength(l.Size, c.plan.Spec.Unit)
	if err != nil || len(l.Points) != 4 {
		c.t.Fatalf("%s: a calibration square of %q with %d corners: %v", file, l.Size, len(l.Points), err)
	}
	side := nominal.In(c.plan.Spec.Unit)
	for i, p := range l.Points {
		for j, q := range l.Points[:i] {
			want := side
			if (i-j)%2 == 0 {
				want *= math.Sqrt2
			}
			if got := math.Hypot(p[0]-q[0], p[1]-q[1]); !(math.Abs(got-want) <= c.within()) {
				c.t.Errorf("%s: corners %d and %d of the square are %v apart, want %v", file, j, i, got, want)
			}
		}
	}
}

// asDrawn compares a file with the sheet that it was written from, line by
// line and vertex by vertex.
func (c *chromium) asDrawn(file string, s *draw.Drawing) (lines map[string][]browser.Line) {
	c.t.Helper()
	k := s.Scale
	lines = c.read(file, s.Page.Width()*k, s.Page.Height()*k)
	want := map[string][]draw.Path{}
	for _, p := range s.Paths {
		want[p.Role.String()] = append(want[p.Role.String()], p)
	}
	if q := s.Square; q != nil {
		at := func(x, y float64) geometry.Point { return q.At.Add(geometry.Point{X: x, Y: y}) }
		want["square"] = append(want["square"], draw.Path{Closed: true, Points: []geometry.Point{at(0, q.Side), at(q.Side, q.Side), at(q.Side, 0), at(0, 0)}})
	}
	for group, paths := range want {
		if len(lines[group]) != len(paths) {
			c.t.Errorf("%s: %d %s lines, want %d", file, len(lines[group]), group, len(paths))
			continue
		}
		for i, p := range paths {
			got := lines[group][i]
			if got.Closed != p.Closed || len(got.Points) != len(p.Points) {
				c.t.Errorf("%s: %s line %d is %+v, want %+v", file, group, i, got, p)
				continue
			}
			for j, q := range p.Points {
				x, y := (q.X-s.Page.Min.X)*k, (q.Y-s.Page.Min.Y)*k
				if off := math.Hypot(got.Points[j][0]-x, got.Points[j][1]-y); !(off <= c.within()) {
					c.t.Errorf("%s: %s line %d, vertex %d is off by %v", file, group, i, j, off)
				}
			}
		}
	}
	return lines
}

// kinds are the outlines of the pieces that the quilt needs, as they look when
// they are cut.
func (c *chromium) kinds() (out []geometry.Polygon) {
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			if c.plan.Need[lean][shape] > 0 {
				seen := lean
				if c.plan.Spec.Face == geometry.FaceDown {
					seen = lean.Other()
				}
				out = append(out, c.plan.Set.Piece(shape, seen).Outline)
			}
		}
	}
	return out
}

// isPiece reports whether an outline is one of the kinds, moved and turned
// but not turned over: all its vertices are as far from each other, and it
// runs round the same way.
func (c *chromium) isPiece(l browser.Line, kinds []geometry.Polygon) bool {
	got := polygonOf(l.Points)
	if got.Area() < 0 {
		slices.Reverse(got) // drawn clockwise
	}
	n := len(got)
	return slices.ContainsFunc(kinds, func(kind geometry.Polygon) bool {
		if len(kind) != n {
			return false
		}
	begin:
		for k := range n {
			for i := range n {
				for j := range i {
					d := got[(i+k)%n].Sub(got[(j+k)%n]).Len() - kind[i].Sub(kind[j]).Len()
					if !(math.Abs(d) <= c.within()) {
						continue begin
					}
				}
			}
			return true
		}
		return false
	})
}

func polygonOf(points [][2]float64) geometry.Polygon {
	var g geometry.Polygon
	for _, p := range points {
		g = append(g, geometry.Point{X: p[0], Y: p[1]})
	}
	return g
}

// whole checks that every closed outline is a piece, and returns how many
// there are.
func (c *chromium) whole(file string, cut []browser.Line) int {
	c.t.Helper()
	n, kinds := 0, c.kinds()
	for i, l := range cut {
		if l.Closed {
			if n++; !c.isPiece(l, kinds) {
				c.t.Errorf("%s: outline %d is no piece of the quilt: %v", file, i, l.Points)
			}
		}
	}
	return n
}

// Chromium finds in every SVG that is true to size what the geometry says, to
// 0.0005 in.
func TestChromiumReadsWhatIsMeant(t *testing.T) {
	t.Parallel()
	page := browser.Open(t, browser.Options{})
	examples, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(examples) < 3 {
		t.Fatalf("%d examples, %v", len(examples), err)
	}
	for _, example := range outside.Of([]string{"../../testdata/meadow-cot.yaml"}, examples) {
		t.Run(strings.TrimSuffix(filepath.Base(example), ".yaml"), func(t *testing.T) {
			c := &chromium{t, page, planOf(t, example)}
			c.drawings(example, t.TempDir())
			c.templates(example, t.TempDir())
			c.cutter(example, t.TempDir())
		})
	}
}

// drawings are those that stand alone: make writes them, and their own
// commands do.
func (c *chromium) drawings(example, dir string) {
	made := filepath.Join(dir, "made")
	mustRun(c.t, "make", example, "--out", made)
	mustRun(c.t, "cutter", example, "--from", "one-of-each", "--out", dir)
	mustRun(c.t, "mat", example, "--flat", "-o", filepath.Join(dir, "mat.svg"))
	mustRun(c.t, "picture", example, "-o", filepath.Join(dir, "picture.svg"))
	mat, ok := sheet.Mat(c.plan)
	if !ok {
		c.t.Fatal("no mat")
	}
	for _, dir := range []string{dir, made} {
		c.asDrawn(filepath.Join(dir, "picture.svg"), sheet.Picture(c.plan))
		c.matLines(filepath.Join(dir, "mat.svg"), c.asDrawn(filepath.Join(dir, "mat.svg"), mat)["cut"])

		file := filepath.Join(dir, "pieces.svg")
		cut, kinds := c.asDrawn(file, sheet.Cutter(c.plan))["cut"], c.kinds()
		if len(cut) != len(kinds) {
			c.t.Fatalf("%s: %d outlines of %d kinds", file, len(cut), len(kinds))
		}
		for i, kind := range kinds {
			// Not turned either.
			shift := geometry.Point{X: cut[i].Points[0][0], Y: cut[i].Points[0][1]}.Sub(kind[0])
			for j, q := range polygonOf(cut[i].Points) {
				if off := q.Sub(kind[j].Add(shift)).Len(); !(off <= c.within()) {
					c.t.Errorf("%s: outline %d, vertex %d is off by %v", file, i, j, off)
				}
			}
		}
	}
}

// matLines checks the cut lines of a mat against the rows of cut lines that
// they show: wherever a row lies, all its lines lie as they should to a tip
// trim of it.
func (c *chromium) matLines(file string, cut []browser.Line) {
	c.t.Helper()
	at := 0
	for _, like := range c.plan.Alike() {
		row := c.plan.Row(like.Layout).Cuts()
		if at+len(row) > len(cut) {
			c.t.Fatalf("%s: only %d cut lines", file, len(cut))
		}
		drawn := cut[at : at+len(row)]
		at += len(row)
		trim := slices.IndexFunc(row, func(l strip.Cut) bool { return l.Kind == strip.TipTrimCut })
		if trim < 0 {
			c.t.Fatalf("%s: no trim to go by", file)
		}
		shift := polygonOf(drawn[trim].Points)[0].Sub(row[trim].Line.A)
		for i, l := range row {
			want := l.Line.Move(shift)
			along := want.B.Sub(want.A)
			for _, q := range polygonOf(drawn[i].Points) {
				if off := math.Abs(along.Cross(q.Sub(want.A)) / along.Len()); !(off <= c.within()) {
					c.t.Errorf("%s: cut %d is off by %v", file, l.Number, off)
				}
			}
		}
	}
	if at != len(cut) {
		c.t.Errorf("%s: %d cut lines, want %d", file, len(cut), at)
	}
}

func (c *chromium) templates(example, dir string) {
	u := c.plan.Spec.Unit
	small := pages.Paper{Width: u.Of(6, 15), Height: u.Of(8, 20)}
	papers := map[string]pages.Paper{[...]string{"6x8in", "15x20cm"}[u]: small}
	for _, name := range outside.Of([]string{"a4"}, []string{"letter", "a4", "a3"}) {
		papers[name], _ = pages.Named(name, u)
	}
	whole := 0
	for name, paper := range papers {
		out := filepath.Join(dir, name)
		mustRun(c.t, "templates", example, "--paper", name, "--out", out)
		sheets, err := pages.Templates(c.plan, paper)
		if err != nil {
			c.t.Fatal(err)
		}
		for i, s := range sheets {
			file := filepath.Join(out, pageName(i, len(sheets), "svg"))
			whole += c.whole(file, c.asDrawn(file, s)["cut"])
		}
	}
	if whole == 0 {
		c.t.Error("no template is on one page")
	}
}

// cutter reads its sheets and dies, drawn both ways: whole outlines and every
// line once.
func (c *chromium) cutter(example, dir string) {
	whole := 0
	runs := cutterRuns(c.plan.Spec.Unit)
	for i, f := range outside.Of(runs[1:2], runs) {
		for _, f.lines = range []bool{false, true} {
			f.out.dir = filepath.Join(dir, fmt.Sprint(i, f.lines))
			mustRun(c.t, f.args(example)...)
			files, _ := filepath.Glob(filepath.Join(f.out.dir, "*.svg"))
			sheets := c.laid(f)
			if len(files) != len(sheets) {
				c.t.Errorf("%+v: %d files, %d sheets", f, len(files), len(sheets))
				continue
			}
			for k, file := range files {
				cut := c.asDrawn(file, sheets[k])["cut"]
				if n := c.whole(file, cut); f.lines == (n > 0) && filepath.Base(file) != "square.svg" {
					c.t.Errorf("%s: %d whole outlines", file, n)
				}
				whole += len(cut)
			}
		}
	}
	if whole < 100 {
		c.t.Errorf("only %d lines were compared", whole)
	}
}

// cutterRuns are ways to use cutter: with sheets of the usual sizes, with
// others on which rows touch or stand aslant, and for dies.
func cutterRuns(u geometry.Unit) []cutterFlags {
	return []cutterFlags{
		{from: fromStripSets},
		{from: fromPieces, gap: "0", margin: "0", sheets: []string{[...]string{"13x25in", "33x64cm"}[u]}},
		{from: fromStripSets, sheets: []string{[...]string{"11x22in", "28x56cm"}[u]}},
		{from: fromPieces, die: 3},
	}
}

// args are the flags as they are typed.
func (f cutterFlags) args(example string) []string {
	args := []string{"cutter", example, "--out", f.out.dir, "--from", f.from, fmt.Sprint("--lines=", f.lines)}
	for _, flag := range [][2]string{{"--gap", f.gap}, {"--margin", f.margin}, {"--sheet", strings.Join(f.sheets, "")}, {"--dxf", f.form}} {
		if flag[1] != "" {
			args = append(args, flag[0], flag[1])
		}
	}
	if f.die > 0 {
		args = append(args, "--die", fmt.Sprint(f.die))
	}
	return args
}

// laid lays the sheets out anew, in the order of their files' names.
func (c *chromium) laid(f cutterFlags) (out []*draw.Drawing) {
	c.t.Helper()
	beds, err := f.beds(c.plan.Spec.Unit, c.plan.Set.Width)
	if err != nil {
		c.t.Fatal(err)
	}
	w := &cutterWork{plan: c.plan, beds: beds, die: f.die, cutting: sheet.Cutting{StripSets: f.from == fromStripSets, Lines: f.lines}}
	if f.die > 0 {
		for _, shape := range []geometry.Shape{geometry.Diamond, geometry.LowerTriangle} {
			for _, lean := range geometry.Leans {
				need := c.plan.Need[lean]
				triangle := shape != geometry.Diamond
				if triangle && (need[geometry.LowerTriangle]+need[geometry.UpperTriangle] == 0 || c.plan.Spec.Angle == 60 && len(out) > 2) || !triangle && need[shape] == 0 {
					continue
				}
				s, err := w.gang(shape, lean)
				if err != nil {
					c.t.Fatal(err)
				}
				what := lean.String() + "-leaning diamonds"
				out = append(out, sheet.Die(c.plan, s, what, w.cutting))
			}
		}
		return out
	}
	sheets, _, err := w.nested()
	if err != nil {
		c.t.Fatal(err)
	}
	square := false
	for i, s := range sheets {
		out = append(out, sheet.CutSheet(c.plan, s, i+1, w.cutting))
		square = square || out[i].Square == nil
	}
	if square {
		s, _ := sheet.SquareSheet(c.plan.Spec, beds[0])
		out = append(out, s)
	}
	return out
}
