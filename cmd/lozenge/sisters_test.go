// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"lozenge/calibrate"
	"lozenge/cmd/internal/desk"
	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/table"
	"lozenge/export/measure"
	"lozenge/export/outside"
	"lozenge/export/outside/virtual"
	"lozenge/export/pdfread"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Facts that one document tells, each by a name that all documents share:
// "strip sets", "to sew, colours of 3", "to buy, tide 2". A document tells
// what it tells; what two of them tell must be the same.
type facts map[string]string

// sisters are documents about one quilt.
type sisters struct {
	told  map[string]facts // by document
	clash []string
}

func (s *sisters) add(document string, f facts) {
	for name, value := range f {
		for other, g := range s.told {
			if theirs, ok := g[name]; ok && theirs != value {
				s.clash = append(s.clash, fmt.Sprintf("%s: %q in %s, %q in %s", name, value, document, theirs, other))
			}
		}
	}
	if s.told == nil {
		s.told = map[string]facts{}
	}
	s.told[document] = f
}

// shared returns how many facts are told by two documents or more.
func (s *sisters) shared() int {
	n := map[string]int{}
	for _, f := range s.told {
		for name := range f {
			n[name]++
		}
	}
	many := 0
	for _, k := range n {
		if k > 1 {
			many++
		}
	}
	return many
}

// sisterPlan is what the test looks at of plan.json. It is written out here,
// not shared with the code that writes it.
type sisterPlan struct {
	Unit  string
	Quilt struct {
		Columns, Rows int
		Width         float64 `json:"finished_width"`
		Height        float64 `json:"finished_height"`
	}
	Need struct {
		Diamonds      struct{ Right, Left int }
		EdgeTriangles struct {
			Right, Left struct{ Lower, Upper int }
		} `json:"edge_triangles"`
	}
	StripSets struct {
		Right, Left, Mixed, Total *int
		Sets                      []struct {
			Number int
			Lean   string
			Length float64
			Cuts   string
			Colors []struct {
				Strip               int
				Fabric, Color, Name string
			}
		}
	} `json:"strip_sets"`
	Pieces []struct {
		Row, Column int
		Shape, Lean string
		Turned      bool
		StripSet    int `json:"strip_set"`
	}
	Cutting []struct {
		Fabric, Color string
		Whole         struct {
			Kind          string
			Width, Length float64
		}
		Times  int
		Strips []struct {
			Cut, Length float64
			Count       int
			StripSets   []int `json:"strip_sets"`
		}
	}
	Fabric []struct {
		Fabric string
		Strips int
		Buy    float64
		Unit   string
		Colors []struct {
			Color  string
			Strips int
			Buy    float64
		}
	}
	SewingRows int `json:"sewing_rows"`
	Work       struct {
		Length, Thread float64
		Crosscuts      int
	}
}

// amount writes what is bought, as the documents are read below.
func amount(buy float64, unit string) string {
	return fmt.Sprintf("%.6g %s", buy, strings.ReplaceAll(strings.TrimSuffix(unit, "s"), "-", " "))
}

