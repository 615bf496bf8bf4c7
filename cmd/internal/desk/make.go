// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"strings"
)

// making is a run that makes everything.
type making struct {
	folder string
	done   bool
	far    [2]int // files that are written, of so many
	files  []Made
	err    error
}

type makingView struct {
	Folder string `json:"folder"`
	Done   bool   `json:"done"`
	Far    [2]int `json:"far"`
	Show   bool   `json:"show"` // the folder can be shown
	Files  []Made `json:"files,omitempty"`
	Wrong  string `json:"wrong,omitempty"`
}

func (m *making) view() *makingView {
	if m == nil {
		return nil
	}
	v := &makingView{Folder: m.folder, Done: m.done, Far: m.far, Files: m.files}
	if m.err != nil {
		v.Wrong = sentence(m.err)
	}
	return v
}

// show shows the folder with what was made.
func (s *session) show() error {
	if s.work.Show == nil || s.making == nil || !s.making.done {
		return errors.New("there is no folder to be shown")
	}
	folder, err := filepath.Abs(s.making.folder)
	if err != nil {
		return err
	}
	return s.work.Show(folder)
}

// make saves the pattern and makes everything, into a folder beside it that is
// called as the file is.
func (s *session) make(a action) error {
	if s.making != nil && !s.making.done {
		return errors.New("it is being made already")
	}
	if len(s.problems) > 0 || s.notMade != nil {
		return errNoPlan
	}
	if s.dirty() || a.Name != "" {
		if err := s.save(a.Name, a.Anyway); err != nil {
			return err
		}
	}
	file := s.path()
	m := &making{folder: strings.TrimSuffix(file, filepath.Ext(file))}
	s.making = m
	go func() {
		files, err := s.work.Make(file, m.folder, func(done, of int) {
			s.mu.Lock()
			defer s.mu.Unlock()
			m.far = [2]int{done, of}
			s.changed()
		})
		s.mu.Lock()
		defer s.mu.Unlock()
		m.files, m.err, m.done = files, err, true
		s.changed()
	}()
	return nil
}

// made answers with a file that was made.
func (s *session) made(w http.ResponseWriter, r *http.Request, name string) {
	s.mu.Lock()
	m := s.making
	s.mu.Unlock()
	if m != nil && m.done {
		for _, f := range m.files {
			if f.Name != name {
				continue
			}
			data, err := os.ReadFile(filepath.Join(m.folder, name))
			if err != nil {
				break
			}
			kind := map[string]string{".svg": "image/svg+xml", ".pdf": "application/pdf", ".txt": "text/plain; charset=utf-8"}[filepath.Ext(name)]
			if kind == "" {
				kind = "application/octet-stream"
			}
			w.Header().Set("Content-Type", kind)
			w.Write(data)
			return
		}
	}
	http.Error(w, "nothing is here", http.StatusNotFound)
}

// table shows the page under the projector.
func (s *session) table() error {
	if s.plan == nil || len(s.problems) > 0 || s.notMade != nil || s.planned != s.text {
		return errNoPlan
	}
	address, err := s.work.Table(s.plan)
	s.at = address
	return err
}
