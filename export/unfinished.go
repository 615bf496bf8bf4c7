// SPDX-License-Identifier: Apache-2.0

package export

import (
	"os"
	"sync"
)

// unfinished is what this process has begun and must not leave behind: how to
// remove each temporary file and each lock, by its path. It is locked while
// one of them comes or goes, and while files are put in place.
var unfinished = struct {
	sync.Mutex
	remove map[string]func()
}{remove: map[string]func(){}}

// Abandon removes all that is unfinished; from then on nothing is begun or put
// in place. It is for a program that is told to end. Files that are being put
// in place all get there first.
func Abandon() {
	unfinished.Lock() // for good
	for _, remove := range unfinished.remove {
		remove()
	}
}

// removeTemp removes an unfinished file. What cannot be removed bears a name
// that says it is unfinished.
func removeTemp(name string) {
	unfinished.Lock()
	defer unfinished.Unlock()
	_ = os.Remove(name)
	delete(unfinished.remove, name)
}
