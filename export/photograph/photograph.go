// SPDX-License-Identifier: Apache-2.0

// Package photograph reads a phone's photo, JPEG or PNG by what is in it, never
// by its name: upright, in shades of grey.
package photograph

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
)

const (
	// MostBytes is how large a file may be.
	MostBytes = 80 << 20
	// MostPixels is how large a picture may be: more than any phone's camera
	// takes by itself. It is asked for before any pixel is read.
	MostPixels = 60_000_000
)

// Error says why a file is no photo that can be read, and what to do.
type Error struct{ Message, Hint string }

// Error returns both.
func (e *Error) Error() string { return e.Message + "; " + e.Hint }

// Decode reads a photo. The error is an *[Error].
func Decode(data []byte) (*image.Gray, error) {
	if len(data) > MostBytes {
		return nil, &Error{fmt.Sprintf("it has more than %d MB", MostBytes>>20), "send the photo as the phone took it"}
	}
	config, decode := jpeg.DecodeConfig, jpeg.Decode
	turn := 1
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xd8")):
		turn = orientation(data)
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		config, decode = png.DecodeConfig, png.Decode
	default:
		return nil, foreign(data)
	}
	c, err := config(bytes.NewReader(data))
	if err != nil {
		return nil, broken(err)
	}
	// The product can't overflow: neither side has more than 32 bits.
	if int64(c.Width)*int64(c.Height) > MostPixels {
		return nil, &Error{fmt.Sprintf("it is %d x %d pixels, more than %d million", c.Width, c.Height, MostPixels/1_000_000), "take the photo in the camera's usual size"}
	}
	im, err := decode(bytes.NewReader(data))
	if err != nil {
		return nil, broken(err)
	}
	return upright(shades(im), turn), nil
}

func broken(err error) *Error {
	return &Error{"the picture is damaged or cut off: " + strings.TrimPrefix(strings.TrimPrefix(err.Error(), "invalid JPEG format: "), "png: "),
		"copy or send it again, as a JPEG or PNG file"}
}

// foreign says what a file is that is neither JPEG nor PNG. Brands of ISO base
// media files: ISO/IEC 23008-12 annex B.
func foreign(data []byte) *Error {
	const again = "save or send the photo as a JPEG"
	if len(data) >= 12 && string(data[4:8]) == "ftyp" {
		switch brand := string(data[8:12]); {
		case strings.HasPrefix(brand, "he"), strings.HasPrefix(brand, "mi"), strings.HasPrefix(brand, "ms"):
			return &Error{"it is an HEIC photo, which is not read here", "set the phone's camera to JPEG (on many phones: camera settings, formats, most compatible) and take it again, or save a copy as JPEG"}
		case strings.HasPrefix(brand, "avi"):
			return &Error{"it is an AVIF picture, which is not read here", again}
		}
		return &Error{"it is a film, not a photo", "take a photo of the crosses"}
	}
	for _, f := range [...]struct{ begins, what string }{
		{"RIFF", "a WebP picture"}, {"GIF8", "a GIF picture"}, {"BM", "a BMP picture"},
		{"II*\x00", "a TIFF picture or a camera's raw file"}, {"MM\x00*", "a TIFF picture or a camera's raw file"}, {"%PDF", "a PDF"},
	} {
		if bytes.HasPrefix(data, []byte(f.begins)) {
			return &Error{"it is " + f.what + ", which is not read here", again}
		}
	}
	switch {
	case len(data) == 0:
		return &Error{"it is empty", "copy or send the photo again"}
	case !bytes.ContainsRune(data[:min(len(data), 512)], 0):
		return &Error{"it is a text, not a picture", "name the photo; a table of readings goes to 'lozenge calibrate solve'"}
	}
	return &Error{"it is no picture that is known here", again}
}

// shades returns the picture's lightness.
func shades(im image.Image) *image.Gray {
	b := im.Bounds()
	switch im := im.(type) {
	case *image.Gray:
		return &image.Gray{Pix: im.Pix, Stride: im.Stride, Rect: image.Rect(0, 0, b.Dx(), b.Dy())}
	case *image.YCbCr: // its Y is what is wanted
		return &image.Gray{Pix: im.Y, Stride: im.YStride, Rect: image.Rect(0, 0, b.Dx(), b.Dy())}
	}
	out := image.NewGray(image.Rect(0, 0, b.Dx(), b.Dy()))
	for y := range b.Dy() {
		for x := range b.Dx() {
			out.SetGray(x, y, color.GrayModel.Convert(im.At(b.Min.X+x, b.Min.Y+y)).(color.Gray))
		}
	}
	return out
}
