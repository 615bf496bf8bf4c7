// SPDX-License-Identifier: Apache-2.0

package words

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/geometry/colour"
	"lozenge/geometry/quilt"
)

// Rewritten is a name that is written in other letters, or left out where Now is "".
type Rewritten struct {
	Was, Now string
	Missing  []rune // what there was no letter for
}

// InLetters returns the plan with every name in the characters that there are, the
// plan itself where that changes none, and what became of each name. What can't be
// spelled otherwise is called anew: a fabric by its place in the pattern, a colour by
// the nearest keyword of CSS; a designer and a note, which are told in the booklet
// alone, are left out.
func InLetters(p *quilt.Plan, has func(rune) bool, booklet bool) (*quilt.Plan, []Rewritten) {
	var all []Rewritten
	write := func(name, otherwise string) string {
		now, missing := spelled(name, has)
		if missing == nil {
			return name
		}
		now = cmp.Or(now, otherwise)
		one := Rewritten{name, now, missing}
		if !slices.ContainsFunc(all, func(o Rewritten) bool { return o.Was == name && o.Now == now }) {
			all = append(all, one)
		}
		return now
	}
	s := p.Spec
	s.Name = write(s.Name, "quilt")
	if booklet {
		s.Designer, s.Note = write(s.Designer, ""), write(s.Note, "")
	}
	s.Fabrics = slices.Clone(s.Fabrics)
	for i := range s.Fabrics {
		f := &s.Fabrics[i]
		n := i + 1
		called := func(o quilt.Fabric) bool { return cmp.Or(o.Name, o.Key) == fabricNumber(n) }
		for slices.ContainsFunc(s.Fabrics, called) {
			n += len(s.Fabrics)
		}
		f.Name = write(cmp.Or(f.Name, f.Key), fabricNumber(n))
		was := f.Names
		f.Names = slices.Clone(f.Names)
		for j, name := range was {
			f.Names[j], _ = spelled(name, has)
		}
		if len(f.Colours) > 1 {
			f.Names = f.ColourNames() // the keywords, numbered
		}
		for j, name := range was {
			f.Names[j] = write(name, f.Names[j])
		}
	}
	scrap := func(name string, c quilt.Colour) string { return write(name, colour.Nearest(colour.RGB(c))) }
	named := p.Renamed(s, scrap)
	if len(all) == 0 {
		return p, nil
	}
	return named, all
}

// spelled returns a name in the characters that there are, "" where they don't
// spell it, and those that there are not.
func spelled(name string, has func(rune) bool) (text string, missing []rune) {
	text, changes := draw.Spell(name, has)
	for _, c := range changes {
		missing = append(missing, c.From)
	}
	if slices.ContainsFunc(changes, draw.Change.Lost) {
		return "", missing
	}
	return strings.Join(strings.Fields(text), " "), missing
}

func fabricNumber(n int) string { return fmt.Sprintf("fabric %d", n) }

// Told says what became of names: "海" is called "fabric 1", "花子" is left out.
func Told(all []Rewritten) string {
	const most = 8
	var parts []string
	for _, one := range all[:min(len(all), most)] {
		became := "left out"
		if one.Now != "" {
			became = fmt.Sprintf("written %q", short(one.Now))
		}
		parts = append(parts, fmt.Sprintf("%q is %s", short(one.Was), became))
	}
	if n := len(all) - most; n > 0 {
		parts = append(parts, fmt.Sprintf("and %d more", n))
	}
	return strings.Join(parts, ", ")
}

// short is the beginning of a long text.
func short(s string) string {
	const most = 60
	if letters := []rune(s); len(letters) > most {
		return string(letters[:most-3]) + "..."
	}
	return s
}
