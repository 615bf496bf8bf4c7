// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/outside"
	"lozenge/geometry"
)

// A randomPattern is a pattern as someone might write it, and what the checks
// need to know of it. Lengths are in its unit.
type randomPattern struct {
	text  string
	keys  []string // that it uses
	unit  geometry.Unit
	angle float64
	seam  float64
	cuts  []float64
	sewn  float64 // 0: not given

	columns, rows int
	finish        *[2]float64
	chosen        bool   // what is there may decide how large it is
	bin           string // of scraps, as a table
	spare         int
	mixed         bool
}

// writer puts a pattern together.
type patternWriter struct {
	*rapid.T
	unit geometry.Unit
}

func (w patternWriter) oneOf(words ...string) string {
	return rapid.SampledFrom(words).Draw(w.T, "word")
}
func (w patternWriter) yes() bool               { return rapid.Bool().Draw(w.T, "yes") }
func (w patternWriter) int(least, most int) int { return rapid.IntRange(least, most).Draw(w.T, "n") }

// length draws a length between two, in inches, and writes it in one of the
// ways in which a person might: a sixteenth of an inch or half a millimetre is
// the finest.
func (w patternWriter) length(least, most float64) (text string, value float64) {
	if w.unit == geometry.Centimetre && w.int(0, 5) > 0 || w.unit == geometry.Inch && w.int(0, 9) == 0 {
		half := w.int(int(math.Ceil(least*50.8)), int(most*50.8)) // half millimetres
		cm := float64(half) / 20
		number := fmt.Sprintf("%d.%d", half/20, half%20/2)
		if half%2 == 1 {
			number = fmt.Sprintf("%d.%d5", half/20, half%20/2)
		}
		switch {
		case w.unit == geometry.Inch:
			return number + w.oneOf("cm", " cm"), cm / 2.54
		case w.yes():
			return number, cm
		case half%2 == 0 && w.yes():
			return fmt.Sprintf("%d%s", half/2, w.oneOf("mm", " mm")), cm
		}
		return number + w.oneOf(" cm", "cm"), cm
	}
	n := w.int(int(math.Ceil(least*16)), int(most*16)) // sixteenths
	in := float64(n) / 16
	whole, part, of := n/16, n%16, 16
	for part > 0 && part%2 == 0 {
		part, of = part/2, of/2
	}
	mixed := fmt.Sprint(whole)
	switch {
	case part > 0 && whole == 0:
		mixed = fmt.Sprintf("%d/%d", part, of)
	case part > 0 && of == 2 && w.yes():
		mixed += "½"
	case part > 0:
		mixed += fmt.Sprintf("%s%d/%d", w.oneOf(" ", "-"), part, of)
	}
	value = in
	units := []string{" in", "in", " inches", `"`}
	if w.unit == geometry.Centimetre {
		value = in * 2.54
	} else {
		units = append(units, "", "")
	}
	switch w.int(0, 3) {
	case 0:
		text = fmt.Sprint(in) // sixteenths are exact in four decimals
	default:
		text = mixed
	}
	text += w.oneOf(units...)
	if strings.Contains(text, `"`) {
		text = "'" + text + "'"
	}
	return text, value
}

// group writes a group in one line.
func group(parts ...string) string { return "{" + strings.Join(parts, ", ") + "}" }

var fabricKeys = []string{"silt", "foam", "kelp", "slate-2", "Shell_Pink", "7"}

