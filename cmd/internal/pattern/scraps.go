// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"lozenge/cmd/internal/problem"
)

// mostScrapBytes is more than any table of scraps has.
const mostScrapBytes = 4 << 20

// scraps reads which file holds the scrap bin: one in the pattern's folder or
// below it, so that a pattern that is passed on reads nothing else.
func (f fields) scraps(patternPath string) string {
	n := f.scalar("scraps", "the name of a table")
	if n == nil {
		return ""
	}
	name := filepath.FromSlash(n.text)
	if !filepath.IsLocal(name) {
		f.d.fail(n.at, fmt.Sprintf("scraps: %s is not in the folder of the pattern or below it", show(n.text)), "put the table beside the pattern and write its name, as scraps.csv")
		return ""
	}
	return filepath.Join(folderOf(patternPath), name)
}

// folderOf returns the pattern's folder; the current one for standard input.
func folderOf(patternPath string) string {
	if patternPath == problem.StandardInput {
		return "."
	}
	return filepath.Dir(patternPath)
}

// ReadScraps returns the table that Scraps names. It must be a regular file in the
// pattern's folder or below; the error is a [Problems].
func (p *Pattern) ReadScraps() ([]byte, error) {
	fail := func(message, hint string) ([]byte, error) {
		return nil, Problems{p.At("scraps", "scraps: "+show(p.Scraps)+" "+message, hint)}
	}
	folder := folderOf(p.Path)
	root, err := os.OpenRoot(folder)
	if err != nil {
		return fail("can't be read: "+problem.Reason(err), "check the folder of the pattern")
	}
	defer root.Close()
	name, err := filepath.Rel(folder, p.Scraps)
	if err != nil {
		return fail("can't be found", "check the name")
	}
	info, err := root.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fail("is not there", "check the name; it is looked for beside the pattern")
	case err != nil:
		return fail("can't be read: "+problem.Reason(err), "check that it lies in the pattern's folder and that you may read it")
	case info.Mode()&fs.ModeType != 0:
		return fail("is not a file", "name the table itself")
	case info.Size() > mostScrapBytes:
		return fail(fmt.Sprintf("is larger than %d MiB", mostScrapBytes>>20), "check that it is the table of your scraps")
	}
	data, err := root.ReadFile(name)
	if err != nil {
		return fail("can't be read: "+problem.Reason(err), "check that you may read it")
	}
	return data, nil
}
