// SPDX-License-Identifier: Apache-2.0

package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"github.com/go-json-experiment/json"

	"lozenge/cmd/internal/problem"
	"lozenge/export"
)

// manifestName is the file in which make lists what it wrote into a folder.
const manifestName = "manifest.json"

// maxManifest is far more than the names of all files that make writes take.
const maxManifest = 1 << 20

// manifest lists the files of a folder that make wrote and may replace.
type manifest struct {
	Version string         `json:"version"` // of the lozenge that wrote them
	Pattern string         `json:"pattern"`
	Files   []manifestFile `json:"files"`
}

type manifestFile struct {
	Name   string `json:"name"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

func (m manifest) lists(name string) bool {
	return slices.ContainsFunc(m.Files, func(f manifestFile) bool { return export.OneName(f.Name) == export.OneName(name) })
}

// readManifest returns the manifest of a folder, empty when there is none, or
// where force is set and it can't be read.
func readManifest(dir string, force bool) (m manifest, err error) {
	path := filepath.Join(dir, manifestName)
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return m, nil
	}
	if err == nil && !info.Mode().IsRegular() { // a pipe would be waited for
		return m, usagef("%s is no file that could be read and replaced; move it away or choose another folder", path)
	}
	refuse := func(err error) (manifest, error) {
		if force {
			return manifest{}, nil
		}
		return manifest{}, err
	}
	if err == nil && info.Size() > maxManifest {
		return refuse(usagef("%s is not a manifest of lozenge (it is too large); choose another folder, or --force to replace it", path))
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return refuse(usagef("%s can't be read: %s; choose another folder", path, problem.Reason(err)))
	}
	if err := json.Unmarshal(data, &m); err != nil {
		return refuse(usagef("%s is not a manifest of lozenge (%s); choose another folder, or --force to replace it", path, problem.JSONReason(err)))
	}
	return m, nil
}

// foreign returns the path of the first file that stands in dir without being
// listed, so that make did not write it, or "".
func (m manifest) foreign(dir string, files []product) string {
	for _, f := range files {
		path := filepath.Join(dir, f.name)
		if _, err := os.Lstat(path); err == nil && !m.lists(f.name) {
			return path
		}
	}
	return ""
}

// stale returns the files that an earlier run wrote and this one did not, unless they
// were changed since.
func stale(dir string, old, now manifest) (paths []string) {
	for _, f := range old.Files {
		if now.lists(f.Name) || f.Name != filepath.Base(f.Name) {
			continue
		}
		path := filepath.Join(dir, f.Name)
		if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() || info.Size() != f.Bytes {
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil || hash(data) != f.SHA256 {
			continue
		}
		paths = append(paths, path)
	}
	return paths
}

func hash(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data)) }

// measured counts and hashes what is written through it into entry.
func measured(name string, write func(io.Writer) error, entry *manifestFile) func(io.Writer) error {
	return func(w io.Writer) error {
		sum, count := sha256.New(), &counter{}
		if err := write(io.MultiWriter(w, sum, count)); err != nil {
			return err
		}
		*entry = manifestFile{name, count.n, fmt.Sprintf("%x", sum.Sum(nil))}
		return nil
	}
}

type counter struct{ n int64 }

func (c *counter) Write(p []byte) (int, error) {
	c.n += int64(len(p))
	return len(p), nil
}

// progress is a line on a terminal that says how far a command is; elsewhere
// it is silent. Its methods may be called at the same time.
type progress struct {
	w     io.Writer
	total int
	far   func(done, of int)

	mu   sync.Mutex
	done int
	what string
}

func (t talk) newProgress(total int) *progress {
	w := t.err
	if !isTerminal(w) {
		w = io.Discard
	}
	return &progress{w: w, total: total, far: t.far}
}

func (p *progress) step(what string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
	p.what = what
	p.show()
	if p.far != nil {
		p.far(p.done, p.total)
	}
}

func (p *progress) show() { fmt.Fprintf(p.w, "\r\x1b[K%d of %d: %s", p.done, p.total, p.what) }

// above has say write whole lines where the progress line stands, which then
// moves below them.
func (p *progress) above(say func()) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.wipe()
	say()
	if p.done > 0 {
		p.show()
	}
}

func (p *progress) clear() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done = 0
	p.wipe()
}

func (p *progress) wipe() { fmt.Fprint(p.w, "\r\x1b[K") }
