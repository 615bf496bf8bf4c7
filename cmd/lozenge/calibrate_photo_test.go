// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo/scene"
)

// photographed is a photo of a mat with the crosses on it, drawn once for all
// tests: small, so that it is quick.
var photographed = sync.OnceValue(func() []byte {
	s := scene.Good(5, 1000)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, s.Photo(), &jpeg.Options{Quality: 92}); err != nil {
		panic(err)
	}
	return out.Bytes()
})

// TestCalibratePhoto takes the command's way from a photo to a calibration.
func TestCalibratePhoto(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	if err := os.WriteFile(in("mat.jpg"), photographed(), 0o644); err != nil {
		t.Fatal(err)
	}
	// Before it was taken, keystone was another.
	before := scene.Good(5, 1000)
	before.Projector.H[7] *= 0.98
	var sent bytes.Buffer
	if err := jpeg.Encode(&sent, before.Photo(), nil); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(in("before.jpg"), sent.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, talk bytes.Buffer
	if status := run([]string{"calibrate", "photo", in("mat.jpg"), in("before.jpg"), "--screen", "1920x1080", "-o", in("projector.json"), "--shown", in("found.png"), "--map", in("map.svg")}, nil, &out, &talk); status != 0 {
		t.Fatalf("status %d: %s", status, talk.String())
	}
	for _, want := range []string{"VERDICT: OK", "12 crosses of 12 were found", "Measure the check\n    square", "or keystone or zoom changed"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("nothing says %q:\n%s", want, out.String())
		}
	}
	data, err := os.ReadFile(in("projector.json"))
	if err != nil {
		t.Fatal(err)
	}
	var kept calibrate.File
	if err := json.Unmarshal(data, &kept); err != nil {
		t.Fatal(err)
	}
	m, err := kept.Map()
	if err != nil {
		t.Fatal(err)
	}
	// The distance of two pixels on the mat has no origin and no turn.
	s := scene.Good(5, 1000)
	for _, p := range [][4]float64{{200, 100, 1700, 1000}, {200, 1000, 1700, 100}, {960, 100, 960, 900}} {
		ax, ay := s.Projector.ToMat(p[0], p[1])
		bx, by := s.Projector.ToMat(p[2], p[3])
		cx, cy := m.ToMat(p[0], p[1])
		dx, dy := m.ToMat(p[2], p[3])
		if want, got := math.Hypot(ax-bx, ay-by), math.Hypot(cx-dx, cy-dy); math.Abs(want-got) > 0.01 {
			t.Errorf("%.3f in instead of %.3f", got, want)
		}
	}
	found, err := os.Open(in("found.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer found.Close()
	if c, err := png.DecodeConfig(found); err != nil || c.Width != 1000 {
		t.Errorf("%v, %v", c, err)
	}
}

// TestBadPhotos has each file that is no photo of crosses say what is wrong,
// and nothing be written.
func TestBadPhotos(t *testing.T) {
	t.Parallel()
	jpegOf := func(im image.Image) []byte {
		var out bytes.Buffer
		jpeg.Encode(&out, im, nil)
		return out.Bytes()
	}
	waves := image.NewGray(image.Rect(0, 0, 800, 600))
	for y := range 600 {
		for x := range 800 {
			waves.SetGray(x, y, color.Gray{uint8(128 + 60*math.Sin(float64(x*x+3*y)/900) + 50*math.Cos(float64(x-2*y)/41))})
		}
	}
	good := photographed()
	for _, one := range []struct {
		name   string
		data   []byte
		more   []string
		status int
		says   string
	}{
		{"table.jpg", []byte("point,u,v,x,y\n1,96,54,,\n"), nil, 2, "it is a text, not a picture; name the photo; a table of readings goes to 'lozenge calibrate solve'"},
		{"phone.jpg", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), nil, 2, "it is an HEIC photo"},
		{"cut.jpg", good[:len(good)/2], nil, 2, "the picture is damaged or cut off"},
		{"empty.jpg", nil, nil, 2, "it is empty"},
		{"large.png", bomb(65000, 65000), nil, 2, "it is 65000 x 65000 pixels, more than 60 million"},
		{"black.jpg", jpegOf(image.NewGray(image.Rect(0, 0, 800, 600))), nil, 1, "nothing but one shade"},
		{"small.jpg", jpegOf(image.NewGray(image.Rect(0, 0, 80, 60))), nil, 1, "only 80 x 60 pixels"},
		{"cat.jpg", jpegOf(waves), nil, 1, "no printed grid was found"},
		{"mat.jpg", good, []string{"--grid", "1cm"}, 1, "--grid 1in"},
		{"mat.jpg", good, []string{"--grid", "3in"}, 2, "write one of 1in, 1/2in, 1cm"},
		{"mat.jpg", good, []string{"--screen", "1080x1920"}, 1, "not the 12 crosses"},
		{"mat.jpg", good, []string{"--screen", "1920x1200"}, 1, "made for another size of picture"},
	} {
		dir := t.TempDir()
		path := filepath.Join(dir, one.name)
		if err := os.WriteFile(path, one.data, 0o644); err != nil {
			t.Fatal(err)
		}
		var talk bytes.Buffer
		args := append([]string{"calibrate", "photo", path, "--screen", "1920x1080", "-o", filepath.Join(dir, "p.json"), "--shown", filepath.Join(dir, "f.png"), "--map", filepath.Join(dir, "m.svg")}, one.more...)
		status := run(args, nil, io.Discard, &talk)
		if status != one.status || !strings.Contains(talk.String(), one.says) {
			t.Errorf("%s %v: status %d, want %d and %q: %s", one.name, one.more, status, one.status, one.says, talk.String())
		}
		if left, _ := os.ReadDir(dir); len(left) != 1 {
			t.Errorf("%s: %v are left", one.name, left)
		}
	}
}

// bomb returns a PNG that says it is that large and has no pixel.
func bomb(w, h uint32) []byte {
	out := []byte("\x89PNG\r\n\x1a\n")
	chunk := func(kind string, data []byte) {
		out = binary.BigEndian.AppendUint32(out, uint32(len(data)))
		body := append([]byte(kind), data...)
		out = binary.BigEndian.AppendUint32(append(out, body...), crc32.ChecksumIEEE(body))
	}
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	chunk("IHDR", append(head, 8, 0, 0, 0, 0))
	chunk("IDAT", nil)
	chunk("IEND", nil)
	return out
}

// TestSquareByPhoto measures the check square of a frame in a photo, alone and
// beside what a rule says.
func TestSquareByPhoto(t *testing.T) {
	s := scene.Good(5, 1000)
	s.Things = nil
	square := [][2]float64{{12.3, 8.3}, {18.3, 8.31}, {18.31, 14.31}, {12.3, 14.3}}
	s.Projector.Strokes = s.Projector.Outline(square, 2.5)
	var sent bytes.Buffer
	if err := jpeg.Encode(&sent, s.Photo(), nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "square.jpg")
	if err := os.WriteFile(path, sent.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, one := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"--size", "6in"}, 0, "VERDICT: OK"},
		{[]string{"--size", "5 7/8"}, 1, "VERDICT: OFF"},
		{[]string{"--size", "6", "--width", "6.1", "--height", "6.1", "--diagonals", "8.63,8.62"}, 1, "101.6"},
		{[]string{"--size", "6in", "--grid", "1cm"}, 1, "no square of light"},
		{[]string{"--size", "6in", "--width", "6"}, 2, "needs all four lengths"},
		{[]string{"--size", "6in", "--for", "print"}, 2, "a photo measures what a projector shows"},
	} {
		var out, talk bytes.Buffer
		status := run(append([]string{"calibrate", "square", "--photo", path}, one.args...), nil, &out, &talk)
		if got := out.String() + talk.String(); status != one.status || !strings.Contains(strings.Join(strings.Fields(got), " "), one.says) {
			t.Errorf("%v: status %d, want %d and %q:\n%s", one.args, status, one.status, one.says, got)
		}
	}
}
