// SPDX-License-Identifier: Apache-2.0

package main

import "lozenge/export/measure"

// The keys of measure --json are a promise to other programs: add, never
// rename. Lengths are in unit; what is not there is null. One file is an
// object; several are an array of objects that also have file. pieces is
// there with --pattern.
type (
	jsonMeasure struct {
		File     string              `json:"file,omitempty"`
		Format   string              `json:"format"`
		Unit     string              `json:"unit"`
		Page     jsonSize            `json:"page"`
		Square   *jsonMeasuredSquare `json:"square"`
		Outlines jsonOutlines        `json:"outlines"`
		Overlaps int                 `json:"overlaps"`
		Verdict  string              `json:"verdict"`
		Reasons  []string            `json:"reasons"`
		Pieces   []jsonMatched       `json:"pieces,omitempty"`
	}
	jsonMeasuredSquare struct {
		Nominal   float64    `json:"nominal"`
		Width     float64    `json:"width"`
		Height    float64    `json:"height"`
		Diagonals [2]float64 `json:"diagonals"`
		Bent      float64    `json:"bent"` // how far a side lies off the straight line
		FoundBy   string     `json:"found_by"`
	}
	jsonOutlines struct {
		Closed int `json:"closed"`
		Open   int `json:"open"`
	}
	jsonMatched struct {
		Outline  int       `json:"outline"`
		Piece    *string   `json:"piece"`
		Lean     *string   `json:"lean"`
		Mirrored bool      `json:"mirrored"`
		Turned   float64   `json:"turned"`
		Off      []float64 `json:"off"`
		Worst    float64   `json:"worst"`
		Bent     float64   `json:"bent"`
	}
)

func measureJSON(reports []fileReport, several bool) any {
	out := []jsonMeasure{}
	for _, r := range reports {
		u := r.Unit
		one := jsonMeasure{
			Format: string(r.Format), Unit: string(u),
			Page:     jsonSize{u.Of(r.Width), u.Of(r.Height)},
			Outlines: jsonOutlines{r.Closed, r.Open},
			Overlaps: r.Overlaps,
			Verdict:  string(r.Verdict),
			Reasons:  append([]string{}, r.Reasons...),
		}
		if several {
			one.File = r.file
		}
		if q := r.Square; q != nil {
			one.Square = &jsonMeasuredSquare{
				u.Of(q.Nominal), u.Of(q.Width), u.Of(q.Height),
				[2]float64{u.Of(q.Diagonals[0]), u.Of(q.Diagonals[1])}, u.Of(q.Bent), string(q.FoundBy),
			}
		}
		for i := range r.Pieces {
			one.Pieces = append(one.Pieces, matchedJSON(&r.Pieces[i], u))
		}
		out = append(out, one)
	}
	if !several && len(out) == 1 {
		return out[0]
	}
	return out
}

func matchedJSON(p *measure.MatchedPiece, u measure.Unit) jsonMatched {
	known := p.Name != ""
	m := jsonMatched{p.Outline, when(known, p.Name), when(known, p.Lean.String()), p.Mirrored, p.Turned, []float64{}, u.Of(p.Worst()), u.Of(p.Bent)}
	for _, off := range p.Off {
		m.Off = append(m.Off, u.Of(off))
	}
	return m
}
