// SPDX-License-Identifier: Apache-2.0

// Package browser opens Chromium without a window, so that tests can have it
// judge a drawing or use a page. Nothing but tests may import it.
//
// Nothing here waits for ever, and nothing is left behind: the browser ends
// and its folder goes with the test, also when the test is killed.
package browser

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"lozenge/export/outside"
)

// How long to wait; a machine that does other things as well is slow.
const (
	startTime = 60 * time.Second
	stepTime  = 30 * time.Second
	stopTime  = 10 * time.Second
)

// Options say how large the page is, in CSS pixels, and how many device
// pixels make one of them. Zero is 1280 x 800 at 1.
type Options struct {
	Width, Height int
	Scale         float64
	// FullScreen has the page fill a screen of that size, as it would on a
	// projector, instead of telling a page in a window to take itself for one:
	// not everything in the browser believes that.
	FullScreen bool
}

// screen describes the screen that the page fills.
func (o Options) screen() string {
	w, h := math.Round(float64(o.Width)*o.Scale), math.Round(float64(o.Height)*o.Scale)
	return fmt.Sprintf("{%.0fx%.0f devicePixelRatio=%v}", w, h, o.Scale)
}

// usual fills in what is not given.
func (o Options) usual() Options {
	if o.Width == 0 {
		o.Width = 1280
	}
	if o.Height == 0 {
		o.Height = 800
	}
	if o.Scale == 0 {
		o.Scale = 1
	}
	return o
}

// A Page is one tab of a browser. Every method fails the test when the browser
// does not do what it was told, or not in time.
type Page struct {
	t       ender
	ctx     context.Context
	folder  string
	console *console
}

// Open returns an empty page for the test: of a browser of its own, or where
// [Sharing] is at work, of one that the tests of a package share. Without
// Chromium the test is skipped, or fails if outside.Require says so.
func Open(t testing.TB, o Options) *Page {
	t.Helper()
	program := outside.Tool(t, "chromium")
	o = o.usual()
	if shared == nil {
		return start(t, program, o)
	}
	if o.FullScreen {
		return shared.screen(t, program, o)
	}
	return shared.another(t, program, o)
}

// start starts a browser, which ends with the test.
func start(t ender, program string, o Options) *Page {
	t.Helper()
	folder := newFolder(t)
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(program),
		chromedp.Headless,
		chromedp.NoFirstRun,
		chromedp.NoDefaultBrowserCheck,
		chromedp.UserDataDir(filepath.Join(folder, "profile")),
		chromedp.Env("TMPDIR="+folder, "XDG_CONFIG_HOME="+folder, "XDG_CACHE_HOME="+folder),
		chromedp.Flag("force-color-profile", "srgb"),
	}
	for _, name := range []string{
		"no-sandbox", "disable-gpu", "disable-quic", "disable-background-networking", "disable-component-update", "disable-sync",
		"disable-default-apps", "disable-extensions", "disable-breakpad", "disable-dev-shm-usage",
		// A page in the background is as fast as one that is looked at.
		"disable-background-timer-throttling", "disable-backgrounding-occluded-windows", "disable-renderer-backgrounding",
	} {
		options = append(options, chromedp.Flag(name, true))
	}
	if o.FullScreen {
		options = append(options, chromedp.Flag("kiosk", true), chromedp.Flag("screen-info", o.screen()))
	}
	all, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(func() {
		within(stopTime, stop)
	})
	// The library's own log is of no use here: what fails is told.
	quiet := func(string, ...any) {}
	return open(t, all, folder, o, chromedp.WithErrorf(quiet), chromedp.WithLogf(quiet))
}

// Another opens a further page in the same browser.
func (p *Page) Another(t testing.TB, o Options) *Page {
	t.Helper()
	return open(t, p.ctx, p.folder, o)
}

func open(t ender, parent context.Context, folder string, o Options, more ...chromedp.ContextOption) *Page {
	t.Helper()
	p := &Page{t: t, folder: folder, console: &console{}}
	ctx, cancel := chromedp.NewContext(parent, append(more, chromedp.WithListener(p.console.hear))...)
	p.ctx = ctx
	t.Cleanup(func() {
		within(stopTime, cancel)
	})
	// The life of the browser hangs on the first context that it sees, so
	// that one may not have a deadline.
	started := make(chan error, 1)
	go func() { started <- chromedp.Do(ctx) }()
	select {
	case err := <-started:
		if err != nil {
			t.Fatalf("Chromium does not start: %v", err)
		}
	case <-time.After(startTime):
		cancel()
		t.Fatalf("Chromium has not started after %v", startTime)
	}
	if !o.FullScreen {
		p.Resize(o)
	}
	return p
}

