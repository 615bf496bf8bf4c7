// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Options are what the reader was told.
type Options struct {
	Square float64     // nominal side of the calibration square in inches, 0 when not told
	Unit   Unit        // of the report, and of a file that states none; "" when not told
	Plan   *quilt.Plan // whose pieces the outlines should be, or nil
}

// Verdict is the answer.
type Verdict string

// The verdicts.
const (
	True     Verdict = "true"
	NotTrue  Verdict = "not true"
	Unproven Verdict = "unproven"  // there is nothing to prove it by
	PageOnly Verdict = "page only" // it is a picture: nothing is cut from it
)

// Report is what is known of a file. Lengths are in inches, or the file's own
// when Unit is NoUnit; print them with [Unit.Of].
type Report struct {
	Format        Format
	Unit          Unit
	Width, Height float64         // of the first page
	Square        *MeasuredSquare // the one that is farthest off, or nil
	Closed, Open  int             // cut outlines and cut lines
	Overlaps      int             // pairs of cut lines that run along each other
	// PartlyCompared says that there may be more such pairs: there were too
	// many lines to compare all.
	PartlyCompared bool
	Pieces         []MatchedPiece // with a plan
	Verdict        Verdict
	Reasons        []string

	mirrored bool // by the labels of its diamonds
	bent     int  // outlines like a piece's with a side that is not straight
	bentMost float64
	unseen   bool // some of it can't be seen
	odd      bool // what is called the calibration square is none
}

// OK reports whether the file may be used as it is.
func (r *Report) OK() bool { return r.Verdict == True || r.Verdict == PageOnly }

func (r *Report) say(format string, a ...any) {
	r.Reasons = append(r.Reasons, fmt.Sprintf(format, a...))
}

// no is a reason against.
func (r *Report) no(format string, a ...any) {
	r.say(format, a...)
	r.Verdict = NotTrue
}

// Judge measures the drawing. Without a plan it judges the calibration square,
// whether sides that should be straight are, and whether the drawing is a mirror
// image; all else is only reported. A file that states no unit is not proven;
// with a plan its pieces tell what its numbers must be.
func (d *Drawing) Judge(o Options) *Report {
	if d.Unit != NoUnit || o.Unit != "" {
		return d.judge(o)
	}
	r := d.judge(o)
	for _, u := range [...]Unit{Inch, Centimetre, Millimetre} {
		o.Unit = u
		as := d.judge(o)
		if as.Verdict == True {
			as.Reasons = append([]string{fmt.Sprintf("true to size if its numbers are %s: the file itself states no unit, so say so with --unit %s", u.name(), u)}, as.Reasons...)
			as.Verdict = Unproven
			if o.Plan != nil {
				return as // its pieces tell the unit
			}
			r.Reasons = append(r.Reasons, as.Reasons[0])
		}
	}
	return r
}

func (d *Drawing) judge(o Options) *Report {
	r := &Report{Format: d.Format, Unit: d.reportUnit(o)}
	if d.Unit == NoUnit && o.Unit != "" {
		d = d.in(o.Unit)
	}
	d, u := d.seen()
	r.unseen = u.any()
	if len(d.Pages) > 0 {
		r.Width, r.Height = d.Pages[0].Width, d.Pages[0].Height
	}
	cut := d.isCut()
	var m *matcher
	if o.Plan != nil && d.Unit != NoUnit {
		m = newMatcher(o.Plan)
	}
	var squares []*MeasuredSquare
	missing, cutLines := 0, 0
	for i := range d.Pages {
		page := &d.Pages[i]
		outlines, left := page.outlines(cut, d.Roles)
		r.Open += len(left)
		metric := r.Unit == Centimetre || r.Unit == Millimetre
		found, odd := page.squares(outlines, d.Roles)
		q := page.choose(found, o.Square, metric)
		r.odd = r.odd || odd
		if q != nil && q.part && q.off() <= Tolerance(q.Nominal) {
			q = nil // it would prove what it does not show
		}
		if q == nil {
			missing++
		} else {
			squares = append(squares, q)
		}
		pieces, joined := cutOutlines(page, outlines, cut, q)
		r.Closed += len(pieces)
		r.bending(pieces)
		cutLines += len(pieces) + len(left)
		r.overlapping(page, cut, q)
		if m != nil {
			m.match(page, pieces, joined, left, q)
		} else if d.Format == DXF && d.Roles {
			r.judgeLabels(page, pieces)
		}
	}
	for _, q := range squares {
		if r.Square == nil || q.off() > r.Square.off() {
			r.Square = q
		}
	}
	r.judgeSquare(d, o, cutLines, missing)
	r.judgeUnseen(u)
	r.judgeMirror(d)
	r.judgeBent()
	if m != nil {
		r.judgePieces(m, d)
	}
	if d.Unit == NoUnit {
		r.judgeUnitless()
	} else if d.Pixels {
		r.pixelReadings(d)
	}
	if d.Doubt != "" {
		r.say("%s", d.Doubt)
		if r.Verdict == True {
			r.Verdict = Unproven
		}
	}
	r.Reasons = append(r.Reasons, d.Notes...)
	return r
}

