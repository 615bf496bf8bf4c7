// SPDX-License-Identifier: Apache-2.0

package main

import (
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
	"lozenge/geometry/strip"
)

// The keys of scraps --json are a promise to other programs: add, never
// rename.
type (
	jsonScraps struct {
		Enough     bool            `json:"enough"`
		Proven     bool            `json:"proven"` // that they don't suffice
		Need       jsonNeed        `json:"need"`   // of the pattern's quilt
		Sets       []jsonSewn      `json:"sets"`
		Leftover   []jsonLeft      `json:"leftover"`
		SewnLength float64         `json:"sewn_length"`
		Bound      jsonScrapsBound `json:"bound"`
		Shortfall  []jsonShort     `json:"shortfall"`
		Largest    *jsonLargest    `json:"largest"`
		NotUsed    []jsonNotUsed   `json:"not_used"`
		Bands      [][]string      `json:"bands,omitempty"` // cloth of each, by strip
	}
	jsonSewn struct {
		Lean          string         `json:"lean"`
		Mixed         bool           `json:"mixed"`
		Staggered     bool           `json:"staggered"`
		Length        float64        `json:"length"`
		Scraps        []jsonPiece    `json:"scraps"` // lowest strip first
		Diamonds      jsonLeans[int] `json:"diamonds"`
		EdgeTriangles jsonHalves     `json:"edge_triangles"`
		Cuts          string         `json:"cuts"`
	}
	jsonPiece struct {
		Fabric string  `json:"fabric"`
		Name   string  `json:"name"`
		Strip  int     `json:"strip"`  // of the strips of that name
		Length float64 `json:"length"` // cut from it
		Of     float64 `json:"of"`     // length of the scrap
	}
	jsonLeft struct {
		Fabric string  `json:"fabric"`
		Name   string  `json:"name"`
		Strip  int     `json:"strip"`
		Length float64 `json:"length"`
		Whole  bool    `json:"whole"`
	}
	jsonScrapsBound struct {
		Sets   int     `json:"sets"`
		Length float64 `json:"length"`
	}
	jsonShort struct {
		Fabric string    `json:"fabric"`
		Length float64   `json:"length"`
		Width  float64   `json:"width"`
		Strips []float64 `json:"strips"`
	}
	jsonLargest struct {
		Rows    int      `json:"rows"`
		Columns int      `json:"columns"`
		Need    jsonNeed `json:"need"`
	}
	jsonNotUsed struct {
		Fabric string  `json:"fabric"`
		Name   string  `json:"name"`
		Width  float64 `json:"width"`
		Length float64 `json:"length"`
		Count  int     `json:"count"`
		Why    string  `json:"why"`
	}
)

// scrapsJSON returns the plan for other programs: stable keys, numbers not
// rounded.
func scrapsJSON(p *quilt.Plan, made *scraps.Plan) jsonScraps {
	out := jsonScraps{
		Enough: made.Enough, Proven: made.Proven, Need: needOf(p.Need),
		Sets: []jsonSewn{}, Leftover: []jsonLeft{}, Shortfall: []jsonShort{}, NotUsed: []jsonNotUsed{},
		SewnLength: made.Length, Bound: jsonScrapsBound(made.Bound), Bands: made.Bands,
	}
	for _, s := range made.Sets {
		one := jsonSewn{Lean: s.Lean.String(), Mixed: s.Mixed, Staggered: s.Staggered, Length: s.Length, Cuts: s.Word}
		has := rowHolds(s.Layout)
		one.Diamonds = jsonLeans[int]{has.Diamonds(geometry.Right), has.Diamonds(geometry.Left)}
		one.EdgeTriangles = jsonHalves{has.Lower(0) + has.Lower(1), has.Upper(0) + has.Upper(1)}
		for _, c := range s.Strips {
			scrap := made.Scraps[c.Scrap]
			one.Scraps = append(one.Scraps, jsonPiece{scrap.Fabric, scrap.Label(), c.Strip, c.Length, scrap.Length})
		}
		out.Sets = append(out.Sets, one)
	}
	for _, l := range made.Left {
		s := made.Scraps[l.Scrap]
		out.Leftover = append(out.Leftover, jsonLeft{s.Fabric, s.Label(), l.Strip, l.Length, l.Whole})
	}
	for _, s := range made.Short {
		out.Shortfall = append(out.Shortfall, jsonShort{s.Fabric, s.Length, s.Width, s.Strips})
	}
	if made.Quilt != nil && made.IsLargest {
		out.Largest = &jsonLargest{made.Made.Rows, made.Made.Columns, needOf(made.Quilt.Need)}
	}
	for _, list := range []struct {
		scraps []int
		why    string
	}{{made.Narrow, "narrow"}, {made.Unused, "fabric"}} {
		for _, i := range list.scraps {
			s := made.Scraps[i]
			out.NotUsed = append(out.NotUsed, jsonNotUsed{s.Fabric, s.Label(), s.Width, s.Length, s.Count, list.why})
		}
	}
	return out
}

// rowHolds counts the pieces of a row: those named D have its lean.
func rowHolds(l strip.Layout) strip.Count {
	var c strip.Count
	for _, letter := range l.Word {
		switch letter {
		case 'D':
			c[l.Lean][geometry.Diamond]++
		case 'd':
			c[l.Lean.Other()][geometry.Diamond]++
		case 'L':
			c[l.Lean][geometry.LowerTriangle]++
		case 'U':
			c[l.Lean][geometry.UpperTriangle]++
		}
	}
	return c
}
