// SPDX-License-Identifier: Apache-2.0

package calibrate

// Verdict says whether a calibration may be used.
type Verdict string

// The verdicts, from good to bad.
const (
	OK       Verdict = "ok"
	Suspect  Verdict = "suspect"  // only after a look at the reasons
	Rejected Verdict = "rejected" // not at all
)

// rank grows from good to bad.
func (v Verdict) rank() int { return map[Verdict]int{Suspect: 1, Rejected: 2}[v] }

// worse returns the worse of two verdicts; the zero Verdict is OK.
func worse(a, b Verdict) Verdict {
	for _, v := range []Verdict{Rejected, Suspect} {
		if a == v || b == v {
			return v
		}
	}
	return OK
}

// Rule names why something is said about a calibration.
type Rule string

// The rules, in the order in which they are looked at. Those up to
// ReadingsOnALine, and NoMapFits, leave nothing to compute; the others let all
// numbers stand.
const (
	TooManyReadings Rule = "too many readings"
	NotNumbers      Rule = "readings that are not numbers"
	TooFewTargets   Rule = "too few targets"
	OffScreen       Rule = "targets off the screen"
	TargetsOnALine  Rule = "targets on a line"
	ReadingsOnALine Rule = "readings on a line"

	SwappedReadings Rule = "two readings exchanged"
	NoMapFits       Rule = "no map fits"
	SuspectReading  Rule = "a reading stands out"
	SuspectNudge    Rule = "a moved cross stands out"
	MoreSuspects    Rule = "more readings stand out than can be named"
	WeakTargets     Rule = "the targets hardly fix a map"
	LargeGrowth     Rule = "errors of reading grow"
	Fold            Rule = "the picture folds over"
	TurnedOver      Rule = "readings the other way round"
	Scale           Rule = "inches to a pixel"
	LensFolds       Rule = "the lens folds the picture over"
	Inconsistent    Rule = "readings don't fit together"
	LensShows       Rule = "the lens bends lines"
	TooRough        Rule = "too rough to cut by"
	LensInPart      Rule = "the lens is fitted in part"

	// Notes: they never change the verdict.
	Mirrored    Rule = "mirrored"
	Unchecked   Rule = "nothing is checked"
	NotNamed    Rule = "a bad reading can't be named"
	LensUnknown Rule = "the lens does not show"
	Pattern     Rule = "the misfit has a pattern"
)

// Reason is one thing that is said about a calibration.
type Reason struct {
	Rule    Rule
	Verdict Verdict // that it leads to by itself; OK for a note
	Text    string  // a plain sentence: what is wrong, and what to do
}
