// SPDX-License-Identifier: Apache-2.0

package sewing_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// edgeKey names a straight edge by its two ends, whichever way it runs.
type edgeKey [2][2]int64

func keyOf(a, b geometry.Point, unit float64) edgeKey {
	at := func(p geometry.Point) [2]int64 {
		return [2]int64{int64(math.Round(p.X / unit)), int64(math.Round(p.Y / unit))}
	}
	k := edgeKey{at(a), at(b)}
	if k[1][0] < k[0][0] || k[1][0] == k[0][0] && k[1][1] < k[0][1] {
		k[0], k[1] = k[1], k[0]
	}
	return k
}

// owner is an edge of a piece: the piece, and what the edge is, read off the
// piece as it lies in the strip, not as the sewing order has it.
type owner struct {
	column, row int
	grain       float64
	strip       bool // lies along the strip
	base        bool
}

// enumerate lists every edge of every finished piece in its place, with all the
// pieces that have it: the lattice counted out edge by edge, without its
// formulas.
func enumerate(p *quilt.Plan) map[edgeKey][]owner {
	out := map[edgeKey][]owner{}
	for _, pl := range p.Pieces {
		st, at := p.Standing(pl), p.Centre(pl)
		flat := st.Piece.Finished // the same corners, in the strip
		for i, a := range st.Finished {
			j := (i + 1) % len(flat)
			dir := flat[j].Sub(flat[i])
			grain := math.Abs(math.Atan2(dir.Y, dir.X)) * 180 / math.Pi
			grain = min(grain, 180-grain)
			k := keyOf(a.Add(at), st.Finished[j].Add(at), 1e-6*p.Set.FinishedWidth())
			out[k] = append(out[k], owner{
				column: pl.Column, row: pl.Row, grain: grain, strip: grain < 1e-9,
				// A base is the one side of an edge triangle that is neither: at 60
				// degrees it is as long as the others, but leans the other way.
				base: pl.Shape != geometry.Diamond && math.Abs(dir.Len()-p.Set.ShortDiagonal()) < 1e-9*dir.Len() && grain > 1e-9 &&
					(dir.X*dir.Y > 0) == (pl.Lean == geometry.Left),
			})
		}
	}
	return out
}

// Law: the seams are the edges that two finished pieces have in common, each
// once; no edge has three owners; an edge with one owner lies on the rim. The
// grain and the kind that a seam states are those of the two pieces' own edges.
func TestSeamsAreTheSharedEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		o := sewing.New(p)
		edges := enumerate(p)
		inner := 0
		for k, owners := range edges {
			switch len(owners) {
			case 1:
			case 2:
				inner++
			default:
				t.Fatalf("edge %v has %d owners", k, len(owners))
			}
		}
		if len(o.Seams) != inner {
			t.Fatalf("%d seams, %d edges with two sides", len(o.Seams), inner)
		}
		seen := map[edgeKey]bool{}
		kinds := make([]int, len(o.SeamKinds))
		for _, s := range o.Seams {
			k := &o.SeamKinds[s.Kind]
			kinds[s.Kind]++
			var key edgeKey
			for side, e := range k.Edges {
				pc := o.Pieces[s.Pieces[side]]
				at := p.Centre(pc.Placement)
				this := keyOf(e.Line.A.Add(at), e.Line.B.Add(at), 1e-6*p.Set.FinishedWidth())
				if side == 1 && this != key {
					t.Fatalf("the sides of a seam lie at %v and %v", key, this)
				}
				key = this
			}
			if seen[key] {
				t.Fatalf("seam %v twice", key)
			}
			seen[key] = true
			owners := edges[key]
			if len(owners) != 2 {
				t.Fatalf("seam %v has %d sides", key, len(owners))
			}
			for side, e := range k.Edges {
				pc := o.Pieces[s.Pieces[side]]
				own := owners[0]
				if own.column != pc.Column || own.row != pc.Row {
					own = owners[1]
				}
				if own.column != pc.Column || own.row != pc.Row {
					t.Fatalf("seam of %+v lies between %+v", pc, owners)
				}
				if math.Abs(own.grain-e.Grain) > 1e-7 || own.strip != (e.Kind == geometry.StripEdge) || own.base != (e.Kind == geometry.Base) {
					t.Fatalf("edge %v of %+v: stated %v at %v degrees, is %+v", key, pc, e.Kind, e.Grain, own)
				}
				if e.Bias() != (own.grain > 1e-7 && own.grain < 90-1e-7) {
					t.Fatalf("bias %v at %v degrees", e.Bias(), own.grain)
				}
			}
		}
		for i, n := range kinds {
			if o.SeamKinds[i].Seams != n {
				t.Fatalf("kind %d says %d seams, has %d", i, o.SeamKinds[i].Seams, n)
			}
		}
	})
}

