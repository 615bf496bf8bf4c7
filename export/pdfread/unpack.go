// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"bytes"
	"compress/flate"
	"errors"
	"io"
)

// unpack returns the bytes of a stream as they were before they were packed.
// A stream that is drawn often is unpacked once.
func (f *file) unpack(s *stream) ([]byte, error) {
	if data, ok := f.plain[s]; ok {
		return data, nil
	}
	data, err := f.unpackAnew(s)
	if err == nil {
		f.plain[s] = data
	}
	return data, err
}

func (f *file) unpackAnew(s *stream) ([]byte, error) {
	filters, err := f.list(s.dict["Filter"])
	if err != nil {
		return nil, err
	}
	parms, err := f.list(s.dict["DecodeParms"])
	if err != nil {
		return nil, err
	}
	if len(filters) > 4 {
		return nil, wrong("a stream was packed %d times over", len(filters))
	}
	data := s.raw
	for i, filter := range filters {
		switch filter {
		case name("FlateDecode"), name("Fl"):
			data, err = f.inflate(data)
		case name("ASCIIHexDecode"), name("AHx"):
			data, err = unhex(data)
		case name("ASCII85Decode"), name("A85"):
			data, err = unascii85(data)
		default:
			kind, _ := filter.(name)
			return nil, wrong("a stream is packed by %s, which this reader does not know; save the file anew", clip([]byte(kind)))
		}
		if err != nil {
			return nil, err
		}
		if i < len(parms) {
			d, err := f.dictOf(parms[i])
			if err != nil {
				return nil, err
			}
			if data, err = unpredict(data, d); err != nil {
				return nil, err
			}
		}
	}
	return data, nil
}

// list returns an object that may stand alone or in an array.
func (f *file) list(o object) (array, error) {
	o, err := f.resolve(o)
	if err != nil || o == nil {
		return nil, err
	}
	a, ok := o.(array)
	if !ok {
		return array{o}, nil
	}
	out := make(array, len(a))
	for i, v := range a {
		if out[i], err = f.resolve(v); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// inflate unpacks zlib's form (RFC 1950). Its checksum is not looked at: some
// writers leave it out.
func (f *file) inflate(data []byte) ([]byte, error) {
	if len(data) < 2 || data[0]&0x0f != 8 || (int(data[0])<<8|int(data[1]))%31 != 0 {
		return nil, wrong("a stream is said to be packed by Flate and is not")
	}
	left := min(maxUnpacked-f.unpacked, maxRatio*len(data)+1<<22)
	var out bytes.Buffer
	out.Grow(min(4*len(data), left) + bytes.MinRead)
	r := flate.NewReader(bytes.NewReader(data[2:]))
	n, err := io.Copy(&out, io.LimitReader(r, int64(left)+1))
	f.unpacked += int(n)
	switch {
	case int(n) > left:
		return nil, wrong("its streams unpack to more than any drawing does (%d MB so far); that is no file to cut from", f.unpacked>>20)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return nil, wrong("a packed stream ends too early; the file was cut short")
	case err != nil:
		return nil, wrong("a packed stream can't be unpacked: %v", err)
	}
	return out.Bytes(), nil
}

func unhex(data []byte) ([]byte, error) {
	if i := bytes.IndexByte(data, '>'); i < 0 {
		data = append(data[:len(data):len(data)], '>')
	}
	l := lexer{src: append([]byte{'<'}, data...)}
	o, err := l.hex()
	if err != nil {
		return nil, wrong("a stream: %v", err)
	}
	return []byte(o.(text)), nil
}

// unascii85 unpacks groups of five characters (ISO 32000-1, 7.4.3).
func unascii85(data []byte) ([]byte, error) {
	out := make([]byte, 0, len(data)/5*4+4)
	var group [5]byte
	n := 0
	flush := func() bool {
		v := uint64(0)
		for i := range group {
			d := byte(84)
			if i < n {
				d = group[i]
			}
			v = v*85 + uint64(d)
		}
		word := [4]byte{byte(v >> 24), byte(v >> 16), byte(v >> 8), byte(v)}
		out = append(out, word[:n-1]...)
		return v < 1<<32
	}
	for _, c := range data {
		switch {
		case classes[c] == white:
		case c == '~':
			if n > 1 && !flush() || n == 1 {
				return nil, wrong("a stream is said to be in ASCII85 and is not")
			}
			return out, nil
		case c == 'z' && n == 0:
			out = append(out, 0, 0, 0, 0)
		case c >= '!' && c <= 'u':
			group[n] = c - '!'
			if n++; n == 5 {
				if !flush() {
					return nil, wrong("a stream is said to be in ASCII85 and is not")
				}
				n = 0
			}
		default:
			return nil, wrong("a stream is said to be in ASCII85 and is not")
		}
	}
	if n > 1 {
		flush()
	}
	return out, nil
}

// unpredict undoes PNG's prediction of each line from the one above (PNG,
// section 9), which tables of objects are packed with.
func unpredict(data []byte, d dict) ([]byte, error) {
	predictor, _ := d["Predictor"].(float64)
	if predictor < 2 {
		return data, nil
	}
	get := func(key name, missing float64) int {
		if v, ok := d[key].(float64); ok && v >= 1 && v <= 1<<16 {
			return int(v)
		}
		return int(missing)
	}
	if predictor < 10 {
		return nil, wrong("a stream is packed with predictor %.0f, which this reader does not know", predictor)
	}
	bits := get("Colors", 1) * get("BitsPerComponent", 8)
	size := max(bits/8, 1)
	line := (bits*get("Columns", 1) + 7) / 8
	if line > 1<<20 {
		return nil, wrong("a stream has lines of %d bytes", line)
	}
	out := make([]byte, 0, len(data))
	above := make([]byte, line)
	for len(data) > line {
		kind, row := data[0], append([]byte(nil), data[1:line+1]...)
		data = data[line+1:]
		for i := range row {
			var left, up, corner byte
			up = above[i]
			if i >= size {
				left, corner = row[i-size], above[i-size]
			}
			switch kind {
			case 0:
			case 1:
				row[i] += left
			case 2:
				row[i] += up
			case 3:
				row[i] += byte((int(left) + int(up)) / 2)
			case 4:
				row[i] += paeth(left, up, corner)
			default:
				return nil, wrong("a stream is packed with a predictor that is none")
			}
		}
		out = append(out, row...)
		above = row
	}
	return out, nil
}

func paeth(a, b, c byte) byte {
	abs := func(n int) int { return max(n, -n) }
	p := int(a) + int(b) - int(c)
	pa, pb, pc := abs(p-int(a)), abs(p-int(b)), abs(p-int(c))
	switch {
	case pa <= pb && pa <= pc:
		return a
	case pb <= pc:
		return b
	}
	return c
}
