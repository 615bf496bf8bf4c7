// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"lozenge/cmd/internal/problem"
	"lozenge/export"
)

// mostListed is how many patterns of a folder are offered.
const mostListed = 200

// listed returns the files of some endings in a folder and in the folders in it, by
// their names from there.
func listed(folder string, endings ...string) (out []string) {
	for _, pattern := range []string{"*", filepath.Join("*", "*")} {
		found, _ := filepath.Glob(filepath.Join(globbed(folder), pattern))
		for _, file := range found {
			name, err := filepath.Rel(folder, file)
			if err != nil || strings.HasPrefix(filepath.Base(file), ".") || !slices.Contains(endings, strings.ToLower(filepath.Ext(file))) {
				continue
			}
			if info, err := os.Stat(file); err == nil && info.Mode().IsRegular() && len(out) < mostListed {
				out = append(out, filepath.ToSlash(name))
			}
		}
	}
	return out
}

// globbed returns a name with what stands for other letters taken for itself.
func globbed(name string) string {
	return strings.NewReplacer("[", "[[]", "*", "[*]", "?", "[?]").Replace(name)
}

// load opens a pattern file of the folder, with what was not saved the last time.
func (s *session) load(name string) error {
	if !filepath.IsLocal(filepath.FromSlash(name)) {
		return fmt.Errorf("%s is not in this folder", problem.Show(name))
	}
	_, data, err := problem.Read(filepath.Join(s.folder, filepath.FromSlash(name)), nil, mostText, "")
	if err != nil {
		return err
	}
	if len(data) > mostText {
		return fmt.Errorf("%s is too large for a pattern", problem.Show(name))
	}
	s.name = filepath.FromSlash(name)
	kept, ok := s.kept(s.draft())
	s.begin(s.name, data, string(data))
	if ok && kept != s.text {
		s.put(kept)
		s.told = "What you had not saved is here again. Undo takes you to the file."
	}
	return nil
}

// save writes the pattern. It never writes over a file that somebody else wrote
// meanwhile, unless told to.
func (s *session) save(name string, anyway bool) error {
	was := s.draft()
	if name != "" {
		if !strings.Contains(filepath.Base(name), ".") {
			name += ".yaml"
		}
		if ext := strings.ToLower(filepath.Ext(name)); ext != ".yaml" && ext != ".yml" || !filepath.IsLocal(filepath.FromSlash(name)) {
			return fmt.Errorf("give a name like my-quilt.yaml, in this folder")
		}
		if local := filepath.FromSlash(name); local != s.name {
			old, disk := s.name, s.disk
			s.name, s.disk = local, nil
			defer func() {
				if s.disk == nil { // nothing was written
					s.name, s.disk = old, disk
				}
			}()
		}
	}
	if s.name == "" {
		return errNoName
	}
	if !anyway && !s.fresh() {
		return errElsewhere
	}
	text := s.text
	err := export.Save(s.path(), export.Options{Force: true}, func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
	if err != nil {
		return err
	}
	s.disk = []byte(text)
	if was != s.draft() {
		s.unkept[was] = nil
	}
	s.keep()
	return nil
}

// draft is where what is not saved is kept; "" for nowhere.
func (s *session) draft() string {
	if s.drafts == "" {
		return ""
	}
	whole, err := filepath.Abs(s.path())
	if err != nil {
		return ""
	}
	return filepath.Join(s.drafts, fmt.Sprintf("%x.yaml", sha256.Sum256([]byte(whole)))[:24])
}

// keep keeps what is not saved, so that a closed window loses nothing, beside
// everything else: disks are slow.
func (s *session) keep() {
	file := s.draft()
	if file == "" {
		return
	}
	if s.unkept[file] = nil; s.dirty() {
		text := s.text
		s.unkept[file] = &text
	}
	if s.keeping {
		return
	}
	s.keeping = true
	s.beside.Go(func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		for len(s.unkept) > 0 {
			for file, text := range s.unkept {
				s.mu.Unlock()
				keepAt(file, text)
				s.mu.Lock()
				if s.unkept[file] == text {
					delete(s.unkept, file)
				}
			}
		}
		s.keeping = false
	})
}

// keepAt writes or forgets what is not saved. What can't be kept is in the page all
// the same.
func keepAt(file string, text *string) {
	if text == nil {
		os.Remove(file)
	} else if os.MkdirAll(filepath.Dir(file), 0o700) == nil {
		_ = export.Save(file, export.Options{Force: true, Private: true}, func(w io.Writer) error {
			_, err := io.WriteString(w, *text)
			return err
		})
	}
}

// kept returns what was kept in a file of what is not saved.
func (s *session) kept(file string) (text string, ok bool) {
	if text, ok := s.unkept[file]; ok {
		if text == nil {
			return "", false
		}
		return *text, true
	}
	data, err := os.ReadFile(file)
	return string(data), err == nil
}