// Law: where only one of two edges is bias it lies underneath; nothing else is
// said of edges that stretch alike.
// Source of the rule: http://www.thimblegarden.com/blog/archives/01-2017 and
// http://quiltingbibliophagist.blogspot.com/2008/01/step-1-what-ive-learned.html
// (the bias or stretchier edge underneath, against the feed).
func TestBiasLiesUnderneath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := sewing.New(mustPlan(t, drawSpec(t)))
		for _, k := range o.SeamKinds {
			a, b := k.Edges[0].Bias(), k.Edges[1].Bias()
			switch {
			case a && !b && k.Under != 0, b && !a && k.Under != 1, !a && !b && k.Under != sewing.Either:
				t.Fatalf("bias %v and %v: %d underneath", a, b, k.Under)
			case math.Abs(k.Edges[0].Grain-k.Edges[1].Grain) < 1e-9 && k.Under != sewing.Either:
				t.Fatalf("both at %v degrees: %d underneath", k.Edges[0].Grain, k.Under)
			}
		}
	})
}

// Within a diagonal row of zigzag and chevron one edge is bias and one straight;
// between rows likewise, the bias edge changing sides from seam to seam. One-way
// sews bias to bias within rows and straight to straight between them. At 90
// degrees every crosscut lies on the grain. All by hand from how diamonds stand
// (a right-leaning one has its strip edges lower right and upper left, a
// left-leaning one lower left and upper right, upside down or not).
func TestGrainOfEachSetting(t *testing.T) {
	for _, setting := range settings {
		for _, angle := range []float64{30, 45, 60, 75, 90} {
			for _, strips := range []int{1, 2, 3} {
				cuts := []float64{3, 2, 2.5}[:strips]
				o := sewing.New(mustPlan(t, spec(cuts, 0.25, angle, setting, 4, 5)))
				within, between := 1, 1
				if setting == quilt.OneWay {
					within, between = 2, 0
				}
				if angle == 90 {
					within, between = 0, 0
				}
				for _, k := range o.SeamKinds {
					want := between
					if k.Within {
						want = within
					}
					if k.Bias() != want {
						t.Errorf("%v at %v degrees, %d strips: %d bias edges, want %d (within a row: %v)", setting, angle, strips, k.Bias(), want, k.Within)
					}
				}
				for _, j := range o.Joins {
					if j.Number < 2 {
						continue
					}
					if got, want := j.Changes(), setting != quilt.OneWay && angle != 90; got != want {
						t.Errorf("%v at %v degrees: the bias edge changes sides: %v, want %v", setting, angle, got, want)
					}
					if d := j.Bias[0] - j.Bias[1]; d < -1 || d > 1 {
						t.Errorf("%v at %v degrees: %v bias edges of %d; they should alternate", setting, angle, j.Bias, j.Number)
					}
				}
			}
		}
	}
}

