// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/export/draw"
	"lozenge/export/pages"
	"lozenge/export/pdf"
	"lozenge/export/png"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// maxPaper is the largest side of paper, in inches: viewers of PDF show no
// more.
const maxPaper = 200

func templatesCommand(t talk) *cobra.Command {
	var out folder
	var paper string
	var asPNG bool
	var dpi int
	var letters lettering
	c := &cobra.Command{
		Use:   "templates PATTERN --paper letter --out DIR",
		Short: "Write printable templates at true size (PDF and SVG)",
		Long: `templates writes templates.pdf, and each of its pages as page-01.svg and so on:
a strip gauge, then a template of each kind of piece that the quilt needs, with
cut line, sew line, seams of the strip set, grain and lean. A piece that is
larger than the paper is spread over pages to be glued together. Print at 100 %
and measure the calibration square and the bar on every page before you cut.`,
		Example: `  lozenge templates my-quilt.yaml --paper letter --out templates
  lozenge templates my-quilt.yaml --paper 13x19 --out templates --force`,
		Args: onePattern,
		RunE: func(c *cobra.Command, args []string) error {
			if err := checkDPI(c, asPNG, dpi); err != nil {
				return err
			}
			if err := out.check(c); err != nil {
				return err
			}
			if err := letters.read(); err != nil {
				return err
			}
			p, err := t.readPlan(args[0])
			if err != nil {
				return err
			}
			size, err := parsePaper(paper, p.Spec.Unit)
			if err != nil {
				return err
			}
			named := t.inLetters(p, letters, "templates.pdf", false)
			sheets, err := pages.Templates(named, size)
			shown := sheets // what leaves letters to the program that shows it
			if err == nil && named != p {
				shown, err = pages.Templates(p, size)
			}
			var small *pages.TooSmallError
			if errors.As(err, &small) {
				return usagef("--paper: %v", small)
			}
			if err != nil {
				return err
			}
			files := []namedFile{{"templates.pdf", templatesPDF(p.Spec, sheets, letters)}}
			for i, s := range shown {
				files = append(files, namedFile{pageName(i, len(shown), "svg"), svgOf(s)})
			}
			if asPNG {
				if err := png.Check(dpi, sheets...); err != nil {
					return usagef("--dpi: %v", err)
				}
				for i, s := range sheets {
					files = append(files, namedFile{pageName(i, len(sheets), "png"), pngOf(s, dpi, letters)})
				}
			}
			if err := out.write(files, args[0], letters.path); err != nil {
				return err
			}
			t.noteStale(out, templatePage, files)
			return nil
		},
	}
	c.Flags().StringVar(&paper, "paper", "", "letter, a4, a3, legal, or width x height, as 13x19 or 30cmx40cm (default letter, in a metric pattern a4)")
	letters.flag(c, "")
	out.flags(c)
	pngFlags(c, &asPNG, &dpi, "also draw each page in pixels, to look at")
	return c
}

// paperName is the paper that a pattern is printed on when none is named.
func paperName(u geometry.Unit) string { return [...]string{"letter", "a4"}[u] }

// parsePaper reads the name of a paper or its width and height, which are in
// the pattern's unit when they have none.
func parsePaper(text string, u geometry.Unit) (pages.Paper, error) {
	if text == "" {
		text = paperName(u)
	}
	name := strings.ToLower(strings.TrimSpace(text))
	if p, ok := pages.Named(name, u); ok {
		return p, nil
	}
	if !strings.ContainsAny(name, "x×") {
		return pages.Paper{}, usagef("--paper %q is no paper that is known; write %s, or width x height, as 13x19", text, strings.Join(pages.Names(), ", "))
	}
	across, high, err := parseSize(name, u)
	if err != nil {
		return pages.Paper{}, usagef("--paper %q: %v", text, err)
	}
	for _, side := range []float64{across, high} {
		if !(side > 0) || u.Inches(side) > maxPaper {
			return pages.Paper{}, usagef("--paper %q: a side of %s is not within 0 and %s", text, geometry.FormatLength(side, u), geometry.FormatLength(u.FromInches(maxPaper), u))
		}
	}
	return pages.Paper{Width: across, Height: high}, nil
}

// templatesPDF calls the document as the pattern does, in whatever letters.
func templatesPDF(s quilt.Spec, sheets []*draw.Drawing, letters lettering) func(io.Writer) error {
	return documentOf(pdf.Document{Title: s.Name + ": templates", Author: s.Designer, Letters: letters.Fonts, Pages: sheets})
}

// pageName names page i of n, from 0, so that names sort as the pages do.
func pageName(i, n int, ending string) string {
	return fmt.Sprintf("page-%0*d.%s", max(2, len(fmt.Sprint(n))), i+1, ending)
}

// templatePage matches the pages of templates.
var templatePage = regexp.MustCompile(`^page-[0-9]+\.svg$`)
