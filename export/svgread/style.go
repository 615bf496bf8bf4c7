// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"cmp"
	"fmt"
	"iter"
	"regexp"
	"slices"
	"strings"

	"lozenge/export/measure"
)

// declaration is a property and its value, as a style says it.
type declaration struct {
	name, value string
	important   bool
}

// rule is what a style sheet says about the elements that a selector picks.
type rule struct {
	tag          string // "" for any
	id           string
	classes      []string
	declarations []declaration
	weight       int // of its selector (CSS 2.1, 6.4.3)
}

// Limits on style sheets.
const (
	maxRules   = 1 << 12
	maxMatches = 1 << 26 // rules held against elements
)

// weighty are the properties that say where something is, how large, or whether
// it can be seen. All others are passed over.
var weighty = func() map[string]bool {
	weighty := map[string]bool{}
	for _, set := range []map[string]bool{moving, geometric, looks} {
		for name := range set {
			weighty[name] = true
		}
	}
	return weighty
}()

func set(names string) map[string]bool {
	out := map[string]bool{}
	for _, name := range strings.Fields(names) {
		out[name] = true
	}
	return out
}

var (
	// moving properties take an element elsewhere, or away after a while.
	moving = set(`transform transform-origin transform-box zoom scale rotate translate perspective
		offset offset-path offset-distance offset-position offset-rotate offset-anchor motion motion-path
		animation animation-name transition all clip position content content-visibility
		padding padding-left padding-right padding-top padding-bottom border border-width box-sizing
		min-width min-height max-width max-height aspect-ratio inline-size block-size
		background background-color background-image`)
	// geometric properties say what attributes say as well (SVG 2, 7 to 10).
	geometric = set("x y width height r rx ry cx cy d")
	// looks are followed.
	looks = set(`display visibility opacity stroke stroke-opacity stroke-width stroke-dasharray fill fill-opacity fill-rule color
		overflow clip-path mask mask-image filter mix-blend-mode`)
)

// geometryOf are the elements of which style sheets may say where they are.
var geometryOf = map[string]string{
	"svg": "x y width height", "use": "x y width height", "symbol": "x y width height", "image": "x y width height", "rect": "x y width height rx ry",
	"circle": "cx cy r", "ellipse": "cx cy rx ry", "path": "d",
}

var (
	comment = regexp.MustCompile(`(?s)/\*.*?\*/`)
	part    = regexp.MustCompile(`[.#][^.#]+`) // of a selector
	simple  = regexp.MustCompile(`^(\*|[A-Za-z][\w-]*)?((?:[.#][A-Za-z_-][\w-]*)*)$`)
)

// plain takes comments out of a style. A style with escapes is not followed.
func plain(style string) (string, error) {
	if strings.Contains(style, "/*") {
		style = comment.ReplaceAllString(style, " ")
	}
	if strings.ContainsAny(style, "\\") || strings.Contains(style, "/*") {
		return "", fmt.Errorf("a style has escapes or a comment without end, which are not followed; export the file with plain attributes")
	}
	return style, nil
}

// split takes a text apart where a character stands outside of quotes and
// brackets.
func split(s string, at byte) iter.Seq[string] {
	return func(yield func(string) bool) {
		depth, quote, from := 0, byte(0), 0
		for i := 0; i < len(s); i++ {
			switch c := s[i]; {
			case quote != 0:
				if c == quote {
					quote = 0
				}
			case c == '"' || c == '\'':
				quote = c
			case c == '(' || c == '[' || c == '{':
				depth++
			case c == ')' || c == ']' || c == '}':
				depth--
			case c == at && depth <= 0:
				if i > from && !yield(s[from:i]) {
					return
				}
				from = i + 1
			}
		}
		yield(s[from:])
	}
}

// declarations returns those of a style that matter, in their order.
func declarations(style string) (out []declaration, err error) {
	if style, err = plain(style); err != nil {
		return nil, err
	}
	for one := range split(style, ';') {
		name, value, ok := strings.Cut(one, ":")
		name = strings.TrimPrefix(strings.ToLower(strings.TrimSpace(name)), "-webkit-")
		if !ok || !weighty[name] {
			continue
		}
		d := declaration{name: name, value: strings.TrimSpace(value)}
		if rest, is := strings.CutSuffix(strings.ToLower(d.value), "important"); is {
			if rest, is = strings.CutSuffix(strings.TrimSpace(rest), "!"); is {
				d.value, d.important = strings.TrimSpace(d.value[:len(rest)]), true
			}
		}
		out = append(out, d)
	}
	return out, nil
}

