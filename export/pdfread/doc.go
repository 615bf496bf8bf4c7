// SPDX-License-Identifier: Apache-2.0

// Package pdfread reads the pages of a PDF file as a drawing that can be
// measured: page boxes, and the lines that the content draws, through our own
// stack of transforms and through form XObjects. It knows tables of objects
// and streams of them, object streams, and Flate.
//
// It has its own small reader of the file's structure. A reader made for
// files that are well meant takes its numbers at their word: a table that
// says it has 10^9 entries, a chain of tables that comes back to its
// beginning, a stream that unpacks to gigabytes. Here everything that a file
// may ask for is bounded by what it holds, and a number that is not one is an
// error, not a 0.
package pdfread
