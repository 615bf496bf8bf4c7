// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// squareFlags are the flags of calibrate square.
type squareFlags struct {
	size, width, height, diagonals string
	purpose, reading, pattern      string
	photo, grid                    string
	asJSON                         bool
}

func calibrateSquareCommand(t talk) *cobra.Command {
	var f squareFlags
	c := &cobra.Command{
		Use:   "square --size L --width W --height H --diagonals A,B | --photo PICTURE",
		Short: "Judge a square that you measured: printed, projected or cut",
		Long: `square compares a square with what you measured of it: its width along the bottom,
its height up the left side, and both diagonals, the one from the bottom-left
corner first. It says whether the readings belong together, how true the square
is, and what to type into the print dialog. A number without a unit is in the
unit of --size.

A reading to 1/32 in of a square 1 in wide cannot show an error below 3 %; of a
square 12 in wide, 0.3 %: measure a large square. --pattern says what the error
does to a diamond and to the whole quilt.

--photo measures a projected square in a photo of the mat, taken as for
'calibrate photo', with the frame or the page shown that has the check square:
against the mat's own lines, so a steel rule says whether those are true. Given
with your four lengths, it shows both side by side.

Status 1 when the square is not true, or its readings can't be right.`,
		Example: `  lozenge calibrate square --size 12in --width "11 5/8" --height "11 5/8" --diagonals "16 7/16,16 7/16"
  lozenge calibrate square --size 30cm --width 30 --height 29.95 --diagonals 42.4,42.4 --for projector --pattern my-quilt.yaml
  lozenge calibrate square --size 6in --photo square.jpg`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			r, err := f.square(c)
			if err != nil {
				return err
			}
			var seen *photo.Square
			if f.photo != "" {
				if seen, err = t.squareInPhoto(f, &r); err != nil {
					return err
				}
			}
			var p *quilt.Plan
			if f.pattern != "" {
				if p, err = t.readPlan(f.pattern); err != nil {
					return err
				}
			}
			s := calibrate.Square(r)
			if err := answer(t.out, f.asJSON, squareText(r, s, p, seen), squareJSON(s, seen)); err != nil {
				return err
			}
			if s.Verdict != calibrate.OK {
				return &answerNo{squareVerdict(s.Verdict)}
			}
			return nil
		},
	}
	c.Flags().StringVar(&f.size, "size", "", "the size that the square should have, as 12in")
	c.Flags().StringVar(&f.width, "width", "", "its width as measured, along the bottom")
	c.Flags().StringVar(&f.height, "height", "", "its height as measured, up the left side")
	c.Flags().StringVar(&f.diagonals, "diagonals", "", "its diagonals as measured, from the bottom-left corner and from the bottom-right, as 16 31/32,17")
	c.Flags().StringVar(&f.purpose, "for", "print", "what the square is to be true for: print, projector or cutter")
	c.Flags().StringVar(&f.reading, "reading", "", "how exactly you can read a length (1/32in, or 0.5mm where the size is metric)")
	c.Flags().StringVar(&f.photo, "photo", "", "photo of the mat with the projected square on it, as square.jpg")
	c.Flags().StringVar(&f.grid, "grid", photo.Grids()[0], "how far apart the printed lines in the photo are: "+strings.Join(photo.Grids(), ", "))
	c.Flags().StringVar(&f.pattern, "pattern", "", "pattern file: say what the error does to its diamonds and its quilt")
	c.Flags().BoolVar(&f.asJSON, "json", false, "for other programs, numbers not rounded")
	return c
}

func squareVerdict(v calibrate.Verdict) string {
	switch v {
	case calibrate.Off:
		return "the square is not true"
	case calibrate.Suspect:
		return "the readings of the square don't belong together"
	}
	return "the readings of the square can't be right"
}

// square reads the flags.
func (f squareFlags) square(c *cobra.Command) (calibrate.SquareReading, error) {
	var r calibrate.SquareReading
	var missing []string
	alone := false // the photo
	for _, one := range []struct{ name, text string }{{"size 12in", f.size}, {"width 12", f.width}, {"height 12", f.height}, {"diagonals 17,17", f.diagonals}} {
		if strings.TrimSpace(one.text) == "" {
			missing = append(missing, "--"+one.name)
		}
	}
	if f.photo != "" && slices.Equal(missing, []string{"--width 12", "--height 12", "--diagonals 17,17"}) {
		missing, alone = nil, true
	}
	if len(missing) > 0 {
		return r, usagef("%s needs all four lengths and the size; add %s with what you measured", c.CommandPath(), strings.Join(missing, " "))
	}
	var err error
	if r.Purpose, err = calibrate.ParsePurpose(f.purpose); err != nil {
		return r, usagef("--for: %v", err)
	}
	if f.photo != "" {
		if c.Flags().Changed("for") && r.Purpose != calibrate.ForProjector {
			return r, usagef("--for: a photo measures what a projector shows; leave --for out, or --photo")
		}
		r.Purpose = calibrate.ForProjector
	}
	r.Unit = unitOf(f.size)
	if alone {
		r.Nominal, err = parseLength("size", f.size, r.Unit)
		return r, err
	}
	reading := f.reading
	if reading == "" {
		reading = [...]string{"1/32in", "0.5mm"}[r.Unit]
	}
	part := ","
	if strings.Contains(f.diagonals, ";") {
		part = ";"
	}
	both := strings.Split(f.diagonals, part)
	if len(both) != 2 {
		return r, usagef("--diagonals: %q is not two lengths; write both with a comma between them, as 16 31/32,17 (decimals with a point)", f.diagonals)
	}
	for _, one := range []struct {
		name, text string
		to         *float64
	}{
		{"size", f.size, &r.Nominal}, {"width", f.width, &r.Width}, {"height", f.height, &r.Height},
		{"diagonals", both[0], &r.Diagonal1}, {"diagonals", both[1], &r.Diagonal2}, {"reading", reading, &r.Reading},
	} {
		if *one.to, err = parseLength(one.name, one.text, r.Unit); err != nil {
			return r, err
		}
	}
	if r.Reading == 0 {
		return r, usagef("--reading: nobody reads to %s; write how exactly you can, such as 1/32in", f.reading)
	}
	return r, nil
}

