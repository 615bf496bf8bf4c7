// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// work plans as the commands do, without scrap bins.
var work = Work{
	Plan: func(name string, text []byte) (*quilt.Plan, []string, error) {
		p, err := pattern.Parse(name, text)
		if err != nil {
			return nil, nil, err
		}
		plan, err := quilt.New(p.Spec)
		return plan, nil, p.Wrong(err, "")
	},
	Facts: func(p *quilt.Plan) []Section { return nil },
	Make: func(file, dir string, far func(done, of int)) ([]Made, error) {
		far(1, 1)
		return []Made{{"plan.txt", "the plan"}}, errors.Join(os.MkdirAll(dir, 0o777), os.WriteFile(filepath.Join(dir, "plan.txt"), []byte("plan"), 0o666))
	},
	Table: func(*quilt.Plan) (string, error) { return "http://127.0.0.1:1/x/", nil },
}

// settled waits until the newest text is planned, or wrong.
func settled(t testing.TB, s *session) *view {
	t.Helper()
	for range 1000 {
		if v := s.now(); !v.Planning || v.Stage == "begin" {
			return v
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Fatal("it plans for ever")
	return nil
}

func began(t testing.TB, folder, drafts string) *session {
	t.Helper()
	s := newSession(work, folder, drafts)
	s.do(action{Do: doNew, Unit: "in"})
	return s
}

func set(path, value string) action {
	return action{Do: doEdit, Edits: []one{{Path: path, Value: value}}}
}

// What is tried out is what is saved, and read again it is the same to the byte,
// whatever was changed, undone and done again. All undone, it is what it was.
func TestWhatIsTriedIsSaved(t *testing.T) {
	outside.Cases(t, 30, 1000)
	work := work
	made, _, err := work.Plan("x", pattern.Starter(geometry.Inch))
	if err != nil {
		t.Fatal(err)
	}
	work.Plan = func(string, []byte) (*quilt.Plan, []string, error) { return made, nil, nil } // what is seen is of no matter here
	rapid.Check(t, func(t *rapid.T) {
		folder, err := os.MkdirTemp("", "desk")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(folder)
		s := newSession(work, folder, "")
		s.do(action{Do: doNew, Unit: rapid.SampledFrom([]string{"in", "cm"}).Draw(t, "unit")})
		s.beside.Wait()
		begun := s.now().Text
		for range rapid.IntRange(1, 10).Draw(t, "actions") {
			s.do(rapid.SampledFrom([]action{
				set("columns", "5"), set("rows", "3"), set("setting", "chevron"), set("strips[0].cut", "3"), set("angle", "45"), set("angle", ""), set("strips[1].fabric", "bark"),
				set("fabrics.bark.name", `Bark, "old"`), set("fabrics.blossom.colors[1]", "#102030"), set("spare", "x"), set("note", "It's: a #1 quilt"), {Do: doUndo}, {Do: doRedo},
				{Do: doLay}, {Do: doLay, Name: "rings"}, {Do: doTurn, Cells: [][2]int{{1, 2}}}, {Do: doTurn, Cells: [][2]int{{0, -1}}, Alone: true}, {Do: doRepeat, Cells: [][2]int{{3, 2}, {1, 3}}},
				{Do: doEdit, Edits: []one{{Path: "columns", Remove: true}, {Path: "rows", Remove: true}, {Path: "finish.width", Value: "30"}, {Path: "finish.height", Value: "40"}}},
				{Do: doEdit, Edits: []one{{Path: "strips", Item: [][2]string{{"cut", "2"}, {"fabric", "bark"}}}}},
				{Do: doEdit, Edits: []one{{Path: "fabrics.blossom.colors[0]", Item: [][2]string{{"name", "petal"}, {"color", "#f3d3dc"}}, Put: true}}},
				{Do: doEdit, Edits: []one{{Path: "borders", Item: [][2]string{{"cut", "3"}, {"fabric", "bark"}}}}},
			}).Draw(t, "action"))
		}
		v := s.do(action{Do: doSave, Name: "q"})
		if v.Told != "" || v.Dirty || v.File != "q.yaml" {
			t.Fatalf("%q %+v", v.Told, v)
		}
		data, err := os.ReadFile(filepath.Join(folder, "q.yaml"))
		if err != nil || string(data) != v.Text {
			t.Fatalf("%v\n%s\n%s", err, data, v.Text)
		}
		other := newSession(work, folder, "")
		if w := other.do(action{Do: doOpen, Name: "q.yaml"}); w.Text != v.Text || w.Dirty || len(w.Problems) != len(v.Problems) {
			t.Fatalf("%+v\n%+v", v, w)
		}
		for v.CanUndo {
			v = s.do(action{Do: doUndo})
		}
		if v.Text != begun {
			t.Fatalf("undone it is\n%s", v.Text)
		}
	})
}

// The last good quilt stays, what is wrong is told at its place, and the newest text
// wins.
func TestLastGoodQuilt(t *testing.T) {
	s := began(t, t.TempDir(), "")
	good := settled(t, s)
	if good.Picture != good.Version || good.Size == nil || good.Size.Columns != 9 {
		t.Fatalf("%+v", good)
	}
	s.do(set("strips[1].cut", "1/2"))
	v := settled(t, s)
	if v.Picture != good.Picture || v.Version == good.Version || len(v.Problems) != 1 || v.Problems[0].Path != "strips[1].cut" {
		t.Errorf("%+v", v)
	}
	for _, columns := range []string{"20", "30", "7"} {
		s.do(set("columns", columns))
	}
	s.do(set("strips[1].cut", "2 1/2"))
	if v = settled(t, s); v.Size.Columns != 7 || v.Picture != v.Version || len(v.Problems) > 0 {
		t.Errorf("%+v", v)
	}
	v = s.do(action{Do: doText, Text: "unit: in\n- x"})
	if len(v.Problems) == 0 || v.Picture == "" {
		t.Errorf("%+v", v)
	}
}

// The small pictures show every word in place of what stands in the pattern, also of a
// setting in place of a layout of her own.
func TestSmallPictures(t *testing.T) {
	text := "unit: in\nstrips: [{cut: 3, fabric: a}, {cut: 3, fabric: b}]\ncolumns: 30\nrows: 40\nlayout: [R R L L]\n"
	plan, _, err := work.Plan("x", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range variants() {
		if d := small("x", text, plan, []string{v.Key}, []string{v.Word}); d == nil || len(d.Fills) == 0 || len(d.Fills) > 2*2*mostColumns*(mostRows+2) {
			t.Errorf("%s %s: %v", v.Key, v.Word, d)
		}
	}
}

// Typed on, a change is one step with the one before.
func TestTypingIsOneStep(t *testing.T) {
	s := began(t, t.TempDir(), "")
	begun := s.now().Text
	for i, text := range []string{"1", "12", "12 ", "12"} {
		a := set("spare", strings.TrimSpace(text))
		a.More = i > 0
		s.do(a)
	}
	if v := s.do(action{Do: doUndo}); v.Text != begun || v.CanUndo {
		t.Errorf("%s", v.Text)
	}
}

// Nothing is written over that somebody else wrote meanwhile, unless she says so;
// what can't be written is told, and stays.
func TestSavingIsCareful(t *testing.T) {
	folder := t.TempDir()
	s := began(t, folder, "")
	if v := s.do(action{Do: doSave}); v.Told == "" || v.File != "" {
		t.Errorf("without a name: %+v", v)
	}
	for _, bad := range []string{"../q.yaml", "q.svg", "/q.yaml", "a/../../q.yaml"} {
		if v := s.do(action{Do: doSave, Name: bad}); v.Told == "" || v.File != "" {
			t.Errorf("%s: %+v", bad, v)
		}
	}
	file := filepath.Join(folder, "q.yaml")
	write := func(text string) {
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write("theirs")
	if v := s.do(action{Do: doSave, Name: "q.yaml"}); v.Told == "" || !v.Dirty {
		t.Errorf("over another's: %+v", v)
	}
	if data, _ := os.ReadFile(file); string(data) != "theirs" {
		t.Errorf("%s", data)
	}
	os.Remove(file)
	if v := s.do(action{Do: doSave, Name: "q.yaml"}); v.Told != "" || v.Dirty {
		t.Errorf("%+v", v)
	}
	write("theirs again")
	s.do(set("columns", "4"))
	if v := s.do(action{Do: doSave}); v.Told == "" || !v.Dirty {
		t.Errorf("changed meanwhile: %+v", v)
	}
	if v := s.do(action{Do: doMake}); v.Told == "" || v.Making != nil {
		t.Errorf("made meanwhile: %+v", v)
	}
	if v := s.do(action{Do: doSave, Anyway: true}); v.Told != "" || v.Dirty {
		t.Errorf("anyway: %+v", v)
	}
	if data, _ := os.ReadFile(file); !strings.Contains(string(data), "columns: 4") {
		t.Errorf("%s", data)
	}
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
	s.do(set("columns", "5"))
	if v := s.do(action{Do: doSave, Anyway: true}); v.Told == "" || !v.Dirty || !strings.Contains(v.Text, "columns: 5") {
		t.Errorf("into no folder: %+v", v)
	}
}

// What is not saved is there again the next time, of a file and of a new quilt, and
// is forgotten when it is saved.
func TestUnsavedIsKept(t *testing.T) {
	folder, drafts := t.TempDir(), filepath.Join(t.TempDir(), "own", "unsaved")
	s := began(t, folder, drafts)
	s.do(set("columns", "4"))
	s.beside.Wait()
	s = newSession(work, folder, drafts)
	if v := s.now(); !v.Unsaved {
		t.Fatalf("%+v", v)
	}
	if v := s.do(action{Do: doResume}); !strings.Contains(v.Text, "columns: 4") || !v.Dirty {
		t.Errorf("%+v", v)
	}
	s.do(action{Do: doSave, Name: "q"})
	s.do(set("columns", "6"))
	s.beside.Wait()
	s = newSession(work, folder, drafts)
	if v := s.now(); v.Unsaved {
		t.Error("what was saved under a name is offered as not saved")
	}
	v := s.do(action{Do: doOpen, Name: "q.yaml"})
	if !strings.Contains(v.Text, "columns: 6") || !v.Dirty || !v.CanUndo || v.Told == "" {
		t.Errorf("%+v", v)
	}
	if v = s.do(action{Do: doUndo}); v.Dirty || !strings.Contains(v.Text, "columns: 4") {
		t.Errorf("%+v", v)
	}
	s.do(action{Do: doRedo})
	s.do(action{Do: doSave})
	s.beside.Wait()
	if left, _ := os.ReadDir(drafts); len(left) > 0 {
		t.Errorf("%v", left)
	}
	if info, err := os.Stat(drafts); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("%v %v", info.Mode(), err)
	}
}

// Files are made beside the pattern, and only those are shown.
func TestMakeAndTable(t *testing.T) {
	folder := t.TempDir()
	s := began(t, folder, "")
	settled(t, s)
	s.do(action{Do: doMake, Name: "q.yaml"})
	var v *view
	for range 500 {
		if v = s.now(); v.Making != nil && v.Making.Done {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	if v.Making == nil || !v.Making.Done || v.Making.Wrong != "" || v.Making.Folder != filepath.Join(folder, "q") || len(v.Making.Files) != 1 || v.Making.Far != [2]int{1, 1} {
		t.Fatalf("%+v", v.Making)
	}
	if v = s.do(action{Do: doTable}); v.Table == "" || v.Told != "" {
		t.Errorf("%+v", v)
	}
	if v = s.do(action{Do: doFolder}); v.Told == "" || v.Making.Show {
		t.Errorf("no desktop: %+v", v)
	}
	opened := ""
	s.work.Show = func(folder string) error { opened = folder; return nil }
	if v = s.do(action{Do: doFolder}); v.Told != "" || !v.Making.Show || opened != filepath.Join(folder, "q") {
		t.Errorf("%q %+v", opened, v)
	}
	s.do(set("columns", "x"))
	for _, do := range []string{doMake, doTable} {
		if v = s.do(action{Do: do}); v.Told == "" {
			t.Errorf("%s of what is wrong: %+v", do, v)
		}
	}
}

// Every problem that the reader of patterns finds lies at a place of the text, when
// it is one that YAML has.
func TestProblemsHaveTheirPlaces(t *testing.T) {
	starter := string(pattern.Starter(geometry.Inch))
	for path, value := range map[string]string{
		"unit": "inch", "strips[0].cut": "2 1/", "strips[1].fabric": "nothing", "columns": "0", "rows": "3.5", "fabrics.bark.from": "shop", "fabrics.blossom.colors[2]": "#12",
		"fabrics.bark.strip_length": "x", "angle": "5", "seam": "0", "tips": "cut", "usable_width": "-1", "setting": "zig", "color_order": "x", "edges": "all", "stagger": "yes", "end_trim": "50",
		"spare": "-1", "sewn_width": "9", "face": "left", "edge_grain": "x", "shrinkage": "200", "binding.cut": "x", "batting.extra": "x", "cutter.gap": "x", "straighten": "x", "name": strings.Repeat("x", 200),
	} {
		text, err := pattern.Set(starter, path, value)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		s := newSession(work, t.TempDir(), "")
		s.do(action{Do: doNew, Unit: "in"})
		s.do(action{Do: doText, Text: text})
		v := settled(t, s)
		if len(v.Problems) == 0 {
			t.Errorf("%s: %s: no problem", path, value)
		}
		for _, p := range v.Problems {
			if p.Path != path {
				t.Errorf("%s: %s: told at %q: %s", path, value, p.Path, p.Message)
			}
		}
	}
}

// How the diamonds lie is changed only where there are some, and a layout that is
// chosen is the one of its name.
func TestLay(t *testing.T) {
	s := began(t, t.TempDir(), "")
	v := settled(t, s)
	if v.Lay == nil || v.Lay.Own || v.Lay.Name != "" || v.Lay.Columns != v.Size.Columns {
		t.Fatalf("%+v", v.Lay)
	}
	for _, a := range []action{{Do: doLay, Name: "x"}, {Do: doTurn}, {Do: doTurn, Cells: [][2]int{{99, 0}}}, {Do: doTurn, Cells: [][2]int{{0, -2}}}, {Do: doRepeat, Cells: [][2]int{{0, 0}}}, {Do: doRepeat, Cells: [][2]int{{0, 0}, {0, 99}}}} {
		if w := s.do(a); w.Told == "" || w.Text != v.Text {
			t.Errorf("%+v: %q\n%s", a, w.Told, w.Text)
		}
	}
	for _, n := range quilt.NamedLayouts() {
		s.do(action{Do: doLay, Name: n.Name})
		if v := settled(t, s); v.Lay.Name != n.Name || !v.Lay.Own || len(v.Problems) > 0 {
			t.Errorf("%s: %+v %+v", n.Name, v.Lay, v.Problems)
		}
	}
	s.do(set("columns", "x"))
	if v := s.do(action{Do: doTurn, Cells: [][2]int{{0, 0}}}); v.Told == "" {
		t.Errorf("turned in what is wrong: %s", v.Text)
	}
}

func TestActionsAreRead(t *testing.T) {
	for _, bad := range []string{"", "{", "[]", `{"do":"edit"}x`, `{"do":"edit","more":1}`, `{"what":"x"}`, `{"do":"edit","edits":[` + strings.Repeat(`{"path":"a"},`, 101) + `{"path":"b"}]}`} {
		if _, err := parseAction([]byte(bad)); err == nil {
			t.Errorf("%.60s is an action", bad)
		}
	}
	s := newSession(work, t.TempDir(), "")
	for _, a := range []action{{Do: "x"}, {Do: doSave}, set("columns", "3"), {Do: doOpen, Name: "../x.yaml"}, {Do: doOpen, Name: "not.yaml"}, {Do: doResume}} {
		if v := s.do(a); v.Told == "" || v.Stage != "begin" {
			t.Errorf("%+v: %+v", a, v)
		}
	}
}
