// SPDX-License-Identifier: Apache-2.0

package table

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"lozenge/export"
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
	if _, ok := k.lastProgress(p); ok {
		t.Error("progress out of nothing")
	}
	want := progress{made: cuts{0: {1: true, 2: true}, 3: {5: true}}, spoiled: []pieceOf{{3, 1}}}
	at := stop{3, "cut across", 5}
	if err := k.keepProgress(p, want.recorded(at)); err != nil {
		t.Fatal(err)
	}
	if r, ok := k.lastProgress(p); !ok || r.At != at || !reflect.DeepEqual(r.progress(), want) {
		t.Errorf("%+v, %v", r, ok)
	}
	if _, ok := k.lastProgress(other); ok {
		t.Error("another pattern has that progress")
	}
	// The same name with another content is another pattern.
	changed := *p
	changed.Spec.Strips = append(changed.Spec.Strips[:1:1], changed.Spec.Strips[0])
	if _, ok := k.lastProgress(&changed); ok {
		t.Error("a changed pattern has that progress")
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
