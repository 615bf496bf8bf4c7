// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"bytes"
	"slices"
	"strings"

	"lozenge/export/measure"
	"lozenge/export/trace"
	"lozenge/geometry"
)

// Limits on content.
const (
	maxOps      = 1 << 23
	maxOperands = 256
	maxSaved    = 1 << 12
	maxForms    = 16 // within each other
	maxTexts    = 20_000
	maxLetters  = 1 << 10
)

// graphics is the graphics state, as far as it tells where lines run, whether
// they can be seen, and what they may be for.
type graphics struct {
	m            trace.Matrix // to inches of the page
	stroke, fill ink
	width        float64 // of a line
	dashed       bool
	leading      float64
	font         *meaning // nil: a byte is a letter
	clip         *trace.Clip
	hidden       string // why nothing can be seen, or may not be
	// It may show or not, through a mask, or mixed with what lies under it.
	masked, blended bool
}

// ink is a colour, which the content has set or not.
type ink struct {
	measure.Ink
	parts int  // of which it was set; 0 when it was not
	space bool // it is in one whose numbers are not followed
}

// inks are black, as at the start of a page.
func (g graphics) inks() graphics {
	g.stroke.Alpha, g.fill.Alpha, g.width = 1, 1, 1
	return g
}

// content runs one content stream.
type content struct {
	*walker
	g         graphics
	saved     []graphics
	unsaved   bool // there was a Q too many
	resources dict
	operands  []operand
	depth     int
	clipping  keyword      // W or W*, until the path is painted
	marks     []string     // of what is marked: why it is not seen
	line, now trace.Matrix // of the text line, and where the next letter stands
}

// operand is a number, or an object when that is not nil. Numbers are most of
// a file; as objects each would be allocated.
type operand struct {
	v float64
	o object
}

// draw runs content in a graphics state.
func (w *walker) draw(data []byte, resources dict, g graphics, depth int) error {
	c := &content{walker: w, g: g, resources: resources, depth: depth, line: trace.Identity(), now: trace.Identity()}
	c.pen.Reset(g.m)
	w.page.Paths = slices.Grow(w.page.Paths, min(bytes.Count(data, []byte(" m"))+bytes.Count(data, []byte(" re")), maxOps))
	l := &lexer{src: data}
	for {
		l.items = 0
		l.space()
		if l.pos >= len(l.src) {
			break
		}
		operand, op, err := l.content()
		if err != nil {
			return wrong("the content, byte %d: %v", l.pos, err)
		}
		if op == "" {
			if len(c.operands) >= maxOperands {
				return wrong("the content has more than %d numbers in a row", maxOperands)
			}
			c.operands = append(c.operands, operand)
			continue
		}
		if c.ops++; c.ops > maxOps {
			return wrong("it draws more than %d times; that is no file to cut from", maxOps)
		}
		if op == "BI" {
			c.picture()
			if err := inlineImage(l); err != nil {
				return err
			}
		} else if err := c.run(op); err != nil {
			return err
		}
		c.operands = c.operands[:0]
	}
	_, err := c.pen.Done()
	return err
}

// operators are the usual ones of several letters; as words of the file each
// would be allocated.
var operators = func() map[string]keyword {
	operators := map[string]keyword{}
	for _, op := range strings.Fields("cm re rg RG Td Tf Tj TJ") {
		operators[op] = keyword(op)
	}
	return operators
}()

// content reads what comes next in a content stream: an operand, or an
// operator. Numbers and operators are most of a file, and are not allocated.
func (l *lexer) content() (o operand, op keyword, err error) {
	switch c := l.src[l.pos]; {
	case c-'0' <= 9 || c == '+' || c == '-' || c == '.':
		o.v, err = number(l.word())
		return o, "", err
	case classes[c] == regular:
		switch word := l.word(); string(word) {
		case "true", "false":
			o.o = len(word) == len("true")
		case "null":
			o.o = keyword("null")
		default:
			if op = operators[string(word)]; op == "" {
				op = keyword(word) // one letter is not allocated either
			}
		}
		return o, op, nil
	}
	next, err := l.next(false, 0)
	if k, ok := next.(keyword); ok {
		return o, k, err
	}
	return operand{o: next}, "", err
}

