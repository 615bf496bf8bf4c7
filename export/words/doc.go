// SPDX-License-Identifier: Apache-2.0

// Package words is the one place for phrases that people read: numbers with
// their nouns, lists, amounts to buy, and the names of pieces, strip sets,
// fabrics and colours. Plan, booklet, sheets, frames and the pages in the
// browser all ask it, so that what is one thing has one name, also where letters
// are lacking for it ([InLetters]).
//
// Lengths are written by [geometry.FormatLength]; [Held] keeps one on a line.
package words
