// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/png"
	"lozenge/export/sheet"
	"lozenge/export/svg"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func pictureCommand(t talk) *cobra.Command {
	var o output
	var asPNG, labels, grey bool
	var dpi int
	var letters lettering
	c := &cobra.Command{
		Use:   "picture PATTERN",
		Short: "Draw the finished quilt in colour (SVG or PNG)",
		Long: `picture draws the finished, squared-up quilt in the fabrics' colours. It fits a
page of paper; it is not at true size. --png, or a name that ends in .png, draws
pixels instead of an SVG, at the resolution that --dpi gives.

--labels writes on every diamond and edge triangle the number of the strip set
that it is cut from, as the plan counts them; hang it beside the design wall. The
paper is then as large as that takes.

--grey draws each colour as the grey that is as light: what runs together in it
runs together from across the room.`,
		Example: `  lozenge picture my-quilt.yaml -o picture.svg
  lozenge picture my-quilt.yaml --grey -o grey.svg
  lozenge picture my-quilt.yaml --labels -o labels.svg
  lozenge picture my-quilt.yaml --png --dpi 200 -o picture.png`,
		Args: onePattern,
		RunE: func(c *cobra.Command, args []string) error {
			asPNG = asPNG || !c.Flags().Changed("png") && strings.EqualFold(filepath.Ext(o.path), ".png")
			if err := checkDPI(c, asPNG, dpi); err != nil {
				return err
			}
			if letters.path != "" && !asPNG {
				return usagef("--font is for a picture of pixels, the SVG leaves letters to the program that shows it; add --png")
			}
			if err := letters.read(); err != nil {
				return err
			}
			p, err := t.readPlan(args[0])
			if err != nil {
				return err
			}
			if asPNG {
				p = t.inLetters(p, letters, "the picture", false)
			}
			s := sheet.Picture(p)
			if labels {
				var ok bool
				if s, ok = sheet.LabelledPicture(p); !ok {
					return &answerNo{tooShort(p)}
				}
			}
			if grey {
				if err := sheet.Grey(s); err != nil {
					return err
				}
			}
			if asPNG {
				if err := png.Check(dpi, s); err != nil {
					return usagef("--dpi: %v", err)
				}
				return o.save(t, "picture.png", pngOf(s, dpi, letters), args[0], letters.path)
			}
			return o.save(t, "picture.svg", svgOf(s), args[0])
		},
	}
	pngFlags(c, &asPNG, &dpi, "draw pixels instead of an SVG")
	letters.flag(c, ", with --png")
	c.Flags().BoolVar(&grey, "grey", false, "draw the quilt by lightness alone")
	c.Flags().BoolVar(&labels, "labels", false, "write on every piece which strip set it is cut from")
	o.flags(c, "picture.svg")
	return c
}

func matCommand(t talk) *cobra.Command {
	var o output
	var framed matFrames
	var flat bool
	c := &cobra.Command{
		Use:   "mat PATTERN --calibration FILE --out DIR | --flat",
		Short: "Draw the cut lines for a projector, or at true size (SVG)",
		Long: `mat --calibration draws the cut lines of every strip set for a calibrated
projector above the mat: one SVG a frame, in the screen's pixels, to be shown full
screen at 100 %. A strip set is longer than the picture: each frame says how far to
slide it and shows where the edge of the last cut goes. Measure the check square
before you cut. --strips draws the lines for cutting the strips from folded fabric.

mat --flat draws one strip set of each lean at true size, every cut line numbered
in cutting order, with the seams of the strip set and a calibration square. Show
it at true size and measure the square before you cut.`,
		Example: `  lozenge mat my-quilt.yaml --calibration projector.json --out frames
  lozenge mat my-quilt.yaml --calibration projector.json --strips --out frames
  lozenge mat my-quilt.yaml --flat -o mat.svg`,
		Args: onePattern,
		RunE: func(c *cobra.Command, args []string) error {
			look, err := framed.check(c, flat)
			if err != nil {
				return err
			}
			if !flat {
				return t.drawFrames(framed, look, args[0], o.force)
			}
			p, err := t.readPlan(args[0])
			if err != nil {
				return err
			}
			s, err := matSheet(p)
			if err != nil {
				return err
			}
			return o.save(t, "mat.svg", svgOf(s), args[0])
		},
	}
	c.Flags().BoolVar(&flat, "flat", false, "at true size, for a sheet of paper or a screen that shows true size")
	framed.flags(c)
	o.flags(c, "mat.svg")
	return c
}

// matSheet returns the mat drawing, or the answer that no strip set is long
// enough.
func matSheet(p *quilt.Plan) (*draw.Drawing, error) {
	s, ok := sheet.Mat(p)
	if !ok {
		return nil, &answerNo{tooShort(p)}
	}
	return s, nil
}

func tooShort(p *quilt.Plan) string {
	one := p.Set.Piece(geometry.Diamond, geometry.Right).Outline.Bounds().Width()
	return fmt.Sprintf("strip sets %s long are too short for the pieces that are needed: one diamond takes %s; use longer strips or narrower ones",
		geometry.FormatLength(p.Yield.Length, p.Spec.Unit), geometry.FormatLength(one, p.Spec.Unit))
}

func pngFlags(c *cobra.Command, asPNG *bool, dpi *int, what string) {
	c.Flags().BoolVar(asPNG, "png", false, what)
	c.Flags().IntVar(dpi, "dpi", 150, "pixels to an inch of paper, with --png")
}

func checkDPI(c *cobra.Command, asPNG bool, dpi int) error {
	if c.Flags().Changed("dpi") && !asPNG {
		return usagef("--dpi is for a picture of pixels; add --png")
	}
	if dpi < png.MinDPI || dpi > png.MaxDPI {
		return usagef("--dpi %d is not within %d to %d pixels an inch", dpi, png.MinDPI, png.MaxDPI)
	}
	return nil
}

func pngOf(s *draw.Drawing, dpi int, letters lettering) func(io.Writer) error {
	return func(w io.Writer) error { return png.Write(w, s, dpi, letters.Fonts) }
}

func svgOf(s *draw.Drawing) func(io.Writer) error {
	return func(w io.Writer) error { return svg.Write(w, s) }
}

// svgDrawn returns what draws and writes, so that a drawing of many pieces is
// there no longer than that takes.
func svgDrawn(draw func() *draw.Drawing) func(io.Writer) error {
	return func(w io.Writer) error { return svg.Write(w, draw()) }
}

func dxfOf(s *draw.Drawing) func(io.Writer) error {
	return func(w io.Writer) error { return dxf.Write(w, s) }
}
