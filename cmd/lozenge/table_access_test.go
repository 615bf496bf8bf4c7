// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
)

// fault is what axe-core finds.
type fault struct {
	ID, Impact, Help string
	Nodes            []struct{ HTML string }
}

// faults returns what is serious or critical.
func faults(t *testing.T, p *browser.Page, axe string) (serious []string) {
	t.Helper()
	p.Run(axe + "; 0")
	text := browser.Eval[string](p, `axe.run().then(r => JSON.stringify(r.violations))`)
	var all []fault
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		t.Fatal(err)
	}
	for _, f := range all {
		if f.Impact == "serious" || f.Impact == "critical" {
			serious = append(serious, fmt.Sprintf("%s: %s %+v", f.ID, f.Help, f.Nodes))
		}
	}
	return serious
}

// axe-core (npm) finds no serious fault on the pages, at any stage; every
// control has a name.
func TestAccessible(t *testing.T) {
	t.Parallel()
	axe := outside.AxeCore(t)
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080}, virtual.Tilted())
	p := q.phone()
	look := func(at string) {
		for _, page := range []*browser.Page{q.page, p.page} {
			if f := faults(t, page, axe); len(f) > 0 {
				t.Errorf("%s: %s", at, strings.Join(f, "\n"))
			}
			unnamed := browser.Eval[[]string](page, `[...document.querySelectorAll("button, input, select, a")].filter(e => e.checkVisibility() && !(e.textContent.trim() || e.ariaLabel || e.labels?.length && e.labels[0].textContent.trim())).map(e => e.outerHTML)`)
			if len(unnamed) > 0 {
				t.Errorf("%s: without a name: %q", at, unnamed)
			}
		}
	}
	look("begin")
	q.press("n")
	look("name")
	q.press("Enter")
	look("read")
	q.page.Key("F1")
	look("keys")
	r = startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	q = atTheMat(t, r, browser.Options{Width: 1920, Height: 1080}, virtual.Tilted())
	p = q.phone()
	q.press("Enter")
	look("cut")
	q.page.Key("l")
	look("light")
	q.page.Key("Escape")
	for _, key := range []string{"q", "p", "s", "m"} {
		q.press(key)
		look(key)
		if key == "p" {
			q.press("p")
		}
	}
}

// All that must be seen can be seen from two metres with the light on in the
// room: 300 lx of it on a picture of 5,000 lx leaves every kind of line, every
// fill and all words a contrast of 3 to 1 with the ground (WCAG 2.2, success
// criterion 1.4.11), in every colour, on both grounds, at every brightness.
func TestContrastInALitRoom(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	q, _ := atTheCuts(t)
	low := browser.Eval[[]string](q.page, `(async () => {
		const { styles } = await import("./draw.js"), { useLook, colour, ground, current } = await import("./look.js");
		const before = current(), out = [];
		const light = css => {
			const [r, g, b] = css.match(/\d+/g).map(v => { v /= 255; return v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4; });
			return 300 + 5000 * (.2126 * r + .7152 * g + .0722 * b);
		};
		let least = 99;
		for (const bright of [1, .7, .5]) for (const dark of [true, false]) for (let c = 0; c < 6; c++) {
			useLook({ ...before, bright, light: !dark, colour: c });
			for (const [as, [part]] of Object.entries(styles)) {
				const [a, b] = [light(colour(part)), light(ground())], ratio = Math.max(a, b) / Math.min(a, b);
				least = Math.min(least, ratio);
				if (ratio < 3) out.push(as + " " + part + " in colour " + c + (dark ? " on dark" : " on light") + " at " + bright + ": " + ratio.toFixed(2));
			}
		}
		useLook(before);
		return [least.toFixed(2), ...out];
	})()`)
	t.Logf("the least contrast is %s", low[0])
	for _, l := range low[1:] {
		t.Error(l)
	}
}

// Every sentence on the mat has capitals at least 10 mm high: at each stage,
// and at the smallest words. (In most faces a capital takes .716 of the size of
// the font; the panel has 96 px to an inch of the mat.)
func TestWordsOnTheMat(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	q, _ := atTheCuts(t)
	least := func(at string) {
		t.Helper()
		mm := browser.Eval[float64](q.page, `Math.min(...[...document.querySelectorAll("#inside p, #inside h1, #inside span, #inside li, #inside label")].filter(e => e.checkVisibility() && e.textContent).map(e => parseFloat(getComputedStyle(e).fontSize))) * .716 / 96 * 25.4`)
		if !browser.Eval[bool](q.page, `document.getElementById("panel").className === "on-mat"`) || mm < 9.99 {
			t.Errorf("%s: capitals of %.2f mm", at, mm)
		}
		if browser.Eval[bool](q.page, `(p => inside.scrollHeight > p.clientHeight || inside.scrollWidth > p.clientWidth)(document.getElementById("panel"))`) {
			t.Errorf("%s: the words don't fit", at)
		}
	}
	for range 12 {
		q.press("-")
	}
	for _, key := range []string{"On", " ", "a", "q", "p", "p", "s", "m"} {
		if key != "On" {
			q.press(key)
		}
		least(key)
	}
}
