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
	metric := 0
	if c.unit == geometry.Centimetre {
		metric = 1
	}
	f.section("HEADER", func() {
		// First of all: without it a reader takes the file for R12
		// (tarikjabiri/js-dxf#3).
		f.tags(9, "$ACADVER", 1, version, 9, "$DWGCODEPAGE", 3, "ANSI_1252", 9, "$INSBASE", 10, 0.0, 20, 0.0, 30, 0.0,
			9, "$EXTMIN", 10, c.extents.Min.X, 20, c.extents.Min.Y, 30, 0.0,
			9, "$EXTMAX", 10, c.extents.Max.X, 20, c.extents.Max.Y, 30, 0.0,
			9, "$LIMMIN", 10, c.page.Min.X, 20, c.page.Min.Y,
			9, "$LIMMAX", 10, c.page.Max.X, 20, c.page.Max.Y,
			9, "$LTSCALE", 40, 1.0, 9, "$TEXTSTYLE", 7, textStyle,
			9, "$LUNITS", 70, 2, 9, "$LUPREC", 70, 4, // decimal
			9, "$MEASUREMENT", 70, metric, 9, "$INSUNITS", 70, c.insUnit)
		last()
	})
}

const textStyle = "Standard"

// dashes returns the line and the gap of the dashed line type. The library's
// own are of a length for inches, invisible in a metric drawing.
func (c *content) dashes() (dash, gap float64) {
	return c.length(0.125, 0.3), c.length(0.0625, 0.15)
}
