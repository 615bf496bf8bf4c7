// SPDX-License-Identifier: Apache-2.0

package browser

import (
	"fmt"
	"image/color"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"lozenge/export/outside"
)

func TestMain(m *testing.M) { os.Exit(Sharing(m).Run()) }

// A square inch is 96 CSS pixels (CSS Values and Units, "absolute lengths"),
// and as many times more device pixels as the scale says.
func TestPage(t *testing.T) {
	p := Open(t, Options{Width: 300, Height: 200, Scale: 2})
	p.SetContent(`<svg xmlns="http://www.w3.org/2000/svg" width="2in" height="1in" viewBox="0 0 2 1"><rect id="r" width="1" height="1" fill="#ff0000"/></svg>`)
	if got := Eval[float64](p, `document.getElementById("r").getBBox().width * document.getElementById("r").getScreenCTM().a`); got != 96 {
		t.Errorf("an inch is %v pixels", got)
	}
	if got := Eval[[]float64](p, `[innerWidth, innerHeight, devicePixelRatio]`); fmt.Sprint(got) != "[300 200 2]" {
		t.Errorf("the page is %v", got)
	}
	img := p.Screenshot()
	if b := img.Bounds(); b.Dx() != 600 || b.Dy() != 400 {
		t.Errorf("the picture is %v", b)
	}
	for _, c := range []struct {
		x, y int
		want color.RGBA
	}{{191, 191, color.RGBA{255, 0, 0, 255}}, {192, 191, color.RGBA{255, 255, 255, 255}}, {191, 192, color.RGBA{255, 255, 255, 255}}} {
		if got := color.RGBAModel.Convert(img.At(c.x, c.y)); got != c.want {
			t.Errorf("pixel %d, %d is %v, want %v", c.x, c.y, got, c.want)
		}
	}
	p.Resize(Options{Width: 100, Height: 100})
	if b := p.Screenshot().Bounds(); b.Dx() != 100 {
		t.Errorf("resized, the picture is %v", b)
	}
	if e := p.Errors(); len(e) != 0 {
		t.Errorf("complaints: %q", e)
	}
}

func TestKeysAndErrors(t *testing.T) {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" {
			http.NotFound(w, r)
			return
		}
		fmt.Fprint(w, `<!doctype html><title>keys</title><link rel="icon" href="data:,"><script>
			window.seen = []
			addEventListener("keydown", e => seen.push((e.shiftKey ? "S " : "") + (e.ctrlKey ? "C " : "") + e.key))
		</script>`)
	}))
	defer server.Close()
	p := Open(t, Options{})
	p.Navigate(server.URL)
	p.Key("a", "ArrowLeft", "Shift+ArrowDown", "Control+z", "Enter", " ", "Escape", "+", "PageUp", "F11")
	// The library types on an American keyboard, where + needs Shift.
	want := "a|ArrowLeft|S ArrowDown|C z|Enter| |Escape|S +|PageUp|F11"
	if got := Eval[string](p, `seen.join("|")`); got != want {
		t.Errorf("keys %q, want %q", got, want)
	}
	if e := p.Errors(); len(e) != 0 {
		t.Errorf("complaints: %q", e)
	}
	second := p.Another(t, Options{Width: 50, Height: 40})
	second.Navigate(server.URL)
	second.Run(`setTimeout(() => { document.title = "later" }, 50)`)
	second.WaitFor(`document.title == "later"`)
	second.Run(`console.error("torn", 3), console.log("fine"), setTimeout(() => { throw new Error("frayed") }, 0), Promise.reject("unpicked"), void fetch("/gone")`)
	second.WaitFor(`performance.getEntriesByName("` + server.URL + `/gone").length`)
	all := strings.Join(second.Errors(), "\n")
	for _, w := range []string{"torn", "frayed", "unpicked", "404"} {
		if !strings.Contains(all, w) {
			t.Errorf("no %q in %s", w, all)
		}
	}
	if strings.Contains(all, "fine") || len(p.Errors()) != 0 {
		t.Errorf("complaints: %s and %q", all, p.Errors())
	}
}

// A browser whose test dies goes too, with its folder.
func TestNothingIsLeft(t *testing.T) {
	if os.Getenv("LOZENGE_BROWSER_DIES") == "1" {
		p := Open(t, Options{})
		fmt.Println("folder", p.folder)
		os.Exit(1)
	}
	if runtime.GOOS != "linux" {
		t.Skip("only Linux has /proc to look at, and the kernel's help")
	}
	outside.Tool(t, "chromium")
	cmd := exec.Command(os.Args[0], "-test.run=^TestNothingIsLeft$")
	cmd.Env = append(os.Environ(), "LOZENGE_BROWSER_DIES=1")
	out, err := cmd.Output()
	_, rest, ok := strings.Cut(string(out), "folder ")
	folder := strings.TrimSpace(rest)
	if err == nil || !ok {
		t.Fatalf("%v: %s", err, out)
	}
	left := func() (what []string) {
		if _, err := os.Stat(folder); err == nil {
			what = append(what, folder)
		}
		lines, _ := filepath.Glob("/proc/[0-9]*/cmdline")
		for _, name := range lines {
			if line, err := os.ReadFile(name); err == nil && strings.Contains(string(line), folder) && !strings.Contains(string(line), "trap") {
				what = append(what, name)
			}
		}
		return what
	}
	end := time.Now().Add(stopTime)
	for len(left()) > 0 {
		if time.Now().After(end) {
			t.Fatalf("left: %q", left())
		}
		time.Sleep(50 * time.Millisecond)
	}
}
