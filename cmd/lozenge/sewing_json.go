// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// The keys of sewing --json are a promise to other programs: add, never rename.
type (
	jsonSewnPiece struct {
		Label  string `json:"label"`
		Column int    `json:"column"`
		Row    int    `json:"row"`
		jsonSewnKind
		StripSet *int     `json:"strip_set"`
		WideSide *string  `json:"wide_side"`
		Colors   []string `json:"colors"`
	}
	jsonSewingRow struct {
		Label     string          `json:"label"`
		Diagonal  int             `json:"diagonal_row"`
		Lone      bool            `json:"lone"`
		Neighbour *string         `json:"neighbour"`
		Diamonds  int             `json:"diamonds"`
		RawEnds   int             `json:"raw_ends"`
		Length    float64         `json:"length"`
		Pieces    []jsonSewnPiece `json:"pieces"`
	}
	jsonSewnEdge struct {
		Side  string  `json:"side"`
		Kind  string  `json:"kind"`
		Grain float64 `json:"grain"`
		Bias  bool    `json:"bias"`
	}
	jsonSewnKind struct {
		Shape  string `json:"shape"`
		Lean   string `json:"lean"`
		Turned bool   `json:"turned"`
	}
	jsonSeam struct {
		First      string       `json:"first"`
		Second     string       `json:"second"`
		Row        *string      `json:"row"`
		Join       *int         `json:"join"`
		Kind       int          `json:"kind"`
		FirstEdge  jsonSewnEdge `json:"first_edge"`
		SecondEdge jsonSewnEdge `json:"second_edge"`
		Underneath *string      `json:"underneath"`
	}
	jsonSeamKind struct {
		WithinRow  bool          `json:"within_row"`
		First      jsonSewnKind  `json:"first"`
		Second     jsonSewnKind  `json:"second"`
		FirstEdge  jsonSewnEdge  `json:"first_edge"`
		SecondEdge jsonSewnEdge  `json:"second_edge"`
		Underneath *string       `json:"underneath"`
		Overhang   [2]float64    `json:"overhang"`
		PastSeam   [2][2]float64 `json:"past_seam"`
		Seams      int           `json:"seams"`
	}
	jsonJoin struct {
		Number     int       `json:"number"`
		Round      int       `json:"round"`
		First      [2]string `json:"first"`
		Second     [2]string `json:"second"`
		Length     float64   `json:"length"`
		Crossings  int       `json:"crossings"`
		BiasEdges  [2]int    `json:"bias_edges"`
		Changes    bool      `json:"changes"`
		Underneath *string   `json:"underneath"`
		Across     float64   `json:"across"`
	}
	jsonPile struct {
		StripSet *int     `json:"strip_set"`
		Shape    string   `json:"shape"`
		Lean     string   `json:"lean"`
		Pieces   []string `json:"pieces"`
	}
	jsonCheck struct {
		Pieces int     `json:"pieces"`
		Width  float64 `json:"width"`
		Length float64 `json:"length"`
	}
	jsonSquareUp struct {
		Outside   float64 `json:"outside"`
		FallsAway struct {
			Left  float64 `json:"left"`
			Right float64 `json:"right"`
		} `json:"falls_away"`
		Width    float64 `json:"width"`
		Height   float64 `json:"height"`
		TopGrain float64 `json:"top_and_bottom_grain"`
		Sides    float64 `json:"sides_grain"`
	}
)

// sewingJSON writes the sewing order for other programs: stable keys, numbers
// not rounded, one row, seam or join a line.
func sewingJSON(w io.Writer, p *quilt.Plan, o *sewing.Order) error {
	out := &jsonObject{w: bufio.NewWriter(w)}
	out.key("name", p.Spec.Name)
	out.key("unit", p.Spec.Unit.String())
	out.key("setting", settingOf(p.Spec))
	out.key("sewing_rows", len(o.Rows))
	out.key("past_seam", p.Set.PastSeam())
	out.key("seam_length", o.Side)
	out.key("stitch_length_mm", stitchLength)
	out.list("rows", len(o.Rows), func(i int) any { return sewnRow(p, o, i) })
	inRow, inJoin := 0, 0
	out.list("seams", len(o.Seams), func(i int) any {
		s := o.Seams[i]
		k := &o.SeamKinds[s.Kind]
		j := jsonSeam{
			First: o.Label(s.Pieces[0]), Second: o.Label(s.Pieces[1]), Kind: s.Kind,
			FirstEdge: sewnEdge(k.Edges[0]), SecondEdge: sewnEdge(k.Edges[1]),
		}
		inRow = o.Pieces[s.Pieces[0]].In
		if k.Within {
			j.Row = &o.Rows[inRow].Letters
		} else {
			inJoin = o.JoinAfter(inRow) + 1
			j.Join = &inJoin
		}
		if k.Under != sewing.Either {
			label := o.Label(s.Pieces[k.Under])
			j.Underneath = &label
		}
		return j
	})
	out.list("seam_kinds", len(o.SeamKinds), func(i int) any { return seamKind(o, i) })
	out.list("joins", len(o.Joins), func(i int) any {
		j := o.Joins[i]
		letters := func(r [2]int) [2]string { return [2]string{o.Rows[r[0]].Letters, o.Rows[r[1]].Letters} }
		return jsonJoin{
			Number: i + 1, Round: j.Round, First: letters(j.Rows[0]), Second: letters(j.Rows[1]),
			Length: j.Length, Crossings: j.Number - 1, BiasEdges: j.Bias, Changes: j.Changes(),
			Underneath: side(j.Under), Across: across(p, j.Across),
		}
	})
	piles := o.Piles()
	out.list("piles", len(piles), func(i int) any {
		pile := piles[i]
		j := jsonPile{StripSet: stripSet(p, pile.StripSet), Shape: pile.Shape.String(), Lean: pile.Lean.String()}
		for _, piece := range pile.Pieces {
			j.Pieces = append(j.Pieces, o.Label(piece))
		}
		return j
	})
	checks := p.Checks()
	out.list("checks", len(checks), func(i int) any { return jsonCheck(checks[i]) })
	top, sides := p.RimGrain()
	square := jsonSquareUp{Outside: p.Set.Seam, Width: p.Finished.Width + 2*p.Set.Seam, Height: p.Finished.Height + 2*p.Set.Seam, TopGrain: top, Sides: sides}
	square.FallsAway.Left, square.FallsAway.Right = o.Falls[0], o.Falls[1]
	out.key("square_up", square)
	return out.end()
}