func drawPattern(t *rapid.T) randomPattern {
	w := patternWriter{T: t, unit: rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")}
	p := randomPattern{unit: w.unit, angle: 60}
	p.seam = w.unit.Of(0.25, 0.75)
	var entries []string
	add := func(key, value string) {
		p.keys = append(p.keys, key)
		entries = append(entries, key+": "+value)
	}
	maybe := func(one int) bool { return w.int(1, one) == one } // small: left out
	length := func(least, most float64) string { s, _ := w.length(least, most); return s }

	add("unit", w.unit.String())
	if maybe(3) {
		add("name", w.oneOf("Low tide", `"Ebb & flood #2"`, "'it''s ½ done'", "Große Düne", "Ünïcode 🌊 <b>", `"(a) \\ b"`))
	}
	if maybe(3) {
		add("designer", w.oneOf("The Tuesday table", `"Ann & co., Münster"`))
	}
	if maybe(3) {
		add("note", w.oneOf("Sew it with friends.", `"For the harbour fair: ½ price. 🌊"`))
	}
	if maybe(2) {
		p.angle = rapid.SampledFrom([]float64{60, 45, 30, 90, 72, 22.5, 15, 67.5, 59.9, 88}).Draw(t, "angle")
		if maybe(3) {
			p.angle = float64(w.int(150, 900)) / 10
		}
		add("angle", fmt.Sprint(p.angle))
	}
	if maybe(2) {
		var text string
		text, p.seam = w.length(1.0/16, 0.5)
		add("seam", text)
	}
	if maybe(3) {
		add("tips", w.oneOf("matched", "sharp"))
	}
	// The strips: what is left between the seam allowances is from a sliver
	// to 4 in.
	inch := w.unit.Of(1, 2.54)
	fabrics := fabricKeys[:w.int(1, len(fabricKeys))]
	var strips, sewn []string
	sum := 0.0
	for range w.int(1, w.oneOfInt(2, 2, 3, 6)) {
		text, cut := w.length(2*p.seam/inch+0.1, 2*p.seam/inch+4)
		p.cuts = append(p.cuts, cut)
		sum += cut
		key := w.oneOf(fabrics...)
		sewn = append(sewn, key)
		strips = append(strips, group("cut: "+text, "fabric: "+key))
	}
	if maybe(2) {
		add("strips", "["+strings.Join(strips, ", ")+"]")
	} else {
		add("strips", "\n  - "+strings.Join(strips, "\n  - "))
	}
	if maybe(3) {
		add("fabrics", w.fabrics(fabrics))
	}
	if maybe(2) {
		add("usable_width", length(12, 60))
	}
	if maybe(2) {
		add("setting", w.oneOf("zigzag", "chevron", "one-way"))
	} else if maybe(2) {
		add("layout", w.layout())
	}
	switch what := w.int(0, 9); {
	case what == 9:
		p.chosen = true
		add("strip_sets", fmt.Sprint(w.int(1, 24)))
	case what == 8:
		p.chosen = true
		add("scraps", w.oneOf("bin.csv", "my/bin.csv"))
		p.bin = w.bin(slices.Compact(slices.Sorted(slices.Values(sewn))), p.cuts)
	}
	if p.chosen && w.yes() {
		// What is there decides.
	} else if maybe(3) {
		text, width := w.length(4, 50)
		text2, height := w.length(4, 50)
		p.finish = &[2]float64{width, height}
		add("finish", group("width: "+text, "height: "+text2))
	} else {
		p.columns, p.rows = w.int(1, 12), w.int(1, 12)
		add("columns", fmt.Sprint(p.columns))
		add("rows", fmt.Sprint(p.rows))
	}
	for _, k := range []struct {
		key   string
		words []string
	}{
		{"color_order", []string{"gradient", "scattered", "bands"}},
		{"edges", []string{"thrifty", "matched"}},
		{"stagger", []string{"true", "false"}},
		{"face", []string{"up", "down"}},
		{"take_up", []string{"0", "2.5", "3 %"}},
		{"shrinkage", []string{"0", "3", "4.25%"}},
	} {
		if maybe(3) {
			add(k.key, w.oneOf(k.words...))
		}
	}
	if p.angle == 60 {
		if maybe(3) {
			p.mixed = w.yes()
			add("mix_leans", fmt.Sprint(p.mixed))
		}
		if maybe(3) {
			add("edge_grain", w.oneOf("bias", "straight"))
		}
	}
	if maybe(3) {
		add("end_trim", length(0, 2))
	}
	if maybe(3) {
		p.spare = w.int(0, 4)
		add("spare", fmt.Sprint(p.spare))
	}
	if n := len(p.cuts); n > 1 && maybe(4) {
		nominal := sum - 2*p.seam*float64(n-1)
		off := p.seam / 2
		if nominal/inch-off/inch > 2*p.seam/inch+1.0/16 {
			var text string
			text, p.sewn = w.length((nominal-off)/inch, min(nominal+off, sum-off/4)/inch+1.0/16)
			add("sewn_width", text)
		}
	}
	if maybe(4) {
		var borders []string
		for range w.int(0, 3) {
			b := []string{"cut: " + length(2*p.seam/inch+0.5, 7), "fabric: " + w.oneOf(fabrics...)}
			if maybe(2) {
				b = append(b, "corners: "+w.oneOf("butted", "mitred"))
			}
			borders = append(borders, group(b...))
		}
		add("borders", "["+strings.Join(borders, ", ")+"]")
	}
	if maybe(4) {
		add("backing", group("usable_width: "+length(36, 108), "extra: "+length(0, 8)))
	}
	if maybe(4) {
		add("binding", group("cut: "+length(1, 3), "extra: "+length(0, 20), "joins: "+w.oneOf("diagonal", "straight")))
	}
	if maybe(4) {
		add("straighten", length(0, 4))
	}
	if maybe(4) {
		add("batting", group("extra: "+length(0, 8)))
	}
	if maybe(4) {
		add("cutter", group("sheet: "+w.oneOf("12x24in", "60x90cm", "40x60in"), "margin: "+length(0, 0.5), "gap: "+length(0, 0.5), "from: "+w.oneOf("pieces", "strip-sets")))
	}
	entries = rapid.Permutation(entries).Draw(t, "order")
	p.text = strings.Join(entries, w.oneOf("\n", "\n\n", "   # mine\n")) + "\n"
	if maybe(4) {
		p.text = strings.ReplaceAll(p.text, "\n", "\r\n")
	}
	return p
}

// layout writes a layout of one's own.
func (w patternWriter) layout() string {
	columns := w.oneOfInt(1, 1, 2, 5)
	var rows []string
	for range w.int(1, 5) {
		var row []string
		for range columns {
			row = append(row, w.oneOf("R", "L", "r", "l"))
		}
		rows = append(rows, strings.Join(row, w.oneOf("", " ")))
	}
	if w.yes() {
		return "[" + strings.Join(rows, ", ") + "]"
	}
	return "\n  - " + strings.Join(rows, "\n  - ")
}

// bin writes a scrap bin: scraps of all fabrics, some too narrow.
func (w patternWriter) bin(fabrics []string, cuts []float64) string {
	out := "fabric,name,color,width,length,count\n"
	widest := slices.Max(cuts)
	for _, f := range fabrics {
		for i := range w.int(1, 4) {
			width := widest * w.float(0.9, 3.5)
			length := w.unit.Of(1, 2.54) * w.float(8, 45)
			color := w.oneOf("", "#3d6b35", "teal")
			out += fmt.Sprintf("%s,%s,%s,%.3f,%.3f,%d\n", f, w.oneOf("", fmt.Sprintf("%s %d", f, i)), color, width, length, w.int(1, 12))
		}
	}
	return out
}

func (w patternWriter) float(least, most float64) float64 {
	return rapid.Float64Range(least, most).Draw(w.T, "x")
}

func writeText(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func (w patternWriter) oneOfInt(values ...int) int { return rapid.SampledFrom(values).Draw(w.T, "n") }

// fabrics writes what is known of the fabrics: nothing of some.
func (w patternWriter) fabrics(keys []string) string {
	var lines []string
	for _, key := range keys {
		var parts []string
		if w.yes() {
			parts = append(parts, "name: "+w.oneOf("Silt", "'Foam, white'", "Kelp \u2013 dark"))
		}
		if w.yes() {
			from := w.oneOf("yardage", "fat-quarters", "strips")
			parts = append(parts, "from: "+from)
		}
		if w.int(0, 2) == 0 {
			text, _ := w.length(14, 45)
			parts = append(parts, "strip_length: "+text)
		}
		if w.yes() {
			var colours []string
			for range w.int(1, 4) {
				one := fmt.Sprintf(`"#%06x"`, w.int(0, 1<<24-1))
				switch w.int(0, 5) {
				case 0:
					one = w.oneOf("teal", "Linen", "rebeccapurple")
				case 1:
					one = fmt.Sprintf("{name: %s, color: %s}", fmt.Sprintf(w.oneOf("harbour %d", "'mist: pale %d'", "Gr\u00fcn %d"), len(colours)), one)
				}
				colours = append(colours, one)
			}
			parts = append(parts, "colors: ["+strings.Join(colours, ", ")+"]")
		}
		lines = append(lines, fmt.Sprintf("  %s: %s", key, group(parts...)))
	}
	return "\n" + strings.Join(lines, "\n")
}

// Whatever the pattern: it is planned as the formulas say, everything is made,
// and every file that is made measures true, each outline as the piece that it
// should be. The formulas are those of elementary geometry (rhombus, its
// diagonals, its lattice), evaluated here from the pattern as written.
func TestRandomPatterns(t *testing.T) {
	var mu sync.Mutex
	used, status := map[string]int{}, map[int]int{}
	outside.Cases(t, 5, 100)
	outside.Parts(t, 3, func(t *rapid.T) {
		p := drawPattern(t)
		s := p.check(t)
		mu.Lock()
		defer mu.Unlock()
		status[s]++
		for _, k := range p.keys {
			used[k]++
		}
	})
	t.Logf("patterns by status: %v", status)
	all := 0
	for _, n := range status {
		all += n
	}
	if all >= 100 && status[statusDone] < all*2/3 && !t.Failed() {
		t.Errorf("too few patterns could be made: by status %v", status)
	}
	if all < 300 {
		return
	}
	for _, key := range regexp.MustCompile(`(?m)^#?(\w+):`).FindAllStringSubmatch(string(pattern.Starter(geometry.Inch)), -1) {
		if used[key[1]] == 0 {
			t.Errorf("no random pattern has the key %s; write it in drawPattern", key[1])
		}
	}
}

// refusals are what a pattern may rightly be refused for, with the place.
var refusals = regexp.MustCompile(`(?m)^[^:]*q\.yaml:\d+:\d+: (` +
	`border \d: finished width .* is wider than .*: that is the smaller side of the quilt` +
	`)`)

// check plans, makes and measures the pattern and returns the status of make.
func (p *randomPattern) check(t *rapid.T) int {
	dir, err := os.MkdirTemp("", "lozenge")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	file, out := filepath.Join(dir, "q.yaml"), filepath.Join(dir, "out")
	if err := os.WriteFile(file, []byte(p.text), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, bin := range []string{"bin.csv", "my/bin.csv"} {
		if p.bin != "" && (os.MkdirAll(filepath.Join(dir, "my"), 0o755) != nil || os.WriteFile(filepath.Join(dir, bin), []byte(p.bin), 0o644) != nil) {
			t.Fatal("no bin was written")
		}
	}
	var said, talk bytes.Buffer
	status := run([]string{"make", file, "--out", out}, nil, &said, &talk)
	if status == statusUsage && refusals.MatchString(talk.String()) {
		if _, err := os.Stat(out); err == nil {
			t.Fatalf("refused, and yet there is a folder: %s\n%s", talk.String(), p.text)
		}
		return status
	}
	if status != statusDone && status != statusNo {
		t.Fatalf("status %d: %s\n%s", status, talk.String(), p.text)
	}
	data, err := os.ReadFile(filepath.Join(out, "plan.json"))
	if err != nil && p.chosen && status == statusNo && strings.Contains(talk.String(), "make no quilt") {
		return status
	}
	if err != nil {
		t.Fatal(err)
	}
	var plan jsonPlan
	if err := json.Unmarshal(data, &plan); err != nil {
		t.Fatal(err)
	}
	if fault := p.checkPlan(plan); fault != "" {
		t.Fatalf("%s\n%s\n%s", fault, p.text, data)
	}
	if yields := plan.StripSets.Total != nil; yields != (status == statusDone) {
		t.Fatalf("status %d: %s\n%s\n%s", status, talk.String(), p.text, data)
	}
	if fault := measureAll(file, out); fault != "" {
		t.Fatalf("%s\n%s", fault, p.text)
	}
	if rapid.IntRange(0, 1).Draw(t, "cutter too") == 1 {
		p.cutToo(t, file, filepath.Join(dir, "cutter"), status)
	}
	return status
}

// cutToo lays the pieces out for a cutter, and measures the sheets.
func (p *randomPattern) cutToo(t *rapid.T, file, out string, made int) {
	args := []string{"cutter", file, "--out", out, "--dxf", rapid.SampledFrom([]string{"ac1015", "r12"}).Draw(t, "form")}
	lines := rapid.Bool().Draw(t, "lines")
	if lines {
		args = append(args, "--lines")
	}
	var said, talk bytes.Buffer
	switch s := run(args, nil, &said, &talk); {
	case s == statusUsage && strings.Contains(talk.String(), "which fits on no sheet of"):
		return
	case s == statusNo && made == statusNo:
		return // no strip set is long enough
	case s != statusDone:
		t.Fatalf("%v: status %d: %s\n%s", args, s, talk.String(), p.text)
	}
	if fault := measureAll(file, out); fault != "" {
		t.Fatalf("%v: %s\n%s", args, fault, p.text)
	}
}

// checkPlan compares the plan with the formulas.
func (p *randomPattern) checkPlan(plan jsonPlan) string {
	sin := func(degrees float64) float64 { return math.Sin(degrees * math.Pi / 180) }
	cos := func(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }
	width := -2 * p.seam * float64(len(p.cuts)-1)
	for _, c := range p.cuts {
		width += c
	}
	size := func(width float64, columns, rows int) (w, h float64) {
		side := (width - 2*p.seam) / sin(p.angle)
		return (float64(columns) - 0.5) * 2 * side * sin(p.angle/2), float64(rows+1) * side * cos(p.angle/2)
	}
	q := plan.Quilt
	if p.finish != nil {
		// The smallest that covers, by the width as planned: to make it one
		// smaller is too small.
		w, h := size(width, q.Columns, q.Rows)
		lessW, lessH := w, h
		if q.Columns > 1 {
			lessW, _ = size(width, q.Columns-1, 1)
		} else {
			lessW = 0
		}
		if q.Rows > 1 {
			_, lessH = size(width, 1, q.Rows-1)
		} else {
			lessH = 0
		}
		const fit = 1e-8
		if w < p.finish[0]-fit || h < p.finish[1]-fit || lessW > p.finish[0]+fit || lessH > p.finish[1]+fit {
			return fmt.Sprintf("%d columns, %d rows: %v by %v to cover %v", q.Columns, q.Rows, w, h, *p.finish)
		}
	} else if p.columns > 0 && (q.Columns != p.columns || q.Rows != p.rows) {
		return fmt.Sprintf("%d columns, %d rows", q.Columns, q.Rows)
	}
	if p.sewn != 0 {
		width = p.sewn
	}
	w, h := size(width, q.Columns, q.Rows)
	side := width / sin(p.angle)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"width of the strip set", plan.StripSet.Width, width},
		{"cut side", plan.Diamond.CutSide, side},
		{"short diagonal", plan.Diamond.ShortDiagonal, 2 * (width - 2*p.seam) / sin(p.angle) * sin(p.angle/2)},
		{"past the seam", plan.Diamond.PastSeam, p.seam * math.Tan(p.angle/2*math.Pi/180)},
		{"finished width", q.FinishedWidth, w},
		{"finished height", q.FinishedHeight, h},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-9*(1+c.want)) {
			return fmt.Sprintf("%s %v, want %v", c.what, c.got, c.want)
		}
	}
	n := plan.Need
	halves := n.EdgeTriangles.Right.Lower + n.EdgeTriangles.Right.Upper + n.EdgeTriangles.Left.Lower + n.EdgeTriangles.Left.Upper
	if d := n.Diamonds.Right + n.Diamonds.Left; d != q.Columns*q.Rows || halves != 2*q.Columns {
		return fmt.Sprintf("%d diamonds, %d edge triangles", d, halves)
	}
	if rows := q.Columns + q.Rows/2 + 1; plan.SewingRows != rows {
		return fmt.Sprintf("%d diagonal rows, want %d", plan.SewingRows, rows)
	}
	return ""
}