// ofJSON returns the facts of plan.json, having checked that they agree with
// each other: the bill of cutting with what is sewn, what is sewn with the
// pieces, the pieces with the need.
func ofJSON(p *sisterPlan, spec quilt.Spec) (facts, error) {
	f := facts{
		"diamonds":      fmt.Sprintf("%d by %d", p.Quilt.Columns, p.Quilt.Rows),
		"diagonal rows": fmt.Sprint(p.SewingRows),
		"finished": sistersExact.ReplaceAllString(geometry.FormatLength(p.Quilt.Width, spec.Unit)+" by "+
			geometry.FormatLength(p.Quilt.Height, spec.Unit), ""),
	}
	if p.StripSets.Total == nil {
		return f, nil
	}
	f.work(p)
	n := *p.StripSets.Total
	f["strip sets"] = fmt.Sprint(n)
	if len(p.StripSets.Sets) != n {
		return nil, fmt.Errorf("%d strip sets in all, %d listed", n, len(p.StripSets.Sets))
	}
	leans := map[string]int{}
	for i, s := range p.StripSets.Sets {
		if s.Number != i+1 {
			return nil, fmt.Errorf("strip set %d stands at place %d", s.Number, i+1)
		}
		leans[s.Lean]++
		var colours []string
		for _, c := range s.Colors {
			colours = append(colours, c.Color)
		}
		f[fmt.Sprintf("colours of strip set %d", s.Number)] = strings.Join(colours, " ")
		var shown []string // of fabrics of several colours, each once
		for _, c := range s.Colors {
			if said := nameOf(spec, c.Fabric) + " " + c.Name; spec.Colourful(c.Fabric) && !slices.Contains(shown, said) {
				shown = append(shown, said)
			}
		}
		f[fmt.Sprintf("several colours of strip set %d", s.Number)] = strings.Join(shown, ", ")
	}
	if right, left, mixed := *p.StripSets.Right, *p.StripSets.Left, *p.StripSets.Mixed; right+left+mixed != n || mixed == 0 && (right != leans["right"] || left != leans["left"]) {
		return nil, fmt.Errorf("%d right-leaning and %d left-leaning strip sets, the list has %v", right, left, leans)
	}
	for _, c := range p.Fabric {
		if c.Unit == "scraps" {
			continue // nothing is bought
		}
		f["to buy, "+c.Fabric] = amount(c.Buy, c.Unit)
		number := 0
		for _, colour := range c.Colors {
			for fabricOf(spec, c.Fabric).Colours[number].String() != colour.Color {
				number++
			}
			f.buy(spec, c.Fabric, spec.ColourName(c.Fabric, number), amount(colour.Buy, c.Unit))
			number++
		}
	}
	// Each strip set takes one length of each of its strips, and the bill has
	// it: of its colour, as wide as the strip is cut.
	takes := map[string]int{}
	for _, s := range p.StripSets.Sets {
		for i, c := range s.Colors {
			takes[fmt.Sprint(s.Number, c.Fabric, c.Color, spec.Strips[i].Cut)]++
		}
	}
	whole := map[string]int{} // pieces of fabric by fabric, full-length strips for yardage
	for _, c := range p.Cutting {
		across := 0.0
		for _, s := range c.Strips {
			if len(s.StripSets) != c.Times*s.Count {
				return nil, fmt.Errorf("%s: %d times %d strips of %v for strip sets %v", c.Fabric, c.Times, s.Count, s.Cut, s.StripSets)
			}
			for _, k := range s.StripSets {
				takes[fmt.Sprint(k, c.Fabric, c.Color, s.Cut)]--
			}
			perStrip := max(int((c.Whole.Length+geometry.Fit)/s.Length), 1)
			strips := (s.Count + perStrip - 1) / perStrip
			across += float64(strips) * s.Cut
			f[fmt.Sprintf("to cut, %s %.6g", c.Fabric, s.Cut)] = fmt.Sprint(atoi(f[fmt.Sprintf("to cut, %s %.6g", c.Fabric, s.Cut)]) + c.Times*strips)
		}
		if across > c.Whole.Width+1e-9 {
			return nil, fmt.Errorf("%s: strips of %v side by side out of a piece %v wide", c.Fabric, across, c.Whole.Width)
		}
		if c.Whole.Kind != "yardage" {
			whole[c.Fabric] += c.Times
		}
	}
	for k, v := range takes {
		if v != 0 {
			return nil, fmt.Errorf("the bill of cutting is %d strips short for %s", v, k)
		}
	}
	for _, c := range p.Fabric {
		if n, ok := whole[c.Fabric]; ok && float64(n) != c.Buy {
			return nil, fmt.Errorf("%s: %v bought, %d cut up", c.Fabric, c.Buy, n)
		}
	}
	count := map[string]int{}
	for _, pc := range p.Pieces {
		count[pc.Lean+" "+pc.Shape]++
		f[fmt.Sprintf("piece at row %d column %d", pc.Row, pc.Column)] = fmt.Sprint(pc.StripSet)
	}
	need := p.Need
	for _, c := range []struct {
		what string
		n    int
	}{
		{"right diamond", need.Diamonds.Right}, {"left diamond", need.Diamonds.Left},
		{"right lower", need.EdgeTriangles.Right.Lower}, {"right upper", need.EdgeTriangles.Right.Upper},
		{"left lower", need.EdgeTriangles.Left.Lower}, {"left upper", need.EdgeTriangles.Left.Upper},
	} {
		if count[c.what] != c.n {
			return nil, fmt.Errorf("%s: %d needed, %d placed", c.what, c.n, count[c.what])
		}
		f["need, "+c.what] = fmt.Sprint(c.n)
	}
	return f, nil
}

