// SPDX-License-Identifier: Apache-2.0

package table

import (
	"context"
	"encoding/json"
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

	"lozenge/calibrate"
	"lozenge/geometry/quilt"
)

// Config is what a server is made for.
type Config struct {
	Plan *quilt.Plan // must have strip sets
	// Given is a calibration to offer before all others, nil for none, and
	// GivenName what to call it.
	Given     *calibrate.File
	GivenName string
	Folder    string // for what is kept; made when first needed; "" for nothing
	Listen    string // host:port; port 0 is any that is free
}

// Server is a page under way.
type Server struct {
	listener net.Listener
	http     *http.Server
	token    string
	session  *session
	mu       sync.Mutex
	guards   []guard      // of each address at which it listens
	further  net.Listener // on the network, once she said so
	once     onceCode
	closing  chan struct{} // closed when it ends
}

// The bounds of a request. An action takes a few hundred bytes.
const (
	mostHeader = 8 << 10
	mostBody   = 16 << 10
)

// New begins to listen. The error is that of the network; [Server.Serve]
// answers.
func New(c Config) (*Server, error) {
	listener, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return nil, err
	}
	addr := listener.Addr().(*net.TCPAddr)
	s := &Server{listener: listener, token: newToken(), guards: []guard{newGuard(c.Listen, addr)}, session: newSession(c), closing: make(chan struct{})}
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
	s.session.network = s.reachNetwork
	s.http.RegisterOnShutdown(sync.OnceFunc(func() { close(s.closing) }))
	return s, nil
}

// reachNetwork listens on this computer's network as well, if it does not yet,
// and returns the address of the page there.
func (s *Server) reachNetwork() (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.Public() {
		return s.Address(), nil
	}
	if s.further == nil {
		host := reachable()
		if net.ParseIP(host).IsLoopback() {
			return "", errOffline
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

// Serve answers until the context ends, and then sees to it that what is to
// be kept is kept. The error is nil when it ended as it should.
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
	return errors.Join(err, s.session.close())
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
	switch {
	case name == "view" && r.Method == http.MethodGet:
		s.answer(w, s.session.now())
	case name == "events" && r.Method == http.MethodGet:
		s.events(w, r)
	case name == "do":
		s.act(w, r)
	case r.Method == http.MethodGet || r.Method == http.MethodHead:
		data, kind, ok := pageFile(name)
		if !ok {
			http.Error(w, "nothing is here", http.StatusNotFound)
			return
		}
		w.Header().Set("Content-Type", kind)
		w.Write(data)
	default:
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "only to be read", http.StatusMethodNotAllowed)
	}
}

func (s *Server) act(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodPost {
		w.Header().Set("Allow", "POST")
		http.Error(w, "send an action", http.StatusMethodNotAllowed)
		return
	}
	// A form on a page of somebody else's can't send this type.
	if r.Header.Get("Content-Type") != "application/json" {
		http.Error(w, "send application/json", http.StatusUnsupportedMediaType)
		return
	}
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBody))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		http.Error(w, "too large", http.StatusRequestEntityTooLarge)
		return
	case err != nil:
		http.Error(w, "it ended too early", http.StatusBadRequest)
		return
	}
	a, err := parseAction(data)
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	s.answer(w, s.session.do(a))
}

// How long a page may take to hear something, and how often it is told that
// the server is there.
const (
	hearTime = 10 * time.Second
	beat     = 15 * time.Second
)

// events tells a page all that is done, as server-sent events (HTML standard,
// section 9.2): the view as it is now, and whenever it changes.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	page, as := r.URL.Query().Get("page"), r.URL.Query().Get("as")
	if page == "" || len(page) > mostPage || !slices.Contains([]string{asPicture, asHere, asHand}, as) {
		http.Error(w, "say which page it is", http.StatusBadRequest)
		return
	}
	changed, closed, ok := s.session.open(page, as)
	if !ok {
		http.Error(w, "too many pages are open; close some", http.StatusServiceUnavailable)
		return
	}
	defer closed()
	line := http.NewResponseController(w)
	if line.SetReadDeadline(time.Time{}) != nil {
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	alive := time.NewTicker(beat)
	defer alive.Stop()
	for {
		text := ":\n\n"
		select {
		case <-changed:
			v := s.session.now()
			if as == asHand {
				v = v.forHand()
			}
			data, err := json.Marshal(v)
			if err != nil {
				return
			}
			text = fmt.Sprintf("data: %s\n\n", data)
		case <-alive.C:
		case <-r.Context().Done():
			return
		case <-s.closing:
			return
		}
		if line.SetWriteDeadline(time.Now().Add(hearTime)) != nil {
			return
		}
		if _, err := io.WriteString(w, text); err != nil || line.Flush() != nil {
			return
		}
	}
}

func (s *Server) answer(w http.ResponseWriter, v *view) {
	data, err := json.Marshal(v)
	if err != nil { // a number that is none
		http.Error(w, "this can't be shown", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Write(data)
}
