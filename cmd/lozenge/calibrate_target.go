// SPDX-License-Identifier: Apache-2.0

package main

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/cmd/internal/readings"
	"lozenge/export"
	"lozenge/export/target"
	"lozenge/export/words"
	"lozenge/geometry"
)

func calibrateTargetCommand(t talk) *cobra.Command {
	var (
		projector      projectorFlags
		grid, svg, csv string
		purpose        string
		times          int
		force          bool
	)
	c := &cobra.Command{
		Use:   "target --screen WxH -o FILE",
		Short: "Make the sheet of crosses to show on the mat, and the table to fill in",
		Long: `target makes a sheet of numbered crosses (SVG), in the projector's own pixels, and
beside it a table (CSV) to fill in. Show the sheet full screen, read on the mat
where the middle of each cross lands, x to the right and y up as the mat's own
grid reads, and write it beside the cross's number.

The sheet says what to do, and how exact the result will be for that many
crosses and readings. --readings 2 lists every cross twice: read all of them,
then all of them afresh.

--for photo makes the same crosses for 'calibrate photo': the sheet says how to
take the photo, and there is no table.`,
		Example: `  lozenge calibrate target --screen 1920x1080 --for photo -o target.svg
  lozenge calibrate target --screen 1920x1080 -o target.svg
  lozenge calibrate target --screen 1920x1080 --grid 4x3 --readings 2 -o target.svg --csv points.csv`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			s, u, err := projector.read(c)
			if err != nil {
				return err
			}
			g, err := calibrate.ParseGrid(grid)
			if err != nil {
				return usagef("--grid: %v", err)
			}
			if _, err := calibrate.Targets(s, g, times); err != nil {
				return usagef("--readings: %v", err)
			}
			if svg == "" {
				return usagef("%s needs a file for the crosses; add -o target.svg", c.CommandPath())
			}
			if purpose != forReading && purpose != forPhoto {
				return usagef("--for: %q is nothing crosses are for; write %s or %s", purpose, forPhoto, forReading)
			}
			if purpose == forPhoto {
				if csv != "" {
					return usagef("a photo needs no table; leave --csv out, or write --for %s", forReading)
				}
				if g.Columns*g.Rows < 9 {
					return usagef("--grid: a photo is checked by its crosses: at least 9, and 4x3 for most mats")
				}
				return t.photoTarget(s, g, svg, force)
			}
			return t.readingTarget(s, u, g, times, svg, csv, force)
		},
	}
	projector.flags(c, "in which you read the mat")
	c.Flags().StringVar(&grid, "grid", "4x3", "columns and rows of crosses")
	c.Flags().IntVar(&times, "readings", 1, "how often you will read each cross")
	c.Flags().StringVar(&purpose, "for", forReading, "what the crosses are for: "+forPhoto+" or "+forReading)
	c.Flags().StringVarP(&svg, "output", "o", "", "file for the crosses, as target.svg; - is standard output")
	c.Flags().StringVar(&csv, "csv", "", "file for the table to fill in (the name of the crosses' file with .csv)")
	c.Flags().BoolVar(&force, "force", false, "replace the files if they exist")
	return c
}

// What crosses are shown for.
const (
	forReading = "reading"
	forPhoto   = "photo"
)

// readingTarget makes the sheet for the eye, and its table.
func (t talk) readingTarget(s calibrate.Screen, u geometry.Unit, g calibrate.Grid, times int, svg, csv string, force bool) error {
	if csv == "" && svg != "-" {
		csv = strings.TrimSuffix(svg, filepath.Ext(svg)) + ".csv"
	}
	if err := cmp.Or(rightEnding(svg, "target.svg"), rightEnding(csv, "points.csv")); err != nil {
		return err
	}
	if force && csv != "" && csv != "-" && readings.Filled(csv) {
		return usagef("%s has readings or something else in it that even --force does not throw away; move it, or name another table with --csv", csv)
	}
	targets, err := calibrate.Targets(s, g, times)
	if err != nil {
		return usagef("--readings: %v", err)
	}
	words, err := targetWords(s, g, times, u, csv)
	if err != nil {
		return err
	}
	sheet := target.Sheet{
		Screen: s, Grid: g,
		Title: fmt.Sprintf("Read where the %d crosses land on the mat", g.Columns*g.Rows),
		Words: words,
	}
	files := []namedFile{{svg, func(w io.Writer) error { return target.Write(w, sheet) }}}
	if csv != "" {
		files = append(files, namedFile{csv, func(w io.Writer) error { return readings.Write(w, targets) }})
	}
	if err := t.saveAll(export.Options{Force: force}, files); err != nil {
		return err
	}
	if csv != "" && csv != "-" && svg != "-" {
		t.say("wrote %s and %s; show the first full screen and follow its words, fill in the second, then run: %s", svg, csv, solveLine(csv, s, u))
	}
	return nil
}

