// SPDX-License-Identifier: Apache-2.0

package main

import (
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// What is sewn, what it is cut from and where it goes; strip sets have the
// numbers from 1 that they have everywhere.
type (
	jsonSet struct {
		Number    int           `json:"number"`
		Lean      string        `json:"lean"`
		Mixed     bool          `json:"mixed"`
		Staggered bool          `json:"staggered"`
		Length    float64       `json:"length"`
		Cuts      string        `json:"cuts"`
		Colors    []jsonStripOf `json:"colors"` // lowest strip first
	}
	jsonStripOf struct {
		Strip  int    `json:"strip"` // from 1
		Fabric string `json:"fabric"`
		Color  string `json:"color"`
		Name   string `json:"name"`
	}
	jsonPlaced struct {
		Row    int `json:"row"`
		Column int `json:"column"`
		jsonSewnKind
		StripSet *int `json:"strip_set"`
	}
	jsonWhole struct {
		Fabric string         `json:"fabric"`
		Color  string         `json:"color"`
		Whole  jsonCloth      `json:"whole"`
		Times  int            `json:"times"`
		Strips []jsonStripCut `json:"strips"`
	}
	jsonCloth struct {
		Kind   string  `json:"kind"`
		Width  float64 `json:"width"`
		Length float64 `json:"length"`
	}
	jsonStripCut struct {
		Cut       float64 `json:"cut"`
		Length    float64 `json:"length"`
		Count     int     `json:"count"`
		StripSets []int   `json:"strip_sets"`
	}
	jsonEdges struct {
		Rule        string `json:"rule"`
		Unmatched   int    `json:"unmatched"`
		MoreToMatch *int   `json:"more_to_match"`
	}
)

// sewn fills in the strip sets, the bill of cutting and the pieces. Pieces have
// no strip set where none gives all that are needed.
func (out *jsonPlan) sewn(p *quilt.Plan) {
	out.StripSets.Sets, out.Cutting, out.Pieces = []jsonSet{}, cuttingJSON(p.Cutting), []jsonPlaced{}
	for k, l := range p.Fewest.Layouts {
		if !p.Fewest.OK() {
			break
		}
		set := jsonSet{k + 1, l.Lean.String(), l.Mixed, l.Staggered, p.CutLength(k), l.Word, nil}
		names, colours := p.ColourNames(k), p.Colours(k)
		for i, st := range p.Spec.Strips {
			set.Colors = append(set.Colors, jsonStripOf{i + 1, st.Fabric, colours[i].String(), names[i]})
		}
		out.StripSets.Sets = append(out.StripSets.Sets, set)
	}
	out.StripSets.Tight = numbersFrom1(p.Tight())
	shapes := map[geometry.Shape]string{geometry.Diamond: "diamond", geometry.LowerTriangle: "lower", geometry.UpperTriangle: "upper"}
	for _, pl := range p.Pieces {
		out.Pieces = append(out.Pieces, jsonPlaced{pl.Row, pl.Column, jsonSewnKind{shapes[pl.Shape], pl.Lean.String(), pl.Turned}, stripSet(p, pl.StripSet)})
	}
	e := p.Edges()
	out.Edges = jsonEdges{p.Spec.Edges.String(), e.Unmatched, e.More}
}

// cuttingJSON returns a bill of cutting.
func cuttingJSON(bill []quilt.Whole) []jsonWhole {
	out := []jsonWhole{}
	for _, w := range bill {
		whole := jsonWhole{w.Fabric, w.Colour.String(), jsonCloth{strings.TrimSuffix(w.From.String(), "s"), w.Width, w.Length}, w.Times, nil}
		for _, c := range w.Strips {
			whole.Strips = append(whole.Strips, jsonStripCut{c.Cut, c.Length, c.Count, numbersFrom1(c.StripSets)})
		}
		out = append(out, whole)
	}
	return out
}

// numbersFrom1 returns the numbers of strip sets as she reads them.
func numbersFrom1(sets []int) []int {
	out := make([]int, len(sets))
	for i, k := range sets {
		out[i] = k + 1
	}
	return out
}
