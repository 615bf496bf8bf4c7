// SPDX-License-Identifier: Apache-2.0

package svgread

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/encoding/charmap"

	"lozenge/export"
)

// Limits on what is read.
const (
	maxFile       = 64 << 20
	maxElements   = 1 << 20
	maxAttributes = 1 << 22
	maxDepth      = 200
	maxText       = 1 << 10 // bytes of one text; more is no label
	maxBound      = 1 << 8  // prefixes at one place
	maxEntities   = 1 << 10
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

func errorAt(line int, format string, args ...any) error {
	return &SyntaxError{line, fmt.Sprintf(format, args...)}
}

// tree is a file taken apart.
type tree struct {
	root     *element
	ids      map[string]*element // the first of two alike counts, as in browsers
	rules    []rule              // of style sheets, in their order
	elements int
	size     int // of the file in bytes
}

// element is an element of the file with those of its attributes that this
// reader knows.
type element struct {
	name     string // without prefix
	foreign  bool   // of another vocabulary than the root's
	line     int32
	size     int32 // of its tag in bytes
	attrs    []attribute
	text     []byte // what stands in it, of a text or a style only
	children []*element
}

// attribute is a name and its value. The name of one of another vocabulary,
// whichever, begins with ":".
type attribute struct{ name, value string }

// known are the names of attributes that are kept.
var known = func() map[string]string {
	known := map[string]string{}
	for _, name := range strings.Fields(`id :label href :href style display transform transform-origin viewBox preserveAspectRatio
		class type media requiredExtensions systemLanguage clipPathUnits clip-rule fill-rule
		d points x y width height rx ry r cx cy x1 y1 x2 y2 data-size`) {
		known[name] = name
	}
	for name := range looks {
		known[name] = name
	}
	return known
}()

// attr returns the value of an attribute, or "".
func (e *element) attr(name string) string {
	for _, a := range e.attrs {
		if a.name == name {
			return a.value
		}
	}
	return ""
}

func (e *element) errorf(format string, args ...any) error {
	return errorAt(int(e.line), format, args...)
}

// clip keeps a value in a message short and printable.
func clip(s string) string {
	if len(s) > 40 {
		s = s[:37] + "..."
	}
	return strconv.QuoteToGraphic(s)
}

// short does so for a name, which is printable.
func short(name string) string { return name[:min(len(name), 40)] }

// ownEntity stands before the reference to an entity that the file declares.
// Such an entity may mean anything, gigabytes included, and is replaced by
// nothing; but in a namespace nobody needs to know what it means. No text has
// this character (Unicode 23.7).
const ownEntity = "\U0010ffff"

var entity = regexp.MustCompile(`<!ENTITY\s+([^\s%]+)(?:\s+(?:"([^"&%]*)"|'([^'&%]*)'))?`)

// noEntity returns an error when there is such a reference in a value.
func noEntity(line int, value string) error {
	_, ref, found := strings.Cut(value, ownEntity)
	if !found {
		return nil
	}
	ref, _, _ = strings.Cut(ref, ";")
	return errorAt(line, "the entity %s is not one of XML's own and is not replaced; save the file without entities", clip(ref+";"))
}

// parser puts the tree together. The decoder takes more than XML allows; it
// sees to it that there is one root with nothing beside it, that each tag has
// its end and each attribute stands once, and that prefixes mean something.
type parser struct {
	tree
	xml   *xml.Decoder
	open  []opened
	bound []binding
	space string // of the root
	// spaces are the entities that the file declares, by their references: as the
	// whole of a namespace one of plain text means that.
	spaces map[string]string
	kept   int  // open elements whose characters are kept
	coded  bool // the file has said its encoding
}

// opened is an element that has not ended.
type opened struct {
	*element
	tag   xml.Name // as it is written
	bound int      // how many prefixes were bound around it
}

type binding struct{ prefix, space string }

// parse takes a file apart.
func parse(r io.Reader) (*tree, error) {
	var data bytes.Buffer
	if whole, err := export.Take(&data, r, maxFile); err != nil {
		return nil, err
	} else if !whole {
		return nil, errorAt(0, "the file is larger than %d MB", maxFile>>20)
	}
	src := data.Bytes()
	switch {
	case bytes.HasPrefix(src, []byte("\xff\xfe")), bytes.HasPrefix(src, []byte("\xfe\xff")):
		return nil, errorAt(0, "this is UTF-16 text; save it as UTF-8")
	case bytes.HasPrefix(src, []byte("\x1f\x8b")):
		return nil, errorAt(0, "this is a compressed SVG (svgz); save it as a plain SVG")
	case bytes.Count(src, []byte("=")) > maxAttributes:
		return nil, errorAt(0, "there are more than %d attributes; that is no file to cut from", maxAttributes)
	}
	src = bytes.TrimPrefix(src, []byte("\xef\xbb\xbf"))
	p := &parser{
		tree:   tree{ids: map[string]*element{}, size: len(src)},
		xml:    xml.NewDecoder(bytes.NewReader(src)),
		spaces: map[string]string{},
		bound:  []binding{{"", ""}, {"xml", "xml"}, {"xmlns", "xmlns"}},
	}
	p.xml.CharsetReader = p.charset
	if err := p.run(); err != nil {
		return nil, err
	}
	return &p.tree, nil
}

func (p *parser) run() error {
	for {
		line, _ := p.xml.InputPos()
		from := p.xml.InputOffset()
		token, err := p.xml.RawToken()
		switch t := token.(type) {
		case nil:
			if err == io.EOF {
				return p.end(line)
			}
			return p.wrong(err, line)
		case xml.StartElement:
			err = p.startTag(t, line, int(p.xml.InputOffset()-from))
		case xml.EndElement:
			err = p.endTag(t, line)
		case xml.CharData:
			err = p.characters(t, line)
		case xml.Directive:
			err = p.directive(t, line)
		case xml.ProcInst:
			if strings.EqualFold(t.Target, "xml-stylesheet") {
				err = errorAt(line, "a style sheet stands in another file (xml-stylesheet), which is not followed; export the file with plain attributes")
			}
		}
		if err != nil {
			return err
		}
	}
}

// end sees to it that there is all of a file.
func (p *parser) end(line int) error {
	if n := len(p.open); n > 0 {
		return errorAt(line, "the file ends inside <%s> of line %d; it was cut short", short(p.open[n-1].name), p.open[n-1].line)
	}
	if p.root == nil {
		return errorAt(0, "there is no element in it; this is not an SVG file")
	}
	return nil
}

// wrong says what the decoder found in what begins in a line.
func (p *parser) wrong(err error, begins int) error {
	var own *SyntaxError
	if errors.As(err, &own) {
		return own
	}
	line, _ := p.xml.InputPos()
	msg := err.Error()
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		line, msg = syntax.Line, syntax.Msg
	}
	switch ref, isEntity := strings.CutPrefix(msg, "invalid character entity "); {
	case isEntity:
		return noEntity(line, ownEntity+ref)
	case msg == "unexpected EOF":
		line, msg = begins, "a tag or a comment has no end; the file was cut short"
	case msg == "invalid UTF-8":
		msg = "there are characters that are not UTF-8; save the file as UTF-8"
	default:
		msg = fmt.Sprintf("the XML is broken (%s)", clip(msg))
	}
	return &SyntaxError{line, msg}
}

