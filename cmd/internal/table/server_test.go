// SPDX-License-Identifier: Apache-2.0

package table

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"lozenge/cmd/internal/web"
	"lozenge/export/outside"
	"lozenge/export/outside/virtual"
)

// serve starts a server and returns it with what stops it.
func serve(t testing.TB, c Config) (s *Server, stop func() error) {
	t.Helper()
	if c.Plan == nil {
		c.Plan = planOf(t, "tide-lap")
	}
	if c.Folder == "" {
		c.Folder = t.TempDir()
	}
	if c.Listen == "" {
		c.Listen = "127.0.0.1:0"
	}
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx) }()
	var result error
	done := false
	stop = func() error {
		if !done {
			done = true
			cancel()
			select {
			case result = <-ended:
			case <-time.After(10 * time.Second):
				result = fmt.Errorf("it does not stop")
			}
		}
		return result
	}
	t.Cleanup(func() { stop() })
	return s, stop
}

// tokenOf returns what stands behind the host in the page's address.
func tokenOf(s *Server) string { return strings.Split(s.Address(), "/")[3] }

// The exact address answers, with all that keeps strangers out; it is another
// one each time, and nothing answers once it has stopped.
func TestAddress(t *testing.T) {
	s, stop := serve(t, Config{})
	status, body, h := outside.Get(t, s.Address())
	if status != 200 || !strings.Contains(body, `src="main.js"`) || !strings.HasPrefix(h.Get("Content-Type"), "text/html") {
		t.Errorf("%d %s", status, body)
	}
	if csp := h.Get("Content-Security-Policy"); !strings.HasPrefix(csp, "default-src 'none'") || strings.Contains(csp, "unsafe") || strings.Contains(csp, "*") || strings.Contains(csp, "http") {
		t.Errorf("%s", csp)
	}
	if !regexp.MustCompile(`^http://127\.0\.0\.1:[0-9]+/[a-z2-7]{26}/$`).MatchString(s.Address()) {
		t.Errorf("%s", s.Address())
	}
	other, _ := serve(t, Config{})
	if tokenOf(other) == tokenOf(s) {
		t.Error("two have the same token")
	}
	if s.Public() {
		t.Error("it is open to all")
	}
	if err := stop(); err != nil {
		t.Error(err)
	}
	if _, err := http.Get(s.Address()); err == nil {
		t.Error("it answers after its end")
	}
	if err := s.session.close(); err != nil {
		t.Error(err)
	}
	s.session.do(action{Do: doKey, Text: " "}) // of a page that is still open
}

// The page takes less than 100 kB, asks nobody else for anything, and every
// file that it names is there.
func TestPage(t *testing.T) {
	s, _ := serve(t, Config{})
	total := 0
	var all strings.Builder
	served, err := fs.ReadDir(files.FS, ".")
	if err != nil || len(served) < 8 {
		t.Fatalf("%d files, %v", len(served), err)
	}
	for _, f := range served {
		status, body, _ := outside.Get(t, s.Address()+f.Name())
		if status != 200 {
			t.Errorf("%s: %d", f.Name(), status)
		}
		total += len(body)
		all.WriteString(body)
	}
	t.Logf("the page takes %d bytes in %d files", total, len(served))
	if total >= 100_000 {
		t.Errorf("the page takes %d bytes", total)
	}
	text := strings.ReplaceAll(all.String(), "http://www.w3.org/2000/svg", "")
	for _, bad := range []string{"http:", "https:", "//cdn", "innerHTML", "eval(", "localStorage", "@import", "url("} {
		if strings.Contains(text, bad) {
			t.Errorf("the page has %q", bad)
		}
	}
	for _, m := range regexp.MustCompile(`(?:from "\./|src="|href=")([^"]+)"`).FindAllStringSubmatch(text, -1) {
		name, _, _ := strings.Cut(strings.TrimPrefix(m[1], "./"), "?")
		if _, _, ok := files.File(name); !ok {
			t.Errorf("%s is not there", m[1])
		}
	}
}

