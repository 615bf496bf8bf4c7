// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/export"
)

// textOf returns what writes a text that is made when it is written.
func textOf(text func() ([]byte, error)) func(io.Writer) error {
	return func(w io.Writer) error {
		data, err := text()
		if err == nil {
			_, err = w.Write(data)
		}
		return err
	}
}

// dataOf returns what writes data that is there.
func dataOf(data []byte) func(io.Writer) error {
	return textOf(func() ([]byte, error) { return data, nil })
}

// jsonText returns a value for other programs.
func jsonText(v any) ([]byte, error) {
	text, err := json.MarshalIndent(v, "", "  ")
	return append(text, '\n'), err
}

// when returns v where ok, else nil, which is null in JSON.
func when[T any](ok bool, v T) *T {
	if !ok {
		return nil
	}
	return &v
}

// jsonOf returns what writes a value for other programs.
func jsonOf(v any) func(io.Writer) error {
	return textOf(func() ([]byte, error) { return jsonText(v) })
}

// answer prints what a command has to say: text, or v for other programs.
func answer(w io.Writer, asJSON bool, text []byte, v any) error {
	if asJSON {
		return jsonOf(v)(w)
	}
	_, err := w.Write(text)
	return err
}

// output is where a command writes its one file.
type output struct {
	path  string
	force bool
}

func (o *output) flags(c *cobra.Command, example string) {
	c.Flags().StringVarP(&o.path, "output", "o", "-", "file to write, as "+example+"; - is standard output")
	c.Flags().BoolVar(&o.force, "force", false, "replace the file if it exists")
}

// formats are those that a name may claim to have, by its ending.
var formats = []string{".svg", ".png", ".pdf", ".dxf", ".csv", ".json", ".yaml", ".yml", ".txt"}

// rightEnding refuses a name that ends as a file of another format does. example
// is a right one; of an input something else is wrong.
func rightEnding(path, example string, inputs ...string) error {
	ending, right := strings.ToLower(filepath.Ext(path)), filepath.Ext(example)
	if ending == right || slices.Contains(inputs, path) || !slices.Contains(formats, ending) {
		return nil
	}
	return usagef("%s would hold %s, whatever its name says; call it something that ends in %s, as %s", path, strings.ToUpper(right[1:]), right, example)
}

// save has write produce the file, or sends it to standard output. The arguments
// are never written over.
func (o output) save(t talk, example string, write func(io.Writer) error, arguments ...string) error {
	if o.path == "-" {
		if isTerminal(t.out) {
			return usagef("this would fill the screen with drawing commands; add -o %s", example)
		}
		return write(t.out)
	}
	if err := rightEnding(o.path, example, arguments...); err != nil {
		return err
	}
	return export.Save(o.path, export.Options{Force: o.force, Inputs: inputs(arguments...)}, write)
}

// namedFile is a file to write into a folder.
type namedFile struct {
	name  string
	write func(io.Writer) error
}

// folder is where a command writes several files.
type folder struct {
	dir   string
	force bool
}

func (f *folder) flags(c *cobra.Command) {
	c.Flags().StringVar(&f.dir, "out", "", "folder to write to; made if missing")
	c.Flags().BoolVar(&f.force, "force", false, "replace files that exist")
}

// check refuses a command that can't do without a folder.
func (f folder) check(c *cobra.Command) error {
	if f.dir == "" {
		return usagef("%s needs a folder to write to; add --out %s", c.Name(), c.Name())
	}
	return nil
}

// write writes all files, or none; the arguments are never written over. It
// makes the folder if need be. Runs into the same folder take turns.
func (f folder) write(files []namedFile, arguments ...string) error {
	if err := export.MakeDir(f.dir, 0o777); err != nil {
		return err
	}
	lock, err := export.LockFolder(f.dir, patience)
	if err != nil {
		return err
	}
	defer lock.Unlock()
	b := export.NewBatch(export.Options{Force: f.force, Inputs: inputs(arguments...), Locked: true})
	defer b.Discard()
	for _, one := range files {
		if err := b.Add(filepath.Join(f.dir, one.name), one.write); err != nil {
			return err
		}
	}
	return b.Commit()
}

// noteStale names files of an earlier run, which would be taken for some of
// these.
func (t talk) noteStale(f folder, named *regexp.Regexp, files []namedFile) {
	entries, _ := os.ReadDir(f.dir) // what was just written is there all the same
	for _, e := range entries {
		if named.MatchString(e.Name()) && !slices.ContainsFunc(files, func(one namedFile) bool { return one.name == e.Name() }) {
			t.say("lozenge: %s is of an earlier run; delete it lest you take it for one of these (warning)", filepath.Join(f.dir, e.Name()))
		}
	}
}

// inputs lists the files among the arguments that a command must not write
// over.
func inputs(arguments ...string) []string {
	return slices.DeleteFunc(slices.Clone(arguments), func(a string) bool { return a == "-" || a == "" })
}
