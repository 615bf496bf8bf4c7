// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"lozenge/calibrate"
	"lozenge/cmd/internal/pattern"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
)

// tab goes on by Tab until the control of some words, name or id has the focus.
func (s *sitting) tab(words string) {
	s.t.Helper()
	for range 300 {
		s.Key("Tab")
		if browser.Eval[bool](s.Page, fmt.Sprintf(`(e => [e?.textContent.trim(), e?.name, e?.id, e?.labels?.[0]?.textContent.trim()].includes(%q))(document.activeElement)`, words)) {
			return
		}
	}
	s.t.Fatalf("Tab never comes to %s", words)
}

// points clicks with the mouse in the middle of what a selector names, or of the
// button of a name.
func (s *sitting) points(what string) {
	s.t.Helper()
	s.WaitFor(fmt.Sprintf(`(e => e && !e.disabled && e.checkVisibility())(%s)`, found(what)))
	at := browser.Eval[[2]float64](s.Page, fmt.Sprintf(`(e => { e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })(%s)`, found(what)))
	s.Do(chromedp.MouseClickXY(at[0], at[1]))
}

// keeps keeps a calibration of a mat for the page at the table, as another day left it.
func (s *sitting) keeps(mat virtual.Projector) {
	s.t.Helper()
	given, err := mat.Calibrated(calibrate.Grid{Columns: 5, Rows: 5})
	if err != nil {
		s.t.Fatal(err)
	}
	data, err := json.Marshal(struct {
		Mat string `json:"mat"`
		calibrate.File
	}{"kitchen", given})
	if err != nil {
		s.t.Fatal(err)
	}
	folder := filepath.Join(s.own, "lozenge", "calibrations")
	if err := os.MkdirAll(folder, 0o700); err != nil {
		s.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "kitchen.json"), data, 0o600); err != nil {
		s.t.Fatal(err)
	}
}

// saved is the pattern that was saved.
func (s *sitting) saved(name string) *pattern.Pattern {
	s.t.Helper()
	p, err := pattern.Read(filepath.Join(s.folder, name), nil)
	if err != nil {
		s.t.Fatal(err)
	}
	return p
}

// atTable opens the page under the projector that the page at the desk leads to.
func (s *sitting) atTable(mat virtual.Projector) *person {
	s.t.Helper()
	s.WaitFor(`document.getElementById("to-table")?.href`)
	address := browser.Eval[string](s.Page, `document.getElementById("to-table").href`)
	return atTheMat(s.t, &running{address: address}, browser.Options{Width: 1920, Height: 1080}, mat)
}

// From nothing to a saved pattern, made files and the first cut at the table, with the
// mouse alone, in centimetres.
func TestDeskWayByMouse(t *testing.T) {
	t.Parallel()
	mat := virtual.Tilted()
	s := sits(t, browser.Options{Width: 1280, Height: 900})
	s.keeps(mat)
	s.Look("begin")
	s.points("A new quilt in centimetres")
	s.settled()
	s.points(`[name="setting"][value="chevron"]`)
	s.settled()
	s.points("#by-hand")
	s.WaitFor(`!document.getElementById("cells").hidden`)
	at := s.cell(2, 3)
	s.Do(chromedp.MouseClickXY(at[0], at[1]))
	s.settled()
	s.Look("turned")
	s.points(`[data-title="Fabrics and colours"] summary`)
	s.points("Add a colour")
	s.settled()
	s.points("#undo")
	s.settled()
	s.points("#save")
	s.WaitFor(`document.getElementById("naming").open`)
	s.Look("naming")
	s.points("#name-it")
	s.WaitFor(`document.getElementById("file").textContent === "my-quilt.yaml"`)
	if p := s.saved("my-quilt.yaml"); p.Spec.Unit != geometry.Centimetre || p.Spec.Layout.String() != "L, R" && strings.Join(p.Spec.Layout.Rows(), ",") != "R,R" && p.Spec.Layout.String() != "one-way" {
		t.Errorf("%+v", p.Spec.Layout)
	}
	s.points("#make")
	s.WaitFor(`document.getElementById("made").textContent.startsWith("Made")`)
	s.Run(`document.getElementById("made").scrollIntoView()`)
	s.Look("made")
	s.points("#table")
	q := s.atTable(mat)
	s.Look("to-the-table")
	for n := 0; q.run.view(t).Stage != "cut" || !strings.HasPrefix(q.run.view(t).Say, "Cut 1"); n++ {
		if n > 12 {
			t.Fatalf("no cut: %+v", q.run.view(t))
		}
		before := q.settled()
		q.page.Do(chromedp.MouseClickXY(960, 700))
		q.answered(before)
	}
	q.page.Look("first-cut")
	if e := append(s.Errors(), q.page.Errors()...); len(e) > 0 {
		t.Errorf("%q", e)
	}
}

