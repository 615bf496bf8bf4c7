// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/problem"
	"lozenge/geometry/quilt"
)

// readPlan reads the pattern file and plans the quilt.
func (t talk) readPlan(path string) (*quilt.Plan, error) {
	_, plan, err := t.readPattern(path)
	return plan, err
}

// readPattern reads the pattern file and plans the quilt. What the reader
// noticed without refusing it is said on standard error.
func (t talk) readPattern(path string) (*pattern.Pattern, *quilt.Plan, error) {
	p, err := pattern.Read(path, t.in)
	if err != nil {
		return nil, nil, err
	}
	t.warn(p.Warnings)
	plan, err := quilt.New(p.Spec)
	return p, plan, p.Wrong(err, "")
}

// warn says what is to be known about files that were read all the same.
func (t talk) warn(all []problem.Problem) {
	for _, w := range all {
		fmt.Fprintf(t.err, "%v (warning)\n%s", w, w.Caret())
	}
}
