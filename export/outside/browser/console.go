// SPDX-License-Identifier: Apache-2.0

package browser

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
)

// console keeps what a page complains of.
type console struct {
	mu    sync.Mutex
	lines []string
}

func (c *console) all() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.lines)
}

func (c *console) forget() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.lines = nil
}

// hear is called with each event of the page, in order.
func (c *console) hear(event any) {
	var line string
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		d := e.ExceptionDetails
		line = d.Text
		if d.Exception != nil {
			line += " " + d.Exception.Description + string(d.Exception.Value)
		}
		line += fmt.Sprintf(" (%s:%d:%d)", d.URL, d.LineNumber+1, d.ColumnNumber+1)
	case *runtime.EventConsoleAPICalled:
		switch e.Type {
		case runtime.ConsoleAPICalledTypeError, runtime.ConsoleAPICalledTypeWarning, runtime.ConsoleAPICalledTypeAssert:
		default:
			return
		}
		words := []string{string(e.Type) + ":"}
		for _, a := range e.Args {
			words = append(words, a.Description+string(a.Value))
		}
		line = strings.Join(words, " ")
	case *log.EventEntryAdded:
		if e.Entry.Level != log.EntryLevelError && e.Entry.Level != log.EntryLevelWarning {
			return
		}
		line = fmt.Sprintf("%s: %s (%s)", e.Entry.Level, e.Entry.Text, e.Entry.URL)
	default:
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.lines = append(c.lines, line)
}
