// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"lozenge/cmd/internal/problem"
	"lozenge/export"
)

// Each kind of error has its exit status, wrapped or not, and the help names
// every status.
func TestExitStatus(t *testing.T) {
	disk := &export.DiskError{Op: "write", Path: "a.svg", Err: os.ErrPermission}
	for want, errs := range map[int][]error{
		statusDone:  {nil},
		statusNo:    {&answerNo{"no"}},
		statusUsage: {usagef("no such flag"), &export.RefusedError{Path: "a.svg", Why: export.Exists}, problem.List{{File: "q.yaml", Message: "no"}}},
		statusDisk:  {disk, fmt.Errorf("q.yaml: %w", disk), &severalError{"trouble", statusDisk}},
		statusFault: {errors.New("who knows"), export.Guard(func() error { panic("a bug") })},
	} {
		for _, err := range errs {
			if got := (talk{out: &checkedWriter{}, err: &bytes.Buffer{}}).report(err); got != want {
				t.Errorf("%v has status %d, want %d", err, got, want)
			}
		}
		if !regexp.MustCompile(fmt.Sprintf(`(?m)^  %d  `, want)).MatchString(exitStatusHelp) {
			t.Errorf("the help lacks status %d", want)
		}
	}
}

// A fault of lozenge itself says how to report it: what, which lozenge, where.
func TestFaultIsTold(t *testing.T) {
	var said bytes.Buffer
	(talk{out: &checkedWriter{}, err: &said}).report(export.Guard(func() error { panic("a bug") }))
	for _, part := range []string{"lozenge: a bug\n", "report it with these lines", "\n  lozenge devel, go", "TestFaultIsTold talk_test.go:"} {
		if !strings.Contains(said.String(), part) {
			t.Errorf("%q is not in\n%s", part, said.String())
		}
	}
}