// work notes how long the seams are and how much thread they take, in whole yards or
// metres, and the cuts across the strip sets.
func (f facts) work(p *sisterPlan) {
	each, name := 36.0, "yd"
	if p.Unit == "cm" {
		each, name = 100, "m"
	}
	f["seams"] = fmt.Sprintf("%.0f %s", math.Ceil(p.Work.Length/each-geometry.Fit), name)
	f["thread"] = fmt.Sprintf("%.0f %s", math.Ceil(p.Work.Thread/each-geometry.Fit), name)
	f["crosscuts"] = fmt.Sprint(p.Work.Crosscuts)
}

func atoi(s string) int { n, _ := strconv.Atoi(s); return n }

var (
	sistersSize    = regexp.MustCompile(`(?m)^  size +(.+?)(?: \([\d.]+\))? wide, (.+?)(?: \([\d.]+\))? high`)
	sistersGrid    = regexp.MustCompile(`(?m)^  diamonds +(\d+) columns?, (\d+) rows?`)
	sistersInAll   = regexp.MustCompile(`(?m)^  in all +(\d+), `)
	sistersRows    = regexp.MustCompile(`(?m)^  diagonal rows +(\d+),`)
	sistersSeams   = regexp.MustCompile(`(?m)^  seams +(\d+ (?:yd|m)): .*; (\d+) cuts across`)
	sistersThread  = regexp.MustCompile(`(?m)^  thread +(\d+ (?:yd|m)), `)
	sistersColours = regexp.MustCompile(`^Strip sets? ([\d, andto]+): (.*)$`)
	sistersNeed    = regexp.MustCompile(`(?m)^ +(\d+) +(right|left)-leaning diamonds?$`)
	sistersExact   = regexp.MustCompile(` \([\d.]+\)`) // "1 1/16 in (1.064)"
	sistersBuy     = regexp.MustCompile(`^([\d/. ]+?|[\d ]*\d/\d) (yd|m|fat quarters?|strips?)\b`)
)

// bought reads an amount at the beginning of a text: "1 1/4 yd", "2 fat
// quarters", "0.5 m".
func bought(text string) (string, bool) {
	m := sistersBuy.FindStringSubmatch(text)
	if m == nil {
		return "", false
	}
	v, err := geometry.ParseLength(m[1], geometry.Inch)
	if err != nil {
		return "", false
	}
	return amount(v.In(geometry.Inch), m[2]), true
}

// ofText returns the facts of plan.txt.
func ofText(text string, p *sisterPlan, spec quilt.Spec) facts {
	f := facts{}
	if m := sistersSize.FindStringSubmatch(text); m != nil {
		f["finished"] = m[1] + " by " + m[2]
	}
	if m := sistersGrid.FindStringSubmatch(text); m != nil {
		f["diamonds"] = m[1] + " by " + m[2]
	}
	if m := sistersInAll.FindStringSubmatch(text); m != nil {
		f["strip sets"] = m[1]
	}
	if m := sistersRows.FindStringSubmatch(text); m != nil {
		f["diagonal rows"] = m[1]
	}
	if m := sistersSeams.FindStringSubmatch(text); m != nil {
		f["seams"], f["crosscuts"] = m[1], m[2]
	}
	if m := sistersThread.FindStringSubmatch(text); m != nil {
		f["thread"] = m[1]
	}
	colours := strings.Join(strings.Fields(section(text, "THE COLOURS OF THE STRIP SETS")), " ")
	for _, part := range strings.Split(colours, " - ") {
		if m := sistersColours.FindStringSubmatch(part); m != nil {
			for _, k := range numbersIn(m[1]) {
				f[fmt.Sprintf("several colours of strip set %d", k)] = strings.TrimSuffix(m[2], ".")
			}
		}
	}
	for _, m := range sistersNeed.FindAllStringSubmatch(section(text, "HOW MANY TO CUT"), -1) {
		f["need, "+m[2]+" diamond"] = m[1]
	}
	buy := section(text, "WHAT TO BUY")
	if strings.Contains(buy, "from your scraps") {
		buy = "" // nothing of the strips' fabrics
	}
	var fabric string
	at := 0 // of the fabrics of the strips, in the order of the list
	for _, line := range strings.Split(buy, "\n") {
		if !strings.HasPrefix(line, "  ") || len(line) < 20 {
			continue
		}
		// A long name pushes what is bought to the right.
		_, rest, _ := strings.Cut(strings.TrimSpace(line), "  ")
		if name, got, ok := boughtColour(spec, fabric, line); ok {
			f.buy(spec, fabric, name, got)
			continue
		}
		got, ok := bought(strings.TrimSpace(rest))
		if !ok {
			continue
		}
		fabric = ""
		if at < len(p.Fabric) {
			fabric = p.Fabric[at].Fabric
			f["to buy, "+fabric] = got
			at++
		}
	}
	return f
}

