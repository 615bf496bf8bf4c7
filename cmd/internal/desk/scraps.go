// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/scrapbin"
	"lozenge/cmd/internal/web"
	"lozenge/export"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// mostTable is how large a table of scraps may be.
const mostTable = 4 << 20

// usualTable is what a table of scraps that was typed is called.
const usualTable = "my-scraps.csv"

// scraps takes a table of scraps that was typed or dropped.
func (s *Server) scraps(w http.ResponseWriter, r *http.Request) {
	data, ok := web.Body(w, r, "application/octet-stream", mostTable)
	if !ok {
		return
	}
	unit := geometry.Inch
	if r.URL.Query().Get("unit") == geometry.Centimetre.String() {
		unit = geometry.Centimetre
	}
	web.JSON(w, map[string]any{"problems": wrongWith(s.session.scraps(r.URL.Query().Get("name"), data, unit))})
}

// wrongWith says what is wrong with a table; nothing where err is nil.
func wrongWith(err error) []told {
	said := []told{}
	switch err := err.(type) {
	case nil:
	case problem.List:
		for _, p := range err {
			said = append(said, told{Line: p.Line, Message: p.Message, Hint: p.Hint})
		}
	default:
		said = append(said, told{Message: sentence(err)})
	}
	return said
}

// tableLines answers with the lines of the table that is used, to be changed.
func (s *session) tableLines(w http.ResponseWriter) {
	s.mu.Lock()
	values, _ := pattern.Values(s.text)
	p := &pattern.Pattern{Path: s.path(), Scraps: filepath.Join(filepath.Dir(s.path()), filepath.FromSlash(values["scraps"]))}
	s.mu.Unlock()
	data, err := p.ReadScraps()
	rows := [][]string{}
	if err == nil {
		rows, err = scrapbin.Cells(p.Scraps, data)
	}
	web.JSON(w, map[string]any{"rows": rows, "problems": wrongWith(err)})
}

// scraps writes a table beside the pattern and plans from it: the pattern that is
// open, or else a new one with the strips of the table.
func (s *session) scraps(name string, data []byte, unit geometry.Unit) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if name = filepath.Base(filepath.FromSlash(name)); strings.HasPrefix(name, ".") || !strings.EqualFold(filepath.Ext(name), ".csv") {
		name = usualTable
	}
	if s.open {
		unit = s.unit()
	}
	bin, err := scrapbin.Parse(name, data, quilt.Spec{Unit: unit})
	if err != nil {
		return err
	}
	if !s.open {
		s.name = ""
		if _, err := pattern.Parse(s.path(), pattern.StarterOfScraps(scraps.Begin(unit, bin.Scraps), name)); err != nil {
			return err
		}
	}
	if name, err = keepTable(filepath.Dir(s.path()), name, data); err != nil {
		return err
	}
	s.told = ""
	defer s.changed()
	if !s.open {
		s.begin("", nil, string(pattern.StarterOfScraps(scraps.Begin(unit, bin.Scraps), name)))
		return nil
	}
	text := s.text
	if values, _ := pattern.Values(text); values["scraps"] == "" { // else the size stays
		for _, key := range []string{"columns", "rows", "finish", "strip_sets"} {
			if text, err = pattern.Remove(text, key); err != nil {
				return err
			}
		}
	}
	if text, err = pattern.Set(text, "scraps", name); err != nil {
		return err
	}
	s.put(text)
	return nil
}

// numbered is a name that [keepTable] found.
var numbered = regexp.MustCompile(`-[1-9]\d?$`)

// keepTable writes a table into a folder, over no other file, and returns its name
// there.
func keepTable(folder, name string, data []byte) (string, error) {
	stem := numbered.ReplaceAllString(strings.TrimSuffix(name, filepath.Ext(name)), "")
	for n := 1; ; n++ {
		if n > 1 {
			name = fmt.Sprintf("%s-%d.csv", stem, n)
		}
		file := filepath.Join(folder, name)
		if there, err := os.ReadFile(file); err == nil && bytes.Equal(there, data) {
			return name, nil
		}
		if _, err := os.Lstat(file); err == nil {
			continue
		}
		return name, export.Save(file, export.Options{}, func(w io.Writer) error {
			_, err := w.Write(data)
			return err
		})
	}
}
