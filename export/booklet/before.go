// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// sewn reports whether strips are sewn into strip sets.
func (c *composer) sewn() bool { return len(c.spec().Strips) > 1 }

// set is what is cut across: a strip set, or a single strip.
func (c *composer) set() string { return words.StripSet(c.spec()) }

// onRuler reports whether rulers have a line at the angle: 30, 45 and 60
// degrees are usual.
func onRuler(a geometry.Angle) bool { return a == 30 || a == 45 || a == 60 || a == 90 }

// before says what to know before the first cut.
func (c *composer) before() {
	s := c.spec()
	c.chapter("before", "Before you begin", 1)
	first := "Read this booklet through once before you cut anything. Then cut and sew one test piece, measure it against the figures here, and only then cut the rest."
	if len(c.sizes) > 1 {
		first += fmt.Sprintf(" Choose your size in %s and mark its column in every table; all else is the same for all sizes", c.ref("sizes"))
		if len(c.groups) > 1 {
			first += fmt.Sprintf(", but for the widths of strips and pieces, which stand in %s", c.ref("measures"))
		}
		first += "."
	}
	c.para(say(first))

	c.sub("need", "What you need")
	c.bullet(say(fmt.Sprintf("Fabric, batting, backing and binding: %s on %s.", c.ref("buy"), c.ref("fabric"))))
	ruler := fmt.Sprintf("a long ruler with a line at %s", degrees(s.Angle))
	if !onRuler(s.Angle) {
		ruler = fmt.Sprintf("a long ruler; few have a line at %s, so tape a line at that angle to the underside of yours, laid over the printed template (%s)", degrees(s.Angle), c.ref("templates0"))
	}
	c.bullet(say("A rotary cutter with a sharp blade, a cutting mat, and " + ruler + "."))
	c.bullet(say("A sewing machine with a guide for a seam of " + c.length(s.Seam) + ", thread, pins, a seam ripper, an iron, spray starch."))
	c.bullet(say("A design wall: batting or flannel on a wall, to which pieces cling. A clear floor or bed does as well."))
	c.bullet(say(fmt.Sprintf("The templates and the strip gauge from %s on, printed at 100%s%% and measured: see %s.", c.ref("templates0"), words.Hard, c.ref("printing"))))

	c.work()

	c.sub("words", "Words")
	if c.sewn() {
		c.bullet(text{"Strip set.", "Strips sewn together along their long edges, then cut across as if they were one cloth. The first strip is the one nearest you; in the drawings the seams are dashed."})
	}
	c.bullet(text{"Cut and finished.", fmt.Sprintf("A cut size includes the seam allowance of %s on every side. A finished size is what shows once all seams are sewn.", c.length(s.Seam))})
	c.bullet(text{"Lean.", fmt.Sprintf("Lay the %s right side up with %s nearest you. Where the cuts run up to the right, the pieces lean right; where they run up to the left, they lean left. One is the mirror image of the other: turning a piece round does not make one of the other.", c.set(), map[bool]string{true: "the first strip", false: "one long edge"}[c.sewn()])})
	c.bullet(text{"Diamond.", "What lies between two cuts of the same lean."})
	triangle := "Half a diamond, cut across its short way. Edge triangles close the quilt's top and bottom. "
	if lower, upper := words.WideSide(s, geometry.LowerTriangle), words.WideSide(s, geometry.UpperTriangle); c.sewn() && lower != upper {
		triangle += fmt.Sprintf("Each is named by the fabric on its wide side: %s or %s.", lower, upper)
	} else {
		triangle += "Its base is the cut across; its wide side lies on the edge of the " + c.set() + "."
	}
	c.bullet(text{"Edge triangle.", triangle})
	if s.Tips == geometry.Matched {
		c.bullet(text{"Tip.", "A sharp corner. It is cut straight across (blunted), so that raw ends meet when two pieces are sewn together."})
	} else {
		c.bullet(text{"Tip, dog ear.", "A tip is a sharp corner. Here tips stay sharp; what stands out past a seam once it is sewn is a dog ear, and is trimmed."})
	}
	c.bullet(text{"On the grain, bias.", "Along a strip and square to it fabric lies on the grain and hardly stretches. An edge cut at any other angle is bias, and does: handle it little."})
	c.row(c.leanFigure(geometry.Right), c.leanFigure(geometry.Left))

	c.sub("care", "Take care")
	care := []text{
		{"Rotary cutter.", "Close the blade after every cut, cut away from your body, keep the other hand behind the ruler's edge and your eyes on the blade, and keep it from children. Retire dull blades in a box."},
		{"Iron and starch.", "Plate and steam burn: mind your fingers, set the iron on its rest, and switch it off when you leave. Let fresh air in when you spray."},
		{"Machine and pins.", "Keep fingers clear of the needle, never sew over pins, and count the pins back into their box."},
	}
	if slices.ContainsFunc(c.sizes, func(s Size) bool { return s.Wanted.Name == "crib" }) {
		care = append(care, text{"Babies.", "Loose bedding does not belong where a baby sleeps. Keep a crib quilt for play and for show, and ask your health service what it advises."})
	}
	c.bullets(append(care, say("The instructions of the makers of your tools, and the rules where you live, stand above anything said here.")))
}

// work says how long the seams are, how much thread they take, and how many cuts there
// are across the strip sets.
func (c *composer) work() {
	t := c.newTable("work", "How much work it is", 2.9)
	of := func(label string, say func(quilt.Work) string) {
		t.each(label, func(p *quilt.Plan) string { return say(p.Work()) })
	}
	length := func(v float64) string { return words.Held(words.SeamLength(v, c.unit)) }
	of("Length of all seams", func(w quilt.Work) string { return length(w.Length()) })
	of("Thread for them, three times as long", func(w quilt.Work) string { return length(w.Thread) })
	of(fmt.Sprintf("Cuts across the %s", words.Noun(2, c.set())), func(w quilt.Work) string { return fmt.Sprint(w.Crosscuts) })
	c.table(t)
}

// leanFigure shows two diamonds and an edge triangle of one lean on their
// strip set, right side up.
func (c *composer) leanFigure(lean geometry.Lean) *figure {
	p := c.p
	row := rowOf(p, lean, "DDL")
	edge := 0.25 * p.Set.Width
	bounds := geometry.Rect{Min: geometry.Point{X: -edge}, Max: geometry.Point{X: row.Length + edge, Y: p.Set.Width}}
	f := fit(bounds, (c.room()-0.3)/2, 1.6, margins{low: 0.2, high: 0.02, left: 0.01, right: 0.01})
	return f.as("lean "+lean.String(), fmt.Sprintf("%s: cuts run up to the %s.", words.Capital(words.LeanOf(lean)), lean), func(d *pen) {
		d.cutRow(p, row, bounds)
		for i, pl := range row.Pieces {
			d.label(geometry.Point{X: row.Piece(i).Outline.Middle().X}, below, words.Shape(pl.Shape))
		}
	})
}