// buy notes what is bought of a colour, unless the fabric has two of that name:
// the same colour twice.
func (f facts) buy(spec quilt.Spec, fabric, name, amount string) {
	n := 0
	for _, other := range spec.ColourList(fabric) {
		if other == name {
			n++
		}
	}
	if n == 1 {
		f[fmt.Sprintf("to buy, %s %s", fabric, name)] = amount
	}
}

// boughtColour reads a line of what to buy of a colour of a fabric.
func boughtColour(spec quilt.Spec, fabric, line string) (name, got string, ok bool) {
	if fabric == "" || !strings.HasPrefix(line, "    ") {
		return "", "", false
	}
	// "black 2" before "black".
	names := slices.Clone(spec.ColourList(fabric))
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) })
	for _, name := range names {
		if rest, is := strings.CutPrefix(strings.TrimSpace(line), name+" "); is {
			if got, ok := bought(strings.TrimSpace(rest)); ok {
				return name, got, true
			}
		}
	}
	return "", "", false
}

func fabricOf(spec quilt.Spec, key string) quilt.Fabric {
	return spec.Fabrics[slices.IndexFunc(spec.Fabrics, func(f quilt.Fabric) bool { return f.Key == key })]
}

// section returns the part of a text below a heading.
func section(text, heading string) string {
	_, after, ok := strings.Cut(text, "\n"+heading+"\n")
	if !ok {
		return ""
	}
	part, _, _ := strings.Cut(after, "\n\n")
	return part
}

// ofSewing returns the facts of sewing --json.
func ofSewing(data []byte) (facts, error) {
	var s struct {
		Rows []struct {
			Pieces []struct {
				Column, Row int
				StripSet    *int `json:"strip_set"`
				Colors      []string
			}
		}
	}
	if err := json.Unmarshal(data, &s); err != nil {
		return nil, err
	}
	f := facts{"diagonal rows": fmt.Sprint(len(s.Rows))}
	for _, r := range s.Rows {
		for _, pc := range r.Pieces {
			if pc.StripSet == nil {
				continue
			}
			f[fmt.Sprintf("piece at row %d column %d", pc.Row, pc.Column)] = fmt.Sprint(*pc.StripSet)
			f[fmt.Sprintf("colours of strip set %d", *pc.StripSet)] = strings.Join(pc.Colors, " ")
		}
	}
	return f, nil
}

// line of the booklet: the texts at one height of a page, from the left.
func bookletLines(path string) ([]string, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	d, err := pdfread.Read(file)
	if err != nil {
		return nil, err
	}
	var out []string
	for _, page := range d.Pages {
		texts := slices.Clone(page.Texts)
		slices.SortStableFunc(texts, func(a, b measure.Text) int {
			return cmp.Or(cmp.Compare(int(b.At.Y*200+0.5), int(a.At.Y*200+0.5)), cmp.Compare(a.At.X, b.At.X))
		})
		for i := 0; i < len(texts); {
			j, line := i, []string{}
			for j < len(texts) && int(texts[j].At.Y*200+0.5) == int(texts[i].At.Y*200+0.5) {
				line = append(line, strings.ReplaceAll(strings.TrimSpace(texts[j].Value), "\u00a0", " "))
				j++
			}
			out = append(out, strings.Join(line, "\t"))
			i = j
		}
	}
	return out, nil
}

