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
	shared = &sharing{m: m, screens: map[Options][]*Page{}}
	return shared
}

type sharing struct {
	m       *testing.M
	mu      sync.Mutex
	tabs    *Page               // the first page of the browser that all tests may open further ones of
	screens map[Options][]*Page // the first pages of browsers that fill a screen and no test has
	ending  sync.Mutex
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

// another returns a further page of the browser that has them.
func (s *sharing) another(t testing.TB, program string, o Options) *Page {
	t.Helper()
	first := func() *Page {
		s.mu.Lock()
		defer s.mu.Unlock() // also where it does not start
		if s.tabs == nil {
			s.tabs = start(starting{t, s}, program, Options{}.usual())
		}
		return s.tabs
	}
	return first().Another(t, o)
}

// screen lends a page that fills a screen to a test until it ends: only the first
// page of a browser does. Tests that run at the same time have a browser each.
func (s *sharing) screen(t testing.TB, program string, o Options) *Page {
	t.Helper()
	s.mu.Lock()
	var p *Page
	if free := s.screens[o]; len(free) > 0 {
		p = free[len(free)-1]
		s.screens[o] = free[:len(free)-1]
	}
	s.mu.Unlock()
	if p == nil {
		p = start(starting{t, s}, program, o)
	}
	lent := *p
	lent.t = t
	p.console.forget()
	t.Cleanup(func() {
		lent.Navigate("about:blank")
		s.mu.Lock()
		defer s.mu.Unlock()
		s.screens[o] = append(s.screens[o], p)
	})
	return &lent
}

// starting is the test that starts a browser that ends with all of them.
type starting struct {
	testing.TB
	all *sharing
}

func (s starting) Cleanup(end func()) {
	s.all.ending.Lock()
	defer s.all.ending.Unlock()
	s.all.endings = append(s.all.endings, end)
}

// Errorf is used when all tests are over.
func (s starting) Errorf(format string, args ...any) { fmt.Fprintf(os.Stderr, format+"\n", args...) }
