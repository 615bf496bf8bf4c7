// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/spreadsheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// widths are the columns of a table of strip sets as they were sewn.
var widths = []string{"strip_set", "left", "middle", "right", "seam?", "bow?"}

// readMeasured reads the widths of the strip sets and plans anew. A line with a
// number alone is a strip set that is not sewn yet.
func (t talk) readMeasured(path string, p *quilt.Plan) (*quilt.Measured, error) {
	tab, err := spreadsheet.Read(path, t.in, widths...)
	if err != nil {
		return nil, err
	}
	var readings []quilt.Reading
	rows := map[string]spreadsheet.Row{}
	for _, row := range tab.Rows {
		if !row.NoMore() || !slices.ContainsFunc(widths[1:4], row.Has) {
			continue
		}
		r := quilt.Reading{}
		r.StripSet, _ = row.Whole("strip_set", 1, 1_000_000)
		r.Left, _ = row.Length("left", p.Spec.Unit)
		r.Middle, _ = row.Length("middle", p.Spec.Unit)
		r.Right, _ = row.Length("right", p.Spec.Unit)
		if row.Has("seam") {
			r.Seam, _ = row.Length("seam", p.Spec.Unit)
		}
		if row.Has("bow") {
			r.Bow, _ = row.Length("bow", p.Spec.Unit)
		}
		readings = append(readings, r)
		rows[fmt.Sprintf("strip_set %d", r.StripSet)] = row
	}
	t.warn(tab.Warnings)
	if err := tab.Err(); err != nil {
		return nil, err
	}
	m, err := p.Measure(readings)
	var wrong *geometry.Error
	if errors.As(err, &wrong) {
		if row, ok := rows[wrong.Field]; ok {
			row.Fail("strip_set", wrong.Field+": "+wrong.Reason, wrong.Hint)
			return nil, tab.Err()
		}
		return nil, problem.About(tab.File, err)
	}
	return m, err
}

// ruler writes a length that she measures.
func (t *text) ruler(v float64) string { return words.OnRuler(v, t.unit) }

// measured prints what to do with the strip sets that were measured.
func (t *text) measured(m *quilt.Measured) {
	t.section("The strip sets as you sewed them")
	if n := len(m.Missing); n > 0 {
		t.wrapped("measured", fmt.Sprintf("%d of %d: the others are taken to come out no narrower; cut and sew their strips as planned", len(m.Advice), len(m.Advice)+n))
	}
	if m.SeamOff {
		small := func(v float64) string { return words.Small(t.unit.Inches(v), t.unit) }
		t.wrapped("seams", fmt.Sprintf("take %s instead of %s, unless the strips are cut narrow or wide: move the guide before you sew on", small(m.SeamTaken), small(m.Plan.Spec.Seam)))
	}
	t.row("planned", "%s wide, %s high", t.length(m.Planned.Width), t.length(m.Planned.Height))
	for i, w := range m.Ways {
		size := "the quilt keeps its size"
		if w.Finished != m.Planned {
			size = fmt.Sprintf("the quilt becomes %s wide, %s high", t.length(w.Finished.Width), t.length(w.Finished.Height))
		}
		t.wrapped(fmt.Sprintf("choice %d", i+1), t.way(m, w)+": "+size)
	}
	if len(m.Ways) > 1 {
		t.row("planned here", "choice %d", m.Chosen+1)
	}
	fine, bowed := 0, false
	for _, a := range m.Advice {
		if said := t.advice(a, m.Ways[m.Chosen]); len(said) > 0 {
			t.wrapped(fmt.Sprintf("strip set %d", a.StripSet), strings.Join(said, "; "))
		} else {
			fine++
		}
		bowed = bowed || a.Bowed
	}
	if fine > 0 {
		t.row("as they are", "%s", words.Count(fine, "strip set"))
	}
	if bowed {
		// jessicasteeledesign.com, strip-piecing-basics; jenngeorgeburt.com, strip-piecing-basics.
		t.paragraph("  -", "Strip sets bow when the layers feed unevenly or the iron pulls. Sew the next ones in alternate directions, each seam from the end where the last one stopped; press by lifting the iron, and let it cool flat before you move it.")
	}
}

