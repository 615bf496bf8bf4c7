// SPDX-License-Identifier: Apache-2.0

// Package desk is the page on her own computer where a pattern is tried out.
//
// What is tried out is the text of the pattern file itself: a change of a field is a
// change of that text in its place ([pattern.Set]), so that what is saved is what a
// person would have written, and undo is the text before. The server knows and
// decides; the page (page/, plain modules, no build step) shows a view of it and says
// what was done. Planning goes on beside it: typing never waits, the newest text
// wins, and the last good quilt stays in view.
package desk
