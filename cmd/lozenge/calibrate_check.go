// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/cmd/internal/readings"
	"lozenge/export"
	"lozenge/export/target"
	"lozenge/export/words"
	"lozenge/geometry"
)

// checkFlags are the flags of calibrate check.
type checkFlags struct {
	unit   string
	show   string // file for the crosses, or ""
	third  bool
	keep   string // file for the moved calibration, or ""
	force  bool
	asJSON bool
}

func calibrateCheckCommand(t talk) *cobra.Command {
	var f checkFlags
	c := &cobra.Command{
		Use:   "check CALIBRATION [POINTS]",
		Short: "Tell from two crosses whether a calibration is still good, in a minute",
		Long: `check is a second look: the next day, after a bump, when the projector has warmed
up. --show makes a sheet of two crosses, each on a crossing of the mat's own lines,
and a table beside it. Do both lie on the lines? If not, read where they land,
write it into the table, and give it to check.

It says that the calibration is still good; or that all of it moved, and keeps it
as it is now in the file that -o names, with what a cut line may then be off; or
asks for a third cross (--show with --third); or says to calibrate again.`,
		Example: `  lozenge calibrate check projector.json --show check.svg
  lozenge calibrate check projector.json check.csv
  lozenge calibrate check projector.json check.csv -o projector-now.json`,
		Args: needs(1, 2, "a calibration, as projector.json ('lozenge calibrate solve' writes it), and perhaps the table of its crosses"),
		RunE: func(c *cobra.Command, args []string) error {
			u := geometry.Inch
			switch f.unit {
			case geometry.Inch.String():
			case geometry.Centimetre.String():
				u = geometry.Centimetre
			default:
				return usagef("--unit: %q is no unit here; write in or cm", f.unit)
			}
			switch {
			case len(args) == 1 && f.show == "":
				return usagef("nothing to do: add --show check.svg for a sheet of crosses, or name the table with what you read")
			case len(args) == 2 && f.show != "":
				return usagef("--show makes crosses that are still to be read; leave it out with a table")
			case len(args) == 2 && args[0] == "-" && args[1] == "-":
				return usagef("the calibration and the table can't both come from standard input; name a file for one of them")
			case f.show != "" && (f.keep != "" || f.asJSON):
				return usagef("-o and --json go with a table of what was read; leave them out with --show")
			case f.third && f.show == "":
				return usagef("--third goes with --show")
			}
			file, err := t.readCalibration(args[0])
			if err != nil {
				return err
			}
			m, err := file.Map()
			if err != nil {
				return err
			}
			if f.show != "" {
				return t.showCheck(args[0], m, u, f)
			}
			return t.check(args[0], args[1], file, m, u, f)
		},
	}
	c.Flags().StringVar(&f.unit, "unit", "in", "of the mat's lines, of readings that name none and of the answer: in or cm")
	c.Flags().StringVar(&f.show, "show", "", "file for a sheet of crosses, as check.svg; its table goes beside it, as check.csv")
	c.Flags().BoolVar(&f.third, "third", false, "show a third cross as well")
	c.Flags().StringVarP(&f.keep, "output", "o", "", "file to keep a calibration in that moved as a whole; - is standard output")
	c.Flags().BoolVar(&f.force, "force", false, "replace the files if they exist")
	c.Flags().BoolVar(&f.asJSON, "json", false, "for other programs, numbers not rounded")
	return c
}

// showCheck writes the crosses to be looked at, and their table.
func (t talk) showCheck(calibration string, m *calibrate.Map, u geometry.Unit, f checkFlags) error {
	crosses := m.CheckCrossings(u)
	n := 2
	if f.third {
		n = 3
	}
	if len(crosses) < n {
		return &answerNo{fmt.Sprintf("the calibrated area has no room for %d crosses on the mat's lines; calibrate again", n)}
	}
	crosses = crosses[:n]
	csv := "-"
	if f.show != "-" {
		csv = strings.TrimSuffix(f.show, filepath.Ext(f.show)) + ".csv"
	}
	if f.force && csv != "-" && readings.Filled(csv) {
		return usagef("%s has readings or something else in it that even --force does not throw away; move it", csv)
	}
	var where []string
	var targets []calibrate.Target
	for _, c := range crosses {
		targets = append(targets, calibrate.Target{Point: c.Point, U: c.U, V: c.V})
		where = append(where, fmt.Sprintf("cross %d on %s, %s", c.Point, calibrate.WriteReading(c.X, u), calibrate.WriteReading(c.Y, u)))
	}
	line := fmt.Sprintf("lozenge calibrate check %s %s", pasted(calibration), pasted(filepath.Base(csv)))
	sheet := target.CheckSheet{
		Map: m, Crosses: crosses, Reach: u.Inches(u.Of(0.9, 2)),
		Title: "Do the crosses lie on the mat's lines?",
		Words: []string{
			fmt.Sprintf("Full screen at zoom %s. The middles should lie on whole lines of the mat: %s. %s", words.Held("100 %"), strings.Join(where, ", "), words.NoLens),
			"If they do, go on cutting. If they don't, write where each lands into the table beside this sheet, and give it to check.",
		},
	}
	files := []namedFile{{f.show, func(w io.Writer) error { return target.WriteCheck(w, sheet) }}}
	if csv != "-" {
		files = append(files, namedFile{csv, func(w io.Writer) error { return readings.Write(w, targets) }})
	}
	if err := t.saveAll(export.Options{Force: f.force, Inputs: inputs(calibration)}, files); err != nil {
		return err
	}
	if csv != "-" {
		t.say("wrote %s and %s; show the first full screen: %s. Where they don't lie on the lines fill in the second, then run: %s", f.show, csv, strings.Join(where, ", "), line)
	}
	return nil
}

