// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Limits on what is read.
const (
	maxFile       = 64 << 20
	maxElements   = 1 << 20
	maxAttributes = 1 << 22
	maxDepth      = 200
	maxText       = 1 << 10 // bytes of one text; more is no label
)

// SyntaxError says where a file stops being an SVG that can be trusted.
type SyntaxError struct {
	Line int // from 1, or 0 for the file as a whole
	Msg  string
}

func (e *SyntaxError) Error() string {
	if e.Line == 0 {
		return e.Msg
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.Msg)
}

// element is an element of the file. A file may have a million of them, so
// they hold places in it and no strings.
type element struct {
	at                  int32 // where it begins in the file
	local, end          int32 // its name without prefix
	attrs               int32 // index of the first attribute
	count               int32
	texts               int32 // index of the characters of a text or a style, 0 for none
	child, next, parent int32 // indices, 0 for none
}

// attribute is the place of a name, and of a value that may hold references.
type attribute struct{ name, nameEnd, value, valueEnd int32 }

// tree is a file taken apart. Element 0 is none; element 1 is the root.
type tree struct {
	src      string
	elements []element
	attrs    []attribute
	texts    []string // references resolved
}

// name returns an element's name without its prefix.
func (t *tree) name(e *element) string { return t.src[e.local:e.end] }

// prefix returns what stands before the name and its colon, or "".
func (t *tree) prefix(e *element) string { return t.src[e.at+1 : max(e.local-1, e.at+1)] }

// characters returns those of a text or a style.
func (t *tree) characters(e *element) string { return t.texts[e.texts] }

func (t *tree) attributes(e *element) []attribute { return t.attrs[e.attrs : e.attrs+e.count] }

// key and value return what an attribute is called and what it says.
func (t *tree) key(a attribute) string   { return t.src[a.name:a.nameEnd] }
func (t *tree) value(a attribute) string { return t.src[a.value:a.valueEnd] }

// errorAt returns an error at a place in the file.
func (t *tree) errorAt(at int, format string, args ...any) error {
	line := 1 + strings.Count(t.src[:min(max(at, 0), len(t.src))], "\n")
	return &SyntaxError{line, fmt.Sprintf(format, args...)}
}

func (t *tree) errorf(e *element, format string, args ...any) error {
	return t.errorAt(int(e.at), format, args...)
}

// clip keeps a value in a message short and printable.
func clip(s string) string {
	if len(s) > 40 {
		s = s[:37] + "..."
	}
	return strconv.QuoteToGraphic(s)
}

// decode returns the file as UTF-8 text.
func decode(data string) (string, error) {
	switch {
	case strings.HasPrefix(data, "\xff\xfe"), strings.HasPrefix(data, "\xfe\xff"):
		return "", &SyntaxError{0, "this is UTF-16 text; save it as UTF-8"}
	case strings.HasPrefix(data, "\x1f\x8b"):
		return "", &SyntaxError{0, "this is a compressed SVG (svgz); save it as a plain SVG"}
	}
	data = strings.TrimPrefix(data, "\xef\xbb\xbf")
	head := data[:min(len(data), 200)]
	if end := strings.Index(head, "?>"); strings.HasPrefix(head, "<?xml") && end > 0 {
		if _, after, ok := strings.Cut(head[:end], "encoding"); ok {
			name := strings.ToLower(strings.Trim(after, " \t\r\n='\"?"))
			name, _, _ = strings.Cut(strings.Fields(name + " ")[0], "\"")
			name, _, _ = strings.Cut(name, "'")
			switch name {
			case "utf-8", "utf8", "us-ascii", "ascii":
			case "iso-8859-1", "latin1", "windows-1252", "iso-8859-15":
				return latin1(data), nil
			default:
				return "", &SyntaxError{1, fmt.Sprintf("the text is in %s; save it as UTF-8", clip(name))}
			}
		}
	}
	return data, nil
}

// latin1 turns bytes into the characters of the same number; the few that
// Windows 1252 has elsewhere only stand in lettering.
func latin1(data string) string {
	var b strings.Builder
	b.Grow(len(data) + len(data)/8)
	for i := range len(data) {
		b.WriteRune(rune(data[i]))
	}
	return b.String()
}

// parse takes a file apart.
func parse(src string) (*tree, error) {
	// Room for all, so that what grows is not copied again and again.
	t := &tree{
		src:      src,
		texts:    make([]string, 1),
		elements: make([]element, 1, min(strings.Count(src, "<"), maxElements)+2),
		attrs:    make([]attribute, 0, min(strings.Count(src, "="), len(src)/6, maxAttributes)),
	}
	p := xmlParser{tree: t}
	if err := p.run(); err != nil {
		return nil, err
	}
	if len(t.elements) == 1 {
		return nil, &SyntaxError{0, "there is no element in it; this is not an SVG file"}
	}
	return t, nil
}

type xmlParser struct {
	*tree
	pos  int
	open []int32 // elements that have not ended
	last []int32 // the last child of each
	kept int     // open elements whose characters are kept
}

