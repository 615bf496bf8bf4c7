// SPDX-License-Identifier: Apache-2.0

package outside

import (
	"flag"
	"os"
	"strconv"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// Everything is the environment variable that, set to 1, has tests try all
// that they know. Without it they try a part of it, so that they can be run at
// every save; continuous integration does both.
const Everything = "LOZENGE_FULL"

// Full reports whether tests are to try all that they know.
func Full() bool { return os.Getenv(Everything) == "1" }

// Of returns few, or all when tests are to try all that they know.
func Of[T any](few, all T) T {
	if Full() {
		return all
	}
	return few
}

// OnlyFull skips a test that takes too long to be run at every save.
func OnlyFull(t testing.TB) {
	t.Helper()
	if !Full() {
		t.Skipf("runs with %s=1", Everything)
	}
}

// Cases has rapid try as many cases in this test: few, or all when tests are to
// try all that they know. What is asked for by rapid's own flag or variable
// (-rapid.checks, RAPID_CHECKS) comes first.
func Cases(t testing.TB, few, all int) {
	t.Helper()
	checks := flag.Lookup("rapid.checks").Value
	if was := checks.String(); was == usualCases {
		checks.Set(strconv.Itoa(Of(few, all)))
		t.Cleanup(func() { checks.Set(was) })
	}
}

// FewCases has rapid try so few cases in every test of a package, unless tests
// are to try all that they know or rapid's own flag or variable says otherwise.
// Call it when the package is initialised.
func FewCases(few int) {
	if checks := flag.Lookup("rapid.checks").Value; checks.String() == usualCases && !Full() {
		checks.Set(strconv.Itoa(few))
	}
}

// Parts has rapid try a law in so many parts at the same time. Each has a seed of
// its own, also where one is given by rapid's flag or variable: else all parts
// would try the same.
func Parts(t *testing.T, parts int, law func(*rapid.T)) {
	seed := flag.Lookup("rapid.seed").Value
	was := seed.String()
	given, _ := strconv.ParseUint(was, 10, 64)
	var mu sync.Mutex
	t.Run("parts", func(t *testing.T) {
		for part := range parts {
			t.Run(strconv.Itoa(part), func(t *testing.T) {
				t.Parallel()
				mu.Lock()
				if given != 0 {
					seed.Set(strconv.FormatUint(given+uint64(part)<<32, 10))
				}
				read := sync.OnceFunc(mu.Unlock) // rapid has read it before the first case
				defer read()
				rapid.Check(t, func(t *rapid.T) {
					read()
					law(t)
				})
			})
		}
	})
	seed.Set(was)
}

// usualCases is how many cases rapid tries when nothing else is said.
const usualCases = "100"
