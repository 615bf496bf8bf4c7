// SPDX-License-Identifier: Apache-2.0

package geometry

// Error is a value that nothing can be made with.
type Error struct {
	Field  string // as the file or the flag names it: "strips[1].cut", "margin"; "" for the whole
	Reason string
	Hint   string // what to do, or ""
}

// Wrong returns an [*Error].
func Wrong(field, reason, hint string) error { return &Error{field, reason, hint} }

// Error returns the field, the reason and the hint in one line.
func (e *Error) Error() string {
	s := e.Reason
	if e.Field != "" {
		s = e.Field + ": " + s
	}
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}