func (p *xmlParser) run() error {
	for p.pos < len(p.src) {
		i := strings.IndexByte(p.src[p.pos:], '<')
		if i < 0 {
			i = len(p.src) - p.pos
		}
		if err := p.between(p.src[p.pos:p.pos+i], true); err != nil {
			return err
		}
		if p.pos += i; p.pos >= len(p.src) {
			break
		}
		if err := p.markup(); err != nil {
			return err
		}
	}
	if len(p.open) > 0 {
		return p.errorAt(len(p.src), "the file ends inside <%s> of line %d; it was cut short",
			short(p.name(&p.elements[p.open[len(p.open)-1]])), 1+strings.Count(p.src[:p.elements[p.open[len(p.open)-1]].at], "\n"))
	}
	return nil
}

func short(name string) string { return name[:min(len(name), 40)] }

// between takes what stands between tags.
func (p *xmlParser) between(s string, references bool) error {
	if len(p.open) == 0 {
		if strings.TrimSpace(s) != "" {
			return p.errorAt(p.pos, "%s stands outside the root element; this is not an SVG file", clip(strings.TrimSpace(s)))
		}
		return nil
	}
	if references && strings.IndexByte(s, '&') >= 0 {
		var err error
		if s, err = resolve(s); err != nil {
			return p.errorAt(p.pos, "%v", err)
		}
	}
	if p.kept == 0 || s == "" {
		return nil
	}
	e := &p.elements[p.open[len(p.open)-1]]
	switch {
	case e.texts == 0:
		e.texts = int32(len(p.texts))
		p.texts = append(p.texts, s)
	case len(p.texts[e.texts]) < maxText:
		p.texts[e.texts] += s[:min(len(s), maxText)]
	}
	return nil
}

// markup takes what begins with "<".
func (p *xmlParser) markup() error {
	rest := p.src[p.pos:]
	skipTo := func(from int, end, what string) error {
		i := strings.Index(rest[from:], end)
		if i < 0 {
			return p.errorAt(p.pos, "the %s has no end", what)
		}
		p.pos += from + i + len(end)
		return nil
	}
	switch {
	case strings.HasPrefix(rest, "<!--"):
		return skipTo(4, "-->", "comment")
	case strings.HasPrefix(rest, "<?"):
		return skipTo(2, "?>", "processing instruction")
	case strings.HasPrefix(rest, "<![CDATA["):
		begin := p.pos + 9
		if err := skipTo(9, "]]>", "CDATA section"); err != nil {
			return err
		}
		return p.between(p.src[begin:p.pos-3], false)
	case strings.HasPrefix(rest, "<!DOCTYPE"):
		return p.docType()
	case strings.HasPrefix(rest, "</"):
		return p.endTag()
	}
	return p.startTag()
}

// docType passes over the document type. What it declares is not used.
func (p *xmlParser) docType() error {
	if len(p.elements) > 1 {
		return p.errorAt(p.pos, "a DOCTYPE stands inside the drawing")
	}
	depth, quote := 0, byte(0)
	for i := p.pos; i < len(p.src); i++ {
		c := p.src[i]
		switch {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case strings.HasPrefix(p.src[i:], "<!--"):
			end := strings.Index(p.src[i:], "-->")
			if end < 0 {
				return p.errorAt(i, "the comment has no end")
			}
			i += end + 2
		case c == '<' || c == '[':
			depth++
		case c == '>' || c == ']':
			if depth--; depth == 0 {
				p.pos = i + 1
				return nil
			}
		}
	}
	return p.errorAt(p.pos, "the DOCTYPE has no end")
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }

func (p *xmlParser) space() {
	for p.pos < len(p.src) && isSpace(p.src[p.pos]) {
		p.pos++
	}
}

// nameEnds lists the bytes that end a name.
var nameEnds = [256]bool{' ': true, '\t': true, '\n': true, '\r': true, '/': true, '>': true, '=': true, '<': true, '"': true, '\'': true, '&': true}

func (p *xmlParser) word() string {
	from := p.pos
	for p.pos < len(p.src) && !nameEnds[p.src[p.pos]] {
		p.pos++
	}
	return p.src[from:p.pos]
}

func (p *xmlParser) startTag() error {
	begin := p.pos
	p.pos++
	full := p.word()
	if full == "" {
		return p.errorAt(begin, "a \"<\" begins no element")
	}
	switch {
	case len(p.elements) > maxElements:
		return p.errorAt(begin, "there are more than %d elements; that is no file to cut from", maxElements)
	case len(p.open) >= maxDepth:
		return p.errorAt(begin, "elements stand within each other more than %d deep", maxDepth)
	case len(p.open) == 0 && len(p.elements) > 1:
		return p.errorAt(begin, "there is a second root element")
	}
	e := element{at: int32(begin), attrs: int32(len(p.attrs)), local: int32(begin + 1), end: int32(p.pos)}
	if colon := strings.IndexByte(full, ':'); colon >= 0 {
		e.local += int32(colon + 1)
	}
	index := int32(len(p.elements))
	if n := len(p.open); n > 0 {
		e.parent = p.open[n-1]
		if p.last[n-1] == 0 {
			p.elements[e.parent].child = index
		} else {
			p.elements[p.last[n-1]].next = index
		}
		p.last[n-1] = index
	}
	empty, err := p.tagEnd(&e)
	if err != nil {
		return err
	}
	p.elements = append(p.elements, e)
	if !empty {
		p.open, p.last = append(p.open, index), append(p.last, 0)
		if keepsText(p.name(&e)) {
			p.kept++
		}
	}
	return nil
}

