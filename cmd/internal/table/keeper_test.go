// SPDX-License-Identifier: Apache-2.0

package table

import (
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"lozenge/export"
	"lozenge/export/outside/virtual"
	"lozenge/geometry/quilt"
)

func writeFile(t testing.TB, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// Law: whatever a mat or a pattern is called, its file lies in its folder, and
// two names never share one.
func TestFileNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"../../etc/passwd", "con", "a/b", `a\b`, ".hidden", "-", "", "ä"})).Draw(t, "name")
		other := rapid.String().Draw(t, "other")
		a, b := fileName(name, name), fileName(other, other)
		if filepath.Base(a) != a || strings.Trim(a, "abcdefghijklmnopqrstuvwxyz0123456789-.") != "" || strings.HasPrefix(a, ".") || strings.HasPrefix(a, "-") || len(a) > 80 || filepath.Ext(a) != ".json" || strings.Count(a, ".") != 1 {
			t.Fatalf("%q gives %q", name, a)
		}
		if name != other && a == b {
			t.Fatalf("%q and %q share %q", name, other, a)
		}
	})
}

func TestKeepsAndForgets(t *testing.T) {
	k := keeper{filepath.Join(t.TempDir(), "new", "lozenge")}
	p, other := planOf(t, "tide-lap"), planOf(t, "ember-throw")
	if r, lost := k.lastProgress(p); r.Kind != "" || lost != "" {
		t.Error("progress out of nothing")
	}
	want := progress{made: cuts{0: {1: true, 2: true}, 3: {5: true}}, spoiled: []pieceOf{{3, 1}}}
	at := stop{3, "cut across", 5}
	if err := k.keepProgress(p, want.recorded(at)); err != nil {
		t.Fatal(err)
	}
	if r, lost := k.lastProgress(p); lost != "" || r.At != at || !reflect.DeepEqual(r.progress(), want) {
		t.Errorf("%+v, %v", r, lost)
	}
	if r, lost := k.lastProgress(other); r.Kind != "" || lost != "" {
		t.Error("another pattern has that progress")
	}
	// The same name with another content is another pattern.
	changed := *p
	changed.Spec.Strips = append(changed.Spec.Strips[:1:1], changed.Spec.Strips[0])
	if r, lost := k.lastProgress(&changed); r.Kind != "" || lost != "" {
		t.Error("a changed pattern has that progress")
	}
	laid := *p
	laid.Spec.Layout = quilt.OneWay
	if r, lost := k.lastProgress(&laid); r.Kind != "" || lost != "" {
		t.Error("the pattern in another setting has that progress")
	}
	if l := k.lastLook(); l != plainLook() {
		t.Errorf("%+v", l)
	}
	mine := look{Width: 4, Colour: 2, Light: true, Bright: .7, Words: 1.4, All: true}
	if err := k.save(mine, lookFile); err != nil || k.lastLook() != mine {
		t.Errorf("%v %+v", err, k.lastLook())
	}
	writeFile(t, filepath.Join(k.folder, lookFile), `{"width": 1e9}`)
	if l := k.lastLook(); l != plainLook() {
		t.Errorf("%+v", l)
	}
	// What a killed run left unfinished goes when nobody can be busy with it.
	old, young := filepath.Join(k.folder, export.TempPrefix+"old"), filepath.Join(k.folder, places, export.TempPrefix+"young")
	writeFile(t, old, "{")
	writeFile(t, young, "{")
	past := time.Now().Add(-2 * staleAfter)
	if err := os.Chtimes(old, past, past); err != nil {
		t.Fatal(err)
	}
	k.sweep(time.Now())
	if _, err := os.Stat(old); err == nil {
		t.Error("the old file is there")
	}
	if _, err := os.Stat(young); err != nil {
		t.Error("the young file is gone")
	}
}

// What is kept is its owner's alone, also in a folder that was open before.
func TestKeptForItsOwner(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no modes on Windows")
	}
	k := keeper{filepath.Join(t.TempDir(), "lozenge")}
	p := planOf(t, "tide-lap")
	writeFile(t, k.path(places, progressFile(p)), "{}")
	if err := os.Chmod(k.folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := k.keepProgress(p, (&progress{}).recorded(stop{})); err != nil {
		t.Fatal(err)
	}
	if err := k.save(plainLook(), lookFile); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]os.FileMode{k.folder: 0o700, k.path(places, progressFile(p)): 0o600, k.path(lookFile): 0o600} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, want %v: %v", path, info.Mode().Perm(), want, err)
		}
	}
}

// Progress that can't be used is told and put aside, never written over.
func TestLostProgress(t *testing.T) {
	p := planOf(t, "tide-lap")
	name := progressFile(p)
	for text, told := range map[string]string{
		`{"kind":"progress","version":3,"new":true}`:                           "was written by a newer lozenge",
		`{"kind":"progress","version":2,"made":[[1`:                            "is damaged",
		`{"kind":"progress","version":2,"pattern":"x","content":"y"}`:          "is damaged",
		`{"kind":"progress","version":2,"version":2,"content":"y"}`:            "is damaged",
		`{"kind":"progress","version":2,"pattern":"x","content":"y","x":null}`: "is damaged",
	} {
		k := keeper{t.TempDir()}
		writeFile(t, k.path(places, name), text)
		r, lost := k.lastProgress(p)
		if r.Kind != "" || !strings.Contains(lost, name+" in "+k.path(places)+" "+told+". It is called "+name+".lost now.") {
			t.Errorf("%s: %q", text, lost)
		}
		if data, err := os.ReadFile(k.path(places, name+".lost")); err != nil || string(data) != text {
			t.Errorf("%s: %q, %v", text, data, err)
		}
		if _, lost := k.lastProgress(p); lost != "" {
			t.Errorf("told twice: %s", lost)
		}
	}
}

// Without a folder the page works, keeps nothing and says so.
func TestKeepsNothing(t *testing.T) {
	here, plan := t.TempDir(), planOf(t, "tide-lap")
	t.Chdir(here)
	p := sits(t, plan, "", virtual.Tilted())
	p.cuts()
	if v := p.s.now(); !slices.Contains(v.Notes, "Nothing is kept, neither a calibration nor what is cut: this computer has no folder for it.") || p.s.unkept != nil {
		t.Errorf("%q, %v", v.Notes, p.s.unkept)
	}
	if err := p.s.close(); err != nil {
		t.Error(err)
	}
	if left, _ := os.ReadDir(here); len(left) > 0 {
		t.Errorf("%v is left", left)
	}
}

// The saver writes the last value, whatever came between, and tells what went
// wrong.
func TestSaver(t *testing.T) {
	last := -1
	s := newSaver(func(v int) error {
		time.Sleep(time.Millisecond)
		last = v
		return nil
	})
	for i := range 100 {
		s.put(i)
	}
	if err := s.close(); err != nil || last != 99 {
		t.Errorf("%v, %d", err, last)
	}
	s = newSaver(func(int) error { return os.ErrPermission })
	s.put(1)
	if err := s.close(); err == nil {
		t.Error("nothing was said")
	}
}
