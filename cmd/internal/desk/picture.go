// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/svg"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// versionOf tells texts apart.
func versionOf(text string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(text)))[:16] }

// pictureView is a word for the same quilt with another setting, order of colours or
// rule for its edges, of which there is a picture.
type pictureView struct {
	Key  string `json:"key"`
	Word string `json:"word"`
	At   string `json:"at"`
}

// shown are the keys whose words are chosen from pictures.
var shown = []string{"setting", "color_order", "edges"}

// variants returns where the pictures of a quilt's variants are.
func variants() (out []pictureView) {
	for _, key := range shown {
		for _, word := range pattern.Words(key) {
			out = append(out, pictureView{key, word, smallAt(key, word)})
		}
	}
	for _, n := range quilt.NamedLayouts() {
		out = append(out, pictureView{"layout", n.Name, smallAt("layout", n.Name)})
	}
	return out
}

func smallAt(key, word string) string {
	return "picture.svg?" + url.Values{"key": {key}, "word": {word}}.Encode()
}

// draws writes a drawing.
func draws(d *draw.Drawing) ([]byte, geometry.Rect, error) {
	var out bytes.Buffer
	err := svg.Write(&out, d)
	return out.Bytes(), d.Page, err
}

// picture answers with a picture of the last good plan: plain, or as q says; or of
// another quilt that the changes of some keys make of it.
func (s *session) picture(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	plan, text, path, drawn := s.plan, s.planned, s.path(), s.drawn
	s.mu.Unlock()
	q := r.URL.Query()
	keys, words, as := q["key"], q["word"], q.Get("as")
	var d *draw.Drawing
	switch {
	case plan == nil:
	case len(keys) > 0 && len(keys) == len(words):
		s.small.Lock()
		if r.Context().Err() == nil { // still wanted
			d = small(path, text, plan, keys, words)
		}
		s.small.Unlock()
	case as != "":
		d = drawing(plan, as)
	}
	plain := plan != nil && len(keys) == 0 && as == ""
	if d == nil && !plain {
		http.Error(w, "there is no such picture", http.StatusNotFound)
		return
	}
	if d != nil {
		var err error
		if drawn, _, err = draws(d); err != nil {
			http.Error(w, "it can't be drawn", http.StatusInternalServerError)
			return
		}
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Write(drawn)
}

// Small pictures have so many columns and rows at most, in the quilt's own
// proportion: more could not be told apart.
const mostColumns, mostRows = 10, 12

// small draws what changes of some keys would make of the quilt, small; nil where
// that is no quilt.
func small(path, text string, plan *quilt.Plan, keys, words []string) *draw.Drawing {
	var layout quilt.NamedLayout
	for i, key := range keys {
		var err error
		if key == "layout" {
			layout, _ = named(words[i])
			continue
		}
		if key == "setting" { // in place of a layout of her own
			if text, err = pattern.Remove(text, "layout"); err != nil {
				return nil
			}
		}
		if text, err = pattern.Set(text, key, words[i]); err != nil {
			return nil
		}
	}
	p, err := pattern.Parse(path, []byte(text))
	if err != nil {
		return nil
	}
	spec := p.Spec
	if spec.Columns == 0 {
		spec.Columns, spec.Rows = plan.Columns, plan.Rows
	}
	much := max(1, float64(spec.Columns)/mostColumns, float64(spec.Rows)/mostRows)
	spec.Columns, spec.Rows = max(1, int(float64(spec.Columns)/much+0.5)), max(1, int(float64(spec.Rows)/much+0.5))
	spec.Finish, spec.StripSets, spec.Borders = nil, 0, nil
	if layout.Name != "" {
		spec.Layout = layout.Of(spec.Columns, spec.Rows)
	}
	if plan.FromScraps() { // what is there has the colours
		spec.Fabrics = slices.Clone(plan.Spec.Fabrics)
		for i := range spec.Fabrics {
			spec.Fabrics[i].From = quilt.Yardage
		}
	}
	made, err := quilt.New(spec)
	if err != nil {
		return nil
	}
	d := sheet.Picture(made)
	frame := made.Frame() // without the words below it
	d.Page = geometry.Rect{Min: frame.Min.Sub(geometry.Point{X: d.Line, Y: d.Line}), Max: frame.Max.Add(geometry.Point{X: d.Line, Y: d.Line})}
	return d
}

func drawing(p *quilt.Plan, as string) *draw.Drawing {
	switch as {
	case "labels":
		d, ok := sheet.LabelledPicture(p)
		if !ok {
			return nil
		}
		return d
	case "sewing":
		if !p.Fewest.OK() {
			return nil
		}
		return sheet.Sewing(p, sewing.New(p))[0]()
	case "grey":
		d := sheet.Picture(p)
		if sheet.Grey(d) != nil {
			return nil
		}
		return d
	}
	return sheet.Picture(p)
}
