// SPDX-License-Identifier: Apache-2.0

// Package svgread reads an SVG file as a drawing that can be measured: the
// physical size of the root, every transform and viewBox on the way down, and
// all that draws a line. It reads what other programs write and refuses, with
// a line number, what it can't be sure to have understood: a wrong size is
// worse than none.
//
// The XML is taken apart by the standard library. Entities of a file's own
// are never replaced by anything, but where one is a whole namespace.
package svgread
