// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"regexp"
	"runtime"
	"strings"

	"lozenge/cmd/internal/problem"
)

// plainWord is what every shell takes as it stands.
var plainWord = regexp.MustCompile(`^[A-Za-z0-9_./\\:@%+=,-]+$`)

// pasted returns the name of a file as a word of a command that can be pasted
// into a shell; one that begins with a dash is no flag then.
func pasted(name string) string {
	if strings.HasPrefix(name, "-") && name != "-" {
		name = "./" + name
	}
	switch {
	case runtime.GOOS == "windows":
		if plainWord.MatchString(name) {
			return name
		}
		return `"` + name + `"`
	case problem.Printable(name) != name:
		// Dollar-single-quotes, XCU 2.2.4 of POSIX.1-2024, byte by byte, whatever
		// the shell takes for a character.
		word := "$'"
		for _, b := range []byte(name) {
			if b < ' ' || b > '~' || b == '\'' || b == '\\' {
				word += fmt.Sprintf(`\x%02x`, b)
			} else {
				word += string(rune(b))
			}
		}
		return word + "'"
	case plainWord.MatchString(name) && !strings.Contains(name, `\`):
		return name
	}
	return "'" + strings.ReplaceAll(name, "'", `'\''`) + "'"
}
