// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"math/big"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lozenge/export/measure"
	"lozenge/export/outside"
	"lozenge/export/pdfread"
	"lozenge/geometry"
)

// bookletCase is a booklet whose figures are compared with plan --json.
type bookletCase struct {
	pattern string
	sizes   []string
	cover   [][2]float64 // what each size has to cover, by hand; 0: the pattern's own
	mattes  []float64    // mattresses and the drop, as they are printed
	args    []string
}

// Mattresses and sizes as facts have them: twin 39 by 75 with a drop of 12 is
// 63 by 87, queen 60 by 80 is 84 by 92, crib 36 by 52 without a drop.
var bookletCases = []bookletCase{
	{"tide-lap", []string{"crib", "twin", "queen"}, [][2]float64{{36, 52}, {63, 87}, {84, 92}}, []float64{39, 75, 60, 80, 12}, nil},
	{"ember-throw", []string{"own", "throw", "60x80"}, [][2]float64{{}, {54, 72}, {60, 80}}, nil, nil},
	{"ember-throw", []string{"queen"}, [][2]float64{{60 + 2*14, 80 + 14}}, []float64{60, 80, 14}, []string{"--drop", "14", "--paper", "a4"}},
	{"meadow-cot", []string{"own", "100x140cm"}, [][2]float64{{}, {100, 140}}, nil, []string{"--paper", "letter"}},
}

// planSized returns plan --json of the pattern, for a size to cover with its
// borders on: their finished widths come off by hand.
func planSized(t *testing.T, file string, cover [2]float64) jsonPlan {
	t.Helper()
	var first, talk bytes.Buffer
	if s := run([]string{"plan", "--json", file}, nil, &first, &talk); s != statusDone {
		t.Fatal(talk.String())
	}
	var p jsonPlan
	if err := json.Unmarshal(first.Bytes(), &p); err != nil {
		t.Fatal(err)
	}
	if cover[0] == 0 {
		return p
	}
	seam := seamOf(p)
	for _, b := range p.Borders {
		cover[0] -= 2 * (b.Cut - 2*seam)
		cover[1] -= 2 * (b.Cut - 2*seam)
	}
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := regexp.MustCompile(`(?m)^(columns|rows|finish):.*\n`).ReplaceAllString(string(src), "")
	text += fmt.Sprintf("finish: {width: %v, height: %v}\n", cover[0], cover[1])
	var out bytes.Buffer
	if s := run([]string{"plan", "--json", "-"}, strings.NewReader(text), &out, &talk); s != statusDone {
		t.Fatal(talk.String())
	}
	p = jsonPlan{}
	if err := json.Unmarshal(out.Bytes(), &p); err != nil {
		t.Fatal(err)
	}
	return p
}

// seamOf is half of what the strip set's finished width lacks.
func seamOf(p jsonPlan) float64 { return (p.StripSet.Width - p.Diamond.FinishedWidth) / 2 }

// inchFraction writes a length to the nearest sixteenth, and its decimals
// where three of them differ: done here by hand, not by the program.
func inchFraction(v float64) (mixed, decimals string) {
	n := int(math.Floor(v*16 + 0.5))
	whole, rest := n/16, n%16
	r := big.NewRat(int64(rest), 16)
	switch {
	case rest == 0:
		mixed = fmt.Sprint(whole)
	case whole == 0:
		mixed = r.String()
	default:
		mixed = fmt.Sprintf("%d %s", whole, r)
	}
	if math.Abs(v-float64(n)/16) >= 0.0005 {
		decimals = strconv.FormatFloat(v, 'f', 3, 64)
	}
	return mixed, decimals
}

// lengthAs writes a length as the booklet should.
func lengthAs(v float64, unit string) string {
	if unit == "cm" {
		return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".") + " cm"
	}
	mixed, decimals := inchFraction(v)
	if decimals != "" {
		return mixed + " in (" + decimals + ")"
	}
	return mixed + " in"
}

func sizeAs(w, h float64, unit string) string { return lengthAs(w, unit) + " by " + lengthAs(h, unit) }

// buyAs writes an amount: yards in eighths, metres in tenths, or a number.
func buyAs(buy float64, unit string) string {
	switch unit {
	case "yd":
		mixed, _ := inchFraction(buy)
		return mixed + " yd"
	case "m":
		return strconv.FormatFloat(buy, 'f', 1, 64) + " m"
	}
	return countIn(int(buy), strings.ReplaceAll(strings.TrimSuffix(unit, "s"), "-", " "))
}

