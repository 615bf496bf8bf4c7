// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/export/pages"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

type failer interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

func mustWrite(t failer, d Document) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, d); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// file is what the tests read back: objects found through the table at the
// file's end, as a viewer finds them.
type file struct {
	objects map[int]string
	root    string
	pages   []readPage
}

type readPage struct {
	box     [4]float64
	content string
}

var (
	reTrailer  = regexp.MustCompile(`(?s)trailer\n<<(.*?)>>\nstartxref\n(\d+)\n%%EOF\n$`)
	reRef      = regexp.MustCompile(`/(\w+) (\d+) 0 R`)
	reKids     = regexp.MustCompile(`/Kids \[([^\]]*)\]`)
	reBox      = regexp.MustCompile(`/MediaBox \[(\S+) (\S+) (\S+) (\S+)\]`)
	reContents = regexp.MustCompile(`/Contents (\d+) 0 R`)
	reStream   = regexp.MustCompile(`(?s)<</Length (\d+)>>\nstream\n(.*)\nendstream\nendobj\n$`)
)

func read(t failer, data []byte) file {
	t.Helper()
	m := reTrailer.FindSubmatch(data)
	if m == nil {
		t.Fatalf("no trailer:\n%s", data[max(0, len(data)-200):])
	}
	table, _ := strconv.Atoi(string(m[2]))
	var n int
	if _, err := fmt.Sscanf(string(data[table:]), "xref\n0 %d\n", &n); err != nil {
		t.Fatalf("no table at %d: %v", table, err)
	}
	if !bytes.Contains(m[1], fmt.Appendf(nil, "/Size %d\n", n)) {
		t.Fatalf("the trailer counts otherwise: %s", m[1])
	}
	f := file{objects: map[int]string{}}
	// Each line of the table is 20 bytes long (ISO 32000-1, 7.5.4).
	lines := data[table+len(fmt.Sprintf("xref\n0 %d\n", n)):]
	offsets := make([]int, n)
	for i := range n {
		line := string(lines[20*i : 20*i+20])
		want := regexp.MustCompile(`^\d{10} (65535 f|00000 n) \n$`)
		if !want.MatchString(line) {
			t.Fatalf("line %d of the table: %q", i, line)
		}
		offsets[i], _ = strconv.Atoi(line[:10])
	}
	ends := append(slices.Sorted(slices.Values(offsets[1:])), table)
	for i := 1; i < n; i++ {
		next, _ := slices.BinarySearch(ends, offsets[i]+1)
		o := string(data[offsets[i]:ends[next]])
		if !strings.HasPrefix(o, fmt.Sprintf("%d 0 obj\n", i)) || !strings.HasSuffix(o, "endobj\n") {
			t.Fatalf("the table leads object %d to %.60q", i, o)
		}
		f.objects[i] = o
	}
	ref := func(in, key string) string {
		for _, m := range reRef.FindAllStringSubmatch(in, -1) {
			if m[1] == key {
				i, _ := strconv.Atoi(m[2])
				return f.objects[i]
			}
		}
		t.Fatalf("no %s in %s", key, in)
		return ""
	}
	f.root = ref(string(m[1]), "Root")
	tree := ref(f.root, "Pages")
	for kid := range strings.SplitSeq(strings.TrimSpace(reKids.FindStringSubmatch(tree)[1]), " R") {
		var i int
		if _, err := fmt.Sscanf(kid, "%d 0", &i); err != nil {
			continue
		}
		o := f.objects[i]
		b := reBox.FindStringSubmatch(o)
		if b == nil {
			t.Fatalf("a page without a box: %s", o)
		}
		p := readPage{}
		for j := range 4 {
			p.box[j], _ = strconv.ParseFloat(b[j+1], 64)
		}
		c, _ := strconv.Atoi(reContents.FindStringSubmatch(o)[1])
		s := reStream.FindStringSubmatch(f.objects[c])
		if s == nil {
			t.Fatalf("object %d is no stream", c)
		}
		if length, _ := strconv.Atoi(s[1]); length != len(s[2])+1 && length != len(s[2]) {
			t.Fatalf("a stream of %d bytes says %d", len(s[2]), length)
		}
		p.content = s[2]
		f.pages = append(f.pages, p)
	}
	return f
}

