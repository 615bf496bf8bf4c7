// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"image"
	"strings"
	"testing"

	goqr "github.com/piglig/go-qr"
	scale "golang.org/x/image/draw"

	"lozenge/calibrate"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
)

// phone is a phone's page in her other hand.
func (q *person) phone() *person {
	q.t.Helper()
	p := &person{t: q.t, page: browser.Open(q.t, browser.Options{Width: 360, Height: 740, Scale: 2}), run: q.run, mat: q.mat}
	p.page.Navigate(q.run.address + "hand")
	p.page.WaitFor(`document.body?.dataset.serial > 0`)
	return p
}

// taps taps a button and waits for what comes of it.
func (q *person) taps(selector string) shown {
	q.t.Helper()
	before := q.settled()
	q.page.Tap(selector)
	q.answered(before)
	return q.run.view(q.t)
}

// padTaps taps the button of the pad with that on it.
func (q *person) padTaps(label string) {
	q.t.Helper()
	q.page.Run(fmt.Sprintf(`[...document.querySelectorAll("#pad button")].forEach(b => b.toggleAttribute("data-next", b.textContent === %q))`, label))
	q.page.Tap("#pad [data-next]")
}

// padTypes types a length on the pad, into the field that is asked for.
func (q *person) padTypes(text string) {
	q.t.Helper()
	for _, r := range text {
		q.padTaps(string(r))
	}
}

// padReads types a reading: whole inches by digits, the fraction by the
// buttons that add one.
func (q *person) padReads(inches float64) {
	q.t.Helper()
	n := int(inches*32 + 0.5)
	q.padTypes(fmt.Sprint(n / 32))
	for _, part := range []int{16, 8, 4, 2, 1} {
		if n%32&part != 0 {
			q.padTaps(fmt.Sprintf("+1/%d", 32/part))
		}
	}
}

// readsAll reads all crosses on the pad.
func (p *person) readsAll(v shown) shown {
	p.t.Helper()
	targets, err := calibrate.Targets(p.mat.Screen, calibrate.Grid{Columns: 3, Rows: 3}, 1)
	if err != nil {
		p.t.Fatal(err)
	}
	for i, at := range targets {
		p.stage(v, "read")
		x, y := p.mat.Land(at.U, at.V)
		p.padReads(x)
		if i%2 == 0 {
			p.taps("#on") // asks for the second
		} else {
			p.padTypes("⇥")
		}
		p.padReads(y)
		if i == 1 {
			p.page.Look("read")
		}
		v = p.taps("#on")
		if v.Field != nil && v.Field.Wrong != "" {
			p.t.Fatalf("%q", v.Field.Wrong)
		}
	}
	return v
}

// From the first screen to the last piece without a keyboard: readings and
// crosses from the phone, cuts from the phone, a pedal and taps on the picture.
func TestWithoutAKeyboard(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml")
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080, FullScreen: true}, virtual.Tilted())
	q.stage(q.press("n"), "begin")
	p := q.phone()
	p.page.Look("name")
	v := p.taps("#on")
	v = p.readsAll(v)
	q.page.Look("read")
	if !strings.HasPrefix(v.Say, "The readings fit together") {
		t.Fatalf("%q %q", v.Say, v.More)
	}
	v = p.taps("#on")
	for n := 0; v.Cross != nil; n++ {
		q.stage(v, "move")
		if n == 1 {
			p.page.Look("move")
		}
		// One tap to the right and one back; the rest as the keyboard has it.
		p.taps(`[data-way="1 0"]`)
		p.taps(`[data-way="-1 0"]`)
		m := twoLines.FindStringSubmatch(v.Say)
		var x, y float64
		fmt.Sscan(m[1], &x)
		fmt.Sscan(m[2], &y)
		u, w := q.mat.Lights(x, y)
		if err := r.do(fmt.Sprintf(`{"do":"nudge","right":%v,"up":%v}`, u-v.Cross.At[0], v.Cross.At[1]-w)); err != nil {
			t.Fatal(err)
		}
		v = p.taps("#on")
	}
	if !strings.HasPrefix(v.Say, "Done: ") {
		t.Fatalf("%q %q", v.Say, v.More)
	}
	q.stage(p.taps("#on"), "square")
	p.page.Look("square")
	q.stage(p.taps("#on"), "cut")
	q.page.Look("lay")
	p.page.Look("lay")
	steps := 0
	for v = r.view(t); v.Say != "All pieces are cut."; steps++ {
		if steps == 3 {
			p.page.Run(`[...document.querySelectorAll("#others button")].find(b => b.textContent.startsWith("All cuts")).id = "all"`)
			p.taps("#all")
			p.page.Look("all")
			q.page.Look("all")
		}
		switch before := v.Done; steps % 3 {
		case 0:
			v = p.taps("#on")
		case 1:
			v = q.press("PageDown")
		case 2:
			v = q.taps("#picture")
			if v.Done < before {
				t.Fatalf("%d pieces after %d", v.Done, before)
			}
		}
		if steps > 400 {
			t.Fatalf("still %q", v.Say)
		}
	}
	p.page.Look("end")
	q.page.Look("end")
	plan := planOfFile(t, "../../testdata/tide-lap.yaml")
	all := 0
	for _, l := range plan.Fewest.Layouts {
		all += len(plan.Row(l).Pieces)
	}
	for _, page := range []*person{q, p} {
		if done := browser.Eval[string](page.page, "document.body.dataset.done"); done != fmt.Sprint(all) {
			t.Errorf("%s pieces are cut, of %d", done, all)
		}
		if e := page.page.Errors(); len(e) > 0 {
			t.Errorf("the browser complains: %q", e)
		}
	}
}

