// SPDX-License-Identifier: Apache-2.0

package browser

import (
	"context"
	"fmt"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Key presses keys one after the other, each named as a page sees it in
// KeyboardEvent.key: "a", "ArrowLeft", "Enter", " ", with modifiers before it
// as in "Shift+ArrowLeft" or "Control+z".
func (p *Page) Key(names ...string) {
	p.t.Helper()
	for _, name := range names {
		var mods chromedp.Modifier
		rest := name
		for {
			word, more, ok := strings.Cut(rest, "+")
			m, known := modifiers[word]
			if !ok || !known || more == "" {
				break
			}
			mods |= m
			rest = more
		}
		r, ok := rune(0), false
		if runes := []rune(rest); len(runes) == 1 {
			r, ok = runes[0], true
		} else {
			r, ok = named(rest)
		}
		if !ok {
			p.t.Fatalf("no key is named %q", rest)
		}
		p.Do(chromedp.KeyEvent(string(r), chromedp.KeyModifiers(mods)))
	}
}

// KeyAt presses the key at a place of the keyboard, named as a page sees it in
// KeyboardEvent.code, on which stands what KeyboardEvent.key says: "KeyN" with
// "т" on a Cyrillic keyboard.
func (p *Page) KeyAt(code, key string) {
	p.t.Helper()
	p.Do(func(ctx context.Context, t *chromedp.Target) (none chromedp.Void, err error) {
		for _, e := range []input.DispatchKeyEventParams{
			{Type: input.DispatchKeyEventTypeKeyDown, Code: code, Key: key, Text: key},
			{Type: input.DispatchKeyEventTypeKeyUp, Code: code, Key: key},
		} {
			if _, err = cdp.Call(ctx, t, input.DispatchKeyEvent, e); err != nil {
				break
			}
		}
		return none, err
	})
}

// Tap taps what a selector finds with a finger, in its middle.
func (p *Page) Tap(selector string) {
	p.t.Helper()
	at := Eval[[]float64](p, fmt.Sprintf(`(e => { e.scrollIntoView({ block: "nearest" }); const r = e.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })(document.querySelector(%q))`, selector))
	p.Do(chromedp.TapXY(at[0], at[1]))
}

// Choose gives a file to what a selector finds, a field for files.
func (p *Page) Choose(selector, file string) {
	p.t.Helper()
	p.Do(chromedp.SetUploadFiles(selector, []string{file}))
}

var modifiers = map[string]chromedp.Modifier{
	"Shift": chromedp.ModifierShift, "Control": chromedp.ModifierCtrl, "Alt": chromedp.ModifierAlt, "Meta": chromedp.ModifierMeta,
}

// named returns the least rune of the library's table for the name of a key;
// several stand for one key.
func named(name string) (rune, bool) {
	least, ok := rune(0), false
	for r, k := range kb.Keys {
		if k.Key == name && (!ok || r < least) {
			least, ok = r, true
		}
	}
	return least, ok
}
