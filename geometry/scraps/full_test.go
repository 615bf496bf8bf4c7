// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"flag"
	"os"
)

// full says that all tests run at their full length: LOZENGE_FULL=1. Else there
// are fewer random cases, unless -rapid.checks or RAPID_CHECKS says how many.
var full = os.Getenv("LOZENGE_FULL") == "1"

func init() {
	if checks := flag.Lookup("rapid.checks").Value; !full && checks.String() == "100" {
		checks.Set("20")
	}
}
