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

// listed returns the files of some endings in the folder and in the folders in it,
// by their names from there.
func (s *session) listed(endings ...string) (out []string) {
	for _, pattern := range []string{"*", filepath.Join("*", "*")} {
		found, _ := filepath.Glob(filepath.Join(globbed(s.folder), pattern))
		for _, file := range found {
			name, err := filepath.Rel(s.folder, file)
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
	kept, err := os.ReadFile(s.draft())
	s.begin(s.name, data, string(data))
	if err == nil && string(kept) != s.text {
		s.put(string(kept))
		s.told = "What you had not saved is here again. Undo takes you to the file."
	}
	return nil
}

// save writes the pattern. It never writes over a file that somebody else wrote
// meanwhile, unless told to.
func (s *session) save(name string, anyway bool) error {
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
	os.Remove(s.draft())
	s.disk = []byte(text)
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

// keep keeps what is not saved, so that a closed window loses nothing.
func (s *session) keep() {
	file := s.draft()
	if file == "" {
		return
	}
	if !s.dirty() {
		os.Remove(file)
		return
	}
	if os.MkdirAll(s.drafts, 0o700) != nil {
		return
	}
	// What can't be kept is in the page all the same.
	_ = export.Save(file, export.Options{Force: true, Private: true}, func(w io.Writer) error {
		_, err := io.WriteString(w, s.text)
		return err
	})
}
