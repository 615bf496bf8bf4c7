// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/problem"
	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Work is what the page asks of the commands.
type Work struct {
	// Plan plans the pattern in a text; name is that of its file. What was noticed
	// comes with it. The error is a [problem.List], a [*quilt.NotMade] or another.
	Plan func(name string, text []byte) (p *quilt.Plan, noticed []string, err error)
	// Facts returns what is seen beside the quilt, Read the whole plan, Sewing the
	// sewing order.
	Facts, Read, Sewing func(p *quilt.Plan) []Section
	// Make makes everything from a pattern file into a folder, and says how many
	// files are written.
	Make func(file, dir string, far func(done, of int)) ([]Made, error)
	// Show opens a folder on the desktop; nil where there is none.
	Show func(folder string) error
	// Table shows the page under the projector and returns its address.
	Table func(p *quilt.Plan) (address string, err error)
	// Measure measures a file that has these contents; p may be nil.
	Measure func(name string, data []byte, p *quilt.Plan) (verdict string, err error)
}

// Section is a heading and what stands below it, each line with what leads it.
type Section struct {
	Title    string      `json:"title"`
	Rows     [][2]string `json:"rows"`
	Drawings []Drawing   `json:"drawings,omitempty"`
}

// Drawing is a drawing that belongs to a section.
type Drawing struct {
	Title string               `json:"title"`
	At    string               `json:"at"` // where the page finds it
	Draw  func() *draw.Drawing `json:"-"`
}

// Made is a file that was made and what it is for.
type Made struct {
	Name    string `json:"name"`
	Purpose string `json:"purpose"`
}

// mostUndo is how many texts are kept to go back to.
const mostUndo = 500

// session is the pattern that is tried out. Its methods may be called at the same
// time.
type session struct {
	work   Work
	folder string // where patterns lie
	drafts string // folder for what is not saved; "" for none

	small sync.Mutex // of one who draws small pictures: planning comes first

	mu       sync.Mutex
	serial   int // of what can be seen
	open     bool
	name     string // of the file in the folder; "" as long as it has none
	disk     []byte // the file as it was read or written
	text     string
	undone   []string // texts before, the last one last
	redone   []string // texts after, the next one last
	problems problem.List
	noticed  []string
	notMade  *quilt.NotMade
	plan     *quilt.Plan      // the last good one
	drawn    []byte           // its picture, an SVG
	page     geometry.Rect    // of the picture
	paper    []Drawing        // what is read of it, once it was
	facts    []Section        // of it
	offered  []quilt.Possible // what can be made of what is there
	offerFor string           // the text without a size that it is of
	planned  string           // the text that it is of
	planning bool
	unkept   map[string]*string // what is yet to be kept of what is not saved, by file; nil to forget it
	keeping  bool
	beside   sync.WaitGroup // what is done beside everything else
	making   *making
	at       string // address of the page under the projector
	told     string // what came of the last action
	heard    map[chan struct{}]bool
}

func newSession(work Work, folder, drafts string) *session {
	return &session{work: work, folder: folder, drafts: drafts, heard: map[chan struct{}]bool{}, unkept: map[string]*string{}}
}

// path returns where the pattern lies, or would lie.
func (s *session) path() string {
	if s.name == "" {
		return filepath.Join(s.folder, "new-quilt.yaml")
	}
	return filepath.Join(s.folder, s.name)
}

// changed has every page hear that there is something new.
func (s *session) changed() {
	s.serial++
	for c := range s.heard {
		select {
		case c <- struct{}{}:
		default:
		}
	}
}

// begin opens a text as the pattern that is tried out.
func (s *session) begin(name string, disk []byte, text string) {
	s.open, s.name, s.disk, s.text = true, name, disk, text
	s.undone, s.redone, s.plan, s.facts, s.planned, s.making, s.notMade = nil, nil, nil, nil, "", nil, nil
	s.replan()
}

// put makes a text the newest one.
func (s *session) put(text string) {
	if text == s.text {
		return
	}
	if s.undone = append(s.undone, s.text); len(s.undone) > mostUndo {
		s.undone = s.undone[1:]
	}
	s.redone, s.text = nil, text
	s.replan()
}

// back takes a step back, or with the lists exchanged forward.
func (s *session) back(from, to *[]string) {
	n := len(*from)
	if n == 0 {
		return
	}
	*to = append(*to, s.text)
	s.text, *from = (*from)[n-1], (*from)[:n-1]
	s.replan()
}

// dirty reports whether something is not saved.
func (s *session) dirty() bool { return s.open && (s.disk == nil || s.text != string(s.disk)) }

// replan plans the newest text beside everything else, one at a time.
func (s *session) replan() {
	s.keep()
	_, err := pattern.Parse(s.path(), []byte(s.text))
	s.problems, _ = err.(problem.List)
	if s.planning || len(s.problems) > 0 {
		return
	}
	s.planning = true
	s.beside.Go(func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		for s.open && len(s.problems) == 0 && s.planned != s.text {
			text, path := s.text, s.path()
			s.mu.Unlock()
			p, noticed, err := s.work.Plan(path, []byte(text))
			var drawn []byte
			var page geometry.Rect
			if err == nil {
				drawn, page, err = draws(sheet.Picture(p))
			}
			s.mu.Lock()
			if text != s.text {
				continue // another one is wanted by now
			}
			s.take(p, noticed, err)
			if err != nil {
				break
			}
			s.drawn, s.page = drawn, page
			// The picture first, and then what takes longer to tell.
			s.changed()
			s.mu.Unlock()
			facts := s.work.Facts(p)
			s.mu.Lock()
			if p == s.plan {
				s.facts = facts
			}
		}
		s.planning = false
		s.changed()
	})
}

// take takes the answer of planning the text.
func (s *session) take(p *quilt.Plan, noticed []string, err error) {
	s.planned, s.noticed, s.notMade = s.text, noticed, nil
	switch err := err.(type) {
	case nil:
		s.plan = p
		s.offer(p)
	case problem.List:
		s.problems = err
	case *quilt.NotMade:
		s.notMade = err
	default:
		s.problems = problem.List{{Message: err.Error()}}
	}
}

// offer keeps the quilts that what is there makes, also when one of them is taken:
// then she can still take another.
func (s *session) offer(p *quilt.Plan) {
	bare := s.text
	for _, key := range []string{"columns", "rows"} {
		if text, err := pattern.Remove(bare, key); err == nil {
			bare = text
		}
	}
	switch {
	case len(p.Choices) > 0:
		s.offered, s.offerFor = slices.Clone(p.Choices), bare
	case bare != s.offerFor:
		s.offered = nil
	}
	for i := range s.offered {
		s.offered[i].Chosen = s.offered[i].Columns == p.Columns && s.offered[i].Rows == p.Rows
	}
}

// unit returns the unit of the pattern, inches where it can't be told.
func (s *session) unit() geometry.Unit {
	if s.plan != nil {
		return s.plan.Spec.Unit
	}
	return geometry.Inch
}

// fresh reports whether the file is still as it was read or written.
func (s *session) fresh() bool {
	now, err := os.ReadFile(s.path())
	if os.IsNotExist(err) {
		return s.disk == nil || s.name == ""
	}
	return err == nil && s.disk != nil && bytes.Equal(now, s.disk)
}