// Patterns that once failed, as small as they could be made, with what is to
// be done with them besides make.
func TestOnceFailedPatterns(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		text string
		args []string
	}{
		// The piece was so small that of its page's lettering "it looks
		// left-leaning." stood nearest to it, and was taken for its name.
		"tiny, wrong side up": {"unit: cm\nseam: 0.2\nstrips: [{cut: 7mm, fabric: silt}]\ncolumns: 2\nrows: 9\nface: down\n", nil},
		// The cuts along the edges of a row close, as they meet nothing else
		// there; that outline was to be a piece.
		"sharp tips, every line by itself":     {"unit: cm\nangle: 59.9\nseam: 0.55\nstrips: [{cut: 1.45, fabric: silt}]\ntips: sharp\ncolumns: 11\nrows: 8\n", []string{"cutter", "--lines", "--sheet", "12x24in", "--sheet", "24x24in"}},
		"one row, whose rim is nearly a piece": {"unit: cm\nseam: 0.7\nstrips: [{cut: 7, fabric: foam}, {cut: 2.95, fabric: foam}, {cut: 10.25, fabric: foam}, {cut: 8, fabric: silt}, {cut: 7.8, fabric: foam}]\ntips: sharp\ncolumns: 1\nrows: 1\n", []string{"cutter", "--lines", "--sheet", "12x24in", "--sheet", "24x24in"}},
		// A trim of less than a thousandth of an inch is no corner in the file.
		"nearly square": {"unit: in\nangle: 89.9\nseam: 1/16\nstrips: [{cut: 0.25, fabric: foam}, {cut: 5/16, fabric: kelp}]\ncolumns: 3\nrows: 3\n", nil},
		// Pieces that are squares but for 2 degrees, on sheets with no room for
		// the calibration square.
		"squares on a full sheet": {"unit: cm\nangle: 88\nseam: 0.25\nstrips: [{cut: 0.95, fabric: kelp}]\ntips: sharp\ncolumns: 30\nrows: 60\n", []string{"cutter", "--sheet", "30x60cm"}},
		// The lettering of one edge triangle stands in the box of another.
		"lettering in the neighbour's box": {"unit: in\nangle: 72\nstrips: [{cut: 1 3/8, fabric: silt}, {cut: 4 1/2, fabric: silt}]\ncolumns: 8\nrows: 2\ncutter: {sheet: 12x24in, margin: 1/16, gap: 3/8}\n", []string{"cutter"}},
	} {
		dir := t.TempDir()
		file, out := filepath.Join(dir, "q.yaml"), filepath.Join(dir, "out")
		writeText(t, file, c.text)
		args := []string{"make", file, "--out", out}
		if c.args != nil {
			args = append(c.args, file, "--out", out)
		}
		var said, talk bytes.Buffer
		if s := run(args, nil, &said, &talk); s != statusDone && s != statusNo {
			t.Errorf("%s: status %d: %s", name, s, talk.String())
		} else if fault := measureAll(file, out); fault != "" {
			t.Errorf("%s: %s", name, fault)
		}
	}
}

