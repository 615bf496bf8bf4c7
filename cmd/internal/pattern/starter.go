// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"regexp"
	"strconv"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Starter returns a pattern to begin with: a small quilt of two strips, with
// every key explained. Keys that may be left out stand behind a # that touches
// them; taking that one # away puts them to use.
func Starter(unit geometry.Unit) []byte {
	inches, centimetres := []string{}, []string{}
	for _, l := range [...]struct{ name, in, cm string }{
		{"UNIT", "in", "cm"},
		{"HOW", "2 1/2, 2.5 or 2 1/2 in; 6.5 cm works too", "6.5 or 65 mm; 2 1/2 in works too"},
		{"SEAM", "1/4", "0.75"},
		{"WIDE", "2 1/2", "6.5"},
		{"WOF", "40", "100"},
		{"FAT", "20 1/2", "52"},
		{"FINISH_W", "36", "90"},
		{"FINISH_H", "45", "115"},
		{"TRIM", "1/2", "1.5"},
		{"SEWN", "4 7/16", "11.4"},
		{"BORDER", "3 1/2", "9"},
		{"BACKING", "42", "108"},
		{"EXTRA", "4", "10"},
		{"BINDING", "2 1/2", "6.5"},
		{"JOIN", "10", "25"},
		{"STRAIGHTEN", "2", "5"},
		{"SHEET", "12x24in", "30x60cm"},
		{"MARGIN", "1/4", "0.5"},
		{"GAP", "1/8", "0.3"},
	} {
		inches = append(inches, "<"+l.name+">", l.in)
		centimetres = append(centimetres, "<"+l.name+">", l.cm)
	}
	if unit == geometry.Centimetre {
		inches = centimetres
	}
	return []byte(strings.NewReplacer(inches...).Replace(starter))
}

// StarterOfScraps returns [Starter] with the strips and fabrics of a quilt, which is as
// large as the scraps of a table beside the pattern make it.
func StarterOfScraps(s quilt.Spec, table string) []byte {
	text := string(Starter(s.Unit))
	strips, fabrics := "strips:", "fabrics:"
	for _, st := range s.Strips {
		strips += "\n  - {cut: " + plainLength(st.Cut, s.Unit) + ", fabric: " + quotedKey(st.Fabric) + "}"
	}
	for _, f := range s.Fabrics {
		fabrics += "\n  " + quotedKey(f.Key) + ": {}"
	}
	// Each part runs to the next empty line or note.
	for _, part := range [...][2]string{{"strips", strips}, {"fabrics", fabrics}, {"columns", ""}, {"rows", ""}, {"#scraps", "scraps: " + quoted(table, false)}} {
		at := regexp.MustCompile(`(?m)^` + part[0] + `:.*\n( .*\n)*`).FindStringIndex(text)
		if part[1] != "" {
			part[1] += "\n"
		}
		text = text[:at[0]] + part[1] + text[at[1]:]
	}
	return []byte(text)
}

