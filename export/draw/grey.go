// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"fmt"

	"lozenge/geometry/colour"
)

// Grey replaces the colour of every fill and text by the grey that is as light.
func (d *Drawing) Grey() error {
	grey := func(s *string) error {
		if *s == "" {
			return nil
		}
		c, err := RGB(*s)
		if err == nil {
			v := colour.Grey(colour.RGB{c.R, c.G, c.B})
			*s = fmt.Sprintf("#%02x%02x%02x", v[0], v[1], v[2])
		}
		return err
	}
	for i := range d.Fills {
		if err := grey(&d.Fills[i].Colour); err != nil {
			return err
		}
	}
	for i := range d.Texts {
		if err := grey(&d.Texts[i].Colour); err != nil {
			return err
		}
	}
	return nil
}
