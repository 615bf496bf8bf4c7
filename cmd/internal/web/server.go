// SPDX-License-Identifier: Apache-2.0

package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
)

// Server serves pages of lozenge to the browsers of this computer, behind a token
// that only the address has.
type Server struct {
	// Answer answers a request that may be answered, for what name stands behind
	// the token; set it before [Server.Serve].
	Answer func(w http.ResponseWriter, r *http.Request, name string)

	listener net.Listener
	http     *http.Server
	token    string
	mu       sync.Mutex
	guards   []guard      // of each address at which it listens
	further  net.Listener // on the network, once she said so
	once     onceCode
	closing  chan struct{} // closed when it ends
}

const mostHeader = 8 << 10 // bytes of a request's header

// ErrOffline is why no phone can reach this computer.
var ErrOffline = errors.New("it is on no network; connect it to the one that the phone is on")

// New begins to listen at host:port; port 0 is any that is free. The error is that
// of the network; [Server.Serve] answers.
func New(listen string) (*Server, error) {
	listener, err := net.Listen("tcp", listen)
	if err != nil {
		return nil, err
	}
	addr := listener.Addr().(*net.TCPAddr)
	s := &Server{listener: listener, token: newToken(), guards: []guard{newGuard(listen, addr)}, closing: make(chan struct{})}
	s.http = &http.Server{
		Handler:           s,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       10 * time.Second,
		WriteTimeout:      30 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    mostHeader,
		// Or else "OPTIONS *" would be answered without a look at who asks.
		DisableGeneralOptionsHandler: true,
		// What strangers send is nothing to fill the terminal with.
		ErrorLog: log.New(io.Discard, "", 0),
	}
	s.http.RegisterOnShutdown(sync.OnceFunc(func() { close(s.closing) }))
	return s, nil
}

// Closing is closed when the server ends: what answers for long must end then.
func (s *Server) Closing() <-chan struct{} { return s.closing }

// OnNetwork reports whether [Server.ReachNetwork] was called.
func (s *Server) OnNetwork() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.further != nil
}

// ReachNetwork listens on this computer's network as well, if it does not yet,
// and returns the address of the page there.
func (s *Server) ReachNetwork() (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.Public() {
		return s.Address(), nil
	}
	if s.further == nil {
		host := reachable()
		if net.ParseIP(host).IsLoopback() {
			return "", ErrOffline
		}
		at := net.JoinHostPort(host, "0")
		l, err := net.Listen("tcp", at)
		if err != nil {
			return "", err
		}
		s.further = l
		s.guards = append(s.guards, newGuard(at, l.Addr().(*net.TCPAddr)))
		go s.http.Serve(l) // ends with the server
	}
	return s.addressAt(s.further), nil
}

// allows reports whether a request may be answered.
func (s *Server) allows(r *http.Request) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.ContainsFunc(s.guards, func(g guard) bool { return g.allows(r) })
}

// Address returns the page's address.
func (s *Server) Address() string { return s.addressAt(s.listener) }

// AddressOnce returns an address that leads to the page once, and for 30 s: it
// may stand where others can read it, as on the command line of a browser.
func (s *Server) AddressOnce() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.once = onceCode{newToken(), time.Now().Add(onceLasts)}
	return strings.Replace(s.Address(), s.token, s.once.code, 1)
}

// takes reports whether a code is good, and makes an end of it.
func (s *Server) takes(code string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !same(code, s.once.code) || !time.Now().Before(s.once.until) {
		return false
	}
	s.once = onceCode{}
	return true
}

func (s *Server) addressAt(l net.Listener) string {
	addr := l.Addr().(*net.TCPAddr)
	host := addr.IP.String()
	if addr.IP.IsUnspecified() {
		host = reachable()
	}
	return fmt.Sprintf("http://%s/%s/", net.JoinHostPort(host, fmt.Sprint(addr.Port)), s.token)
}

// Public reports whether other computers can reach the server.
func (s *Server) Public() bool { return !s.listener.Addr().(*net.TCPAddr).IP.IsLoopback() }

// reachable returns an address of this computer on its network.
func reachable() string {
	all, _ := net.InterfaceAddrs() // none, then
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && !n.IP.IsLoopback() && n.IP.To4() != nil {
			return n.IP.String()
		}
	}
	return "127.0.0.1"
}

// Serve answers until the context ends. The error is nil when it ended as it should.
func (s *Server) Serve(ctx context.Context) error {
	ended := make(chan error, 1)
	go func() { ended <- s.http.Serve(s.listener) }()
	var err error
	select {
	case err = <-ended:
	case <-ctx.Done():
		last, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		if s.http.Shutdown(last) != nil {
			s.http.Close()
		}
		cancel()
		err = <-ended
	}
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	return err
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	for name, value := range headers {
		w.Header().Set(name, value)
	}
	if !s.allows(r) {
		http.Error(w, "this address is for the page itself", http.StatusForbidden)
		return
	}
	token, name, ok := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	if ok && name == "" && r.Method == http.MethodGet && s.takes(token) {
		http.Redirect(w, r, "/"+s.token+"/", http.StatusSeeOther)
		return
	}
	if !ok || !same(token, s.token) {
		http.Error(w, "nothing is here; open the whole address that lozenge printed", http.StatusNotFound)
		return
	}
	s.Answer(w, r, name)
}
