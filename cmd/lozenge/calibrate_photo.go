// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/cmd/internal/problem"
	"lozenge/export/photograph"
	"lozenge/export/words"
	"lozenge/geometry"
)

// photoFlags are the flags of calibrate photo.
type photoFlags struct {
	solveFlags
	grid, crosses, wide string
}

func calibratePhotoCommand(t talk) *cobra.Command {
	f := photoFlags{solveFlags: solveFlags{lens: calibrate.LensAuto.String()}}
	c := &cobra.Command{
		Use:   "photo PICTURE [BEFORE] --screen WxH",
		Short: "Calibrate from one photo of the mat with the crosses on it",
		Long: `photo reads where the crosses land from one photo, JPEG or PNG: nothing is typed.
Show the sheet of 'calibrate target --for photo' full screen and take the photo
from where the whole picture is seen: lights on, flash off, no zoom, held still.
The mat's own printed lines take the phone's lens and slant out; --grid says how
far apart they are. Fabric and rulers may lie about, not on crosses.

Which printed line is called 0 does not matter to the map; the answer says which
it took, and --shown draws everything that was found into the photo. A photo that
won't do is refused, with what to do; then nothing is written. The mat's own scale
can't be seen in a photo, nor what is changed after it, keystone or zoom say:
measure the check square with a steel rule before you cut ('calibrate square'),
and after any change take a second photo and name it too: it is compared.

Inches, half inches and centimetres are told apart by the small marks beside the
lines. A photo too small to show them needs --wide.

Lengths in --json are inches, with the keys of 'calibrate solve'.`,
		Example: `  lozenge calibrate photo mat.jpg --screen 1920x1080 -o projector.json
  lozenge calibrate photo mat.jpg --screen 1920x1080 --grid 1cm --shown found.png --map map.svg`,
		Args: needs(1, 2, "the photo, as mat.jpg, and perhaps an earlier one to compare it with"),
		RunE: func(c *cobra.Command, args []string) error {
			s, u, err := f.read(c)
			if err != nil {
				return err
			}
			return t.photo(args, s, u, f)
		},
	}
	f.projectorFlags.flags(c, "of the answer")
	c.Flags().StringVar(&f.grid, "grid", "1in", "how far apart the mat's printed lines are: "+strings.Join(photo.Grids(), ", "))
	c.Flags().StringVar(&f.wide, "wide", "", "how wide the picture is on the mat, within a tenth, as 32in: where the photo does not show the lines' small marks")
	c.Flags().StringVar(&f.shown, "shown", "", "file for the photo with everything that was found drawn in, as found.png")
	c.Flags().StringVar(&f.crosses, "crosses", photo.UsualCrosses.String(), "columns and rows of crosses, as the sheet was made")
	f.files(c)
	return c
}

func (t talk) photo(paths []string, s calibrate.Screen, u geometry.Unit, f photoFlags) error {
	o := photo.Options{Screen: s}
	path := paths[0]
	err := f.check(path)
	if err != nil {
		return err
	}
	if o.Step, o.Fine, err = photo.ParseGrid(f.grid); err != nil {
		return usagef("--grid: %v", err)
	}
	if o.Crosses, err = calibrate.ParseGrid(f.crosses); err != nil {
		return usagef("--crosses: %v", err)
	}
	if f.wide != "" {
		wide, err := parseLength("wide", f.wide, u)
		if err != nil {
			return err
		}
		if o.Wide = wide; !(wide > 0) {
			return usagef("--wide: %q is no width of a picture; measure it on the mat and write 32in, say", f.wide)
		}
	}
	im, found, err := t.crossesAt(path, o, f)
	if err != nil {
		return err
	}
	more := photoText(found, u)
	for _, before := range paths[1:] {
		_, other, err := t.crossesAt(before, o, f)
		if err != nil {
			return err
		}
		more = append(more, compared(before, photo.Apart(other, found), u))
	}
	r := calibrate.Solve(found.Readings(), s, calibrate.Options{Unit: u})
	var files []namedFile
	if f.shown != "" {
		files = append(files, namedFile{f.shown, func(w io.Writer) error { return photograph.WriteShown(w, im, found, r) }})
	}
	return t.solved(path, r, u, f.solveFlags, more, files)
}

// crossesAt finds the crosses in a photo.
func (t talk) crossesAt(path string, o photo.Options, f photoFlags) (*image.Gray, *photo.Found, error) {
	im, err := photographAt(path, t.in)
	if err != nil {
		return nil, nil, err
	}
	found, err := photo.Read(im, o)
	var refused *photo.Refusal
	switch {
	case errors.As(err, &refused):
		hint := ""
		if refused.Rule == photo.WhichGrid {
			hint = "; or measure how wide the picture is on the mat and say so, as --wide 32in"
		}
		return nil, nil, &answerNo{fmt.Sprintf("%s: %s%s%s", path, refused.Text, hint, f.notWritten())}
	case err != nil:
		return nil, nil, usagef("--screen: %v", err)
	}
	return im, found, nil
}

// stillThere is how far the crosses of two photos may lie apart, in inches, and
// nothing have moved: what a photo may be off by, twice.
const stillThere = 1. / 64

// compared says what two photos tell of one another.
func compared(before string, apart float64, u geometry.Unit) string {
	if apart <= stillThere {
		return fmt.Sprintf("The crosses of %s lie within %s of these: nothing has moved between the two photos.", before, words.Small(apart, u))
	}
	if math.IsInf(apart, 1) {
		return fmt.Sprintf("%s has no cross in common with this photo.", before)
	}
	return fmt.Sprintf("The crosses of %s lie up to %s from these: between the two photos the projector or the mat was moved, or keystone or zoom changed. This calibration is that of the first photo named.", before, words.Small(apart, u))
}

// notWritten says which files a refused photo leaves unwritten.
func (f photoFlags) notWritten() string {
	for _, name := range []string{f.keep, f.picture, f.shown} {
		if name != "" {
			return "; nothing is written"
		}
	}
	return ""
}

// photographAt reads a photo; "-" is standard input.
func photographAt(path string, in io.Reader) (*image.Gray, error) {
	name, data, err := problem.Read(path, in, photograph.MostBytes, "; name the photo of the mat")
	if err != nil {
		return nil, err
	}
	im, err := photograph.Decode(data)
	var wrong *photograph.Error
	if errors.As(err, &wrong) {
		return nil, problem.List{{File: name, Message: wrong.Message, Hint: wrong.Hint}}
	}
	return im, err
}

// photoText says what was found in the photo.
func photoText(f *photo.Found, u geometry.Unit) []string {
	out := []string{
		fmt.Sprintf("%s of %d were found; printed lines fit within %.2f pixels of the photo.", words.Count(len(f.Crosses), "cross"), len(f.Crosses)+len(f.Missing), f.Spread),
		fmt.Sprintf("x is counted from the printed line just left of all crosses, y from the one just below, as the picture itself has left and below; both lines are called 0, and lines are %s apart.", words.Length(f.Step, u)),
	}
	if f.Missing != nil {
		out = append(out, fmt.Sprintf("Not to be read: %s.", calibrate.Crosses(f.Missing)))
	}
	return out
}