// inlineImage passes over a picture that stands in the content.
func inlineImage(l *lexer) error {
	for from := l.pos; ; {
		i := bytes.Index(l.src[from:], []byte("EI"))
		if i < 0 {
			return wrong("a picture in the content has no end")
		}
		at := from + i
		from = at + 2
		before := at > 0 && classes[l.src[at-1]] == white
		after := from >= len(l.src) || classes[l.src[from]] == white
		if before && after {
			l.pos = from
			return nil
		}
	}
}

// arguments is how many numbers an operator takes, the last ones before it.
var arguments = map[keyword]int{
	"cm": 6, "m": 2, "l": 2, "c": 6, "v": 4, "y": 4, "re": 4, "Tm": 6, "Td": 2, "TD": 2, "TL": 1, "w": 1,
}

// betweenPaths are operators that may not stand inside a path (ISO 32000-1, 8.2) and
// that programs treat differently there.
var betweenPaths = []keyword{"q", "Q", "cm", "Do", "sh"}

// numbers returns those that an operator takes.
func (c *content) numbers(op keyword) (v [6]float64, err error) {
	n := arguments[op]
	if len(c.operands) < n {
		return v, wrong("the operator %s lacks numbers", op)
	}
	for i, o := range c.operands[len(c.operands)-n:] {
		if o.o != nil {
			return v, wrong("the operator %s has something that is no number", op)
		}
		v[i] = o.v
	}
	return v, nil
}

func (c *content) run(op keyword) error {
	v, err := c.numbers(op)
	if err != nil {
		return err
	}
	at := func(i int) geometry.Point { return geometry.Point{X: v[i], Y: v[i+1]} }
	pen := &c.pen
	if pen.Begun() && slices.Contains(betweenPaths, op) {
		return wrong("the operator %s stands inside a path, which programs draw each in its own way", op)
	}
	switch op {
	case "q":
		if len(c.saved) >= maxSaved {
			return wrong("the content saves its state more than %d times over", maxSaved)
		}
		c.saved = append(c.saved, c.g)
	case "Q":
		n := len(c.saved)
		if c.unsaved = c.unsaved || n == 0; n > 0 {
			c.g, c.saved = c.saved[n-1], c.saved[:n-1]
			pen.M = c.g.m
		}
	case "cm":
		if c.g.m = c.g.m.After(v); !c.g.m.Finite() {
			return wrong("its transforms go beyond all measure")
		}
		pen.M = c.g.m
	case "m":
		pen.Move(at(0))
	case "l":
		pen.Line(at(0))
	case "c":
		pen.Cubic(at(0), at(2), at(4))
	case "v":
		pen.Cubic(pen.At(), at(0), at(2))
	case "y":
		pen.Cubic(at(0), at(2), at(2))
	case "h":
		pen.Close()
	case "re":
		corner, w, h := at(0), v[2], v[3]
		pen.Move(corner)
		pen.Line(corner.Add(geometry.Point{X: w}))
		pen.Line(corner.Add(geometry.Point{X: w, Y: h}))
		pen.Line(corner.Add(geometry.Point{Y: h}))
		pen.Close()
	case "s", "b", "b*":
		pen.Close()
		return c.paint(op, true, op != "s")
	case "S":
		return c.paint(op, true, false)
	case "B", "B*":
		return c.paint(op, true, true)
	case "f", "F", "f*":
		return c.paint(op, false, true)
	case "n":
		return c.paint(op, false, false)
	case "W", "W*":
		c.clipping = op
	case "sh":
		c.cover(c.whole())
	case "BDC", "BMC", "EMC":
		return c.mark(op)
	case "CS":
		return c.space(&c.g.stroke)
	case "cs":
		return c.space(&c.g.fill)
	case "w":
		c.g.width = v[0]
	case "d":
		c.dashes()
	case "gs":
		return c.state()
	case "G", "RG", "K":
		c.ink(&c.g.stroke, false)
	case "g", "rg", "k":
		c.ink(&c.g.fill, false)
	case "SC", "SCN":
		c.ink(&c.g.stroke, c.g.stroke.space)
	case "sc", "scn":
		c.ink(&c.g.fill, c.g.fill.space)
	case "Do":
		return c.object()
	case "Tf":
		return c.choose()
	default:
		c.letters(op, v)
	}
	return c.failed(pen.Err())
}

// dashes takes the pattern of dashes that was just set.
func (c *content) dashes() {
	c.g.dashed = false
	if len(c.operands) == 0 {
		return
	}
	lengths, _ := c.operands[0].o.(array)
	for _, d := range lengths {
		length, _ := d.(float64)
		c.g.dashed = c.g.dashed || length > 0
	}
}