// unitOf returns centimetres for a length that is written in a metric unit.
func unitOf(text string) geometry.Unit {
	in, err1 := geometry.ParseLength(text, geometry.Inch)
	cm, err2 := geometry.ParseLength(text, geometry.Centimetre)
	named := err1 == nil && err2 == nil && in.In(geometry.Inch) == cm.In(geometry.Inch)
	// Only metric units have an m in their names: mm, cm, millimetres.
	if named && in.In(geometry.Inch) != 0 && strings.ContainsAny(text, "mM") {
		return geometry.Centimetre
	}
	return geometry.Inch
}

// The keys of calibrate square --json are a promise to other programs: add,
// never rename. Closure is in inches; what is undefined is null.
type jsonSquare struct {
	ScaleX  *float64 `json:"scale_x"`
	ScaleY  *float64 `json:"scale_y"`
	Skew    *float64 `json:"skew_degrees"`
	Closure *float64 `json:"closure"`
	Verdict string   `json:"verdict"`
	Advice  string   `json:"advice"`
	Photo   *inPhoto `json:"photo,omitempty"`
}

// inPhoto is what a photo shows of the square, in inches of the mat's own grid.
type inPhoto struct {
	Bottom    float64    `json:"bottom"`
	Right     float64    `json:"right"`
	Top       float64    `json:"top"`
	Left      float64    `json:"left"`
	Diagonals [2]float64 `json:"diagonals"`
	Sigma     float64    `json:"sigma"`
}

func squareJSON(s calibrate.SquareResult, seen *photo.Square) jsonSquare {
	var advice []string
	for _, a := range s.Advice {
		advice = append(advice, words.Sentence(a))
	}
	out := jsonSquare{known(s.ScaleX), known(s.ScaleY), known(s.SkewDegrees), known(s.Closure), string(s.Verdict), strings.Join(advice, " "), nil}
	if seen != nil {
		out.Photo = &inPhoto{seen.Bottom, seen.Right, seen.Top, seen.Left, [2]float64{seen.Rising, seen.Falling}, seen.Sigma}
	}
	return out
}

// squareText returns the answer as a quilter reads it; p is nil without a
// pattern, seen nil without a photo.
func squareText(r calibrate.SquareReading, s calibrate.SquareResult, p *quilt.Plan, seen *photo.Square) []byte {
	t := &text{unit: r.Unit}
	u := r.Unit
	length := func(v float64) string {
		v32 := v * 32
		if u == geometry.Inch && math.Abs(v32-math.Round(v32)) < 1e-9 {
			return calibrate.WriteReading(v, u) + " in" // 17/32 has no decimals behind it
		}
		return geometry.FormatLength(u.FromInches(v), u)
	}
	number := func(v float64, format string) string {
		if known(v) == nil {
			return "undefined"
		}
		return strings.Replace(fmt.Sprintf(format, v), "-0.000 in", "0.000 in", 1)
	}
	fmt.Fprintf(t, "A square of %s, %s\n", length(r.Nominal), [...]string{"printed", "projected", "cut"}[r.Purpose])
	t.section("Verdict: " + string(s.Verdict))
	for _, a := range s.Advice {
		t.paragraph("  -", words.Sentence(a))
	}
	t.section("As measured")
	t.row("width", "%s: %s of its size", length(r.Width), number(100*s.ScaleX, "%.2f %%"))
	t.row("height", "%s: %s of its size", length(r.Height), number(100*s.ScaleY, "%.2f %%"))
	t.row("diagonals", "%s from the bottom-left corner, %s from the bottom-right", length(r.Diagonal1), length(r.Diagonal2))
	t.row("corner", "%s at the bottom left, skew %s", number(90-s.SkewDegrees, "%.2f degrees"), number(s.SkewDegrees, "%+.2f degrees"))
	t.row("closure", "%s; readings that belong together stay within %s", number(s.Closure, "%.3f in"), number(s.ClosureLimit, "%.3f in"))
	if seen != nil {
		t.squareSeen(r, s, seen)
	}
	if p != nil {
		t.squareEffect(r, s, p)
	}
	return t.Bytes()
}