// ofBooklet returns the facts of the tables of a booklet in one size.
func ofBooklet(lines []string, spec quilt.Spec, p *sisterPlan) facts {
	f := facts{}
	table := ""
	var fabric string
	at, last := 0, -1
	for i, line := range lines {
		if m := regexp.MustCompile(`^Table \d+\. (.*?)( \(continued\))?$`).FindStringSubmatch(strings.ReplaceAll(line, "\t", " ")); m != nil {
			table = m[1]
			if m[2] == "" {
				at, fabric = 0, ""
			}
			continue
		}
		cells := strings.Split(line, "\t")
		if len(cells) < 2 {
			continue
		}
		label, value := cells[0], cells[1]
		switch table {
		case "Strip sets to sew":
			if label == "In all" {
				f["strip sets"] = value
			}
		case "How much work it is":
			switch {
			case strings.HasPrefix(label, "Length of all seams"):
				f["seams"] = value
			case strings.HasPrefix(label, "Thread"):
				f["thread"] = value
			case strings.HasPrefix(label, "Cuts across"):
				f["crosscuts"] = value
			}
		case "What must measure what":
			if label == "Diagonal rows in all" {
				f["diagonal rows"] = value
			}
		case "Pieces to cut":
			if lean, ok := strings.CutSuffix(label, "-leaning diamonds"); ok {
				f["need, "+strings.ToLower(lean)+" diamond"] = value
			}
		case "Strips to cut":
			// The rows name fabric and width; where a name or a width stands
			// twice the row says more than is read here.
			for _, st := range spec.Strips {
				name := nameOf(spec, st.Fabric)
				same := 0
				for _, other := range spec.Strips {
					if nameOf(spec, other.Fabric) == name && (other.Fabric != st.Fabric || other.Cut != st.Cut) {
						same++
					}
				}
				if same == 0 && strings.HasPrefix(label, name+", ") && !strings.HasPrefix(label, "Border") {
					f[fmt.Sprintf("to cut, %s %.6g", st.Fabric, st.Cut)] = value
				}
			}
		case "What to buy":
			if i+1 < len(lines) && strings.HasSuffix(value, ",") {
				value += " " + lines[i+1]
			}
			got, ok := bought(value)
			if !ok || strings.HasSuffix(value, "from scraps") {
				continue
			}
			// A colour of the fabric that is read, or the next fabric in the order of
			// the plan: a colour of it, or what it is called.
			number := func(fabric string) int {
				for i := range fabricOf(spec, fabric).Colours {
					if spec.ColourName(fabric, i) == label {
						return i
					}
				}
				return -1
			}
			several := fabric != "" && (number(fabric) > last || number(fabric) == last && strings.Count("\n"+strings.Join(spec.ColourList(fabric), "\n")+"\n", "\n"+label+"\n") > 1)
			if !several {
				for fabric = ""; at < len(p.Fabric) && fabric == ""; at++ {
					key := p.Fabric[at].Fabric
					if several = len(fabricOf(spec, key).Colours) > 1 && number(key) >= 0; several || len(fabricOf(spec, key).Colours) == 1 && strings.HasPrefix(nameOf(spec, key), label) {
						fabric = key
					}
				}
			}
			if several {
				last = number(fabric)
			}
			switch {
			case fabric == "":
			case several:
				f.buy(spec, fabric, label, got)
			default:
				f["to buy, "+fabric] = got
				fabric = ""
			}
		}
	}
	return f
}

func nameOf(s quilt.Spec, key string) string {
	for _, f := range s.Fabrics {
		if f.Key == key && f.Name != "" {
			return f.Name
		}
	}
	return key
}

var (
	sistersStrips = regexp.MustCompile(`(\d+) strips? cut (.+?) wide`)
	sistersCovers = regexp.MustCompile(`(?m)^frame-\d+\.svg  Strip sets? (\d+)(?:(?: to | and )(\d+))?, `)
	sistersEach   = regexp.MustCompile(`(?:in each of|from each of) (\d+) `)
	sistersOfEach = regexp.MustCompile(`in each of ([^\d].*?)(?: from each of|$|: cuts |[;.])`)
)

// stripsCut adds up the strips of all frames of strips: by fabric and width
// it would need the names; by width alone the fabrics are told apart well
// enough by which of them are cut at all.
func stripsCut(list string) int {
	n := 0
	for _, line := range strings.Split(list, "\n") {
		_, said, ok := strings.Cut(line, "  ")
		if !ok || !strings.HasPrefix(line, "strips-") || !strings.Contains(said, ": cuts 1 ") {
			continue // not a frame, or one that goes on with the cuts of the one before
		}
		times := 1
		if m := sistersEach.FindAllStringSubmatch(said, -1); m != nil {
			for _, x := range m {
				times *= atoi(x[1])
			}
		}
		if m := sistersOfEach.FindStringSubmatch(said); m != nil {
			times *= len(regexp.MustCompile(`, | and `).Split(m[1], -1))
		}
		for _, m := range sistersStrips.FindAllStringSubmatch(said, -1) {
			n += times * atoi(m[1])
		}
	}
	return n
}