// charset reads the encodings that old programs still write. Where the
// decoder asks twice, the file would have itself decoded over and over.
func (p *parser) charset(label string, in io.Reader) (io.Reader, error) {
	line, _ := p.xml.InputPos()
	if p.coded {
		return nil, errorAt(line, "the file says for a second time how its text is encoded")
	}
	p.coded = true
	switch strings.ToLower(label) {
	case "utf8", "us-ascii", "ascii":
		return in, nil
	case "iso-8859-1", "latin1":
		return charmap.ISO8859_1.NewDecoder().Reader(in), nil
	case "iso-8859-15":
		return charmap.ISO8859_15.NewDecoder().Reader(in), nil
	case "windows-1252":
		return charmap.Windows1252.NewDecoder().Reader(in), nil
	}
	return nil, errorAt(line, "the text is in %s; save it as UTF-8", clip(label))
}

// directive notes the entities that a document type declares.
func (p *parser) directive(text []byte, line int) error {
	if p.root != nil {
		return errorAt(line, "a DOCTYPE stands inside or behind the drawing")
	}
	if bytes.Contains(text, []byte("<!ATTLIST")) {
		return errorAt(line, "the DOCTYPE gives elements attributes (ATTLIST), which not every program reads; save the file without a DOCTYPE")
	}
	names := entity.FindAllSubmatch(text, maxEntities+1)
	if len(names) > maxEntities {
		return errorAt(line, "there are more than %d entities; that is no file to cut from", maxEntities)
	}
	p.xml.Entity = map[string]string{}
	for _, name := range names {
		ref := ownEntity + "&" + string(name[1]) + ";"
		p.xml.Entity[string(name[1])] = ref
		p.spaces[ref] = string(name[2]) + string(name[3])
	}
	return nil
}

// characters takes what stands between tags.
func (p *parser) characters(text []byte, line int) error {
	if len(p.open) == 0 {
		if outside := bytes.TrimSpace(text); len(outside) > 0 {
			return errorAt(line, "%s stands outside the root element; this is not an SVG file", clip(string(outside)))
		}
		return nil
	}
	if bytes.Contains(text, []byte(ownEntity)) {
		return noEntity(line, string(text))
	}
	if e := p.open[len(p.open)-1]; p.kept > 0 && (e.name == "style" || len(e.text) < maxText) {
		e.text = append(e.text, text...)
	}
	return nil
}

// keepsText reports whether the characters inside an element are kept.
func keepsText(name string) bool { return name == "text" || name == "style" }