func (d *Drawing) reportUnit(o Options) Unit {
	switch {
	case o.Unit != "":
		return o.Unit
	case d.Unit == NoUnit:
		return NoUnit
	case o.Plan != nil && o.Plan.Spec.Unit == geometry.Centimetre:
		return Centimetre
	case o.Plan != nil:
		return Inch
	}
	return d.Unit
}

// in returns a drawing that states no unit as it is when its numbers are in
// u.
func (d *Drawing) in(u Unit) *Drawing {
	out := *d
	out.Unit, out.Pages = u, make([]Page, len(d.Pages))
	k := u.Inches()
	for i, p := range d.Pages {
		p.Width, p.Height = p.Width*k, p.Height*k
		p.Paths, p.Texts = slices.Clone(p.Paths), slices.Clone(p.Texts)
		for j := range p.Paths {
			path := &p.Paths[j]
			path.Points = slices.Clone(path.Points)
			for n := range path.Points {
				path.Points[n] = path.Points[n].Mul(k)
			}
		}
		for j := range p.Texts {
			p.Texts[j].At = p.Texts[j].At.Mul(k)
		}
		out.Pages[i] = p
	}
	return &out
}

// cutOutlines returns the outlines that are cut, without the calibration
// square, and which of them were joined of loose lines.
func cutOutlines(page *Page, outlines []outline, cut func(*Path) bool, q *MeasuredSquare) (out []geometry.Polygon, joined []bool) {
	for _, o := range outlines {
		if page.toCut(o, cut, q) {
			out = append(out, o.points)
			joined = append(joined, o.path < 0)
		}
	}
	return out, joined
}

func (p *Page) toCut(o outline, cut func(*Path) bool, q *MeasuredSquare) bool {
	if o.path < 0 {
		return o.role == Cut && (q == nil || q.path >= 0 || o.points.Bounds() != q.corners.Bounds())
	}
	return cut(&p.Paths[o.path]) && p.Paths[o.path].Hidden == "" && (q == nil || o.path != q.path)
}

// bending counts the outlines of which a side should be straight and is not: all
// sides of a piece are. A round thing has no corners, and what bends as much as
// a letter is no side that a program bent.
func (r *Report) bending(outlines []geometry.Polygon) {
	for _, g := range outlines {
		c, bent := corners(g)
		if bent <= Tolerance(4) || len(c) < 3 {
			continue
		}
		longest := 0.0
		for _, s := range c.Sides() {
			longest = max(longest, s.B.Sub(s.A).Len())
		}
		if bent < longest/4 {
			r.bent++
			r.bentMost = max(r.bentMost, bent)
		}
	}
}

func (r *Report) judgeBent() {
	if r.bent > 0 && r.Verdict != PageOnly {
		r.no("%s not straight: a side lies up to %s off the straight line between its corners, and every side of a piece is straight. Likely cause: a program made curves of lines, or smoothed or rounded them",
			countOf(r.bent, r.Closed), r.Unit.Format(r.bentMost))
	}
}

// overlapping counts cut lines that run along each other.
func (r *Report) overlapping(page *Page, cut func(*Path) bool, q *MeasuredSquare) {
	n := 0
	for i := range page.Paths {
		n += len(page.Paths[i].Points)
	}
	segments := make([]geometry.Segment, 0, min(n, maxSegments))
	for i := range page.Paths {
		if path := &page.Paths[i]; cut(path) && path.Hidden == "" && (q == nil || q.path != i) {
			segments = path.edges(segments)
		}
		if len(segments) > maxSegments {
			r.PartlyCompared = true
			r.say("there are too many cut lines to look for those that overlap")
			return
		}
	}
	pairs, ok := overlaps(segments)
	r.Overlaps += pairs
	if !ok {
		r.PartlyCompared = true
		r.say("there are too many cut lines side by side to look for all that overlap")
	}
}

func (r *Report) judgeSquare(d *Drawing, o Options, cutLines, missing int) {
	q := r.Square
	switch {
	case d.Screen:
		r.Verdict = PageOnly
		r.Square = nil
		r.say("this is a picture in the pixels of a projector: only on the mat has it a size; measure its square there (lozenge calibrate square)")
		return
	case q == nil && r.odd:
		r.no("what the file calls its calibration square is none: it doesn't have four corners")
		return
	case q == nil && d.Roles && cutLines == 0 && o.Square == 0 && !r.unseen:
		r.Verdict = PageOnly
		r.say("nothing is cut from this file and it has no calibration square: only its page was measured")
		return
	case q == nil:
		r.Verdict = Unproven
		r.say("there is no calibration square, so nothing proves the scale")
		return
	}
	r.Verdict = True
	if missing > 0 && len(d.Pages) > 1 {
		r.say("%d of %d pages have no calibration square", missing, len(d.Pages))
	}
	if q.guessed {
		r.say("nothing says how large the square is; %s was %s", r.Unit.Format(q.Nominal), q.source)
	}
	if q.off() <= Tolerance(q.Nominal) || d.Unit == NoUnit {
		return
	}
	for _, reason := range q.why(r.Unit) {
		r.no("%s", reason)
	}
	r.overTheQuilt(q, o.Plan)
}

