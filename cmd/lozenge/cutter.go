// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/quilt"
)

// What the cutter cuts from.
const (
	fromPieces    = "pieces"
	fromStripSets = "strip-sets"
	fromOneOfEach = "one-of-each"
)

// cutterFlags are the flags of cutter as they were typed.
type cutterFlags struct {
	out         folder
	sheets      []string
	margin, gap string
	from, form  string
	lines       bool
	die         int
}

func cutterCommand(t talk) *cobra.Command {
	var f cutterFlags
	c := &cobra.Command{
		Use:   "cutter PATTERN --out DIR",
		Short: "Lay the pieces on sheets for a blade or die cutter (DXF and SVG)",
		Long: `cutter lays all pieces of the quilt on sheets for a blade cutter and writes
sheet-01.dxf, sheet-01.svg and so on; it prints how many of each to cut, what one
gives, and how long to cut the strip set. The longer side of a sheet runs across
the drawing; the rows and with them the straight grain run along it.

--from strip-sets lays lengths of sewn strip set, slanted or across where a sheet
then holds more; that is done when the pattern has two or more strips. The lengths
come out of the strip sets of the plan; where no sheet holds one whole, the list
says how many they take when these are cut straight across. --from pieces cuts
each piece from a single fabric. --from one-of-each writes pieces.dxf and
pieces.svg: one piece of each kind, not laid on a sheet.

Each piece is a closed outline; --lines writes every cut line once instead, in an
order in which no piece comes free before its last cut. --die N writes one file
for each die: N pieces beside each other, a gap apart.

In the DXF cuts lie on layer CUT, the strip set's seams on SEW, labels on MARK,
the calibration square on SQUARE. --dxf r12 is for older machines, --dxf d6673
for industrial cutters. Seams pressed open may be too thick for a small blade:
test first, use a backing.`,
		Example: `  lozenge cutter my-quilt.yaml --out cutter
  lozenge cutter my-quilt.yaml --out cutter --sheet 24x24in --lines --force
  lozenge cutter my-quilt.yaml --out dies --die 4`,
		Args: onePattern,
		RunE: func(c *cobra.Command, args []string) error {
			if err := f.out.check(c); err != nil {
				return err
			}
			file, p, err := t.readPattern(args[0])
			if err != nil {
				return err
			}
			fromFile := f.fill(c, file.Cutter)
			w, err := f.work(c, p)
			if err != nil && fromFile {
				return pattern.Problems{file.At("cutter", err.Error(), "")}
			}
			if err != nil {
				return err
			}
			w.inDXF = t.inDXF(p, w.form, "the DXF")
			if err := w.lay(); err != nil {
				return err
			}
			if err := f.out.write(w.files, args[0]); err != nil {
				return err
			}
			t.noteStale(f.out, sheetName, w.files)
			_, err = t.out.Write(w.list.Bytes())
			return err
		},
	}
	f.out.flags(c)
	c.Flags().StringArrayVar(&f.sheets, "sheet", nil, "size of the sheets, as 12x24in; give it again for another size: a piece goes\nto the first that it fits on (default as wide as the strip set needs, 24 in or\n60 cm long)")
	c.Flags().StringVar(&f.margin, "margin", "", "to keep clear all round a sheet (default 1/4in; 0.5cm)")
	c.Flags().StringVar(&f.gap, "gap", "", "between rows, or between the pieces of a die (default 1/8in, 0.3cm;\nfor a die 1/4in, 0.6cm)")
	c.Flags().StringVar(&f.from, "from", "", "what to cut from: pieces, strip-sets or one-of-each (default strip-sets\nwhen the pattern has two or more strips)")
	c.Flags().BoolVar(&f.lines, "lines", false, "every cut line once, in cutting order, not whole outlines")
	c.Flags().IntVar(&f.die, "die", 0, "write dies of so many pieces")
	c.Flags().StringVar(&f.form, "dxf", dxf.AC1015.String(), "form of the DXF: ac1015, r12 or d6673")
	return c
}

// fill takes from the pattern what the command line leaves open, and reports
// whether it took anything.
func (f *cutterFlags) fill(c *cobra.Command, from pattern.Cutter) bool {
	if f.from == fromOneOfEach {
		return false
	}
	took := false
	for _, part := range []struct {
		flag, text string
		to         *string
	}{{"margin", from.Margin, &f.margin}, {"gap", from.Gap, &f.gap}, {"from", from.From, &f.from}} {
		if part.text != "" && !c.Flags().Changed(part.flag) {
			*part.to, took = part.text, true
		}
	}
	if from.Sheet != "" && !c.Flags().Changed("sheet") {
		f.sheets, took = []string{from.Sheet}, true
	}
	return took
}

// cutterWork is what cutter was asked for, and what it has made of it.
type cutterWork struct {
	plan    *quilt.Plan
	beds    []nest.Bed
	cutting sheet.Cutting
	form    dxf.Form
	from    string
	die     int  // pieces in a die; 0: sheets
	asks    bool // no size of sheet was given

	inDXF *quilt.Plan // with the names that the DXF has letters for
	files []namedFile
	list  text
}

