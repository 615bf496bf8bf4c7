// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// cause is a factor by which files go wrong, and why.
type cause struct {
	factor float64
	name   string // the factor as one speaks of it, or ""
	why    string
}

// causes come first to last: where two lie close, the first that fits.
var causes = []cause{
	{72. / 96, "72/96", "numbers in points, 72 to an inch, were taken for pixels, 96 to an inch"},
	{96. / 72, "96/72", "numbers in pixels, 96 to an inch, were taken for points, 72 to an inch"},
	{90. / 96, "90/96", "pixels of 90 to an inch, as older drawing programs count, were taken for pixels of 96 to an inch"},
	{96. / 90, "96/90", "pixels of 96 to an inch were taken for pixels of 90 to an inch, as older drawing programs count"},
	{72. / 90, "72/90", "numbers in points, 72 to an inch, were taken for pixels, 90 to an inch"},
	{90. / 72, "90/72", "numbers in pixels, 90 to an inch, were taken for points, 72 to an inch"},
	{25.4, "25.4 times", "the file counts in millimetres and was taken for inches"},
	{1 / 25.4, "1/25.4", "the file counts in inches and was taken for millimetres"},
	{2.54, "2.54 times", "the file counts in centimetres and was taken for inches"},
	{1 / 2.54, "1/2.54", "the file counts in inches and was taken for centimetres"},
	{10, "10 times", "millimetres were taken for centimetres"},
	{0.1, "1/10", "centimetres were taken for millimetres"},
	{12, "12 times", "inches were taken for feet"},
	{1. / 96, "1/96", "numbers in inches were taken for pixels, 96 to an inch: the unit was lost"},
	{25.4 / 96, "25.4/96", "numbers in millimetres were taken for pixels, 96 to an inch: the unit was lost"},
	{2.54 / 96, "2.54/96", "numbers in centimetres were taken for pixels, 96 to an inch: the unit was lost"},
	{1. / 72, "1/72", "numbers in inches were taken for points, 72 to an inch: the unit was lost"},
	{25.4 / 72, "25.4/72", "numbers in millimetres were taken for points, 72 to an inch: the unit was lost"},
	{2.54 / 72, "2.54/72", "numbers in centimetres were taken for points, 72 to an inch: the unit was lost"},
	{1000 / 25.4, "39.37 times", "the file counts in thousandths of an inch and was taken for millimetres"},
	{2, "2 times", "a program or a person doubled it"},
	{0.5, "1/2", "a program or a person halved it"},
	{297 / 25.4 / 11, "", "a letter page was enlarged to the height of an A4 page"},
	{11 * 25.4 / 297, "", "an A4 page was shrunk to the height of a letter page"},
	{8.5 * 25.4 / 210, "", "an A4 page was enlarged to the width of a letter page"},
	{210 / 25.4 / 8.5, "", "a letter page was shrunk to the width of an A4 page"},
}

// near is how close a factor must be to be named: a file that went through
// programs keeps at least four digits.
const near = 0.001

// named reports whether a factor is one by which programs go wrong.
func named(factor float64) bool {
	return slices.ContainsFunc(causes, func(c cause) bool { return c.name != "" && math.Abs(factor/c.factor-1) <= near })
}

// explain returns a factor as it is spoken of and its likely cause.
func explain(factor float64) (name, why string) {
	percent := percentage(factor)
	for _, c := range causes {
		if math.Abs(factor/c.factor-1) <= near {
			if c.name == "" {
				return percent, c.why
			}
			return c.name + " (" + percent + ")", c.why
		}
	}
	switch {
	case factor >= 0.85 && factor < 1:
		return percent, "a print dialog shrank the page to fit (print at 100 %, not \"fit to page\")"
	case factor > 1 && factor <= 1.15:
		return percent, "a print dialog or a program enlarged the page to fit"
	}
	return percent, "the drawing was scaled, by hand or on import"
}

func percentage(factor float64) string {
	text := strconv.FormatFloat(100*factor, 'f', 2, 64)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".") + " %"
}

// why says what is wrong with a square that is off, in sentences.
func (q *MeasuredSquare) why(unit Unit) []string {
	sx, sy := q.Width/q.Nominal, q.Height/q.Nominal
	size := unit.Format(q.Width)
	if unit.Format(q.Width) != unit.Format(q.Height) {
		size += " by " + unit.Format(q.Height)
	}
	measures := fmt.Sprintf("the calibration square measures %s instead of %s", size, unit.Format(q.Nominal))
	var out []string
	apart := math.Abs(sx/sy - 1)
	switch {
	case apart > 0.0005:
		nameX, whyX := explain(sx)
		nameY, whyY := explain(sy)
		s := fmt.Sprintf("%s: it is stretched, %s of its width and %s of its height, so it does not fit even when it is scaled back. Likely cause: width and height were changed each by itself (lock the proportions, or the file says preserveAspectRatio none)", measures, nameX, nameY)
		if apart > 0.2 && math.Abs(sx-1) > near && math.Abs(sy-1) > near {
			s += "; across, " + whyX + "; up, " + whyY
		}
		out = append(out, s)
	case math.Abs(sx-1) > 1e-6 && math.Abs(q.side()-q.Nominal) > Tolerance(q.Nominal)/4:
		name, why := explain((sx + sy) / 2)
		out = append(out, fmt.Sprintf("%s: everything is at %s. Likely cause: %s", measures, name, why))
	}
	if d := q.Diagonals; math.Abs(d[0]-d[1]) > Tolerance(q.Nominal)/2 {
		out = append(out, fmt.Sprintf("its diagonals measure %s and %s: it is sheared and no longer has right angles. Likely cause: the drawing was slanted, or one side of it was dragged",
			unit.Format(d[0]), unit.Format(d[1])))
	}
	if s := q.Sides; math.Abs(s[0]-s[2]) > Tolerance(q.Nominal) || math.Abs(s[1]-s[3]) > Tolerance(q.Nominal) {
		out = append(out, fmt.Sprintf("its sides measure %s, %s, %s and %s: opposite sides differ, as in a photograph taken at a slant",
			unit.Format(s[0]), unit.Format(s[1]), unit.Format(s[2]), unit.Format(s[3])))
	}
	if q.Bent > Tolerance(q.Nominal) {
		out = append(out, fmt.Sprintf("its sides are not straight: they lie up to %s off the straight lines between its corners. Likely cause: a program made curves of lines, or smoothed or rounded them", unit.Format(q.Bent)))
	}
	if len(out) == 0 {
		out = append(out, measures)
	}
	return out
}
