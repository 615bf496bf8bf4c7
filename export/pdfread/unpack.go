// SPDX-License-Identifier: Apache-2.0

package pdfread

import (
	"bytes"
	"compress/flate"
	"encoding/ascii85"
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
			data, err = f.unascii85(data)
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
	return f.all(flate.NewReader(bytes.NewReader(data[2:])), len(data))
}

// all reads what so many packed bytes unpack to, which may be gigabytes.
func (f *file) all(r io.Reader, packed int) ([]byte, error) {
	left := min(maxUnpacked-f.unpacked, maxRatio*packed+1<<22)
	var out bytes.Buffer
	out.Grow(min(4*packed, left) + bytes.MinRead)
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

// unascii85 unpacks groups of five characters up to "~" (ISO 32000-1, 7.4.3).
func (f *file) unascii85(data []byte) ([]byte, error) {
	data, _, _ = bytes.Cut(data, []byte("~"))
	return f.all(ascii85.NewDecoder(bytes.NewReader(data)), len(data))
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
	// Each with nothing to the left of the line.
	row, above := make([]byte, size+line), make([]byte, size+line)
	for ; len(data) > line; data = data[line+1:] {
		kind := data[0]
		if kind > 4 {
			return nil, wrong("a stream is packed with a predictor that is none")
		}
		copy(row[size:], data[1:])
		for i := size; i < len(row); i++ {
			left, up, corner := row[i-size], above[i], above[i-size]
			row[i] += [...]byte{0, left, up, byte((int(left) + int(up)) / 2), paeth(left, up, corner)}[kind]
		}
		out = append(out, row[size:]...)
		row, above = above, row
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
