// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// canvas is the one way to the fpdf library, which makes the frame of the
// file: objects, fonts, information. Each method keeps clear of something
// that the library does.
//
// Not used at all: its drawing calls and Text, which round to 2 decimals of a
// point; its named page sizes, rounded likewise; SetTitle's own UTF-16, which
// breaks characters beyond the first plane and reads past the end of a text
// that is cut off; its clock.
type canvas struct {
	lib   *fpdf.Fpdf
	num   export.Numbers
	turn  export.Numbers // for the matrix of a text
	buf   []byte
	boxes [][2]string // sides of the pages as text
	bold  bool        // the font that is chosen
}

func newCanvas(d Document) *canvas {
	c := &canvas{num: export.NewNumbers(decimals), turn: export.NewNumbers(6)}
	first := d.Pages[0].Page
	c.lib = fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: first.Width(), Ht: first.Height()}})
	// Dates, the order of fonts and compression would change the bytes from
	// run to run or from one version of Go to the next.
	day := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	c.lib.SetCreationDate(day)
	c.lib.SetModificationDate(day)
	c.lib.SetCatalogSort(true)
	c.lib.SetCompression(false)
	c.lib.SetProducer("lozenge", false)
	c.lib.SetTitle(utf16be(d.Title), false)
	if d.Author != "" {
		c.lib.SetAuthor(utf16be(d.Author), false)
	}
	// The language is written as it is given.
	if regexp.MustCompile(`^[A-Za-z0-9-]+$`).MatchString(d.Language) {
		c.lib.SetLang(d.Language)
	}
	// A page that grows by itself would be an empty one.
	c.lib.SetAutoPageBreak(false, 0)
	return c
}

// addPage begins a page. The library starts it with square line ends, which
// would make each line a line's width longer.
func (c *canvas) addPage(width, height float64) {
	c.boxes = append(c.boxes, [2]string{c.num.Format(width), c.num.Format(height)})
	c.lib.AddPageFormat("P", fpdf.SizeType{Wd: width, Ht: height})
	c.op("0 J")
	// After a page begins the font must be chosen anew.
	c.lib.SetFont("Helvetica", "", 12)
	c.bold = false
}

// bookmark adds an entry that leads to the page that was drawn last. The
// library reckons the place on it from the height of the document's last
// page; finish writes the page's own top instead.
func (c *canvas) bookmark(b Bookmark) { c.lib.Bookmark(utf16be(b.Title), b.Level, 0) }

// op writes operators into the page as they are.
func (c *canvas) op(s string) { c.lib.RawWriteStr(s) }

// text writes one line of text, its baseline beginning or centred at at. The
// font's size may be rounded; its place is written here.
func (c *canvas) text(at geometry.Point, turn geometry.Angle, size float64, t draw.Text) {
	value := strings.TrimSpace(t.Value)
	text, _ := draw.Windows1252(value)
	if t.Bold != c.bold {
		c.lib.SetFontStyle(map[bool]string{true: "B"}[t.Bold])
		c.bold = t.Bold
	}
	c.lib.SetFontSize(size)
	sin, cos := turn.SinCos()
	if t.Centred {
		half := draw.HelveticaOf(t.Bold).Width(value, size*draw.HelveticaCap) / 2
		at = at.Sub(geometry.Point{X: float64(cos * half), Y: float64(sin * half)})
	}
	c.op("BT " + c.turn.Format(cos, sin, -sin, cos) + " " + c.num.Format(at.X, at.Y) + " Tm " + literal(text) + " Tj ET")
}

