// SPDX-License-Identifier: Apache-2.0

package table

import (
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lozenge/calibrate"
	"lozenge/export"
	"lozenge/geometry/quilt"
)

// keeper keeps things in a folder. Every file is a JSON object, written whole
// or not at all.
type keeper struct{ folder string }

// The folders of what is kept, and how large a file may be that is believed.
const (
	calibrations = "calibrations"
	places       = "progress"
	lookFile     = "look.json"
	mostKept     = 1 << 20
	mostMat      = 60 // characters in the name of a mat
)

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

// Validate returns an error when the file is not one that was kept.
func (k kept) Validate() error {
	if k.Mat == "" || len([]rune(k.Mat)) > mostMat {
		return fmt.Errorf("it names no mat")
	}
	return k.File.Validate()
}

// stop is where she stopped, in words that mean the same under another
// projector, where a strip set may be slid more or less often.
type stop struct {
	StripSet int    `json:"strip_set"` // from 0, in cutting order
	Doing    string `json:"doing"`     // the kind of the step
	Cut      int    `json:"cut"`       // the first number of its cuts; of a slide the cut that is lined up; or 0
}

// save writes v as JSON into a file below the folder.
func (k keeper) save(v any, names ...string) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	path := filepath.Join(append([]string{k.folder}, names...)...)
	if err := export.MakeDir(filepath.Dir(path)); err != nil {
		return err
	}
	return export.Save(path, export.Options{Force: true}, func(w io.Writer) error {
		_, err := w.Write(append(data, '\n'))
		return err
	})
}

// load reads a file below the folder into v. A file that is not there is an
// error as any other.
func (k keeper) load(v any, names ...string) error {
	f, err := os.Open(filepath.Join(append([]string{k.folder}, names...)...))
	if err != nil {
		return err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostKept+1))
	if err != nil {
		return err
	}
	if len(data) > mostKept {
		return fmt.Errorf("it is too large")
	}
	return json.Unmarshal(data, v)
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
// the names of files that are damaged.
func (k keeper) calibrations() (all []kept, damaged []string) {
	files, _ := os.ReadDir(filepath.Join(k.folder, calibrations)) // none, then
	for _, f := range files {
		if strings.HasPrefix(f.Name(), ".") || filepath.Ext(f.Name()) != ".json" || !f.Type().IsRegular() {
			continue
		}
		var c kept
		err := k.load(&c, calibrations, f.Name())
		if err == nil {
			err = c.Validate()
		}
		if err != nil {
			damaged = append(damaged, f.Name())
			continue
		}
		all = append(all, c)
	}
	slices.SortStableFunc(all, func(a, b kept) int {
		return cmp.Or(cmp.Compare(a.Mat, b.Mat), cmp.Compare(a.Screen.Width, b.Screen.Width), cmp.Compare(a.Screen.Height, b.Screen.Height))
	})
	return all, damaged
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

// lastProgress returns how far the quilt of a pattern was cut; ok is false
// when that is not known.
func (k keeper) lastProgress(p *quilt.Plan) (r record, ok bool) {
	if k.load(&r, places, progressFile(p)) != nil || r.Kind != recordKind || r.Version != recordVersion || r.Content != contentOf(p) {
		return record{}, false
	}
	return r, true
}

// lastLook returns the look that was kept, or the plain one.
func (k keeper) lastLook() look {
	var l look
	if k.load(&l, lookFile) != nil || l.check() != nil {
		return plainLook()
	}
	return l
}

// staleAfter is how old an unfinished file is that nobody is busy with.
const staleAfter = time.Hour

// sweep removes what a run left unfinished that was killed.
func (k keeper) sweep(now time.Time) {
	for _, dir := range []string{k.folder, filepath.Join(k.folder, calibrations), filepath.Join(k.folder, places), filepath.Join(k.folder, readingsFolder)} {
		files, _ := os.ReadDir(dir) // none, then
		for _, f := range files {
			info, err := f.Info()
			if err == nil && info.Mode().IsRegular() && strings.HasPrefix(f.Name(), export.TempPrefix) && now.Sub(info.ModTime()) > staleAfter {
				_ = os.Remove(filepath.Join(dir, f.Name())) // next time, then
			}
		}
	}
}