// A second page with the same address takes nothing away from the picture: it
// becomes a hand page. The picture may be loaded anew.
func TestFurtherPages(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	q, v := atTheCuts(t)
	if len(v.Lines) == 0 {
		t.Fatal("no lines")
	}
	other := browser.Open(t, browser.Options{Width: 360, Height: 740})
	other.Navigate(q.run.address)
	other.WaitFor(`location.pathname.endsWith("/hand") && document.body?.dataset.stage === "cut"`)
	if v = q.run.view(t); len(v.Lines) == 0 || len(v.Notes) > 0 {
		t.Errorf("the picture lost its lines: %q", v.Notes)
	}
	v = q.press("PageDown")
	other.WaitFor(fmt.Sprintf(`document.getElementById("say").textContent === %q`, v.Say))
	for range 3 {
		q.page.Navigate(q.run.address)
		q.page.WaitFor(`document.body?.dataset.stage === "cut"`)
		q.page.Run(`new Promise(done => setTimeout(done, 1000))`)
		if at := browser.Eval[string](q.page, "location.pathname"); strings.HasSuffix(at, "hand") {
			t.Fatal("loaded anew, the picture is gone")
		}
	}
	// It may move to another page, when that is wanted.
	other.Navigate(q.run.address + "?here")
	other.WaitFor(`document.getElementById("picture") && document.body?.dataset.stage === "cut"`)
	q.page.WaitFor(`location.pathname.endsWith("/hand")`)
}

// What is pressed while the connection is lost is sent again, and counts once,
// also when only the answer was lost.
func TestPressesQueue(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	q, v := atTheCuts(t)
	p := q.phone()
	p.page.Run(`window.real = fetch; window.fetch = () => Promise.reject(new TypeError("no network"))`)
	p.page.Tap("#on")
	p.page.Tap("#on")
	p.page.WaitFor(`document.getElementById("lost").textContent.includes("2 presses wait")`)
	p.page.Look("lost")
	p.page.Run(`window.fetch = async (...a) => { await window.real(...a); window.fetch = window.real; throw new TypeError("the answer is lost"); }`)
	p.settled()
	if w := q.run.view(t); !strings.HasPrefix(w.Say, "Cut 2") {
		t.Errorf("%q after two presses, was %q", w.Say, v.Say)
	}
	p.page.WaitFor(`document.getElementById("lost").hidden`)
}

// Every button of the hand page is as large as a finger in a glove, and none
// stands off a phone's screen; 84 px are 15 mm where 360 px are 66 mm.
func TestHandPageFits(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	q, _ := atTheCuts(t)
	p := q.phone()
	for _, at := range []string{"cut", "x", "s", "c"} {
		if at != "cut" {
			q.press(at)
		}
		small := browser.Eval[[]string](p.page, `[...document.querySelectorAll("button")].filter(b => b.checkVisibility()).map(b => [b, b.getBoundingClientRect()]).filter(([b, r]) => r.width < 84 || r.height < 84 || r.left < 0 || r.right > innerWidth).map(([b, r]) => b.textContent + " " + JSON.stringify(r))`)
		if len(small) > 0 {
			t.Errorf("%s: %q", at, small)
		}
		if browser.Eval[bool](p.page, `document.documentElement.scrollWidth > innerWidth`) {
			t.Errorf("%s: it is wider than the phone", at)
		}
		p.page.Look(at)
		if at != "cut" {
			q.press("Backspace")
		}
	}
}

