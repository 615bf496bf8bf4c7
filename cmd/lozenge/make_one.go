// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"path/filepath"
	"time"

	"lozenge/cmd/internal/problem"
	"lozenge/export"
)

// patience is how long a command waits for another that writes to the same folder.
const patience = time.Minute

// makeOne reads a pattern and writes everything into dir, and overwrites none
// of the inputs.
//
// A run that is cut short leaves whole files, old or new, all of them listed:
// the manifest is first written with the names of both runs. Runs into the
// same folder take turns, and so what an earlier one left unfinished can be
// told and removed.
func (t talk) makeOne(pattern, dir string, letters lettering, inputs []string, force bool) error {
	p, err := t.readPlan(pattern)
	if err != nil {
		return err
	}
	files, no := t.products(p, letters)
	if err := export.MakeDir(dir, 0o777); err != nil {
		return err
	}
	lock, err := export.LockFolder(dir, patience)
	if err != nil {
		return err
	}
	defer lock.Unlock()
	old, err := readManifest(dir)
	if err != nil && !force {
		return err
	}
	if path := old.foreign(dir, files); path != "" && !force {
		return usagef("%s was not written by make and is kept; move it away, choose another folder, or add --force to replace it", path)
	}

	opts := export.Options{Force: true, Inputs: inputs, Locked: true}
	bar := newProgress(t.err, len(files))
	defer bar.clear()
	now := manifest{Version: version(), Pattern: p.Spec.Name, Files: make([]manifestFile, len(files))}
	batch := export.NewBatch(opts)
	defer batch.Discard()
	var staged []export.File
	for i, f := range files {
		staged = append(staged, export.File{Path: filepath.Join(dir, f.name), Write: measured(f.name, f.write, &now.Files[i])})
	}
	if err := batch.AddAll(staged, func(i int) { bar.step(files[i].name) }); err != nil {
		return err
	}
	both := manifest{Version: now.Version, Pattern: now.Pattern, Files: now.Files[:len(files):len(files)]}
	for _, f := range old.Files {
		if !now.lists(f.Name) {
			both.Files = append(both.Files, f)
		}
	}
	list := filepath.Join(dir, manifestName)
	if err := export.Save(list, opts, jsonOf(both)); err != nil {
		return err
	}
	if err := batch.Commit(); err != nil {
		return err
	}
	if err := removeStale(dir, old, now); err != nil {
		return err
	}
	if len(both.Files) > len(now.Files) {
		if err := export.Save(list, opts, jsonOf(now)); err != nil {
			return err
		}
	}
	bar.clear()
	fmt.Fprintf(t.out, "%s: %s\n", p.Spec.Name, summary(p))
	for _, f := range files {
		fmt.Fprintf(t.out, "  %-28s %s\n", problem.Printable(filepath.Join(dir, f.name)), f.purpose)
	}
	return no
}
