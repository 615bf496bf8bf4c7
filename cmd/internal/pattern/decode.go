// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry"
)

// decoder turns nodes into values and notes every problem on the way.
type decoder struct {
	unit      geometry.Unit
	unitKnown bool // otherwise unit is only for reading on
	problems  []Problem
	warnings  []Problem
	places    map[string]position // of field paths such as strips[0].cut
}

func (d *decoder) fail(at position, message, hint string) {
	d.problems = append(d.problems, Problem{Line: at.line, Column: at.column, Message: message, Hint: hint})
}

// missing notes that a field is not there.
func (d *decoder) missing(at position, field, message, hint string) {
	d.fail(at, message, hint)
	d.problems[len(d.problems)-1].Field = field
}

func (d *decoder) warn(at position, message, hint string) {
	d.warnings = append(d.warnings, Problem{Line: at.line, Column: at.column, Message: message, Hint: hint})
}

// fields is a group whose keys have been checked.
type fields struct {
	d      *decoder
	path   string
	at     position
	values map[string]*node
	order  []entry
}

// fields checks the keys of a group. With a part, keys not in it are
// problems; without one, any key goes. ok is false when n is not a group.
func (d *decoder) fields(n *node, path, wanted string, p *part) (f fields, ok bool) {
	if n.kind != group {
		d.fail(n.at, fmt.Sprintf("%s is wanted here, %s", wanted, n.kind.instead()), d.shapeHint(path))
		return fields{}, false
	}
	f = fields{d: d, path: path, at: n.at, values: map[string]*node{}}
	first := map[string]position{}
	for i, e := range n.entries {
		key := e.key.text
		if at, twice := first[key]; twice {
			d.fail(e.key.at, fmt.Sprintf("%s is given twice, first on line %d", show(key), at.line), "keep one of the two")
			continue
		}
		first[key] = e.key.at
		if p != nil && !p.has(key) {
			hint := unknownKey(key, *p)
			if n.inline && i > 0 && isDigits(key) && e.value.kind == nothing {
				hint = fmt.Sprintf("a comma separates keys inside { }: for a decimal write %s.%s", n.entries[i-1].value.text, key)
			}
			d.fail(e.key.at, fmt.Sprintf("unknown key %s in %s", show(key), p.name), hint)
			continue
		}
		f.values[key] = e.value
		f.order = append(f.order, e)
		d.places[join(path, key)] = e.value.at
	}
	return f, true
}