// The code on the mat is read in a picture of the page, also when a projector
// blurs it. (The reader is of the library that writes it; another one, by hand,
// reads the same.)
func TestCodeIsRead(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	q, _ := atTheCuts(t)
	q.press("c")
	v := q.press("Enter")
	if len(v.Notes) > 0 {
		t.Skipf("%q", v.Notes)
	}
	img := q.sees("code")
	blurred := image.NewRGBA(image.Rect(0, 0, 640, 360))
	scale.ApproxBiLinear.Scale(blurred, blurred.Bounds(), img, img.Bounds(), scale.Src, nil)
	for _, seen := range []image.Image{img, blurred} {
		if got, err := goqr.Decode(seen); err != nil || got != v.More[0] {
			t.Errorf("%q, not %q: %v", got, v.More, err)
		}
	}
}

// Letters are heard by their place where the keyboard has others, and digits
// without Shift; a key that does nothing says how to see the keys.
func TestAnyKeyboard(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	q := atTheMat(t, r, browser.Options{Width: 1280, Height: 720}, virtual.Tilted())
	before := q.settled()
	q.page.KeyAt("KeyN", "т")
	q.answered(before)
	if v := r.view(t); v.Field == nil || v.Field.Label != "mat" {
		t.Fatalf("%+v", v)
	}
	q.page.Look("naming")
	if v := q.press("Enter"); v.Stage != "read" {
		t.Fatalf("%+v", v)
	}
	q.page.Look("reading")
	// Both in one field, as they are said.
	if v := q.enter("12, 5"); !strings.HasPrefix(v.Say, "Cross 2") {
		t.Errorf("%q %+v", v.Say, v.Field)
	}
	if v := q.enter("x"); v.Field.Wrong == "" {
		t.Errorf("%+v", v.Field)
	}
	if got := browser.Eval[string](q.page, `getSelection().toString()`); got != "x" {
		t.Errorf("selected is %q", got)
	}
	q.page.Key("F1")
	q.page.WaitFor(`!document.getElementById("help").hidden`)
	q.page.Key("Escape")

	r = startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	q = atTheMat(t, r, browser.Options{Width: 1920, Height: 1080}, virtual.Tilted())
	before = q.settled()
	q.page.KeyAt("Digit1", "&")
	q.answered(before)
	q.stage(r.view(t), "cut")
	q.page.Key("z")
	q.page.WaitFor(`!document.getElementById("hint").hidden`)
	q.page.Look("hint")
	q.page.WaitFor(`document.getElementById("hint").hidden`)
	for _, key := range []string{"h", "?", "F1"} {
		q.page.Key(key)
		q.page.WaitFor(`!document.getElementById("help").hidden`)
		q.page.Key("Escape")
		q.page.WaitFor(`document.getElementById("help").hidden`)
	}
	// Space belongs to a button only when Tab led there.
	for range 15 {
		q.press("+")
	}
	q.page.Key("?")
	q.page.Look("help")
	if browser.Eval[bool](q.page, `(h => h.scrollHeight > h.clientHeight || h.scrollWidth > h.clientWidth)(document.getElementById("help"))`) {
		t.Error("the list of keys does not fit the screen at the largest words")
	}
	q.page.Key("Tab")
	q.page.Key("Tab")
	focus := browser.Eval[string](q.page, `document.activeElement.textContent`)
	if !strings.HasPrefix(focus, "Backspace") {
		t.Errorf("after Tab the focus is at %q", focus)
	}
	was := r.view(t)
	v := q.press(" ")
	if v.Serial == was.Serial || !strings.HasPrefix(v.Say, "Lay strip set 1") {
		t.Errorf("%q", v.Say)
	}
	if v = q.press(" "); !strings.HasPrefix(v.Say, "Cut 1") {
		t.Errorf("%q", v.Say)
	}
}
