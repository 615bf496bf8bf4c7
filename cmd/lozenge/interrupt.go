// SPDX-License-Identifier: Apache-2.0

package main

import (
	"os"
	"os/signal"
	"slices"
	"syscall"
	"time"

	"lozenge/export"
)

// interrupts are the signals that end a command: Ctrl and C, a terminal that is
// closed, a computer that is switched off, and a reader of standard output that has
// gone.
var interrupts = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGPIPE}

// statusInterrupted, and the signal's number, is what a shell calls the status
// of a program that a signal ended (POSIX.1-2017, XCU 2.8.2: above 128).
const statusInterrupted = 128

// onInterrupt has a signal remove what is unfinished before it ends the program,
// as it would have done anyway: then a shell's loop ends, too. A second one
// ends it at once. One that is ignored, as under nohup, stays so.
func onInterrupt() {
	told := make(chan os.Signal, 1)
	signal.Notify(told, heeded(interrupts...)...)
	go func() {
		s := <-told
		signal.Reset(interrupts...)
		export.Abandon()
		if self, err := os.FindProcess(os.Getpid()); err == nil && self.Signal(s) == nil {
			time.Sleep(time.Second) // it comes soon
		}
		number, _ := s.(syscall.Signal)
		os.Exit(statusInterrupted + int(number))
	}()
}

// heeded returns the signals that are not ignored: SIGTERM never is.
func heeded(all ...os.Signal) []os.Signal {
	return slices.DeleteFunc(slices.Clone(all), signal.Ignored)
}
