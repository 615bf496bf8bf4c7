// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	scale "golang.org/x/image/draw"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/frames"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
)

// From the beginning to the first cuts with the keyboard alone, at each size of
// picture and ratio of device pixels to CSS pixels; the lines that are then
// drawn stand where the calibration has them, to a seventh of a pixel, and
// where they land on the mat they are as exact as the page says.
func TestFromStartToFirstCut(t *testing.T) {
	t.Parallel()
	type seen struct {
		wide  int
		ratio float64
	}
	for _, s := range outside.Of([]seen{{1920, 1.5}}, []seen{{1280, 1}, {1920, 1}, {1920, 1.25}, {1920, 1.5}, {1920, 2}, {3840, 1}, {3840, 2}}) {
		t.Run(fmt.Sprint(s.wide, "/", s.ratio), func(t *testing.T) {
			folder := t.TempDir()
			r := startTable(t, folder, "../../testdata/tide-lap.yaml")
			mat := virtual.Tilted()
			mat.Screen = calibrate.Screen{Width: s.wide, Height: s.wide * 9 / 16}
			size := browser.Options{Width: int(float64(s.wide) / s.ratio), Height: int(float64(mat.Screen.Height) / s.ratio), Scale: s.ratio, FullScreen: true}
			q := atTheMat(t, r, size, mat)
			q.page.Look("begin")
			q.measures(q.calibrates())
			v := q.press("Enter")
			q.stage(v, "cut")
			if q.page.Look("lay"); len(v.Notes) > 0 {
				t.Errorf("something is not as it should be: %q", v.Notes)
			}
			m := keptMap(t, folder)
			for i := range 3 {
				v = q.press(" ")
				q.stage(v, "cut")
				var number int
				if _, err := fmt.Sscanf(v.Say, "Cut %d,", &number); err != nil || number != i+1 {
					t.Fatalf("%q", v.Say)
				}
				q.straightOn(q.sees("cut"), m, number)
			}
			if e := q.page.Errors(); len(e) > 0 {
				t.Errorf("the browser complains: %q", e)
			}
		})
	}
}

// A projector that hangs the other way round, a mat in centimetres, fabric
// that lies wrong side up: words and arrow keys are as she sees them.
func TestUpsideDown(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	mat := virtual.Tilted()
	mat.Turn += 180
	folder := t.TempDir()
	r := startTable(t, folder, "../../testdata/meadow-cot.yaml")
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080, FullScreen: true}, mat)
	q.unit = geometry.Centimetre
	q.press("r")
	q.page.Look("begin")
	q.measures(q.calibrates())
	v := q.press("Enter")
	q.stage(v, "cut")
	q.press(" ")
	v = q.press(" ")
	q.page.Look("cut")
	if v.Face != "wrong side up" || !strings.Contains(v.Say, "right-leaning") {
		t.Errorf("%+v", v)
	}
	q.press("q")
	q.page.Look("quilt")
	q.press("p")
	q.page.Look("piece")
	if e := q.page.Errors(); len(e) > 0 {
		t.Errorf("the browser complains: %q", e)
	}
}

