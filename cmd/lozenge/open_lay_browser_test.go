// SPDX-License-Identifier: Apache-2.0

package main

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"lozenge/export/outside"
	"lozenge/export/outside/browser"
)

// cell is where a diamond's middle is in the window.
func (s *sitting) cell(column, row int) [2]float64 {
	s.t.Helper()
	return browser.Eval[[2]float64](s.Page, fmt.Sprintf(`(async () => {
		const l = (await (await fetch("view")).json()).lay, b = document.getElementById("quilt"), v = b.viewBox.baseVal;
		b.scrollIntoView({block: "nearest"});
		const r = b.getBoundingClientRect(), c = %d, j = %d;
		return [r.left + (l.first[0] + (c + (j & 1 ? .5 : 0)) * l.step[0]) / v.width * r.width, r.top + (l.first[1] - j * l.step[1]) / v.height * r.height];
	})()`, column, row))
}

// layout is what stands in the pattern.
func (s *sitting) layout() string {
	s.t.Helper()
	return browser.Eval[string](s.Page, `fetch("view").then(r => r.json()).then(v => v.order.filter(p => p.startsWith("layout[")).map(p => v.values[p]).join(", "))`)
}

// differs is the part of a rectangle that two screenshots clearly show otherwise.
func differs(a, b image.Image, of image.Rectangle) (all image.Rectangle) {
	for y := of.Min.Y; y < of.Max.Y; y++ {
		for x := of.Min.X; x < of.Max.X; x++ {
			p, q := color.GrayModel.Convert(a.At(x, y)).(color.Gray), color.GrayModel.Convert(b.At(x, y)).(color.Gray)
			if max(p.Y, q.Y)-min(p.Y, q.Y) > 64 { // more than the edge of a line
				all = all.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return all
}

// Diamonds are turned by mouse, finger and key, in every repeat or one alone, and marked
// ones are repeated; the picture changes where the click was, as Chromium draws it.
func TestDeskLayout(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	s := sits(t, browser.Options{Width: 1280, Height: 900})
	file := filepath.Join(s.folder, "q.yaml")
	if err := os.WriteFile(file, []byte("unit: in\nstrips: [{cut: 3, fabric: a}, {cut: 3, fabric: b}]\nfabrics: {a: {colors: [navy]}, b: {colors: [linen]}}\nsetting: zigzag # mine\ncolumns: 6\nrows: 7\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	s.again()
	s.click("q.yaml")
	s.settled()
	is := func(want string) {
		t.Helper()
		s.settled()
		if got := s.layout(); got != want {
			t.Errorf("the layout is %q, not %q", got, want)
		}
	}
	s.Do(chromedp.MouseClickXY(s.cell(3, 3)[0], s.cell(3, 3)[1]))
	is("") // a setting is not changed by a click
	s.click("#by-hand")
	s.WaitFor(`document.activeElement.id === "cell"`)
	is("L, R")
	s.Look("by-hand")
	at := s.cell(3, 5)
	s.Do(chromedp.MouseClickXY(at[0], at[1]))
	is("r, R")
	s.click("#undo")
	is("L, R")

	// One alone: nothing else of the quilt looks otherwise.
	choose := func(how string) {
		t.Helper()
		s.Run(fmt.Sprintf(`(e => { e.value = %q; e.dispatchEvent(new Event("change")); })(document.getElementById("click"))`, how))
	}
	choose("alone")
	s.Run(`document.styleSheets[0].insertRule("#over { visibility: hidden }")`)
	at = s.cell(1, 1)
	s.Do(chromedp.MouseClickXY(at[0], at[1]))
	s.settled()
	before := s.Screenshot()
	at = s.cell(4, 4)
	s.Do(chromedp.MouseClickXY(at[0], at[1]))
	s.settled()
	box := browser.Eval[[]float64](s.Page, `[...document.querySelectorAll("#quilt #mark *")].map(e => e.getBoundingClientRect()).filter(r => r.height > 100).map(r => [r.left, r.top, r.width, r.height]).at(-1)`)
	quilt := image.Rect(int(box[0])+2, int(box[1])+2, int(box[0]+box[2])-2, int(box[1]+box[3])-2)
	changed := differs(before, s.Screenshot(), quilt)
	wide, high := box[2]/5.5, box[3]/4 // of a diamond: the quilt is 5 1/2 wide and 4 high
	want := image.Rect(int(at[0]-wide/2), int(at[1]-high/2), int(at[0]+wide/2), int(at[1]+high/2)).Inset(-3)
	if !changed.In(want) || changed.Dx() < int(wide/2) || changed.Dy() < int(high*0.4) {
		t.Errorf("a click at %v changed %v, not what a diamond of %.0f by %.0f covers", at, changed, wide, high)
	}
	if rows := strings.Split(s.layout(), ", "); len(rows) != 9 || rows[4] != "R R R R L R" || rows[0] != "L L L L L L" {
		t.Errorf("alone: %q", rows)
	}
	s.Run(`document.styleSheets[0].deleteRule(0)`)
	s.Look("alone")

	// By keys: to the right, up, marked with Shift, and repeated.
	s.Run(`document.getElementById("cell").focus()`)
	s.Key("Shift+ArrowLeft", "Shift+ArrowUp")
	s.WaitFor(`document.getElementById("lies").textContent.endsWith("2 by 2 marked")`)
	s.Look("marked")
	s.click("#repeat")
	is("L L, L R")
	s.WaitFor(`document.activeElement.id === "cell"`)
	choose("every")
	s.Key("Home", "Enter")
	s.WaitFor(`document.getElementById("cell").textContent === "row 6 from below, diamond 1: leans right, upside down"`)
	is("r L, L R")
	s.Key("ArrowDown", " ")
	is("r L, r R")

	// With a finger, and by dragging.
	at = s.cell(1, 2)
	s.Do(chromedp.TapXY(at[0], at[1]))
	is("r L, r L")
	choose("mark")
	from, to := s.cell(0, 1), s.cell(1, 3)
	s.Do(mouse("mousePressed", from), mouse("mouseMoved", to), mouse("mouseReleased", to))
	s.WaitFor(`document.getElementById("lies").textContent.endsWith("2 by 3 marked")`)
	s.click("#unmark")

	// One to begin with, and a setting in its place again.
	s.Run(`document.querySelectorAll("details").forEach(d => d.open = true)`)
	s.click(`[data-layout="peaks"]`)
	is("R l")
	s.WaitFor(`document.querySelector('[data-layout="peaks"]').ariaPressed === "true" && [...document.querySelectorAll("#fields img[data-key=layout]")].every(i => !i.hidden && i.complete)`)
	s.Look("layouts")
	s.click(`[name="setting"][value="one-way"]`)
	is("")
	s.click("#save")
	s.WaitFor(`document.getElementById("file").textContent === "q.yaml"`)
	if got := string(fileOf(t, file)); got != "unit: in\nstrips: [{cut: 3, fabric: a}, {cut: 3, fabric: b}]\nsetting: one-way\nfabrics: {a: {colors: [navy]}, b: {colors: [linen]}}\ncolumns: 6\nrows: 7\n" {
		t.Errorf("%s", got)
	}
	if e := s.Errors(); len(e) > 0 {
		t.Errorf("%q", e)
	}
}

// mouse is what the left button of a mouse does at a place.
func mouse(what input.DispatchMouseEventType, at [2]float64) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, t *chromedp.Target) (none chromedp.Void, err error) {
		_, err = cdp.Call(ctx, t, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: what, X: at[0], Y: at[1], Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1})
		return none, err
	}
}
