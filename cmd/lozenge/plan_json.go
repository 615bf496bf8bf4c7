// SPDX-License-Identifier: Apache-2.0

package main

import (
	"strings"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// The keys of plan --json are a promise to other programs: add, never rename.
type (
	jsonPlan struct {
		Version      string           `json:"version"` // of lozenge
		Name         string           `json:"name"`
		Unit         string           `json:"unit"`
		Angle        float64          `json:"angle"`
		StripSet     jsonStripSet     `json:"strip_set"`
		Diamond      jsonDiamond      `json:"diamond"`
		EdgeTriangle jsonEdgeTriangle `json:"edge_triangle"`
		Quilt        jsonQuilt        `json:"quilt"`
		Finish       *jsonFinish      `json:"finish,omitempty"`
		Need         jsonNeed         `json:"need"`
		Yield        *jsonYield       `json:"yield"` // null from scraps
		StripSets    jsonStripSets    `json:"strip_sets"`
		CutList      []jsonCut        `json:"cut_list"`
		Pieces       []jsonPlaced     `json:"pieces"`
		Cutting      []jsonWhole      `json:"cutting"`
		Edges        jsonEdges        `json:"edges"`
		Savings      jsonSavings      `json:"savings"`
		Fabric       []jsonFabric     `json:"fabric"`
		Borders      []jsonBorder     `json:"borders"`
		Backing      jsonBacking      `json:"backing"`
		Binding      jsonBuy          `json:"binding"`
		Batting      jsonSize         `json:"batting"`
		SewingRows   int              `json:"sewing_rows"`
		Work         jsonWork         `json:"work"`
		Choices      []jsonPossible   `json:"choices,omitempty"`
		Notes        []string         `json:"notes"`
		Measured     *jsonMeasured    `json:"measured,omitempty"`
		Kits         *jsonKits        `json:"kits,omitempty"`
	}
	jsonWork struct {
		Seams     int     `json:"seams"` // between pieces
		StripSets float64 `json:"strip_sets"`
		Pieces    float64 `json:"pieces"`
		Borders   float64 `json:"borders"`
		Length    float64 `json:"length"` // of all seams
		Thread    float64 `json:"thread"`
		Crosscuts int     `json:"crosscuts"`
	}
	jsonStripSet struct {
		CutWidths []float64 `json:"cut_widths"`
		Width     float64   `json:"width"`
		SeamLines []float64 `json:"seam_lines"`
	}
	jsonDiamond struct {
		CutWidth      float64     `json:"cut_width"`
		CutSide       float64     `json:"cut_side"`
		FinishedWidth float64     `json:"finished_width"`
		FinishedSide  float64     `json:"finished_side"`
		ShortDiagonal float64     `json:"short_diagonal"`
		LongDiagonal  float64     `json:"long_diagonal"`
		PastSeam      float64     `json:"past_seam"`
		Outline       jsonOutline `json:"outline"`
	}
	jsonOutline      [][2]float64
	jsonEdgeTriangle struct {
		Lower jsonOutline `json:"lower"`
		Upper jsonOutline `json:"upper"`
	}
	jsonQuilt struct {
		Columns        int      `json:"columns"`
		Rows           int      `json:"rows"`
		Setting        *string  `json:"setting"` // null for a layout of her own
		Layout         []string `json:"layout"`  // the rows of its repeat, the top row first
		ColumnStep     float64  `json:"column_step"`
		RowStep        float64  `json:"row_step"`
		FinishedWidth  float64  `json:"finished_width"`
		FinishedHeight float64  `json:"finished_height"`
	}
	jsonStripSets struct {
		Right *int      `json:"right"`
		Left  *int      `json:"left"`
		Mixed *int      `json:"mixed"`
		Total *int      `json:"total"`
		Sets  []jsonSet `json:"sets"`
		Tight []int     `json:"tight"`
	}
	jsonPossible struct {
		Columns        int     `json:"columns"`
		Rows           int     `json:"rows"`
		Diamonds       int     `json:"diamonds"`
		EdgeTriangles  int     `json:"edge_triangles"`
		FinishedWidth  float64 `json:"finished_width"`
		FinishedHeight float64 `json:"finished_height"`
		StripSets      int     `json:"strip_sets"`
		Leaves         float64 `json:"leaves"`
		Chosen         bool    `json:"chosen"`
	}
	jsonCut struct {
		First     int     `json:"first"`
		Last      int     `json:"last"`
		Lean      string  `json:"lean"`
		Mixed     bool    `json:"mixed"`
		Staggered bool    `json:"staggered"`
		Cuts      string  `json:"cuts"`
		Uses      float64 `json:"uses"`
	}
	jsonSavings struct {
		MixedLeans int `json:"mixed_leans"`
		Staggered  int `json:"staggered"`
		Together   int `json:"cuts_together"`
	}
	jsonBuy struct {
		Strips int     `json:"strips"`
		Length float64 `json:"length"`
		Buy    float64 `json:"buy"`
		Unit   string  `json:"unit"`
	}
	jsonFabric struct {
		Fabric string `json:"fabric"`
		jsonBuy
		Colors []jsonColour `json:"colors"`
	}
	jsonColour struct {
		Color  string  `json:"color"`
		Strips int     `json:"strips"`
		Length float64 `json:"length"`
		Buy    float64 `json:"buy"`
	}
	jsonBorder struct {
		Cut   float64 `json:"cut"`
		Sides float64 `json:"sides"`
		Ends  float64 `json:"ends"`
		jsonBuy
	}
	jsonBacking struct {
		Width  float64 `json:"width"`
		Height float64 `json:"height"`
		Panels int     `json:"panels"`
		Length float64 `json:"length"`
		Buy    float64 `json:"buy"`
		Unit   string  `json:"unit"`
	}
	jsonSize struct {
		Width  float64 `json:"width"`
		Height float64 `json:"height"`
	}
	jsonFinish struct {
		Target jsonSize `json:"target"`
		Under  jsonSize `json:"under"`
		Over   jsonSize `json:"over"`
	}
	jsonLeans[T any] struct {
		Right T `json:"right"`
		Left  T `json:"left"`
	}
	jsonHalves struct {
		Lower int `json:"lower"`
		Upper int `json:"upper"`
	}
	jsonNeed struct {
		Diamonds      jsonLeans[int]        `json:"diamonds"`
		EdgeTriangles jsonLeans[jsonHalves] `json:"edge_triangles"`
	}
	jsonYield struct {
		Length       float64 `json:"length"`
		Plain        int     `json:"plain"`
		OneTriangle  *int    `json:"one_triangle"`
		TwoTriangles *int    `json:"two_triangles"`
		Triangles    int     `json:"triangles"`
		Staggered    *int    `json:"staggered"`
	}
)

// planJSON returns the plan for other programs: stable keys, numbers not
// rounded; kits is nil when there are none.
func planJSON(p *quilt.Plan, kits *quilt.Goods) jsonPlan {
	s, set := p.Spec, p.Set
	outline := func(shape geometry.Shape) jsonOutline {
		var out jsonOutline
		for _, v := range set.Piece(shape, geometry.Right).Outline {
			out = append(out, [2]float64{v.X, v.Y})
		}
		return out
	}
	out := jsonPlan{
		Version:  version(),
		Name:     s.Name,
		Unit:     s.Unit.String(),
		Angle:    float64(s.Angle),
		StripSet: jsonStripSet{set.Cuts, set.Width, append([]float64{}, set.Seams...)},
		Diamond: jsonDiamond{
			CutWidth:      set.Width,
			CutSide:       set.CutSide(),
			FinishedWidth: set.FinishedWidth(),
			FinishedSide:  set.FinishedSide(),
			ShortDiagonal: set.ShortDiagonal(),
			LongDiagonal:  set.LongDiagonal(),
			PastSeam:      set.PastSeam(),
			Outline:       outline(geometry.Diamond),
		},
		EdgeTriangle: jsonEdgeTriangle{outline(geometry.LowerTriangle), outline(geometry.UpperTriangle)},
		Quilt: jsonQuilt{p.Columns, p.Rows, settingOf(s), s.Layout.Rows(), p.ColumnStep, p.RowStep,
			p.Finished.Width, p.Finished.Height},
		Need:       needOf(p.Need),
		SewingRows: p.SewingRows,
		Notes:      append([]string{}, words.Notes(p)...),
	}
	if c := p.Choice; c != nil {
		out.Finish = &jsonFinish{jsonSize(c.Target), jsonSize(c.Under), jsonSize(c.Over)}
	}
	if !p.FromScraps() {
		y := p.Yield
		out.Yield = &jsonYield{y.Length, y.Plain, y.OneTriangle, y.TwoTriangles, y.Triangles, y.Staggered}
	}
	out.Choices = choicesOf(p.Choices)
	out.cloth(p)
	out.sewn(p)
	w := p.Work()
	out.Work = jsonWork{w.Seams, w.StripSets, w.Pieces, w.Borders, w.Length(), w.Thread, w.Crosscuts}
	out.Kits = kitsJSON(p, kits)
	return out
}

// cloth fills in strip sets and what to buy. Where a lean needs a piece that no
// strip set yields, its number and the total are null.
func (out *jsonPlan) cloth(p *quilt.Plan) {
	right, left, mixed := p.Fewest.Number()
	possible, ok := p.Fewest.Possible, p.Fewest.OK()
	out.StripSets.Right, out.StripSets.Left = when(possible[geometry.Right], right), when(possible[geometry.Left], left)
	out.StripSets.Mixed, out.StripSets.Total = when(ok, mixed), when(ok, len(p.Fewest.Layouts))
	out.CutList, out.Borders = []jsonCut{}, []jsonBorder{}
	for _, l := range p.Alike() {
		out.CutList = append(out.CutList, jsonCut{l.First + 1, l.First + l.Number, l.Lean.String(), l.Mixed, l.Staggered, l.Word, p.Set.Uses(l.Layout)})
	}
	out.Savings = jsonSavings(p.Savings)
	out.Fabric = fabricJSON(p.Cloth)
	for _, b := range p.Borders {
		out.Borders = append(out.Borders, jsonBorder{b.Cut, b.Sides, b.Ends, buy(b.Strips, b.Length, b.Buy, b.Unit)})
	}
	out.Backing = jsonBacking{p.Backing.Width, p.Backing.Height, p.Backing.Panels, p.Backing.Length, p.Backing.Buy, p.Backing.Unit}
	out.Binding = buy(p.Binding.Strips, p.Binding.Length, p.Binding.Buy, p.Binding.Unit)
	out.Batting = jsonSize(p.Batting)
}

func fabricJSON(cloth []quilt.Cloth) []jsonFabric {
	out := []jsonFabric{}
	for _, c := range cloth {
		f := jsonFabric{Fabric: c.Key, jsonBuy: buy(c.Strips, c.Length, c.Buy, c.Unit)}
		for _, one := range c.ByColour {
			f.Colors = append(f.Colors, jsonColour{one.Colour.String(), one.Strips, one.Length, one.Buy})
		}
		out = append(out, f)
	}
	return out
}

// notMadeJSON is what plan --json has where what is there does not make the quilt.
func notMadeJSON(s quilt.Spec, e *quilt.NotMade) any {
	return struct {
		Version string         `json:"version"`
		Name    string         `json:"name"`
		Unit    string         `json:"unit"`
		Proven  bool           `json:"proven"` // that what is asked for can't be had
		Choices []jsonPossible `json:"choices"`
	}{version(), s.Name, s.Unit.String(), e.Proven, append([]jsonPossible{}, choicesOf(e.Choices)...)}
}

func choicesOf(all []quilt.Possible) (out []jsonPossible) {
	for _, c := range all {
		out = append(out, jsonPossible{c.Columns, c.Rows, c.Diamonds, c.EdgeTriangles, c.Finished.Width, c.Finished.Height, c.StripSets, c.Leaves, c.Chosen})
	}
	return out
}

// buy has no blank in its unit: fat-quarters.
func buy(strips int, length, amount float64, unit string) jsonBuy {
	return jsonBuy{strips, length, amount, strings.ReplaceAll(unit, " ", "-")}
}

func needOf(c strip.Count) jsonNeed {
	halves := func(l geometry.Lean) jsonHalves { return jsonHalves{c.Lower(l), c.Upper(l)} }
	return jsonNeed{
		jsonLeans[int]{c.Diamonds(geometry.Right), c.Diamonds(geometry.Left)},
		jsonLeans[jsonHalves]{halves(geometry.Right), halves(geometry.Left)},
	}
}

// settingOf returns the name of the setting; nil for a layout of her own.
func settingOf(s quilt.Spec) *string {
	if name := s.Layout.Setting(); name != "" {
		return &name
	}
	return nil
}
