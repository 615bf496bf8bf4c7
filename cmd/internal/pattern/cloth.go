// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/colour"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

// checks holds what rules between several values need to know.
type checks struct {
	d                           *decoder
	seam, usable, endTrim, sewn measure
	cuts                        []measure // of the strips, then of the borders
	stripCount                  int
	uses                        []use
	allCuts                     bool // every strip has a cut width that can be used
}

// use is a fabric named by a strip or border.
type use struct {
	fabric string
	at     position
	strip  bool
}

// MaxStrips is the most strips of a strip set.
const MaxStrips = 24

// strips reads the strips of the strip set, lowest first.
func (c *checks) strips(f fields) []quilt.Strip {
	f.require("strips", "add `strips:` and below it, lowest first, one `- {cut: 3, fabric: tide}` for each strip")
	if n := f.values["strips"]; n != nil && n.kind == list && (len(n.items) < 1 || len(n.items) > MaxStrips) {
		c.d.fail(n.at, fmt.Sprintf("strips: a strip set has 1 to %d strips, not %d", MaxStrips, len(n.items)), c.d.shapeHint("strips"))
		return nil
	}
	var out []quilt.Strip
	groups, whole := f.groups("strips", &stripPart)
	c.allCuts = whole
	for _, g := range groups {
		cut := c.cut(g)
		c.allCuts = c.allCuts && cut.ok
		out = append(out, quilt.Strip{Cut: cut.value, Fabric: c.fabric(g, true)})
	}
	c.stripCount = len(c.cuts)
	return out
}

// borders reads the borders, from the inside out.
func (c *checks) borders(f fields) []quilt.Border {
	var out []quilt.Border
	groups, _ := f.groups("borders", &borderPart)
	for _, g := range groups {
		b := quilt.Border{Cut: c.cut(g).value, Fabric: c.fabric(g, false)}
		b.Corners, _ = word(g, "corners", corners...)
		out = append(out, b)
	}
	return out
}

// cut reads the cut width of a strip or border.
func (c *checks) cut(g fields) measure {
	g.require("cut", "say how wide it is cut, before sewing: `cut: 3`")
	m := measure{}
	if g.has("cut") {
		m = g.length("cut", false, 0)
	}
	c.cuts = append(c.cuts, m)
	return m
}

// fabric reads which fabric a strip or border is cut from.
func (c *checks) fabric(g fields, strip bool) string {
	g.require("fabric", "say which fabric it is cut from: `fabric: tide`")
	n := g.scalar("fabric", "the name of a fabric")
	if n == nil {
		return ""
	}
	c.uses = append(c.uses, use{n.text, n.at, strip})
	return n.text
}

var fabricKey = regexp.MustCompile(fmt.Sprintf(`^[A-Za-z0-9_-]{1,%d}$`, maxKey))

func (d *decoder) checkFabricKey(key string, at position) {
	if !fabricKey.MatchString(key) {
		d.fail(at, fmt.Sprintf("%s can't name a fabric here", show(key)),
			meant(key, "", fmt.Sprintf("use letters a to z, digits, - and _, at most %d, and give the full name as `name:` of the fabric", maxKey)))
	}
}

// fabrics reads the fabrics; without any, each that is named gets a colour.
func (c *checks) fabrics(f fields) []quilt.Fabric {
	d := c.d
	if !f.has("fabrics") {
		var out []quilt.Fabric
		seen := map[string]bool{}
		for _, u := range c.uses {
			if seen[u.fabric] {
				continue
			}
			seen[u.fabric] = true
			d.checkFabricKey(u.fabric, u.at)
			out = append(out, quilt.Fabric{Key: u.fabric, Name: u.fabric, Colours: []quilt.Colour{neutral(len(out))}})
		}
		return out
	}
	g, ok := f.group("fabrics", "a group of fabrics", nil)
	if !ok {
		return nil
	}
	used := map[string]bool{}
	for _, u := range c.uses {
		used[u.fabric] = true
	}
	var out []quilt.Fabric
	var keys []string
	for _, e := range g.order {
		key := e.key.text
		keys = append(keys, key)
		d.checkFabricKey(key, e.key.at)
		if !used[key] {
			d.warn(e.key.at, fmt.Sprintf("fabric %s is not used by any strip or border", show(key)), "take it out, or check the names that the strips give")
		}
		out = append(out, g.oneFabric(key, len(out)))
	}
	for _, u := range c.uses {
		if g.has(u.fabric) {
			continue
		}
		hint := fmt.Sprintf("add it to fabrics: `%s: {}`", u.fabric)
		if !fabricKey.MatchString(u.fabric) {
			hint = "write the name that fabrics gives it"
		}
		d.fail(u.at, fmt.Sprintf("fabric %s is not in fabrics", show(u.fabric)), meant(u.fabric, nearest(u.fabric, keys), hint))
	}
	return out
}

