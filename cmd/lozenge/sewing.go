// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"io"
	"regexp"

	"github.com/spf13/cobra"

	"lozenge/export/draw"
	"lozenge/export/pages"
	"lozenge/export/pdf"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// maxRowSheets is the most sheets of rows that are written: beyond that several
// rows share one.
const maxRowSheets = 100

func sewingCommand(t talk) *cobra.Command {
	var out folder
	var asJSON bool
	var letters lettering
	c := &cobra.Command{
		Use:   "sewing PATTERN",
		Short: "Say what to sew to what, in which order, with bias edges marked",
		Long: `sewing prints the sewing order, step by step: how to lay the pieces out and label
them, the diagonal rows piece by piece, which edges are bias and which piece lies
underneath at each seam, what each row must measure, how to join the rows in
halves with the longest seam last, and how to square up.

--out writes that as sewing.txt, for other programs as sewing.json, a diagram of
the whole quilt as sewing.svg, labels to pin on rows, piles and pieces as
labels.pdf, and a diagram of each diagonal row as row-01-A.svg and so on. Of more
than 100 rows several share a sheet, as rows-01-A-to-C.svg. Where a page does not hold the whole
quilt so that it can be read, its parts follow as sewing-01.svg and so on.

--json prints for other programs, numbers not rounded, lengths in the pattern's
unit: name unit setting sewing_rows past_seam seam_length stitch_length_mm
rows[{label,diagonal_row,lone,neighbour,diamonds,raw_ends,length,pieces[{label,
column,row,shape,lean,turned,strip_set,wide_side,colors}]}]
seams[{first,second,row,join,kind,first_edge{side,kind,grain,bias},second_edge,
underneath}]
seam_kinds[{within_row,first{shape,lean,turned},second,first_edge,second_edge,
underneath,overhang[2],past_seam[2][2],seams}]
joins[{number,round,first[2],second[2],length,crossings,bias_edges[2],changes,
underneath,across}] piles[{strip_set,shape,lean,pieces}]
checks[{pieces,width,length}]
square_up{outside,falls_away{left,right},width,height,top_and_bottom_grain,
sides_grain}. Ends are the left one first; underneath is null where it makes no
difference; a grain of 0 or 90 degrees lies on the grain, any other is bias.`,
		Example: `  lozenge sewing my-quilt.yaml
  lozenge sewing my-quilt.yaml --out sewing
  lozenge sewing my-quilt.yaml --json > sewing.json`,
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			if out.force && out.dir == "" {
				return usagef("--force is for the files that --out writes; add --out sewing")
			}
			if letters.path != "" && out.dir == "" {
				return usagef("--font is for the labels that --out writes; add --out sewing")
			}
			if err := letters.read(); err != nil {
				return err
			}
			p, err := t.readPlan(args[0])
			if err != nil {
				return err
			}
			o := sewing.New(p)
			if out.dir != "" {
				if err := t.writeSewing(p, o, letters, out, args[0]); err != nil {
					return err
				}
			}
			switch {
			case asJSON:
				return sewingJSON(t.out, p, o)
			case out.dir == "":
				return sewingTextOf(p, o)(t.out)
			}
			fmt.Fprintf(t.out, "%s: %s, %s, %s between two pieces, %s of rows\n", p.Spec.Name, words.Count(len(o.Rows), "diagonal row"),
				words.Count(len(o.Pieces), "piece"), words.Count(len(o.Seams), "seam"), words.Count(len(o.Joins), "join"))
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print for other programs, numbers not rounded")
	letters.flag(c, ", with --out")
	out.flags(c)
	return c
}

// sewingLabels draws the labels to pin on rows, piles and pieces.
func sewingLabels(p *quilt.Plan, o *sewing.Order) []*draw.Drawing {
	paper, _ := pages.Named(paperName(p.Spec.Unit), p.Spec.Unit)
	return sheet.SewingLabels(p, o, quilt.Size{Width: paper.Width, Height: paper.Height})
}

// labelsPDF calls the document as the pattern does, in whatever letters.
func labelsPDF(s quilt.Spec, labels []*draw.Drawing, letters lettering) func(io.Writer) error {
	return documentOf(pdf.Document{Title: s.Name + ": labels", Author: s.Designer, Letters: letters.Fonts, Pages: labels})
}

// writeSewing writes all files of the sewing order.
func (t talk) writeSewing(p *quilt.Plan, o *sewing.Order, letters lettering, out folder, pattern string) error {
	labels := sewingLabels(t.inLetters(p, letters, "labels.pdf", false), o)
	files := []namedFile{
		{"sewing.txt", sewingTextOf(p, o)},
		{"sewing.json", func(w io.Writer) error { return sewingJSON(w, p, o) }},
		{"labels.pdf", labelsPDF(p.Spec, labels, letters)},
	}
	files = append(files, sewingDiagrams(p, o)...)
	for _, s := range rowSheets(o) {
		files = append(files, namedFile{s.name, func(w io.Writer) error {
			return svgOf(sheet.SewingRows(p, o, s.first, s.last))(w)
		}})
	}
	bar := t.newProgress(len(files))
	for i, f := range files {
		files[i].write = func(w io.Writer) error {
			bar.step(f.name)
			return f.write(w)
		}
	}
	err := out.write(files, pattern, letters.path)
	bar.clear()
	if err != nil {
		return err
	}
	t.noteStale(out, rowName, files)
	return nil
}

// sewingDiagrams returns the diagram of the whole quilt, and its parts where the
// whole is too small to be read.
func sewingDiagrams(p *quilt.Plan, o *sewing.Order) []namedFile {
	all := sheet.Sewing(p, o)
	files := []namedFile{{"sewing.svg", svgDrawn(all[0])}}
	for i, draw := range all[1:] {
		files = append(files, namedFile{fmt.Sprintf("sewing-%0*d.svg", max(2, len(fmt.Sprint(len(all)-1))), i+1), svgDrawn(draw)})
	}
	return files
}

func sewingTextOf(p *quilt.Plan, o *sewing.Order) func(io.Writer) error {
	return textOf(func() ([]byte, error) { return sewingText(p, o), nil })
}

// rowSheet is a file that holds the diagrams of rows first to last.
type rowSheet struct {
	name        string
	first, last int
}

// title says which rows it holds.
func (s rowSheet) title(o *sewing.Order) string {
	from, to := o.Rows[s.first].Letters, o.Rows[s.last].Letters
	if s.first == s.last {
		return "Row " + from
	}
	return "Rows " + from + " to " + to
}

// rowSheets spreads the rows over sheets, one on each while there are no more
// than maxRowSheets.
func rowSheets(o *sewing.Order) []rowSheet {
	each := (len(o.Rows) + maxRowSheets - 1) / maxRowSheets
	sheets := (len(o.Rows) + each - 1) / each
	digits := max(2, len(fmt.Sprint(sheets)))
	var out []rowSheet
	for i := range sheets {
		s := rowSheet{first: i * each, last: min((i+1)*each, len(o.Rows)) - 1}
		from, to := o.Rows[s.first].Letters, o.Rows[s.last].Letters
		if s.first == s.last {
			s.name = fmt.Sprintf("row-%0*d-%s.svg", digits, i+1, from)
		} else {
			s.name = fmt.Sprintf("rows-%0*d-%s-to-%s.svg", digits, i+1, from, to)
		}
		out = append(out, s)
	}
	return out
}

// rowName matches the diagrams of rows and of parts of the quilt.
var rowName = regexp.MustCompile(`^(rows?-[0-9]+-[A-Z]+(-to-[A-Z]+)?|sewing-[0-9]+)\.svg$`)