// numbersIn returns the numbers of a list such as "1, 3 to 5 and 9".
func numbersIn(list string) []int {
	var out []int
	for _, m := range regexp.MustCompile(`(\d+)(?: to (\d+))?`).FindAllStringSubmatch(list, -1) {
		for k := atoi(m[1]); k <= max(atoi(m[1]), atoi(m[2])); k++ {
			out = append(out, k)
		}
	}
	return out
}

// ofFrames returns how many strip sets the frames cover.
func ofFrames(list string) facts {
	last := 0
	for _, m := range sistersCovers.FindAllStringSubmatch(list, -1) {
		last = max(last, atoi(m[1]), atoi(m[2]))
	}
	return facts{"strip sets": fmt.Sprint(last)}
}

// ofPage returns the facts of the page at the table: it is taken to the cuts,
// past all strip sets, and to the picture of the quilt.
func ofPage(p *quilt.Plan, given *calibrate.File, dir string) (facts, error) {
	s, err := table.New(table.Config{Plan: p, Given: given, GivenName: "mat", Folder: dir, Listen: "127.0.0.1:0"})
	if err != nil {
		return nil, err
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx) }()
	defer func() { stop(); <-ended }()
	type shows struct {
		Stage string
		Say   string
		More  []string
		Quilt *struct {
			Cells []struct {
				C []string
				D bool
			}
		}
	}
	do := func(action any) (v shows, err error) {
		body, err := json.Marshal(action)
		if err != nil {
			return v, err
		}
		answer, err := http.Post(s.Address()+"do", "application/json", bytes.NewReader(body))
		if err != nil {
			return v, err
		}
		defer answer.Body.Close()
		err = json.NewDecoder(answer.Body).Decode(&v)
		return v, err
	}
	key := func(name string) (shows, error) { return do(map[string]string{"do": "key", "text": name}) }
	screen := given.Screen
	if _, err := do(map[string]any{"do": "window", "window": map[string]any{"ratio": 1, "wide": screen.Width, "high": screen.Height,
		"left": 0, "top": 0, "device": []int{screen.Width, screen.Height}, "screen": "one", "pinch": 1, "secure": true}}); err != nil {
		return nil, err
	}
	v, err := key("Enter")
	for n := 0; err == nil && v.Stage != "cut"; n++ {
		if n > 5 {
			return nil, fmt.Errorf("the page does not come to the cuts, but to %q: %q", v.Stage, v.More)
		}
		v, err = key(" ") // without measuring the square
	}
	if err == nil {
		v, err = key("a") // all cuts of a picture at once
	}
	for n := 0; err == nil && v.Say != "All pieces are cut."; n++ {
		if n > 5000 {
			return nil, fmt.Errorf("the page does not come to the end, but to %q", v.Say)
		}
		v, err = key("PageDown")
	}
	if err == nil {
		v, err = key("q")
	}
	if err != nil {
		return nil, err
	}
	f := facts{}
	if v.Quilt == nil {
		return f, nil // no room for it beside the words
	}
	for i, c := range v.Quilt.Cells {
		if !c.D {
			return nil, fmt.Errorf("piece %d is not filled after all cuts", i)
		}
		pl := p.Pieces[i]
		f[fmt.Sprintf("colours at row %d column %d", pl.Row, pl.Column)] = strings.Join(c.C, " ")
	}
	return f, nil
}

// ofDesk returns the facts of the page on which a pattern is tried out: what stands
// beside the quilt, and what is read.
func ofDesk(file string, p *sisterPlan, spec quilt.Spec) (beside, read facts, err error) {
	ctx, stop := context.WithCancel(context.Background())
	folder, name := filepath.Split(file)
	work := &deskWork{ctx: ctx}
	s, err := desk.New(desk.Config{Work: work.work(), Folder: folder, File: name, Listen: "127.0.0.1:0"})
	if err != nil {
		stop()
		return nil, nil, err
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx) }()
	defer func() { stop(); <-ended }()
	get := func(what string, into any) error {
		answer, err := http.Get(s.Address() + what)
		if err != nil {
			return err
		}
		defer answer.Body.Close()
		return json.NewDecoder(answer.Body).Decode(into)
	}
	var view struct {
		Planning bool
		Size     struct{ Columns, Rows, StripSets int }
		Facts    []desk.Section
	}
	for first := true; first || view.Planning; first = false {
		if !first {
			time.Sleep(2 * time.Millisecond)
		}
		if err := get("view", &view); err != nil {
			return nil, nil, err
		}
	}
	var paper struct{ Plan []desk.Section }
	if err := get("read", &paper); err != nil {
		return nil, nil, err
	}
	beside = ofText(asText(view.Facts, p, spec), p, spec)
	read = ofText(asText(paper.Plan, p, spec), p, spec)
	if said := fmt.Sprintf("%d by %d", view.Size.Columns, view.Size.Rows); beside["diamonds"] != said || beside["strip sets"] != fmt.Sprint(view.Size.StripSets) {
		return nil, nil, fmt.Errorf("%s and %d strip sets beside %v", said, view.Size.StripSets, beside)
	}
	return beside, read, nil
}