// keptMap returns the map of the calibration that was kept.
func keptMap(t *testing.T, folder string) *calibrate.Map {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(folder, "lozenge", "calibrations", "*.json"))
	if len(files) != 1 {
		t.Fatalf("%d calibrations were kept", len(files))
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	var f calibrate.File
	if err := json.Unmarshal(data, &f); err != nil {
		t.Fatal(err)
	}
	m, err := f.Map()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// straightOn checks that the bright line of a cut runs where it should: in
// each row of pixels its middle is compared with where the calibration puts
// the cut, and where that lands with where the cut should be.
func (q *person) straightOn(img image.Image, m *calibrate.Map, number int) {
	q.t.Helper()
	p := planOfFile(q.t, "../../testdata/tide-lap.yaml")
	all, err := frames.StripSets(p, m)
	if err != nil {
		q.t.Fatal(err)
	}
	var cut geometry.Segment
	for _, p := range all[0].Paths {
		if p.Role == draw.Cut && p.Number == number {
			cut = p.Segments()[0]
		}
	}
	at := func(t float64) geometry.Point { return cut.A.Add(cut.B.Sub(cut.A).Mul(t)) }
	rows, worst, mat := 0, 0.0, 0.0
	for row := range q.mat.Screen.Height {
		// Where the cut crosses the middle of this row.
		low, high := 0.03, 0.97
		down := func(t float64) float64 {
			_, v, _ := m.ToScreen(at(t).X, at(t).Y)
			return v - (float64(row) + 0.5)
		}
		if down(low)*down(high) >= 0 {
			continue
		}
		for range 50 {
			if mid := (low + high) / 2; down(mid)*down(low) > 0 {
				low = mid
			} else {
				high = mid
			}
		}
		want := at(low)
		if crossed(all[0], want) {
			continue
		}
		u, v, _ := m.ToScreen(want.X, want.Y)
		got := brightMiddle(img, int(u), row, 2*max(1, q.mat.Screen.Width/1920))
		if math.IsNaN(got) {
			q.t.Errorf("cut %d is not drawn in row %d", number, row)
			continue
		}
		rows++
		worst = max(worst, math.Abs(got-u))
		x, y := q.mat.Land(got, v)
		d := cut.B.Sub(cut.A)
		mat = max(mat, math.Abs(d.Cross(geometry.Point{X: x, Y: y}.Sub(cut.A)))/d.Len())
	}
	if rows < 100 || worst > 0.15 {
		q.t.Errorf("cut %d: %d rows, off by up to %.3f pixels", number, rows, worst)
	}
	if e := m.Expected(); mat > e.Worst {
		q.t.Errorf("cut %d lands up to %.4f in off, and %.4f in was the worst to be expected", number, mat, e.Worst)
	}
	q.t.Logf("cut %d: %d rows of pixels, drawn within %.3f px of the mapping; on the mat within %.4f in of its place", number, rows, worst, mat)
}

// crossed reports whether another line of the frame runs near there.
func crossed(f frames.Frame, p geometry.Point) bool {
	for _, l := range f.Paths {
		a, d := l.Points[0], l.Points[1].Sub(l.Points[0])
		t := min(1, max(0, p.Sub(a).Dot(d)/d.Dot(d)))
		if (l.Role == draw.Sew || l.Role == draw.Mark) && p.Sub(a.Add(d.Mul(t))).Len() < 0.15 {
			return true
		}
	}
	return false
}

// brightMiddle returns the middle of the bright line within reach pixels of one
// in a row; a dark edge parts it from the piece that is filled beside it.
func brightMiddle(img image.Image, x, row, reach int) float64 {
	sum, at := 0.0, 0.0
	for i := x - reach; i <= x+reach; i++ {
		if l := light(img, i, row) - 0.05; l > 0 {
			sum += l
			at += l * (float64(i) + 0.5)
		}
	}
	return at / sum
}

// atTheCuts opens the page with a calibration from a file and goes to the
// cuts.
func atTheCuts(t testing.TB) (*person, shown) {
	t.Helper()
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080, FullScreen: true}, virtual.Tilted())
	q.press("Enter")
	q.page.WaitFor(`document.body.dataset.stage === "cut"`) // what the window told may have been answered first
	q.press("s")
	q.measures(r.view(t))
	v := q.press("Enter")
	q.stage(v, "cut")
	return q, v
}

// Through a whole strip set with the space bar, and all that can be shown
// beside it; the page changes its look by key and keeps it.
func TestThroughAStripSet(t *testing.T) {
	t.Parallel()
	q, v := atTheCuts(t)
	var said []string
	for i := 0; !strings.HasPrefix(v.Say, "Lay strip set 2"); i++ {
		said = append(said, strings.SplitN(v.Say, " ", 2)[0])
		if v = q.press(" "); i > 60 {
			t.Fatalf("still %q", v.Say)
		}
		if v.Serial%5 == 0 || strings.HasPrefix(v.Say, "Slide") {
			q.page.Look("step")
		}
		// What is read aloud is what is shown.
		if text := browser.Eval[string](q.page, `document.getElementById("say").textContent`); text != v.Say {
			t.Errorf("the page says %q, not %q", text, v.Say)
		}
		if face := browser.Eval[string](q.page, `document.getElementById("face").textContent`); face != "Fabric right side up." {
			t.Errorf("%q", face)
		}
	}
	if got := strings.Join(said, " "); !regexp.MustCompile(`^Lay( Cut)+( Blunt)+ Slide( Cut)+( Blunt)+$`).MatchString(got) {
		t.Errorf("%s", got)
	}
	if v = q.press("Backspace"); !strings.HasPrefix(v.Say, "Blunt") {
		t.Errorf("%q", v.Say)
	}
	for _, key := range []string{"p", "ArrowRight", "ArrowRight", "q", "q"} {
		v = q.press(key)
		q.page.Look(key)
	}
	q.stage(v, "cut")
	q.page.Key("?")
	q.page.Look("help")
	keys := browser.Eval[string](q.page, `document.getElementById("help").innerText`)
	for _, k := range v.Keys {
		if !strings.Contains(keys, k.Key) || !strings.Contains(keys, k.Does) {
			t.Errorf("%q is not in the list of keys", k)
		}
	}
	if browser.Eval[bool](q.page, `(h => h.scrollHeight > h.clientHeight || h.scrollWidth > h.clientWidth)(document.getElementById("help"))`) {
		t.Error("the list of keys does not fit the screen")
	}
	q.page.Key("?")
	if browser.Eval[bool](q.page, `!document.getElementById("help").hidden`) {
		t.Error("the list of keys stays")
	}
	for _, key := range []string{"a", "k", "+", "+", "+", "+"} {
		v = q.press(key)
	}
	q.page.Key("l")
	q.page.Look("light")
	for _, key := range []string{"ArrowRight", "Tab", "ArrowLeft", "Tab", "ArrowDown", "Tab", " "} {
		q.page.Key(key)
	}
	q.page.Key("Escape")
	q.page.WaitFor(`document.getElementById("light").hidden`)
	v = q.press("+")
	if l := v.Look; !l.All || !l.Square || l.Colour != 1 || !l.Light || l.Words != 1.5 || l.Width != 2.5 || l.Bright != 0.9 {
		t.Errorf("%+v", l)
	}
	q.page.Look("changed")
	// A page that is loaded anew goes on where it was.
	before := q.page.Screenshot()
	q.page.Navigate(q.run.address)
	q.page.WaitFor(`document.body.dataset.stage === "cut"`)
	if d := difference(before, q.page.Screenshot()); d > 0.001 {
		t.Errorf("loaded anew, the page differs by %v", d)
	}
	if e := q.page.Errors(); len(e) > 0 {
		t.Errorf("the browser complains: %q", e)
	}
}