func (c *content) failed(err error) error {
	if err != nil {
		return wrong("%v", err)
	}
	return nil
}

// ink takes the colour that was just set. unsure says that its numbers are of a
// space that is not followed.
func (c *content) ink(to *ink, unsure bool) {
	var parts []float64
	for _, o := range c.operands {
		if o.o == nil {
			parts = append(parts, o.v)
		} else {
			unsure = true // a pattern
		}
	}
	if len(parts) == 4 { // cyan, magenta, yellow, black: the other way round
		parts = []float64{1 - min(1, parts[0]+parts[3]), 1 - min(1, parts[1]+parts[3]), 1 - min(1, parts[2]+parts[3])}
	}
	alpha, space := to.Alpha, to.space
	*to = ink{measure.Ink{Alpha: alpha, Unsure: unsure || len(parts) != 1 && len(parts) != 3}, len(parts), space}
	for i := range to.Colour {
		if len(parts) > 0 {
			to.Colour[i] = float32(min(max(parts[min(i, len(parts)-1)], 0), 1))
		}
	}
}

// space takes a colour space, and with it its first colour, which is black.
func (c *content) space(to *ink) error {
	o, err := c.resource("ColorSpace")
	if err != nil {
		return err
	}
	family, _ := c.last().(name)
	if a, ok := o.(array); ok && len(a) > 0 {
		o, err = c.resolve(a[0])
	}
	if n, ok := o.(name); ok {
		family = n
	}
	known := false
	switch family {
	case "DeviceGray", "DeviceRGB", "DeviceCMYK", "CalGray", "CalRGB", "ICCBased":
		known = true
	}
	*to = ink{measure.Ink{Alpha: to.Alpha, Unsure: !known}, 0, !known}
	return err
}

// last returns the last operand that is no number.
func (c *content) last() object {
	if len(c.operands) == 0 {
		return nil
	}
	return c.operands[len(c.operands)-1].o
}

// state takes what an entry of the resources says about dashes, and about what
// shows through.
func (c *content) state() error {
	d, err := c.resource("ExtGState")
	if err != nil || d == nil {
		return err
	}
	g, err := c.dictOf(d)
	if err != nil {
		return err
	}
	for key, to := range map[name]*ink{"CA": &c.g.stroke, "ca": &c.g.fill} {
		o, err := c.resolve(g[key])
		if err != nil {
			return err
		}
		if v, ok := o.(float64); ok {
			to.Alpha = float32(min(max(v, 0), 1))
		}
	}
	for key, to := range map[name]*bool{"SMask": &c.g.masked, "BM": &c.g.blended} {
		o, err := c.resolve(g[key])
		if err != nil {
			return err
		}
		n, _ := o.(name)
		*to = (*to || o != nil) && n != "None" && n != "Normal" && n != "Compatible"
	}
	width, err := c.resolve(g["LW"])
	if err != nil {
		return err
	}
	if v, ok := width.(float64); ok {
		c.g.width = v
	}
	dash, err := c.arrayOf(g["D"])
	if err != nil || len(dash) == 0 {
		return err
	}
	lengths, err := c.arrayOf(dash[0])
	c.g.dashed = len(lengths) > 0
	return err
}

// resource returns the resource of a kind that the operand names.
func (c *content) resource(kind name) (object, error) {
	if len(c.operands) == 0 {
		return nil, nil
	}
	n, _ := c.operands[len(c.operands)-1].o.(name)
	all, err := c.dictOf(c.resources[kind])
	if err != nil {
		return nil, err
	}
	return c.resolve(all[n])
}

// object draws a form, or counts a picture.
func (c *content) object() error {
	o, err := c.resource("XObject")
	if err != nil {
		return err
	}
	s, ok := o.(*stream)
	if !ok {
		return nil
	}
	if s.dict["Subtype"] == name("Image") {
		c.picture()
		return nil
	}
	if s.dict["Subtype"] != name("Form") {
		return nil
	}
	if c.depth >= maxForms {
		return wrong("forms stand within each other more than %d deep; does one draw itself?", maxForms)
	}
	g := c.g
	matrix, ok, err := c.numbersOf(s.dict["Matrix"], 6)
	if err != nil {
		return err
	}
	if ok {
		g.m = g.m.After(trace.Matrix(matrix))
		if !g.m.Finite() {
			return wrong("its transforms go beyond all measure")
		}
	}
	if err := c.within(&g, s.dict); err != nil {
		return err
	}
	resources, err := c.dictOf(s.dict["Resources"])
	if err != nil {
		return err
	}
	if resources == nil {
		resources = c.resources
	}
	data, err := c.unpack(s)
	if err != nil {
		return err
	}
	if err := c.spend(len(data)); err != nil {
		return err
	}
	if err := c.draw(data, resources, g, c.depth+1); err != nil {
		return err
	}
	c.pen.Reset(c.g.m)
	return nil
}

