// SPDX-License-Identifier: Apache-2.0

package main

import (
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// The keys of calibrate solve --json are a promise to other programs: add,
// never rename. Lengths are in inches; what can't be known is null.
type (
	jsonSolve struct {
		Model      string           `json:"model"`
		Homography *[3][3]float64   `json:"homography"`
		K1         *float64         `json:"k1"`
		K2         *float64         `json:"k2"`
		Centre     *[2]float64      `json:"centre"`
		RMS        *float64         `json:"rms"`
		Max        *float64         `json:"max"`
		Sigma      *float64         `json:"sigma"`
		Expected   jsonExpected     `json:"expected_error"`
		Points     []jsonSolvePoint `json:"points"`
		Swapped    *[2]int          `json:"swapped"`
		Verdict    string           `json:"verdict"`
		Reasons    []string         `json:"reasons"`
	}
	jsonExpected struct {
		Median  *float64    `json:"median"`
		P95     *float64    `json:"p95"`
		Worst   *float64    `json:"worst"`
		WorstAt *[2]float64 `json:"worst_at"`
	}
	jsonSolvePoint struct {
		Point     int      `json:"point"`
		ReadX     float64  `json:"read_x"`
		ReadY     float64  `json:"read_y"`
		ExpectedX *float64 `json:"expected_x"`
		ExpectedY *float64 `json:"expected_y"`
		ResidualX *float64 `json:"residual_x"`
		ResidualY *float64 `json:"residual_y"`
		Residual  *float64 `json:"residual"`
		Deleted   *float64 `json:"deleted_residual"`
		Suspect   bool     `json:"suspect"`
	}
)

// known returns nil, which is null, for a number that can't be known.
func known(v float64) *float64 {
	return when(!math.IsNaN(v) && !math.IsInf(v, 0), v+0) // no -0
}

func solveJSON(r calibrate.Result) jsonSolve {
	out := jsonSolve{
		Model: string(r.Model), Homography: r.Homography,
		K1: known(r.K1), K2: known(r.K2), RMS: known(r.RMS), Max: known(r.Max), Sigma: known(r.Sigma),
		Expected: expectedJSON(r.Expected),
		Points:   []jsonSolvePoint{},
		Swapped:  r.Swapped,
		Verdict:  string(r.Verdict),
		Reasons:  []string{},
	}
	out.Centre = knownPlace(r.Centre)
	for _, p := range r.Points {
		out.Points = append(out.Points, jsonSolvePoint{
			p.Point, p.X + 0, p.Y + 0, known(p.ExpectedX), known(p.ExpectedY),
			known(p.ResidualX), known(p.ResidualY), known(p.Residual), known(p.Deleted), p.Suspect,
		})
	}
	for _, reason := range r.Reasons {
		out.Reasons = append(out.Reasons, reason.Text)
	}
	return out
}

// knownPlace is known for a place.
func knownPlace(p geometry.Point) *[2]float64 {
	return when(known(p.X) != nil && known(p.Y) != nil, [2]float64{p.X + 0, p.Y + 0})
}

func expectedJSON(e calibrate.ExpectedError) jsonExpected {
	return jsonExpected{known(e.Median), known(e.P95), known(e.Worst), knownPlace(e.WorstAt)}
}
