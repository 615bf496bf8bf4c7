// SPDX-License-Identifier: Apache-2.0

package photograph

import (
	"bytes"
	"encoding/binary"
	"image"
)

// orientation returns how the camera was held when it took a JPEG, 1 to 8, as
// Exif has it (CIPA DC-008, tag 0x0112); 1, upright, when it does not say.
// image/jpeg does not turn pictures; viewers and browsers do.
func orientation(data []byte) int {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker, size := data[at+1], int(binary.BigEndian.Uint16(data[at+2:]))
		if marker == 0xda || size < 2 || at+2+size > len(data) {
			return 1
		}
		if part := data[at+4 : at+2+size]; marker == 0xe1 && bytes.HasPrefix(part, []byte("Exif\x00\x00")) {
			return fromTIFF(part[6:])
		}
		at += 2 + size
	}
	return 1
}

// fromTIFF looks for the tag in the first directory of a TIFF header.
func fromTIFF(d []byte) int {
	var order binary.ByteOrder = binary.BigEndian
	switch {
	case len(d) < 8:
		return 1
	case string(d[:2]) == "II":
		order = binary.LittleEndian
	case string(d[:2]) != "MM":
		return 1
	}
	at := int64(order.Uint32(d[4:]))
	if at+2 > int64(len(d)) {
		return 1
	}
	n := int64(order.Uint16(d[at:]))
	for k := range n {
		e := at + 2 + 12*k
		if e+12 > int64(len(d)) {
			return 1
		}
		if order.Uint16(d[e:]) == 0x0112 {
			if v := int(order.Uint16(d[e+8:])); v >= 1 && v <= 8 {
				return v
			}
			return 1
		}
	}
	return 1
}

// upright turns and mirrors a picture as the camera says.
func upright(im *image.Gray, turn int) *image.Gray {
	if turn == 1 {
		return im
	}
	w, h := im.Rect.Dx(), im.Rect.Dy()
	across, down := w, h
	if turn >= 5 {
		across, down = h, w
	}
	out := image.NewGray(image.Rect(0, 0, across, down))
	for y := range down {
		for x := range across {
			i, j := x, y // where it comes from
			switch turn {
			case 2:
				i = w - 1 - x
			case 3:
				i, j = w-1-x, h-1-y
			case 4:
				j = h - 1 - y
			case 5:
				i, j = y, x
			case 6:
				i, j = y, h-1-x
			case 7:
				i, j = w-1-y, h-1-x
			case 8:
				i, j = w-1-y, x
			}
			out.Pix[y*out.Stride+x] = im.Pix[j*im.Stride+i]
		}
	}
	return out
}
