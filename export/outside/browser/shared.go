// SPDX-License-Identifier: Apache-2.0

package browser

import (
	"fmt"
	"os"
	"slices"
	"sync"
	"testing"
)

// An ender is what a browser ends with: a test, or all tests of a package.
type ender interface {
	Name() string
	Helper()
	Cleanup(func())
	Errorf(string, ...any)
	Fatal(...any)
	Fatalf(string, ...any)
}

// shared are the browsers that tests share, if they do.
var shared *sharing

// Sharing has the tests of a package share their browsers, which end after the
// last test. It is what a TestMain runs in place of m.
func Sharing(m *testing.M) interface{ Run() int } {
	shared = &sharing{m: m, open: map[Options]*Page{}}
	return shared
}

type sharing struct {
	m       *testing.M
	mu      sync.Mutex
	open    map[Options]*Page // the first pages of the browsers
	endings []func()
}

// Run runs the tests, and ends the browsers.
func (s *sharing) Run() int {
	code := s.m.Run()
	for _, end := range slices.Backward(s.endings) {
		end()
	}
	return code
}

// browser returns a page of the browser for such pages: full screen has a
// browser for each screen, and all others share one.
func (s *sharing) browser(t testing.TB, program string, o Options) *Page {
	t.Helper()
	if !o.FullScreen {
		o = Options{}.usual()
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	p := s.open[o]
	if p == nil {
		p = start(starting{t, s}, program, o)
		s.open[o] = p
	}
	return p
}

// lend gives a page to a test until it ends: only the first page of a browser
// fills its screen. Tests take turns.
func (p *Page) lend(t testing.TB) *Page {
	t.Helper()
	lent := *p
	lent.t = t
	p.console.forget()
	t.Cleanup(func() { lent.Navigate("about:blank") })
	return &lent
}

// starting is the test that starts a browser that ends with all of them.
type starting struct {
	testing.TB
	all *sharing
}

func (s starting) Cleanup(end func()) { s.all.endings = append(s.all.endings, end) }

// Errorf is used when all tests are over.
func (s starting) Errorf(format string, args ...any) { fmt.Fprintf(os.Stderr, format+"\n", args...) }
