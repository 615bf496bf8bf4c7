// SPDX-License-Identifier: Apache-2.0

package outside

import (
	"errors"
	"slices"
	"strings"

	"lozenge/geometry"
)

// A Law is a test of random cases, such as a *rapid.T: it counts the cases that
// it skips, and fails when too few are left.
type Law interface {
	Helper()
	Skip(...any)
	Fatal(...any)
}

// Refused skips a case that is rightly refused: err is nil, else a
// [*geometry.Error] of one of these fields, or of a field below one. Any other
// error fails the test.
func Refused(t Law, err error, fields ...string) {
	t.Helper()
	if err == nil {
		return
	}
	var wrong *geometry.Error
	if errors.As(err, &wrong) && slices.ContainsFunc(fields, func(f string) bool {
		return wrong.Field == f || strings.HasPrefix(wrong.Field, f+".") || strings.HasPrefix(wrong.Field, f+"[")
	}) {
		t.Skip(err)
	}
	t.Fatal(err)
}
