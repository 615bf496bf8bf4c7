// SPDX-License-Identifier: Apache-2.0

// Package pattern reads the pattern file: YAML that a quilter writes by hand,
// turned into a [quilt.Spec] with its defaults filled in.
//
// The file is read strictly. Wrong cloth can't be uncut, so nothing is
// guessed: a key that is not known, a number that could be read in two ways
// or a unit that is not given is a [Problem] with its line and column, what is
// wrong and what to do. [Parse] reports every problem that it finds, not only
// the first.
//
// Numbers are decoded from their text and never from what YAML makes of them,
// which would read 010 as 8 and 3.7 rows as 3.
//
// A file that is not a pattern at all must not cost time or memory either.
// Size, lines and nesting are therefore limited before the YAML library sees
// the text (see guard.go), and anchors, aliases, tags and merge keys are
// refused before anything is built from them.
package pattern