// finish puts the file together. The library writes page boxes with 2
// decimals and no viewer preferences, so its objects are taken apart, mended
// and given a table of their own.
func (c *canvas) finish(w io.Writer) error {
	var made bytes.Buffer
	if err := c.lib.Output(&made); err != nil {
		return err
	}
	objects, trailer, err := split(made.Bytes())
	if err != nil {
		return err
	}
	page := 0
	for i, o := range objects {
		switch {
		case i == 0: // the page tree
			o, err = replace(o, mediaBox, "")
		case bytes.HasPrefix(o, fmt.Appendf(nil, "%d 0 obj\n<</Type /Page\n", i+1)):
			o = mediaBox.ReplaceAll(o, nil)
			box := "/MediaBox [0 0 " + c.boxes[page][0] + " " + c.boxes[page][1] + "]\n"
			o, err = replace(o, pageParent, "$0"+box)
			page++
		case bytes.HasPrefix(o, fmt.Appendf(nil, "%d 0 obj\n<</Title ", i+1)):
			// The text of the title is UTF-16, in which nothing looks like this.
			m := destination.FindSubmatch(o)
			if m == nil {
				return errShape
			}
			object, _ := strconv.Atoi(string(m[1]))
			at := (object - 3) / 2 // pages are the objects 3, 5, 7 and so on
			if at < 0 || at >= len(c.boxes) {
				return errShape
			}
			o, err = replace(o, destination, "/Dest [$1 0 R /XYZ 0 "+c.boxes[at][1]+" null]")
		case i == len(objects)-1:
			o, err = replace(o, catalog, "$0/ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>>\n")
		}
		if err != nil {
			return err
		}
		objects[i] = o
	}
	if page != len(c.boxes) {
		return errShape
	}
	// PrintScaling came with version 1.6.
	out := bytes.NewBufferString("%PDF-1.6\n%\xb5\xb6\xb5\xb6\n")
	offsets := make([]int, len(objects))
	for i, o := range objects {
		offsets[i] = out.Len()
		out.Write(o)
	}
	table := out.Len()
	fmt.Fprintf(out, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, at := range offsets {
		fmt.Fprintf(out, "%010d 00000 n \n", at)
	}
	out.Write(trailer)
	fmt.Fprintf(out, "startxref\n%d\n%%%%EOF\n", table)
	_, err = w.Write(out.Bytes())
	return err
}

var (
	mediaBox   = regexp.MustCompile(`/MediaBox \[[^\]]*\]\n`)
	pageParent = regexp.MustCompile(`<</Type /Page\n/Parent 1 0 R\n`)
	// $1 is the object of the page.
	destination = regexp.MustCompile(`/Dest \[(\d+) 0 R /XYZ 0 [0-9.-]+ null\]`)
	catalog     = regexp.MustCompile(`/Type /Catalog\n`)
	startXref   = regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`)
)

var errShape = errors.New("the PDF library wrote a file of another shape than the one it was made for; use the version in go.mod")

// replace replaces the one match of pattern in the object.
func replace(object []byte, pattern *regexp.Regexp, with string) ([]byte, error) {
	if len(pattern.FindAllIndex(object, 2)) != 1 {
		return nil, errShape
	}
	return pattern.ReplaceAll(object, []byte(with)), nil
}

// split takes the library's file apart by its own table: the objects by
// number, from 1, and the trailer's dictionary.
func split(file []byte) (objects [][]byte, trailer []byte, err error) {
	m := startXref.FindSubmatch(file)
	if m == nil {
		return nil, nil, errShape
	}
	table, _ := strconv.Atoi(string(m[1]))
	at := bytes.LastIndex(file, []byte("trailer\n"))
	if table <= 0 || at < table {
		return nil, nil, errShape
	}
	trailer = file[at : len(file)-len(m[0])]
	lines := bytes.Split(file[table:at], []byte("\n"))
	if len(lines) < 4 || string(lines[0]) != "xref" {
		return nil, nil, errShape
	}
	var offsets []int
	for _, line := range lines[3 : len(lines)-1] {
		from, err := strconv.Atoi(string(line[:min(len(line), 10)]))
		if err != nil || from < 0 || from > table {
			return nil, nil, errShape
		}
		offsets = append(offsets, from)
	}
	// An object ends where the next one in the file begins: to look for its
	// last word would be to trust the texts in it.
	ends := append(slices.Sorted(slices.Values(offsets)), table)
	for i, from := range offsets {
		next, _ := slices.BinarySearch(ends, from+1)
		object := file[from:ends[next]]
		if !bytes.HasPrefix(object, fmt.Appendf(nil, "%d 0 obj\n", i+1)) || !bytes.HasSuffix(object, []byte("endobj\n")) {
			return nil, nil, errShape
		}
		objects = append(objects, object)
	}
	return objects, trailer, nil
}