// With straight-grain edges the triangles lie strip edge outward: both edges by
// which an edge triangle is sewn on are bias, at 60 degrees.
func TestStraightEdgeGrain(t *testing.T) {
	for _, setting := range settings {
		s := spec([]float64{3, 3}, 0.25, 60, setting, 4, 5)
		s.EdgeGrain = quilt.Straight
		o := sewing.New(mustPlan(t, s))
		for i := range o.Kinds {
			k := &o.Kinds[i]
			for _, e := range k.Edges {
				if k.Piece.Shape != geometry.Diamond && (e.Side == sewing.Outer) == e.Bias() {
					t.Errorf("%v: the %v edge of an edge triangle is a %v at %v degrees", setting, e.Side, e.Kind, e.Grain)
				}
			}
		}
		seams := 0
		for _, k := range o.SeamKinds {
			for i, e := range k.Edges {
				if o.Kinds[k.Kinds[i]].Piece.Shape != geometry.Diamond {
					seams++
					if !e.Bias() || k.Bias() == 1 && k.Under != i {
						t.Errorf("%v: an edge triangle is sewn on by a %v at %v degrees, side %d underneath", setting, e.Kind, e.Grain, k.Under)
					}
				}
			}
		}
		if seams == 0 {
			t.Error("no edge triangle is sewn on")
		}
	}
}

// Law: with matched tips raw ends lie on each other, e past the seam; with sharp
// ones the sharp tip of a diamond overhangs the wide corner of another by
// 2a/tan(angle): 0.289, 0.500 and 0.866 in at 60, 45 and 30 degrees with 1/4 in
// seams: what lies on the seam line must line up, not the raw edges
// (https://www.canuckquilter.com/2023/04/; the figures are arithmetic).
func TestTipsMatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		p := mustPlan(t, s)
		o := sewing.New(p)
		for i := range o.SeamKinds {
			k := &o.SeamKinds[i]
			for end := range 2 {
				d := k.Overhang(end)
				if s.Tips == geometry.Matched {
					for _, e := range k.Edges {
						if d != 0 || math.Abs(e.Past[end]-p.Set.PastSeam()) > 1e-9 {
							t.Fatalf("%v past the seam, overhang %v, want %v", e.Past, d, p.Set.PastSeam())
						}
					}
					continue
				}
				tips := k.Edges[0].Tip(end) != k.Edges[1].Tip(end)
				for _, j := range k.Kinds {
					tips = tips && o.Kinds[j].Piece.Shape == geometry.Diamond
				}
				if want := 2 * s.Seam / s.Angle.Tan(); tips && math.Abs(math.Abs(d)-want) > 1e-9 {
					t.Fatalf("a sharp tip overhangs by %v, want %v", d, want)
				}
			}
		}
	})
	for angle, want := range map[float64]float64{60: 0.289, 45: 0.5, 30: 0.866} {
		s := spec([]float64{2, 2}, 0.25, angle, quilt.Zigzag, 3, 3)
		s.Tips = geometry.Sharp
		o := sewing.New(mustPlan(t, s))
		found := false
		for i := range o.SeamKinds {
			d := math.Abs(o.SeamKinds[i].Overhang(0))
			found = found || math.Abs(d-want) < 5e-4
		}
		if !found {
			t.Errorf("at %v degrees no overhang of %v", angle, want)
		}
	}
}

// Law: the rows hold every piece once, as many rows as the plan counts, labels
// never twice; a row's pieces stand one above the other; a lone row is one edge
// triangle.
func TestRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		o := sewing.New(p)
		if len(o.Rows) != p.SewingRows {
			t.Fatalf("%d rows, the plan counts %d", len(o.Rows), p.SewingRows)
		}
		placed := map[[2]int]bool{}
		labels := map[string]bool{}
		next := 0
		for i, r := range o.Rows {
			if r.First != next || r.Number < 1 {
				t.Fatalf("row %d begins at %d, not %d", i, r.First, next)
			}
			next += r.Number
			diamonds := 0
			for j := r.First; j < next; j++ {
				pc := o.Pieces[j]
				if pc.In != i || pc.Place != j-r.First+1 || pc.DiagonalRow() != r.Diagonal || pc.Row != o.Pieces[r.First].Row+pc.Place-1 {
					t.Fatalf("%+v in row %+v", pc, r)
				}
				placed[[2]int{pc.Column, pc.Row}] = true
				labels[o.Label(j)] = true
				if pc.Shape == geometry.Diamond {
					diamonds++
				}
			}
			if diamonds != r.Diamonds || r.Lone != (diamonds == 0) || r.Lone && r.Number != 1 {
				t.Fatalf("row %+v has %d diamonds", r, diamonds)
			}
		}
		if next != len(p.Pieces) || len(placed) != next || len(labels) != next {
			t.Fatalf("%d pieces, %d places, %d labels of %d", next, len(placed), len(labels), len(p.Pieces))
		}
	})
}