// paths are the paths of a page in points, closed ones by themselves.
type drawn struct {
	points []geometry.Point
	closed bool
	gray   string
	dashed bool
}

func paths(t failer, content string) []drawn {
	t.Helper()
	var out []drawn
	gray, dashed := "", false
	for line := range strings.Lines(content) {
		words := strings.Fields(line)
		if len(words) > 1 && words[1] == "G" {
			gray = words[0]
		}
		if strings.HasSuffix(line, " d\n") {
			dashed = !strings.Contains(line, "[]")
		}
		if len(words) < 3 || words[2] != "m" {
			continue
		}
		d := drawn{gray: gray, dashed: dashed}
		for len(words) >= 3 {
			x, errX := strconv.ParseFloat(words[0], 64)
			y, errY := strconv.ParseFloat(words[1], 64)
			if errX != nil || errY != nil || words[2] != "m" && words[2] != "l" {
				t.Fatalf("not a path: %s", line)
			}
			d.points = append(d.points, geometry.Point{X: x, Y: y})
			words = words[3:]
		}
		if d.closed = len(words) == 1 && words[0] == "s"; words[0] != "f" { // a bare fill is no line
			out = append(out, d)
		}
	}
	return out
}

func plan(t failer, edit func(*quilt.Spec)) *quilt.Plan {
	t.Helper()
	s := quilt.Spec{
		Name: "Tide lap quilt", Seam: 0.25, Angle: 60, UsableWidth: 40, Columns: 4, Rows: 4,
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
		Fabrics: []quilt.Fabric{{Key: "a", Name: "Tide (blues) \\ 2⅜″", Colours: []quilt.Colour{{}}}, {Key: "b", Colours: []quilt.Colour{{}}}},
	}
	if edit != nil {
		edit(&s)
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func templates(t failer, p *quilt.Plan, paper string) []*draw.Drawing {
	t.Helper()
	size, ok := pages.Named(paper, p.Spec.Unit)
	if !ok {
		t.Fatal(paper)
	}
	s, err := pages.Templates(p, size)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func metric(s *quilt.Spec) {
	s.Unit, s.Seam, s.UsableWidth = geometry.Centimetre, 0.75, 100
	s.Strips[0].Cut, s.Strips[1].Cut = 7, 6
}

// Page boxes: Letter is 612 x 792 points, A4 210 x 297 mm = 595.276 x 841.890
// (85 x 55 mm would be 240.945 x 155.906: typst/svg2pdf#25), in inch and in
// metric patterns; not rounded to whole points (WeasyPrint PR#612).
func TestPageBoxes(t *testing.T) {
	for _, edit := range []func(*quilt.Spec){nil, metric} {
		for paper, want := range map[string][2]float64{
			"letter": {612, 792}, "a4": {595.275591, 841.889764}, "a3": {841.889764, 1190.551181}, "legal": {612, 1008},
		} {
			f := read(t, mustWrite(t, Document{Title: "T", Pages: templates(t, plan(t, edit), paper)}))
			if len(f.pages) < 4 {
				t.Fatalf("%d pages", len(f.pages))
			}
			for _, p := range f.pages {
				if p.box[0] != 0 || p.box[1] != 0 || math.Abs(p.box[2]-want[0]) > 1e-4 || math.Abs(p.box[3]-want[1]) > 1e-4 {
					t.Errorf("%s: page box %v, want %v", paper, p.box, want)
				}
			}
		}
	}
}

// The viewer is asked not to scale (htmldoc#506, sumatrapdf#98), to show the
// title, and told the language.
func TestCatalog(t *testing.T) {
	f := read(t, mustWrite(t, Document{Title: "Grüße 🧵", Language: "en", Pages: templates(t, plan(t, nil), "a4")}))
	for _, want := range []string{"/ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>>", "/Lang (en)"} {
		if strings.Count(f.root, want) != 1 {
			t.Errorf("the catalog lacks %s: %s", want, f.root)
		}
	}
}

func TestSameBytes(t *testing.T) {
	d := Document{Title: "T", Pages: templates(t, plan(t, nil), "letter")}
	if a, b := mustWrite(t, d), mustWrite(t, d); !bytes.Equal(a, b) {
		t.Error("two runs differ")
	}
}

// Numbers have no exponent and no -0, which a PDF may not hold
// (htmldoc#256, vectorgraphics2d#63): a turn by 90 degrees, a tiny offset.
func TestNumbers(t *testing.T) {
	s := &draw.Drawing{Page: geometry.Rect{Max: geometry.Point{X: 5, Y: 5}}, Line: 0.01, Scale: 1,
		Paths: []draw.Path{{Points: []geometry.Point{{X: 1e-9, Y: -1e-9}, {X: 1, Y: 1}, {X: 4, Y: 1e-7}}}},
		Texts: []draw.Text{{At: geometry.Point{X: 2, Y: 2}, Height: 0.1, Turn: 90, Value: "up"}},
	}
	f := read(t, mustWrite(t, Document{Pages: []*draw.Drawing{s}}))
	c := f.pages[0].content
	c = regexp.MustCompile(`/F[0-9a-f]+`).ReplaceAllString(c, "/F")
	if regexp.MustCompile(`\d[eE][+-]?\d|-0[ \n]|NaN|Inf`).MatchString(c) {
		t.Errorf("%s", c)
	}
	for _, want := range []string{"0 0 m 72 72 l 288 0 l S", "BT 0 1 -1 0 144 144 Tm /F 9.9632 Tf <00010002> Tj ET"} {
		if !strings.Contains(c, want) {
			t.Errorf("%q is not in %s", want, c)
		}
	}
}

// A text in a colour of its own is drawn in it, those behind it as usual.
func TestTextColour(t *testing.T) {
	s := &draw.Drawing{Page: geometry.Rect{Max: geometry.Point{X: 5, Y: 5}}, Line: 0.01, Scale: 1}
	for _, c := range []string{"", "#ffffff", "#ffffff", ""} {
		s.Texts = append(s.Texts, draw.Text{At: geometry.Point{X: 2, Y: 2}, Height: 0.1, Value: "A", Colour: c})
	}
	c := read(t, mustWrite(t, Document{Pages: []*draw.Drawing{s}})).pages[0].content
	order := regexp.MustCompile(`0\.188 g|1 1 1 rg|<0001>`).FindAllString(c, -1)
	if want := []string{"0.188 g", "<0001>", "1 1 1 rg", "<0001>", "<0001>", "0.188 g", "<0001>"}; !slices.Equal(order, want) {
		t.Errorf("%q, want %q", order, want)
	}
	s.Texts[1].Colour = "white"
	if err := Write(io.Discard, Document{Pages: []*draw.Drawing{s}}); err == nil || !strings.Contains(err.Error(), "text 2") {
		t.Errorf("got %v", err)
	}
}

// Every line of every page, read back, lies within 0.0005 in of where the
// sheet has it; the calibration square and the outlines are all there.
func TestPathsAreTrue(t *testing.T) {
	outside.Cases(t, 30, 100)
	rapid.Check(t, func(t *rapid.T) {
		p := plan(t, func(s *quilt.Spec) {
			if rapid.Bool().Draw(t, "metric") {
				metric(s)
			}
			s.Angle = geometry.Angle(rapid.Float64Range(40, 90).Draw(t, "angle"))
			s.Strips[0].Cut *= rapid.Float64Range(0.5, 1.2).Draw(t, "cut")
		})
		sheets := templates(t, p, rapid.SampledFrom(pages.Names()).Draw(t, "paper"))
		f := read(t, mustWrite(t, Document{Pages: sheets}))
		if len(f.pages) != len(sheets) {
			t.Fatalf("%d pages of %d", len(f.pages), len(sheets))
		}
		for i, s := range sheets {
			var want []drawn
			for _, role := range []draw.Role{draw.Sew, draw.Mark, draw.Cut, draw.Square} {
				for _, path := range s.Paths {
					if path.Role == role {
						want = append(want, drawn{points: path.Points, closed: path.Closed})
					}
				}
			}
			q := s.Square
			want = append(want, drawn{closed: true, points: []geometry.Point{
				q.At, q.At.Add(geometry.Point{X: q.Side}), q.At.Add(geometry.Point{X: q.Side, Y: q.Side}), q.At.Add(geometry.Point{Y: q.Side})}})
			got := paths(t, f.pages[i].content)
			if len(got) != len(want) {
				t.Fatalf("page %d: %d lines, want %d", i+1, len(got), len(want))
			}
			for j, w := range want {
				if got[j].closed != w.closed || len(got[j].points) != len(w.points) {
					t.Fatalf("page %d: line %d is %v, want %v", i+1, j+1, got[j], w)
				}
				for k, a := range w.points {
					b := got[j].points[k].Mul(1. / 72)
					a = geometry.Point{X: s.Unit.Inches(a.X), Y: s.Unit.Inches(a.Y)}
					if d := a.Sub(b).Len(); d > 2e-6 {
						t.Fatalf("page %d: line %d, point %d is off by %g in", i+1, j+1, k+1, d)
					}
				}
			}
		}
	})
}

func FuzzLiteral(f *testing.F) {
	for _, s := range []string{"2 ½″ – (A\\B) ⅜", "\xff\xfe", "夢", "\\(()", "endobj\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		out := literal(utf16be(s))
		depth := 0
		for i := 0; i < len(out); i++ {
			switch b := out[i]; {
			case b < ' ' || b > '~':
				t.Fatalf("%q holds %x", out, b)
			case b == '\\':
				i++
			case b == '(':
				depth++
			case b == ')':
				if depth--; depth == 0 && i != len(out)-1 {
					t.Fatalf("%q ends early", out)
				}
			}
		}
		if depth != 0 {
			t.Fatalf("%q does not end", out)
		}
	})
}

// A title that looks like the inside of a PDF must not be taken for it.
func TestHostileTitle(t *testing.T) {
	sheets := templates(t, plan(t, nil), "letter")
	for _, title := range []string{"\nendobj\n", "਀" + "敮摯扪", ") >> endobj", "trailer\n", "\\", "a\rb", string([]byte{0xff, '('})} {
		f := read(t, mustWrite(t, Document{Title: title, Language: "en) /X (", Pages: sheets}))
		if len(f.pages) != len(sheets) || strings.Contains(f.root, "/X") {
			t.Errorf("%q: %d pages, %s", title, len(f.pages), f.root)
		}
	}
}

func TestRefused(t *testing.T) {
	page := func(w, h float64) *draw.Drawing {
		return &draw.Drawing{Page: geometry.Rect{Max: geometry.Point{X: w, Y: h}}, Line: 0.01, Scale: 1}
	}
	bad := page(5, 5)
	bad.Paths = []draw.Path{{Points: []geometry.Point{{}, {X: math.NaN()}}}}
	short := page(5, 5)
	short.Paths = []draw.Path{{Points: []geometry.Point{{}, {X: 1e-9}}}}
	ink := page(5, 5)
	ink.Fills = []draw.Fill{{Colour: "blue"}}
	for want, d := range map[string]Document{
		"no page":                   {},
		"200 in":                    {Pages: []*draw.Drawing{page(201, 5)}}, // a roll 5.2 m long: jsPDF#705
		"not a number":              {Pages: []*draw.Drawing{bad}},
		"fewer than two":            {Pages: []*draw.Drawing{short}},
		`colour "blue"`:             {Pages: []*draw.Drawing{ink}},
		"the page is 0 by 0 points": {Pages: []*draw.Drawing{page(0, 0)}},
	} {
		var out bytes.Buffer
		if err := Write(&out, d); err == nil || !strings.Contains(err.Error(), want) || out.Len() > 0 {
			t.Errorf("%v after %d bytes, want %q", err, out.Len(), want)
		}
	}
	if err := Write(failing{}, Document{Pages: []*draw.Drawing{page(5, 5)}}); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
}

var errFull = errors.New("full")

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errFull }

var _ io.Writer = failing{}

func save(t *testing.T, d Document) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "t.pdf")
	if err := os.WriteFile(path, mustWrite(t, d), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// Poppler reads the file without a complaint: title, sizes, number of pages.
func TestPopplerInfo(t *testing.T) {
	tool := outside.Tool(t, "pdfinfo")
	sheets := templates(t, plan(t, metric), "a4")
	info := string(outside.Run(t, tool, "-f", "1", "-l", "99", save(t, Document{Title: "Grüße 🧵 (A\\B)", Language: "en", Pages: sheets})))
	for _, want := range []string{"Title:           Grüße 🧵 (A\\B)\n", fmt.Sprintf("Pages:           %d\n", len(sheets)), "PDF version:     1.6\n"} {
		if !strings.Contains(info, want) {
			t.Errorf("%q is not in\n%s", want, info)
		}
	}
	if n := strings.Count(info, "size:  595.276 x 841.89 pts (A4)"); n != len(sheets) {
		t.Errorf("%d pages are A4:\n%s", n, info)
	}
}

// Poppler finds the words.
func TestPopplerText(t *testing.T) {
	tool := outside.Tool(t, "pdftotext")
	text := string(outside.Run(t, tool, "-enc", "UTF-8", "-layout", save(t, Document{Pages: templates(t, plan(t, nil), "letter")}), "-"))
	for _, want := range []string{"Right-leaning diamond", "Strip gauge", `Tide (blues) \ 2⅜″`, "Print at 100 %", "5 in between the strip edges", "seam of the strip set"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

// Poppler's own reading of the paths, as SVG: the outline of the
// right-leaning diamond and the calibration square, within 0.0005 in. Without
// -noshrink pdftocairo shrinks each page whose sides are not whole points, A4
// by 595.276/596.
func TestPopplerPaths(t *testing.T) {
	tool := outside.Tool(t, "pdftocairo")
	for _, edit := range []func(*quilt.Spec){nil, metric} {
		p := plan(t, edit)
		sheets := templates(t, p, "a3")
		out := filepath.Join(t.TempDir(), "p.svg")
		outside.Run(t, tool, "-svg", "-noshrink", "-nocenter", "-f", "2", "-l", "2", save(t, Document{Pages: sheets}), out)
		data, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		var want [][]geometry.Point
		for _, path := range sheets[1].Paths {
			if path.Role == draw.Cut && path.Closed {
				want = append(want, path.Points)
			}
		}
		q := sheets[1].Square
		want = append(want, []geometry.Point{q.At, q.At.Add(geometry.Point{X: q.Side}), q.At.Add(geometry.Point{X: q.Side, Y: q.Side}), q.At.Add(geometry.Point{Y: q.Side})})
		if len(want) != 2 {
			t.Fatalf("%d outlines", len(want))
		}
		found := svgPaths(t, data)
		for _, w := range want {
			best := math.Inf(1)
			for _, g := range found {
				if len(g) < len(w) {
					continue
				}
				off := 0.0
				for i, a := range w {
					b := geometry.Point{X: g[i].X / 72, Y: (sheets[1].Unit.Inches(sheets[1].Page.Max.Y)*72 - g[i].Y) / 72}
					off = max(off, b.Sub(geometry.Point{X: p.Spec.Unit.Inches(a.X), Y: p.Spec.Unit.Inches(a.Y)}).Len())
				}
				best = min(best, off)
			}
			if best > 0.0005 {
				t.Errorf("an outline of %d corners is off by %g in", len(w), best)
			}
		}
	}
}

// svgPaths reads the paths that are straight throughout, with the transform
// that each has.
func svgPaths(t *testing.T, data []byte) [][]geometry.Point {
	t.Helper()
	var out [][]geometry.Point
	dec := xml.NewDecoder(bytes.NewReader(data))
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		el, ok := tok.(xml.StartElement)
		if !ok || el.Name.Local != "path" {
			continue
		}
		d, m := "", [6]float64{1, 0, 0, 1, 0, 0}
		for _, a := range el.Attr {
			switch a.Name.Local {
			case "d":
				d = a.Value
			case "transform":
				list := strings.NewReplacer("matrix(", "", ")", "", ",", " ").Replace(a.Value)
				for i, f := range strings.Fields(list) {
					m[i], _ = strconv.ParseFloat(f, 64)
				}
			}
		}
		if strings.ContainsAny(d, "Cc") {
			continue
		}
		var line []geometry.Point
		for _, part := range regexp.MustCompile(`[ML] *([-\d.]+)[ ,]+([-\d.]+)`).FindAllStringSubmatch(d, -1) {
			x, _ := strconv.ParseFloat(part[1], 64)
			y, _ := strconv.ParseFloat(part[2], 64)
			line = append(line, geometry.Point{X: m[0]*x + m[2]*y + m[4], Y: m[1]*x + m[3]*y + m[5]})
		}
		out = append(out, line)
	}
}

// Rendered by poppler: A4 and Letter at 300 dpi are 2481 x 3508 and
// 2550 x 3300 pixels; a right-leaning diamond leans right, wrong side up it
// looks left-leaning.
func TestPopplerPixels(t *testing.T) {
	tool := outside.Tool(t, "pdftoppm")
	for paper, want := range map[string]image.Point{"a4": {2481, 3508}, "letter": {2550, 3300}} {
		path := save(t, Document{Pages: templates(t, plan(t, nil), paper)})
		if got := render(t, tool, path, 1, 300).Bounds().Size(); got != want {
			t.Errorf("%s: %v pixels, want %v", paper, got, want)
		}
	}
	for _, face := range []geometry.Face{geometry.FaceUp, geometry.FaceDown} {
		p := plan(t, func(s *quilt.Spec) { s.Face = face })
		sheets := templates(t, p, "a3")
		img := render(t, tool, save(t, Document{Pages: sheets}), 2, 50)
		box := geometry.EmptyRect()
		for _, path := range sheets[1].Paths {
			if path.Role == draw.Cut && path.Closed {
				box = box.Grow(path.Points...)
			}
		}
		top := sheets[1].Page.Max.Y
		mean := func(from, to float64) float64 {
			sum, n := 0.0, 0.0
			for y := int(50 * (top - box.Max.Y + from*box.Height())); y < int(50*(top-box.Max.Y+to*box.Height())); y++ {
				for x := int(50 * box.Min.X); x < int(50*box.Max.X); x++ {
					if c, _, _, _ := img.At(x, y).RGBA(); c < 0x9000 {
						sum += float64(x)
						n++
					}
				}
			}
			if n == 0 {
				t.Fatal("nothing drawn")
			}
			return sum / n
		}
		if right := mean(0.15, 0.4) > mean(0.6, 0.85); right != (face == geometry.FaceUp) {
			t.Errorf("face %v: the right-leaning diamond leans right: %v", face, right)
		}
	}
}

func render(t *testing.T, tool, path string, page, dpi int) image.Image {
	t.Helper()
	out := filepath.Join(t.TempDir(), "p")
	outside.Run(t, tool, "-r", fmt.Sprint(dpi), "-png", "-singlefile", "-f", fmt.Sprint(page), path, out)
	data, err := os.ReadFile(out + ".png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}
