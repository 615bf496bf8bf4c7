// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"bytes"
	"errors"
	"fmt"
)

// Limits on what is read.
const (
	maxFile     = 64 << 20
	maxUnpacked = 64 << 20 // of all streams that are looked into
	maxRatio    = 100      // of one stream, unpacked to packed; drawings come to 20
	maxObjects  = 1 << 20
	maxTables   = 256 // one for each time the file was changed
	maxLinks    = 32  // references to references
)

// SyntaxError says why a file is no PDF that can be trusted.
type SyntaxError struct {
	Offset int // in the file, or -1 for the file as a whole
	Msg    string
}

func (e *SyntaxError) Error() string {
	if e.Offset < 0 {
		return e.Msg
	}
	return fmt.Sprintf("byte %d: %s", e.Offset, e.Msg)
}

func wrong(format string, a ...any) error { return &SyntaxError{-1, fmt.Sprintf(format, a...)} }

// place is where an object is: at an offset in the file, or the index-th in an
// object stream.
type place struct {
	offset    int
	container int32 // number of the object stream, 0 for none
	index     int32
	known     bool
}

type file struct {
	src      []byte
	places   []place
	trailer  dict
	unpacked int // bytes so far
	read     int // bytes so far that were read as objects or as content
	parsed   map[int]object
	busy     map[int]bool // being parsed: a stream's length may be elsewhere
	packs    map[int32]*pack
	plain    map[*stream][]byte // unpacked
}

// pack is an object stream.
type pack struct {
	data    []byte
	numbers []int
	offsets []int
}

// open reads the tables of objects.
func open(src []byte) (*file, error) {
	head := src[:min(len(src), 1024)]
	if !bytes.Contains(head, []byte("%PDF-")) {
		return nil, wrong("this is not a PDF file")
	}
	tail := src[max(0, len(src)-2048):]
	i := bytes.LastIndex(tail, []byte("startxref"))
	if i < 0 {
		return nil, wrong("there is no table of objects at its end; the file was cut short")
	}
	l := lexer{src: tail, pos: i + len("startxref")}
	start, err := l.next(false, 0)
	at, ok := start.(float64)
	if err != nil || !ok {
		return nil, wrong("its end does not say where the table of objects is")
	}
	f := &file{src: src, parsed: map[int]object{}, busy: map[int]bool{}, packs: map[int32]*pack{}, plain: map[*stream][]byte{}}
	seen := map[int]bool{}
	next := []float64{at}
	for len(next) > 0 {
		at := next[0]
		next = next[1:]
		if !(at >= 0 && at < float64(len(src))) || at != float64(int(at)) {
			return nil, wrong("a table of objects is said to be at byte %.0f, outside the file", at)
		}
		// A chain that comes back is at its end.
		if seen[int(at)] {
			continue
		}
		if seen[int(at)] = true; len(seen) > maxTables {
			return nil, wrong("it was changed more than %d times; save it anew", maxTables)
		}
		trailer, err := f.table(int(at))
		if err != nil {
			return nil, err
		}
		if f.trailer == nil {
			f.trailer = trailer
		}
		for _, key := range []name{"XRefStm", "Prev"} {
			if v, ok := trailer[key].(float64); ok {
				next = append(next, v)
			}
		}
	}
	if f.trailer["Encrypt"] != nil {
		return nil, wrong("it is encrypted; save it without a password")
	}
	return f, nil
}

// spend counts bytes that are read. An object may be referred to a million
// times; that must not make it be read as often.
func (f *file) spend(n int) error {
	if f.read += n; f.read > 4*len(f.src)+f.unpacked+1<<20 {
		return wrong("it refers to the same objects over and over; save it anew")
	}
	return nil
}

// set notes where an object is; the newest table comes first and counts.
func (f *file) set(n int, p place) error {
	if n < 0 || n >= maxObjects {
		return wrong("object %d is beyond %d, more than this reader takes", n, maxObjects)
	}
	if n >= len(f.places) {
		f.places = append(f.places, make([]place, n+1-len(f.places))...)
	}
	if !f.places[n].known {
		p.known = true
		f.places[n] = p
	}
	return nil
}

// table reads one table of objects, in either form.
func (f *file) table(at int) (dict, error) {
	l := &lexer{src: f.src, pos: at}
	l.space()
	if !bytes.HasPrefix(l.src[l.pos:], []byte("xref")) {
		return f.tableStream(l.pos)
	}
	l.pos += len("xref")
	for {
		o, err := l.next(false, 0)
		if err != nil {
			return nil, &SyntaxError{at, "the table of objects: " + err.Error()}
		}
		if o == keyword("trailer") {
			break
		}
		o2, err := l.next(false, 0)
		first, count, ok := run(o, o2)
		if err != nil || !ok {
			return nil, &SyntaxError{at, "the table of objects has a heading that is none"}
		}
		for i := range count {
			offset, kind, ok := l.entry()
			if !ok || kind != "n" && kind != "f" {
				return nil, &SyntaxError{l.pos, "the table of objects has a line that is none"}
			}
			p := place{offset: -1}
			if kind == "n" {
				p.offset = int(min(offset, 1<<40))
			}
			if err := f.set(first+i, p); err != nil {
				return nil, err
			}
		}
	}
	l.items = 0
	o, err := l.next(true, 0)
	trailer, ok := o.(dict)
	if err != nil || !ok {
		return nil, &SyntaxError{at, "the table of objects has no trailer"}
	}
	return trailer, nil
}