// way says what is done with the strip sets, and what it costs but for the
// quilt's size.
func (t *text) way(m *quilt.Measured, w quilt.Way) string {
	width := "to " + t.ruler(w.Width)
	if w.Governs > 0 {
		width += fmt.Sprintf(", as wide as strip set %d", w.Governs)
		for _, a := range m.Advice {
			if a.StripSet == w.Governs && a.OffCentre != 0 {
				width = fmt.Sprintf("to %s, since the seam of strip set %d lies off its place", t.ruler(w.Width), w.Governs)
			}
		}
	}
	if len(w.SewAgain) == 0 {
		return "trim all " + width
	}
	seams := len(w.SewAgain) * (len(m.Plan.Spec.Strips) - 1)
	again := fmt.Sprintf("sew %s again (%s to unpick; new strips if theirs are cut narrow)", words.Numbers("strip set", w.SewAgain), words.Count(seams, "seam"))
	if len(w.SewAgain) == len(m.Advice) {
		return again + ", " + width
	}
	return again + ", trim the others " + width
}

// advice says what to do with one strip set; nothing when it is good as it is.
func (t *text) advice(a quilt.Advice, w quilt.Way) (out []string) {
	trim := func(side quilt.Trim) string {
		switch {
		case side.Most == 0:
			return "nothing"
		case side.Least == 0:
			return "up to " + t.ruler(side.Most)
		case side.Least == side.Most:
			return t.ruler(side.Most)
		}
		return t.ruler(side.Least) + " to " + t.ruler(side.Most)
	}
	straight := ""
	if a.Unevenly {
		straight = ", to a straight " + t.ruler(w.Width)
	}
	switch {
	case a.SewAgain:
		out = append(out, fmt.Sprintf("sew again: %s, %s, %s wide", t.ruler(a.Left), t.ruler(a.Middle), t.ruler(a.Right)))
	case a.Near == quilt.Trim{} && a.Far == quilt.Trim{}:
	case a.Near == a.Far:
		out = append(out, fmt.Sprintf("trim %s off each side%s", trim(a.Near), straight))
	default:
		out = append(out, fmt.Sprintf("trim %s off the side of the first strip, %s off the other%s", trim(a.Near), trim(a.Far), straight))
	}
	if a.OffCentre != 0 {
		where := "too far from"
		if a.OffCentre < 0 {
			where = "too near to"
		}
		out = append(out, fmt.Sprintf("its seam lies %s %s the first raw edge", t.ruler(math.Abs(a.OffCentre)), where))
	}
	if a.Unevenly && len(out) == 0 {
		out = append(out, fmt.Sprintf("uneven by %s: keep to the guide to the very end", t.ruler(a.Uneven())))
	}
	if a.Bowed {
		out = append(out, fmt.Sprintf("bows by %s: press it again, flat and without pulling, and let it cool before you cut", t.ruler(a.Bow)))
	}
	return out
}

type (
	jsonMeasured struct {
		Missing   []int        `json:"missing"`
		SeamTaken float64      `json:"seam_taken"`
		Chosen    int          `json:"chosen"`
		Ways      []jsonWay    `json:"ways"`
		StripSets []jsonSewnAs `json:"strip_sets"`
	}
	jsonWay struct {
		SewAgain       []int   `json:"sew_again"`
		Width          float64 `json:"width"`
		Governs        *int    `json:"governs"` // null: the plan's own width
		FinishedWidth  float64 `json:"finished_width"`
		FinishedHeight float64 `json:"finished_height"`
	}
	jsonSewnAs struct {
		StripSet  int      `json:"strip_set"`
		SewAgain  bool     `json:"sew_again"`
		Near      jsonTrim `json:"near"`
		Far       jsonTrim `json:"far"`
		OffCentre float64  `json:"off_centre"`
		Uneven    float64  `json:"uneven"`
		Bowed     bool     `json:"bowed"`
	}
	jsonTrim struct {
		Least float64 `json:"least"`
		Most  float64 `json:"most"`
	}
)

// measuredJSON returns what planText prints of the strip sets that were
// measured; nil when none was.
func measuredJSON(m *quilt.Measured) *jsonMeasured {
	if m == nil {
		return nil
	}
	out := &jsonMeasured{Missing: append([]int{}, m.Missing...), SeamTaken: m.SeamTaken, Chosen: m.Chosen}
	for _, w := range m.Ways {
		out.Ways = append(out.Ways, jsonWay{append([]int{}, w.SewAgain...), w.Width, when(w.Governs > 0, w.Governs), w.Finished.Width, w.Finished.Height})
	}
	for _, a := range m.Advice {
		out.StripSets = append(out.StripSets, jsonSewnAs{a.StripSet, a.SewAgain, jsonTrim(a.Near), jsonTrim(a.Far), a.OffCentre, a.Uneven(), a.Bowed})
	}
	return out
}
