// SPDX-License-Identifier: Apache-2.0

// Package draw is the drawing without what it shows: lines, outlines, words and
// areas of colour, each with its role. It knows nothing of quilts; the svg, pdf,
// png and dxf packages, which write drawings, know nothing else.
//
// A [Drawing] is at true size in inches or centimetres, x to the right and y up.
// A [Screen] is in the pixels of a screen, u to the right and v down. No writer
// moves a point: what lies where is settled here.
//
// To draw, take a [Pen]: it keeps the size of what was drawn, and sets the page
// round it. What the lines of a role look like is a [Style], the same in every
// format. How wide words are is [TextWidth]. [Project] takes a drawing through a
// map, as onto the mat under a projector, to what a screen shows: layers for a
// file, or lines and words for a page that shows them by itself.
package draw