// within lets a thing happen, but not for ever.
func within(limit time.Duration, do func()) {
	done := make(chan struct{})
	go func() {
		do()
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(limit):
	}
}

// Do runs actions of the library in this page.
func (p *Page) Do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	run(p, chromedp.Steps(steps...))
}

func run[T any](p *Page, a chromedp.Action[T]) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, stepTime)
	defer cancel()
	v, err := chromedp.Run(ctx, a)
	if err != nil {
		p.t.Fatalf("Chromium: %v", err)
	}
	return v
}

// Resize gives the page another size.
func (p *Page) Resize(o Options) {
	p.t.Helper()
	o = o.usual()
	p.Do(chromedp.EmulateViewport(int64(o.Width), int64(o.Height), chromedp.EmulateScale(o.Scale)))
}

// Navigate goes to an address, or to a file named by its path, and waits until
// it is loaded.
func (p *Page) Navigate(where string) {
	p.t.Helper()
	if !strings.Contains(where, ":") || filepath.VolumeName(where) != "" {
		path, err := filepath.Abs(where)
		if err != nil {
			p.t.Fatal(err)
		}
		slashed := filepath.ToSlash(path)
		if runtime.GOOS == "windows" {
			slashed = "/" + slashed
		}
		where = (&url.URL{Scheme: "file", Path: slashed}).String()
	}
	p.Do(chromedp.Navigate(where))
}

// SetContent shows a document: SVG if that is how it begins, else HTML.
func (p *Page) SetContent(document string) {
	p.t.Helper()
	pattern := "content-*.html"
	head := strings.TrimSpace(document)
	if strings.HasPrefix(head, "<svg") || strings.HasPrefix(head, "<?xml") {
		pattern = "content-*.svg"
	}
	f, err := os.CreateTemp(p.folder, pattern)
	if err != nil {
		p.t.Fatal(err)
	}
	_, err = f.WriteString(document)
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		p.t.Fatal(err)
	}
	p.Navigate(f.Name())
}

// Eval returns what an expression in JavaScript is in the page, promises
// kept. An exception fails the test.
func Eval[T any](p *Page, js string) T {
	p.t.Helper()
	return run(p, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
}

// Run evaluates an expression for what it does.
func (p *Page) Run(js string) {
	p.t.Helper()
	Eval[chromedp.Void](p, js)
}

// WaitFor waits until an expression is true.
func (p *Page) WaitFor(js string) {
	p.t.Helper()
	end := time.Now().Add(stepTime)
	for !Eval[bool](p, "!!("+js+")") {
		if time.Now().After(end) {
			p.t.Fatalf("Chromium: after %v still not true: %s; console: %q", stepTime, js, p.console.all())
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// Screenshot returns what the page shows, in device pixels.
func (p *Page) Screenshot() image.Image {
	p.t.Helper()
	img, err := png.Decode(bytes.NewReader(run(p, chromedp.CaptureScreenshot())))
	if err != nil {
		p.t.Fatal(err)
	}
	return img
}

// Dark has the page told that dark colours are liked, or light ones.
func (p *Page) Dark(dark bool) {
	p.t.Helper()
	value := "light"
	if dark {
		value = "dark"
	}
	p.Do(func(ctx context.Context, t *chromedp.Target) (none chromedp.Void, err error) {
		_, err = cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: value}}})
		return none, err
	})
}

// PDF returns the page as it is printed, on letter paper.
func (p *Page) PDF() []byte {
	p.t.Helper()
	return run(p, func(ctx context.Context, t *chromedp.Target) ([]byte, error) {
		r, err := cdp.Call(ctx, t, page.PrintToPDF, page.PrintToPDFParams{})
		if err != nil {
			return nil, err
		}
		return r.Data, nil
	})
}

// looks is how many pictures were kept, in the order of their names.
var looks atomic.Int64

// Look keeps what the page shows, with what it is of in its name, to be looked at
// by people: in the folder that LOZENGE_LOOK names, if it does.
func (p *Page) Look(of string) {
	p.t.Helper()
	dir := os.Getenv("LOZENGE_LOOK")
	if dir == "" {
		return
	}
	name := fmt.Sprintf("%s-%03d-%s.png", strings.ReplaceAll(p.t.Name(), "/", "-"), looks.Add(1), of)
	if err := os.WriteFile(filepath.Join(dir, name), run(p, chromedp.CaptureScreenshot()), 0o666); err != nil {
		p.t.Fatal(err)
	}
}

// Errors returns what went wrong in the page until now: exceptions that
// nothing caught, errors and warnings on the console, files that were not
// found.
func (p *Page) Errors() []string {
	p.t.Helper()
	// What the page said before this answer has arrived with it.
	Eval[bool](p, "new Promise(done => setTimeout(() => done(true), 0))")
	return p.console.all()
}
