// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/problem"
	"lozenge/export/dxf"
	"lozenge/export/measure"
	"lozenge/export/pdfread"
	"lozenge/export/svgread"
	"lozenge/geometry"
)

func measureCommand(t talk) *cobra.Command {
	var square, pattern, unit string
	var asJSON bool
	c := &cobra.Command{
		Use:   "measure FILE... [--pattern PATTERN]",
		Short: "Tell whether an SVG, DXF or PDF still has its true size",
		Long: `measure reads SVG, DXF and PDF files, from lozenge or after they went through
other programs, finds the calibration square and tells whether they are true to
size: within 1/64 in over the square, with straight sides. When one is not, it names
the factor and its likely cause. What can't be seen (hidden, clipped, off the page,
painted over, on a layer that is off) proves nothing. It also counts closed outlines,
open cut lines, and cut lines that lie on each other.

--pattern also compares every outline with the pieces of the quilt: which piece it
is, which way it leans, how far each vertex is off, and whether it is mirrored; of a
file that states no unit it tells what its numbers must be.
--square says how large the calibration square should be, where the file does not.
--unit is the unit of the report, and of a DXF or SVG that states none.`,
		Example: `  lozenge measure pieces.dxf
  lozenge measure templates.pdf pieces.svg --pattern my-quilt.yaml
  lozenge measure from-a-friend.svg --square 4in --json`,
		Args: needs(1, math.MaxInt, "a file to measure, an SVG, DXF or PDF"),
		RunE: func(_ *cobra.Command, args []string) error {
			o, err := t.measureOptions(square, pattern, unit, args)
			if err != nil {
				return err
			}
			return t.measureFiles(args, o, asJSON)
		},
	}
	c.Flags().StringVar(&square, "square", "", "what the calibration square should measure, as 4in; else as the file says, or 4in")
	c.Flags().StringVar(&pattern, "pattern", "", "pattern whose pieces the outlines should be")
	c.Flags().StringVar(&unit, "unit", "", "in, cm or mm: unit of the report, and of a file that states none")
	c.Flags().BoolVar(&asJSON, "json", false, "for other programs, numbers not rounded")
	return c
}

func (t talk) measureOptions(square, pattern, unit string, files []string) (o measure.Options, err error) {
	stdin := 0
	for _, f := range append(files[:len(files):len(files)], pattern) {
		if f == "-" {
			stdin++
		}
	}
	if stdin > 1 {
		return o, usagef("only one file can come from standard input")
	}
	if unit != "" {
		if o.Unit, err = measure.ParseUnit(unit); err != nil {
			return o, usagef("--unit %v", err)
		}
	}
	if square != "" {
		l, err := geometry.ParseLength(square, geometry.Inch)
		if err != nil {
			return o, usagef("--square: %v", err)
		}
		if o.Square = l.In(geometry.Inch); !(o.Square > 0 && o.Square <= 1000) {
			return o, usagef("--square %s is not the side of a calibration square; write it like 4in or 10cm", square)
		}
	}
	if pattern != "" {
		if o.Plan, err = t.readPlan(pattern); err != nil {
			return o, err
		}
	}
	return o, nil
}

// measureFiles reports on every file that can be read, and then on those that
// can't.
func (t talk) measureFiles(files []string, o measure.Options, asJSON bool) error {
	var unreadable problem.List
	var reports []fileReport
	no := ""
	for _, file := range files {
		d, err := t.readDrawing(file, o.Unit)
		var p problem.List
		if errors.As(err, &p) {
			unreadable = append(unreadable, p...)
			continue
		}
		if err != nil {
			return err
		}
		r := d.Judge(o)
		reports = append(reports, fileReport{file, r})
		if !r.OK() && no == "" {
			no = notTrueMessage(file, r)
		}
	}
	if len(reports) > 0 {
		if err := answer(t.out, asJSON, measureText(reports), measureJSON(reports, len(files) > 1)); err != nil {
			return err
		}
	}
	switch {
	case len(unreadable) > 0:
		return unreadable
	case no != "":
		return &answerNo{no}
	}
	return nil
}

type fileReport struct {
	file string
	*measure.Report
}

func notTrueMessage(file string, r *measure.Report) string {
	if r.Verdict == measure.Unproven {
		return file + " is not proven to be true to size; see the reasons above"
	}
	return file + " is not true to size; see the reasons above, and don't cut from it"
}

// readDrawing reads a file of any of the formats, by what it holds. An error
// about the file is a problem.List.
func (t talk) readDrawing(path string, unit measure.Unit) (*measure.Drawing, error) {
	name, data, err := problem.Read(path, t.in, mostMeasured, "")
	if err != nil {
		return nil, err
	}
	fail := func(message, hint string) (*measure.Drawing, error) {
		return nil, problem.List{{File: name, Message: message, Hint: hint}}
	}
	if len(data) > mostMeasured {
		return fail(fmt.Sprintf("it is larger than %d MB", mostMeasured>>20), "that is no file to cut from")
	}
	whole := bytes.NewReader(data)
	var d *measure.Drawing
	switch formatOf(data[:min(len(data), 1024)], path) {
	case measure.PDF:
		d, err = pdfread.Read(whole)
	case measure.SVG:
		d, err = svgread.Read(whole, unit)
	case measure.DXF:
		var f *dxf.File
		if f, err = dxf.Read(whole); err == nil {
			d, err = measure.FromDXF(f)
		}
	default:
		return fail("this is neither an SVG nor a DXF nor a PDF file", "export the drawing as one of them")
	}
	if err != nil {
		return fail(err.Error(), "export the drawing again, or from another program")
	}
	return d, nil
}

// mostMeasured is the size of the largest file that is read: a cut file has a
// few megabytes.
const mostMeasured = 64 << 20

// formatOf tells the format by how a file begins, else by its name.
func formatOf(head []byte, path string) measure.Format {
	begin := bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	first, _, _ := bytes.Cut(begin, []byte("\n"))
	lower := strings.ToLower(path)
	switch {
	case bytes.Contains(head, []byte("%PDF-")):
		return measure.PDF
	case bytes.HasPrefix(begin, []byte("<")), bytes.HasPrefix(head, []byte("\x1f\x8b")) && strings.HasSuffix(lower, ".svgz"):
		return measure.SVG
	case len(first) > 0 && len(first) < 8 && strings.Trim(string(first), " \t\r0123456789") == "",
		bytes.HasPrefix(head, []byte("AutoCAD Binary DXF")):
		return measure.DXF
	}
	for _, f := range []measure.Format{measure.SVG, measure.DXF, measure.PDF} {
		if strings.HasSuffix(lower, "."+string(f)) {
			return f
		}
	}
	return ""
}