// sheet takes a style sheet apart. What can't be followed and may matter is an
// error.
func (p *parser) sheet(e *element) error {
	// Some programs follow one of any type.
	if media := strings.ToLower(strings.TrimSpace(e.attr("media"))); media != "" && media != "all" && media != "screen" {
		return e.errorf("a style sheet is for %s only, which is not followed; export the file with plain attributes", clip(e.attr("media")))
	}
	rest, err := plain(string(e.text))
	if err != nil {
		return e.errorf("%v", err)
	}
	rest = strings.NewReplacer("<!--", " ", "-->", " ").Replace(rest)
	for strings.TrimSpace(rest) != "" {
		head, body, next, whole := block(rest)
		rest = next
		head = strings.TrimSpace(head)
		switch {
		case strings.HasPrefix(head, "@"):
			err = atRule(head, body)
		case !whole:
			err = fmt.Errorf("a style sheet has no end, at %s", clip(head))
		default:
			err = p.rules(head, body)
		}
		if err != nil {
			return e.errorf("%v; export the file with plain attributes", err)
		}
	}
	return nil
}

// block takes the first rule off a style sheet: what stands before its braces and
// in them, or an at-rule without braces.
func block(s string) (head, body, rest string, whole bool) {
	end := strings.IndexAny(s, "{;")
	switch {
	case end < 0:
		return s, "", "", false
	case s[end] == ';':
		return s[:end], "", s[end+1:], true
	}
	depth, quote := 0, byte(0)
	for i := end; i < len(s); i++ {
		switch c := s[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '{':
			depth++
		case c == '}':
			if depth--; depth == 0 {
				return s[:end], s[end+1 : i], s[i+1:], true
			}
		}
	}
	return s[:end], s[end+1:], "", false
}

// atRule passes over what only tells of fonts.
func atRule(head, body string) error {
	name, _, _ := strings.Cut(strings.ToLower(head), " ")
	switch name, _, _ = strings.Cut(name, "("); name {
	case "@charset", "@font-face", "@page", "@counter-style", "@font-feature-values":
		return nil
	case "@media", "@supports", "@layer", "@container", "@scope", "@starting-style":
		if !matters(body) {
			return nil
		}
	}
	return fmt.Errorf("a style sheet has %s, which is not followed", clip(head))
}

// matters reports whether a property that matters stands somewhere.
func matters(body string) bool {
	for _, word := range strings.FieldsFunc(strings.ToLower(body), func(r rune) bool { return strings.ContainsRune(" \t\r\n;{}:", r) }) {
		if weighty[strings.TrimPrefix(word, "-webkit-")] {
			return true
		}
	}
	return false
}

// rules takes a rule of selectors apart.
func (p *parser) rules(selectors, body string) error {
	if strings.ContainsAny(body, "{}") && matters(body) {
		return fmt.Errorf("a style sheet has rules within rules, at %s, which are not followed", clip(selectors))
	}
	all, err := declarations(body)
	if err != nil || len(all) == 0 {
		return err
	}
	for one := range split(selectors, ',') {
		parts := simple.FindStringSubmatch(strings.TrimSpace(one))
		if parts == nil || parts[0] == "" {
			return fmt.Errorf("a style sheet picks elements by %s, which is not followed", clip(strings.TrimSpace(one)))
		}
		r := rule{tag: parts[1], declarations: all}
		if r.tag == "*" {
			r.tag = ""
		} else if r.tag != "" {
			r.weight = 1
		}
		for _, part := range part.FindAllString(parts[2], -1) {
			if part[0] == '.' {
				r.classes = append(r.classes, part[1:])
				r.weight += 1 << 10
				continue
			}
			if r.id != "" && r.id != part[1:] {
				r.tag = "no element" // it can't have two
			}
			r.id = part[1:]
			r.weight += 1 << 20
		}
		if p.tree.rules = append(p.tree.rules, r); len(p.tree.rules) > maxRules {
			return fmt.Errorf("style sheets have more than %d rules", maxRules)
		}
	}
	return nil
}

// picks reports whether a rule is about an element.
func (r *rule) picks(e *element, id string, classes []string) bool {
	if r.tag != "" && r.tag != e.name || r.id != "" && r.id != id {
		return false
	}
	for _, class := range r.classes {
		if !slices.Contains(classes, class) {
			return false
		}
	}
	return true
}