// Law: a row's run of diamonds measures what its finished pieces do square to
// their seams, and a seam allowance more at each raw end; one with two raw ends
// what the plan's check says of as many diamonds.
func TestRowsMeasure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		o := sewing.New(p)
		checks := map[int]float64{}
		for _, c := range p.Checks() {
			checks[c.Pieces] = c.Length
		}
		// Square to the seams within rows, which climb to the left.
		normal := geometry.Point{X: p.RowStep, Y: p.ColumnStep / 2}
		normal = normal.Mul(1 / normal.Len())
		for _, r := range o.Rows {
			if r.Lone {
				continue
			}
			low, high := math.Inf(1), math.Inf(-1)
			for _, pc := range o.Pieces[r.First : r.First+r.Number] {
				if pc.Shape != geometry.Diamond {
					continue
				}
				for _, v := range p.Standing(pc.Placement).Finished.Move(p.Centre(pc.Placement)) {
					low, high = min(low, normal.Dot(v)), max(high, normal.Dot(v))
				}
			}
			want := high - low + float64(2-(r.Number-r.Diamonds))*p.Set.Seam
			if math.Abs(r.Length-want) > 1e-9*(1+want) {
				t.Fatalf("row %s measures %v, want %v", r.Letters, r.Length, want)
			}
			if check, ok := checks[r.Diamonds]; ok && r.RawEnds == 2 && math.Abs(check-r.Length) > 1e-9*(1+check) {
				t.Fatalf("row %s measures %v, the plan says %v", r.Letters, r.Length, check)
			}
		}
	})
}

// Law: the joins put rows together that lie side by side and are whole by then,
// each seam between rows once, until all are one; no join is longer than the
// last; lone triangles come first; before the last the two parts differ by no
// more pieces than a row with its lone triangles has.
func TestJoins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := sewing.New(mustPlan(t, drawSpec(t)))
		block := make([][2]int, len(o.Rows)) // the block that each row is part of
		for i := range block {
			block[i] = [2]int{i, i}
		}
		between := map[int]bool{}
		seams := 0
		for i, j := range o.Joins {
			for side, rows := range j.Rows {
				if block[rows[0]] != rows || block[rows[1]] != rows {
					t.Fatalf("join %d: side %d is %v, but rows %d and %d are parts of %v and %v", i, side, rows, rows[0], rows[1], block[rows[0]], block[rows[1]])
				}
			}
			if j.Rows[0][1]+1 != j.Rows[1][0] || between[j.Rows[0][1]] {
				t.Fatalf("join %d of rows that lie apart, or again: %v", i, j.Rows)
			}
			between[j.Rows[0][1]] = true
			for r := j.Rows[0][0]; r <= j.Rows[1][1]; r++ {
				block[r] = [2]int{j.Rows[0][0], j.Rows[1][1]}
			}
			for k := j.First; k < j.First+j.Number; k++ {
				seams++
				for side, pc := range o.Seams[k].Pieces {
					if o.Pieces[pc].In != j.Rows[side][1-side] {
						t.Fatalf("join %d sews row %d", i, o.Pieces[pc].In)
					}
				}
				if k > j.First { // one after the other, upward
					if o.Pieces[o.Seams[k].Pieces[1]].Place != o.Pieces[o.Seams[k-1].Pieces[1]].Place+1 {
						t.Fatalf("join %d has a gap in its seam", i)
					}
				}
			}
			lone := o.Rows[j.Rows[0][0]].Lone && j.Rows[0][0] == j.Rows[0][1] || o.Rows[j.Rows[1][1]].Lone && j.Rows[1][0] == j.Rows[1][1]
			if (j.Round == 0) != lone || i > 0 && j.Round < o.Joins[i-1].Round {
				t.Fatalf("join %d in round %d: %v", i, j.Round, j.Rows)
			}
			if o.JoinAfter(j.Rows[0][1]) != i {
				t.Fatalf("join %d is not where it is looked for", i)
			}
		}
		if len(o.Joins) != len(o.Rows)-1 || block[0] != [2]int{0, len(o.Rows) - 1} {
			t.Fatalf("%d joins of %d rows leave %v", len(o.Joins), len(o.Rows), block[0])
		}
		within := 0
		for _, r := range o.Rows {
			within += r.Number - 1
		}
		if within+seams != len(o.Seams) {
			t.Fatalf("%d seams within rows and %d between, of %d", within, seams, len(o.Seams))
		}
		pieces := func(rows [2]int) (n int) {
			for _, r := range o.Rows[rows[0] : rows[1]+1] {
				n += r.Number
			}
			return n
		}
		most := 0
		for _, r := range o.Rows {
			most = max(most, r.Number+2)
		}
		last := o.Joins[len(o.Joins)-1]
		for i, j := range o.Joins {
			if d := pieces(j.Rows[0]) - pieces(j.Rows[1]); j.Round > 0 && i < len(o.Joins)-1 && (d > most || d < -most) {
				t.Fatalf("join %d of %d and %d pieces", i, pieces(j.Rows[0]), pieces(j.Rows[1]))
			}
			if j.Number > last.Number || math.Abs(j.Length-float64(j.Number)*o.Side) > 1e-9*j.Length {
				t.Fatalf("join %d has %d seams, the last %d", i, j.Number, last.Number)
			}
		}
	})
}

