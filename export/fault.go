// SPDX-License-Identifier: Apache-2.0

package export

import (
	"fmt"
	"path"
	"runtime"
	"strings"
)

// Fault is a fault of the program itself: a panic, as an error.
type Fault struct {
	What  string
	Where []string // the functions that were under way, innermost first
}

// Error says what came up.
func (f *Fault) Error() string { return f.What }

// Guard has do run, and returns a [*Fault] when it panics.
func Guard(do func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = &Fault{fmt.Sprint(r), underWay()}
		}
	}()
	return do()
}

// underWay lists the functions of this program that led to a panic.
func underWay() []string {
	callers := make([]uintptr, 64)
	frames := runtime.CallersFrames(callers[:runtime.Callers(0, callers)])
	var out []string
	panicked := false
	for more := true; more; {
		var f runtime.Frame
		f, more = frames.Next()
		if panicked && (strings.HasPrefix(f.Function, "lozenge/") || strings.HasPrefix(f.Function, "main.")) {
			out = append(out, fmt.Sprintf("%s %s:%d", f.Function, path.Base(f.File), f.Line))
		}
		panicked = panicked || f.Function == "runtime.gopanic"
	}
	return out
}
