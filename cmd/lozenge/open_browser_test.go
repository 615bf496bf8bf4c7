// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/geometry"
)

// sitting is somebody at the page on the computer.
type sitting struct {
	*browser.Page
	t      *testing.T
	folder string // with the patterns
	own    string // with what is kept for her
	size   browser.Options
}

// sits opens the page on a folder of her own.
func sits(t *testing.T, o browser.Options, args ...string) *sitting {
	t.Helper()
	folder := t.TempDir()
	own := t.TempDir()
	r := startPage(t, own, append([]string{"open", folder, "--no-browser"}, args...)...)
	s := &sitting{Page: browser.Open(t, o), t: t, folder: folder, own: own, size: o}
	s.arrive(r.address)
	return s
}

// arrive loads the page, and waits until something is seen of it.
func (s *sitting) arrive(address string) {
	s.t.Helper()
	s.Navigate(address)
	s.WaitFor(`!document.getElementById("begin").hidden || !document.getElementById("try").hidden`)
}

// again loads the page anew.
func (s *sitting) again() {
	s.t.Helper()
	s.arrive(browser.Eval[string](s.Page, `location.href`))
}

// click clicks what a selector names, or the button of a name.
func (s *sitting) click(what string) {
	s.t.Helper()
	s.WaitFor(fmt.Sprintf(`(() => { const b = %s; if (!b || b.disabled) return false; b.scrollIntoView({block: "center"}); b.click(); return true; })()`, found(what)))
}

// found is an element by its selector or, of a button, by what it says.
func found(what string) string {
	return fmt.Sprintf(`(document.querySelector(%q.startsWith("#") || %[1]q.includes("[") ? %[1]q : "none") ?? [...document.querySelectorAll("button")].find(b => b.textContent === %[1]q && b.offsetParent))`, what)
}

// types writes into a field as somebody who types does.
func (s *sitting) types(name, text string) {
	s.t.Helper()
	s.WaitFor(fmt.Sprintf(`(() => { const e = document.querySelector('[name="%s"]'); if (!e) return false; e.closest("details").open = true; e.focus(); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return true; })()`, name, text))
}

// settled waits until what is seen is of the newest text.
func (s *sitting) settled() {
	s.t.Helper()
	s.WaitFor(`document.body.dataset.waiting === "0" && document.getElementById("quilt")?.dataset.version === document.body.dataset.version && document.getElementById("wait").textContent === ""`)
}

// Look keeps pictures of the page, where they are asked for: as it is, on a small phone,
// and dark on a large screen.
func (s *sitting) Look(name string) {
	s.t.Helper()
	if os.Getenv("LOZENGE_LOOK") == "" {
		return
	}
	s.Page.Look(name)
	s.Resize(browser.Options{Width: 360, Height: 740})
	s.Page.Look(name + "-360")
	s.Dark(true)
	s.Resize(browser.Options{Width: 1920, Height: 1080})
	s.Page.Look(name + "-dark")
	s.Dark(false)
	s.Resize(s.size)
}

func (s *sitting) text(id string) string {
	return browser.Eval[string](s.Page, fmt.Sprintf(`document.getElementById(%q).textContent`, id))
}

// How long it takes from a change of a quilt of 2,500 diamonds to its new picture, and
// how much of a processor's time the server takes for it.
func BenchmarkDeskChange(b *testing.B) {
	folder := b.TempDir()
	text := "unit: in\nstrips:\n  - {cut: 2 1/2, fabric: a}\n  - {cut: 2 1/2, fabric: b}\ncolumns: 50\nrows: 50\nfabrics:\n  a: {colors: [\"#203040\", \"#406080\", \"#80a0c0\", \"#c0d0e0\"]}\n  b: {colors: [linen]}\n"
	if err := os.WriteFile(filepath.Join(folder, "q.yaml"), []byte(text), 0o666); err != nil {
		b.Fatal(err)
	}
	r := startPage(b, b.TempDir(), "open", filepath.Join(folder, "q.yaml"), "--no-browser")
	page := browser.Open(b, browser.Options{})
	page.Navigate(r.address)
	page.WaitFor(`document.body.dataset.version && document.getElementById("quilt")?.dataset.version === document.body.dataset.version`)
	var all []float64
	for i := 0; b.Loop(); i++ {
		took := browser.Eval[float64](page, fmt.Sprintf(`new Promise(done => {
			const e = document.querySelector('[name="seam"]'), was = document.body.dataset.version, begun = performance.now();
			e.value = %q; e.dispatchEvent(new Event("input"));
			const look = () => document.getElementById("quilt").dataset.version !== was && document.getElementById("quilt").dataset.version === document.body.dataset.version ? requestAnimationFrame(() => done(performance.now() - begun)) : setTimeout(look, 1);
			look();
		})`, []string{"1/4", "3/8"}[i%2]))
		all = append(all, took)
	}
	if most := r.peak(b); most > 100<<10 {
		b.Errorf("the server took %d kB", most)
	} else {
		b.ReportMetric(float64(most>>10), "server-MB")
	}
	r.Process.Signal(os.Interrupt)
	r.Wait()
	b.ReportMetric(float64((r.ProcessState.UserTime()+r.ProcessState.SystemTime()).Milliseconds())/float64(len(all)), "server-ms")
	slices.Sort(all)
	b.ReportMetric(all[len(all)/2], "median-ms")
	b.ReportMetric(all[len(all)*95/100], "p95-ms")
}

