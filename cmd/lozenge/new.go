// SPDX-License-Identifier: Apache-2.0

package main

import (
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/pattern"
	"lozenge/export"
	"lozenge/geometry"
)

func newCommand(t talk) *cobra.Command {
	var metric, force bool
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a commented pattern file to start from",
		Long: `new writes a pattern file that works as it stands, with a comment beside every
line. Open it in any text editor, change what you like, and run 'lozenge make'.`,
		Example: `  lozenge new my-quilt.yaml
  lozenge new --metric my-quilt.yaml`,
		Args: needs(1, 1, "the name of one file to write, as my-quilt.yaml"),
		RunE: func(_ *cobra.Command, args []string) error {
			unit := geometry.Inch
			if metric {
				unit = geometry.Centimetre
			}
			text := pattern.Starter(unit)
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
	return c
}
