// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"io"
	"io/fs"
	"math"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"lozenge/calibrate"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// running is a 'lozenge table' in a process of its own.
type running struct {
	*exec.Cmd
	address string
	said    *strings.Builder // on standard error
	rest    chan string      // of standard output, when it has ended
}

// startTable starts table with its configuration below a folder.
func startTable(t testing.TB, folder string, args ...string) *running {
	t.Helper()
	return startPage(t, folder, append([]string{"table"}, args...)...)
}

// startPage starts a command that serves a page, with its configuration below a
// folder.
func startPage(t testing.TB, folder string, args ...string) *running {
	t.Helper()
	r := &running{Cmd: exec.Command("lozenge", args...), said: &strings.Builder{}, rest: make(chan string, 1)}
	r.Env = append(os.Environ(), "XDG_CONFIG_HOME="+folder, "HOME="+folder, "AppData="+folder)
	r.Stderr = r.said
	out, err := r.StdoutPipe()
	if err == nil {
		err = r.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		r.Process.Kill()
		r.Wait()
	})
	first := make(chan string, 1)
	go func() {
		lines := bufio.NewReader(out)
		line, _ := lines.ReadString('\n')
		first <- line
		all, _ := io.ReadAll(lines)
		r.rest <- string(all)
	}()
	select {
	case line := <-first:
		r.address = strings.TrimSuffix(line, "\n")
	case <-time.After(30 * time.Second):
	}
	if !regexp.MustCompile(`^http://[^ ]+/$`).MatchString(r.address) {
		t.Fatalf("no address: %q, %s", r.address, r.said)
	}
	return r
}

// peak is the most memory that it held, in kB (proc(5), VmHWM).
func (r *running) peak(t testing.TB) (most int) {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", r.Process.Pid))
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("/proc is Linux's")
	}
	_, line, _ := strings.Cut(string(status), "VmHWM:")
	if n, err := fmt.Sscanf(line, "%d kB", &most); n != 1 {
		t.Fatal(err)
	}
	return most
}

// shown is what the tests look at of a view.
type shown struct {
	Serial int
	Stage  string
	Done   int
	Say    string
	More   []string
	Notes  []string
	Face   string
	Field  *struct{ Label, Text, Wrong string }
	Keys   []struct{ Key, Does string }
	Lines  []struct {
		As     string
		Points []float64
	}
	Cross *struct{ At [2]float64 }
	Look  struct {
		Colour               int
		Light, All, Square   bool
		Width, Bright, Words float64
	}
}

