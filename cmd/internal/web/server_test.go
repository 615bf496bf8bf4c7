// SPDX-License-Identifier: Apache-2.0

package web

import (
	"context"
	"io"
	"net/http"
	"strings"
	"testing"

	"lozenge/export/outside"
)

// serve starts a server that answers with the name that is asked for.
func serve(t *testing.T, listen string) *Server {
	t.Helper()
	s, err := New(listen)
	if err != nil {
		t.Fatal(err)
	}
	s.Answer = func(w http.ResponseWriter, _ *http.Request, name string) { io.WriteString(w, name) }
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return s
}

// Every answer has what keeps strangers out, what is refused too.
func TestHeaders(t *testing.T) {
	s := serve(t, "127.0.0.1:0")
	for _, address := range []string{s.Address() + "x", strings.Replace(s.Address(), s.token, "x", 1)} {
		_, _, h := outside.Get(t, address)
		for name, want := range headers {
			if h.Get(name) != want {
				t.Errorf("%s: %q", name, h.Get(name))
			}
		}
	}
	if status, body, _ := outside.Get(t, s.Address()+"some/name"); status != 200 || body != "some/name" {
		t.Errorf("%d %q", status, body)
	}
}

// A code leads to the page once, for a while, as long as no other was given
// out; nothing else does with it, and none is good from the beginning.
func TestAddressOnce(t *testing.T) {
	s := serve(t, "127.0.0.1:0")
	first, address := s.AddressOnce(), s.AddressOnce()
	for _, wrong := range []string{first, address + "view", address + "hand", strings.TrimSuffix(address, "/"), strings.Replace(s.Address(), s.token, "", 1)} {
		if status, _, _ := outside.Get(t, wrong); status != 404 {
			t.Errorf("%s: %d", wrong, status)
		}
	}
	if answer, err := http.Head(address); err != nil || answer.StatusCode != 404 {
		t.Errorf("%v, %v", answer, err)
	}
	answer, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if answer.StatusCode != 200 || answer.Request.URL.String() != s.Address() {
		t.Errorf("it leads to %v: %s", answer.Request.URL, answer.Status)
	}
	if status, _, _ := outside.Get(t, address); status != 404 {
		t.Errorf("the second time: %d", status)
	}
	address = s.AddressOnce()
	s.mu.Lock()
	s.once.until = s.once.until.Add(-onceLasts)
	s.mu.Unlock()
	if status, _, _ := outside.Get(t, address); status != 404 {
		t.Errorf("too late: %d", status)
	}
}

// On a server for the whole network names that lead here are refused too, and
// addresses are not.
func TestPublicServer(t *testing.T) {
	s := serve(t, "0.0.0.0:0")
	if !s.Public() || strings.Contains(s.Address(), "0.0.0.0") {
		t.Errorf("public: %v, %s", s.Public(), s.Address())
	}
	for host, want := range map[string]bool{"192.168.1.4": true, "[fe80::1]": true, "localhost": true, "quilts.example": false, "": false, "1.2.3.4.example": false} {
		if got := s.guards[0].host(host + ":" + s.guards[0].port); got != want {
			t.Errorf("%s: %v", host, got)
		}
	}
}
