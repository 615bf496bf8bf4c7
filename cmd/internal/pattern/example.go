// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"regexp"
	"strings"

	"lozenge/cmd/internal/problem"
	"lozenge/geometry"
)

// keyLine is a line of the pattern itself that begins with a key, in use or not.
var keyLine = regexp.MustCompile(`^#?([^\s:#]+)\s*(?::|$)`)

// examples returns for each key of the pattern itself a right line of it, which
// is that of the starter.
func examples(unit geometry.Unit) map[string]string {
	out := map[string]string{}
	key := ""
	for line := range strings.SplitSeq(string(Starter(unit)), "\n") {
		if m := keyLine.FindStringSubmatch(line); m != nil {
			key = m[1]
			line = strings.TrimPrefix(line, "#")
		}
		// Of a key whose value stands on the lines below, the first of them.
		if key != "" && !strings.HasSuffix(line, ":") {
			out[key] = strings.TrimSpace(line)
			key = ""
		}
	}
	return out
}

// exampleAt returns a right line of the key of the pattern itself that a line
// of the file belongs to, or "".
func exampleAt(text string, line int, unit geometry.Unit) string {
	lines := strings.Split(problem.Lines(text), "\n")
	for i := min(line, len(lines)) - 1; i >= 0; i-- {
		if m := keyLine.FindStringSubmatch(lines[i]); m != nil && lines[i][0] != '#' {
			return examples(unit)[nearest(m[1], wholePart.keys)]
		}
	}
	return ""
}
