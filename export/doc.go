// SPDX-License-Identifier: Apache-2.0

// Package export holds what every writer of a file needs: numbers as text
// ([Numbers]), outlines fit to be written ([Distinct]) and files that are
// written whole or not at all ([WriteFile], [Batch]).
//
// The formats themselves live below it: svg, dxf and their like take a
// draw.Drawing and an io.Writer; none of them opens a file, and none of them
// computes geometry beyond turning y round where the format wants it.
package export
