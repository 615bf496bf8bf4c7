// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/pages"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// planOf reads an example.
func planOf(t *testing.T, example string) *quilt.Plan {
	t.Helper()
	p, err := pattern.Read(example, nil)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := quilt.New(p.Spec)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// throughPoppler has poppler read a page of a PDF and write it as SVG, Chromium
// read that, and looks for every cut line, seam and calibration square of the
// sheet in it.
func (c *chromium) throughPoppler(pdf string, number int, s *draw.Drawing) {
	c.t.Helper()
	cairo := outside.Tool(c.t, "pdftocairo")
	out := filepath.Join(c.t.TempDir(), "poppler.svg")
	// Without -noshrink it shrinks a page whose sides are not whole points, A4
	// by 595.276/596.
	outside.Run(c.t, cairo, "-svg", "-noshrink", "-nocenter", "-f", fmt.Sprint(number), "-l", fmt.Sprint(number), pdf, out)
	height := s.Page.Height()
	var found []geometry.Polygon
	for _, l := range c.page.Drawing(out).Lines {
		var g geometry.Polygon
		for _, p := range l.Points {
			g = append(g, geometry.Point{X: c.unit(p[0]), Y: height - c.unit(p[1])})
		}
		found = append(found, g)
	}
	want := slices.Clone(s.Paths)
	if q := s.Square; q != nil {
		at := func(x, y float64) geometry.Point { return q.At.Add(geometry.Point{X: x, Y: y}) }
		want = append(want, draw.Path{Role: draw.Square, Points: []geometry.Point{at(0, 0), at(q.Side, 0), at(q.Side, q.Side), at(0, q.Side)}})
	}
	for i, p := range want {
		if p.Role == draw.Mark {
			continue
		}
		best := math.Inf(1)
		for _, g := range found {
			if len(g) < len(p.Points) || len(g) > len(p.Points)+1 {
				continue
			}
			// Each vertex has its like: a rectangle may begin elsewhere.
			worst := 0.0
			for _, v := range p.Points {
				near := math.Inf(1)
				for _, w := range g {
					near = min(near, w.Sub(v.Sub(s.Page.Min)).Len())
				}
				worst = max(worst, near)
			}
			best = min(best, worst)
		}
		if !(best <= c.within()) {
			c.t.Errorf("%s, page %d: %v line %d is off by %v", pdf, number, p.Role, i, best)
		}
	}
}

// sizeOf returns the size of a page in points, as poppler reads it.
func sizeOf(t *testing.T, pdf string, number int) (width, height float64) {
	t.Helper()
	info := outside.Run(t, outside.Tool(t, "pdfinfo"), "-f", fmt.Sprint(number), "-l", fmt.Sprint(number), pdf)
	m := regexp.MustCompile(`size: +([\d.]+) x ([\d.]+) pts`).FindSubmatch(info)
	if m == nil {
		t.Fatalf("%s: no size in %s", pdf, info)
	}
	fmt.Sscan(string(m[1]), &width)
	fmt.Sscan(string(m[2]), &height)
	return width, height
}

// librsvg makes PDF of the SVG files; poppler reads them and writes SVG anew;
// Chromium reads that: after three programs all is where the geometry has it,
// within 0.0005 in, and so it is in our own PDF after the two others.
func TestRsvgAndPopplerReadWhatIsMeant(t *testing.T) {
	t.Parallel()
	rsvg := outside.Tool(t, "rsvg-convert")
	page := browser.Open(t, browser.Options{})
	type on struct{ example, paper string }
	for _, c := range outside.Of([]on{{"ember-throw", "a3"}}, []on{{"tide-lap", "letter"}, {"meadow-cot", "a4"}, {"ember-throw", "a3"}}) {
		t.Run(c.example, func(t *testing.T) {
			example := "../../testdata/" + c.example + ".yaml"
			c := &struct {
				chromium
				paper string
			}{chromium{t, page, planOf(t, example)}, c.paper}
			u := c.plan.Spec.Unit
			dir := t.TempDir()
			mustRun(t, "make", example, "--out", filepath.Join(dir, "made"))
			mustRun(t, "templates", example, "--paper", c.paper, "--out", filepath.Join(dir, "paper"))
			mustRun(t, "cutter", example, "--from", fromStripSets, "--out", filepath.Join(dir, "cutter"))
			paper, _ := pages.Named(c.paper, u)
			templates, err := pages.Templates(c.plan, paper)
			if err != nil {
				t.Fatal(err)
			}
			mat, _ := sheet.Mat(c.plan)
			files := map[string]*draw.Drawing{"made/mat.svg": mat, "made/pieces.svg": sheet.Cutter(c.plan)}
			for i, s := range c.laid(cutterFlags{from: fromStripSets}) {
				if s.Parts != nil {
					files[fmt.Sprintf("cutter/sheet-%02d.svg", i+1)] = s
				}
			}
			own := filepath.Join(dir, "paper", "templates.pdf")
			for i, s := range templates {
				files["paper/"+pageName(i, len(templates), "svg")] = s
				c.throughPoppler(own, i+1, s)
				// 612 by 792 points for letter, 595.276 by 841.890 for A4,
				// within 0.005; pdfinfo prints six digits.
				w, h := sizeOf(t, own, i+1)
				if dw, dh := w-72*u.Inches(paper.Width), h-72*u.Inches(paper.Height); math.Abs(dw) > 0.005 || math.Abs(dh) > 0.005 {
					t.Errorf("page %d is %v by %v points", i+1, w, h)
				}
			}
			for name, s := range files {
				pdf := filepath.Join(dir, strings.ReplaceAll(name, "/", "-")+".pdf")
				outside.Run(t, rsvg, "-f", "pdf", "-o", pdf, filepath.Join(dir, filepath.FromSlash(name)))
				w, h := sizeOf(t, pdf, 1)
				if dw, dh := w/72-u.Inches(s.Page.Width()), h/72-u.Inches(s.Page.Height()); math.Abs(dw) > exact || math.Abs(dh) > exact {
					t.Errorf("%s: librsvg's page is %v by %v points, want %v by %v", name, w, h, 72*u.Inches(s.Page.Width()), 72*u.Inches(s.Page.Height()))
				}
				c.throughPoppler(pdf, 1, s)
			}
		})
	}
}

// grey is a page as poppler draws it.
type grey struct {
	wide, high int
	pixels     []byte
}

func rasterOf(t *testing.T, pdf string, number, dpi int) grey {
	t.Helper()
	base := filepath.Join(t.TempDir(), "page")
	outside.Run(t, outside.Tool(t, "pdftoppm"), "-r", fmt.Sprint(dpi), "-gray", "-singlefile", "-f", fmt.Sprint(number), pdf, base)
	data, err := os.ReadFile(base + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	var g grey
	var most int
	in := bytes.NewReader(data)
	if _, err := fmt.Fscanf(in, "P5\n%d %d\n%d\n", &g.wide, &g.high, &most); err != nil || most != 255 || in.Len() != g.wide*g.high {
		t.Fatalf("not a grey picture: %v", err)
	}
	g.pixels = data[len(data)-in.Len():]
	return g
}

// middle returns where the ink lies that a line leaves on 33 pixels around a
// place, along a row of pixels or a column.
func (g grey) middle(x, y float64, row bool) (at float64, ok bool) {
	const reach = 16
	i, j := int(x), int(y)
	sum, weight := 0.0, 0.0
	for k := -reach; k <= reach; k++ {
		u, v, centre := i+k, j, float64(i+k)+0.5
		if !row {
			u, v, centre = i, j+k, float64(j+k)+0.5
		}
		if u < 0 || v < 0 || u >= g.wide || v >= g.high {
			return 0, false
		}
		ink := float64(255 - g.pixels[v*g.wide+u])
		if (k == -reach || k == reach) && ink > 0 {
			return 0, false // something else is near
		}
		sum += ink
		weight += ink * centre
	}
	return weight / sum, sum > 255
}

// At 600 dots an inch poppler inks every cut line and side of the calibration
// square where the geometry has it: the middle of the ink, along many a row
// and column of pixels, is within 0.0005 in, 0.3 of a pixel.
func TestPopplerInksWhatIsMeant(t *testing.T) {
	t.Parallel()
	const dpi = 600
	for _, c := range []struct{ example, paper string }{{"tide-lap", "letter"}, {"meadow-cot", "a4"}} {
		example := "../../testdata/" + c.example + ".yaml"
		plan, dir := planOf(t, example), t.TempDir()
		mustRun(t, "templates", example, "--paper", c.paper, "--out", dir)
		paper, _ := pages.Named(c.paper, plan.Spec.Unit)
		sheets, err := pages.Templates(plan, paper)
		if err != nil {
			t.Fatal(err)
		}
		for _, number := range []int{2, len(sheets)} {
			s := sheets[number-1]
			img := rasterOf(t, filepath.Join(dir, "templates.pdf"), number, dpi)
			px := func(p geometry.Point) geometry.Point {
				return geometry.Point{X: dpi * plan.Spec.Unit.Inches(p.X), Y: dpi * plan.Spec.Unit.Inches(s.Page.Max.Y-p.Y)}
			}
			var edges []geometry.Segment
			ring := func(points []geometry.Point, closed bool) {
				for i, a := range points {
					if i+1 < len(points) || closed {
						edges = append(edges, geometry.Segment{A: px(a), B: px(points[(i+1)%len(points)])})
					}
				}
			}
			for _, p := range s.Paths {
				if p.Role == draw.Cut {
					ring(p.Points, p.Closed)
				}
			}
			q := s.Square
			at := func(x, y float64) geometry.Point { return q.At.Add(geometry.Point{X: x, Y: y}) }
			ring([]geometry.Point{at(0, 0), at(q.Side, 0), at(q.Side, q.Side), at(0, q.Side)}, true)
			for _, e := range edges {
				d := e.B.Sub(e.A)
				if d.Len() < 100 {
					continue // a tip trim: its neighbours are near
				}
				row, seen := math.Abs(d.Y) > math.Abs(d.X), 0
				for k := 1; k < 40; k++ {
					p := e.A.Add(d.Mul(float64(k) / 40))
					// The row or column goes through the middle of a pixel.
					var want float64
					if row {
						p.Y = math.Floor(p.Y) + 0.5
						want = e.A.X + d.X*(p.Y-e.A.Y)/d.Y
						p.X = want
					} else {
						p.X = math.Floor(p.X) + 0.5
						want = e.A.Y + d.Y*(p.X-e.A.X)/d.X
						p.Y = want
					}
					got, ok := img.middle(p.X, p.Y, row)
					if !ok {
						continue
					}
					if seen++; !(math.Abs(got-want) <= exact*dpi) {
						t.Errorf("%s, page %d: the line from %v to %v is inked at %.3f, want %.3f", c.paper, number, e.A, e.B, got, want)
					}
				}
				if seen < 10 {
					t.Errorf("%s, page %d: the line from %v to %v was seen %d times", c.paper, number, e.A, e.B, seen)
				}
			}
		}
	}
}
