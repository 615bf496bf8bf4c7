// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"

	"golang.org/x/term"

	"lozenge/cmd/internal/problem"
	"lozenge/export"
)

// The voice: data goes to standard output, talk to standard error. A message
// begins with "lozenge: ", says what and where, why, and what to do; it is
// lower case and has no full stop at its end.

// Exit statuses.
const (
	statusDone  = iota
	statusNo    // the answer is "no"
	statusUsage // wrong usage or input that can't be read
	statusDisk  // the disk or the network let us down
	statusFault // lozenge itself is at fault
)

// exitStatusHelp stands in the help of every command.
const exitStatusHelp = `EXIT STATUS
  0  done
  1  the answer is "no" (a check failed, no strip set yields a piece)
  2  wrong usage or input that can't be read; nothing was written
  3  the disk or the network let us down
  4  a fault of lozenge itself, with the words to report it by
A signal ends it as any program (a shell then says 130, 143 or 129); what was
unfinished is removed`

// talk is where a command reads and speaks.
type talk struct {
	in  io.Reader
	out *checkedWriter
	err io.Writer
	far func(done, of int) // hears how many files are written; may be nil
}

// usageError is a wrong use of the command line.
type usageError struct{ message string }

func (e *usageError) Error() string { return e.message }

func usagef(format string, a ...any) error { return &usageError{fmt.Sprintf(format, a...)} }

// answerNo is the answer "no", given in full on standard output already or in
// its message.
type answerNo struct{ message string }

func (e *answerNo) Error() string { return e.message }

// say writes a line of talk. No name of a file can add to it or hide some.
func (t talk) say(format string, a ...any) {
	fmt.Fprintln(t.err, problem.Printable(fmt.Sprintf(format, a...)))
}

// report says what went wrong and returns the exit status: the one place
// where errors become numbers.
func (t talk) report(err error) int {
	var no *answerNo
	if err == nil || errors.As(err, &no) && t.out.failed != nil {
		err = t.out.failed // an answer that nobody got is none
	}
	if err == nil {
		return statusDone
	}
	var problems problem.List
	if errors.As(err, &problems) {
		fmt.Fprint(t.err, problems.Detail())
		return statusUsage
	}
	t.say("lozenge: %v", err)
	var (
		usage   *usageError
		several *severalError
		refused *export.RefusedError
		disk    *export.DiskError
	)
	switch {
	case errors.As(err, &several):
		if t.out.failed != nil {
			return statusDisk
		}
		return several.status
	case errors.As(err, &no):
		return statusNo
	case errors.As(err, &usage), errors.As(err, &refused):
		return statusUsage
	case errors.As(err, &disk), t.out.failed != nil:
		return statusDisk
	}
	fmt.Fprintf(t.err, "this is a fault of lozenge itself; report it with these lines and, if you may, the pattern:\n  lozenge %s, %s for %s/%s\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	var fault *export.Fault
	if errors.As(err, &fault) {
		fmt.Fprintf(t.err, "  %s\n", strings.Join(fault.Where, "\n  "))
	}
	return statusFault
}

// checkedWriter remembers that a write failed, so that a full disk behind
// standard output is not taken for success.
type checkedWriter struct {
	w      io.Writer
	failed error
}

func (c *checkedWriter) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	if err != nil && c.failed == nil {
		c.failed = &export.DiskError{Op: "write", Path: "standard output", Err: err}
	}
	return n, err
}

// isTerminal reports whether a person sees what is written to w.
func isTerminal(w io.Writer) bool {
	if c, ok := w.(*checkedWriter); ok {
		w = c.w
	}
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
