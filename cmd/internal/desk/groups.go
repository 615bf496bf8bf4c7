// SPDX-License-Identifier: Apache-2.0

package desk

import (
	"strings"

	"lozenge/cmd/internal/pattern"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// group is fields that belong to one step of the work.
type group struct {
	Title  string  `json:"title"`
	Fields []field `json:"fields"`
}

// field is a key of the pattern.
type field struct {
	Path    string   `json:"path"`
	Label   string   `json:"label"`
	Kind    string   `json:"kind"`            // "line", "words", "note", "strips", "fabrics", "borders", "table", "pictures", "layouts"
	Words   []string `json:"words,omitempty"` // to choose from, the usual one first
	Example string   `json:"example,omitempty"`
	Help    string   `json:"help,omitempty"`
}

// groups returns all fields in the order of the work.
func groups(unit geometry.Unit) []group {
	help, examples := pattern.Help(unit), pattern.Examples(unit)
	of := func(title string, paths ...string) group {
		g := group{Title: title}
		for _, path := range paths {
			kind, _, _ := strings.Cut(path, "!")
			f := field{Path: kind, Kind: "line", Label: label(kind)}
			if _, k, ok := strings.Cut(path, "!"); ok {
				f.Kind = k
			}
			key, part, nested := strings.Cut(f.Path, ".")
			if nested {
				f.Example = within(examples[key], part)
				if f.Words = pattern.Words(f.Path); f.Words == nil {
					f.Words = pattern.Words(part)
				}
			} else {
				f.Words, f.Example, f.Help = pattern.Words(key), examples[key], help[key]
			}
			if f.Words != nil && f.Kind == "line" {
				f.Kind = "words"
			}
			if f.Kind == "layouts" {
				for _, n := range quilt.NamedLayouts() {
					f.Words = append(f.Words, n.Name)
				}
			}
			g.Fields = append(g.Fields, f)
		}
		return g
	}
	return []group{
		of("The strips that you sew", "unit", "strips!strips", "seam", "usable_width", "end_trim", "stagger", "mix_leans", "sewn_width"),
		of("How large", "columns", "rows", "finish.width", "finish.height", "strip_sets", "scraps!table", "spare"),
		of("How it looks", "setting!pictures", "layout!layouts", "color_order!pictures", "edges!pictures", "angle", "tips", "edge_grain", "face"),
		of("Fabrics and colours", "fabrics!fabrics"),
		of("Border, back and binding", "borders!borders", "backing.usable_width", "backing.extra", "batting.extra", "binding.cut", "binding.extra", "binding.joins", "straighten", "take_up", "shrinkage"),
		of("Name, and for others", "name", "designer", "note!note"),
		of("Blade cutter", "cutter.sheet", "cutter.margin", "cutter.gap", "cutter.from"),
	}
}

// label returns a place in words: "finish width".
func label(path string) string { return strings.NewReplacer("_", " ", ".", " ").Replace(path) }

// within returns what stands behind a key in braces.
func within(flow, key string) string {
	for _, part := range strings.Split(strings.Trim(flow, "{}[] "), ",") {
		if name, value, ok := strings.Cut(strings.TrimSpace(part), ":"); ok && name == key {
			return strings.TrimSpace(value)
		}
	}
	return ""
}
