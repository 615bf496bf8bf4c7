// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"slices"
	"strconv"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// spoiling asks which piece is spoiled: of those that were cut last.
type spoiling struct {
	from   *cut
	pieces []pieceOf // one of each kind
}

// spoil asks which piece is spoiled, or takes the only one that can be.
func (s *session) spoil(c *cut) {
	q := &spoiling{from: c, pieces: s.cutting.latest(&s.cut, s.at.StripSet)}
	switch len(q.pieces) {
	case 0:
		s.note("No piece is cut yet.")
	default:
		s.enter(q)
	}
}

// latest returns the pieces of strip set k that are cut, one of each kind; of
// the one before where none is.
func (c *cutting) latest(p *progress, k int) []pieceOf {
	for k = min(k, len(c.of)-1); k >= 0; k-- {
		w := &c.ways[c.of[k]]
		var out []pieceOf
		for i := len(w.leans) - 1; i >= 0; i-- {
			if !w.cut(i, p.made[k]) || p.isSpoiled(k, i) {
				continue
			}
			// Nobody can tell one that the quilt needs from one to spare.
			same := slices.IndexFunc(out, func(o pieceOf) bool { return w.kind(o.Piece) == w.kind(i) })
			switch {
			case same < 0:
				out = append(out, pieceOf{k, i})
			case c.places[k][out[same].Piece] < 0:
				out[same].Piece = i
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

func (w *way) kind(i int) pieceKind {
	return pieceKind{shape: w.row.Pieces[i].Shape, lean: w.leans[i]}
}

func (s *session) nameOf(p pieceOf) string {
	k := s.cutting.ways[s.cutting.of[p.StripSet]].kind(p.Piece)
	return words.Piece(s.plan.Spec, k.shape, k.lean, 1)
}

func (q *spoiling) show(s *session, v *view) {
	v.Stage = "cut"
	v.Say = "Which piece is spoiled?"
	v.more(fmt.Sprintf("Of strip set %d:", q.pieces[0].StripSet+1))
	for i, p := range q.pieces {
		v.more(fmt.Sprintf("%d  %s", i+1, s.nameOf(p)))
		v.key(strconv.Itoa(i+1), s.nameOf(p)+" is spoiled")
	}
	v.key("Backspace", "none: back to the cuts")
	if n := len(s.cut.spoiled); n > 0 {
		last := s.cut.spoiled[n-1]
		v.more(fmt.Sprintf("0  the %s of strip set %d is there again", s.nameOf(last), last.StripSet+1))
		v.key("0", "the last spoiled piece is there again")
	}
	v.inside(s.using.m)
}

func (q *spoiling) hear(s *session, a action) {
	key := a.key()
	if key == "back" {
		s.enter(q.from)
		return
	}
	n, err := strconv.Atoi(key)
	switch last := len(s.cut.spoiled) - 1; {
	case err != nil || n < 0 || n > len(q.pieces) || n == 0 && last < 0:
		return
	case n == 0:
		s.note("The %s is there again.", s.nameOf(s.cut.spoiled[last]))
		s.cut.spoiled = s.cut.spoiled[:last]
	default:
		s.cut.spoiled = append(s.cut.spoiled, q.pieces[n-1])
	}
	s.moveTo(s.at)
	s.enter(q.from)
}

// spoiledWords says of each spoiled piece where another one comes from.
func (s *session) spoiledWords() (out []string) {
	taken := map[pieceOf]bool{}
	for _, p := range s.cut.spoiled {
		if s.cutting.places[p.StripSet][p.Piece] < 0 {
			out = append(out, fmt.Sprintf("The %s that is spoiled was one to spare.", s.nameOf(p)))
			continue
		}
		out = append(out, fmt.Sprintf("Needed once more: a %s, %s. %s", s.nameOf(p), words.PieceFabrics(s.plan, p.StripSet), s.another(p, taken)))
	}
	return out
}

// another says where a piece like a spoiled one comes from: from a strip set
// that gives one to spare, of the same colours if there is one, or from one
// to be added. What is taken is not taken again.
func (s *session) another(p pieceOf, taken map[pieceOf]bool) string {
	c := s.cutting
	want := c.ways[c.of[p.StripSet]].kind(p.Piece)
	for _, same := range []bool{true, false} {
		for k, run := range c.of {
			if same != slices.Equal(s.plan.Colours(k), s.plan.Colours(p.StripSet)) {
				continue
			}
			for i, to := range c.places[k] {
				q := pieceOf{k, i}
				if to >= 0 || taken[q] || s.cut.isSpoiled(k, i) || c.ways[run].kind(i) != want {
					continue
				}
				taken[q] = true
				if same {
					return fmt.Sprintf("Strip set %d gives one to spare.", k+1)
				}
				return fmt.Sprintf("Strip set %d gives one to spare, in other colours: %s.", k+1, words.PieceFabrics(s.plan, k))
			}
		}
	}
	word := map[geometry.Shape]string{geometry.Diamond: "D", geometry.LowerTriangle: "L", geometry.UpperTriangle: "U"}[want.shape]
	row := strip.MustRow(s.plan.Set, want.lean, word)
	return fmt.Sprintf("No strip set gives one to spare: sew one more of the same colours, at least %s long.", s.plainLength(s.unit().Inches(row.Length)))
}
