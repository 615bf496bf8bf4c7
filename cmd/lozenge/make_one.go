// SPDX-License-Identifier: Apache-2.0

package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"lozenge/cmd/internal/problem"
	"lozenge/export"
	"lozenge/geometry/quilt"
)

// patience is how long a command waits for another that writes to the same folder.
const patience = time.Minute

// makeOne makes everything from a pattern and says what.
func (t talk) makeOne(pattern, dir string, letters lettering, kitted kitting, inputs []string, force bool) error {
	p, files, err := t.makeFiles(pattern, dir, letters, kitted, inputs, force)
	if files != nil {
		fmt.Fprintf(t.out, "%s: %s\n", p.Spec.Name, summary(p))
	}
	for _, f := range files {
		fmt.Fprintf(t.out, "  %-28s %s\n", problem.Printable(filepath.Join(dir, f.name)), f.purpose)
	}
	return err
}

// makeFiles reads a pattern and writes everything into dir, and overwrites none
// of the inputs. It returns what was written; then the error, if there is one, is what
// could not be made.
//
// A run that is cut short leaves whole files, old or new, all of them listed:
// the manifest is first written with the names of both runs. Runs into the
// same folder take turns, and so what an earlier one left unfinished can be
// told and removed.
func (t talk) makeFiles(pattern, dir string, letters lettering, kitted kitting, inputs []string, force bool) (p *quilt.Plan, files []product, err error) {
	file, p, err := t.readPattern(pattern)
	if no := kitted.refuses(file); no != nil {
		return p, nil, no
	}
	if err != nil {
		return p, nil, err
	}
	kits, lacking := kitted.of(p)
	var answer *answerNo
	if lacking != nil && !errors.As(lacking, &answer) {
		return p, nil, lacking
	}
	files, no := t.products(p, letters, kits)
	if err := export.MakeDir(dir, 0o777); err != nil {
		return p, nil, err
	}
	lock, err := export.LockFolder(dir, patience)
	if err != nil {
		return p, nil, err
	}
	defer lock.Unlock()
	old, err := readManifest(dir, force)
	if err != nil {
		return p, nil, err
	}
	if path := old.foreign(dir, files); path != "" && !force {
		return p, nil, usagef("%s was not written by make and is kept; move it away, choose another folder, or add --force to replace it", path)
	}

	opts := export.Options{Force: true, Inputs: inputs, Locked: true}
	bar := t.newProgress(len(files))
	defer bar.clear()
	now := manifest{Version: version(), Pattern: p.Spec.Name, Files: make([]manifestFile, len(files))}
	batch := export.NewBatch(opts)
	defer batch.Discard()
	var staged []export.File
	for i, f := range files {
		staged = append(staged, export.File{Path: filepath.Join(dir, f.name), Write: measured(f.name, f.write, &now.Files[i])})
	}
	if err := batch.AddAll(staged, func(i int) { bar.step(files[i].name) }); err != nil {
		return p, nil, err
	}
	gone := stale(dir, old, now)
	if err := batch.Held(gone...); err != nil {
		return p, nil, err
	}
	both := manifest{Version: now.Version, Pattern: now.Pattern, Files: now.Files[:len(files):len(files)]}
	for _, f := range old.Files {
		if !now.lists(f.Name) {
			both.Files = append(both.Files, f)
		}
	}
	list := filepath.Join(dir, manifestName)
	if err := export.Save(list, opts, jsonOf(both)); err != nil {
		return p, nil, err
	}
	if err := batch.Commit(); err != nil {
		return p, nil, err
	}
	for _, path := range gone {
		if err := os.Remove(path); err != nil {
			return p, nil, &export.DiskError{Op: "remove", Path: path, Err: err}
		}
	}
	if len(both.Files) > len(now.Files) {
		if err := export.Save(list, opts, jsonOf(now)); err != nil {
			return p, nil, err
		}
	}
	return p, files, cmp.Or(no, lacking)
}
