// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"fmt"
	"image/color"
)

// Recolour replaces the colour of every fill and text.
func (d *Drawing) Recolour(to func(color.RGBA) color.RGBA) error {
	change := func(s *string) error {
		if *s == "" {
			return nil
		}
		c, err := RGB(*s)
		if err == nil {
			c = to(c)
			*s = fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
		}
		return err
	}
	for i := range d.Fills {
		if err := change(&d.Fills[i].Colour); err != nil {
			return err
		}
	}
	for i := range d.Texts {
		if err := change(&d.Texts[i].Colour); err != nil {
			return err
		}
	}
	return nil
}
