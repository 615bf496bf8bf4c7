// SPDX-License-Identifier: Apache-2.0

// Package svgread reads an SVG file as a drawing that can be measured: the
// physical size of the root, every transform and viewBox on the way down, and
// all that draws a line. It reads what other programs write and refuses, with
// a line number, what it can't be sure to have understood: a wrong size is
// worse than none.
//
// It has its own small reader of XML, which keeps the file as it is and points
// into it, so that large files take little time and memory. Entities of a file's own are never replaced by anything.
package svgread