func (p *parser) startTag(t xml.StartElement, line, size int) error {
	e := &element{name: t.Name.Local, line: int32(line), size: int32(size)}
	switch p.elements++; {
	case p.elements > maxElements:
		return e.errorf("there are more than %d elements; that is no file to cut from", maxElements)
	case len(p.open) >= maxDepth:
		return e.errorf("elements stand within each other more than %d deep", maxDepth)
	case len(p.open) == 0 && p.root != nil:
		return e.errorf("there is a second root element, <%s>", short(e.name))
	}
	this := opened{e, t.Name, len(p.bound)}
	if err := cmp.Or(p.bind(e, t.Attr), p.attributes(e, t.Attr)); err != nil {
		return err
	}
	space, err := p.spaceOf(t.Name, line)
	if err != nil {
		return err
	}
	if p.root == nil {
		if e.name == "svg" && space != svgSpace {
			return e.errorf("its root element is not in the namespace of SVG (xmlns=%q is missing): browsers draw nothing", svgSpace)
		}
		p.root, p.space = e, space
	} else {
		parent := p.open[len(p.open)-1].element
		parent.children = append(parent.children, e)
	}
	e.foreign = space != p.space
	if err := p.still(e, space, t.Attr); err != nil {
		return err
	}
	p.open = append(p.open, this)
	if keepsText(e.name) {
		p.kept++
	}
	return nil
}

const (
	svgSpace  = "http://www.w3.org/2000/svg"
	htmlSpace = "http://www.w3.org/1999/xhtml"
)

// still refuses what changes a drawing while it is looked at.
func (p *parser) still(e *element, space string, attrs []xml.Attr) error {
	if space != svgSpace && space != htmlSpace {
		return nil
	}
	switch e.name {
	case "script":
		return e.errorf("it has a script, which may draw anything; save the file without scripts")
	case "animate", "animateTransform", "animateMotion", "animateColor", "set", "discard":
		return e.errorf("<%s> moves or changes what is drawn; save the file without animation", e.name)
	case "link":
		return e.errorf("it links another file, which may change what is drawn; save the file without links")
	}
	for _, a := range attrs {
		if name := a.Name.Local; a.Name.Space == "" && len(name) > 2 && strings.HasPrefix(strings.ToLower(name), "on") {
			return e.errorf("the tag of <%s> has a script (%s), which may draw anything; save the file without scripts", short(e.name), clip(name))
		}
	}
	return nil
}

// bind takes what an element says about prefixes, and puts in the place of the
// prefix of each attribute what it stands for. One without belongs to its
// element.
func (p *parser) bind(e *element, attrs []xml.Attr) (err error) {
	for _, a := range attrs {
		if space, own := p.spaces[a.Value]; own {
			a.Value = space
		}
		switch {
		case a.Name.Space == "xmlns":
			p.bound = append(p.bound, binding{a.Name.Local, a.Value})
		case a.Name == xml.Name{Local: "xmlns"}:
			p.bound = append(p.bound, binding{"", a.Value})
		}
	}
	if len(p.bound) > maxBound {
		return e.errorf("there are more than %d prefixes; that is no file to cut from", maxBound)
	}
	for i := range attrs {
		if name := &attrs[i].Name; name.Space != "" || strings.Contains(name.Local, ":") {
			if name.Space, err = p.spaceOf(*name, int(e.line)); err != nil {
				return err
			}
		}
	}
	return nil
}

// attributes keeps those of an element that are known.
func (p *parser) attributes(e *element, attrs []xml.Attr) error {
	slices.SortFunc(attrs, func(a, b xml.Attr) int {
		return cmp.Or(strings.Compare(a.Name.Local, b.Name.Local), strings.Compare(a.Name.Space, b.Name.Space))
	})
	for i, a := range attrs {
		if i > 0 && a.Name == attrs[i-1].Name {
			return e.errorf("the attribute %s stands twice in the tag of <%s>", clip(a.Name.Local), short(e.name))
		}
		name := a.Name.Local
		if a.Name.Space != "" {
			name = ":" + name
		}
		if name = known[name]; name == "" {
			continue
		}
		if err := noEntity(int(e.line), a.Value); err != nil {
			return err
		}
		if name == "id" && p.ids[a.Value] == nil {
			p.ids[a.Value] = e
		}
		e.attrs = append(e.attrs, attribute{name, a.Value})
	}
	return nil
}

// spaceOf returns the namespace that a prefix stands for here.
func (p *parser) spaceOf(name xml.Name, line int) (string, error) {
	for _, b := range slices.Backward(p.bound) {
		if b.prefix == name.Space && !strings.Contains(name.Local, ":") {
			if b.space == "" && b.prefix != "" {
				break
			}
			return b.space, nil
		}
	}
	return "", errorAt(line, "nothing says what the prefix of %s means", clip(strings.TrimPrefix(name.Space+":"+name.Local, ":")))
}

func (p *parser) endTag(t xml.EndElement, line int) error {
	if len(p.open) == 0 {
		return errorAt(line, "</%s> ends nothing", short(t.Name.Local))
	}
	top := p.open[len(p.open)-1]
	if t.Name != top.tag {
		return errorAt(line, "</%s> stands where </%s> should", short(t.Name.Local), short(top.name))
	}
	if keepsText(top.name) {
		p.kept--
	}
	if top.name == "style" {
		if err := p.sheet(top.element); err != nil {
			return err
		}
	}
	p.open, p.bound = p.open[:len(p.open)-1], p.bound[:top.bound]
	return nil
}
