// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"image"
	"io"
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
	grid, crosses string
}

func calibratePhotoCommand(t talk) *cobra.Command {
	f := photoFlags{solveFlags: solveFlags{lens: calibrate.LensAuto.String()}}
	c := &cobra.Command{
		Use:   "photo PICTURE --screen WxH",
		Short: "Calibrate from one photo of the mat with the crosses on it",
		Long: `photo reads where the crosses land from one photo, JPEG or PNG: nothing is typed.
Show the sheet of 'calibrate target --for photo' full screen and take the photo
from where the whole picture is seen: lights on, flash off, no zoom, held still.
The mat's own printed lines take the phone's lens and slant out; --grid says how
far apart they are. Fabric and rulers may lie about, not on crosses.

Which printed line is called 0 does not matter to the map; the answer says which
it took, and --shown draws everything that was found into the photo. A photo that
won't do is refused, with what to do; then nothing is written. The mat's own scale
can't be seen in a photo: measure the check square with a steel rule before you
cut.

Lengths in --json are inches, with the keys of 'calibrate solve'.`,
		Example: `  lozenge calibrate photo mat.jpg --screen 1920x1080 -o projector.json
  lozenge calibrate photo mat.jpg --screen 1920x1080 --grid 1cm --shown found.png --map map.svg`,
		Args: needs(1, 1, "the one photo, as mat.jpg"),
		RunE: func(c *cobra.Command, args []string) error {
			s, u, err := f.read(c)
			if err != nil {
				return err
			}
			return t.photo(args[0], s, u, f)
		},
	}
	f.projectorFlags.flags(c, "of the answer")
	c.Flags().StringVar(&f.grid, "grid", "1in", "how far apart the mat's printed lines are: "+strings.Join(photo.Grids(), ", "))
	c.Flags().StringVar(&f.shown, "shown", "", "file for the photo with everything that was found drawn in, as found.png")
	c.Flags().StringVar(&f.crosses, "crosses", photo.UsualCrosses.String(), "columns and rows of crosses, as the sheet was made")
	f.files(c)
	return c
}

func (t talk) photo(path string, s calibrate.Screen, u geometry.Unit, f photoFlags) error {
	o := photo.Options{Screen: s}
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
	im, err := photographAt(path, t.in)
	if err != nil {
		return err
	}
	found, err := photo.Read(im, o)
	var refused *photo.Refusal
	switch {
	case errors.As(err, &refused):
		return &answerNo{fmt.Sprintf("%s: %s%s", path, refused.Text, f.notWritten())}
	case err != nil:
		return usagef("--screen: %v", err)
	}
	r := calibrate.Solve(found.Readings(), s, calibrate.Options{Unit: u})
	var more []namedFile
	if f.shown != "" {
		more = append(more, namedFile{f.shown, func(w io.Writer) error { return photograph.WriteShown(w, im, found, r) }})
	}
	return t.solved(path, r, u, f.solveFlags, photoText(found, u), more)
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
