// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"math"
	"strconv"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/geometry"
)

func calibrateCommand(t talk) *cobra.Command {
	c := &cobra.Command{
		Use:   "calibrate",
		Short: "Find out where a projector's light lands on the mat, and how exactly",
		Long: `calibrate measures the projector above your mat. 'calibrate target' makes a sheet
of numbered crosses to show; 'calibrate photo' finds them in one photo of the mat,
or you read on the mat where each lands and 'calibrate solve' works out the rest.
Both say how far off a cut line may be. 'calibrate
check' tells from two or three crosses whether it is still so the next day, or
after a bump. 'calibrate square' judges a square that you measured: projected,
printed or cut.`,
		Example: `  lozenge calibrate target --screen 1920x1080 -o target.svg
  lozenge calibrate photo mat.jpg --screen 1920x1080 -o projector.json
  lozenge calibrate solve target.csv --screen 1920x1080 -o projector.json
  lozenge calibrate square --size 12in --width 12 --height "11 31/32" --diagonals "17,16 15/16" --for projector`,
		SuggestionsMinimumDistance: 2,
		Args:                       noCommand,
		RunE:                       func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(calibrateTargetCommand(t), calibratePhotoCommand(t), calibrateSolveCommand(t), calibrateCheckCommand(t), calibrateSquareCommand(t))
	return c
}

// projectorFlags are the size of the projected picture, and the unit of lengths
// that name none and of what is said.
type projectorFlags struct{ screen, unit string }

func (f *projectorFlags) flags(c *cobra.Command, unit string) {
	c.Flags().StringVar(&f.screen, "screen", "", "the projector's own resolution in pixels, as 1920x1080")
	c.Flags().StringVar(&f.unit, "unit", "in", unit+": in or cm")
}

func (f projectorFlags) read(c *cobra.Command) (s calibrate.Screen, u geometry.Unit, err error) {
	if f.screen == "" {
		return s, u, usagef("%s needs the projector's own resolution; add --screen 1920x1080 (its menu or the computer's display settings show it)", c.CommandPath())
	}
	if s, err = calibrate.ParseScreen(f.screen); err != nil {
		return s, u, usagef("--screen: %v", err)
	}
	for _, u := range []geometry.Unit{geometry.Inch, geometry.Centimetre} {
		if f.unit == u.String() {
			return s, u, nil
		}
	}
	return s, u, usagef("--unit: %q is no unit here; write in or cm", f.unit)
}

// parseLength reads a length on the command line, in inches.
func parseLength(flag, text string, u geometry.Unit) (float64, error) {
	l, err := geometry.ParseLength(text, u)
	var wrong *geometry.LengthError
	switch {
	case errors.As(err, &wrong):
		return 0, usagef("--%s: %q: %s; %s", flag, text, wrong.Reason, wrong.Hint)
	case err != nil:
		return 0, usagef("--%s: %v", flag, err)
	}
	v := l.In(geometry.Inch)
	if v < 0 {
		return 0, usagef("--%s: %s is below 0; lengths are measured from end to end", flag, text)
	}
	return v, nil
}

// within writes an error, in inches, as what it stays within: 1/32 in, or 0.8
// mm.
func within(inches float64, u geometry.Unit) string {
	switch {
	case math.IsNaN(inches) || inches > 1e6:
		return "unknown"
	case u == geometry.Centimetre:
		return strconv.FormatFloat(math.Ceil(max(0, u.FromInches(inches)*100-1e-9))/10, 'f', -1, 64) + " mm"
	}
	// A hair of rounding does not make another 1/64.
	return geometry.FormatFraction(math.Ceil(max(0, inches*64-1e-9))/64, 64) + " in"
}

// readTo is how exactly she is asked to read.
func readTo(u geometry.Unit) string { return [...]string{"1/32 in", "1/2 mm"}[u] }
