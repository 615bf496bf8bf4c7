// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"math"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Leftover tells of pieces that are left of a scrap bin: "harbour, 2 1/2 in wide: 3
// of 12 in", lengths rounded down to what a ruler shows.
func Leftover(s quilt.Spec, l quilt.Leftover) string {
	name := l.Name
	if name == "" {
		name = Fabric(s, l.Fabric)
	}
	of := ""
	if l.Count > 1 {
		of = fmt.Sprintf("%d of ", l.Count)
	}
	return fmt.Sprintf("%s, %s wide: %s%s", name, RoundedDown(l.Width, s.Unit), of, RoundedDown(l.Length, s.Unit))
}

// RoundedDown writes a length rounded down to what a ruler shows: sixteenths of an
// inch, millimetres.
func RoundedDown(v float64, u geometry.Unit) string {
	return geometry.FormatLength(DownToRuler(v, u), u)
}

// ruler is the smallest step that a ruler shows.
func ruler(u geometry.Unit) float64 { return u.Of(1.0/16, 0.1) }

// DownToRuler rounds a length down to what a ruler shows: sixteenths of an inch,
// millimetres.
func DownToRuler(v float64, u geometry.Unit) float64 {
	return math.Floor(v/ruler(u)+geometry.Fit) * ruler(u)
}

// RoundedUp writes a length that must be there at least: up to what a ruler shows.
func RoundedUp(v float64, u geometry.Unit) string {
	return geometry.FormatLength(UpToRuler(v, u), u)
}

// UpToRuler rounds a length up, as [DownToRuler] does down.
func UpToRuler(v float64, u geometry.Unit) float64 {
	return math.Ceil(v/ruler(u)-geometry.Fit) * ruler(u)
}

// Uses says what the leftovers of a scrap bin would serve for.
func Uses(p *quilt.Plan) (out []string) {
	u := p.Spec.Unit
	if cut := p.Spec.BindingCut(); p.Serve(cut) > 0 {
		out = append(out, fmt.Sprintf("In strips cut %s wide the leftovers come to %s, joined end to end; the binding takes %s.", geometry.FormatLength(cut, u), RoundedDown(p.Serve(cut), u), geometry.FormatLength(p.Binding.Total, u)))
	}
	border := u.Of(2.5, 6.5)
	if has := p.Serve(border); has > 0 && len(p.Borders) == 0 {
		around := 2 * (p.Outer.Width + p.Outer.Height)
		out = append(out, fmt.Sprintf("For a pieced border cut %s wide they come to %s; once round the quilt is %s.", geometry.FormatLength(border, u), RoundedDown(has, u), geometry.FormatLength(around, u)))
	}
	if n := p.Next; n != nil {
		var lacks []string
		for _, l := range n.Lacks {
			lacks = append(lacks, fmt.Sprintf("%s of %s cut %s wide, %s long", Count(len(l.Strips), "more strip"), Fabric(p.Spec, l.Fabric), geometry.FormatLength(l.Width, u), List(Lengths(l.Strips, u))))
		}
		out = append(out, fmt.Sprintf("%s would make it %s.", Capital(List(lacks)), Diamonds(n.Columns, n.Rows)))
	}
	return out
}