func countIn(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// stripsAs writes what to buy with the number of strips.
func stripsAs(buy float64, unit string, strips int) string {
	if unit == "strips" {
		return buyAs(buy, unit)
	}
	return buyAs(buy, unit) + ", " + countIn(strips, "strip")
}

// bookWord is a word of the PDF as Poppler finds it; y runs down.
type bookWord struct {
	text           string
	x, y, right, b float64
}

var wordTag = regexp.MustCompile(`<word xMin="(\S+)" yMin="(\S+)" xMax="(\S+)" yMax="(\S+)">(.*?)</word>`)

// wordsOf returns the words of each page.
func wordsOf(t *testing.T, file string) [][]bookWord {
	t.Helper()
	out := string(outside.Run(t, outside.Tool(t, "pdftotext"), "-bbox", "-enc", "UTF-8", file, "-"))
	var pages [][]bookWord
	for i, page := range strings.Split(out, "<page ") {
		if i == 0 {
			continue
		}
		var words []bookWord
		for _, m := range wordTag.FindAllStringSubmatch(page, -1) {
			w := bookWord{text: html.UnescapeString(m[5])}
			for k, to := range []*float64{&w.x, &w.y, &w.right, &w.b} {
				*to, _ = strconv.ParseFloat(m[k+1], 64)
			}
			words = append(words, w)
		}
		pages = append(pages, words)
	}
	return pages
}

// bookTable is a table as it was read back: its title and its rows, each a
// label and a cell for every column.
type bookTable struct {
	title string
	rows  [][]string
}

// tablesOf finds the tables: below a line that begins with "Table" stands the
// head; lines of one row stand closer than rows do.
func tablesOf(t *testing.T, pages [][]bookWord, heads []string) map[string]*bookTable {
	t.Helper()
	tables := map[string]*bookTable{}
	for _, words := range pages {
		lines := map[int][]bookWord{}
		for _, w := range words {
			k := int(math.Round(w.b))
			if _, ok := lines[k-1]; ok {
				k--
			}
			lines[k] = append(lines[k], w)
		}
		var order []int
		for k := range lines {
			slices.SortFunc(lines[k], func(a, b bookWord) int { return int(100 * (a.x - b.x)) })
			order = append(order, k)
		}
		slices.Sort(order)
		text := func(line []bookWord, from, to float64) string {
			var out []string
			for _, w := range line {
				if w.x > from-1 && w.x < to-1 {
					out = append(out, w.text)
				}
			}
			return strings.Join(out, " ")
		}
		for i := 0; i < len(order); i++ {
			name := text(lines[order[i]], 0, 1e9)
			m := regexp.MustCompile(`^(Table \d+)(?:, part \d+ of \d+)?\. (.*)$`).FindStringSubmatch(name)
			if m == nil || i+1 >= len(order) {
				continue
			}
			// The columns begin where their heads do.
			head := lines[order[i+1]]
			var columns []float64
			rest := text(head, 0, 1e9)
			if !strings.HasSuffix(rest, strings.Join(heads, " ")) {
				continue // a table of another kind
			}
			left := words[0].x // the header's
			for _, h := range heads {
				first := strings.Fields(h)[0]
				for _, w := range head {
					if w.text == first && (len(columns) == 0 || w.x > columns[len(columns)-1]+10) {
						columns = append(columns, w.x)
						break
					}
				}
			}
			if len(columns) != len(heads) {
				t.Fatalf("%s: head %q", name, rest)
			}
			tab := tables[m[1]]
			if tab == nil {
				tab = &bookTable{title: m[2]}
				tables[m[1]] = tab
			}
			last := order[i+1]
			fresh := true
			j := i + 2
			for ; j < len(order); j++ {
				gap := order[j] - last
				if gap > 20 {
					break
				}
				if fresh || gap > 12 {
					tab.rows = append(tab.rows, make([]string, len(heads)+1))
				}
				fresh, last = false, order[j]
				row := tab.rows[len(tab.rows)-1]
				line := lines[order[j]]
				edges := append([]float64{left}, columns...)
				edges = append(edges, 1e9)
				for k := range row {
					row[k] = strings.TrimSpace(row[k] + " " + text(line, edges[k], edges[k+1]))
				}
			}
			i = j - 1
		}
	}
	return tables
}

// cellsOf returns the cells of the row with a label, the k-th one from 0.
func cellsOf(t *testing.T, tables map[string]*bookTable, title, label string, k int) []string {
	t.Helper()
	for _, tab := range tables {
		if tab.title != title {
			continue
		}
		for _, row := range tab.rows {
			if row[0] == label {
				if k == 0 {
					return row[1:]
				}
				k--
			}
		}
		t.Errorf("table %q has no row %q: %q", title, label, tab.rows)
		return nil
	}
	t.Errorf("no table %q", title)
	return nil
}

// Every table of the booklet, read back from the PDF by Poppler, says in every
// column what plan --json says of that size.
func TestBookletTablesAgreeWithPlan(t *testing.T) {
	t.Parallel()
	for _, c := range bookletCases {
		t.Run(c.pattern+" "+strings.Join(c.sizes, ","), func(t *testing.T) {
			file := filepath.Join("../../testdata", c.pattern+".yaml")
			dir := t.TempDir()
			mustRun(t, append([]string{"booklet", file, "--sizes", strings.Join(c.sizes, ","), "--out", dir}, c.args...)...)
			var heads []string
			var plans []jsonPlan
			for i, s := range c.sizes {
				head := strings.ToUpper(s[:1]) + s[1:]
				if s == "own" {
					head = "Own size"
				} else if a, b, ok := strings.Cut(s, "x"); ok {
					number := strings.TrimRight(b, "cmin")
					unit := b[len(number):]
					if unit == "" {
						unit = "in"
					}
					head = a + " by " + number + " " + unit
				}
				heads = append(heads, head)
				plans = append(plans, planSized(t, file, c.cover[i]))
			}
			tables := tablesOf(t, wordsOf(t, filepath.Join(dir, "booklet.pdf")), heads)
			check := func(title, label string, k int, want func(p jsonPlan) string) {
				t.Helper()
				var all []string
				for _, p := range plans {
					text := want(p)
					if text == "" || text == "0" {
						text = "–"
					}
					all = append(all, text)
				}
				if got := cellsOf(t, tables, title, label, k); got != nil && !slices.Equal(got, all) {
					t.Errorf("%s, %s: %q, want %q", title, label, got, all)
				}
			}
			unit := plans[0].Unit
			integer := func(f func(p jsonPlan) int) func(p jsonPlan) string {
				return func(p jsonPlan) string { return fmt.Sprint(f(p)) }
			}
			outer := func(p jsonPlan) (w, h float64) {
				w, h = p.Quilt.FinishedWidth, p.Quilt.FinishedHeight
				for _, b := range p.Borders {
					w, h = w+2*(b.Cut-2*seamOf(p)), h+2*(b.Cut-2*seamOf(p))
				}
				return w, h
			}
			check("What to buy", "Finished size", 0, func(p jsonPlan) string { w, h := outer(p); return sizeAs(w, h, unit) })
			check("What to buy", "Batting, at least", 0, func(p jsonPlan) string { return sizeAs(p.Batting.Width, p.Batting.Height, unit) })
			check("What to buy", "Backing", 0, func(p jsonPlan) string { return buyAs(p.Backing.Buy, p.Backing.Unit) })
			check("What to buy", "Binding", 0, func(p jsonPlan) string { return stripsAs(p.Binding.Buy, p.Binding.Unit, p.Binding.Strips) })
			called := map[string]string{} // colours, by fabric and code
			for _, set := range plans[0].StripSets.Sets {
				for _, c := range set.Colors {
					called[c.Fabric+c.Color] = c.Name
				}
			}
			for i, f := range plans[0].Fabric {
				for k, colour := range f.Colors {
					if len(f.Colors) == 1 {
						continue
					}
					check("What to buy", called[f.Fabric+colour.Color], 0, func(p jsonPlan) string {
						if k >= len(p.Fabric[i].Colors) {
							return ""
						}
						one := p.Fabric[i].Colors[k]
						return stripsAs(one.Buy, p.Fabric[i].Unit, one.Strips)
					})
				}
			}
			need := func(label string, f func(n jsonNeed) int) {
				for _, p := range plans {
					if f(p.Need) > 0 {
						check("Pieces to cut", label, 0, integer(func(p jsonPlan) int { return f(p.Need) }))
						return
					}
				}
			}
			need("Right-leaning diamonds", func(n jsonNeed) int { return n.Diamonds.Right })
			need("Left-leaning diamonds", func(n jsonNeed) int { return n.Diamonds.Left })
			names := map[string][2]string{"tide-lap": {"Tide blues", "Shell"}, "ember-throw": {"Ember reds", "Ash"}, "meadow-cot": {"Moss", "Clover"}}[c.pattern]
			need("Right-leaning edge triangles, "+names[0]+" on the wide side", func(n jsonNeed) int { return n.EdgeTriangles.Right.Lower })
			need("Right-leaning edge triangles, "+names[1]+" on the wide side", func(n jsonNeed) int { return n.EdgeTriangles.Right.Upper })
			need("Left-leaning edge triangles, "+names[0]+" on the wide side", func(n jsonNeed) int { return n.EdgeTriangles.Left.Lower })
			need("Left-leaning edge triangles, "+names[1]+" on the wide side", func(n jsonNeed) int { return n.EdgeTriangles.Left.Upper })

			check("Strip sets to sew", "for right-leaning pieces", 0, integer(func(p jsonPlan) int { return *p.StripSets.Right }))
			check("Strip sets to sew", "for left-leaning pieces", 0, integer(func(p jsonPlan) int { return *p.StripSets.Left }))
			check("Strip sets to sew", "In all", 0, integer(func(p jsonPlan) int { return *p.StripSets.Total }))
			for i, f := range plans[0].Fabric {
				label := map[string]string{"tide": "Tide blues", "shell": "Shell", "ember": "Ember reds", "ash": "Ash", "moss": "Moss", "butter": "Butter", "clover": "Clover"}[f.Fabric]
				label += ", " + lengthAs(plans[0].StripSet.CutWidths[i], unit) + " wide"
				check("Strips to cut", label, 0, integer(func(p jsonPlan) int { return p.Fabric[i].Strips }))
			}
			check("The layout", "Rows of diamonds", 0, integer(func(p jsonPlan) int { return p.Quilt.Rows }))
			check("The layout", "Diamonds in each row", 0, integer(func(p jsonPlan) int { return p.Quilt.Columns }))
			check("What must measure what", "Diagonal rows in all", 0, integer(func(p jsonPlan) int { return p.SewingRows }))
			joined := func(n int) func(p jsonPlan) string {
				return func(p jsonPlan) string {
					return lengthAs(float64(n)*p.Diamond.FinishedWidth+2*seamOf(p), unit)
				}
			}
			check("What must measure what", "2 diamonds joined, or 2 rows", 0, joined(2))
			check("What must measure what", "3 diamonds joined, or 3 rows", 0, joined(3))
			check("What must measure what", "All diamonds of a whole row joined, or as many rows", 0, func(p jsonPlan) string {
				return fmt.Sprintf("%d: %s", p.Quilt.Rows, joined(p.Quilt.Rows)(p))
			})
			check("What must measure what", "Width of a row", 0, func(p jsonPlan) string { return lengthAs(p.StripSet.Width, unit) })
			check("The top, squared up, without borders", "Raw edge to raw edge", 0, func(p jsonPlan) string {
				return sizeAs(p.Quilt.FinishedWidth+2*seamOf(p), p.Quilt.FinishedHeight+2*seamOf(p), unit)
			})
			check("The top, squared up, without borders", "Finished", 0, func(p jsonPlan) string {
				return sizeAs(p.Quilt.FinishedWidth, p.Quilt.FinishedHeight, unit)
			})
			if len(plans[0].Borders) > 0 {
				check("What to buy", "Border 1: Ash", 0, func(p jsonPlan) string { b := p.Borders[0]; return stripsAs(b.Buy, b.Unit, b.Strips) })
				check("Border lengths, raw", "two sides, each", 0, func(p jsonPlan) string { return lengthAs(p.Borders[0].Sides, unit) })
				check("Border lengths, raw", "top and bottom, each", 0, func(p jsonPlan) string { return lengthAs(p.Borders[0].Ends, unit) })
			}
			check("Backing, batting and binding", "Backing", 0, func(p jsonPlan) string { return sizeAs(p.Backing.Width, p.Backing.Height, unit) })
			check("Backing, batting and binding", "Batting", 0, func(p jsonPlan) string { return sizeAs(p.Batting.Width, p.Batting.Height, unit) })
			check("Backing, batting and binding", "length of each panel", 0, func(p jsonPlan) string {
				return lengthAs(p.Backing.Length/float64(p.Backing.Panels), unit)
			})
			lines, err := bookletLines(filepath.Join(dir, "booklet.pdf"))
			if err != nil {
				t.Fatal(err)
			}
			for k, p := range plans {
				if len(plans) == 1 {
					heads[k] = ""
				}
				stripSetsListed(t, lines, strings.ToLower(heads[k]), p)
				oneRowCut(t, lines, strings.ToLower(heads[k]), p)
			}
		})
	}
}

// spanOf reads numbers that [words.NumberList] wrote.
func spanOf(text string) (out []int) {
	for _, part := range regexp.MustCompile(`, | and `).Split(text, -1) {
		var first, last int
		if n, _ := fmt.Sscanf(part, "%d to %d", &first, &last); n < 2 {
			last = first
		}
		for i := first; i <= last && first > 0; i++ {
			out = append(out, i)
		}
	}
	return out
}

// linesOfTable returns the cells of the tables whose title begins so, of one size.
func linesOfTable(lines []string, title, size string) (out [][]string) {
	in := false
	for _, line := range lines {
		cells := strings.Split(line, "\t")
		if strings.HasPrefix(cells[0], "Table ") {
			all := strings.ToLower(strings.Join(cells, " "))
			if !strings.Contains(all, "(continued)") {
				in = strings.Contains(all, strings.ToLower(title)) && strings.Contains(all, size)
			}
			continue
		}
		if in && len(cells) == 3 {
			out = append(out, cells)
		}
	}
	return out
}

// stripSetsListed holds the list of strip sets of a size to the plan: each stands there once,
// with the colours of its strips, and those of a way are cut alike.
func stripSetsListed(t *testing.T, lines []string, size string, p jsonPlan) {
	t.Helper()
	seen, ways := map[int]bool{}, map[string]string{}
	for _, cells := range linesOfTable(lines, "tick each when it is sewn", size) {
		way, _, _ := strings.Cut(cells[2], ",")
		for _, n := range spanOf(cells[0]) {
			if seen[n] || n > len(p.StripSets.Sets) {
				t.Fatalf("%s: strip set %d stands there twice, or is none: %q", size, n, cells)
			}
			seen[n] = true
			set := p.StripSets.Sets[n-1]
			for _, c := range set.Colors {
				if len(p.Fabric) > 0 && c.Name != "" && !strings.Contains(cells[1], strings.Fields(c.Name)[0]) && colourful(p, c.Fabric) {
					t.Errorf("%s: strip set %d is of %s: %q", size, n, c.Name, cells)
				}
			}
			cut := fmt.Sprint(set.Cuts, set.Lean)
			if ways[way] == "" {
				ways[way] = cut
			}
			if ways[way] != cut {
				t.Errorf("%s: strip set %d is cut %s, and others of %s %s", size, n, cut, way, ways[way])
			}
		}
	}
	if len(seen) != len(p.StripSets.Sets) {
		t.Errorf("%s: %d strip sets are listed of %d", size, len(seen), len(p.StripSets.Sets))
	}
}

func colourful(p jsonPlan, fabric string) bool {
	return slices.ContainsFunc(p.Fabric, func(f jsonFabric) bool { return f.Fabric == fabric && len(f.Colors) > 1 })
}

// oneRowCut holds the cut list of the row that is sewn as a test to the pieces of the
// plan: from each strip set as many as one diagonal row of the most diamonds takes.
func oneRowCut(t *testing.T, lines []string, size string, p jsonPlan) {
	t.Helper()
	got := map[int]int{}
	for _, cells := range linesOfTable(lines, "cut for row", size) {
		for _, n := range spanOf(cells[0]) {
			for _, m := range regexp.MustCompile(`(\d+) (?:right|left)-leaning`).FindAllStringSubmatch(cells[2], -1) {
				k, _ := strconv.Atoi(m[1])
				got[n] += k
			}
		}
	}
	rows, diamonds := map[int]map[int]int{}, map[int]int{}
	for _, pc := range p.Pieces {
		d := pc.Column - int(math.Floor(float64(pc.Row)/2))
		if rows[d] == nil {
			rows[d] = map[int]int{}
		}
		rows[d][*pc.StripSet]++
		if pc.Shape == "diamond" {
			diamonds[d]++
		}
	}
	most := 0
	for _, n := range diamonds {
		most = max(most, n)
	}
	for d, from := range rows {
		same := diamonds[d] == most && len(from) == len(got)
		for set, n := range from {
			same = same && got[set] > 0 && got[set] <= n // the second kind of piece may stand in a further line
		}
		if same {
			return
		}
	}
	t.Errorf("%s: no diagonal row of %d diamonds is of these strip sets: %v", size, most, got)
}

var (
	anyNumber = regexp.MustCompile(`\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\d+`)
	// What numbers in text and running heads count: pages, figures, tables,
	// rows, strips, steps, and parts of a template.
	counting = regexp.MustCompile(`(?i)\b(page|pages|figure|table|row|rows|border|strip|colour|way|part|step)s? \d+( of \d+)?|^\d+\.\s|\b[A-Z]{1,2}\d+\b`)
)

// Every number in the booklet is one of plan --json, or follows from those by
// hand, or is advice of the trade that this test lists.
func TestBookletNumbersAgreeWithPlan(t *testing.T) {
	t.Parallel()
	tool := outside.Tool(t, "pdftotext")
	for _, c := range bookletCases {
		t.Run(c.pattern+" "+strings.Join(c.sizes, ","), func(t *testing.T) {
			file := filepath.Join("../../testdata", c.pattern+".yaml")
			dir := t.TempDir()
			mustRun(t, append([]string{"booklet", file, "--sizes", strings.Join(c.sizes, ","), "--out", dir}, c.args...)...)
			allowed := map[string]bool{}
			count := func(ns ...int) {
				for _, n := range ns {
					allowed[fmt.Sprint(n)] = true
				}
			}
			unit := ""
			length := func(vs ...float64) {
				for _, v := range vs {
					for _, s := range anyNumber.FindAllString(lengthAs(v, unit), -1) {
						allowed[s] = true
					}
				}
			}
			buy := func(v float64, u string) {
				for _, s := range anyNumber.FindAllString(buyAs(v, strings.ReplaceAll(u, "-", " ")), -1) {
					allowed[s] = true
				}
			}
			for i := range c.sizes {
				p := planSized(t, file, c.cover[i])
				unit = p.Unit
				a, set, d := seamOf(p), p.StripSet, p.Diamond
				length(a, set.Width, set.Width-a, d.CutWidth, d.CutSide, d.FinishedWidth, d.FinishedSide, d.ShortDiagonal, d.LongDiagonal)
				length(set.CutWidths...)
				length(set.SeamLines...)
				for k := 1; k < 12; k++ {
					length(float64(k) * d.CutSide) // on the strip gauge
				}
				length(c.cover[i][:]...)
				length(c.mattes...)
				inch := map[string]float64{"in": 1, "cm": 2.54}[unit]
				for _, v := range published[c.sizes[i]] {
					length(v * inch)
				}
				yard := map[string]float64{"in": 36, "cm": 100}[unit]
				count(int(math.Ceil(p.Work.Length/yard-1e-9)), int(math.Ceil(p.Work.Thread/yard-1e-9)), p.Work.Crosscuts)
				// A tip is cut e past the finished corner along both raw edges
				// and a outside them; the raw edges meet a/sin(half the corner).
				theta := p.Angle * math.Pi / 180
				past := func(corner float64) float64 {
					return d.PastSeam*math.Cos(corner/2) + a*math.Sin(corner/2)
				}
				for _, corner := range []float64{theta, (math.Pi - theta) / 2} {
					length(past(corner), a/math.Sin(corner/2)-past(corner))
				}
				length(d.LongDiagonal + 2*past(theta))
				// The wide side of an edge triangle: its finished side and, at
				// either end, the raw edges' run past the corner.
				length(d.FinishedSide + a/math.Tan(theta/2) + a/math.Tan((math.Pi-theta)/4))
				for n := range max(p.Quilt.Rows, p.Quilt.Columns) + 1 { // a row sewn to edge triangles at one end or both
					length(float64(n)*p.Diamond.FinishedWidth + seamOf(p))
					length(float64(n) * p.Diamond.FinishedWidth)
					length(float64(n)*p.Diamond.FinishedWidth + 2*seamOf(p))
				}
				for _, n := range []int{2, 3, p.Quilt.Rows} {
					length(float64(n)*d.FinishedWidth + 2*a)
				}
				w, h := p.Quilt.FinishedWidth, p.Quilt.FinishedHeight
				length(w, h, w+2*a, h+2*a)
				for n := range p.StripSets.Sets {
					allowed[strconv.Itoa(n+1)] = true
				}
				for _, b := range p.Borders {
					w, h = w+2*(b.Cut-2*a), h+2*(b.Cut-2*a)
					length(b.Cut, b.Sides, b.Ends, w, h)
					count(b.Strips)
					buy(b.Buy, b.Unit)
				}
				if c.pattern == "ember-throw" { // take_up 2.5, shrinkage 3, spare 2, end_trim 1/2, usable width 42
					length(w*0.975*0.97, h*0.975*0.97, 42, p.Yield.Length)
					for _, s := range []string{"2.5", "3", "2"} {
						allowed[s] = true
					}
				}
				length(p.Backing.Width, p.Backing.Height, p.Backing.Length/float64(p.Backing.Panels), p.Batting.Width, p.Batting.Height)
				length(p.Yield.Length)
				extra, cut := 10.0, 2.5
				if unit == "cm" {
					extra, cut = 25, 6.5
					length(107) // usable width
				}
				length(2*(w+h)+extra, cut, cut/2)
				count(p.Backing.Panels, p.Binding.Strips, p.SewingRows, p.Quilt.Rows, p.Quilt.Columns, *p.StripSets.Right, *p.StripSets.Left, *p.StripSets.Total)
				buy(p.Backing.Buy, p.Backing.Unit)
				buy(p.Binding.Buy, p.Binding.Unit)
				count(p.Need.Diamonds.Right, p.Need.Diamonds.Left, p.Need.EdgeTriangles.Right.Lower, p.Need.EdgeTriangles.Right.Upper, p.Need.EdgeTriangles.Left.Lower, p.Need.EdgeTriangles.Left.Upper)
				longest := 0.0
				for _, l := range p.CutList {
					count(l.First, l.Last)
					length(l.Uses)
					longest = math.Max(longest, l.Uses)
				}
				trim := 0.0
				if c.pattern == "ember-throw" {
					trim = 0.5
				}
				length(longest + trim)
				for _, f := range p.Fabric {
					count(f.Strips)
					buy(f.Buy, f.Unit)
					for _, one := range f.Colors {
						count(one.Strips)
						buy(one.Buy, f.Unit)
					}
					// Strips and a border of the same fabric together: rounded up
					// to 1/8 yd or 10 cm.
					for _, b := range p.Borders {
						step, perYard := 4.5, 8.0
						if unit == "cm" {
							step, perYard = 10, 10
						}
						buy(math.Ceil((f.Length+b.Length)/step-1e-9)/perYard, map[string]string{"in": "yd", "cm": "m"}[unit])
					}
				}
				// Strips at least so long: rounded up to what a ruler shows.
				upTo := func(p jsonPlan) {
					if len(p.StripSets.Sets) > 0 {
						grain := map[string]float64{"in": 1.0 / 16, "cm": 0.1}[unit]
						length(math.Ceil(p.StripSets.Sets[0].Length/grain-1e-9) * grain)
					}
				}
				upTo(p)
				// From fat quarters of 18 by 20 1/2 in, or 46 by 52 cm.
				length(map[string]float64{"in": 18, "cm": 46}[unit], map[string]float64{"in": 20.5, "cm": 52}[unit])
				quarters := planFromFatQuarters(t, file, c.cover[i])
				if quarters != nil {
					upTo(*quarters)
					for _, f := range quarters.Fabric {
						count(f.Strips)
						buy(f.Buy, f.Unit)
						for _, one := range f.Colors {
							count(one.Strips)
							buy(one.Buy, f.Unit)
						}
					}
					most := 0.0
					ways := map[string]int{}
					for _, l := range quarters.CutList {
						ways[l.Cuts+l.Lean] += l.Last - l.First + 1
						most = math.Max(most, l.Uses)
					}
					for _, n := range ways {
						count(n)
					}
					length(most + trim)
				}
				allowed[strconv.FormatFloat(p.Angle, 'g', -1, 64)] = true
				allowed[strconv.FormatFloat(p.Angle/2, 'g', -1, 64)] = true         // the sides
				allowed[strconv.FormatFloat(90-p.Angle/2, 'g', -1, 64)] = true      // top and bottom, and a base
				allowed[strconv.FormatFloat((180-p.Angle)/2, 'g', -1, 64)] = true   // a corner of an edge triangle
				allowed[map[string]string{"in": "1/8", "cm": "0.3"}[unit]] = true   // staystitching
				allowed[map[string]string{"in": "3 7/8", "cm": "9.7"}[unit]] = true // a calibration square at 97 %
			}
			// Stitches of 2 mm, printing at 100 %, a square at 97 % and the angle
			// of a mitre; calibration square and bar of the templates.
			for _, s := range []string{"2", "100", "97", "45", "4", "10", "9", "11", "25", "27", "28", "40", "0", "1"} {
				allowed[s] = true
			}
			text := string(outside.Run(t, tool, "-enc", "UTF-8", "-layout", filepath.Join(dir, "booklet.pdf"), "-"))
			bad := map[string]string{}
			numbers := 0
			for page := range strings.SplitSeq(text, "\f") {
				index := strings.Contains(page, "What is on which page")
				for line := range strings.Lines(page) {
					// Numbers along a drawing's edge count its rows or cuts: a line
					// of nothing else, or before a drawing's words.
					plain := counting.ReplaceAllString(strings.TrimSpace(line), " ")
					if strings.Trim(plain, "0123456789 ") == "" || index {
						continue
					}
					// Breaks of lines may have parted a number from its word.
					for _, s := range anyNumber.FindAllString(plain, -1) {
						numbers++
						if v, err := strconv.Atoi(s); err == nil && v <= 40 {
							continue // may count figures, rows, steps
						}
						if !allowed[s] {
							bad[s] = strings.TrimSpace(line)
						}
					}
				}
			}
			for s, line := range bad {
				t.Errorf("%s is no figure of the plan: %s", s, line)
			}
			if numbers < 200 {
				t.Errorf("only %d numbers were compared", numbers)
			}
		})
	}
}

// published is how far published quilts of a name range; the sources stand at
// TestPublishedSizes of geometry/quilt.
var published = map[string][]float64{
	"baby": {30, 40, 36, 54}, "crib": {36, 52, 45, 60}, "lap": {50, 65, 54, 72}, "throw": {50, 65, 54, 72}, "twin": {63, 81, 75, 93},
	"full": {78, 81, 90, 90}, "queen": {81, 81, 96, 98}, "king": {95, 92, 104, 105},
}

// planFromFatQuarters plans the pattern anew with all its fabrics from fat
// quarters; nil where one comes in strips.
func planFromFatQuarters(t *testing.T, file string, cover [2]float64) *jsonPlan {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := string(src)
	if strings.Contains(text, "from: strips") {
		return nil
	}
	length := "20.5"
	if strings.Contains(text, "unit: cm") {
		length = "52"
	}
	text = strings.ReplaceAll(text, "from: fat-quarters, strip_length: 53, ", "")
	text = strings.ReplaceAll(text, "colors:", "from: fat-quarters, strip_length: "+length+", colors:")
	changed := filepath.Join(t.TempDir(), "fq.yaml")
	if err := os.WriteFile(changed, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	p := planSized(t, changed, cover)
	return &p
}

// A booklet in one size takes at most 17 pages, and words reach into the lower half of each;
// a box to tick stands before every step.
func TestBookletPages(t *testing.T) {
	dir := t.TempDir()
	mustRun(t, "booklet", "../../testdata/tide-lap.yaml", "--out", dir)
	file := filepath.Join(dir, "booklet.pdf")
	pages := wordsOf(t, file)
	if len(pages) > 17 {
		t.Errorf("%d pages", len(pages))
	}
	for n, page := range pages {
		low := 0.0
		for _, w := range page {
			low = max(low, w.b)
		}
		if low < 792/2 {
			t.Errorf("page %d is more than half empty: its words end at %v points", n+1, low)
		}
	}
	src, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer src.Close()
	d, err := pdfread.Read(src)
	if err != nil {
		t.Fatal(err)
	}
	steps := 0
	for n, page := range d.Pages {
		for _, x := range page.Texts {
			if !regexp.MustCompile(`^\d+\.$`).MatchString(x.Value) {
				continue
			}
			steps++
			if !slices.ContainsFunc(page.Paths, func(p measure.Path) bool {
				box := geometry.Polygon(p.Points).Bounds()
				return p.Closed && box.Width() < 0.2 && box.Max.X < x.At.X && box.Max.X > x.At.X-0.25 && box.Min.Y < x.At.Y+0.15 && box.Max.Y > x.At.Y-0.05
			}) {
				t.Errorf("page %d: no box to tick before step %s", n+1, x.Value)
			}
		}
	}
	if steps < 30 {
		t.Errorf("%d steps", steps)
	}
}

// fiveSizes makes the booklet that the goals are for: five sizes on letter
// paper.
func fiveSizes(tb testing.TB, dir string) {
	tb.Helper()
	var talk bytes.Buffer
	if s := run([]string{"booklet", "../../testdata/tide-lap.yaml", "--sizes", "crib,throw,twin,queen,king", "--paper", "letter", "--out", dir, "--force"}, nil, &talk, &talk); s != statusDone {
		tb.Fatal(talk.String())
	}
}

// Five sizes on letter paper take less than 3 MB; the file has a title, an
// author, a language and bookmarks; no text is smaller than 7 points.
func TestBookletFile(t *testing.T) {
	dir := t.TempDir()
	fiveSizes(t, dir)
	file := filepath.Join(dir, "booklet.pdf")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if len(data) > 3<<20 {
		t.Errorf("%d bytes", len(data))
	}
	if !bytes.Contains(data, []byte("/Lang (en)")) {
		t.Error("no language")
	}
	sizes := regexp.MustCompile(`/F\S+ (\d+\.\d+) Tf`).FindAllSubmatch(data, -1)
	if len(sizes) < 100 {
		t.Errorf("%d fonts are chosen", len(sizes))
	}
	for _, m := range sizes {
		if v, _ := strconv.ParseFloat(string(m[1]), 64); v < 7 {
			t.Errorf("a font of %v points", v)
		}
	}
	info := string(outside.Run(t, outside.Tool(t, "pdfinfo"), file))
	for _, want := range []string{"Title:           Tide lap quilt\n", "Page size:       612 x 792 pts (letter)\n"} {
		if !strings.Contains(info, want) {
			t.Errorf("%q is not in\n%s", want, info)
		}
	}
	out := filepath.Join(dir, "o")
	outside.Run(t, outside.Tool(t, "pdftohtml"), "-xml", "-i", file, out)
	xml, err := os.ReadFile(out + ".xml")
	if err != nil {
		t.Fatal(err)
	}
	_, outline, _ := strings.Cut(string(xml), "<outline>")
	last := 0
	for _, want := range []string{"Tide lap quilt", "Before you begin", "Take care", "Fabric", "Cutting the strips", "Sewing the strip sets", "Cutting diamonds and edge triangles",
		"Laying out on the design wall", "Sewing the rows", "Squaring up", "Quilting and binding", "Printing the templates", "Strip gauge and templates", "Try your own colours: crib", "Try your own colours: king"} {
		at := strings.Index(outline, ">"+want+"<")
		if at < last {
			t.Errorf("bookmark %q is missing or out of order in %s", want, outline)
			continue
		}
		last = at
	}
}

// As Poppler sees the pages: no word lies on another or reaches off its page.
func TestBookletWordsKeepApart(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{
		{"tide-lap", "--sizes", "crib,throw,twin,full,queen,king"},
		{"ember-throw", "--sizes", "own,twin", "--metric-twin", "--paper", "a4"},
		{"meadow-cot", "--paper", "letter"},
		{"tide-lap", "--sizes", "crib,king", "--scale-strips", "--paper", "a4"},
	} {
		dir := t.TempDir()
		mustRun(t, append([]string{"booklet", "../../testdata/" + args[0] + ".yaml", "--out", dir}, args[1:]...)...)
		width, height := 612.0, 792.0
		if strings.Contains(strings.Join(args, " "), "a4") {
			width, height = 595.28, 841.89
		}
		words := 0
		for n, page := range wordsOf(t, filepath.Join(dir, "booklet.pdf")) {
			for i, w := range page {
				words++
				if w.x < 18 || w.y < 12 || w.right > width-18 || w.b > height-12 {
					t.Errorf("%v: page %d: %q lies at %v", args, n+1, w.text, w)
				}
				for _, o := range page[:i] {
					// Poppler's boxes are as high as the font, more than any letter.
					const high = 1.5
					if w.x < o.right-0.2 && o.x < w.right-0.2 && w.y < o.b-high && o.y < w.b-high {
						t.Errorf("%v: page %d: %q lies on %q", args, n+1, w.text, o.text)
					}
				}
			}
		}
		if words < 1500 {
			t.Errorf("%v: only %d words", args, words)
		}
	}
}

// With --metric-twin every length stands in both units: 1 in is 2.54 cm.
func TestBookletTwin(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	mustRun(t, "booklet", "../../testdata/tide-lap.yaml", "--sizes", "twin,queen", "--metric-twin", "--out", dir)
	tables := tablesOf(t, wordsOf(t, filepath.Join(dir, "booklet.pdf")), []string{"Twin", "Queen"})
	for i, cover := range [][2]float64{{63, 87}, {84, 92}} {
		p := planSized(t, "../../testdata/tide-lap.yaml", cover)
		w, h := p.Quilt.FinishedWidth, p.Quilt.FinishedHeight
		want := sizeAs(w, h, "in") + " " + sizeAs(2.54*w, 2.54*h, "cm")
		if got := cellsOf(t, tables, "What to buy", "Finished size", 0); got != nil && got[i] != want {
			t.Errorf("%q, want %q", got[i], want)
		}
		// Metres in tenths, rounded up.
		backing := buyAs(p.Backing.Buy, "yd") + " / " + buyAs(math.Ceil((p.Backing.Length+2*float64(p.Backing.Panels))*2.54/10-1e-9)/10, "m")
		if got := cellsOf(t, tables, "What to buy", "Backing", 0); got != nil && got[i] != backing {
			t.Errorf("%q, want %q", got[i], backing)
		}
	}
}

// Five sizes on letter paper: the goal is one second.
func BenchmarkBooklet(b *testing.B) {
	dir := b.TempDir()
	b.ReportAllocs()
	for b.Loop() {
		fiveSizes(b, dir)
	}
}
