// SPDX-License-Identifier: Apache-2.0

// Package booklet lays a quilt out as a booklet from which others can sew it,
// in one size or several: what to buy, how to cut, what goes where, in which
// order it is sewn, and templates at true size.
//
// [Make] returns a [draw.Drawing] for each page, and the bookmarks; the pdf
// package writes them. Every figure in the text is one of a [quilt.Plan], or
// its metric twin; nothing is computed here but where things stand on paper.
// Drawings of pieces and of the quilt are in true proportion.
//
// Text is set with the widths that the PDF's font has, so that lines are
// broken where they end and nothing overlaps. Everything is laid out as often
// as it takes until what the text says of pages, figures and tables is so.
package booklet