// asText writes sections as the text of a plan has them.
func asText(sections []desk.Section, p *sisterPlan, spec quilt.Spec) string {
	var out strings.Builder
	for _, s := range sections {
		fmt.Fprintf(&out, "\n%s\n", strings.ToUpper(s.Title))
		fabric := -1
		for _, row := range s.Rows {
			indent := "  "
			switch {
			case row[0] == "-":
				fmt.Fprintf(&out, "  - %s\n", row[1])
				continue
			case fabric >= 0 && spec.Colourful(p.Fabric[fabric].Fabric) && slices.Contains(spec.ColourList(p.Fabric[fabric].Fabric), row[0]):
				indent = "    "
			case fabric+1 < len(p.Fabric):
				fabric++
			}
			fmt.Fprintf(&out, "%s%-16s  %s\n", indent, row[0], row[1])
		}
	}
	return out.String()
}

// sistersOf reads what the documents of one pattern tell. ok is false for a
// pattern from which no quilt can be cut.
func sistersOf(text, dir string) (s *sisters, ok bool, err error) {
	file := filepath.Join(dir, "q.yaml")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		return nil, false, err
	}
	call := func(args ...string) ([]byte, int, string) {
		var said, talk bytes.Buffer
		status := run(args, nil, &said, &talk)
		return said.Bytes(), status, talk.String()
	}
	data, status, _ := call("plan", file, "--json")
	if status != statusDone {
		return nil, false, nil
	}
	var p sisterPlan
	if err := json.Unmarshal(data, &p); err != nil {
		return nil, false, err
	}
	if p.StripSets.Total == nil {
		return nil, false, nil
	}
	parsed, err := pattern.Parse(file, []byte(text))
	if err != nil {
		return nil, false, err
	}
	spec := parsed.Spec
	s = &sisters{}
	f, err := ofJSON(&p, spec)
	if err != nil {
		return nil, false, fmt.Errorf("plan.json: %w", err)
	}
	s.add("plan.json", f)
	for _, pc := range p.Pieces {
		f[fmt.Sprintf("colours at row %d column %d", pc.Row, pc.Column)] = f[fmt.Sprintf("colours of strip set %d", pc.StripSet)]
	}
	planText, _, _ := call("plan", file)
	s.add("plan.txt", ofText(string(planText), &p, spec))

	beside, read, err := ofDesk(file, &p, spec)
	if err != nil {
		return nil, false, fmt.Errorf("the page at the desk: %w", err)
	}
	s.add("the page at the desk", beside)
	s.add("the page at the desk, to read", read)

	data, _, _ = call("sewing", file, "--json")
	if f, err = ofSewing(data); err != nil {
		return nil, false, err
	}
	s.add("sewing", f)

	if _, status, talk := call("booklet", file, "--out", filepath.Join(dir, "booklet")); status != statusDone {
		return nil, false, fmt.Errorf("booklet: %s", talk)
	}
	lines, err := bookletLines(filepath.Join(dir, "booklet", "booklet.pdf"))
	if err != nil {
		return nil, false, err
	}
	s.add("booklet", ofBooklet(lines, spec, &p))

	mat := virtual.Tilted()
	given, err := mat.Calibrated(calibrate.Grid{Columns: 5, Rows: 5})
	if err != nil {
		return nil, false, err
	}
	projector := filepath.Join(dir, "projector.json")
	kept, err := json.Marshal(given)
	if err != nil {
		return nil, false, err
	}
	if err := os.WriteFile(projector, kept, 0o644); err != nil {
		return nil, false, err
	}
	list, framed, _ := call("mat", file, "--calibration", projector, "--out", filepath.Join(dir, "frames"))
	if framed == statusDone {
		s.add("frames", ofFrames(string(list)))
	}
	if list, status, _ := call("mat", file, "--calibration", projector, "--strips", "--out", filepath.Join(dir, "strips")); status == statusDone {
		want := 0
		for _, c := range p.Fabric {
			if c.Unit != "strips" {
				want += c.Strips
			}
		}
		s.add("plan.json, strips of fabric that is cut", facts{"strips to cut in all": fmt.Sprint(want)})
		s.add("frames of strips", facts{"strips to cut in all": fmt.Sprint(stripsCut(string(list)))})
	}
	planned, err := quilt.New(spec)
	if err != nil {
		return nil, false, err
	}
	if framed == statusDone && len(planned.Pieces) < 400 {
		f, err := ofPage(planned, &given, filepath.Join(dir, "table"))
		if err != nil {
			return nil, false, fmt.Errorf("the page at the table: %w", err)
		}
		s.add("the page at the table", f)
	}
	return s, true, nil
}

