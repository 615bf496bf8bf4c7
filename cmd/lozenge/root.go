// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"lozenge/export/words"
)

func newRoot(t talk) *cobra.Command {
	root := &cobra.Command{
		Use:   "lozenge",
		Short: "Plan a quilt pieced from strips and draw its cut lines at true size",
		Long: `lozenge plans a quilt that is cut from strip sets: 60 degree diamonds and the
edge triangles that close its top and bottom. From one pattern file it makes the
plan, a picture, the cut lines at true size, and the files for a blade cutter or
a die maker.`,
		Example: `  lozenge new my-quilt.yaml
  lozenge make my-quilt.yaml --out my-quilt`,
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
		// How many letters a mistyped command may be off by.
		SuggestionsMinimumDistance: 2,
		Args:                       noCommand,
		RunE: func(c *cobra.Command, _ []string) error {
			if isTerminal(t.out) { // a double click on Windows has one, too
				return t.open(besideProgram(), openFlags{listen: anyPort})
			}
			return c.Help()
		},
	}
	root.SetIn(t.in)
	root.SetOut(t.out)
	root.SetErr(t.err)
	root.PersistentPreRunE = refuseEmpty
	root.SetFlagErrorFunc(badFlag)
	root.SetHelpTemplate(root.HelpTemplate() + "\n" + exitStatusHelp + "\n")
	root.AddCommand(
		newCommand(t),
		planCommand(t),
		pictureCommand(t),
		matCommand(t),
		cutterCommand(t),
		templatesCommand(t),
		sewingCommand(t),
		scrapsCommand(t),
		bookletCommand(t),
		calibrateCommand(t),
		measureCommand(t),
		tableCommand(t),
		openCommand(t),
		liveCommand(t),
		makeCommand(t),
	)
	complete(root)
	root.InitDefaultHelpCmd()
	for _, c := range root.Commands() {
		if c.Name() == "help" {
			c.Args = helpTopic
		}
	}
	return root
}

// helpTopic refuses help about a word that is no command.
func helpTopic(c *cobra.Command, args []string) error {
	about, rest, err := c.Root().Find(args)
	if err == nil && about.HasSubCommands() {
		err = noCommand(about, rest)
	}
	return err
}

// badFlag says what is wrong with a flag, in words of no library.
func badFlag(c *cobra.Command, err error) error {
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		f := value.GetFlag()
		wanted := map[string]string{"int": "a whole number", "float64": "a number", "bool": "true or false"}[f.Value.Type()]
		return usagef("--%s: %q is not %s; see '%s --help'", f.Name, value.GetValue(), wanted, c.CommandPath())
	}
	return usagef("%v; see '%s --help'", err, c.CommandPath())
}

// refuseEmpty refuses a flag or an argument with nothing in it, or with the next
// flag: more likely a variable that is not set than what is meant.
func refuseEmpty(c *cobra.Command, args []string) (err error) {
	if c.DisableFlagParsing { // of the shell's completion
		return nil
	}
	if slices.Contains(args, "") {
		return usagef("%s: the name of a file is empty; see '%[1]s --help'", c.CommandPath())
	}
	c.Flags().Visit(func(f *pflag.Flag) {
		values := []string{f.Value.String()}
		if list, ok := f.Value.(pflag.SliceValue); ok {
			values = list.GetSlice()
		}
		for _, v := range values {
			if strings.TrimSpace(v) == "" {
				err = usagef("--%s is empty; give it a value or leave it out; see '%s --help'", f.Name, c.CommandPath())
			}
			if strings.HasPrefix(v, "--") {
				err = usagef("--%s has no value before %s; give it one, or write ./%[2]s if that is a name; see '%[3]s --help'", f.Name, v, c.CommandPath())
			}
		}
	})
	return err
}

// noCommand refuses a word that is no command, with the nearest ones.
func noCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := "see '" + c.CommandPath() + " --help'"
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		hint = "did you mean " + words.Either(near) + "?"
	}
	return usagef("%q is no command; %s", args[0], hint)
}

// onePattern is the argument check of the commands that take a pattern file.
func onePattern(c *cobra.Command, args []string) error {
	switch len(args) {
	case 0:
		return usagef("%s needs a pattern file; 'lozenge new my-quilt.yaml' writes one to start from", c.CommandPath())
	case 1:
		return nil
	}
	return usagef("%s takes one pattern file, not %d; put a name with spaces in quotes", c.CommandPath(), len(args))
}

// needs is the argument check of a command that takes as many arguments.
func needs(least, most int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < least || len(args) > most {
			return usagef("%s needs %s", c.CommandPath(), what)
		}
		return nil
	}
}

// version is that of the build: a release or a commit, and devel where the
// build knows of neither, as under go run and go test.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "devel"
}
