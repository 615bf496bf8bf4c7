// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"lozenge/export/booklet"
	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/pages"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

func makeCommand(t talk) *cobra.Command {
	var dir string
	var force bool
	var letters lettering
	var kitted kitting
	c := &cobra.Command{
		Use:   "make PATTERN... --out DIR",
		Short: "Make everything from a pattern file, in one run",
		Long: `make writes the plan, the picture, the cut lines and the pieces into one folder,
and a manifest that lists them. Run it again after a change: it replaces the
files that its manifest lists. A file that it did not write is kept.

Several patterns are made at the same time, each into a folder of its own below
DIR that is called after its file. One that can't be made does not stop the others;
the exit status is then the worst of all: 4 rather than 3, and so on.`,
		Example: `  lozenge make my-quilt.yaml --out my-quilt
  lozenge make testdata/tide-lap.yaml --out out
  lozenge make baby.yaml lap.yaml king.yaml --out quilts
  lozenge make my-quilt.yaml --kits 20 --out class`,
		Args: patterns,
		RunE: func(c *cobra.Command, args []string) error {
			if err := (folder{dir: dir}).check(c); err != nil {
				return err
			}
			if err := letters.read(); err != nil {
				return err
			}
			if err := kitted.check(); err != nil {
				return err
			}
			args = expand(args)
			if len(args) > 1 {
				return t.makeEach(args, dir, letters, kitted, force)
			}
			return t.makeOne(args[0], dir, letters, kitted, inputs(args[0], letters.path), force)
		},
	}
	c.Flags().StringVar(&dir, "out", "", "folder to write to; made if missing")
	kitted.flag(c)
	letters.flag(c, "")
	c.Flags().BoolVar(&force, "force", false, "also replace files that make did not write")
	return c
}

// product is one file that make writes and what it is for.
type product struct {
	namedFile
	purpose string
}

// products returns the files of a plan, in the order in which she needs them.
// They are written at the same time, and so must leave the plan and what else
// they share alone. kits is nil when there are none. no says what could not be made and
// why. What the letters of PDF and DXF lack is said.
func (t talk) products(p *quilt.Plan, letters lettering, kits *quilt.Goods) (files []product, no error) {
	inPDF, inDXF := t.inLetters(p, letters, inPDFs, true), t.inDXF(p, dxf.AC1015, outlinesName)

	add := func(name, purpose string, write func(io.Writer) error) {
		files = append(files, product{namedFile{name, write}, purpose})
	}
	add("plan.txt", "the plan: sizes, what to buy, what to sew and cut", textOf(func() ([]byte, error) { return planText(p, nil, kits), nil }))
	add("plan.json", "the same for other programs", textOf(func() ([]byte, error) { return jsonText(planJSON(p, kits)) }))
	if kits != nil {
		if paper, err := parsePaper("", p.Spec.Unit); err == nil {
			f := kitsFile(inPDF, kits, paper, letters)
			add(f.name, "what to buy and cut for all kits, and a label for each bag, "+paperName(p.Spec.Unit), f.write)
		}
	}
	add("picture.svg", "the finished quilt in colour", svgDrawn(func() *draw.Drawing { return sheet.Picture(p) }))
	if ways, _ := p.Colourways(); len(ways) > 1 && p.Fewest.OK() {
		add("layout.svg", "which strip set each piece is cut from, for the design wall", svgDrawn(func() *draw.Drawing {
			labelled, _ := sheet.LabelledPicture(p)
			return labelled
		}))
	}
	if p.FromScraps() {
		add("leftovers.csv", "your scraps as they are afterwards, for the next quilt", textOf(func() ([]byte, error) { return leftoversCSV(p) }))
	}
	order := sewing.New(p)
	add("sewing.txt", "what to sew to what, in which order", sewingTextOf(p, order))
	add("labels.pdf", "labels to pin on rows, piles and pieces, "+paperName(p.Spec.Unit), func(w io.Writer) error {
		return labelsPDF(p.Spec, sewingLabels(inPDF, order), letters)(w)
	})
	for i, f := range sewingDiagrams(p, order) {
		purpose := "the whole quilt with labels, bias edges and joins"
		if i > 0 {
			purpose = fmt.Sprintf("part %d of it, large enough to be read", i)
		}
		add(f.name, purpose, f.write)
	}
	mat, no := matSheet(p)
	if no == nil {
		add("mat.svg", "the strip sets, every cut numbered, true size", svgOf(mat))
	}
	// Paper too small for a quilt's templates is a matter of its own command.
	if paper, err := parsePaper("", p.Spec.Unit); err == nil {
		if sheets, err := pages.Templates(inPDF, paper); err == nil {
			add("templates.pdf", "templates to print at 100 %, "+paperName(p.Spec.Unit), templatesPDF(p.Spec, sheets, letters))
		}
	}
	if paper, err := bookletPaper("", p.Spec.Unit); err == nil && p.Fewest.OK() {
		if made, err := makeBooklet([]booklet.Size{{Plan: inPDF}}, booklet.Options{Paper: paper, Kit: kits != nil}); err == nil {
			add("booklet.pdf", "the whole quilt step by step, for others to sew, "+paper.Name, bookletPDF(p.Spec, made, letters))
		}
	}
	add(outlinesName, "one piece of each kind for a blade cutter or die maker", dxfOf(sheet.Cutter(inDXF)))
	add("pieces.svg", "the same as SVG, true size", svgOf(sheet.Cutter(p)))
	return files, no
}

func summary(p *quilt.Plan) string {
	t := &text{unit: p.Spec.Unit}
	return fmt.Sprintf("%s, finished %s wide and %s high",
		words.Diamonds(p.Columns, p.Rows), t.length(p.Finished.Width), t.length(p.Finished.Height))
}