// jsonObject writes an object key by key, the items of a list each on a line of
// its own: a quilt of many pieces is never held in memory twice.
type jsonObject struct {
	w    *bufio.Writer
	keys int
	err  error
}

func (j *jsonObject) name(key string) {
	lead := ",\n"
	if j.keys == 0 {
		lead = "{\n"
	}
	j.keys++
	fmt.Fprintf(j.w, "%s  %q: ", lead, key)
}

func (j *jsonObject) value(v any) {
	text, err := json.Marshal(v)
	if err != nil && j.err == nil {
		j.err = err
	}
	j.w.Write(text)
}

func (j *jsonObject) key(key string, v any) {
	j.name(key)
	j.value(v)
}

func (j *jsonObject) list(key string, n int, item func(i int) any) {
	j.name(key)
	j.w.WriteByte('[')
	for i := range n {
		if i > 0 {
			j.w.WriteByte(',')
		}
		j.w.WriteString("\n    ")
		j.value(item(i))
	}
	if n > 0 {
		j.w.WriteString("\n  ")
	}
	j.w.WriteByte(']')
}

func (j *jsonObject) end() error {
	j.w.WriteString("\n}\n")
	if j.err != nil {
		return j.err
	}
	return j.w.Flush()
}

func sewnRow(p *quilt.Plan, o *sewing.Order, i int) jsonSewingRow {
	r := o.Rows[i]
	out := jsonSewingRow{Label: r.Letters, Diagonal: r.Diagonal, Lone: r.Lone, Diamonds: r.Diamonds, RawEnds: r.RawEnds, Length: r.Length}
	if r.Lone {
		out.Neighbour = &o.Rows[r.Neighbour].Letters
	}
	for k := r.First; k < r.First+r.Number; k++ {
		pc := o.Pieces[k]
		piece := jsonSewnPiece{
			Label: o.Label(k), Column: pc.Column, Row: pc.Row, jsonSewnKind: jsonSewnKind{pc.Shape.String(), pc.Lean.String(), pc.Turned},
			StripSet: stripSet(p, pc.StripSet), Colors: []string{},
		}
		if pc.Shape != geometry.Diamond {
			key := p.Spec.Strips[0].Fabric
			if pc.Shape == geometry.UpperTriangle {
				key = p.Spec.Strips[len(p.Spec.Strips)-1].Fabric
			}
			piece.WideSide = &key
		}
		for _, c := range p.Colours(pc.StripSet) {
			piece.Colors = append(piece.Colors, c.String())
		}
		out.Pieces = append(out.Pieces, piece)
	}
	return out
}

// stripSet returns the number of a strip set, nil where no strip set gives the
// pieces.
func stripSet(p *quilt.Plan, k int) *int { return when(p.Fewest.OK(), k+1) }

func sewnEdge(e sewing.Edge) jsonSewnEdge {
	return jsonSewnEdge{e.Side.String(), e.Kind.String(), e.Grain, e.Bias()}
}

func seamKind(o *sewing.Order, i int) jsonSeamKind {
	k := &o.SeamKinds[i]
	kind := func(i int) jsonSewnKind {
		of := o.Kinds[k.Kinds[i]]
		return jsonSewnKind{of.Piece.Shape.String(), of.Piece.Lean.String(), of.Turned}
	}
	return jsonSeamKind{
		WithinRow: k.Within, First: kind(0), Second: kind(1),
		FirstEdge: sewnEdge(k.Edges[0]), SecondEdge: sewnEdge(k.Edges[1]),
		Underneath: side(k.Under),
		Overhang:   [2]float64{k.Overhang(0), k.Overhang(1)},
		PastSeam:   [2][2]float64{k.Edges[0].Past, k.Edges[1].Past},
		Seams:      k.Seams,
	}
}

// side names the side that lies underneath, nil where it makes no difference.
func side(under int) *string {
	if under == sewing.Either {
		return nil
	}
	word := [...]string{"first", "second"}[under]
	return &word
}
