// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// view is what is to be seen.
type view struct {
	Serial  int    `json:"serial"`
	Stage   string `json:"stage"` // "begin" or "try"
	Folder  string `json:"folder"`
	Told    string `json:"told,omitempty"`
	Version string `json:"version"` // of the text; the picture's address has it

	// At the beginning.
	Patterns []string `json:"patterns,omitempty"` // of the folder
	Unsaved  bool     `json:"unsaved,omitempty"`  // a new pattern was not saved the last time

	File     string            `json:"file"`
	Text     string            `json:"text"`
	Dirty    bool              `json:"dirty"`
	CanUndo  bool              `json:"canUndo"`
	CanRedo  bool              `json:"canRedo"`
	Values   map[string]string `json:"values"`             // what stands in the text, by place
	Order    []string          `json:"order"`              // the places, in the order of the text
	Looks    map[string]string `json:"looks"`              // the code of what is a colour there
	Tables   []string          `json:"tables"`             // of scraps, in the folder
	Problems []told            `json:"problems,omitempty"` // each beside its field
	Noticed  []string          `json:"noticed,omitempty"`

	Planning bool          `json:"planning"`       // the plan is of an older text
	Picture  string        `json:"picture"`        // version of the text of which the picture is; "" for none
	Size     *size         `json:"size,omitempty"` // of the picture's quilt
	Facts    []Section     `json:"facts,omitempty"`
	Colours  [][2]string   `json:"colours,omitempty"` // names and what they look like
	Choices  []choice      `json:"choices,omitempty"`
	Chosen   string        `json:"chosen,omitempty"` // why that one of them
	Lay      *lay          `json:"lay,omitempty"`
	Making   *makingView   `json:"making,omitempty"`
	Table    string        `json:"table,omitempty"` // address of the page under the projector
	Groups   []group       `json:"groups,omitempty"`
	Pictures []pictureView `json:"pictures,omitempty"`
}

// told is a problem at a place of the pattern.
type told struct {
	Path    string `json:"path"`
	Line    int    `json:"line"`
	Message string `json:"message"`
	Hint    string `json:"hint,omitempty"`
}

// size is how large a quilt is, as the pattern would say it.
type size struct {
	Columns   int    `json:"columns"`
	Rows      int    `json:"rows"`
	Width     string `json:"width"`
	Height    string `json:"height"`
	StripSets int    `json:"stripSets"`
}

// choice is a quilt that what is there makes.
type choice struct {
	Columns int    `json:"columns"`
	Rows    int    `json:"rows"`
	Says    string `json:"says"`
	Chosen  bool   `json:"chosen"`
}

// mostChoices is how many quilts are offered.
const mostChoices = 24

// now returns what is to be seen.
func (s *session) now() *view {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.view()
}

func (s *session) view() *view {
	v := &view{Order: []string{}, Tables: []string{}, Serial: s.serial, Stage: "begin", Folder: s.folder, Told: s.told}
	if !s.open {
		v.Patterns = listed(s.folder, ".yaml", ".yml")
		name := s.name
		s.name = ""
		_, v.Unsaved = s.kept(s.draft())
		s.name = name
		return v
	}
	v.Stage, v.File, v.Text, v.Version = "try", s.name, s.text, versionOf(s.text)
	v.Dirty, v.CanUndo, v.CanRedo = s.dirty(), len(s.undone) > 0, len(s.redone) > 0
	var order []string
	v.Values, order = pattern.Values(s.text)
	v.Order, v.Looks = append(v.Order, order...), looks(v.Values)
	v.Tables = append(v.Tables, listed(filepath.Dir(s.path()), ".csv")...)
	for _, p := range s.problems {
		if p.File != "" && p.File != s.path() { // of the table of scraps
			v.Problems = append(v.Problems, told{"scraps", p.Line, fmt.Sprintf("%s, line %d: %s", filepath.Base(p.File), p.Line, p.Message), p.Hint})
			continue
		}
		v.Problems = append(v.Problems, told{pattern.PlaceOf(s.text, p), p.Line, p.Message, p.Hint})
	}
	v.Noticed, v.Planning = s.noticed, s.planning
	v.Groups = groups(s.unit())
	s.planView(v)
	if v.Making, v.Table = s.making.view(), s.at; v.Making != nil {
		v.Making.Show = s.work.Show != nil
	}
	return v
}

// planView adds what the last good plan shows.
func (s *session) planView(v *view) {
	if n := s.notMade; n != nil {
		v.Problems = append(v.Problems, told{Message: words.Sentence(n.Error())})
		v.choices(n.Choices, s)
	}
	if s.plan == nil {
		return
	}
	v.Picture = versionOf(s.planned)
	p := s.plan
	v.Size = &size{p.Columns, p.Rows, words.RoundedDown(p.Finished.Width, p.Spec.Unit), words.RoundedDown(p.Finished.Height, p.Spec.Unit), len(p.Fewest.Layouts)}
	v.Facts = s.facts
	v.Colours = coloursOf(s.plan)
	v.Pictures, v.Lay = variants(), layOf(v.Values, p, s.page)
	if s.notMade == nil {
		v.choices(s.offered, s)
	}
	if s.notMade == nil && len(s.plan.Choices) > 0 {
		v.Chosen = words.WhyChosen(s.plan, "choose another one above")
	}
}

func (v *view) choices(all []quilt.Possible, s *session) {
	for _, c := range all[:min(len(all), mostChoices)] {
		v.Choices = append(v.Choices, choice{c.Columns, c.Rows, words.Possible(c, s.unit()), c.Chosen})
	}
}

// coloursOf returns the names of all colours, the longest first, and their codes.
func coloursOf(p *quilt.Plan) (out [][2]string) {
	for _, f := range p.Spec.Fabrics {
		for i, c := range f.Colours {
			out = append(out, [2]string{words.Colour(p.Spec, f.Key, i), code(c)})
			if p.Spec.ColourTold(f.Key) {
				out = append(out, [2]string{p.Spec.ColourName(f.Key, i), code(c)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b [2]string) int { return len(b[0]) - len(a[0]) })
	return slices.Compact(out)
}

// looks returns the codes of those texts of a pattern that are colours.
func looks(values map[string]string) map[string]string {
	out := map[string]string{}
	for path, text := range values {
		if strings.HasPrefix(path, "fabrics.") && strings.Contains(path, ".colors") {
			if c, reason, _ := pattern.ParseColour(text); reason == "" {
				out[path] = code(c)
			}
		}
	}
	return out
}

func code(c quilt.Colour) string { return fmt.Sprintf("#%02x%02x%02x", c[0], c[1], c[2]) }

// sentence makes a sentence of an error.
func sentence(err error) string {
	return words.Sentence(strings.TrimSpace(err.Error()))
}