// TestSisters has random patterns told by all documents: the facts that two of
// them tell must be the same. There is no other source; what the plan itself
// says is held to outside sources elsewhere.
func TestSisters(t *testing.T) {
	var mu sync.Mutex
	quilts, shared := 0, 0
	told := map[string]int{}
	outside.Cases(t, 8, 200)
	rapid.Check(t, func(t *rapid.T) {
		p := drawPattern(t)
		dir, err := os.MkdirTemp("", "lozenge")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(dir)
		s, ok, err := sistersOf(p.text, dir)
		if err != nil {
			t.Fatalf("%v\n%s", err, p.text)
		}
		if !ok {
			return
		}
		if len(s.clash) > 0 {
			t.Fatalf("%s\n%s", strings.Join(s.clash, "\n"), p.text)
		}
		mu.Lock()
		defer mu.Unlock()
		quilts++
		shared += s.shared()
		for document, f := range s.told {
			if len(f) > 0 {
				told[document]++
			}
		}
	})
	if t.Failed() {
		return
	}
	t.Logf("%d quilts, %d facts told twice or more; by document: %v", quilts, shared, told)
	if quilts == 0 || shared < 20*quilts {
		t.Errorf("%d quilts share only %d facts", quilts, shared)
	}
	for _, document := range []string{"plan.json", "plan.txt", "sewing", "booklet", "frames", "frames of strips", "the page at the table", "the page at the desk", "the page at the desk, to read"} {
		if told[document] == 0 {
			t.Errorf("nothing was read out of %s", document)
		}
	}
}

// The readers above find what they look for: in the example of three strips
// with several colours, fat quarters and bands each document tells what it is
// read for.
func TestSistersAreRead(t *testing.T) {
	text, err := os.ReadFile("../../testdata/meadow-cot.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, ok, err := sistersOf(string(text), t.TempDir())
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	for _, clash := range s.clash {
		t.Error(clash)
	}
	for document, names := range map[string][]string{
		"plan.txt":                      {"finished", "diamonds", "strip sets", "diagonal rows", "seams", "thread", "crosscuts", "to buy, moss fern", "to buy, butter", "to buy, clover raspberry", "several colours of strip set 18", "need, left diamond"},
		"the page at the desk, to read": {"finished", "diamonds", "strip sets", "diagonal rows", "seams", "thread", "crosscuts", "to buy, moss fern", "to buy, butter", "to buy, clover raspberry", "several colours of strip set 18", "need, left diamond"},
		"booklet":                       {"strip sets", "diagonal rows", "seams", "thread", "crosscuts", "to buy, moss fern", "to buy, butter", "to buy, clover raspberry", "to cut, moss 5", "to cut, butter 4", "to cut, clover 5", "need, left diamond"},
		"sewing":                        {"piece at row -1 column 0", "piece at row 8 column 5", "colours of strip set 18"},
		"frames":                        {"strip sets"},
		"frames of strips":              {"strips to cut in all"},
		"the page at the table":         {"colours at row -1 column 0", "colours at row 8 column 5"},
		"the page at the desk":          {"finished", "diamonds", "strip sets", "to buy, moss fern", "to buy, butter", "to buy, clover raspberry"},
	} {
		for _, name := range names {
			if _, ok := s.told[document][name]; !ok {
				t.Errorf("%s: %q is not read", document, name)
			}
		}
	}
}
