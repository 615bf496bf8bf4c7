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
// format. How wide words are a [Face] says; [Face.Wrap] and [Lines] break them into
// lines, [Face.Shorten] cuts them off. Where a label has room, [Room] and
// [LargestBox] find. [Project] takes a drawing through a map, as onto the mat under
// a projector, to the layers of a [Screen]; [ProjectPath] and [ProjectText] serve a
// page that shows lines and words by itself.
package draw
