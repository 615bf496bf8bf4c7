// SPDX-License-Identifier: Apache-2.0

// Package calibrate finds out where a projector's pixels land on a cutting
// mat, says how far off that can be, and judges a printed, projected or cut
// square.
//
// # Where to start
//
//   - [Targets] says where the numbered crosses stand on the screen, and
//     [Outlook] how exact a result they can give.
//   - [Solve] turns what the person measured, a list of [Reading], into a
//     [Result]: a verdict with reasons, a table of readings, the expected
//     error and, unless it is rejected, a [Map].
//   - [Result.Crossings] says where crosses are drawn that should lie on the
//     mat's own crossings, and [Refine] solves from the readings and from where
//     each such cross lay in the end, a list of [Nudge], together.
//   - [Map.ToMat] and [Map.ToScreen] go between screen and mat;
//     [Map.Clip] and [Map.Polyline] prepare lines for drawing.
//   - [Result.File] and [File.Map] keep a calibration and bring it back;
//     [Window.Changes] says whether it still holds.
//   - [Map.CheckCrossings] and [Map.Check] tell from two or three crosses, the
//     next day or after a bump, whether it does on the mat: as it was, moved as
//     a whole, or not at all.
//   - [Square] judges four lengths measured on a square.
//
// # Conventions
//
// The screen has u to the right and v down, in pixels; (0, 0) is the outer
// corner of the first pixel, so whole numbers lie between pixels. The mat has
// x to the right and y up, in inches, as the mat's own grid reads. Seen like
// this an ordinary picture turns over from screen to mat: the determinant of
// the map's derivative is negative.
//
// # Model
//
// With c the middle of the screen and R half its diagonal,
//
//	p = ((u, v) - c) / R,   d = p - e,   q = e + d (1 + k1 |d|² + k2 |d|⁴),   (x, y) = H(q)
//
// where H is a homography, k1 and k2 the lens's radial distortion and e its
// middle (0 where they are not fitted). From 9 targets on all of them are, held
// near 0 by what is known of projectors, never chosen by a test. What the model
// can't follow is taken for a random field over the mat whose size is not known
// and never 0: it has its part in the fit, which is generalised least squares,
// and in the error to expect. Slips are judged before that, on H and k1 alone.
//
// With fewer targets, or where a lens is asked for or left out by name, the fit
// minimises the sum of squared distances on the mat, which is the most likely
// map when only the readings are uncertain (Hartley and Zisserman, Multiple View
// Geometry, sections 4.2 and 4.3). A nudge is
// uncertain on the screen: of those the squared distances there are added, and
// each kind is divided by its own variance, believed at first and then found.
//
// # Numbers that are not known
//
// A number that can't be known is NaN, such as the residual of a reading left
// out of the fit when too few others remain; a thing that can't be known is
// nil. Each field says so.
package calibrate