// axe-core (npm) finds no serious fault on the page at any stage, light or dark,
// small or large; a second page follows the first; and when the program ends, the
// page says so and keeps what is on it.
func TestDeskIsOpenToAll(t *testing.T) {
	t.Parallel()
	axe := outside.AxeCore(t)
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "tide.yaml"), fileOf(t, "../../testdata/tide-lap.yaml"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "letter.yaml"), []byte("Dear Ida,\n  how are you?\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	r := startPage(t, t.TempDir(), "open", folder, "--no-browser")
	size := browser.Options{Width: 1280, Height: 900}
	s := &sitting{Page: browser.Open(t, size), t: t, folder: folder, size: size}
	s.Navigate(r.address)
	check := func(at string) {
		t.Helper()
		if f := faults(t, s.Page, axe); len(f) > 0 {
			t.Errorf("%s: %s", at, strings.Join(f, "\n"))
		}
		if wide := browser.Eval[bool](s.Page, `document.documentElement.scrollWidth > innerWidth + 1`); wide {
			t.Errorf("%s: wider than the window", at)
		}
		s.Look(at)
	}
	s.WaitFor(`document.getElementById("patterns").children.length === 2`)
	check("folder")
	s.click("#have")
	s.WaitFor(`document.getElementById("scraps").open`)
	check("scraps")
	s.click("#scrap-not")
	s.click("letter.yaml")
	s.WaitFor(`document.querySelector("#others [role=alert]")`)
	check("no-pattern")
	s.click("Another quilt")
	s.click("tide.yaml")
	s.settled()
	s.Run(`document.querySelectorAll("details").forEach(d => d.open = true)`)
	if high := browser.Eval[float64](s.Page, `document.getElementById("quilt").getBoundingClientRect().height`); high < 400 {
		t.Errorf("the quilt is %v pixels high", high)
	}
	check("all-fields")
	s.click("#by-hand")
	s.WaitFor(`document.activeElement.id === "cell"`)
	s.Key("Shift+ArrowUp", "Shift+ArrowRight")
	check("by-hand")
	s.click("#undo")
	s.settled()
	s.Dark(true)
	check("dark")
	s.Dark(false)
	s.click("#read")
	s.WaitFor(`!document.getElementById("paper").hidden`)
	check("paper")
	s.click("#back")
	s.Resize(browser.Options{Width: 360, Height: 700})
	check("small")
	second := s.Another(t, browser.Options{})
	second.Navigate(r.address)
	second.WaitFor(`document.getElementById("quilt")`)
	s.types("seam", "3/8")
	s.settled()
	second.WaitFor(`document.querySelector('[name="seam"]').value === "3/8" && document.getElementById("quilt").dataset.version === document.body.dataset.version`)
	r.Process.Kill()
	s.WaitFor(`!document.getElementById("lost").hidden`)
	s.types("seam", "1/2")
	if got := browser.Eval[string](s.Page, `document.querySelector('[name="seam"]').value`); got != "1/2" {
		t.Errorf("%q", got)
	}
}

