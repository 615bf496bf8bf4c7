// SPDX-License-Identifier: Apache-2.0

// Package table serves the page that stands under the projector: it is
// calibrated there, and then shows one cut after another at true size; and the
// page for the hand, which has its buttons.
//
// # Who does what
//
// A [Server] hands out the page and hears it. All that is known and decided
// is in its session: the page tells it what was typed or pressed (an action),
// and gets back what to show (a view): lines in device pixels, words, and
// which keys do what. The page draws; it computes nothing but how large its
// letters can be. Every open page hears at once what another one did; only the
// one that shows the picture is judged by its window.
//
// Progress is the set of cuts that are made, never a place, and is on the disk
// before a page is told of it.
//
// # Who may ask
//
// The address holds a random token; whoever does not know it gets nothing.
// Requests under another host's name are refused, which is what a page of
// somebody else's would have to use (DNS rebinding), and so are requests that
// a page of another origin sent.
//
// # What is kept
//
// Calibrations, readings of one that is under way, the cuts that are made of
// each pattern, and the look of the lines lie in the user's configuration folder. Each file is written
// whole or not at all.
package table
