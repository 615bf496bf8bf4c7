// SPDX-License-Identifier: Apache-2.0

package table

import (
	"context"
	"errors"
	"net/http"
	"slices"

	"lozenge/calibrate"
	"lozenge/cmd/internal/web"
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
	*web.Server
	session *session
}

// mostBody bounds what is posted. An action takes a few hundred bytes.
const mostBody = 16 << 10

// New begins to listen. The error is that of the network; [Server.Serve]
// answers.
func New(c Config) (*Server, error) {
	listening, err := web.New(c.Listen)
	if err != nil {
		return nil, err
	}
	s := &Server{listening, newSession(c)}
	s.Answer, s.session.network = s.answer, s.ReachNetwork
	return s, nil
}

// Serve answers until the context ends, and then sees to it that what is to
// be kept is kept. The error is nil when it ended as it should.
func (s *Server) Serve(ctx context.Context) error {
	return errors.Join(s.Server.Serve(ctx), s.session.close())
}

// answer answers one request.
func (s *Server) answer(w http.ResponseWriter, r *http.Request, name string) {
	switch {
	case name == "view" && r.Method == http.MethodGet:
		web.JSON(w, s.session.now())
	case name == "events" && r.Method == http.MethodGet:
		s.events(w, r)
	case name == "do":
		s.act(w, r)
	case name == "photo":
		s.takePhoto(w, r)
	case name == "found.png" && r.Method == http.MethodGet:
		s.shownPhoto(w)
	default:
		files.Answer(w, r, name)
	}
}

func (s *Server) act(w http.ResponseWriter, r *http.Request) {
	data, ok := web.Body(w, r, web.JSONType, mostBody)
	if !ok {
		return
	}
	a, err := parseAction(data)
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	web.JSON(w, s.session.do(a))
	http.NewResponseController(w).Flush() // if it can't be sent, the page asks again
	s.session.tellOthers(a)
}

// events tells a page the view as it is now, and whenever it changes.
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
	s.Events(w, r, changed, func() any {
		v := s.session.now()
		if as == asHand {
			v = v.forHand()
		}
		return v
	})
}
