// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"context"
	"embed"
	"fmt"
	"io/fs"
	"net/http"
	"path/filepath"
	"strconv"
	"strings"

	"lozenge/cmd/internal/web"
)

// Config is what a server is made for.
type Config struct {
	Work   Work
	Folder string // where patterns lie
	File   string // the pattern to begin with, in the folder; "" for none
	Drafts string // folder for what is not saved; made when first needed; "" for none
	Listen string // host:port; port 0 is any that is free
}

// Server is a page under way.
type Server struct {
	*web.Server
	session *session
}

// The bounds of what is posted.
const (
	mostBody     = 1 << 20
	mostMeasured = 64 << 20
)

//go:embed page
var pageFolder embed.FS

// New begins to listen. The error is that of the network; [Server.Serve] answers.
func New(c Config) (*Server, error) {
	listening, err := web.New(c.Listen)
	if err != nil {
		return nil, err
	}
	s := &Server{listening, newSession(c.Work, c.Folder, c.Drafts)}
	s.Answer = s.answer
	if c.File != "" {
		s.session.do(action{Do: doOpen, Name: c.File})
	}
	return s, nil
}

// Serve answers until the context ends, and then ends what is under way.
func (s *Server) Serve(ctx context.Context) error {
	err := s.Server.Serve(ctx)
	s.session.beside.Wait()
	return err
}

func (s *Server) answer(w http.ResponseWriter, r *http.Request, name string) {
	get := r.Method == http.MethodGet
	switch {
	case name == "view" && get:
		web.JSON(w, s.session.now())
	case name == "events" && get:
		s.events(w, r)
	case name == "do":
		if data, ok := web.Body(w, r, web.JSONType, mostBody); ok {
			a, err := parseAction(data)
			if err != nil {
				http.Error(w, err.Error(), http.StatusBadRequest)
				return
			}
			web.JSON(w, s.session.do(a))
		}
	case name == "picture.svg" && get:
		s.session.picture(w, r)
	case name == "paper.svg" && get:
		s.session.drawingOf(w, r)
	case name == "read" && get:
		s.session.read(w)
	case name == "scraps" && get:
		s.session.tableLines(w)
	case name == "scraps":
		s.scraps(w, r)
	case name == "measure":
		s.measure(w, r)
	case strings.HasPrefix(name, "made/") && get:
		s.session.made(w, r, strings.TrimPrefix(name, "made/"))
	default:
		files.Answer(w, r, name)
	}
}

// files are those of the page.
var files = web.Files{FS: folderOf(pageFolder, "page"), Pages: map[string]string{"": "index.html"}}

func folderOf(all fs.FS, name string) fs.FS {
	f, err := fs.Sub(all, name)
	if err != nil {
		panic(err) // the name is no name
	}
	return f
}

// read answers with the plan and the sewing order to be read.
func (s *session) read(w http.ResponseWriter) {
	s.mu.Lock()
	p := s.plan
	s.mu.Unlock()
	if p == nil {
		http.Error(w, "there is no quilt yet", http.StatusNotFound)
		return
	}
	var paper []Drawing
	at := func(all []Section) []Section {
		for i := range all {
			for j := range all[i].Drawings {
				d := &all[i].Drawings[j]
				d.At = fmt.Sprintf("paper.svg?n=%d", len(paper))
				paper = append(paper, *d)
			}
		}
		return all
	}
	plan, sewing := at(s.work.Read(p)), at(s.work.Sewing(p))
	s.mu.Lock()
	s.paper = paper
	s.mu.Unlock()
	web.JSON(w, map[string]any{"name": p.Spec.Name, "plan": plan, "sewing": sewing, "colours": coloursOf(p)})
}

// drawingOf answers with a drawing of what is read.
func (s *session) drawingOf(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	paper := s.paper
	s.mu.Unlock()
	n, err := strconv.Atoi(r.URL.Query().Get("n"))
	if err != nil || n < 0 || n >= len(paper) {
		http.Error(w, "there is no such drawing", http.StatusNotFound)
		return
	}
	data, _, err := draws(paper[n].Draw())
	if err != nil {
		http.Error(w, "it can't be drawn", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Write(data)
}

// measure measures a file that was dropped on the page.
func (s *Server) measure(w http.ResponseWriter, r *http.Request) {
	data, ok := web.Body(w, r, "application/octet-stream", mostMeasured)
	if !ok {
		return
	}
	s.session.mu.Lock()
	p := s.session.plan
	s.session.mu.Unlock()
	verdict, err := s.session.work.Measure(filepath.Base(r.URL.Query().Get("name")), data, p)
	if err != nil {
		verdict = sentence(err)
	}
	web.JSON(w, map[string]string{"verdict": verdict})
}

// events tells a page that there is something new.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	changed, closed, ok := s.session.hear()
	if !ok {
		http.Error(w, "too many pages are open; close some", http.StatusServiceUnavailable)
		return
	}
	defer closed()
	s.Events(w, r, changed, func() any { return s.session.now() })
}

// mostPages is how many pages may be open.
const mostPages = 50

// hear returns what receives whenever there is something new, from now on.
func (s *session) hear() (changed chan struct{}, closed func(), ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.heard) >= mostPages {
		return nil, nil, false
	}
	c := make(chan struct{}, 1)
	c <- struct{}{}
	s.heard[c] = true
	return c, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		delete(s.heard, c)
	}, true
}
