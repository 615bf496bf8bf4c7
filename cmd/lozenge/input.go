// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/scrapbin"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// readPlan reads the pattern file and plans the quilt.
func (t talk) readPlan(path string) (*quilt.Plan, error) {
	_, plan, err := t.readPattern(path)
	return plan, err
}

// readPattern reads the pattern file and plans the quilt, from its scrap bin where
// it names one. What the reader noticed without refusing it is said on standard
// error. Where what is there does not make the quilt the error is an answer "no".
func (t talk) readPattern(path string) (*pattern.Pattern, *quilt.Plan, error) {
	p, plan, err := t.planOf(path)
	var not *quilt.NotMade
	if errors.As(err, &not) {
		err = &answerNo{fmt.Sprintf("%v; `lozenge plan %s` lists what they make", not, pasted(path))}
	}
	return p, plan, err
}

// planOf is readPattern with the [*quilt.NotMade] itself.
func (t talk) planOf(path string) (*pattern.Pattern, *quilt.Plan, error) {
	p, err := pattern.Read(path, t.in)
	if err != nil {
		return nil, nil, err
	}
	t.warn(p.Warnings)
	plan, err := t.planned(p)
	return p, plan, err
}

// planned plans a pattern that was read, from its scrap bin where it names one.
func (t talk) planned(p *pattern.Pattern) (*quilt.Plan, error) {
	if p.Scraps == "" {
		plan, err := quilt.New(p.Spec)
		return plan, p.Wrong(err, "")
	}
	bin, err := binOf(p)
	if err != nil {
		return nil, err
	}
	of, made, err := t.fromScraps(p, bin)
	if err != nil {
		return nil, err
	}
	t.warnNarrow(of, bin, made)
	return made.Quilt, nil
}

// binOf reads the scrap bin that a pattern names.
func binOf(p *pattern.Pattern) (*scrapbin.Bin, error) {
	data, err := p.ReadScraps()
	if err != nil {
		return nil, err
	}
	return scrapbin.Parse(p.Scraps, data, p.Spec)
}

// fromScraps plans a pattern from a scrap bin. It returns the quilt that is wanted,
// too: of no matter which size where the pattern gives none.
func (t talk) fromScraps(p *pattern.Pattern, bin *scrapbin.Bin) (*quilt.Plan, *scraps.Plan, error) {
	wanted, sized := p.Spec, p.Spec.Columns > 0 || p.Spec.Finish != nil
	if wanted.StripSets = 0; !sized {
		wanted.Columns, wanted.Rows = 1, 1
	}
	of, err := quilt.New(wanted)
	if err != nil {
		return nil, nil, p.Wrong(err, "")
	}
	made, err := scraps.Quilt(of, bin.Scraps, sized)
	if err == nil || made != nil {
		t.warn(bin.Warnings)
	}
	return of, made, p.Wrong(bin.Wrong(err), "")
}

// warnNarrow names scraps that are too narrow.
func (t talk) warnNarrow(p *quilt.Plan, bin *scrapbin.Bin, made *scraps.Plan) {
	for _, i := range made.Narrow {
		t.warn([]problem.Problem{bin.Warn(i, "width", "width: "+narrowWords(p, bin.Scraps[i]))})
	}
}

// warn says what is to be known about files that were read all the same.
func (t talk) warn(all []problem.Problem) {
	for _, w := range all {
		fmt.Fprintf(t.err, "%v (warning)\n%s", w, w.Caret())
	}
}
