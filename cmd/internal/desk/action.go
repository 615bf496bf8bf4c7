// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"lozenge/cmd/internal/pattern"
	"lozenge/geometry"
)

// mostText is how large the text of a pattern may be here.
const mostText = 256 << 10

// mostEdits is how many changes one action may make.
const mostEdits = 100

// What an action does.
const (
	doNew    = "new"    // a new pattern, Unit says in what
	doResume = "resume" // the new pattern that was not saved
	doOpen   = "open"   // the pattern Name of the folder
	doEdit   = "edit"   // Edits, one step to undo
	doText   = "text"   // the whole Text
	doLay    = "lay"    // a layout of her own: Name's, or as it lies
	doTurn   = "turn"   // the one of the Cells, in every repeat or Alone
	doRepeat = "repeat" // the cells from one of the Cells to the other become the repeat
	doUndo   = "undo"
	doRedo   = "redo"
	doSave   = "save"   // as Name, or where it was; Anyway over what changed meanwhile
	doMake   = "make"   // everything, after it is saved
	doFolder = "folder" // the folder with what was made, on the desktop
	doTable  = "table"  // the page under the projector
	doClose  = "close"  // back to the beginning
)

// action is something that was done on a page.
type action struct {
	Do     string `json:"do"`
	Unit   string `json:"unit,omitempty"`
	Name   string `json:"name,omitempty"`
	Text   string `json:"text,omitempty"`
	Anyway bool   `json:"anyway,omitempty"`
	Edits  []one  `json:"edits,omitempty"`
	More   bool   `json:"more,omitempty"` // of an edit: it goes on with the one before

	Cells [][2]int `json:"cells,omitempty"` // column and row, from the bottom left
	Alone bool     `json:"alone,omitempty"`
}

// one is one change: the Value at a Path, or an Item at the end of the list there,
// or what stands there taken away.
type one struct {
	Path   string      `json:"path"`
	Value  string      `json:"value,omitempty"`
	Item   [][2]string `json:"item,omitempty"`
	Remove bool        `json:"remove,omitempty"`
	Put    bool        `json:"put,omitempty"` // the Item in place of a single value
}

// Why something can't be done, as a page tells it.
var (
	errNoName    = errors.New("give the file a name")
	errElsewhere = errors.New("the file has changed since it was opened; save under another name, or save anyway")
	errNoPlan    = errors.New("first put right what is marked")
	errTooMuch   = errors.New("that is too much for a pattern")
)

// parseAction reads an action.
func parseAction(data []byte) (a action, err error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&a); err != nil {
		return a, errors.New("this is no action")
	}
	if _, err := d.Token(); err != io.EOF {
		return a, errors.New("something follows the action")
	}
	if len(a.Edits) > mostEdits {
		return a, errors.New("too many changes at once")
	}
	return a, nil
}

// do does an action and returns what is to be seen then.
func (s *session) do(a action) *view {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.told = ""
	if err := s.act(a); err != nil {
		s.told = sentence(err)
	}
	s.changed()
	return s.view()
}

func (s *session) act(a action) error {
	switch a.Do {
	case doNew:
		unit := geometry.Inch
		if a.Unit == geometry.Centimetre.String() {
			unit = geometry.Centimetre
		}
		s.begin("", nil, string(pattern.Starter(unit)))
		return nil
	case doResume:
		s.name = ""
		text, ok := s.kept(s.draft())
		if !ok {
			return errors.New("nothing was kept")
		}
		s.begin("", nil, text)
		return nil
	case doOpen:
		return s.load(a.Name)
	}
	if !s.open {
		return errors.New("no pattern is open")
	}
	switch a.Do {
	case doEdit:
		return s.edit(a.Edits, a.More)
	case doText:
		s.put(a.Text)
	case doLay, doTurn, doRepeat:
		return s.lay(a)
	case doUndo:
		s.back(&s.undone, &s.redone)
	case doRedo:
		s.back(&s.redone, &s.undone)
	case doSave:
		return s.save(a.Name, a.Anyway)
	case doMake:
		return s.make(a)
	case doFolder:
		return s.show()
	case doTable:
		return s.table()
	case doClose:
		s.open, s.plan, s.planned = false, nil, ""
	default:
		return fmt.Errorf("%q is no action", a.Do)
	}
	return nil
}

// edit makes all of some changes, or none.
func (s *session) edit(edits []one, more bool) (err error) {
	text := s.text
	for _, e := range edits {
		switch {
		case e.Remove:
			text, err = pattern.Remove(text, e.Path)
		case len(e.Item) > 0:
			var item []pattern.Entry
			for _, kv := range e.Item {
				item = append(item, pattern.Entry{Key: kv[0], Value: kv[1]})
			}
			change := pattern.Add
			if e.Put {
				change = pattern.Put
			}
			text, err = change(text, e.Path, item...)
		default:
			text, err = pattern.Set(text, e.Path, e.Value)
		}
		if err != nil {
			return err
		}
	}
	if len(text) > mostText {
		return errTooMuch
	}
	if n := len(s.undone); more && n > 0 && text != s.text { // one step with the one before
		s.redone, s.text = nil, text
		s.replan()
		return nil
	}
	s.put(text)
	return nil
}
