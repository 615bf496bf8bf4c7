// SPDX-License-Identifier: Apache-2.0

// Command lozenge plans quilts that are pieced from strips and draws their
// cut lines at true size.
package main

import (
	"io"
	"math"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"

	"lozenge/export"
)

func main() {
	cobra.MousetrapHelpText = ""                   // a double click opens the page
	if debug.SetMemoryLimit(-1) == math.MaxInt64 { // not said by GOMEMLIMIT
		// The largest quilts need 300 MB at one time: rather collect than hold more.
		debug.SetMemoryLimit(400 << 20)
	}
	onInterrupt()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run is the whole program: it returns the exit status. Tests call it too.
func run(args []string, in io.Reader, out, err io.Writer) int {
	t := talk{in: in, out: &checkedWriter{w: out}, err: err}
	root := newRoot(t)
	root.SetArgs(args)
	return t.report(export.Guard(root.Execute))
}