// keepsText reports whether the characters inside an element are kept.
func keepsText(name string) bool { return name == "text" || name == "style" }

// tagEnd reads the attributes up to the end of a start tag.
func (p *xmlParser) tagEnd(e *element) (empty bool, err error) {
	for {
		p.space()
		if p.pos >= len(p.src) {
			return false, p.errorf(e, "the tag of <%s> has no end; the file was cut short", short(p.name(e)))
		}
		switch p.src[p.pos] {
		case '>':
			p.pos++
			return false, nil
		case '/':
			if !strings.HasPrefix(p.src[p.pos:], "/>") {
				return false, p.errorAt(p.pos, "a \"/\" stands in the tag of <%s>", short(p.name(e)))
			}
			p.pos += 2
			return true, nil
		}
		from := p.pos
		name := p.word()
		p.space()
		if name == "" || p.pos >= len(p.src) || p.src[p.pos] != '=' {
			return false, p.errorAt(from, "%s in the tag of <%s> is no attribute", clip(p.src[from:min(from+20, len(p.src))]), short(p.name(e)))
		}
		p.pos++
		p.space()
		if p.pos >= len(p.src) || p.src[p.pos] != '"' && p.src[p.pos] != '\'' {
			return false, p.errorAt(from, "the value of %s is not in quotation marks", clip(name))
		}
		end := strings.IndexByte(p.src[p.pos+1:], p.src[p.pos])
		if end < 0 {
			return false, p.errorAt(from, "the value of %s has no end; the file was cut short", clip(name))
		}
		a := attribute{int32(from), int32(from + len(name)), int32(p.pos + 1), int32(p.pos + 1 + end)}
		p.pos += end + 2
		if len(p.attrs) >= maxAttributes {
			return false, p.errorAt(from, "there are more than %d attributes; that is no file to cut from", maxAttributes)
		}
		p.attrs = append(p.attrs, a)
		e.count++
	}
}

func (p *xmlParser) endTag() error {
	begin := p.pos
	p.pos += 2
	full := p.word()
	p.space()
	if p.pos >= len(p.src) || p.src[p.pos] != '>' {
		return p.errorAt(begin, "the end tag of <%s> has no end", short(full))
	}
	p.pos++
	if len(p.open) == 0 {
		return p.errorAt(begin, "</%s> ends nothing", short(full))
	}
	top := len(p.open) - 1
	e := &p.elements[p.open[top]]
	if full != p.src[e.at+1:e.end] {
		return p.errorAt(begin, "</%s> stands where </%s> should", short(full), short(p.name(e)))
	}
	if keepsText(p.name(e)) {
		p.kept--
	}
	p.open, p.last = p.open[:top], p.last[:top]
	return nil
}

// resolve replaces the references that XML itself knows. Those that a file
// declares are refused: they may stand for anything, gigabytes included.
func resolve(s string) (string, error) {
	if strings.IndexByte(s, '&') < 0 {
		return s, nil
	}
	var b strings.Builder
	for {
		before, after, ok := strings.Cut(s, "&")
		b.WriteString(before)
		if !ok {
			return b.String(), nil
		}
		ref, _, ok := strings.Cut(after[:min(len(after), 16)], ";")
		if !ok {
			return "", fmt.Errorf("%s is no reference", clip("&"+after[:min(len(after), 16)]))
		}
		r, err := reference(ref)
		if err != nil {
			return "", err
		}
		b.WriteRune(r)
		s = after[len(ref)+1:]
	}
}

func reference(ref string) (rune, error) {
	switch ref {
	case "amp":
		return '&', nil
	case "lt":
		return '<', nil
	case "gt":
		return '>', nil
	case "quot":
		return '"', nil
	case "apos":
		return '\'', nil
	}
	number, base, ok := strings.TrimPrefix(ref, "#"), 10, strings.HasPrefix(ref, "#")
	if hex, is := strings.CutPrefix(number, "x"); is {
		number, base = hex, 16
	}
	n, err := strconv.ParseUint(number, base, 32)
	if !ok || err != nil {
		return 0, fmt.Errorf("the entity %s is not one of XML's own and is not replaced; save the file without entities", clip("&"+ref+";"))
	}
	if n > utf8.MaxRune {
		return utf8.RuneError, nil
	}
	return rune(n), nil
}

// attr returns the value of an attribute, resolved, or "".
func (t *tree) attr(e *element, name string) (string, error) {
	for _, a := range t.attributes(e) {
		if t.key(a) == name {
			v, err := resolve(t.value(a))
			if err != nil {
				return "", t.errorf(e, "%s of <%s>: %v", name, short(t.name(e)), err)
			}
			return v, nil
		}
	}
	return "", nil
}
