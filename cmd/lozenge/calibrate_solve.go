// SPDX-License-Identifier: Apache-2.0

package main

import (
	"cmp"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/cmd/internal/readings"
	"lozenge/export"
	"lozenge/export/target"
	"lozenge/geometry"
)

// solveFlags are the flags of calibrate solve.
type solveFlags struct {
	projectorFlags
	lens    string
	keep    string // file for the calibration, or ""
	picture string // file for the map of the error, or ""
	shown   string // file for the photo with what was found, or ""
	accept  bool
	force   bool
	asJSON  bool
}

func calibrateSolveCommand(t talk) *cobra.Command {
	var f solveFlags
	c := &cobra.Command{
		Use:   "solve POINTS --screen WxH",
		Short: "Work out from the readings where every pixel lands, and how exactly",
		Long: `solve reads the table that 'calibrate target' wrote and you filled in. It says for
each cross what you read, what the others say it should be and how far that is
off; which reading to take again; and how far off a cut line may land on the mat.
-o keeps the calibration for 'lozenge mat'.

Its verdict is ok, suspect or rejected. A suspect calibration is kept only with
--accept, a rejected one never. --json prints the answer for other programs,
lengths in inches.

--lens says what to do about a lens that bends lines: auto fits it from 9
crosses on, its middle too, with what is known of projectors; fit fits k1 alone,
off nothing.`,
		Example: `  lozenge calibrate solve target.csv --screen 1920x1080 -o projector.json
  lozenge calibrate solve target.csv --screen 1920x1080 --map map.svg
  lozenge calibrate solve target.csv --screen 1920x1080 --unit cm --json`,
		Args: needs(1, 1, "the one table of readings, as target.csv; 'lozenge calibrate target' makes it"),
		RunE: func(c *cobra.Command, args []string) error {
			s, u, err := f.read(c)
			if err != nil {
				return err
			}
			lens, err := calibrate.ParseLens(f.lens)
			if err != nil {
				return usagef("--lens: %v", err)
			}
			return t.solve(args[0], s, calibrate.Options{Lens: lens, Unit: u}, f)
		},
	}
	f.projectorFlags.flags(c, "of readings that name none, and of the answer")
	c.Flags().StringVar(&f.lens, "lens", "auto", "what is done about a lens that bends lines: auto, fit or off")
	f.files(c)
	return c
}

// files adds the flags that say what is written.
func (f *solveFlags) files(c *cobra.Command) {
	c.Flags().StringVarP(&f.keep, "output", "o", "", "file to keep the calibration in, as projector.json; - is standard output")
	c.Flags().StringVar(&f.picture, "map", "", "file for a drawing of the error over the mat, as map.svg")
	c.Flags().BoolVar(&f.accept, "accept", false, "keep a suspect calibration too")
	c.Flags().BoolVar(&f.force, "force", false, "replace the files if they exist")
	c.Flags().BoolVar(&f.asJSON, "json", false, "for other programs, numbers not rounded")
}

func (t talk) solve(path string, s calibrate.Screen, o calibrate.Options, f solveFlags) error {
	if err := f.check(path); err != nil {
		return err
	}
	list, warnings, err := readings.Read(path, t.in, o.Unit)
	if err != nil {
		return err
	}
	t.warn(warnings)
	return t.solved(path, calibrate.Solve(list, s, o), o.Unit, f, nil, nil)
}

// check refuses names of files that can't be meant.
func (f solveFlags) check(path string) error {
	if f.asJSON && f.toOutput() {
		return usagef("the answer and a file can't both go to standard output; name a file instead of -")
	}
	return cmp.Or(rightEnding(f.keep, "projector.json", path), rightEnding(f.picture, "map.svg", path), rightEnding(f.shown, "found.png", path))
}

// toOutput reports whether a file goes to standard output.
func (f solveFlags) toOutput() bool { return f.keep == "-" || f.picture == "-" || f.shown == "-" }

// solved writes what a calibration leaves, with more files where there are any,
// and says how it came out; seen is what was found on the way.
func (t talk) solved(path string, r calibrate.Result, u geometry.Unit, f solveFlags, seen []string, more []namedFile) error {
	files, err := f.written(r, u)
	if err != nil {
		return err
	}
	files = append(files, more...)
	// With a file on standard output the answer goes to standard error.
	to := io.Writer(t.out)
	if f.toOutput() {
		to = t.err
	}
	// The files come first: where one is refused, nothing is printed that
	// sounds as if it had been written.
	if err := t.saveAll(export.Options{Force: f.force, Inputs: inputs(path)}, files); err != nil {
		return err
	}
	if err := answer(to, f.asJSON, solveText(path, r, u, seen), solveJSON(r)); err != nil {
		return err
	}
	for _, file := range files {
		if file.name != "-" {
			t.say("wrote %s", file.name)
		}
	}
	if r.Verdict == calibrate.OK && f.keep == "" && !f.asJSON {
		fmt.Fprintln(t.err, "add -o projector.json to keep this calibration")
	}
	return f.status(r)
}

// written returns what there is to write.
func (f solveFlags) written(r calibrate.Result, u geometry.Unit) ([]namedFile, error) {
	var files []namedFile
	if f.keep != "" && f.keeps(r.Verdict) {
		kept, err := r.File()
		if err != nil {
			return nil, err
		}
		files = append(files, namedFile{f.keep, jsonOf(kept)})
	}
	if f.picture != "" && r.Map != nil {
		files = append(files, namedFile{f.picture, svgOf(target.ErrorMap(r.Map, r.Points, u))})
	}
	return files, nil
}

// keeps reports whether a calibration with that verdict may be kept.
func (f solveFlags) keeps(v calibrate.Verdict) bool {
	return v == calibrate.OK || v == calibrate.Suspect && f.accept
}

// status is the answer "no" unless the verdict is ok, with what became of the
// file.
func (f solveFlags) status(r calibrate.Result) error {
	if r.Verdict == calibrate.OK {
		return nil
	}
	message := fmt.Sprintf("the calibration is %s", r.Verdict)
	switch {
	case f.keep == "":
	case f.keeps(r.Verdict):
		message += "; it is kept all the same, as --accept asks"
	default:
		message += fmt.Sprintf("; %s is not written", f.keep)
		if _, err := os.Stat(f.keep); err == nil && f.keep != "-" {
			message += " (the one that stands there is an older one)"
		}
		if r.Verdict == calibrate.Suspect {
			message += "; measure again, or add --accept to use it as it is"
		} else {
			message += "; measure again"
		}
	}
	if f.picture != "" && r.Map == nil {
		message += fmt.Sprintf("; there is no map to draw into %s", f.picture)
	}
	return &answerNo{message}
}
