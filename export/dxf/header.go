// SPDX-License-Identifier: Apache-2.0

package dxf

import "lozenge/geometry"

// header writes the HEADER section of any version: the library's knows
// neither $MEASUREMENT nor $DWGCODEPAGE nor the limits, and its extents
// always hold the origin. last adds the variables of one version.
//
// $INSUNITS came with AC1015; it stands in the older forms too, since readers
// that find none take the drawing to be in metres, and those that do not know
// a variable skip it.
func (c *content) header(f *formatter, version string, last func()) {
	point := func(name string, coords ...float64) {
		f.WriteString(9, name)
		for i, v := range coords {
			f.WriteFloat(10*(i+1), v)
		}
	}
	number := func(name string, code, v int) {
		f.WriteString(9, name)
		f.WriteInt(code, v)
	}
	text := func(name string, code int, v string) {
		f.WriteString(9, name)
		f.WriteString(code, v)
	}
	metric := 0
	if c.unit == geometry.Centimetre {
		metric = 1
	}
	f.WriteString(0, "SECTION")
	f.WriteString(2, "HEADER")
	// First of all: without it a reader takes the file for R12
	// (tarikjabiri/js-dxf#3).
	text("$ACADVER", 1, version)
	text("$DWGCODEPAGE", 3, "ANSI_1252")
	point("$INSBASE", 0, 0, 0)
	point("$EXTMIN", c.extents.Min.X, c.extents.Min.Y, 0)
	point("$EXTMAX", c.extents.Max.X, c.extents.Max.Y, 0)
	point("$LIMMIN", c.page.Min.X, c.page.Min.Y)
	point("$LIMMAX", c.page.Max.X, c.page.Max.Y)
	f.WriteString(9, "$LTSCALE")
	f.WriteFloat(40, 1)
	text("$TEXTSTYLE", 7, textStyle)
	number("$LUNITS", 70, 2) // decimal
	number("$LUPREC", 70, 4)
	number("$MEASUREMENT", 70, metric)
	number("$INSUNITS", 70, c.insUnit)
	last()
	f.WriteString(0, "ENDSEC")
}

const textStyle = "Standard"

// dashes returns the line and the gap of the dashed line type. The library's
// own are of a length for inches, invisible in a metric drawing.
func (c *content) dashes() (dash, gap float64) {
	return c.length(0.125, 0.3), c.length(0.0625, 0.15)
}
