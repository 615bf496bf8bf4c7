// SPDX-License-Identifier: Apache-2.0

package photograph

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"testing"
)

// held returns a JPEG, 48 x 32 pixels as stored, dark but for its first corner
// (white) and the other end of its first row (grey), with Exif's word on how the
// camera was held.
func held(t *testing.T, order binary.AppendByteOrder, turn uint16) []byte {
	t.Helper()
	im := image.NewGray(image.Rect(0, 0, 48, 32))
	for y := range 8 {
		for x := range 8 {
			im.SetGray(x, y, color.Gray{255})
			im.SetGray(40+x, y, color.Gray{128})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, im, &jpeg.Options{Quality: 100}); err != nil {
		t.Fatal(err)
	}
	mark := "MM"
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		mark = "II"
	}
	part := []byte("Exif\x00\x00" + mark)
	part = order.AppendUint32(order.AppendUint16(part, 42), 8)
	part = order.AppendUint16(order.AppendUint16(order.AppendUint16(part, 1), 0x0112), 3)
	part = order.AppendUint16(order.AppendUint16(order.AppendUint32(part, 1), turn), 0)
	part = order.AppendUint32(part, 0)
	data := append([]byte("\xff\xd8\xff\xe1"), byte((len(part)+2)>>8), byte(len(part)+2))
	return append(append(data, part...), out.Bytes()[2:]...)
}

// Where the first row and the first column of a picture are seen: CIPA DC-008
// (Exif 2.32), tag 0x0112.
func TestOrientation(t *testing.T) {
	for turn, seen := range map[uint16][2]string{ // the first corner, and the end of the first row
		1: {"top left", "top right"}, 2: {"top right", "top left"}, 3: {"bottom right", "bottom left"}, 4: {"bottom left", "bottom right"},
		5: {"top left", "bottom left"}, 6: {"top right", "bottom right"}, 7: {"bottom right", "top right"}, 8: {"bottom left", "top left"},
		0: {"top left", "top right"}, 9: {"top left", "top right"}, // mean nothing
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			im, err := Decode(held(t, order, turn))
			if err != nil {
				t.Fatal(err)
			}
			w, h := im.Rect.Dx(), im.Rect.Dy()
			if turned := turn >= 5 && turn <= 8; turned != (w == 32 && h == 48) {
				t.Errorf("%d: %d x %d", turn, w, h)
			}
			corners := map[string]uint8{
				"top left": im.GrayAt(3, 3).Y, "top right": im.GrayAt(w-4, 3).Y,
				"bottom left": im.GrayAt(3, h-4).Y, "bottom right": im.GrayAt(w-4, h-4).Y,
			}
			if corners[seen[0]] < 240 || corners[seen[1]] < 110 || corners[seen[1]] > 145 {
				t.Errorf("%d: %v, want the first corner at the %s and the end of its row at the %s", turn, corners, seen[0], seen[1])
			}
		}
	}
}

// Damage is an error or a picture, never a panic.
func TestDamage(t *testing.T) {
	good := held(t, binary.LittleEndian, 6)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		bad := bytes.Clone(good)
		for range 1 + rng.IntN(3) {
			bad[rng.IntN(60)] = byte(rng.Uint32())
		}
		Decode(bad[:1+rng.IntN(len(bad))])
	}
}

// A PNG of any kind is read, and HEIC is called by its name.
func TestKinds(t *testing.T) {
	for _, im := range []image.Image{
		image.NewNRGBA(image.Rect(0, 0, 5, 3)), image.NewGray16(image.Rect(0, 0, 5, 3)), image.NewPaletted(image.Rect(0, 0, 5, 3), color.Palette{color.White}),
	} {
		var out bytes.Buffer
		if err := png.Encode(&out, im); err != nil {
			t.Fatal(err)
		}
		if got, err := Decode(out.Bytes()); err != nil || got.Rect.Dx() != 5 || got.Rect.Dy() != 3 {
			t.Errorf("%T: %v", im, err)
		}
	}
	for begins, want := range map[string]string{
		"\x00\x00\x00\x18ftypheic": "it is an HEIC photo, which is not read here", "\x00\x00\x00\x18ftypmif1": "it is an HEIC photo, which is not read here",
		"\x00\x00\x00\x18ftypavif": "it is an AVIF picture, which is not read here", "\x00\x00\x00\x18ftypisom": "it is a film, not a photo",
		"RIFF\x00\x00\x00\x00WEBP": "it is a WebP picture, which is not read here", "hello": "it is a text, not a picture",
		"": "it is empty", "\x00\x01\x02\x03": "it is no picture that is known here",
	} {
		_, err := Decode([]byte(begins))
		if wrong, ok := err.(*Error); !ok || wrong.Message != want {
			t.Errorf("%q: %v, want %q", begins, err, want)
		}
	}
}