// run returns the numbers of objects that a table goes on with: the first,
// and how many.
func run(a, b object) (first, count int, ok bool) {
	from, ok := a.(float64)
	n, ok2 := b.(float64)
	return int(from), int(n), ok && ok2 && from >= 0 && n >= 0 && from+n <= maxObjects
}

// entry reads two numbers and a word, of which the second number is of no
// use here: "17 0 n", "7 0 obj".
func (l *lexer) entry() (n float64, word keyword, ok bool) {
	o, err1 := l.next(false, 0)
	_, err2 := l.next(false, 0)
	k, err3 := l.next(false, 0)
	n, ok = o.(float64)
	word, ok2 := k.(keyword)
	return n, word, ok && ok2 && errors.Join(err1, err2, err3) == nil
}

// tableStream reads a table that is a stream (ISO 32000-1, 7.5.8).
func (f *file) tableStream(at int) (dict, error) {
	bad := func(what string) (dict, error) {
		return nil, &SyntaxError{at, "the table of objects " + what}
	}
	_, o, err := f.objectAt(at)
	if err != nil {
		return bad("can't be read: " + err.Error())
	}
	s, ok := o.(*stream)
	if !ok || s.dict["Type"] != name("XRef") {
		return bad("is not where it is said to be")
	}
	w, ok := columnsOf(s.dict)
	if !ok {
		return bad("does not say how wide its columns are")
	}
	data, err := f.unpack(s)
	if err != nil {
		return nil, err
	}
	size, _ := s.dict["Size"].(float64)
	index, _ := s.dict["Index"].(array)
	if index == nil {
		index = array{0.0, size}
	}
	for ; len(index) >= 2; index = index[2:] {
		first, count, ok := run(index[0], index[1])
		if !ok {
			return bad("has a heading that is none")
		}
		for i := range count {
			if len(data) < w[0]+w[1]+w[2] {
				return bad("is shorter than it says")
			}
			var p place
			if p, data, ok = w.place(data); !ok {
				return bad("names an object stream that can't be")
			}
			if err := f.set(first+i, p); err != nil {
				return nil, err
			}
		}
	}
	return s.dict, nil
}

// columns are the widths in bytes of those of a table in a stream: the kind,
// and two numbers.
type columns [3]int

func columnsOf(d dict) (w columns, ok bool) {
	widths, _ := d["W"].(array)
	if len(widths) < len(w) {
		return w, false
	}
	for i := range w {
		v, ok := widths[i].(float64)
		if w[i] = int(v); !ok || v < 0 || v > 8 || v != float64(w[i]) {
			return w, false
		}
	}
	return w, w != columns{}
}

// place reads a line of the table. rest is what comes behind it.
func (w columns) place(data []byte) (p place, rest []byte, ok bool) {
	v := columns{1, 0, 0} // what a column of no width holds
	for i, width := range w {
		if width > 0 {
			v[i] = 0
		}
		for _, b := range data[:width] {
			v[i] = (v[i]<<8 | int(b)) & (1<<40 - 1)
		}
		data = data[width:]
	}
	switch kind, a, b := v[0], v[1], v[2]; kind {
	case 1:
		return place{offset: a}, data, true
	case 2:
		return place{offset: -1, container: int32(a), index: int32(b)}, data, a > 0 && a < maxObjects && b < maxObjects
	}
	return place{offset: -1}, data, true
}

// objectAt reads "7 0 obj ..." at an offset.
func (f *file) objectAt(at int) (number int, o object, err error) {
	if at < 0 || at >= len(f.src) {
		return 0, nil, wrong("an object is said to be at byte %d, outside the file", at)
	}
	l := &lexer{src: f.src, pos: at}
	v, word, ok := l.entry()
	if !ok || word != "obj" {
		return 0, nil, &SyntaxError{at, "there is no object where the table says"}
	}
	if o, err = l.next(true, 0); err != nil {
		return 0, nil, &SyntaxError{l.pos, err.Error()}
	}
	if err := f.spend(l.pos - at); err != nil {
		return 0, nil, err
	}
	d, ok := o.(dict)
	if !ok {
		return int(v), o, nil
	}
	l.space()
	if !bytes.HasPrefix(l.src[l.pos:], []byte("stream")) {
		return int(v), d, nil
	}
	l.pos += len("stream")
	if l.pos < len(l.src) && l.src[l.pos] == '\r' {
		l.pos++
	}
	if l.pos < len(l.src) && l.src[l.pos] == '\n' {
		l.pos++
	}
	length, _ := f.resolve(d["Length"])
	raw, err := f.bytesOf(l.pos, length)
	if err != nil {
		return 0, nil, err
	}
	return int(v), &stream{d, raw}, nil
}

