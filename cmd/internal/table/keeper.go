// SPDX-License-Identifier: Apache-2.0

package table

import (
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
	"lozenge/export"
	"lozenge/geometry/quilt"
)

// keeper keeps things in a folder, or nothing where it is "". Every file is a
// JSON object, written whole or not at all.
type keeper struct{ folder string }

// The folders of what is kept.
const (
	calibrations = "calibrations"
	places       = "progress"
	lookFile     = "look.json"
	mostMat      = 60 // characters in the name of a mat
)

// MostKept is how large a file may be that is believed: no calibration takes
// nearly as much.
const MostKept = 1 << 20

// kept is a calibration as it is kept: that of 'calibrate solve', which 'mat
// --calibration' reads too, with the mat that it was made for.
type kept struct {
	Mat     string `json:"mat"`
	Checked bool   `json:"checked"` // the check square was measured and is true
	// Stood is where the window stood on the screen; nil when it isn't known.
	Stood *[2]int `json:"stood,omitempty"`
	given bool    // named when she began, and not kept here yet
	calibrate.File
}

// The kinds of what is kept.
var (
	keptCalibration = problem.Kept{Kind: calibrate.FileKind, Newest: calibrate.FileVersion, Hint: "give the file that 'lozenge calibrate solve' wrote, or solve the readings again"}
	keptProgress    = problem.Kept{Kind: recordKind, Newest: recordVersion}
	keptReadings    = problem.Kept{Kind: readingsKind, Newest: readingsVersion}
	keptLook        = problem.Kept{Kind: "look"}
)

// ReadCalibration reads and checks a calibration that 'lozenge calibrate solve' or
// a page at the table kept. name is what messages call it.
func ReadCalibration(name string, data []byte) (calibrate.File, error) {
	var k kept
	if len(data) > MostKept {
		return k.File, problem.List{{File: name, Message: "is too large for a " + keptCalibration.Kind, Hint: keptCalibration.Hint}}
	}
	if err := keptCalibration.Read(name, data, &k); err != nil {
		return k.File, err
	}
	if _, err := k.Map(); err != nil {
		return k.File, problem.About(name, err)
	}
	return k.File, nil
}

// check returns an error when the file is not one that was kept here.
func (k kept) check() error {
	if k.Mat == "" || len([]rune(k.Mat)) > mostMat {
		return fmt.Errorf("it names no mat")
	}
	_, err := k.Map()
	return err
}

// stop is where she stopped, in words that mean the same under another
// projector, where a strip set may be slid more or less often.
type stop struct {
	StripSet int    `json:"strip_set"` // from 0, in cutting order
	Doing    string `json:"doing"`     // the kind of the step
	Cut      int    `json:"cut"`       // the first number of its cuts; of a slide the cut that is lined up; or 0
}

// save writes v as JSON into a file below the folder, for the eyes of its owner
// alone (XDG Base Directory Specification 0.8: folders that are made have mode 0700).
func (k keeper) save(v any, names ...string) error {
	if k.folder == "" {
		return nil
	}
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	path := k.path(names...)
	if err := export.MakeDir(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	// One of an earlier lozenge may be open to others.
	if err := os.Chmod(k.folder, 0o700); err != nil {
		return &export.DiskError{Op: "keep to yourself", Path: k.folder, Err: err}
	}
	return export.Save(path, export.Options{Force: true, Private: true}, func(w io.Writer) error {
		_, err := w.Write(append(data, '\n'))
		return err
	})
}

func (k keeper) path(names ...string) string {
	return filepath.Join(append([]string{k.folder}, names...)...)
}

// load reads a file of some kind below the folder into v. A file that is not
// there is an error as any other.
func (k keeper) load(kind problem.Kept, v any, names ...string) error {
	if k.folder == "" {
		return fs.ErrNotExist
	}
	f, err := os.Open(k.path(names...))
	if err != nil {
		return err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MostKept+1))
	if err != nil {
		return err
	}
	if len(data) > MostKept {
		return fmt.Errorf("it is too large")
	}
	return kind.Read(names[len(names)-1], data, v)
}

// fingerprint returns what tells one text from any other.
func fingerprint(data []byte) string {
	sum := sha256.Sum256(data)
	return fmt.Sprintf("%x", sum[:16])
}