// photoTarget makes the sheet for a photo.
func (t talk) photoTarget(s calibrate.Screen, g calibrate.Grid, svg string, force bool) error {
	if err := rightEnding(svg, "target.svg", ""); err != nil {
		return err
	}
	line := fmt.Sprintf("lozenge calibrate photo mat.jpg --screen %v -o projector.json", s)
	if g != photo.UsualCrosses {
		line = fmt.Sprintf("lozenge calibrate photo mat.jpg --screen %v --crosses %v -o projector.json", s, g)
	}
	sheet := target.Sheet{Screen: s, Grid: g, Title: fmt.Sprintf("Take a photo of the %d crosses on the mat", g.Columns*g.Rows), Words: []string{
		fmt.Sprintf("1. Set the projector to its own (native) resolution, %s, and let it warm up. From now on leave keystone, zoom and focus alone. %s", words.Held(fmt.Sprintf("%d x %d", s.Width, s.Height)), words.NoLens),
		"2. Show this sheet full screen at zoom " + words.Held("100 %") + ": the thin frame must run along all four edges of the picture.",
		"3. Room lights on, flash off. Hold the phone where it sees the whole picture, from above rather than from the side; no zoom, no wide-angle lens. Clear all crosses; see that no lamp shines back from one.",
		"4. Tap a cross on the phone, and make the photo darker if crosses glow beyond their lines. Hold still.",
		"5. Then run: " + strings.NewReplacer("--screen ", "--screen"+words.Hard, "--crosses ", "--crosses"+words.Hard, "-o ", "-o"+words.Hard).Replace(line),
	}}
	if err := t.saveAll(export.Options{Force: force}, []namedFile{{svg, func(w io.Writer) error { return target.Write(w, sheet) }}}); err != nil {
		return err
	}
	if svg != "-" {
		t.say("wrote %s; show it full screen, take a photo of the mat as it says, then run: %s", svg, line)
	}
	return nil
}

// noArguments refuses what is no flag.
func noArguments(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return usagef("%s takes no %q; see '%s --help'", c.CommandPath(), args[0], c.CommandPath())
	}
	return nil
}

// solveLine is what to type when the table is filled in.
func solveLine(csv string, s calibrate.Screen, u geometry.Unit) string {
	line := fmt.Sprintf("lozenge calibrate solve %s --screen %v", pasted(csv), s)
	if u == geometry.Centimetre {
		line += " --unit cm"
	}
	return line + " -o projector.json"
}

// targetWords says on the sheet what to do, and how exact the result will be.
func targetWords(s calibrate.Screen, g calibrate.Grid, times int, u geometry.Unit, csv string) ([]string, error) {
	usual, err := calibrate.Outlook(s, g, times, 1./32)
	if err != nil {
		return nil, err
	}
	careful, err := calibrate.Outlook(s, g, times, 1./64)
	if err != nil {
		return nil, err
	}
	table := "points.csv"
	if csv != "" && csv != "-" {
		table = filepath.Base(csv)
	}
	read := fmt.Sprintf("3. Read where the middle of each cross lands, on the surface of the mat itself, to %s: x to the right, y up, as the mat's own grid reads. Write it into %s beside the cross's number, like %s.",
		words.Held(readTo(u)), table, words.Held([...]string{"12 3/32", "30.75"}[u]))
	if times > 1 {
		read += fmt.Sprintf(" Read all crosses %s, each time afresh.", often(times))
	}
	n := g.Columns * g.Rows
	exact := fmt.Sprintf("4. How exact it will be, with %d crosses read %s: 19 of 20 cut lines land within %s if a reading is usually off by %s, within %s if by %s.",
		n, often(times), words.Held(within(usual.P95, u)), words.Held(within(1./32, u)), words.Held(within(careful.P95, u)), words.Held(within(1./64, u)))
	if n < 9 {
		exact += " With fewer than 9 crosses a wrong reading can't be named."
	}
	return []string{
		fmt.Sprintf("1. Set the projector to its own (native) resolution, %s, and let it warm up. From now on leave keystone, zoom and focus alone. %s", words.Held(fmt.Sprintf("%d x %d", s.Width, s.Height)), words.NoLens),
		"2. Show this sheet full screen at zoom " + words.Held("100 %") + ": the thin frame must run along all four edges of the picture.",
		read, exact,
		"5. Then run: " + strings.NewReplacer("--screen ", "--screen"+words.Hard, "--unit ", "--unit"+words.Hard, "-o ", "-o"+words.Hard).Replace(solveLine(table, s, u)),
	}, nil
}

// often writes how often the crosses are read.
func often(times int) string {
	switch times {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", times)
}