// The same with the keyboard alone, in inches: every control is reached by Tab.
func TestDeskWayByKeyboard(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	mat := virtual.Tilted()
	s := sits(t, browser.Options{Width: 1280, Height: 900})
	if !outside.Full() {
		s.keeps(mat)
	}
	s.tab("A new quilt in inches")
	s.Key("Enter")
	s.settled()
	before := s.text("facts")
	s.tab("strips[0].cut")
	s.Key("Control+a")
	s.writes("2 1/")
	s.WaitFor(`[...document.querySelectorAll('#fields [role=alert]')].some(p => !p.hidden && p.textContent.includes("2 1/")) && document.activeElement.ariaInvalid === "true"`)
	s.Look("wrong")
	if now := s.text("facts"); !strings.Contains(now, "9 columns, 12 rows") {
		t.Errorf("the last good quilt is gone: %s", now)
	}
	s.Key("Control+a")
	s.writes("3")
	s.settled()
	s.tab("columns")
	s.Key("Control+a")
	s.writes("5")
	s.settled()
	if now := s.text("facts"); !strings.Contains(now, "5 columns, 12 rows") {
		t.Errorf("%s", now)
	}
	s.Key("Control+z", "Control+z")
	s.settled()
	if now := s.text("facts"); now != before {
		t.Errorf("undone: %s", now)
	}
	s.Key("Control+y", "Control+y")
	s.settled()
	s.tab("setting")
	s.Key("ArrowRight")
	s.settled()
	s.tab("by-hand")
	s.Key("Enter")
	s.WaitFor(`document.activeElement.id === "cell"`)
	s.Key("ArrowUp", "ArrowRight", "Enter")
	s.settled()
	s.Look("keys-turned")
	s.Key("Control+s")
	s.WaitFor(`document.getElementById("naming").open`)
	s.Key("Control+a")
	s.writes("keys")
	s.Key("Enter")
	s.WaitFor(`document.getElementById("file").textContent === "keys.yaml"`)
	if p := s.saved("keys.yaml"); p.Spec.Columns != 5 || p.Spec.Strips[0].Cut != 3 || strings.Join(p.Spec.Layout.Rows(), ",") != "R,R" && p.Spec.Layout.String() != "one-way" {
		t.Errorf("%+v", p.Spec)
	}
	s.tab("Make")
	s.Run(`new MutationObserver(() => { window.far = document.querySelector("#made progress")?.max || window.far; }).observe(document.getElementById("made"), { childList: true })`)
	s.Key("Enter")
	s.WaitFor(`document.getElementById("made").textContent.startsWith("Made") && window.far > 5`)
	if _, err := os.Stat(filepath.Join(s.folder, "keys", "booklet.pdf")); err != nil {
		t.Error(err)
	}
	s.tab("Read")
	s.Key("Enter")
	s.WaitFor(`!document.getElementById("paper").hidden`)
	s.Key("Enter") // Back has the focus
	s.WaitFor(`document.activeElement.id === "read"`)
	s.tab("To the table")
	s.Key("Enter")
	s.WaitFor(`document.getElementById("to-table")`)
	s.tab("to-table")
	q := s.atTable(mat)
	if outside.Full() {
		q.measures(q.calibrates())
	}
	for n := 0; q.run.view(t).Stage != "cut" || !strings.HasPrefix(q.run.view(t).Say, "Cut 1"); n++ {
		if n > 12 {
			t.Fatalf("no cut: %+v", q.run.view(t))
		}
		q.press(" ")
	}
	if e := append(s.Errors(), q.page.Errors()...); len(e) > 0 {
		t.Errorf("%q", e)
	}
}