// shapeHint shows how a part that has the wrong shape is written.
func (d *decoder) shapeHint(path string) string {
	name, _, _ := strings.Cut(path, "[")
	name, _, _ = strings.Cut(name, ".")
	how := "write"
	switch {
	case path == "":
		return "write one `key: value` on each line, beginning with `unit: in` or `unit: cm`"
	case name == "fabrics" && path != name:
		return "write {} for a fabric of which nothing is to be said"
	case name == "fabrics":
		how = "write each fabric on a line of its own, as"
	}
	return fmt.Sprintf("%s `%s`", how, examples(d.unit)[name])
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// has reports whether the key stands in the file, with or without a value.
func (f fields) has(key string) bool { return f.values[key] != nil }

// value returns the node of a key that is given and has a value, or nil.
func (f fields) value(key string) *node {
	n := f.values[key]
	if n == nil {
		return nil
	}
	if n.kind == nothing {
		hint := "write its value, or put # in front of the line"
		if key == "colors" {
			hint = `put colours in quotation marks, as ["#1f5f7a"]: an unquoted # begins a comment`
		}
		f.d.fail(n.at, fmt.Sprintf("%s has no value", key), hint)
		return nil
	}
	return n
}

// group returns the fields of a key that has a group; ok is false when it has
// none.
func (f fields) group(key, wanted string, p *part) (g fields, ok bool) {
	n := f.value(key)
	if n == nil {
		return g, false
	}
	return f.d.fields(n, join(f.path, key), wanted, p)
}

// groups returns the fields of each group in the list of a key; whole is false
// when something else stands there too.
func (f fields) groups(key string, p *part) (out []fields, whole bool) {
	n := f.value(key)
	if n == nil {
		return nil, false
	}
	if n.kind != list {
		f.d.fail(n.at, fmt.Sprintf("%s: a list is wanted here, %s", key, n.kind.instead()), f.d.shapeHint(key))
		return nil, false
	}
	for i, item := range n.items {
		path := fmt.Sprintf("%s[%d]", key, i)
		f.d.places[path] = item.at
		if g, ok := f.d.fields(item, path, p.name, p); ok {
			out = append(out, g)
		}
	}
	return out, len(out) == len(n.items)
}

// scalar returns the node of a key that has a single value, or nil.
func (f fields) scalar(key, wanted string) *node {
	n := f.value(key)
	if n != nil && n.kind != scalar {
		f.d.fail(n.at, fmt.Sprintf("%s: %s is wanted here, %s", key, wanted, n.kind.instead()), "")
		return nil
	}
	if n != nil && !n.quoted && wanted != "a text" && strings.HasSuffix(n.text, ",") {
		f.d.fail(n.at, fmt.Sprintf("%s: %s ends with a comma", key, show(n.text)), "take the comma out: "+afterAll)
		return nil
	}
	return n
}

// require notes that the key is missing.
func (f fields) require(key, hint string) {
	if !f.has(key) {
		f.d.missing(f.at, join(f.path, key), key+" is missing", hint)
	}
}

// A measure is a length of the pattern as it was written.
type measure struct {
	value float64 // in the pattern's unit
	text  string  // as written, or the default as a quilter writes it
	at    position
	ok    bool // false when it was given but can't be used
	given bool
}

// MaxLength is far more than any quilt, in inches as in centimetres.
const MaxLength = 10_000

// leadingZero finds a number that is octal elsewhere: 010, but not 0.5 or 10.
var leadingZero = regexp.MustCompile(`(^|[^0-9.])0+([0-9]+)`)

// length reads a length that is greater than 0, or not less than 0 where zero
// is allowed, and at most MaxLength.
func (f fields) length(key string, zero bool, def float64) measure {
	if !f.has(key) {
		return measure{value: def, text: geometry.FormatLength(def, f.d.unit), at: f.at, ok: f.d.unitKnown}
	}
	m := measure{value: def, given: true}
	n := f.scalar(key, "a length")
	if n == nil {
		return m
	}
	m.text, m.at = n.text, n.at
	refuse := func(reason, hint string) measure {
		f.d.fail(n.at, fmt.Sprintf("%s: %s %s", key, show(n.text), reason), hint)
		return m
	}
	if strings.Contains(n.text, ": ") {
		return refuse("is not a length", "put a comma between the keys of a group, as {cut: 3, fabric: tide}")
	}
	l, err := geometry.ParseLength(n.text, f.d.unit)
	if err != nil {
		var e *geometry.LengthError
		if errors.As(err, &e) {
			return refuse("is not a length: "+e.Reason, e.Hint)
		}
		return refuse("is not a length", "write it like 2 1/2, 2.5, 2 1/2 in or 6.5 cm")
	}
	if g := leadingZero.FindStringSubmatch(n.text); g != nil {
		return refuse("has a number that begins with a 0, which can be read in two ways", "write "+g[2])
	}
	v := l.In(f.d.unit)
	switch {
	case v < 0:
		return refuse("is less than 0", "write it without the minus sign")
	case !(v > 0) && !zero:
		return refuse("is not more than 0", "write how wide or long it is")
	case !(v <= MaxLength):
		return refuse(fmt.Sprintf("is more than %d %s", MaxLength, f.d.unit), "check the unit and the decimal point")
	}
	if w := l.Warning(); w != "" {
		f.d.warn(n.at, fmt.Sprintf("%s: %s", key, w), "")
	}
	m.value, m.ok = v+0, true // -0 becomes 0
	return m
}

// integer reads a whole number from its digits. ok is false when it is not
// given or can't be used.
func (f fields) integer(key string, least, most, def int) (v int, ok bool) {
	if !f.has(key) {
		return def, false
	}
	n := f.scalar(key, "a whole number")
	if n == nil {
		return def, false
	}
	refuse := func(reason, hint string) (int, bool) {
		f.d.fail(n.at, fmt.Sprintf("%s: %s %s", key, show(n.text), reason), hint)
		return def, false
	}
	switch {
	case !isDigits(n.text):
		return refuse("is not a whole number", fmt.Sprintf("write plain digits, %d to %d", least, most))
	case len(n.text) > 1 && n.text[0] == '0':
		return refuse("begins with a 0, which can be read in two ways", "write "+strings.TrimLeft(n.text[:len(n.text)-1], "0")+n.text[len(n.text)-1:])
	}
	v, err := strconv.Atoi(n.text)
	if err != nil || v < least || v > most {
		return refuse(fmt.Sprintf("is not within %d to %d", least, most), "")
	}
	return v, true
}

func isDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// boolean reads true or false.
func (f fields) boolean(key string) bool {
	n := f.scalar(key, "true or false")
	if n == nil {
		return false
	}
	switch n.text {
	case "true":
		return true
	case "false":
		return false
	}
	hint := "write true or false"
	switch strings.ToLower(n.text) {
	case "yes", "y", "on", "true":
		hint = "write true"
	case "no", "n", "off", "false":
		hint = "write false"
	}
	f.d.fail(n.at, fmt.Sprintf("%s: %s is neither true nor false", key, show(n.text)), hint)
	return false
}

// decimalAngle is a number of degrees without sign, exponent or leading 0.
var decimalAngle = regexp.MustCompile(`^(0|[1-9][0-9]{0,5})(\.[0-9]{1,12})?°?$`)

// angle reads degrees within geometry.MinAngle to MaxAngle.
func (f fields) angle(key string, def geometry.Angle) geometry.Angle {
	n := f.scalar(key, "a number of degrees")
	if n == nil {
		return def
	}
	hint := fmt.Sprintf("write degrees, %d to %d, such as 60 or 22.5", geometry.MinAngle, geometry.MaxAngle)
	if !decimalAngle.MatchString(n.text) {
		f.d.fail(n.at, fmt.Sprintf("%s: %s is not a number of degrees", key, show(n.text)), hint)
		return def
	}
	v, err := strconv.ParseFloat(strings.TrimSuffix(n.text, "°"), 64)
	if err != nil || !(v >= geometry.MinAngle && v <= geometry.MaxAngle) {
		f.d.fail(n.at, fmt.Sprintf("%s: %s is not within %d to %d degrees", key, show(n.text), geometry.MinAngle, geometry.MaxAngle), hint)
		return def
	}
	return geometry.Angle(v)
}

// decimalPercent is a number without sign, exponent or leading 0.
var decimalPercent = regexp.MustCompile(`^(0|[1-9][0-9]?)(\.[0-9]{1,6})? ?%?$`)

// MaxPercent is the most that cloth is let shrink: four times what a poor
// one does.
const MaxPercent = 25

// percent reads a percentage, 0 to MaxPercent; 0 when it is not given.
func (f fields) percent(key string) float64 {
	n := f.scalar(key, "a percentage")
	if n == nil {
		return 0
	}
	v, err := strconv.ParseFloat(strings.TrimRight(n.text, " %"), 64)
	if !decimalPercent.MatchString(n.text) || err != nil || v > MaxPercent {
		f.d.fail(n.at, fmt.Sprintf("%s: %s is not a percentage of 0 to %d", key, show(n.text), MaxPercent), "write it as 3 or 2.5")
		return 0
	}
	return v
}

// word reads one of the words that all are written as; the first is the
// default.
func word[T fmt.Stringer](f fields, key string, all ...T) (v T, ok bool) {
	known := said(all)
	list := words.Either(known)
	n := f.scalar(key, list)
	if n == nil {
		return all[0], false
	}
	for i, w := range known {
		if n.text == w {
			return all[i], true
		}
	}
	near := nearest(n.text, known)
	if key == "unit" {
		near = unitMeant(strings.Map(plainLetter, n.text))
	}
	f.d.fail(n.at, fmt.Sprintf("%s: %s is not %s", key, show(n.text), list), meant(n.text, near, "write "+list))
	return all[0], false
}

// unitMeant puts other words for inches and centimetres right.
func unitMeant(text string) string {
	switch strings.ToLower(strings.TrimSuffix(text, ".")) {
	case "in", "ins", "inch", "inches", `"`, "″", "imperial":
		return geometry.Inch.String()
	case "cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters", "metric":
		return geometry.Centimetre.String()
	}
	return ""
}
