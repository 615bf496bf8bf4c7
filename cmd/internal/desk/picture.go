// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"net/http"
	"net/url"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/svg"
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

// variants returns where the pictures of a quilt's variants are. Of very large quilts
// there are none: they would take longer than she looks.
func variants(p *quilt.Plan) (out []pictureView) {
	const most = 5000
	if p.Columns*p.Rows > most {
		return nil
	}
	for _, key := range shown {
		for _, word := range pattern.Words(key) {
			out = append(out, pictureView{key, word, "picture.svg?" + url.Values{"key": {key}, "word": {word}}.Encode()})
		}
	}
	return out
}

// picture answers with a picture of the last good plan: plain, "labels" or "grey";
// "sewing"; "layout"; or of another quilt that a change of one key makes of it.
func (s *session) picture(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	plan, text, path := s.plan, s.planned, s.path()
	s.mu.Unlock()
	q := r.URL.Query()
	if keys, words := q["key"], q["word"]; plan != nil && len(keys) > 0 && len(keys) == len(words) {
		var err error
		for i, key := range keys {
			if text, err = pattern.Set(text, key, words[i]); err != nil {
				break
			}
		}
		if err == nil {
			plan, _, err = s.work.Plan(path, []byte(text))
		}
		if err != nil {
			plan = nil
		}
	}
	if plan == nil {
		http.Error(w, "there is no quilt yet", http.StatusNotFound)
		return
	}
	d := drawing(plan, q.Get("as"))
	if d == nil {
		http.Error(w, "there is no such picture of it", http.StatusNotFound)
		return
	}
	var out bytes.Buffer
	if err := svg.Write(&out, d); err != nil {
		http.Error(w, "it can't be drawn", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Write(out.Bytes())
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
		return sheet.Sewing(p, sewing.New(p))[0]
	case "grey":
		d := sheet.Picture(p)
		if sheet.Grey(d) != nil {
			return nil
		}
		return d
	}
	return sheet.Picture(p)
}
