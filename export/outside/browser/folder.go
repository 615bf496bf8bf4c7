// SPDX-License-Identifier: Apache-2.0

package browser

import (
	"os"
	"os/exec"
	"time"
)

// newFolder makes a folder for all that the browser writes. It goes with the
// test. If the test dies, whatever kills it, a shell that waits for its end
// removes the folder; the library has the kernel end the browser.
func newFolder(t ender) string {
	t.Helper()
	// Not t.TempDir: its names are long, and the browser makes a socket in
	// here, whose path may have about 100 letters.
	folder, err := os.MkdirTemp("", "lozenge-browser-")
	if err != nil {
		t.Fatal(err)
	}
	remove := func() {
		// Its helpers end a little later than the browser, writing.
		for range 50 {
			if os.RemoveAll(folder) == nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		t.Errorf("%s can't be removed", folder)
	}
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Cleanup(remove)
		return folder
	}
	cmd := exec.Command(shell, "-c", `trap '' INT TERM HUP; read -r _; for i in 1 2 3 4 5 6 7 8 9; do rm -rf "$0" 2>/dev/null; sleep 0.2; [ -e "$0" ] || exit 0; done`, folder)
	waits, err := cmd.StdinPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		remove()
		t.Fatal(err)
	}
	t.Cleanup(func() {
		remove()
		waits.Close()
		cmd.Wait()
	})
	return folder
}