// paint puts the path on the page, and then makes it a clip if that was said. An
// area without a line around it, or with one of its own colour, which only closes
// the gap to its neighbour, is Filled.
func (c *content) paint(op keyword, stroked, filled bool) error {
	if c.unsaved {
		return wrong("an operator Q without its q comes before what is drawn, and programs draw that each in its own way")
	}
	line, area := c.g.stroke, c.g.fill
	if stroked && filled && line == area && line.parts > 0 && !line.Unsure {
		stroked = false
	}
	subs, err := c.pen.Done()
	if err != nil {
		return c.failed(err)
	}
	p := measure.Path{Filled: !stroked, Hidden: c.why()}
	if stroked {
		p.Line, p.Broad = line.Ink, c.g.width*c.g.m.Stretch()
		grey := !line.Unsure && measure.Grey(float64(line.Colour[0]), float64(line.Colour[1]), float64(line.Colour[2]))
		p.Role = measure.RoleByLook(c.g.dashed, grey)
	}
	if filled && len(subs) > 0 {
		p.Area = area.Ink
		p.Cover = trace.Area(slices.Clone(subs), strings.HasSuffix(string(op), "*"))
	}
	for _, s := range subs {
		if !stroked && !filled {
			break
		}
		q := p
		q.Points, q.Closed = s.Points, s.Closed
		if p.Cover = nil; q.Hidden == "" && !c.g.clip.Keeps(q.Points, q.Closed) {
			q.Hidden = measure.Clipped
		}
		c.page.Paths = append(c.page.Paths, q)
	}
	if c.clipping != "" {
		c.g.clip = c.g.clip.Within(slices.Clone(subs), c.clipping == "W*", &c.clipped)
		c.clipping = ""
	}
	c.pen.Reset(c.g.m)
	return nil
}

// letters follows text as far as where each string begins; v are the numbers
// of the operator. Others don't matter here.
func (c *content) letters(op keyword, v [6]float64) {
	move := func(x, y float64) {
		c.line = c.line.After(trace.Translate(x, y))
		c.now = c.line
	}
	switch op {
	case "BT":
		c.line, c.now = trace.Identity(), trace.Identity()
	case "Tm":
		c.line, c.now = v, v
	case "Td":
		move(v[0], v[1])
	case "TD":
		c.g.leading = -v[1]
		move(v[0], v[1])
	case "TL":
		c.g.leading = v[0]
	case "T*":
		move(0, -c.g.leading)
	case "Tr":
		if n := len(c.operands); n > 0 && c.operands[n-1].v >= 4 {
			c.g.hidden = "lettering may clip it"
		}
	case "Tj", "TJ":
		c.say()
	case "'", `"`:
		move(0, -c.g.leading)
		c.say()
	}
}

// choose takes the font that was just chosen.
func (c *content) choose() (err error) {
	if n := len(c.operands); n > 1 {
		named, _ := c.operands[n-2].o.(name)
		c.g.font, err = c.fontNamed(named)
	}
	return err
}

// say notes the string that is shown.
func (c *content) say() {
	if len(c.operands) == 0 || c.texts >= maxTexts {
		return
	}
	var b strings.Builder
	put := func(o object) {
		s, _ := o.(text)
		if c.g.font != nil {
			c.g.font.say(&b, s)
			return
		}
		for i := 0; i < len(s) && b.Len() < maxLetters; i++ {
			b.WriteRune(rune(s[i]))
		}
	}
	switch o := c.operands[len(c.operands)-1].o.(type) {
	case text:
		put(o)
	case array:
		for _, part := range o {
			put(part)
		}
	}
	m := c.g.m.After(c.now)
	at := geometry.Point{X: m[4], Y: m[5]}
	if value := strings.TrimSpace(b.String()); value != "" && m.Finite() {
		c.texts++
		c.page.Texts = append(c.page.Texts, measure.Text{At: at, Value: value, Mirrored: m.Det() < 0})
	}
}