// oneFabric reads the fabric with the given key, number i of the list.
func (g fields) oneFabric(key string, i int) quilt.Fabric {
	out := quilt.Fabric{Key: key, Name: key, Colours: []quilt.Colour{neutral(i)}}
	d := g.d
	n := g.values[key]
	h, ok := d.fields(n, join("fabrics", key), "a group of keys for the fabric", &fabricPart)
	if !ok {
		return out
	}
	out.Name = h.words("name", key, maxTitle)
	out.From, _ = word(h, "from", sources...)
	if h.has("strip_length") {
		out.StripLength = h.length("strip_length", false, 0).value
	} else if out.From == quilt.FatQuarters {
		out.StripLength = fabric.FatQuarterLength(d.unit)
	}
	if c := h.value("colors"); c != nil {
		out.Colours, out.Names = d.colours(c, join(h.path, "colors"))
	}
	return out
}

// colours reads a list of colours, or a single one, and what they are called: ""
// where it doesn't say.
func (d *decoder) colours(n *node, path string) (out []quilt.Colour, names []string) {
	items := []*node{n}
	if n.kind == list {
		items = n.items
	}
	if len(items) == 0 {
		d.fail(n.at, "colors: the list is empty", `give at least one colour, as ["#1f5f7a"], or leave colors out`)
	}
	for i, item := range items {
		at := path
		if n.kind == list {
			at = fmt.Sprintf("%s[%d]", path, i)
			d.places[at] = item.at
		}
		name := ""
		if item.kind == group {
			h, ok := d.fields(item, at, "a colour", &colourPart)
			if !ok {
				continue
			}
			h.require("color", `write {name: harbour, color: "#17506b"}`)
			name = strings.TrimSpace(h.words("name", "", maxColourName))
			if name != "" && slices.ContainsFunc(names, same(name)) {
				d.fail(item.at, fmt.Sprintf("colors: %s names two colours", show(name)), "give each a name of its own, not told apart by capitals alone")
			}
			if item = h.value("color"); item == nil {
				continue
			}
		}
		if item.kind != scalar {
			d.fail(item.at, fmt.Sprintf("colors: a colour is wanted here, %s", item.kind.instead()), colourHint)
			continue
		}
		c, reason, hint := ParseColour(item.text)
		if reason != "" {
			d.fail(item.at, fmt.Sprintf("colors: %s %s", show(item.text), reason), hint)
			continue
		}
		// A keyword is its own name.
		if words, ok := colour.Words(item.text); ok && name == "" {
			name = words
			if slices.ContainsFunc(names, same(name)) {
				name = ""
			}
		}
		out, names = append(out, c), append(names, name)
	}
	if strings.Join(names, "") == "" {
		return out, nil
	}
	return out, names
}

// same finds a name, in capitals or not.
func same(name string) func(string) bool {
	return func(other string) bool { return strings.EqualFold(name, other) }
}

// widths checks that seam allowances leave something of each strip and border.
func (c *checks) widths() {
	if !c.seam.ok {
		return
	}
	for _, cut := range c.cuts {
		if cut.ok && !(cut.value > float64(2*c.seam.value)+geometry.Fit) {
			c.d.fail(cut.at, fmt.Sprintf("cut: %s leaves nothing between two seam allowances of %s", show(cut.text), show(c.seam.text)),
				"cut it wider, or make `seam` narrower")
		}
	}
}

// sewnWidth checks that the measured width can be that of the strip set. A
// measured width is off by a fraction of a seam allowance; off by two or more
// something else was measured, or strips of another width were sewn.
func (c *checks) sewnWidth() {
	if !c.sewn.ok || !c.allCuts || !c.seam.ok || c.stripCount == 0 {
		return
	}
	d, w, a := c.d, c.sewn.value, c.seam.value
	if c.stripCount < 2 {
		d.fail(c.sewn.at, "sewn_width: a single strip has no seam, so nothing can come out other than cut", "take sewn_width out, or correct `cut`")
		return
	}
	sum := 0.0
	for _, cut := range c.cuts[:c.stripCount] {
		sum += cut.value
	}
	nominal := sum - float64(2*a*float64(c.stripCount-1))
	off := max(w-nominal, nominal-w)
	if !(w > 2*a && w < sum) || off > float64(2*a)+geometry.Fit {
		d.fail(c.sewn.at, fmt.Sprintf("sewn_width: %s can't be the width of this strip set, which is %s when every seam is exact", show(c.sewn.text), geometry.FormatLength(nominal, d.unit)),
			"measure it again across all strips, raw edge to raw edge, and check `cut` and `seam`")
	}
}

// ends checks that squaring the ends leaves something of the shortest strips.
func (c *checks) ends(s quilt.Spec) {
	if !c.endTrim.given || !c.endTrim.ok || !c.usable.ok {
		return
	}
	length := map[string]float64{} // of the strips of each fabric
	for _, f := range s.Fabrics {
		length[f.Key] = f.StripLength
	}
	shortest := math.Inf(1)
	for _, u := range c.uses {
		if l := length[u.fabric]; u.strip && l > 0 {
			shortest = min(shortest, l)
		} else if u.strip {
			shortest = min(shortest, s.UsableWidth)
		}
	}
	if !(s.EndTrim+geometry.Fit < shortest) {
		c.d.fail(c.endTrim.at, fmt.Sprintf("end_trim: %s leaves nothing of strips %s long", show(c.endTrim.text), geometry.FormatLength(shortest, c.d.unit)),
			"give what is lost at the ends of one strip set, such as 1/2 in")
	}
}