func (r *running) view(t testing.TB) (v shown) {
	t.Helper()
	answer, err := http.Get(r.address + "view")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if err := json.NewDecoder(answer.Body).Decode(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

// person is the one at the mat: she sees where the light lands, and has
// nothing but a keyboard.
type person struct {
	t    testing.TB
	page *browser.Page
	run  *running
	mat  virtual.Projector
	unit geometry.Unit
}

func atTheMat(t testing.TB, r *running, o browser.Options, mat virtual.Projector) *person {
	t.Helper()
	q := &person{t: t, page: browser.Open(t, o), run: r, mat: mat}
	q.page.Navigate(r.address)
	q.page.WaitFor(`document.body.dataset.stage === "begin" && document.body.dataset.serial > 0`)
	return q
}

// press presses a key that the server hears, and waits until the page shows
// the answer.
func (q *person) press(key string) shown {
	q.t.Helper()
	before := q.settled()
	q.page.Key(key)
	q.answered(before)
	return q.run.view(q.t)
}

// settled waits until all that was done has its answer, and returns how much
// the page has heard from her until then.
func (q *person) settled() int {
	q.t.Helper()
	q.page.WaitFor(`document.body?.dataset.waiting === "0"`)
	return browser.Eval[int](q.page, `(() => {
		if (window.heard === undefined) {
			window.heard = 0;
			for (const what of ["keydown", "click"]) addEventListener(what, () => { window.heard++; });
		}
		return window.heard;
	})()`)
}

// answered waits until the page has heard more from her, and the answer came.
func (q *person) answered(before int) {
	q.t.Helper()
	q.page.WaitFor(fmt.Sprintf(`window.heard > %d && document.body.dataset.waiting === "0"`, before))
}

// enter types a text and Enter.
func (q *person) enter(text string) shown {
	q.t.Helper()
	q.page.WaitFor(`document.activeElement.tagName === "INPUT"`) // a letter before that is lost
	for _, r := range text {
		q.page.Key(string(r))
	}
	q.page.WaitFor(fmt.Sprintf("document.activeElement.value === %q", text))
	return q.press("Enter")
}

// sees returns what the page shows, and keeps it where it was asked for.
func (q *person) sees(what string) image.Image {
	q.t.Helper()
	q.page.Look(what)
	return q.page.Screenshot()
}

// reads writes a length as she reads it: to 1/32 in or half a millimetre.
func (q *person) reads(inches float64) string { return calibrate.WriteReading(inches, q.unit) }

// stage fails unless the page is at a stage.
func (q *person) stage(v shown, want string) {
	q.t.Helper()
	if v.Stage != want {
		q.t.Fatalf("at %s, not at %s: %q %q %q %+v", v.Stage, want, v.Say, v.More, v.Notes, v.Field)
	}
}

var twoLines = regexp.MustCompile(`lines (-?[0-9]+) and (-?[0-9]+)\.`)

// calibrates goes from the beginning to the end of the check square.
func (q *person) calibrates() shown {
	q.t.Helper()
	q.stage(q.press("n"), "begin")
	v := q.enter("cutting table")
	q.stage(v, "read")
	targets, err := calibrate.Targets(q.mat.Screen, calibrate.Grid{Columns: 3, Rows: 3}, 1)
	if err != nil {
		q.t.Fatal(err)
	}
	for i, t := range targets {
		if !strings.HasPrefix(v.Say, fmt.Sprintf("Cross %d:", i+1)) {
			q.t.Fatalf("%q", v.Say)
		}
		if i == 1 || i == 4 {
			q.standsAt(q.sees("read"), t.U, t.V)
		}
		x, y := q.mat.Land(t.U, t.V)
		v = q.enter(q.reads(x) + ", " + q.reads(y))
	}
	q.stage(v, "read")
	q.page.Look("found")
	v = q.press("Enter")
	for range targets {
		q.stage(v, "move")
		m := twoLines.FindStringSubmatch(v.Say)
		if m == nil {
			q.t.Fatalf("%q", v.Say)
		}
		x, _ := strconv.ParseFloat(m[1], 64)
		y, _ := strconv.ParseFloat(m[2], 64)
		u, w := q.mat.Lights(q.unit.Inches(x), q.unit.Inches(y))
		q.moves(u-v.Cross.At[0], w-v.Cross.At[1])
		if v.Serial%4 == 0 {
			q.page.Look("move")
		}
		v = q.press("Enter")
	}
	q.stage(v, "move")
	q.page.Look("refined")
	v = q.press("Enter")
	q.stage(v, "square")
	q.page.Look("square")
	return v
}

// moves moves the cross by so many pixels of the screen, to the nearest
// quarter. She knows right and up as they are on the mat.
func (q *person) moves(du, dv float64) {
	q.t.Helper()
	x0, y0 := q.mat.Land(960, 540)
	x1, y1 := q.mat.Land(961, 540)
	right, up := du, -dv
	switch {
	case math.Abs(x1-x0) < math.Abs(y1-y0):
		q.t.Fatal("she does not know how to move a cross on a picture that lies on its side")
	case x1 < x0:
		right, up = -du, dv
	}
	for _, d := range []struct {
		way         float64
		more, fewer string
	}{{right, "ArrowRight", "ArrowLeft"}, {up, "ArrowUp", "ArrowDown"}} {
		quarters := int(math.Round(d.way * 4))
		key := d.more
		if quarters < 0 {
			key, quarters = d.fewer, -quarters
		}
		for ; quarters >= 40; quarters -= 40 {
			q.press("Shift+" + key)
		}
		for ; quarters >= 4; quarters -= 4 {
			q.press(key)
		}
		for ; quarters > 0; quarters-- {
			q.press("Alt+" + key)
		}
	}
}

// measures measures the check square as it lies on the mat.
func (q *person) measures(v shown) shown {
	q.t.Helper()
	var at [][2]float64
	for _, l := range v.Lines {
		if l.As == "square" {
			at = append(at, [2]float64{l.Points[0], l.Points[1]})
		}
	}
	if len(at) != 4 {
		q.t.Fatalf("a square of %d sides", len(at))
	}
	far := func(a, b [2]float64) string {
		ax, ay := q.mat.Land(a[0], a[1])
		bx, by := q.mat.Land(b[0], b[1])
		return q.reads(math.Hypot(ax-bx, ay-by))
	}
	v = q.press("s")
	for i, d := range []string{far(at[0], at[1]), far(at[0], at[3]), far(at[0], at[2]), far(at[1], at[3])} {
		if v.Field == nil {
			q.t.Fatalf("side %d: %+v", i, v)
		}
		if i == 2 {
			q.page.Look("measure")
		}
		v = q.enter(d)
	}
	q.page.Look("judged")
	if !strings.Contains(v.Say, "true") || strings.Contains(v.Say, "not") {
		q.t.Fatalf("%q %q", v.Say, v.More)
	}
	return v
}

// light is how bright a pixel is, 0 to 1.
func light(img image.Image, x, y int) float64 {
	r, g, b, _ := img.At(x, y).RGBA()
	return (float64(r) + float64(g) + float64(b)) / (3 * 0xffff)
}

// middle returns where the middle of what is bright lies, within reach pixels
// of x in a row. Pixel i has its middle at i + 1/2.
func middle(img image.Image, x, row, reach int) float64 {
	sum, at := 0.0, 0.0
	for px := x - reach; px <= x+reach; px++ {
		if l := light(img, px, row); l > 0.1 {
			sum += l
			at += l * (float64(px) + 0.5)
		}
	}
	return at / sum
}

// standsAt checks that the picture has the mark of a target there: both arms,
// on both sides.
func (q *person) standsAt(img image.Image, u, v float64) {
	q.t.Helper()
	for _, d := range []int{-15, 15} {
		row := int(v) + d
		out := float64(row) + 0.5 - v
		for _, want := range []float64{u + out, u - out} {
			if got := middle(img, int(want), row, 8); !(math.Abs(got-want) <= 0.1) {
				q.t.Errorf("an arm of the cross at %v, %v stands at %v in row %d, want %v", u, v, got, row, want)
			}
		}
	}
}

// planOfFile plans a pattern.
func planOfFile(t testing.TB, path string) *quilt.Plan {
	t.Helper()
	p, err := talk{err: io.Discard}.readPlan(path)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