// style is what an element says of its looks, the last one of a name counting.
type style []declaration

// get returns a property, "" when nothing says it.
func (s style) get(name string) string {
	for _, d := range slices.Backward(s) {
		if d.name == name {
			return d.value
		}
	}
	return ""
}

// styleOf returns what counts for an element: its attributes, then style sheets
// by the weight of their selectors and their order, then its own style; what is
// important comes after all that is not (CSS 2.1, 6.4; SVG 2, 6.6). What would
// move it fails.
func (w *walker) styleOf(e *element) style {
	w.props = w.props[:0]
	own := ""
	for _, a := range e.attrs {
		switch {
		case looks[a.name]:
			w.props = append(w.props, declaration{name: a.name, value: strings.TrimSpace(a.value)})
		case a.name == "style":
			own = a.value
		}
	}
	if own == "" && len(w.rules) == 0 {
		return w.props
	}
	from := len(w.props)
	w.sheets(e)
	sheets := len(w.props)
	mine, err := declarations(own)
	if err != nil {
		w.fail(e, "%v", err)
	}
	w.props = append(w.props, mine...)
	for i, d := range w.props[from:] {
		w.allowed(e, d, from+i >= sheets)
	}
	slices.SortStableFunc(w.props[from:], func(a, b declaration) int {
		switch {
		case a.important == b.important:
			return 0
		case b.important:
			return -1
		}
		return 1
	})
	return w.props
}

// sheets adds what the style sheets say of an element.
func (w *walker) sheets(e *element) {
	if len(w.rules) == 0 {
		return
	}
	if w.matched += len(w.rules); w.matched > maxMatches {
		w.fail(e, "style sheets have too many rules for so many elements")
		return
	}
	id, classes := e.attr("id"), strings.Fields(e.attr("class"))
	var picked []*rule
	for i := range w.rules {
		if w.rules[i].picks(e, id, classes) {
			picked = append(picked, &w.rules[i])
		}
	}
	slices.SortStableFunc(picked, func(a, b *rule) int { return cmp.Compare(a.weight, b.weight) })
	for _, r := range picked {
		w.props = append(w.props, r.declarations...)
	}
}

// allowed fails for a declaration that is not followed: one that moves, or says
// where something is, or whose value is worked out elsewhere.
func (w *walker) allowed(e *element, d declaration, own bool) {
	value := strings.ToLower(d.value)
	switch {
	case geometric[d.name] && own && e == w.root && (d.name == "width" || d.name == "height"):
	case geometric[d.name]:
		if slices.Contains(strings.Fields(geometryOf[e.name]), d.name) {
			w.fail(e, "a style says the %s of <%s>, which only some programs follow; export the file with plain attributes", d.name, e.name)
		}
	case moving[d.name]:
		harmless := value == "none" || value == "normal" || value == "auto" || value == "0" ||
			strings.HasPrefix(d.name, "background") && isWhite(value) || d.name == "position" && value != "absolute" && value != "fixed" ||
			strings.HasPrefix(d.name, "max-") && value == "100%" ||
			onlyPage[d.name] && e.name != "svg"
		if !harmless {
			w.fail(e, "the style of <%s> moves or resizes it (%s), which is not followed; export the file with plain attributes", e.name, d.name)
		}
	case strings.Contains(value, "(") && !strings.HasPrefix(value, "url(") && !strings.HasPrefix(value, "rgb") && !strings.HasPrefix(value, "hsl") || value == "initial" || value == "unset" || strings.HasPrefix(value, "revert"):
		if d.name != "clip-path" && d.name != "filter" && d.name != "mask" && d.name != "mask-image" {
			w.fail(e, "the style of <%s> has %s: %s, which is not followed; export the file with plain attributes", e.name, d.name, clip(d.value))
		}
	}
}

// onlyPage are properties of boxes, of which a drawing has one: its page.
var onlyPage = set(`position content padding padding-left padding-right padding-top padding-bottom border border-width box-sizing
	min-width min-height max-width max-height aspect-ratio inline-size block-size background background-color background-image`)

// isWhite reports whether a ground is that of paper.
func isWhite(value string) bool {
	ink := inkOf(value, measure.Ink{}, measure.Ink{})
	return !ink.Unsure && ink.Alpha == 0 || min(ink.Colour[0], ink.Colour[1], ink.Colour[2]) > 0.9
}
