// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"syscall"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/desk"
	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/table"
	"lozenge/export"
	"lozenge/export/dxf"
	"lozenge/export/measure"
	"lozenge/export/words"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// openFlags are the flags of open.
type openFlags struct {
	listen string
	quiet  bool
}

func openCommand(t talk) *cobra.Command {
	var f openFlags
	c := &cobra.Command{
		Use:   "open [PATTERN|FOLDER]",
		Short: "Try a quilt out on a page in the browser, save it and make it",
		Long: `open shows one page in your browser on which a pattern is tried out: what you
change is planned at once, and the quilt, its size and what to buy are seen beside
it. The page saves the pattern as the file that a person would write, makes all
files from it, leads to the page under the projector, and measures files that are
dropped on it. Patterns are looked for in the folder that is given, or the current
one. Ctrl and C ends it.

Only this computer can open the page. What is not saved is kept in your own
configuration folder.`,
		Example: `  lozenge open
  lozenge open my-quilt.yaml
  lozenge open quilts --no-browser`,
		Args: needs(0, 1, "at most one pattern file, as my-quilt.yaml"),
		RunE: func(_ *cobra.Command, args []string) error { return t.open(strings.Join(args, ""), f) },
	}
	c.Flags().StringVar(&f.listen, "listen", anyPort, "address and port for the page; port 0 is any that is free")
	c.Flags().BoolVar(&f.quiet, "no-browser", false, "print the address and open no browser")
	return c
}

// open serves the page until Ctrl and C.
func (t talk) open(path string, f openFlags) error {
	if err := checkListen(f.listen); err != nil {
		return err
	}
	folder, file := ".", ""
	if path != "" {
		info, err := os.Stat(path)
		switch {
		case err != nil:
			_, _, err := problem.Read(path, nil, 1, "; 'lozenge open' without a name begins a new one")
			return err
		case info.IsDir():
			folder = path
		default:
			folder, file = filepath.Split(path)
		}
	}
	if folder == "" {
		folder = "."
	}
	drafts := ""
	if own := t.ownFolder("nothing is kept of what is not saved"); own != "" {
		drafts = filepath.Join(own, "unsaved")
	}
	// Plans come fast one after the other: memory for time. A quilt of 2,500 diamonds
	// then takes some 75 MB.
	debug.SetGCPercent(300)
	signal.Reset(interrupts...) // here they are how it ends
	ctx, stop := signal.NotifyContext(context.Background(), heeded(os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)...)
	defer stop()
	d := &deskWork{ctx: ctx}
	work := d.work()
	if !f.quiet && f.listen == anyPort { // she sits at this computer
		work.Show = openBrowser
	}
	s, err := desk.New(desk.Config{Work: work, Folder: folder, File: file, Drafts: drafts, Listen: f.listen})
	if err != nil {
		return &export.DiskError{Op: "listen at", Path: f.listen, Err: reasonOfNetwork(err)}
	}
	if _, err := fmt.Fprintln(t.out, s.Address()); err != nil {
		return err
	}
	if s.Public() {
		fmt.Fprintln(t.err, "every computer on this network that knows the address can open the page, and write into the folder (warning)")
	}
	if !f.quiet {
		if err := openBrowser(s.AddressOnce()); err != nil {
			fmt.Fprintf(t.err, "no browser could be opened (%v); open the address yourself (warning)\n", err)
		}
	}
	if isTerminal(t.out) {
		fmt.Fprintln(t.err, "the page is open as long as this runs; Ctrl and C ends it")
	}
	err = s.Serve(ctx)
	d.tables.Wait()
	if err != nil {
		return &export.DiskError{Op: "go on at", Path: s.Address(), Err: err}
	}
	return nil
}

// besideProgram returns where to look for patterns when nothing was asked for: a
// double click on a Mac has the program begin in her home folder, and the
// examples lie beside the program. "" is the current folder.
func besideProgram() string {
	here, err := os.Getwd()
	home, _ := os.UserHomeDir()
	program, err2 := os.Executable()
	if err != nil || err2 != nil || here != home {
		return ""
	}
	return filepath.Dir(program)
}