// work reads the flags. Every fault is a usageError.
func (f *cutterFlags) work(c *cobra.Command, p *quilt.Plan) (*cutterWork, error) {
	w := &cutterWork{plan: p, from: f.from, die: f.die, asks: len(f.sheets) == 0, list: text{unit: p.Spec.Unit}}
	var err error
	if w.form, err = dxf.ParseForm(f.form); err != nil {
		return nil, usagef("--dxf: %v", err)
	}
	switch f.from {
	case "":
		w.from = fromPieces
		if len(p.Spec.Strips) > 1 {
			w.from = fromStripSets
		}
	case fromPieces, fromStripSets, fromOneOfEach:
	default:
		return nil, usagef("--from %q is unknown; say pieces, strip-sets or one-of-each", f.from)
	}
	w.cutting = sheet.Cutting{StripSets: w.from != fromPieces, Lines: f.lines}
	changed := c.Flags().Changed
	if w.from == fromOneOfEach {
		for _, name := range []string{"sheet", "margin", "gap", "lines", "die"} {
			if changed(name) {
				return nil, usagef("--from one-of-each lays nothing on a sheet; leave out --%s", name)
			}
		}
		return w, nil
	}
	switch {
	case changed("die") && f.die < 1:
		return nil, usagef("--die %d makes no die; give the number of pieces in it, as --die 4", f.die)
	case f.lines && w.form == dxf.SewnProducts:
		return nil, usagef("--dxf d6673 keeps each piece whole, --lines does not; leave one of them out")
	}
	w.beds, err = f.beds(p.Spec.Unit, p.Set.Width)
	return w, err
}

// beds returns the sheets to try: those that she chose, else what a strip set so wide
// needs, 24 in or 60 cm long.
func (f *cutterFlags) beds(u geometry.Unit, set float64) ([]nest.Bed, error) {
	gap := u.Of(1.0/8, 0.3)
	if f.die > 0 {
		gap = u.Of(1.0/4, 0.6)
	}
	margin := u.Of(1.0/4, 0.5)
	for _, given := range []struct {
		flag, text string
		to         *float64
	}{{"margin", f.margin, &margin}, {"gap", f.gap, &gap}} {
		if given.text == "" {
			continue
		}
		l, err := geometry.ParseLength(given.text, u)
		if err != nil {
			return nil, usagef("--%s: %v", given.flag, err)
		}
		*given.to = l.In(u)
	}
	var beds []nest.Bed
	for _, s := range f.sheets {
		a, b, err := parseSize(s, u)
		if err != nil {
			return nil, usagef("--sheet: %v", err)
		}
		beds = append(beds, nest.Bed{Width: max(a, b), Height: min(a, b)})
	}
	if len(beds) == 0 {
		// As wide as the strip set needs, and a die's rows; the calibration square
		// is no smaller than that.
		for rows := range max(f.die, 1) {
			width := float64(float64(rows+1)*max(set, u.Of(1, 2))) + float64(float64(rows)*gap)
			if rows > 0 && u.Inches(width+2*margin) > nest.MaxSide {
				break
			}
			beds = append(beds, nest.Bed{Width: u.Of(24, 60), Height: width + 2*margin})
		}
	}
	for i := range beds {
		beds[i].Margin, beds[i].Gap = margin, gap
		if err := beds[i].Validate(u); err != nil {
			return nil, usagef("--%v", err)
		}
	}
	return beds, nil
}

// parseSize reads two lengths with an x between them. A unit behind the
// second serves for both.
func parseSize(s string, u geometry.Unit) (a, b float64, err error) {
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == 'x' || r == 'X' || r == '×' })
	if len(parts) != 2 {
		return 0, 0, fmt.Errorf("%q is not a size; write two lengths with an x between them, as 12x24in or 30x60cm", s)
	}
	first, second := strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1])
	number := "0123456789./ -½¼¾⅓⅔⅛⅜⅝⅞"
	if strings.Trim(first, number) == "" {
		first += " " + strings.TrimLeft(second, number)
	}
	one, err := geometry.ParseLength(first, u)
	if err != nil {
		return 0, 0, err
	}
	two, err := geometry.ParseLength(second, u)
	if err != nil {
		return 0, 0, err
	}
	return one.In(u), two.In(u), nil
}

// lay lays everything out, and lists it.
func (w *cutterWork) lay() error {
	if w.from == fromOneOfEach {
		w.add("pieces", sheet.Cutter)
		w.list.WriteString("One piece of each kind, with its calibration square: pieces.dxf and pieces.svg.\n")
		return nil
	}
	var err error
	if w.die > 0 {
		err = w.layDies()
	} else {
		err = w.laySheets()
	}
	var large *nest.TooLarge
	if errors.As(err, &large) {
		return usagef("%s", w.tooLarge(large))
	}
	return err
}

// add adds the DXF and the SVG of a sheet to the files, and returns what the SVG shows.
func (w *cutterWork) add(name string, drawing func(*quilt.Plan) *draw.Drawing) *draw.Drawing {
	s := drawing(w.plan)
	inDXF := s
	if w.inDXF != w.plan {
		inDXF = drawing(w.inDXF)
	}
	w.files = append(w.files,
		namedFile{name + ".dxf", func(out io.Writer) error { return dxf.WriteForm(out, inDXF, w.form) }},
		namedFile{name + ".svg", svgOf(s)})
	return s
}

func (w *cutterWork) tooLarge(e *nest.TooLarge) string {
	var sizes []string
	for _, b := range e.Beds {
		sizes = append(sizes, w.size(b.Width, b.Height))
	}
	return fmt.Sprintf("%s takes %s, which fits on no sheet of %s with a margin of %s; give a larger --sheet or a smaller --margin",
		words.A(words.Shape(e.Shape)), w.size(e.Width, e.Height), words.Either(sizes), w.list.length(e.Beds[0].Margin))
}

// size writes "24 by 12 in".
func (w *cutterWork) size(a, b float64) string {
	return geometry.FormatNumber(a, w.list.unit) + " by " + w.list.length(b)
}

// sheetName matches the files that cutter writes.
var sheetName = regexp.MustCompile(`^((sheet|die)-[0-9]+|square)\.(dxf|svg)$`)