func (t talk) check(calibration, points string, file calibrate.File, m *calibrate.Map, u geometry.Unit, f checkFlags) error {
	list, warnings, err := readings.Read(points, t.in, u)
	if err != nil {
		return err
	}
	t.warn(warnings)
	to := io.Writer(t.out)
	if f.keep == "-" {
		if f.asJSON {
			return usagef("the answer and a file can't both go to standard output; name a file instead of -")
		}
		to = t.err
	}
	look := calibrate.SecondLook{Taken: list}
	for i := range look.Taken {
		look.Taken[i].Line = 0
	}
	c := m.Check(look.Taken, nil, u)
	var files []namedFile
	if f.keep != "" && c.Verdict == calibrate.Shifted {
		moved, err := file.Moved(c, look)
		if err != nil {
			return &answerNo{err.Error()}
		}
		files = append(files, namedFile{f.keep, jsonOf(moved)})
	}
	if err := t.saveAll(export.Options{Force: f.force, Inputs: inputs(calibration, points)}, files); err != nil {
		return err
	}
	if err := answer(to, f.asJSON, secondLookText(calibration, c, u), secondLookJSON(c)); err != nil {
		return err
	}
	switch {
	case c.Verdict == calibrate.Again || c.Verdict == calibrate.Third:
		message := "the calibration can't be used as it is: " + c.Reasons[0]
		if f.keep != "" {
			message += fmt.Sprintf("; %s is not written", f.keep)
		}
		return &answerNo{message}
	case c.Verdict == calibrate.Shifted && f.keep == "" && !f.asJSON:
		fmt.Fprintln(t.err, "add -o projector-now.json to keep the calibration as it is now")
	case c.Verdict == calibrate.Good && f.keep != "":
		t.say("%s is not written: the calibration is as it was", f.keep)
	case len(files) > 0 && f.keep != "-":
		t.say("wrote %s", f.keep)
	}
	return nil
}

// secondLookText returns the answer as a quilter reads it.
func secondLookText(calibration string, c calibrate.Check, u geometry.Unit) []byte {
	t := &text{unit: u}
	fmt.Fprintf(t, "A second look at %s\n", calibration)
	t.section("Verdict: " + map[calibrate.Verdict]string{
		calibrate.Good: "still good", calibrate.Shifted: "shifted as a whole", calibrate.Third: "a third cross, please", calibrate.Again: "calibrate again",
	}[c.Verdict])
	for _, reason := range c.Reasons {
		t.paragraph("  -", words.Sentence(reason))
	}
	t.section("Cross by cross")
	for _, k := range c.Crosses {
		t.row(fmt.Sprint("cross ", k.Point), "should lie on %s, %s, and lies on %s, %s: %s off",
			calibrate.WriteReading(k.Want.X, u), calibrate.WriteReading(k.Want.Y, u),
			calibrate.WriteReading(k.Read.X, u), calibrate.WriteReading(k.Read.Y, u), offBy(k.Off, u))
	}
	t.section("How far off a cut line may land")
	for _, row := range []struct {
		key string
		v   float64
	}{{"as calibrated", c.Before.P95}, {"now", c.Expected.P95}} {
		if !math.IsNaN(row.v) {
			t.row(row.key, "19 of 20 places within %s (%s)", within(row.v, u), words.Small(row.v, u))
		}
	}
	t.section("Take care")
	t.paragraph("  -", words.Cautions[len(words.Cautions)-1])
	return t.Bytes()
}

// The keys of calibrate check --json are a promise as those of solve.
type (
	jsonSecondLook struct {
		Verdict  string            `json:"verdict"`
		Shift    *[2]float64       `json:"shift"`
		Turn     *float64          `json:"turn"`
		Before   jsonExpected      `json:"before"`
		Expected jsonExpected      `json:"expected_error"`
		Crosses  []jsonSecondCross `json:"crosses"`
		Reasons  []string          `json:"reasons"`
	}
	jsonSecondCross struct {
		Point int        `json:"point"`
		Want  [2]float64 `json:"want"`
		Read  [2]float64 `json:"read"`
		Off   float64    `json:"off"`
	}
)

func secondLookJSON(c calibrate.Check) jsonSecondLook {
	out := jsonSecondLook{
		Verdict: string(c.Verdict), Shift: knownPlace(c.Shift), Turn: known(c.Turn),
		Before: expectedJSON(c.Before), Expected: expectedJSON(c.Expected),
		Crosses: []jsonSecondCross{}, Reasons: c.Reasons,
	}
	for _, k := range c.Crosses {
		out.Crosses = append(out.Crosses, jsonSecondCross{k.Point, [2]float64{k.Want.X + 0, k.Want.Y + 0}, [2]float64{k.Read.X + 0, k.Read.Y + 0}, k.Off})
	}
	return out
}