// measureAll measures every drawing of a folder against the pattern.
func measureAll(pattern, dir string) string {
	var files []string
	for _, kind := range []string{"*.svg", "*.dxf", "*.pdf"} {
		found, _ := filepath.Glob(filepath.Join(dir, kind))
		// Labels are cut apart, but have no size to prove.
		files = append(files, slices.DeleteFunc(found, func(f string) bool { return filepath.Base(f) == "labels.pdf" })...)
	}
	if len(files) < 2 {
		return fmt.Sprintf("only %v", files)
	}
	var said, talk bytes.Buffer
	s := run(append([]string{"measure", "--json", "--unit", "in", "--pattern", pattern}, files...), nil, &said, &talk)
	var all []jsonMeasure
	if err := json.Unmarshal(said.Bytes(), &all); err != nil {
		return fmt.Sprintf("%v: %s", err, talk.String())
	}
	unproven := false
	for _, m := range all {
		fault := func(format string, a ...any) string {
			return fmt.Sprintf("%s: %s: %v", m.File, fmt.Sprintf(format, a...), m.Reasons)
		}
		base := filepath.Base(m.File)
		sheet := strings.HasPrefix(base, "sheet-")
		picture := m.Square == nil && m.Verdict == "page only"
		// A crowded sheet has no room for the square, which is then a file of
		// its own.
		crowded := sheet && m.Square == nil && m.Verdict == "unproven" && has(dir, "square.dxf") && has(dir, "square.svg")
		if m.Verdict != "true" && !picture && !crowded {
			return fault("%s", m.Verdict)
		}
		unproven = unproven || crowded
		if q := m.Square; q != nil {
			for _, off := range []float64{q.Width - q.Nominal, q.Height - q.Nominal, q.Diagonals[0]/math.Sqrt2 - q.Nominal, q.Diagonals[1]/math.Sqrt2 - q.Nominal} {
				if math.Abs(off) > exact {
					return fault("the square is off by %v", off)
				}
			}
		}
		for _, piece := range m.Pieces {
			if piece.Worst > exact || piece.Piece == nil || piece.Mirrored {
				return fault("%+v", piece)
			}
		}
		if m.Overlaps != 0 && !(sheet && m.Outlines.Closed > 0) { // whole outlines side by side share edges
			return fault("%d overlaps", m.Overlaps)
		}
		if strings.HasPrefix(base, "pieces.") && len(m.Pieces) == 0 {
			return fault("no pieces")
		}
	}
	if s != statusDone && !(unproven && s == statusNo) {
		return fmt.Sprintf("status %d of measure: %s", s, talk.String())
	}
	return ""
}

func has(dir, name string) bool {
	_, err := os.Stat(filepath.Join(dir, name))
	return err == nil
}
