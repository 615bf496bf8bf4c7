// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// frame is the objects of the file, by number from 1. There is no clock in it
// and nothing is packed: dates would change the bytes from run to run, and packing
// from one version of Go to the next.
type frame struct{ objects [][]byte }

// add adds an object and returns its number.
func (f *frame) add(object []byte) int {
	f.objects = append(f.objects, object)
	return len(f.objects)
}

// reserve returns the number of an object that is set later.
func (f *frame) reserve() int { return f.add(nil) }

func (f *frame) set(number int, format string, a ...any) {
	f.objects[number-1] = fmt.Appendf(nil, format, a...)
}

// stream returns data as an object; more are further entries.
func stream(data []byte, more string) []byte {
	entries := strings.TrimSpace(fmt.Sprintf("/Length %d %s", len(data), more))
	return append(fmt.Appendf(nil, "<<%s>>\nstream\n%s", entries, data), "\nendstream\n"...)
}

// write writes the file, with the table that tells where each object stands.
func (f *frame) write(w io.Writer, root, info int) error {
	// PrintScaling came with version 1.6.
	out := bytes.NewBufferString("%PDF-1.6\n%\xb5\xb6\xb5\xb6\n")
	table := bytes.NewBufferString("")
	for i, o := range f.objects {
		fmt.Fprintf(table, "%010d 00000 n \n", out.Len())
		fmt.Fprintf(out, "%d 0 obj\n%sendobj\n", i+1, o)
	}
	at := out.Len()
	fmt.Fprintf(out, "xref\n0 %d\n0000000000 65535 f \n%s", len(f.objects)+1, table)
	fmt.Fprintf(out, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n>>\nstartxref\n%d\n%%%%EOF\n", len(f.objects)+1, root, info, at)
	_, err := w.Write(out.Bytes())
	return err
}

// canvas is the document while pages are drawn.
type canvas struct {
	frame
	letters draw.Fonts
	fonts   []*embedded
	num     export.Numbers
	turn    export.Numbers // for the matrix of a text
	buf     []byte
	content bytes.Buffer // of the page
	pages   []sized

	tree, resources int
}

// sized is a page that is drawn: its object and its height.
type sized struct {
	object int
	top    string
}

func newCanvas(d Document) *canvas {
	c := &canvas{letters: d.Letters, num: export.NewNumbers(decimals), turn: export.NewNumbers(6)}
	c.tree, c.resources = c.reserve(), c.reserve()
	return c
}

// op writes operators into the page as they are.
func (c *canvas) op(s string) {
	c.content.WriteString(s)
	c.content.WriteByte('\n')
}

// endPage adds what was drawn as a page.
func (c *canvas) endPage(width, height float64) {
	content := c.add(stream(bytes.TrimSuffix(c.content.Bytes(), []byte("\n")), ""))
	c.content.Reset()
	top := c.num.Format(height)
	c.pages = append(c.pages, sized{c.add(fmt.Appendf(nil, "<</Type /Page /Parent %d 0 R /MediaBox [0 0 %s %s] /Resources %d 0 R /Contents %d 0 R>>\n",
		c.tree, c.num.Format(width), top, c.resources, content)), top})
}

// font returns a font's place in the file.
func (c *canvas) font(f *draw.Font) *embedded {
	i := slices.IndexFunc(c.fonts, func(e *embedded) bool { return e.font == f })
	if i < 0 {
		i = len(c.fonts)
		c.fonts = append(c.fonts, &embedded{font: f, name: fmt.Sprintf("/F%d", i+1), codes: map[rune]uint16{}})
	}
	return c.fonts[i]
}

// text writes one line of text, its baseline beginning or centred at at, its
// capitals so high.
func (c *canvas) text(at geometry.Point, height float64, t draw.Text) {
	value := strings.TrimSpace(t.Value)
	sin, cos := t.Turn.SinCos()
	if t.Centred {
		half := c.letters.Width(value, t.Bold, height) / 2
		at = at.Sub(geometry.Point{X: float64(cos * half), Y: float64(sin * half)})
	}
	out := "BT " + c.turn.Format(cos, sin, -sin, cos) + " " + c.num.Format(at.X, at.Y) + " Tm"
	for _, run := range c.letters.Runs(value, t.Bold) {
		font := c.font(run.Font)
		out += " " + font.name + " " + c.num.Format(height/draw.GoCap) + " Tf " + font.encode(run.Text) + " Tj"
	}
	c.op(out + " ET")
}

// finish adds all but the pages and writes the file.
func (c *canvas) finish(w io.Writer, d Document) error {
	fonts := ""
	for _, e := range c.fonts {
		object, err := e.write(&c.frame)
		if err != nil {
			return err
		}
		fonts += fmt.Sprintf(" %s %d 0 R", e.name, object)
	}
	c.set(c.resources, "<</Font <<%s>>>>\n", strings.TrimSpace(fonts))
	kids := ""
	for _, p := range c.pages {
		kids += fmt.Sprintf("%d 0 R ", p.object)
	}
	c.set(c.tree, "<</Type /Pages /Count %d /Kids [%s]>>\n", len(c.pages), strings.TrimSpace(kids))
	info := "/Title " + literal(utf16be(d.Title))
	if d.Author != "" {
		info += " /Author " + literal(utf16be(d.Author))
	}
	about := c.add(fmt.Appendf(nil, "<<%s /Producer (lozenge)>>\n", info))
	more := ""
	if len(d.Bookmarks) > 0 {
		more += fmt.Sprintf("/Outlines %d 0 R /PageMode /UseOutlines ", c.outline(d.Bookmarks))
	}
	// The language is written as it is given.
	if regexp.MustCompile(`^[A-Za-z0-9-]+$`).MatchString(d.Language) {
		more += "/Lang (" + d.Language + ") "
	}
	root := c.add(fmt.Appendf(nil, "<</Type /Catalog /Pages %d 0 R %s/ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>>>>\n", c.tree, more))
	return c.write(w, root, about)
}

// outline adds the bookmarks, each of which leads to the top of its page, and
// returns their root.
func (c *canvas) outline(marks []Bookmark) int {
	type entry struct{ parent, prev, next, first, last, below int }
	root := c.reserve()
	entries := make([]entry, len(marks)+1) // the root first
	open := []int{0}                       // the last entry of each level, behind the root
	for i, b := range marks {
		at := i + 1
		c.reserve()
		e, parent := &entries[at], &entries[open[b.Level]]
		e.parent, e.prev = open[b.Level], parent.last
		if parent.last == 0 {
			parent.first = at
		} else {
			entries[parent.last].next = at
		}
		parent.last = at
		for _, above := range open[:b.Level+1] {
			entries[above].below++
		}
		open = append(open[:b.Level+1], at)
	}
	for i, e := range entries {
		out := "<<"
		if i > 0 {
			b := marks[i-1]
			out += fmt.Sprintf("/Title %s /Parent %d 0 R /Dest [%d 0 R /XYZ 0 %s null] ", literal(utf16be(b.Title)), root+e.parent, c.pages[b.Page].object, c.pages[b.Page].top)
		} else {
			out += "/Type /Outlines "
		}
		for _, link := range []struct {
			name string
			to   int
		}{{"Prev", e.prev}, {"Next", e.next}, {"First", e.first}, {"Last", e.last}} {
			if link.to > 0 {
				out += fmt.Sprintf("/%s %d 0 R ", link.name, root+link.to)
			}
		}
		if e.below > 0 {
			out += fmt.Sprintf("/Count %d", e.below)
		}
		c.set(root+i, "%s>>\n", out)
	}
	return root
}