// difference is by how much two pictures differ on average, 0 to 1.
func difference(a, b image.Image) float64 {
	if a.Bounds() != b.Bounds() {
		return 1
	}
	sum, box := 0.0, a.Bounds()
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			sum += math.Abs(light(a, x, y) - light(b, x, y))
		}
	}
	return sum / float64(box.Dx()*box.Dy())
}

// When something stands between the page and its server, the page says so.
func TestServerIsGone(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	q, _ := atTheCuts(t)
	q.run.Process.Kill()
	q.page.Key(" ")
	q.page.WaitFor(`!document.getElementById("lost").hidden`)
	q.page.Look("gone")
	if text := browser.Eval[string](q.page, `document.getElementById("lost").textContent`); !strings.Contains(text, "Start it again") {
		t.Errorf("%q", text)
	}
}

// The page notices that its window changed, draws no lines that would lie, and
// draws them again when it is as it was.
func TestWindowOfThePageChanges(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080}, virtual.Tilted())
	v := q.press("1")
	q.stage(v, "cut")
	for _, c := range []struct {
		o     browser.Options
		draws bool
	}{
		{browser.Options{Width: 1900, Height: 1000}, false},
		{browser.Options{Width: 1536, Height: 864, Scale: 1.25}, true}, // the same pixels
		{browser.Options{Width: 1920, Height: 1080, Scale: 1.25}, false},
		{browser.Options{Width: 1920, Height: 1080}, true},
	} {
		before := browser.Eval[string](q.page, "document.body.dataset.serial")
		q.page.Resize(c.o)
		q.page.WaitFor(fmt.Sprintf("document.body.dataset.serial !== %q && document.getElementById('picture').width === Math.round(innerWidth * devicePixelRatio)", before))
		v := r.view(t)
		if (len(v.Lines) > 0) != c.draws {
			t.Errorf("%+v: %d lines, %q", c.o, len(v.Lines), v.Notes)
		}
		q.page.Look("resized")
	}
}

// BenchmarkKey is how long it takes from the key to the picture that it
// changes, with a phone attached.
func BenchmarkKey(b *testing.B) {
	q, _ := atTheCuts(b)
	q.phone()
	q.page.Run(`{
		window.took = [];
		let begun = 0;
		addEventListener("keydown", e => { begun = e.timeStamp; }, true);
		new MutationObserver(() => {
			const from = begun;
			// The frame after this one holds the change.
			requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = () => took.push(performance.now() - from); c.port2.postMessage(0); });
		}).observe(document.body, { attributeFilter: ["data-serial"] });
	}`)
	for i := 0; b.Loop(); i++ {
		q.page.Key(" ")
		time.Sleep(100 * time.Millisecond) // asking the page would disturb it
		q.page.WaitFor(fmt.Sprintf("took.length > %d", i))
	}
	took := browser.Eval[[]float64](q.page, "took")
	slices.Sort(took)
	n := len(took)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(took[n/2], "ms-median")
	b.ReportMetric(took[n*99/100], "ms-99-of-100")
	b.ReportMetric(took[n-1], "ms-longest")
}

// The picture in the README is what the page shows.
func TestReadmeScreenshot(t *testing.T) {
	t.Parallel()
	const file = "../../testdata/table.png"
	q, _ := atTheCuts(t)
	for range 12 {
		q.press("Shift+PageDown")
	}
	for range 5 {
		q.press(" ")
	}
	shot := q.sees("readme")
	small := image.NewRGBA(image.Rect(0, 0, 960, 540))
	scale.CatmullRom.Scale(small, small.Bounds(), shot, shot.Bounds(), scale.Src, nil)
	if *update {
		var b bytes.Buffer
		if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, small); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	want, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	// Letters are a little different from one computer to the next.
	if d := difference(small, want); d > 0.02 {
		t.Errorf("%s is not what the page shows (they differ by %.4f); rewrite it with -update and look at it", file, d)
	}
}