// overTheQuilt says what the error makes over a whole quilt.
func (r *Report) overTheQuilt(q *MeasuredSquare, p *quilt.Plan) {
	sx, sy := q.Width/q.Nominal, q.Height/q.Nominal
	if p != nil {
		w, h := p.Spec.Unit.Inches(p.Finished.Width), p.Spec.Unit.Inches(p.Finished.Height)
		var parts []string
		for _, axis := range [...]struct {
			size, factor float64
			way          string
		}{{w, sx, "across"}, {h, sy, "up"}} {
			if off := math.Abs(axis.size * (axis.factor - 1)); off > Tolerance(4) {
				parts = append(parts, fmt.Sprintf("%s too %s %s", r.Unit.Format(off), largeSmall(axis.factor), axis.way))
			}
		}
		if len(parts) > 0 {
			r.say("over the quilt of %s by %s that makes %s", r.Unit.Format(w), r.Unit.Format(h), words.List(parts))
		}
		return
	}
	worst := sx
	if math.Abs(sy-1) > math.Abs(sx-1) {
		worst = sy
	}
	const bed = 60 // inches, a lap quilt's longer side
	if math.Abs(bed*(worst-1)) < Tolerance(4) {
		return // it is bent, not large or small
	}
	r.say("over a quilt of %s that makes %s too %s", r.Unit.Format(bed), r.Unit.Format(math.Abs(bed*(worst-1))), largeSmall(worst))
}

func largeSmall(factor float64) string {
	if factor < 1 {
		return "small"
	}
	return "large"
}

// judgeMirror looks at the lettering: where most of it is mirrored, so is the
// drawing.
func (r *Report) judgeMirror(d *Drawing) {
	if r.mirrored {
		r.no("the drawing is mirrored: the diamonds called right-leaning are drawn left-leaning. Likely cause: it was flipped for the wrong side of the fabric, or a program took y the other way")
	}
	texts, mirrored := 0, 0
	for i := range d.Pages {
		for _, t := range d.Pages[i].Texts {
			texts++
			if t.Mirrored {
				mirrored++
			}
		}
	}
	if mirrored*2 > texts {
		r.no("the lettering is mirrored, and so is the drawing: right-leaning pieces would come out left-leaning. Likely cause: it was flipped for the wrong side of the fabric, or a program took y the other way")
	}
}

// judgeLabels compares the diamonds of a DXF with the leans that their labels
// give them: a mirrored DXF keeps its lettering readable. Turned and mirrored
// look alike, so only a file in which all are wrong is called mirrored.
func (r *Report) judgeLabels(page *Page, outlines []geometry.Polygon) {
	flip := 1.0
	for _, t := range page.Texts {
		if strings.Contains(strings.ToLower(t.Value), "wrong side up") {
			flip = -1
			break
		}
	}
	right, wrong := 0, 0
	for i, l := range page.labels(outlines) {
		if !l.named || !strings.Contains(strings.ToLower(l.value), "leaning diamond") {
			continue
		}
		mid, lean := outlines[i].Middle(), 0.0
		for _, p := range outlines[i] {
			lean += flip * (p.X - mid.X) * (p.Y - mid.Y)
		}
		if (lean > 0) == (l.lean == geometry.Right) {
			right++
		} else {
			wrong++
		}
	}
	if wrong > 0 && right == 0 {
		r.mirrored = true
	}
}

// shown returns what a reading is given of: the square, or what there is.
func (r *Report) shown(whole string) (what string, size float64) {
	if q := r.Square; q != nil {
		return "the calibration square", q.Width
	}
	return whole, r.Width
}

// judgeUnitless gives the readings of a file that states no unit.
func (r *Report) judgeUnitless() {
	r.Verdict = Unproven
	what, width := r.shown("the drawing")
	size := NoUnit.Format(width)
	r.say("the file states no unit: %s is %s in, %s cm or %s mm wide; say which it is with --unit in, cm or mm", what, size, size, size)
}

// pixelReadings says what a drawing in pixels measures for programs that
// count otherwise.
func (r *Report) pixelReadings(d *Drawing) {
	if d.Screen {
		return
	}
	what, size := r.shown("the page")
	r.say("the size is given in pixels, which programs read in three ways: %s is %s wide at 96 pixels to an inch, %s at 90, %s at 72; save it in inches or millimetres",
		what, r.Unit.Format(size), r.Unit.Format(size*96/90), r.Unit.Format(size*96/72))
}
