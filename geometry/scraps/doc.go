// SPDX-License-Identifier: Apache-2.0

// Package scraps plans a quilt from the strips that are there: which scraps to
// cut into which lengths, and which to sew together into strip sets, so that
// the strip sets are few.
//
// [New] takes the plan of a quilt and a scrap bin and returns a [Plan]: the
// fewest strip sets that give the quilt's pieces and, among equals, the least
// sewn length; what none can be below; what is left over. When the scraps don't
// suffice it holds the largest quilt that they make and what to add for the one
// that was wanted.
//
// # The question
//
// A scrap at least as wide as a strip's cut width gives one strip, twice as
// wide two, and so on. Each strip may be cut crosswise into lengths. A strip
// set joins equal lengths, one for each of its strips, and is cut over a row of
// cut lines. Only the least lengths of rows are worth cutting ([strip.Set.Least]).
// So the question is how many strip sets of each row to make, such that the
// pieces suffice and such that, for every fabric, as many lengths can be cut
// from its strips: a cutting-stock problem in which the fabrics' cuts must
// agree.
//
// # How it is answered
//
// Where two strip sets exchange shorter for longer pieces nothing is lost, so
// for given cuts the longest pieces are best joined with the longest; and for
// given lengths of strip sets the best rows are found exactly (table.go, fulfil.go).
// What remains is how to cut each strip.
//
// First the longest strip set is cut again and again, and a bound by linear
// duality with prices set near the last is worked out (quick.go). Where they
// meet, that is the answer. Otherwise the linear relaxation over all ways to
// cut is solved with the simplex method, ways being added as its prices ask for
// them (relax.go); its prices prove a bound, also for each lean by itself, and
// its solution guides how strips are cut, in several dives (dive.go). Work is
// bounded by counts of steps, never by the clock, and sums are written so that
// no processor fuses them: the answer is the same everywhere. The work of a
// scrap bin of a few dozen scraps stays far within a second.
package scraps
