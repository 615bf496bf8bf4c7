// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"lozenge/geometry/quilt"
)

func planCommand(t talk) *cobra.Command {
	var asJSON bool
	var measured string
	var kitted kitting
	c := &cobra.Command{
		Use:   "plan PATTERN",
		Short: "Print sizes, counts, what to buy, sew and cut",
		Long: `plan reads a pattern file and prints the plan of the quilt: its finished size,
the sizes of every piece, how many to cut, which strip sets to sew and how to cut
each, and what to buy. --json prints the same for other programs, numbers not
rounded, lengths in the pattern's unit.

Of these keys of --json row and column count from the bottom left corner, row -1
being the bottom edge, and strip sets have the numbers that they have in the plan:
strip_sets{right,left,mixed,total,sets[{number,lean,mixed,staggered,length,cuts,
colors[{strip,fabric,color,name}]}]}: cuts are D, L, U for diamond, lower and upper
edge triangle, from the left end, of a left-leaning strip set from the right end;
d is a diamond of the other lean. pieces[{row,column,shape,lean,turned,strip_set}]:
shape is diamond, lower or upper.
cutting[{fabric,color,whole{kind,width,length},times,strips[{cut,length,count,
strip_sets}]}], what is bought and cut from it: kind is yardage, fat-quarter or
strip; strips run along length and lie side by side across width, of yardage what
is cut off the bolt; of each of so many times alike come count lengths, and
strip_sets are those into which the lengths of all go.
edges{rule,unmatched,more_to_match}: edge triangles with a colour that no diamond
beside them has, and how many further strip sets would make all match.

work{seams,strip_sets,pieces,borders,length,thread,crosscuts}: how many seams there are
between pieces, how long all are and within what, the thread for them (three times as
long), and the cuts across the strip sets.

--kits plans so many kits for a class or a shop, bought and cut together: what to buy
in all, what to cut from which piece, what goes into each bag. --json has it as
kits{count,fabric,borders,backing,binding,batting,cutting,bag[{for,border,fabric,
color,name,cut,length,count,strip_sets}]} beside the keys of one quilt.

--measured plans anew from the strip sets as you sewed them, all or the first few;
they stay as they are, with their colours and pieces. The file is a table with the
columns strip_set,left,middle,right: the number of the strip set and how wide it is
at three places, raw edge to raw edge. It may have two more: seam, of two strips
how far the seam lies from the first raw edge where you measured middle; and bow,
the widest gap between a long edge and a straight ruler. The answer names what you
can do and what each way costs; --json has it as measured{missing,seam_taken,chosen,
ways[{sew_again,width,governs,finished_width,finished_height}],strip_sets[{strip_set,
sew_again,near{least,most},far{least,most},off_centre,uneven,bowed}]}:
near and far are what to trim along the first raw edge and the last, chosen is the
way that is planned, from 0.`,
		Example: `  lozenge plan my-quilt.yaml
  lozenge plan my-quilt.yaml --json > plan.json
  lozenge plan my-quilt.yaml --measured widths.csv
  lozenge plan my-quilt.yaml --kits 20`,
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			if measured == "-" && args[0] == "-" {
				return usagef("the pattern and the widths can't both come from standard input; name a file for one of them")
			}
			if err := kitted.check(); err != nil {
				return err
			}
			if measured != "" && kitted.given() {
				return usagef("--kits and --measured can't both be given: what is measured is sewn already, and the strips of kits are not; leave one out")
			}
			file, p, err := t.planOf(args[0])
			if no := kitted.refuses(file); no != nil {
				return no
			}
			var not *quilt.NotMade
			if errors.As(err, &not) {
				if err := answer(t.out, asJSON, notMadeText(file.Spec, not), notMadeJSON(file.Spec, not)); err != nil {
					return err
				}
				return &answerNo{fmt.Sprintf("%v; above is what they make", not)}
			}
			if err != nil {
				return err
			}
			var m *quilt.Measured
			if measured != "" {
				if m, err = t.readMeasured(measured, p); err != nil {
					return err
				}
				p = m.Plan
			}
			kits, no := kitted.of(p)
			out := planJSON(p, kits)
			out.Measured = measuredJSON(m)
			if err := answer(t.out, asJSON, planText(p, m, kits), out); err != nil {
				return err
			}
			return no
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "for other programs, numbers not rounded")
	kitted.flag(c)
	c.Flags().StringVar(&measured, "measured", "", "table of the widths of the strip sets as you sewed them")
	return c
}
