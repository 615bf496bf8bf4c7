// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/problem"
	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/pdf"
	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// What make writes in letters of its own, as it is told.
const (
	inPDFs       = "the PDFs"
	outlinesName = "pieces.dxf"
)

// mostFont is the most bytes that a font may have: those of all Chinese letters
// come near to it.
const mostFont = 100_000_000

// lettering is what PDFs and pictures of pixels are lettered with.
type lettering struct {
	path string // of a font; "" for none
	draw.Fonts
}

func (l *lettering) flag(c *cobra.Command, where string) {
	c.Flags().StringVar(&l.path, "font", "", "font for names in letters other than Latin, Greek and Cyrillic, as FONT.ttf"+where)
}

// read reads the font that was given.
func (l *lettering) read() error {
	if l.path == "" {
		return nil
	}
	if l.path == "-" {
		return usagef("--font - can't be read from standard input; give the name of a file, as FONT.ttf")
	}
	_, data, err := problem.Read(l.path, nil, mostFont, "; give one that is on your computer, as FONT.ttf")
	if err != nil {
		return err
	}
	if len(data) > mostFont {
		err = fmt.Errorf("it has more than %d million bytes", mostFont/1_000_000)
	} else {
		l.More, err = draw.ParseFont(data)
	}
	if err != nil {
		return problem.List{{File: l.path, Message: "this font can't be used: " + err.Error()}}
	}
	return nil
}

// inLetters returns the plan with its names in letters that the files can show, and
// says what became of the others.
func (t talk) inLetters(p *quilt.Plan, l lettering, files string, booklet bool) *quilt.Plan {
	named, told := lettered(p, l, files, booklet)
	t.sayChanged(told)
	return named
}

// inDXF is the same for a DXF of that form.
func (t talk) inDXF(p *quilt.Plan, form dxf.Form, files string) *quilt.Plan {
	named, told := letteredDXF(p, form, files)
	t.sayChanged(told)
	return named
}

func (t talk) sayChanged(told string) {
	if told != "" {
		t.say("lozenge: %s (warning)", told)
	}
}

// lettered is inLetters without a voice.
func lettered(p *quilt.Plan, l lettering, files string, booklet bool) (named *quilt.Plan, told string) {
	named, changed := words.InLetters(p, l.Has, booklet)
	var lacking, shaped []rune
	for _, c := range changed {
		for _, r := range c.Missing {
			if draw.Shaped(r) {
				shaped = append(shaped, r)
			} else {
				lacking = append(lacking, r)
			}
		}
	}
	var why []string
	if len(lacking) > 0 {
		lack := "the Go fonts lack %s; give a font that has them, as --font FONT.ttf"
		if l.More != nil {
			lack = "neither the Go fonts nor the one given have %s; give another --font"
		}
		why = append(why, fmt.Sprintf(lack, some(lacking)))
	}
	if len(shaped) > 0 {
		why = append(why, "letters that run from right to left or change with their neighbours, and marks on them, are drawn from no font, rather than wrongly: "+some(shaped))
	}
	return named, changedBecause(files, changed, why...)
}

// letteredDXF is inDXF without a voice.
func letteredDXF(p *quilt.Plan, form dxf.Form, files string) (named *quilt.Plan, told string) {
	named, changed := words.InLetters(p, form.Has, false)
	var lacking []rune
	for _, c := range changed {
		lacking = append(lacking, c.Missing...)
	}
	return named, changedBecause(files, changed, fmt.Sprintf("this form of DXF (%v) has no %s", form, some(lacking)))
}

func changedBecause(files string, changed []words.Rewritten, why ...string) string {
	if len(changed) == 0 {
		return ""
	}
	return fmt.Sprintf("%s: %s: %s", files, words.Told(changed), strings.Join(why, "; "))
}

// some lists characters, each once.
func some(all []rune) string {
	const most = 20
	slices.Sort(all)
	all = slices.Compact(all)
	if n := len(all) - most; n > 0 {
		return fmt.Sprintf("%s and %d more", string(all[:most]), n)
	}
	return string(all)
}

// documentOf returns what writes a document.
func documentOf(d pdf.Document) func(io.Writer) error {
	d.Language = "en"
	return func(w io.Writer) error { return pdf.Write(w, d) }
}
