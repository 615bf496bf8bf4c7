// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"lozenge/export"
	"lozenge/export/pages"
	"lozenge/export/sheet"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

func makeCommand(t talk) *cobra.Command {
	var dir string
	var force bool
	c := &cobra.Command{
		Use:   "make PATTERN --out DIR",
		Short: "Make everything from a pattern file, in one run",
		Long: `make writes the plan, the picture, the cut lines and the pieces into one folder,
and a manifest that lists them. Run it again after a change: it replaces the
files that its manifest lists. A file that it did not write is kept.`,
		Example: `  lozenge make my-quilt.yaml --out my-quilt
  lozenge make testdata/tide-lap.yaml --out out`,
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			if dir == "" {
				return usagef("make needs a folder to write to; add --out my-quilt")
			}
			p, err := t.readPlan(args[0])
			if err != nil {
				return err
			}
			return t.makeAll(p, args[0], dir, force)
		},
	}
	c.Flags().StringVar(&dir, "out", "", "folder to write to; made if missing")
	c.Flags().BoolVar(&force, "force", false, "also replace files that make did not write")
	return c
}

// product is one file that make writes and what it is for.
type product struct {
	namedFile
	purpose string
}

// products returns the files of a plan, in the order in which she needs them.
// no says what could not be made and why.
func products(p *quilt.Plan) (files []product, no error) {
	add := func(name, purpose string, write func(io.Writer) error) {
		files = append(files, product{namedFile{name, write}, purpose})
	}
	add("plan.txt", "the plan: sizes, what to buy, what to sew and cut", func(w io.Writer) error {
		_, err := w.Write(planText(p, nil))
		return err
	})
	add("plan.json", "the same for other programs", func(w io.Writer) error {
		data, err := planJSON(p)
		if err == nil {
			_, err = w.Write(data)
		}
		return err
	})
	add("picture.svg", "the finished quilt in colour", svgOf(sheet.Picture(p)))
	order := sewing.New(p)
	add("sewing.txt", "what to sew to what, in which order", sewingTextOf(p, order))
	add("sewing.svg", "the whole quilt with labels, bias edges and joins", svgOf(sheet.Sewing(p, order, 0)))
	mat, no := matSheet(p)
	if no == nil {
		add("mat.svg", "the strip sets, every cut numbered, true size", svgOf(mat))
	}
	// Paper too small for a quilt's templates is a matter of its own command.
	if paper, err := parsePaper("", p.Spec.Unit); err == nil {
		if sheets, err := pages.Templates(p, paper); err == nil {
			add("templates.pdf", "templates to print at 100 %, "+paperName(p.Spec.Unit), templateFiles(p.Spec.Name+": templates", sheets)[0].write)
		}
	}
	pieces := sheet.Cutter(p)
	add("pieces.dxf", "one piece of each kind for a blade cutter or die maker", dxfOf(pieces))
	add("pieces.svg", "the same as SVG, true size", svgOf(pieces))
	return files, no
}

// makeAll writes all products into dir. A run that is cut short leaves whole
// files, old or new, all of them listed: the manifest is first written with
// the names of both runs.
func (t talk) makeAll(p *quilt.Plan, pattern, dir string, force bool) error {
	files, no := products(p)
	if err := export.MakeDir(dir); err != nil {
		return err
	}
	old, err := readManifest(dir)
	if err != nil && !force {
		return err
	}
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = f.name
	}
	if name, ok := old.foreign(dir, names); ok && !force {
		return usagef("%s was not written by make and is kept; move it away, choose another folder, or add --force to replace it", filepath.Join(dir, name))
	}

	opts := export.Options{Force: true, Inputs: inputs(pattern)}
	bar := newProgress(t.err, len(files))
	defer bar.clear()
	now := manifest{Pattern: p.Spec.Name}
	batch := export.NewBatch(opts)
	defer batch.Discard()
	for _, f := range files {
		bar.step(f.name)
		write := measured(f.name, f.write, func(m manifestFile) { now.Files = append(now.Files, m) })
		if err := batch.Add(filepath.Join(dir, f.name), write); err != nil {
			return err
		}
	}
	both := manifest{Pattern: now.Pattern, Files: now.Files}
	for _, f := range old.Files {
		if _, ok := now.find(f.Name); !ok {
			both.Files = append(both.Files, f)
		}
	}
	list := filepath.Join(dir, manifestName)
	if err := export.Save(list, opts, both.write); err != nil {
		return err
	}
	if err := batch.Commit(); err != nil {
		return err
	}
	if err := removeStale(dir, old, now); err != nil {
		return err
	}
	if len(both.Files) > len(now.Files) {
		if err := export.Save(list, opts, now.write); err != nil {
			return err
		}
	}
	bar.clear()
	fmt.Fprintf(t.out, "%s: %s\n", p.Spec.Name, summary(p))
	for _, f := range files {
		fmt.Fprintf(t.out, "  %-28s %s\n", filepath.Join(dir, f.name), f.purpose)
	}
	return no
}

func summary(p *quilt.Plan) string {
	t := &text{unit: p.Spec.Unit}
	return fmt.Sprintf("%d columns, %d rows, finished %s wide and %s high",
		p.Columns, p.Rows, t.length(p.Finished.Width), t.length(p.Finished.Height))
}
