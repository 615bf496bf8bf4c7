// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"

	"lozenge/export"
)

// saveAll writes all files, or none; at most one of them may be "-", standard
// output.
func (t talk) saveAll(opts export.Options, files []namedFile) error {
	var out *bytes.Buffer
	b := export.NewBatch(opts)
	defer b.Discard()
	for _, f := range files {
		if f.name != "-" {
			if err := b.Add(f.name, f.write); err != nil {
				return err
			}
			continue
		}
		if out != nil {
			return usagef("two files can't both go to standard output; name a file for one of them")
		}
		if isTerminal(t.out) {
			return usagef("this would fill the screen with drawing commands; name a file instead of -")
		}
		out = &bytes.Buffer{}
		if err := f.write(out); err != nil {
			return err
		}
	}
	if err := b.Commit(); err != nil {
		return err
	}
	if out != nil {
		_, err := t.out.Write(out.Bytes())
		return err
	}
	return nil
}