// ownFolder returns the folder of what is kept for the user, and warns where there
// is none, in which case it is "".
func (t talk) ownFolder(lost string) string {
	folder, err := os.UserConfigDir()
	if err != nil {
		t.say("%s: your configuration folder can't be found (%v) (warning)", lost, err)
		return ""
	}
	return filepath.Join(folder, "lozenge")
}

// deskWork does what the page asks for, by the commands' own means.
type deskWork struct {
	ctx    context.Context
	tables sync.WaitGroup // the pages under the projector
}

func (d *deskWork) work() desk.Work {
	return desk.Work{
		Plan: planOfText,
		Facts: func(p *quilt.Plan) []desk.Section {
			t := &text{unit: p.Spec.Unit}
			t.size(p)
			t.shopping(p)
			t.section("Strip sets")
			if p.Fewest.OK() {
				t.row("in all", "%d, %s", len(p.Fewest.Layouts), words.SetLengths(p))
				if said := words.Tight(p); said != "" {
					t.paragraph("", said)
				}
			} else {
				t.paragraph("", words.Sentence(tooShort(p)))
			}
			if said := words.Edges(p); said != "" {
				t.paragraph("", said)
			}
			t.items("Note", words.Notes(p)...)
			return t.sections
		},
		Read:    func(p *quilt.Plan) []desk.Section { return planWords(p, nil, nil).sections },
		Sewing:  func(p *quilt.Plan) []desk.Section { return sewingOrder(p, sewing.New(p), true).sections },
		Make:    makeForDesk,
		Table:   d.table,
		Measure: measureForDesk,
	}
}

// planOfText plans the pattern in a text.
func planOfText(name string, data []byte) (*quilt.Plan, []string, error) {
	p, err := pattern.Parse(name, data)
	if err != nil {
		return nil, nil, err
	}
	var said bytes.Buffer
	t := talk{err: &said}
	plan, err := t.planned(p)
	var noticed []string
	for _, w := range p.Warnings {
		noticed = append(noticed, w.Message+"; "+w.Hint)
	}
	if err == nil {
		_, inPDF := lettered(plan, lettering{}, inPDFs, true)
		_, inDXF := letteredDXF(plan, dxf.AC1015, outlinesName)
		noticed = append(noticed, slices.DeleteFunc([]string{inPDF, inDXF}, func(told string) bool { return told == "" })...)
	}
	return plan, noticed, err
}

// makeForDesk makes everything from a pattern file.
func makeForDesk(file, dir string, far func(done, of int)) (made []desk.Made, err error) {
	var out, said bytes.Buffer
	t := talk{out: &checkedWriter{w: &out}, err: &said, far: far}
	err = export.Guard(func() error {
		_, files, err := t.makeFiles(file, dir, lettering{}, kitting{}, inputs(file), false)
		for _, f := range files {
			made = append(made, desk.Made{Name: f.name, Purpose: f.purpose})
		}
		return err
	})
	return made, err
}

// table serves the page under the projector beside the other one.
func (d *deskWork) table(p *quilt.Plan) (string, error) {
	if !p.Fewest.OK() {
		return "", errors.New(tooShort(p))
	}
	var said bytes.Buffer
	folder := talk{err: &said}.ownFolder("")
	s, err := table.New(table.Config{Plan: p, Folder: folder, Listen: anyPort})
	if err != nil {
		return "", reasonOfNetwork(err)
	}
	d.tables.Go(func() { s.Serve(d.ctx) }) // what it could not keep it has told its page
	return s.Address(), nil
}

// measureForDesk measures a file by its contents.
func measureForDesk(name string, data []byte, p *quilt.Plan) (string, error) {
	d, err := talk{in: bytes.NewReader(data)}.readDrawing("-", measure.Options{}.Unit)
	if err != nil {
		return "", err
	}
	return string(measureText([]fileReport{{name, d.Judge(measure.Options{Plan: p})}})), nil
}