// Law: what falls away when the sides are squared up is, for a diamond, half its
// width and what its raw corner reaches past the finished one, a/cos(angle/2),
// less the seam allowance that stays.
func TestFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		s.Rows = max(s.Rows, 2) // on the right a single row of diamonds ends at the notch
		p := mustPlan(t, s)
		o := sewing.New(p)
		want := p.ColumnStep/2 + s.Seam/(s.Angle/2).Cos() - s.Seam
		for i, got := range o.Falls {
			if got < want-1e-9 || s.Tips == geometry.Matched && got > want+1e-9 {
				t.Fatalf("side %d: %v falls away, want %v", i, got, want)
			}
		}
	})
}

// Law: the piles hold every piece once, in each pieces of one kind from one strip
// set, strip sets in order.
func TestPiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := sewing.New(mustPlan(t, drawSpec(t)))
		seen := map[int]bool{}
		last := -1
		for _, pile := range o.Piles() {
			if pile.StripSet < last || len(pile.Pieces) == 0 {
				t.Fatalf("pile %+v after strip set %d", pile, last)
			}
			last = pile.StripSet
			for i, pc := range pile.Pieces {
				if o.Pieces[pc].StripSet != pile.StripSet || o.Pieces[pc].Lean != pile.Lean || o.Pieces[pc].Shape != pile.Shape || seen[pc] || i > 0 && pc < pile.Pieces[i-1] {
					t.Fatalf("piece %d in pile %+v", pc, pile)
				}
				seen[pc] = true
			}
		}
		if len(seen) != len(o.Pieces) {
			t.Fatalf("%d of %d pieces in piles", len(seen), len(o.Pieces))
		}
	})
}

// Law: letters count as a spreadsheet's columns do, without I and O.
func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "A", 7: "H", 8: "J", 12: "N", 13: "P", 23: "Z", 24: "AA", 47: "AZ", 48: "BA", 24*25 - 1: "ZZ", 24 * 25: "AAA"} {
		if got := sewing.Letters(i); got != want {
			t.Errorf("row %d is %s, want %s", i, got, want)
		}
	}
	last := ""
	for i := range 20000 {
		got := sewing.Letters(i)
		if len(got) < len(last) || len(got) == len(last) && got <= last {
			t.Fatalf("row %d is %s, after %s", i, got, last)
		}
		last = got
	}
}

// As many seams as the plan counts.
func TestWorkCountsTheSeams(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		if n := len(sewing.New(p).Seams); n != p.Work().Seams {
			t.Fatalf("%d seams, the plan counts %d", n, p.Work().Seams)
		}
	})
}
