// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/scrapbin"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// scrapsFlags are the flags of scraps as they were typed.
type scrapsFlags struct {
	asJSON, largest bool
	out             folder
}

func scrapsCommand(t talk) *cobra.Command {
	var f scrapsFlags
	c := &cobra.Command{
		Use:   "scraps PATTERN [SCRAPS.csv]",
		Short: "Plan the quilt from the strips that are there",
		Long: `scraps plans the quilt of a pattern from a bin of leftover strips: which scrap to
cut into which lengths, what to sew to what, how to cut each strip set, and what is
left over. It finds the fewest strip sets, then the least sewn length, and says
below what no plan can be.

SCRAPS.csv is a table from any spreadsheet with the columns
fabric,name,color,width,length,count: fabric is a key of the pattern's strips; name,
color (like #1f5f7a) and count may be empty. A scrap at least as wide as the strip
gives one strip, twice as wide two.

Without a table it is the one that the pattern names as ` + "`scraps: my-scraps.csv`" + `; then
every other command plans from that bin, too. Where the pattern gives no size, one
of the quilts that the scraps make is chosen, and the others are listed.

When the scraps don't suffice, the plan is for the largest quilt of about the same
proportions that they make, and it says what to add for the one you wanted.
--largest asks for the largest quilt outright. With color_order: bands in the
pattern every band is one cloth: one colour, or one name where none is given.

--out writes the list, the same for other programs, the picture in the scraps' own
colours and the cut lines into a folder.`,
		Example: `  lozenge scraps my-quilt.yaml scraps.csv
  lozenge scraps my-quilt.yaml scraps.csv --largest
  lozenge scraps my-quilt.yaml scraps.csv --out from-scraps --force`,
		Args: func(c *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return onePattern(c, args)
			case len(args) > 2:
				return usagef("%s takes one pattern file and one table, not %d files; put a name with spaces in quotes", c.CommandPath(), len(args))
			case len(args) == 2 && args[0] == "-" && args[1] == "-":
				return usagef("the pattern and the scraps can't both come from standard input; name a file for one of them")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			return t.scraps(f, args[0], strings.Join(args[1:], ""))
		},
	}
	c.Flags().BoolVar(&f.asJSON, "json", false, "for other programs, numbers not rounded")
	c.Flags().BoolVar(&f.largest, "largest", false, "plan the largest quilt that the scraps make")
	f.out.flags(c)
	return c
}

func (t talk) scraps(f scrapsFlags, patternFile, table string) error {
	file, err := pattern.Read(patternFile, t.in)
	if err != nil {
		return err
	}
	t.warn(file.Warnings)
	var bin *scrapbin.Bin
	switch {
	case table != "":
		bin, err = scrapbin.Read(table, t.in, file.Spec)
	case file.Scraps == "":
		return usagef("scraps needs the table of your scraps, with the columns fabric,name,color,width,length,count; name it here, or in the pattern as `scraps: my-scraps.csv`")
	default:
		table = file.Scraps
		bin, err = binOf(file)
	}
	if err != nil {
		return err
	}
	p, made, err := t.fromScraps(file, bin)
	var not *quilt.NotMade
	if err != nil && !errors.As(err, &not) {
		return err
	}
	if sized := file.Spec.Columns > 0 || file.Spec.Finish != nil; f.largest && sized {
		if made, err = scraps.New(p, bin.Scraps, true); err != nil {
			return file.Wrong(bin.Wrong(err), "")
		}
	} else if !sized && made.Quilt != nil {
		p = made.Quilt
	}
	t.warnNarrow(p, bin, made)
	if made.IsLargest && made.Quilt != nil {
		// What a little trimming at the ends would make of it.
		spec := p.Spec
		spec.EndTrim += spec.Unit.Of(0.5, 1)
		if trimmed, err := quilt.New(spec); err == nil {
			if less, err := scraps.New(trimmed, bin.Scraps, true); err == nil {
				made.Trimmed = &less.Made
			}
		}
	}
	text, data := scrapsText(p, made), scrapsJSON(p, made)
	if f.out.dir != "" {
		files := []namedFile{{"scraps.txt", dataOf(text)}, {"scraps.json", jsonOf(data)}}
		if made.Quilt != nil {
			files = append(files, namedFile{"picture.svg", svgOf(sheet.Picture(made.Quilt))})
			if mat, ok := sheet.Mat(made.Quilt); ok {
				files = append(files, namedFile{"mat.svg", svgOf(mat)})
			}
		}
		if err := f.out.write(files, patternFile, table); err != nil {
			return err
		}
		for _, one := range files {
			t.say("wrote %s", filepath.Join(f.out.dir, one.name))
		}
	}
	if err := answer(t.out, f.asJSON, text, data); err != nil {
		return err
	}
	return scrapsNo(p, made, f.largest)
}

// scrapsNo is the answer "no", or nil.
func scrapsNo(p *quilt.Plan, made *scraps.Plan, largest bool) error {
	switch {
	case made.Quilt == nil:
		return &answerNo{"the scraps don't make a quilt of even one column and one row; see above for what to add"}
	case !made.Enough && !largest:
		how := "however they are cut"
		if !made.Proven {
			how = "as far as was found"
		}
		return &answerNo{fmt.Sprintf("the scraps don't suffice for %s, "+how+"; above is the largest quilt that they make, %s, and what to add", words.Diamonds(made.Wanted.Columns, made.Wanted.Rows), words.Diamonds(made.Made.Columns, made.Made.Rows))}
	}
	return nil
}

func narrowWords(p *quilt.Plan, s scraps.Scrap) string {
	narrowest := 0.0
	for _, st := range p.Spec.Strips {
		if st.Fabric == s.Fabric && (narrowest == 0 || st.Cut < narrowest) {
			narrowest = st.Cut
		}
	}
	return fmt.Sprintf("%s is narrower than the strips of %s, cut %s; this scrap is not used",
		geometry.FormatLength(s.Width, p.Spec.Unit), s.Fabric, geometry.FormatLength(narrowest, p.Spec.Unit))
}
