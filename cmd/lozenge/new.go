// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/pattern"
	"lozenge/export"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func newCommand(t talk) *cobra.Command {
	var metric, force bool
	var layout string
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a commented pattern file to start from",
		Long: `new writes a pattern file that works as it stands, with a comment beside every
line. Open it in any text editor, change what you like, and run 'lozenge make'.`,
		Example: `  lozenge new my-quilt.yaml
  lozenge new --metric my-quilt.yaml
  lozenge new --layout nested-diamonds my-quilt.yaml
  lozenge new --layout list`,
		Args: func(c *cobra.Command, args []string) error {
			if layout == "list" {
				return needs(0, 0, "no file, for --layout list writes none")(c, args)
			}
			return needs(1, 1, "the name of one file to write, as my-quilt.yaml")(c, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			unit := geometry.Inch
			if metric {
				unit = geometry.Centimetre
			}
			if layout == "list" {
				return listLayouts(t.out)
			}
			text := pattern.Starter(unit)
			if layout != "" {
				named, err := namedLayout(layout)
				if err != nil {
					return err
				}
				if text, err = pattern.StarterOf(unit, named); err != nil {
					return err
				}
			}
			if args[0] == "-" {
				_, err := t.out.Write(text)
				return err
			}
			if strings.ToLower(filepath.Ext(args[0])) != ".yml" {
				if err := rightEnding(args[0], "my-quilt.yaml"); err != nil {
					return err
				}
			}
			err := export.Save(args[0], export.Options{Force: force}, dataOf(text))
			if err == nil {
				t.say("wrote %s; edit it, then run: lozenge make %s --out quilt", args[0], pasted(args[0]))
			}
			return err
		},
	}
	c.Flags().BoolVar(&metric, "metric", false, "in centimetres")
	c.Flags().BoolVar(&force, "force", false, "replace the file if it exists")
	c.Flags().StringVar(&layout, "layout", "", "begin with a layout of that `NAME`; list names them all")
	return c
}

// listLayouts tells the layouts to begin with.
func listLayouts(w io.Writer) error {
	for _, l := range quilt.NamedLayouts() {
		fitted := ""
		if l.Fitted {
			fitted = " (made to the quilt's size)"
		}
		if _, err := fmt.Fprintf(w, "%-16s %s%s\n", l.Name, l.Looks, fitted); err != nil {
			return err
		}
	}
	return nil
}

// layoutNames returns the names of the layouts to begin with, in order.
func layoutNames() (names []string) {
	for _, l := range quilt.NamedLayouts() {
		names = append(names, l.Name)
	}
	return names
}

func namedLayout(name string) (quilt.NamedLayout, error) {
	all := quilt.NamedLayouts()
	i := slices.IndexFunc(all, func(l quilt.NamedLayout) bool { return l.Name == name })
	if i < 0 {
		return quilt.NamedLayout{}, usagef("no layout is called %q; it is one of %s", name, words.List(layoutNames()))
	}
	return all[i], nil
}