// bytesOf returns the bytes of a stream: as many as it says, if its end is
// there, else up to the next end of a stream.
func (f *file) bytesOf(at int, length object) ([]byte, error) {
	end := []byte("endstream")
	if v, ok := length.(float64); ok && v < 0 {
		return nil, &SyntaxError{at, "the length of a stream is less than 0"}
	}
	if v, ok := length.(float64); ok && v >= 0 && v <= float64(len(f.src)-at) {
		to := at + int(v)
		after := bytes.TrimLeft(f.src[to:min(to+len(end)+4, len(f.src))], "\r\n ")
		if bytes.HasPrefix(after, end) {
			return f.src[at:to], nil
		}
	}
	i := bytes.Index(f.src[at:], end)
	if i < 0 {
		return nil, &SyntaxError{at, "a stream has no end; the file was cut short"}
	}
	if err := f.spend(i); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(bytes.TrimSuffix(f.src[at:at+i], []byte("\n")), []byte("\r")), nil
}

// resolve follows references to what they stand for. What is not in the file
// is null, as the format has it.
func (f *file) resolve(o object) (object, error) {
	for range maxLinks {
		r, ok := o.(ref)
		if !ok {
			return o, nil
		}
		var err error
		if o, err = f.object(r.number); err != nil {
			return nil, err
		}
	}
	return nil, wrong("references go round in a circle")
}

func (f *file) object(n int) (object, error) {
	if o, ok := f.parsed[n]; ok {
		return o, nil
	}
	if n <= 0 || n >= len(f.places) || !f.places[n].known {
		return nil, nil
	}
	if f.busy[n] {
		return nil, wrong("object %d refers to itself", n)
	}
	f.busy[n] = true
	defer delete(f.busy, n)
	if len(f.busy) > maxLinks {
		return nil, wrong("references go more than %d deep", maxLinks)
	}
	var o object
	var err error
	switch p := f.places[n]; {
	case p.container != 0:
		o, err = f.packed(p.container, n)
	case p.offset >= 0:
		var number int
		if number, o, err = f.objectAt(p.offset); err == nil && number != n {
			err = wrong("object %d is where object %d should be; the table of objects is broken", number, n)
		}
	}
	if err != nil {
		return nil, err
	}
	f.parsed[n] = o
	return o, nil
}

// packed returns an object of an object stream.
func (f *file) packed(container int32, n int) (object, error) {
	p := f.packs[container]
	if p == nil {
		if int(container) >= len(f.places) || f.places[container].container != 0 {
			return nil, wrong("object stream %d is not in the file", container)
		}
		o, err := f.object(int(container))
		if err != nil {
			return nil, err
		}
		s, ok := o.(*stream)
		if !ok {
			return nil, wrong("object stream %d is none", container)
		}
		if p, err = f.pack(s, container); err != nil {
			return nil, err
		}
		f.packs[container] = p
	}
	if i := int(f.places[n].index); i < len(p.numbers) && p.numbers[i] == n {
		l := &lexer{src: p.data, pos: p.offsets[i]}
		o, err := l.next(true, 0)
		if err != nil {
			return nil, wrong("object %d: %v", n, err)
		}
		return o, f.spend(l.pos - p.offsets[i])
	}
	return nil, nil
}

func (f *file) pack(s *stream, container int32) (*pack, error) {
	data, err := f.unpack(s)
	if err != nil {
		return nil, err
	}
	count, _ := s.dict["N"].(float64)
	first, _ := s.dict["First"].(float64)
	if !(count >= 0 && count <= maxItems) || !(first >= 0 && first <= float64(len(data))) {
		return nil, wrong("object stream %d has a heading that is none", container)
	}
	p := &pack{data: data}
	l := &lexer{src: data[:int(first)]}
	for range int(count) {
		n, err1 := l.next(false, 0)
		at, err2 := l.next(false, 0)
		number, ok := n.(float64)
		offset, ok2 := at.(float64)
		if errors.Join(err1, err2) != nil || !ok || !ok2 || !(offset >= 0 && first+offset < float64(len(data))) {
			return nil, wrong("object stream %d has a heading that is none", container)
		}
		p.numbers = append(p.numbers, int(min(number, maxObjects)))
		p.offsets = append(p.offsets, int(first+offset))
	}
	return p, nil
}

// The following return what a key of a dictionary stands for, or nothing.

func (f *file) dictOf(o object) (dict, error) {
	o, err := f.resolve(o)
	switch v := o.(type) {
	case dict:
		return v, err
	case *stream:
		return v.dict, err
	}
	return nil, err
}

func (f *file) arrayOf(o object) (array, error) {
	o, err := f.resolve(o)
	a, _ := o.(array)
	return a, err
}

// numbersOf returns an array of n numbers; ok is false when it is none.
func (f *file) numbersOf(o object, n int) (v []float64, ok bool, err error) {
	a, err := f.arrayOf(o)
	if err != nil || len(a) != n {
		return nil, false, err
	}
	for _, part := range a {
		part, err := f.resolve(part)
		x, isNumber := part.(float64)
		if err != nil || !isNumber {
			return nil, false, err
		}
		v = append(v, x)
	}
	return v, true, nil
}
