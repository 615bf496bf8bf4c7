// SPDX-License-Identifier: Apache-2.0

package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"lozenge/calibrate"
	"lozenge/export/dxf"
	"lozenge/export/measure"
	"lozenge/export/pages"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// flagValues are the values that a shell offers behind a flag, "FLAG" or
// "COMMAND FLAG".
var flagValues = map[string][]string{
	"unit":          namesOf(geometry.Inch, geometry.Centimetre),
	"measure unit":  {string(measure.Inch), string(measure.Centimetre), string(measure.Millimetre)},
	"from":          {fromPieces, fromStripSets, fromOneOfEach},
	"dxf":           namesOf(dxf.Forms[:]...),
	"lens":          namesOf(calibrate.LensAuto, calibrate.LensFit, calibrate.LensOff),
	"for":           namesOf(calibrate.ForPrint, calibrate.ForProjector, calibrate.ForCutter),
	"paper":         pages.Names(),
	"booklet paper": {"letter", "a4"},
	"layers":        {"1", "2", "4"},
	"layout":        append(layoutNames(), "list"),
}

// flagFiles are the endings of the files that a shell offers behind a flag;
// none means folders.
var flagFiles = map[string][]string{
	"out":         nil,
	"calibration": {"json"},
	"pattern":     {"yaml", "yml"},
	"measured":    {"csv"},
	"csv":         {"csv"},
	"map":         {"svg"},
	"font":        {"ttf", "otf", "ttc"},
	"show":        {"svg"},
}

// argumentFiles are the endings of the files that a shell offers for the
// arguments in a command's usage line.
var argumentFiles = map[string][]string{
	"PATTERN":      {"yaml", "yml"},
	"PATTERN...":   {"yaml", "yml"},
	"[SCRAPS.csv]": {"csv"},
	"POINTS":       {"csv"},
	"[POINTS]":     {"csv"},
	"CALIBRATION":  {"json"},
	"FILE...":      {"svg", "dxf", "pdf"},
}

func namesOf[T interface{ String() string }](all ...T) []string {
	var out []string
	for _, v := range all {
		out = append(out, v.String())
	}
	return out
}

// complete has a shell complete the arguments and flags of a command and of
// those below it.
func complete(c *cobra.Command) {
	for _, sub := range c.Commands() {
		complete(sub)
	}
	if !c.HasSubCommands() {
		c.ValidArgsFunction = argumentsOf(strings.Fields(c.Use)[1:])
	}
	c.LocalFlags().VisitAll(func(f *pflag.Flag) {
		values, ok := flagValues[c.Name()+" "+f.Name]
		if !ok {
			values = flagValues[f.Name]
		}
		endings, file := flagFiles[f.Name]
		offer, what := values, cobra.ShellCompDirectiveNoFileComp
		switch {
		case f.Value.Type() == "bool" || f.Name == "output":
			return
		case f.Name == "sizes":
			_ = c.RegisterFlagCompletionFunc(f.Name, sizesSoFar)
			return
		case file && endings == nil:
			what = cobra.ShellCompDirectiveFilterDirs
		case file:
			offer, what = endings, cobra.ShellCompDirectiveFilterFileExt
		}
		// The only error is that of a flag that isn't there.
		_ = c.RegisterFlagCompletionFunc(f.Name, cobra.FixedCompletions(offer, what))
	})
}

// argumentsOf completes the arguments that a usage line begins with.
func argumentsOf(usage []string) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		for i, word := range usage {
			switch endings := argumentFiles[word]; {
			case endings == nil && strings.Trim(word[:1], "-[") == "":
				return nil, cobra.ShellCompDirectiveNoFileComp
			case i < len(args) && !strings.HasSuffix(word, "..."):
			case endings == nil:
				return nil, cobra.ShellCompDirectiveDefault
			default:
				return endings, cobra.ShellCompDirectiveFilterFileExt
			}
		}
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
}

// sizesSoFar completes the last of a booklet's sizes.
func sizesSoFar(_ *cobra.Command, _ []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
	before := typed[:strings.LastIndex(typed, ",")+1]
	var out []string
	for _, name := range append(quilt.SizeNames(), ownSize) {
		out = append(out, before+name)
	}
	return out, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
}
