// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"strings"

	"lozenge/cmd/internal/problem"
	"lozenge/geometry"
)

// surveyed returns where everything of a text stands, or nil where the text is no
// YAML.
func surveyed(src string) *spot {
	text, bad := clean([]byte(src))
	if bad != nil {
		return nil
	}
	root, problems := parseYAML(text)
	if len(problems) > 0 || root == nil {
		return nil
	}
	s, _ := survey(problem.Lines(src), root)
	return s
}

// each calls f with the place of everything below a spot, as places are written
// (strips[0].cut), and where its key or, in a list, it itself stands.
func (s *spot) each(path string, f func(path string, from int, s *spot)) {
	for _, e := range s.entries {
		at := join(path, e.name)
		f(at, e.from, e.value)
		e.value.each(at, f)
	}
	for i, item := range s.items {
		at := fmt.Sprintf("%s[%d]", path, i)
		f(at, item.from, item)
		item.each(at, f)
	}
}

// Values returns the texts that stand in a pattern by their places, and the places
// in the order of the file, those of groups and lists too; nothing of what is no YAML.
func Values(src string) (values map[string]string, order []string) {
	values = map[string]string{}
	if root := surveyed(src); root != nil {
		root.each("", func(path string, _ int, s *spot) {
			order = append(order, path)
			if s.kind == scalar {
				values[path] = s.text
			}
		})
	}
	return values, order
}

// PlaceOf returns the field that a problem of a pattern is about, such as
// strips[0].cut; "" for none, as of what is no YAML.
func PlaceOf(src string, p Problem) string {
	if p.Field != "" {
		return p.Field
	}
	return PlaceAt(src, p.Line, p.Column)
}

// PlaceAt returns the place in a pattern at which a line and column lie, such as
// strips[0].cut, the innermost; "" where there is none.
func PlaceAt(src string, line, column int) string {
	root := surveyed(src)
	if root == nil || line < 1 {
		return ""
	}
	v := surveyor{text: problem.Lines(src), lines: []int{0}}
	for i := range len(v.text) {
		if v.text[i] == '\n' {
			v.lines = append(v.lines, i+1)
		}
	}
	at, best := v.at(position{line, max(column, 1)}), ""
	root.each("", func(path string, from int, s *spot) {
		if from <= at && at < max(s.to, s.from+1) {
			best = path
		}
	})
	return best
}

// Help returns what the starter says of each key of the pattern itself.
func Help(unit geometry.Unit) map[string]string {
	out := map[string]string{}
	var said []string
	for line := range strings.SplitSeq(string(Starter(unit)), "\n") {
		m := keyLine.FindStringSubmatch(line)
		switch {
		case m != nil && wholePart.has(m[1]):
			if len(said) > 0 {
				out[m[1]] = strings.Join(said, " ")
			}
		case strings.HasPrefix(line, "# "):
			said = append(said, strings.TrimSpace(line[1:]))
			continue
		}
		if line == "" {
			said = nil
		}
	}
	return out
}

// Examples returns for each key of the pattern itself what the starter writes
// behind it.
func Examples(unit geometry.Unit) map[string]string {
	out := map[string]string{}
	for key, line := range examples(unit) {
		if name, value, ok := strings.Cut(line, ":"); ok && name == key {
			out[key] = strings.TrimSpace(value)
		}
	}
	return out
}