// plainLength writes a length as a pattern has it: in its unit, and without it.
func plainLength(v float64, u geometry.Unit) string {
	if said, ok := strings.CutSuffix(geometry.FormatLength(v, u), " "+u.String()); ok {
		if back, err := geometry.ParseLength(said, u); err == nil && back.In(u) == v {
			return said
		}
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

const starter = `# A pattern: what you sew, in your own measurements.
# Everything behind a # is a note to yourself. A line such as
#     #angle: 60
# shows a setting that may be left out, with the value it then has or one you
# might want. Take away the # in front to change it.

# What the quilt is called.
name: Orchard in March

# Inches (in) or centimetres (cm), for every length below.
# Write lengths the way you say them: <HOW>.
unit: <UNIT>

# The strips of one strip set, in the order you sew them together. The first is
# the lowest: the one nearest you when the strip set lies on the mat.
# cut is the width you cut, before sewing; fabric is a name of your own.
strips:
  - {cut: <WIDE>, fabric: bark}
  - {cut: <WIDE>, fabric: blossom}

# How large the quilt is: diamonds side by side, and rows of them.
columns: 9
rows: 12
# Or say what it has to cover, instead of columns and rows; then the smallest
# quilt that does is made.
#finish: {width: <FINISH_W>, height: <FINISH_H>}
# Or begin with what is there, and leave the size out to see what that makes: so
# many strip sets as long as your fabric is wide,
#strip_sets: 12
# or a table of your scraps beside this file, with the columns fabric, name, color,
# width, length and count.
#scraps: my-scraps.csv

# What your fabrics are called, where they come from and their colours.
#   from: yardage        cut from the bolt, across its width
#         fat-quarters   add strip_length: <FAT>, the longest strip you get from one
#         strips         bought ready cut, by the strip
# Give one colour, or one for each print that you mix; strip sets take turns.
# A colour is a code, which needs its quotation marks, for a bare # begins a note;
# or one of the colour keywords of web pages, as teal; or a name of your own with
# either of them: {name: petal, color: "#f3d3dc"}.
fabrics:
  bark: {name: Bark brown, from: yardage, colors: "#5b4636"}
  blossom: {name: Blossom prints, colors: ["#f3d3dc", "#e9b4c4", "#d58fa6"]}

# ---- All of this may be left out ----

# Degrees between the crosscuts and the strips, 15 to 90. At 60, six diamonds
# meet in a star.
#angle: 60

# Your seam allowance.
#seam: <SEAM>

# matched cuts the sharp tips off, so that pieces meet edge to edge when you
# sew; sharp leaves them for you to trim.
#tips: matched

# Usable width of fabric (WOF), selvages off: the longest strip you can cut.
#usable_width: <WOF>

# zigzag    rows lean right and left in turn, and the colours climb
# chevron   the same, with the left-leaning diamonds turned: colours run across
# one-way   every diamond leans right
#setting: zigzag
# Or a layout of your own instead, laid again and again over the quilt, the top
# row first: R and L lean right and left, r and l are the same turned upside down.
# ` + "`lozenge new --layout list`" + ` names some to begin with.
#layout: [R L, L R]

# How the colours of a fabric lie over the quilt: shading from the dark end at
# the bottom up (gradient), mixed (scattered), or one colour a band (bands).
#color_order: gradient

# Edge triangles in the colours that they touch: as far as that takes no further
# strip set (thrifty), or all of them (matched).
#edges: thrifty

# true: sew each strip shifted along the one below, which wastes less at the
# ends.
#stagger: false

# true: cut right- and left-leaning pieces from the same strip set.
#mix_leans: false

# What you lose of each strip set when you square its end and find the angle
# again.
#end_trim: <TRIM>

# Extra pieces of each kind, in case.
#spare: 2

# Sewn and pressed your first strip set? Measure across it, raw edge to raw
# edge, and the cuts follow what you really have.
#sewn_width: <SEWN>

# Which side of the fabric lies up when you cut: up (the right side) or down.
#face: up

# How the edge triangles lie along top and bottom, at 60 degrees: bias lets the
# bands of colour run on into them; straight turns their strip edges outward,
# which does not stretch.
#edge_grain: bias

# Percent lost in the wash, and drawn in by the quilting.
#shrinkage: 3
#take_up: 2.5

# Borders, from the inside out. corners: butted or mitred.
#borders: [{cut: <BORDER>, fabric: bark, corners: butted}]

# Backing: the usable width of its fabric, and how far it reaches past the
# quilt on each side.
#backing: {usable_width: <BACKING>, extra: <EXTRA>}

# Binding: how wide the strips are cut, and how much more than once around the
# quilt for the corners and the join.
#binding: {cut: <BINDING>, extra: <JOIN>, joins: diagonal}

# What is lost of each length of fabric when you straighten the end that the shop
# cut.
#straighten: <STRAIGHTEN>

# Batting: how far it reaches past the quilt on each side.
#batting: {extra: <EXTRA>}

# For a booklet that others sew from: who designed the quilt, and a paragraph
# for its cover.
#designer: A quilter of your guild
#note: Begin with the darkest fabric, and lay it out by daylight.

# For a blade cutter: the size of its sheets, what to keep clear all round, the
# distance between rows, and what to cut from (strip-sets or pieces).
#cutter: {sheet: <SHEET>, margin: <MARGIN>, gap: <GAP>, from: strip-sets}
`
