// SPDX-License-Identifier: Apache-2.0

package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"lozenge/calibrate"
	"lozenge/cmd/internal/table"
	"lozenge/export"
)

// tableFlags are the flags of table.
type tableFlags struct {
	calibration string
	listen      string
	open        bool
}

func tableCommand(t talk) *cobra.Command {
	var f tableFlags
	c := &cobra.Command{
		Use:   "table PATTERN",
		Short: "Calibrate and cut at the table, with one page under the projector",
		Long: `table shows one page under the projector, driven by keys, a pedal, taps or a phone:
first it finds out where the projector's light lands on the mat, then it shows one
cut after another at true size. It prints the page's address; open it in a browser
on the projector, full screen. H lists all keys, C shows a code that gives a phone
the buttons. Ctrl and C ends it.

Calibrations and the cuts that are made are kept in your own configuration folder.
Only this computer can open the page, until you ask for the code or --listen says
otherwise.

Never look into the projector's lens. Close the blade whenever you reach up.`,
		Example: `  lozenge table my-quilt.yaml --open
  lozenge table my-quilt.yaml --calibration projector.json
  lozenge table my-quilt.yaml --listen 0.0.0.0:8080`,
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error { return t.table(args[0], f) },
	}
	c.Flags().StringVar(&f.calibration, "calibration", "", "calibration to offer, as 'lozenge calibrate solve' writes it")
	c.Flags().StringVar(&f.listen, "listen", anyPort, "address and port for the page; port 0 is any that is free")
	c.Flags().BoolVar(&f.open, "open", false, "open the page in the usual browser")
	return c
}

// liveCommand is table under the name that it had.
func liveCommand(t talk) *cobra.Command {
	c := tableCommand(t)
	c.Use, c.Hidden = "live PATTERN", true
	run := c.RunE
	c.RunE = func(c *cobra.Command, args []string) error {
		fmt.Fprintln(t.err, "live is called table now: 'lozenge table' (warning)")
		return run(c, args)
	}
	return c
}

// table serves the page until Ctrl and C.
func (t talk) table(path string, f tableFlags) error {
	if path == "-" && f.calibration == "-" {
		return usagef("the pattern and the calibration can't both come from standard input; name a file for one of them")
	}
	if err := checkListen(f.listen); err != nil {
		return err
	}
	var given *calibrate.File
	if f.calibration != "" {
		file, err := t.readCalibration(f.calibration)
		if err != nil {
			return err
		}
		given = &file
	}
	p, err := t.readPlan(path)
	if err != nil {
		return err
	}
	if !p.Fewest.OK() {
		return &answerNo{tooShort(p)}
	}
	folder := t.ownFolder("nothing is kept, neither a calibration nor what is cut")
	signal.Reset(interrupts...) // here they are how it ends
	ctx, stop := signal.NotifyContext(context.Background(), heeded(os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)...)
	defer stop()
	s, err := table.New(table.Config{
		Plan: p, Given: given, GivenName: nameOfGiven(f.calibration),
		Folder: folder, Listen: f.listen,
	})
	if err != nil {
		return &export.DiskError{Op: "listen at", Path: f.listen, Err: reasonOfNetwork(err)}
	}
	if _, err := fmt.Fprintln(t.out, s.Address()); err != nil {
		return err
	}
	if s.Public() {
		fmt.Fprintln(t.err, "every computer on this network that knows the address can open the page (warning)")
	}
	if isTerminal(t.out) {
		fmt.Fprintln(t.err, "open this address in a browser on the projector, full screen (F11); Ctrl and C ends it")
	}
	if f.open {
		if err := openBrowser(s.AddressOnce()); err != nil {
			fmt.Fprintf(t.err, "no browser could be opened (%v); open the address yourself (warning)\n", err)
		}
	}
	// It serves one small page for hours: memory is worth more than time here.
	debug.SetGCPercent(50)
	if err := s.Serve(ctx); err != nil {
		return &export.DiskError{Op: "go on at", Path: s.Address(), Err: err}
	}
	return nil
}

// anyPort is where pages are by default: on this computer only, at a port that is
// free.
const anyPort = "127.0.0.1:0"

// checkListen refuses what is no address to listen at.
func checkListen(text string) error {
	_, port, err := net.SplitHostPort(text)
	if err == nil {
		_, err = net.LookupPort("tcp", port)
	}
	if err != nil {
		return usagef("--listen %s: write an address and a port, such as 127.0.0.1:0", text)
	}
	return nil
}

func nameOfGiven(path string) string {
	if path == "-" {
		return "the calibration from standard input"
	}
	return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
}

// reasonOfNetwork leaves the address out of an error that names it.
func reasonOfNetwork(err error) error {
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err
	}
	return err
}

// openBrowser has the desktop open an address, or a folder.
func openBrowser(address string) error {
	program, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		program = "open"
	case "windows":
		program, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	c := exec.Command(program, args...)
	if err := c.Start(); err != nil {
		return err
	}
	go c.Wait()
	return nil
}