// A drawing that is dropped is measured; a table of scraps that lies in the folder
// plans the quilt, and the quilts that it makes are offered.
func TestDeskMeasuresAndChooses(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	s := sits(t, browser.Options{Width: 1280, Height: 900})
	if err := os.WriteFile(filepath.Join(s.folder, "bin.csv"), []byte("fabric,name,color,width,length,count\nbark,,#5b4636,2 1/2,40,9\nblossom,petal,#f3d3dc,2 1/2,40,9\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	s.Run(`const file = new DataTransfer(); file.items.add(new File(["no drawing"], "x.svg")); document.getElementById("drawing").files = file.files; document.getElementById("drawing").dispatchEvent(new Event("change"))`)
	s.WaitFor(`document.getElementById("verdict").textContent.length > 10`)
	s.click("A new quilt in inches")
	s.settled()
	s.WaitFor(`(() => { const e = document.getElementById("size-by"); e.closest("details").open = true; e.value = "3"; e.dispatchEvent(new Event("change")); return true; })()`)
	s.WaitFor(`document.querySelectorAll("#choices button").length > 2`)
	s.settled()
	s.Look("scraps")
	s.WaitFor(`(() => { document.querySelectorAll("#choices button")[1].click(); return true; })()`)
	s.WaitFor(`document.querySelectorAll("#choices button")[1]?.getAttribute("aria-pressed") === "true"`)
	s.Look("chosen")
}

// writes types a text where she is.
func (s *sitting) writes(text string) {
	s.t.Helper()
	for _, letter := range text {
		s.Key(string(letter))
	}
}

// A table of scraps is typed; what is wrong with it stands beside it; then the quilts
// that it makes are offered, and one of them becomes the pattern. A table that is
// dropped does the same, and writes over no other.
func TestDeskHasStrips(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	s := sits(t, browser.Options{Width: 1280, Height: 900})
	s.click("#have")
	s.WaitFor(`document.activeElement.dataset.key === "fabric"`)
	for _, row := range []string{"dark bark||#5b4636|2 1/2|40|9", "blossom|petal||2 1/2|4x|9"} {
		for _, cell := range strings.Split(row, "|") {
			s.writes(cell)
			s.Key("Tab")
			if browser.Eval[bool](s.Page, `document.activeElement.type === "color"`) {
				s.Key("Tab")
			}
		}
	}
	s.Look("typed")
	s.click("Show what they make")
	s.WaitFor(`document.activeElement.dataset.key === "length" && document.activeElement.ariaInvalid === "true" && document.getElementById("scrap-wrong").textContent.startsWith("scrap 2: length")`)
	s.Look("typed-wrong")
	s.Key("Control+a")
	s.writes("38")
	s.click("Show what they make")
	s.WaitFor(`document.querySelectorAll("#choices button").length > 2`)
	// offered waits for the small pictures, too: those of an older table are not there.
	offered := func() {
		t.Helper()
		s.settled()
		s.WaitFor(`[...document.querySelectorAll("#choices img")].every(i => i.complete)`)
	}
	offered()
	s.Look("choices")
	if said := s.text("choices"); !strings.HasSuffix(said, "; choose another one above.") {
		t.Errorf("%s", said)
	}
	want := browser.Eval[string](s.Page, `(b => { b.click(); return b.innerText.match(/\d+ by \d+/)[0]; })(document.querySelectorAll("#choices button")[1])`)
	s.WaitFor(`document.querySelectorAll("#choices button")[1]?.getAttribute("aria-pressed") === "true"`)
	offered()
	if said := s.text("choices"); strings.Contains(said, "null") {
		t.Errorf("%s", said)
	}
	s.click("#save")
	s.WaitFor(`document.getElementById("naming").open`)
	s.click("#name-it")
	s.WaitFor(`document.getElementById("file").textContent === "my-quilt.yaml"`)
	p, err := pattern.Read(filepath.Join(s.folder, "my-quilt.yaml"), nil)
	if err != nil || fmt.Sprintf("%d by %d", p.Spec.Columns, p.Spec.Rows) != want || p.Spec.Strips[0].Fabric != "dark-bark" {
		t.Errorf("%v %+v, not %s", err, p, want)
	}
	if table := string(fileOf(t, filepath.Join(s.folder, "my-scraps.csv"))); table != "fabric,name,color,width,length,count\ndark-bark,,#5b4636,2 1/2,40,9\nblossom,petal,,2 1/2,38,9\n" {
		t.Errorf("%s", table)
	}
	// What was typed can be changed: the table that was used stays as it is, the
	// size too.
	s.click("Change its lines")
	s.WaitFor(`document.getElementById("scraps").open && document.querySelector('[aria-label="scrap 2"] [data-key="length"]').value === "38"`)
	s.Look("changed")
	s.Run(`document.querySelector('[aria-label="scrap 2"] [data-key="length"]').select()`)
	s.writes("40")
	s.click("Show what they make")
	s.WaitFor(`document.querySelector('[name="scraps"]')?.value === "my-scraps-2.csv" && !document.getElementById("scraps").open`)
	offered()
	if table, size := string(fileOf(t, filepath.Join(s.folder, "my-scraps-2.csv"))), browser.Eval[string](s.Page, `[...document.querySelectorAll('[name="columns"], [name="rows"]')].map(i => i.value).join(" by ")`); !strings.HasSuffix(table, "blossom,petal,,2 1/2,40,9\n") || size != want {
		t.Errorf("%s %s, not %s", table, size, want)
	}
	s.click("Another quilt")
	s.WaitFor(`!document.getElementById("begin").hidden`)
	s.Run(`(() => { const d = new DataTransfer(); d.items.add(new File(["fabric,width,length,count\nmoss,6,50,20\n"], "my-scraps.csv")); document.getElementById("scrap-unit").value = "cm"; window.dispatchEvent(new DragEvent("drop", { dataTransfer: d })); })()`)
	s.WaitFor(`document.querySelectorAll("#choices button").length > 2 && document.querySelector('[name="scraps"]')?.value === "my-scraps-3.csv"`)
	if e := s.Errors(); len(e) > 0 {
		t.Errorf("%q", e)
	}
}

// What is read has swatches and drawings, one of each row, and is printed in black on
// white, nothing cut off, also from a dark page; poppler reads what Chromium prints.
func TestDeskReads(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	s := sits(t, browser.Options{Width: 1280, Height: 900})
	text := "name: Low tide\nunit: cm\nstrips: [{cut: 6.5, fabric: tide}, {cut: 6.5, fabric: sand}]\ncolumns: 4\nrows: 5\nfabrics: {tide: {colors: [{name: surf, color: \"#2f7f9a\"}, navy]}, sand: {colors: [linen]}}\n"
	if err := os.WriteFile(filepath.Join(s.folder, "tide.yaml"), []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	s.Dark(true)
	s.again()
	s.click("tide.yaml")
	s.settled()
	s.click("#read")
	s.WaitFor(`!document.getElementById("paper").hidden && [...document.querySelectorAll("#paper img")].every(i => i.complete && i.naturalWidth > 0)`)
	s.Look("read-dark")
	titles := browser.Eval[[]string](s.Page, `[...document.querySelectorAll("#paper figcaption")].map(f => f.textContent)`)
	for _, want := range []string{"The quilt", "The ways in which strip sets are cut", "From which strip set each piece is cut", "The whole quilt for sewing", "Row A", "Row G"} {
		if !slices.Contains(titles, want) {
			t.Errorf("no drawing of %s: %q", want, titles)
		}
	}
	if said := s.text("paper"); strings.Contains(said, "#") || strings.Contains(said, "lozenge sewing") {
		t.Errorf("codes: %s", said)
	}
	if n := browser.Eval[int](s.Page, `document.querySelectorAll("#paper .swatch").length`); n < 10 {
		t.Errorf("%d swatches", n)
	}
	if within := browser.Eval[bool](s.Page, `[...document.querySelectorAll("#paper .swatch")].some(b => /^surfaces/.test(b.nextSibling.textContent + b.nextSibling.nextSibling?.textContent))`); within {
		t.Error("a swatch stands within a word")
	}
	file := filepath.Join(t.TempDir(), "read.pdf")
	if dir := os.Getenv("LOZENGE_LOOK"); dir != "" {
		file = filepath.Join(dir, "read.pdf")
	}
	if err := os.WriteFile(file, s.PDF(), 0o666); err != nil {
		t.Fatal(err)
	}
	printed := string(outside.Run(t, outside.Tool(t, "pdftotext"), "-layout", file, "-"))
	for _, want := range []string{"Low tide", "What to buy", "Sewing order", "join 1", "Row G", "must measure"} {
		if !strings.Contains(printed, want) {
			t.Errorf("not printed: %s", want)
		}
	}
	for _, no := range []string{"Print", "Undo", "usable width"} {
		if strings.Contains(printed, "\n"+no) {
			t.Errorf("printed: %s", no)
		}
	}
	shot := filepath.Join(t.TempDir(), "page")
	outside.Run(t, outside.Tool(t, "pdftoppm"), "-r", "30", "-gray", file, shot)
	pages, err := filepath.Glob(shot + "*")
	if err != nil || len(pages) < 3 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	for _, page := range pages {
		data := fileOf(t, page) // PGM: the last bytes are the lower right corner
		if slices.Max(data[len(data)-20:]) < 250 {
			t.Errorf("%s has no white ground", filepath.Base(page))
		}
	}
	if e := s.Errors(); len(e) > 0 {
		t.Errorf("%q", e)
	}
}

// What is wrong stands beside its field, whatever the field: what is there, what is
// missing, what is said twice.
func TestDeskProblems(t *testing.T) {
	t.Parallel()
	s := sits(t, browser.Options{Width: 1280, Height: 900})
	s.click("A new quilt in inches")
	s.settled()
	starter := string(pattern.Starter(geometry.Inch))
	type wrong struct{ Text, Field string }
	var all []wrong
	for path, value := range map[string]string{
		"unit": "inch", "strips[0].cut": "2 1/", "strips[1].fabric": "a/b", "columns": "0", "rows": "3.5", "fabrics.bark.from": "shop", "fabrics.blossom.colors[2]": "#12",
		"fabrics.bark.strip_length": "x", "angle": "5", "seam": "0", "tips": "cut", "usable_width": "-1", "setting": "zig", "color_order": "x", "edges": "all", "stagger": "yes", "end_trim": "50",
		"spare": "-1", "sewn_width": "9", "face": "left", "edge_grain": "x", "shrinkage": "200", "binding.cut": "x", "batting.extra": "x", "backing.usable_width": "0", "cutter.gap": "x", "straighten": "x",
		"name": strings.Repeat("x", 200), "note": strings.Repeat("x", 700),
	} {
		text, err := pattern.Set(starter, path, value)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, wrong{text, path})
	}
	swap := func(old, new, field string) {
		if !strings.Contains(starter, old) {
			t.Fatalf("no %q", old)
		}
		all = append(all, wrong{strings.Replace(starter, old, new, 1), field})
	}
	swap("unit: in\n", "", "unit")
	swap("cut: 2 1/2, ", "", "strips[0].cut")
	swap("columns: 9\nrows: 12\n", "", "columns")
	swap("columns: 9\n", "", "rows")
	swap("columns: 9\n", "finish: {width: 3, height: 4}\ncolumns: 9\n", "finish.width")
	swap("#layout: [R L, L R]", "layout: [R L, L x]", "layout")
	swap("#layout: [R L, L R]", "layout: [R]\nsetting: zigzag", "layout")
	swap("#borders: [{cut: 3 1/2, fabric: bark, corners: butted}]", "borders: [{cut: 0, fabric: bark}]", "borders[0].cut")
	swap("#borders: [{cut: 3 1/2, fabric: bark, corners: butted}]", "borders: bark", "borders")
	swap("#scraps: my-scraps.csv", "scraps: ../bin.csv", "scraps")
	for _, w := range all {
		s.Run(fmt.Sprintf(`(e => { e.value = %q; e.dispatchEvent(new Event("change")); })(document.getElementById("whole"))`, w.Text))
		s.WaitFor(`document.body.dataset.waiting === "0" && document.getElementById("whole").value.length > 0`)
		id := "w-f-" + regexp.MustCompile(`[^A-Za-z0-9_-]`).ReplaceAllStringFunc(w.Field, func(c string) string { return fmt.Sprintf(".%x", c[0]) })
		where := browser.Eval[[]string](s.Page, `[...document.querySelectorAll("#fields [role=alert]")].filter(p => p.checkVisibility() && p.textContent.trim()).map(p => p.id || "others")`)
		if !slices.Equal(where, []string{id}) && !slices.Equal(where, []string{id, id}) {
			t.Errorf("%s is told at %q, not at %s\n%s", w.Field, where, id, browser.Eval[string](s.Page, `[...document.querySelectorAll("#fields [role=alert]")].map(p => p.textContent).join(" ")`))
		}
	}
	if e := s.Errors(); len(e) > 0 {
		t.Errorf("%q", e)
	}
}
