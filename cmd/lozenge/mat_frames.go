// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
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

// mostCalibration is far more than any calibration takes.
const mostCalibration = 1 << 20

// readCalibration reads and checks a kept calibration.
func (t talk) readCalibration(path string) (calibrate.File, error) {
	var f calibrate.File
	path, data, err := problem.Read(path, t.in, mostCalibration, "; 'lozenge calibrate solve' writes one")
	if err != nil {
		return f, err
	}
	bad := func(line, column int, message string) error {
		return problem.In(path, string(data), problem.List{{Line: line, Column: column, Message: message, Hint: "give the file that 'lozenge calibrate solve' wrote, or solve the readings again"}})
	}
	if len(data) > mostCalibration {
		return f, bad(0, 0, "is too large for a calibration")
	}
	d := json.NewDecoder(bytes.NewReader(data))
	if err := d.Decode(&f); err != nil {
		line, column := placeOf(data, err, d.InputOffset())
		return f, bad(line, column, "is not a calibration: "+jsonReason(err))
	}
	if d.More() {
		line, column := lineColumn(data, d.InputOffset())
		return f, bad(line, column, "goes on after the calibration ends")
	}
	if err := f.Validate(); err != nil {
		return f, problem.About(path, err)
	}
	return f, nil
}

// jsonReason says what is wrong with a file for programs, in words of no library.
func jsonReason(err error) string {
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &kind):
		what, _, _ := strings.Cut(kind.Value, " ")
		found := map[string]string{"array": "a list", "object": "a group", "string": "a text", "bool": "true or false", "number": "a number that can't stand there"}[what]
		return fmt.Sprintf("%s is %s", cmp.Or(kind.Field, "the whole"), found)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return "it ends too early"
	}
	return "a mark in it does not belong there"
}

// placeOf returns where in the text decoding failed.
func placeOf(data []byte, err error, offset int64) (line, column int) {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset
	case errors.As(err, &kind):
		offset = kind.Offset
	case errors.Is(err, io.ErrUnexpectedEOF):
		offset = int64(len(data))
	}
	return lineColumn(data, offset)
}

func lineColumn(data []byte, offset int64) (line, column int) {
	before := data[:min(int(offset), len(data))]
	line = 1 + bytes.Count(before, []byte("\n"))
	column = len([]rune(string(before[bytes.LastIndexByte(before, '\n')+1:])))
	return line, max(column, 1)
}