// fileName makes a name for a file out of what people call a thing: its
// letters and digits, and a fingerprint of the whole, since two names may
// have the same letters.
func fileName(words, whole string) string {
	safe := strings.Trim(strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(words)), "-")
	if len(safe) > 40 {
		safe = safe[:40]
	}
	return strings.TrimLeft(safe+"-", "-") + fingerprint([]byte(whole))[:16] + ".json"
}

// keepCalibration keeps the calibration of a screen and a mat, in place of an
// older one.
func (k keeper) keepCalibration(c kept) error {
	what := c.Mat + "\n" + c.Screen.String()
	return k.save(c, calibrations, fileName(c.Mat+"-"+c.Screen.String(), what))
}

// calibrations returns what was kept, in the order of mats and screens, and
// what there is to say of files that can't be used.
func (k keeper) calibrations() (all []kept, notes []string) {
	if k.folder == "" {
		return nil, nil
	}
	files, _ := os.ReadDir(k.path(calibrations)) // none, then
	for _, f := range files {
		if strings.HasPrefix(f.Name(), ".") || filepath.Ext(f.Name()) != ".json" || !f.Type().IsRegular() {
			continue
		}
		var c kept
		err := k.load(keptCalibration, &c, calibrations, f.Name())
		if err == nil {
			err = c.check()
		}
		if err != nil {
			notes = append(notes, fmt.Sprintf("%s in the folder of calibrations %s and is left alone.", f.Name(), unusable(err)))
			continue
		}
		all = append(all, c)
	}
	slices.SortStableFunc(all, func(a, b kept) int {
		return cmp.Or(cmp.Compare(a.Mat, b.Mat), cmp.Compare(a.Screen.Width, b.Screen.Width), cmp.Compare(a.Screen.Height, b.Screen.Height))
	})
	return all, notes
}

// unusable says what is the matter with a kept file.
func unusable(err error) string {
	if errors.Is(err, problem.ErrNewer) {
		return "was written by a newer lozenge"
	}
	return "is damaged"
}

// contentOf returns the fingerprint of all that a pattern says: comments and
// white space leave it as it is.
func contentOf(p *quilt.Plan) string {
	data, err := json.Marshal(p.Spec)
	if err != nil {
		panic(err) // plain data
	}
	return fingerprint(data)
}

func progressFile(p *quilt.Plan) string {
	return fileName(p.Spec.Name, p.Spec.Name+"\n"+contentOf(p))
}

// keepProgress keeps how far the quilt of a pattern is cut.
func (k keeper) keepProgress(p *quilt.Plan, r record) error {
	r.Name, r.Content = p.Spec.Name, contentOf(p)
	return k.save(r, places, progressFile(p))
}

// lastProgress returns how far the quilt of a pattern was cut, nothing where that
// is not known; lost says what became of a file that can't be used.
func (k keeper) lastProgress(p *quilt.Plan) (r record, lost string) {
	name := progressFile(p)
	err := k.load(keptProgress, &r, places, name)
	if err == nil && (r.Kind != recordKind || r.Version != recordVersion || r.Content != contentOf(p)) {
		err = errors.New("it is of another quilt")
	}
	if err == nil {
		return r, ""
	}
	if errors.Is(err, fs.ErrNotExist) {
		return record{}, ""
	}
	lost = fmt.Sprintf("What was cut of this quilt before can't be told: %s in %s %s.", name, k.path(places), unusable(err))
	// What is cut now is kept under its name.
	if aside := name + ".lost"; os.Rename(k.path(places, name), k.path(places, aside)) == nil {
		lost += " It is called " + aside + " now."
	}
	return record{}, lost
}

// lastLook returns the look that was kept, or the plain one.
func (k keeper) lastLook() look {
	var l look
	if k.load(keptLook, &l, lookFile) != nil || l.check() != nil {
		return plainLook()
	}
	return l
}

// staleAfter is how old an unfinished file is that nobody is busy with.
const staleAfter = time.Hour

// sweep removes what a run left unfinished that was killed.
func (k keeper) sweep(now time.Time) {
	if k.folder == "" {
		return
	}
	for _, dir := range []string{k.folder, k.path(calibrations), k.path(places), k.path(readingsFolder)} {
		files, _ := os.ReadDir(dir) // none, then
		for _, f := range files {
			info, err := f.Info()
			if err == nil && info.Mode().IsRegular() && strings.HasPrefix(f.Name(), export.TempPrefix) && now.Sub(info.ModTime()) > staleAfter {
				_ = os.Remove(filepath.Join(dir, f.Name())) // next time, then
			}
		}
	}
}
