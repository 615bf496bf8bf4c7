// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/table"
	"lozenge/export/frames"
	"lozenge/export/words"
	"lozenge/geometry"
)

// matFrames is what the command line says about frames for a projector.
type matFrames struct {
	calibration  string
	dir          string
	screen       string
	line, ground string
	width        float64
	strips       bool
	layers       int
}

// only are the flags that mean something with a calibration alone.
var onlyFrames = []string{"out", "screen", "line", "ground", "width", "strips", "layers"}

func (o *matFrames) flags(c *cobra.Command) {
	plain := frames.PlainLook()
	f := c.Flags()
	f.StringVar(&o.calibration, "calibration", "", "calibration of the projector, as 'lozenge calibrate solve' writes it")
	f.StringVar(&o.dir, "out", "", "folder to write frames to; made if missing")
	f.StringVar(&o.screen, "screen", "", "the projector's resolution now, such as 1920x1080; checked against the calibration's")
	f.StringVar(&o.line, "line", plain.Line.String(), "colour of lines and lettering")
	f.StringVar(&o.ground, "ground", plain.Ground.String(), "colour of the ground")
	f.Float64Var(&o.width, "width", 0, "width of a cut line in pixels (default 2 on a screen 1920 across)")
	f.BoolVar(&o.strips, "strips", false, "lines for cutting the strips themselves from folded fabric")
	f.IntVar(&o.layers, "layers", 0, "with --strips: 1 for single fabric, 2 folded once, 4 folded twice (default the fewest that fit)")
}

// check refuses flags that don't go together and returns what the lines look
// like.
func (o *matFrames) check(c *cobra.Command, flat bool) (look frames.Look, err error) {
	framed := o.calibration != ""
	switch {
	case flat && framed:
		return look, usagef("--flat and --calibration exclude each other: --flat is for a sheet that shows true size, --calibration for a projector")
	case !flat && !framed:
		return look, usagef("mat draws at true size or for a projector; add --flat, or --calibration projector.json --out frames")
	}
	for _, name := range onlyFrames {
		if flat && c.Flags().Changed(name) {
			return look, usagef("--%s is for a projector; leave it out with --flat", name)
		}
	}
	if flat {
		return look, nil
	}
	if c.Flags().Changed("output") {
		return look, usagef("a projector takes several frames; use --out with a folder in place of -o")
	}
	if o.dir == "" {
		return look, usagef("frames need a folder to be written to; add --out frames")
	}
	if look.Line, err = frames.ParseColour(o.line); err != nil {
		return look, usagef("--line: %v", err)
	}
	if look.Ground, err = frames.ParseColour(o.ground); err != nil {
		return look, usagef("--ground: %v", err)
	}
	look.Width = o.width
	if c.Flags().Changed("width") && o.width == 0 {
		look.Width = -1 // 0 means the usual width to Look
	}
	if err := look.Validate(); err != nil {
		return look, usagef("%v", err)
	}
	switch o.layers {
	case 0, 1, 2, 4:
	default:
		return look, usagef("--layers %d: fabric lies single (1), folded once (2) or folded twice (4)", o.layers)
	}
	if c.Flags().Changed("layers") && !o.strips {
		return look, usagef("--layers goes with --strips")
	}
	return look, nil
}

// drawFrames writes the frames of a pattern.
func (t talk) drawFrames(o matFrames, look frames.Look, path string, force bool) error {
	if path == "-" && o.calibration == "-" {
		return usagef("the pattern and the calibration can't both come from standard input; name a file for one of them")
	}
	file, err := t.readCalibration(o.calibration)
	if err != nil {
		return err
	}
	if o.screen != "" {
		s, err := calibrate.ParseScreen(o.screen)
		if err == nil {
			err = file.Fits(s)
		}
		if err != nil {
			return usagef("--screen: %v", err)
		}
	}
	m, err := file.Map()
	if err != nil {
		return problem.About(o.calibration, err)
	}
	p, err := t.readPlan(path)
	if err != nil {
		return err
	}
	if !p.Fewest.OK() {
		return &answerNo{tooShort(p)}
	}
	var all []frames.Frame
	if o.strips {
		all, err = frames.Strips(p, m, o.layers)
	} else {
		all, err = frames.StripSets(p, m)
	}
	var unfit *frames.FitError
	if errors.As(err, &unfit) {
		return &answerNo{err.Error()}
	}
	if err != nil {
		return err
	}
	t.warnOfCalibration(o.calibration, file, m)
	var files []namedFile
	for i := range all {
		files = append(files, namedFile{all[i].Name, func(w io.Writer) error { return all[i].Write(w, m, look) }})
	}
	if err := (folder{o.dir, force}).write(files, path, o.calibration); err != nil {
		return err
	}
	t.listFrames(all, m, p.Spec.Unit)
	return nil
}

// warnOfCalibration says what she should know about a calibration that was
// accepted all the same.
func (t talk) warnOfCalibration(path string, f calibrate.File, m *calibrate.Map) {
	if f.Verdict == calibrate.Suspect {
		t.say("%s: this calibration is suspect: a reading does not fit the others; cut nothing before the check square measures true (warning)", path)
	}
	if m.Mirrored() {
		t.say("%s: this calibration is mirrored: if the lettering on the mat reads backwards, y was read downwards; read it upwards and calibrate again, or pieces come out leaning the wrong way (warning)", path)
	}
}

// listFrames says what was drawn and how exact it is.
func (t talk) listFrames(all []frames.Frame, m *calibrate.Map, u geometry.Unit) {
	for _, f := range all {
		fmt.Fprintf(t.out, "%s  %s: %s\n", f.Name, f.Covers, words.Numbers("cut", f.ToCut))
	}
	if exact := words.HowExact(m, u); exact != "" {
		fmt.Fprintln(t.out, exact)
	}
}

// readCalibration reads and checks a kept calibration.
func (t talk) readCalibration(path string) (calibrate.File, error) {
	name, data, err := problem.Read(path, t.in, table.MostKept, "; 'lozenge calibrate solve' writes one")
	if err != nil {
		return calibrate.File{}, err
	}
	return table.ReadCalibration(name, data)
}
