// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"io"

	"lozenge/cmd/internal/problem"
)

// Read reads and parses the pattern file at path; "-" is standard input. The
// error is a [Problems].
func Read(path string, stdin io.Reader) (*Pattern, error) {
	// One byte more than a pattern may have, so that Parse sees that it is too
	// large.
	name, src, err := problem.Read(path, stdin, maxBytes, "; `lozenge new` writes a pattern to begin with")
	if err != nil {
		return nil, err
	}
	return Parse(name, src)
}
