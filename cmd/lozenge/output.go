// SPDX-License-Identifier: Apache-2.0

package main

import (
	"io"

	"github.com/spf13/cobra"

	"lozenge/export"
)

// output is where a command writes its one file.
type output struct {
	path  string
	force bool
}

func (o *output) flags(c *cobra.Command, example string) {
	c.Flags().StringVarP(&o.path, "output", "o", "-", "file to write, as "+example+"; - is standard output")
	c.Flags().BoolVar(&o.force, "force", false, "replace the file if it exists")
}

// save has write produce the file, or sends it to standard output. input is
// never written over.
func (o output) save(t talk, example, input string, write func(io.Writer) error) error {
	if o.path == "-" {
		if isTerminal(t.out) {
			return usagef("this would fill the screen with drawing commands; add -o %s", example)
		}
		return write(t.out)
	}
	opts := export.Options{Force: o.force}
	if input != "-" && input != "" {
		opts.Inputs = []string{input}
	}
	return export.Save(o.path, opts, write)
}