func TestWhoMayAsk(t *testing.T) {
	s, _ := serve(t, Config{})
	at := strings.TrimPrefix(s.Address(), "http://")
	host, _, _ := strings.Cut(at, "/")
	_, port, _ := net.SplitHostPort(host)
	for _, c := range []struct {
		name   string
		change func(*http.Request)
		want   int
	}{
		{"as it should be", func(*http.Request) {}, 200},
		{"by another name of this computer", func(r *http.Request) { r.Host = "localhost:" + port }, 200},
		{"IPv6", func(r *http.Request) { r.Host = "[::1]:" + port }, 200},
		{"typed address", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "none") }, 200},
		{"its own page", func(r *http.Request) {
			r.Header.Set("Origin", "http://"+host)
			r.Header.Set("Sec-Fetch-Site", "same-origin")
		}, 200},
		{"a name that leads here", func(r *http.Request) { r.Host = "quilts.example:" + port }, 403},
		{"no port", func(r *http.Request) { r.Host = "127.0.0.1" }, 403},
		{"another port", func(r *http.Request) { r.Host = "127.0.0.1:1" }, 403},
		{"a name that begins so", func(r *http.Request) { r.Host = "localhost.example:" + port }, 403},
		{"another address of a network", func(r *http.Request) { r.Host = "192.168.1.4:" + port }, 403},
		{"a page of somebody else's", func(r *http.Request) { r.Header.Set("Origin", "http://quilts.example") }, 403},
		{"a page without an origin", func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		{"another page of this computer", func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:1") }, 403},
		{"with TLS", func(r *http.Request) { r.Header.Set("Origin", "https://"+host) }, 403},
		{"a link elsewhere", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		{"the same site only", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, 403},
		{"two origins", func(r *http.Request) { r.Header["Origin"] = []string{"http://" + host, "http://quilts.example"} }, 403},
		{"another token", func(r *http.Request) { r.URL.Path = "/" + strings.Repeat("a", 26) + "/" }, 404},
		{"no token", func(r *http.Request) { r.URL.Path = "/" }, 404},
		{"a file of ours", func(r *http.Request) { r.URL.Path += "../server.go" }, 404},
		{"a folder", func(r *http.Request) { r.URL.Path += "page/index.html" }, 404},
		{"writing the page", func(r *http.Request) { r.Method = "PUT" }, 405},
		{"getting an action", func(r *http.Request) { r.URL.Path += "do" }, 405},
		{"an action without its type", func(r *http.Request) { r.Method, r.URL.Path = "POST", r.URL.Path+"do" }, 415},
		{"an action that is none", func(r *http.Request) {
			r.Method, r.URL.Path = "POST", r.URL.Path+"do"
			r.Header.Set("Content-Type", "application/json")
		}, 400},
		{"a large action", func(r *http.Request) {
			r.Method, r.URL.Path = "POST", r.URL.Path+"do"
			r.Header.Set("Content-Type", "application/json")
			r.Body = io.NopCloser(strings.NewReader(strings.Repeat(" ", mostBody+1)))
		}, 413},
		{"an action", func(r *http.Request) {
			r.Method, r.URL.Path = "POST", r.URL.Path+"do"
			r.Header.Set("Content-Type", "application/json")
			r.Header.Set("Origin", "http://"+host)
			r.Body = io.NopCloser(strings.NewReader(`{"do":"key","text":"n"}`))
		}, 200},
	} {
		r, err := http.NewRequest("GET", s.Address(), nil)
		if err != nil {
			t.Fatal(err)
		}
		c.change(r)
		answer, err := http.DefaultTransport.RoundTrip(r)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		io.Copy(io.Discard, answer.Body)
		answer.Body.Close()
		if answer.StatusCode != c.want {
			t.Errorf("%s: %d, not %d", c.name, answer.StatusCode, c.want)
		}
	}
}

// The code for a phone is shown only after she has said that the network may
// come in; then the hand page answers there, with the same guards.
func TestCodeForAPhone(t *testing.T) {
	s, stop := serve(t, Config{})
	other, _ := serve(t, Config{})
	_, offline := other.ReachNetwork()
	p := &person{t: t, s: s.session, mat: virtual.Tilted()}
	p.does(action{Do: doWindow, Window: fullScreen(p.mat.Screen, 1)})
	v := p.presses("c")
	if !strings.HasPrefix(v.Say, "Whoever is on this network") || len(v.Fills) > 0 || s.OnNetwork() {
		t.Errorf("%q, %d fills", v.Say, len(v.Fills))
	}
	if v = p.presses("Back"); v.Stage != "begin" || s.OnNetwork() {
		t.Errorf("%+v", v)
	}
	p.presses("c")
	v = p.presses("On")
	if errors.Is(offline, web.ErrOffline) {
		if v.Stage != "begin" || len(v.Fills) > 0 || s.OnNetwork() || !slices.ContainsFunc(v.Notes, func(n string) bool { return strings.Contains(n, web.ErrOffline.Error()) }) {
			t.Errorf("on no network: %+v", v)
		}
		return
	}
	if len(v.Fills) < 100 || len(v.More) == 0 || !strings.HasSuffix(v.More[0], tokenOf(s)+"/hand") {
		t.Fatalf("%d fills, %q", len(v.Fills), v.More)
	}
	hand := v.More[0]
	if status, body, _ := outside.Get(t, hand); status != 200 || !strings.Contains(body, `id="on"`) {
		t.Errorf("%d %s", status, body)
	}
	r, _ := http.NewRequest("GET", hand, nil)
	r.Host = "quilts.example:" + r.URL.Port()
	if answer, err := http.DefaultTransport.RoundTrip(r); err != nil || answer.StatusCode != 403 {
		t.Errorf("by another name: %v, %v", answer, err)
	}
	if status, _, _ := outside.Get(t, strings.Replace(hand, tokenOf(s), strings.Repeat("a", 26), 1)); status != 404 {
		t.Errorf("with another token: %d", status)
	}
	if v = p.presses("On"); v.Stage != "begin" || len(v.Fills) > 0 {
		t.Errorf("%+v", v)
	}
	// Asked for again it is the same one.
	p.presses("c")
	if v = p.presses("On"); len(v.More) == 0 || v.More[0] != hand {
		t.Errorf("%q, not %q", v.More, hand)
	}
	if err := stop(); err != nil {
		t.Error(err)
	}
	if _, err := http.Get(hand); err == nil {
		t.Error("it answers after its end")
	}
}

// soon waits until something is so, but not for ever.
func soon(t testing.TB, what string, so func() bool) {
	t.Helper()
	for range 500 {
		if so() {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("not in time: %s", what)
}

// Pages that come and go leave nothing behind, and more than some are refused.
func TestPagesComeAndGo(t *testing.T) {
	s, _ := serve(t, Config{})
	before := runtime.NumGoroutine()
	for round := range 3 {
		var open []io.Closer
		for i := range mostOpen + 5 {
			answer, err := http.Get(fmt.Sprintf("%sevents?page=p%d-%d&as=picture", s.Address(), round, i))
			if err != nil {
				t.Fatal(err)
			}
			if refused := answer.StatusCode == http.StatusServiceUnavailable; refused != (i >= mostOpen) {
				t.Fatalf("page %d: %d", i, answer.StatusCode)
			}
			line, _ := bufio.NewReader(answer.Body).ReadString('\n')
			if i < mostOpen && (!strings.HasPrefix(line, "data: {") || !strings.Contains(line, fmt.Sprintf(`"picture":"p%d-0"`, round))) {
				t.Errorf("page %d hears %.200q", i, line)
			}
			open = append(open, answer.Body)
		}
		for range 200 {
			s.session.do(action{Do: doKey, Text: "r"})
		}
		for _, c := range open {
			c.Close()
		}
		soon(t, "all pages are closed", func() bool {
			s.session.mu.Lock()
			defer s.session.mu.Unlock()
			return len(s.session.pages.streams) == 0
		})
	}
	http.DefaultClient.CloseIdleConnections()
	soon(t, "nothing of them runs", func() bool { return runtime.NumGoroutine() <= before+3 })
	for _, bad := range []string{"events", "events?page=&as=hand", "events?page=x&as=other", "events?as=hand&page=" + strings.Repeat("x", 50)} {
		if status, _, _ := outside.Get(t, s.Address()+bad); status != 400 {
			t.Errorf("%s: %d", bad, status)
		}
	}
}

// An action that is sent again because its answer was lost is done once.
func TestOnceEach(t *testing.T) {
	var p pages
	for _, c := range []struct {
		page   string
		number int
		counts bool
	}{{"a", 1, true}, {"a", 1, false}, {"b", 1, true}, {"a", 2, true}, {"a", 1, false}, {"", 0, true}, {"", 0, true}, {"b", 7, true}} {
		if got := p.counts(c.page, c.number); got != c.counts {
			t.Errorf("%+v: %v", c, got)
		}
	}
	for i := range 3 * mostKnown {
		p.counts(fmt.Sprint(i), 1)
	}
	if len(p.last) > mostKnown || len(p.order) > mostKnown {
		t.Errorf("%d pages are known", len(p.last))
	}
}

// tree lists all files below a folder with their contents.
func tree(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		out[p] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A thousand requests that no browser would send: nothing breaks, nothing
// outside its own folder is touched, and nothing is told to strangers.
func TestMalformedRequests(t *testing.T) {
	around := t.TempDir()
	folder := filepath.Join(around, "config", "lozenge")
	writeFile(t, filepath.Join(around, "mine.txt"), "mine")
	s, _ := serve(t, Config{Folder: folder})
	before := tree(t, around)
	address := strings.TrimPrefix(s.Address(), "http://")
	host, _, _ := strings.Cut(address, "/")
	rnd := rand.New(rand.NewPCG(3, 14))
	for i := range 1000 {
		text, foreign := badRequest(rnd, host, tokenOf(s))
		status := raw(t, host, text)
		if foreign && status >= 200 && status < 400 {
			t.Errorf("%d: a stranger gets %d for %.200q", i, status, text)
		}
		if status >= 500 && status != http.StatusHTTPVersionNotSupported && status != http.StatusNotImplemented {
			t.Errorf("%d: %d for %.200q", i, status, text)
		}
	}
	if status, _, _ := outside.Get(t, s.Address()); status != 200 {
		t.Errorf("afterwards: %d", status)
	}
	for name, text := range tree(t, around) {
		if was, ok := before[name]; ok && was == text || strings.HasPrefix(name, folder+string(filepath.Separator)) {
			continue
		}
		t.Errorf("%s was touched", name)
	}
}

// badRequest makes up a request; foreign reports that it comes from elsewhere
// or does not know the token.
func badRequest(rnd *rand.Rand, host, token string) (text string, foreign bool) {
	pick := func(of ...string) string { return of[rnd.IntN(len(of))] }
	junk := func(n int) string {
		b := make([]byte, rnd.IntN(n))
		for i := range b {
			b[i] = byte(rnd.UintN(256))
		}
		return string(b)
	}
	if rnd.IntN(8) == 0 {
		return junk(3000), true
	}
	name := token
	if rnd.IntN(3) == 0 {
		name = pick("", "x", token[:25], token+"a", strings.ToUpper(token), "%2e%2e", "..", junk(20))
		foreign = true
	}
	target := "/" + name + "/" + pick("", "do", "view", "index.html", "../../../../etc/passwd", "%2e%2e/%2e%2e/go.mod", "do/", "./", "main.js%00", "..\\mine.txt", "?"+strings.Repeat("a", 500), junk(40))
	if rnd.IntN(10) == 0 {
		target = pick("*", "http://quilts.example/", "//", target[1:], strings.Repeat("/a", 3000))
		foreign = true
	}
	h := host
	if rnd.IntN(4) == 0 {
		h = pick("quilts.example", "quilts.example:80", "127.0.0.1", "localhost", "[::1", "a b", "127.0.0.1:0x50", junk(20))
		foreign = true
	}
	body := pick("", "{}", "null", "[", `{"do":"key"}`, `{"do":"type","text":"../../../x"}`, `{"do":"window","window":{}}`, `{"do":"key","text":"`+strings.Repeat("n", 300)+`"}`,
		strings.Repeat("[", 5000), strings.Repeat(" ", 20000), junk(2000), `{"do":"nudge","right":1e308,"up":-1e308}`, `{"do":"look","look":{"width":1e308}}`)
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s HTTP/%s\r\nHost: %s\r\n", pick("GET", "POST", "PUT", "DELETE", "HEAD", "OPTIONS", "CONNECT", "get", "TRACE", "P0ST"), target, pick("1.1", "1.1", "1.1", "1.0", "9.9", "0.9"), h)
	if rnd.IntN(3) == 0 {
		fmt.Fprintf(&b, "Origin: %s\r\n", pick("http://quilts.example", "null", "https://"+host, "http://"+host+".example", junk(10)))
		foreign = true
	}
	if rnd.IntN(3) > 0 {
		fmt.Fprintf(&b, "Content-Type: %s\r\n", pick("application/json", "application/json", "text/plain", "application/x-www-form-urlencoded", ""))
	}
	switch rnd.IntN(6) {
	case 0:
		fmt.Fprintf(&b, "Content-Length: %s\r\n", pick("-1", "99999999999999999999", "x", "5", "0"))
	case 1:
		fmt.Fprintf(&b, "Transfer-Encoding: chunked\r\n\r\n%s\r\n", pick("0\r\n", "ffffffffffffffff\r\n", "5\r\nhell", "z"))
	default:
		fmt.Fprintf(&b, "Content-Length: %d\r\n", len(body))
	}
	if rnd.IntN(20) == 0 {
		fmt.Fprintf(&b, "X-Long: %s\r\n", strings.Repeat("x", 1<<15))
	}
	fmt.Fprintf(&b, "%sConnection: close\r\n\r\n%s", pick("", "", "Sec-Fetch-Site: cross-site\r\n"), body)
	if strings.Contains(b.String(), "cross-site") {
		foreign = true
	}
	return b.String(), foreign
}

// raw sends a text and returns the status of the answer, or 0 when none comes.
func raw(t testing.TB, host, text string) int {
	t.Helper()
	c, err := net.Dial("tcp", host)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	c.SetDeadline(time.Now().Add(5 * time.Second))
	io.WriteString(c, text)
	c.(*net.TCPConn).CloseWrite()
	answer, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0
	}
	answer.Body.Close()
	return answer.StatusCode
}

// How long the server takes from a key to the next picture, ready to be sent.
func BenchmarkNextCut(b *testing.B) {
	p := sits(b, planOf(b, "tide-lap"), b.TempDir(), virtual.Tilted())
	p.cuts()
	for b.Loop() {
		if v := p.presses(" "); v.Say == "All pieces are cut." {
			p.presses("e")
			p.types("afresh")
		}
	}
}
