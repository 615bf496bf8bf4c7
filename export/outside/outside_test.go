// SPDX-License-Identifier: Apache-2.0

package outside

import (
	"fmt"
	"strings"
	"testing"
)

// witness is a test that notes how it was told to end.
type witness struct {
	testing.TB
	skipped, failed string
}

func (w *witness) Helper()                           {}
func (w *witness) Skipf(format string, args ...any)  { w.skipped = fmt.Sprintf(format, args...) }
func (w *witness) Fatalf(format string, args ...any) { w.failed = fmt.Sprintf(format, args...) }

func TestMissing(t *testing.T) {
	const name = "no-such-program-anywhere"
	t.Setenv(Require, "")
	w := &witness{}
	if Tool(w, name); !strings.Contains(w.skipped, name) || w.failed != "" {
		t.Errorf("skipped %q, failed %q", w.skipped, w.failed)
	}
	t.Setenv(Require, "1")
	w = &witness{}
	if Python(w, name); !strings.Contains(w.failed, name) || w.skipped != "" {
		t.Errorf("required: skipped %q, failed %q", w.skipped, w.failed)
	}
}

func TestFound(t *testing.T) {
	w := &witness{}
	if path := Tool(w, "go"); path == "" || w.skipped+w.failed != "" {
		t.Errorf("go is at %q, skipped %q, failed %q", path, w.skipped, w.failed)
	}
	if got := string(Run(t, Tool(t, "go"), "env", "GOOS")); strings.TrimSpace(got) == "" {
		t.Error("nothing was printed")
	}
}
