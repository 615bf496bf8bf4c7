// SPDX-License-Identifier: Apache-2.0

package strip

import (
	"slices"

	"lozenge/geometry"
)

// Terms say what strip sets are to be cut and how.
type Terms struct {
	Length   float64 // of each strip set
	MixLeans bool    // a strip set may hold both leans; only at 60 degrees
	Stagger  bool    // strip sets of diamonds alone may be sewn staggered
}

// Layout is how one strip set is cut.
type Layout struct {
	Lean      geometry.Lean // of its diamonds; of a mixed one, of those named D
	Mixed     bool          // it holds diamonds of both leans
	Staggered bool          // its strips are sewn offset; diamonds alone
	Word      string        // its pieces, as [NewRow] takes them
	Gives     Count         // pieces that serve the need
}

// Fewest is the smallest number of strip sets that give what is needed.
type Fewest struct {
	Layouts []Layout // one a strip set: right-leaning, mixed, left-leaning
	// Possible[lean] is false when something that is needed of that lean
	// comes out of no strip set of this length; Layouts then leaves that lean
	// out.
	Possible [2]bool
}

// OK reports whether everything that is needed can be cut.
func (f Fewest) OK() bool { return f.Possible[geometry.Right] && f.Possible[geometry.Left] }

// Number returns how many strip sets there are of each lean alone and how many
// mixed ones.
func (f Fewest) Number() (right, left, mixed int) {
	var n [3]int
	for _, l := range f.Layouts {
		n[l.place()]++
	}
	return n[0], n[2], n[1]
}

// Fewest returns the fewest strip sets that give need, over every row of cut
// lines: diamonds with upper and lower edge triangles alternating anywhere
// among them. At 60 degrees an edge triangle serves for the same half of the
// other lean. Equal answers are always given in the same way.
//
// A row with t edge triangles holds some largest number of diamonds, and its
// uppers and lowers differ by one at most. So the question is how many
// diamonds each strip set is cut for. It is answered exactly; see [summit].
// Every quilt needs as many uppers as lowers, or only one of them; where other
// needs can't be divided so they are met as if both were the larger.
func (s Set) Fewest(need Count, terms Terms) Fewest {
	terms.MixLeans = terms.MixLeans && s.Angle == 60
	rows := s.richest(terms, need)
	f := Fewest{Possible: [2]bool{possible(rows, need[0]), possible(rows, need[1])}}
	for lean, ok := range f.Possible {
		if !ok {
			need[lean] = [3]int{}
		}
	}
	if s.Angle == 60 {
		f.Layouts = pooled(rows, need, terms.MixLeans)
	} else {
		for _, lean := range geometry.Leans {
			var one Count
			one[lean] = need[lean]
			f.Layouts = append(f.Layouts, pooled(rows, one, false)...)
		}
	}
	return f
}

// richest returns, for each number of edge triangles that fits and may be needed,
// the row with the most diamonds. Uppers and lowers alternate, so twice as many as
// of the half of which more are needed are enough; one more brings an odd one.
func (s Set) richest(terms Terms, need Count) []rich {
	var out []rich
	ruler := newRuler(s)
	enough := 2*max(need.Lower(0)+need.Lower(1), need.Upper(0)+need.Upper(1)) + 1
	for t := 0; t <= enough; t++ {
		best := rich{triangles: t, diamonds: -1}
		for _, first := range []kind{upper, lower} {
			if n := ruler.most(terms.Length, t, first); n > best.diamonds {
				best.diamonds, best.first = n, first
			}
		}
		if t == 0 && terms.Stagger && len(s.Cuts) > 1 {
			if n := s.staggered(terms.Length); n > best.diamonds {
				best.diamonds, best.staggered = n, true
			}
		}
		if best.diamonds < 0 {
			return out
		}
		out = append(out, best)
	}
	return out
}

// rich is a row with the most diamonds for its number of edge triangles.
type rich struct {
	triangles, diamonds int
	first               kind // of its edge triangles
	staggered           bool
}

func other(k kind) kind {
	if k == upper {
		return lower
	}
	return upper
}

// possible reports whether what is needed of a lean comes out of some row; row t
// has t edge triangles.
func possible(rows []rich, need [3]int) bool {
	diamonds := slices.ContainsFunc(rows, func(r rich) bool { return r.diamonds > 0 })
	return (diamonds || need[geometry.Diamond] == 0) &&
		(len(rows) > 1 || need[geometry.LowerTriangle]+need[geometry.UpperTriangle] == 0)
}
