// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/problem"
	"lozenge/export"
)

// patterns is the argument check of make.
func patterns(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return onePattern(c, args)
	}
	return nil
}

// expand replaces names with * or ? by the files that they stand for: not
// every shell does.
func expand(args []string) []string {
	var out []string
	for _, arg := range args {
		found := []string{arg}
		if _, err := os.Lstat(arg); err != nil && strings.ContainsAny(arg, "*?") {
			if files, err := filepath.Glob(arg); err == nil && len(files) > 0 {
				found = files
			}
		}
		out = append(out, found...)
	}
	return out
}

// severalError is what went wrong with some of several patterns, each of which
// was told already.
type severalError struct {
	message string
	status  int // the worst
}

func (e *severalError) Error() string { return e.message }

// makeEach makes each pattern into its own folder below dir, as many at a time
// as there are processors. What each has to say is said in the order of the
// arguments.
func (t talk) makeEach(patterns []string, dir string, letters lettering, kitted kitting, force bool) error {
	folders, err := foldersOf(patterns, dir)
	if err != nil {
		return err
	}
	type answer struct {
		out, err bytes.Buffer
		status   int
	}
	answers := make([]answer, len(patterns))
	ready := make([]chan struct{}, len(patterns))
	for i := range ready {
		ready[i] = make(chan struct{})
	}
	bar := t.newProgress(len(patterns))
	next := make(chan int)
	go func() {
		for i := range patterns {
			next <- i
		}
		close(next)
	}()
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(patterns)) {
		workers.Go(func() {
			for i := range next {
				a := &answers[i]
				one := talk{out: &checkedWriter{w: &a.out}, err: &a.err}
				a.status = one.report(ofPattern(patterns[i], export.Guard(func() error {
					return one.makeOne(patterns[i], folders[i], letters, kitted, inputs(append(patterns[:len(patterns):len(patterns)], letters.path)...), force)
				})))
				bar.step(patterns[i])
				close(ready[i])
			}
		})
	}
	var failed []string
	worst := statusDone
	for i := range answers {
		<-ready[i]
		a := &answers[i]
		if a.status != statusDone {
			failed = append(failed, patterns[i])
			worst = max(worst, a.status)
		}
		bar.above(func() {
			// Nothing can be done about standard error; that standard output
			// failed is remembered by it.
			_, _ = t.err.Write(a.err.Bytes())
			_, _ = t.out.Write(a.out.Bytes())
		})
		*a = answer{}
	}
	workers.Wait()
	bar.clear()
	if failed == nil {
		return nil
	}
	return &severalError{fmt.Sprintf("trouble with %d of %d patterns, told above: %s", len(failed), len(patterns), listed(failed)), worst}
}

// listed names the first few.
func listed(names []string) string {
	const most = 10
	more := ""
	if n := len(names) - most; n > 0 {
		names, more = names[:most], fmt.Sprintf(" and %d more", n)
	}
	return strings.Join(names, ", ") + more
}

// ofPattern says which of several patterns an error is about, where it does
// not say so itself.
func ofPattern(pattern string, err error) error {
	var problems problem.List
	if err == nil || errors.As(err, &problems) {
		return err
	}
	return fmt.Errorf("%s: %w", pattern, err)
}

// foldersOf returns the folder of each pattern below dir, called after its
// file. Two that would be one, also where capitals make no difference, are
// refused.
func foldersOf(patterns []string, dir string) ([]string, error) {
	out := make([]string, len(patterns))
	taken := map[string]string{}
	for i, p := range patterns {
		if p == "-" {
			return nil, usagef("with several patterns, one can't come from standard input: its folder is called after its file; save it to a file first")
		}
		base := filepath.Base(p)
		name := strings.TrimSpace(strings.TrimSuffix(base, filepath.Ext(base)))
		if name == "" || strings.Trim(name, ".") == "" || !filepath.IsLocal(name) {
			return nil, usagef("%s: no folder can be called after this file; give it another name", p)
		}
		key := export.OneName(name)
		if first, ok := taken[key]; ok {
			return nil, usagef("%s and %s would both be made in %s; rename one of them, or make them one at a time", first, p, filepath.Join(dir, name))
		}
		taken[key] = p
		out[i] = filepath.Join(dir, name)
	}
	return out, nil
}
