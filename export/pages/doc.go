// SPDX-License-Identifier: Apache-2.0

// Package pages lays templates out on pages of paper at true size: a strip
// gauge and, for each kind of piece that a plan needs, what is cut, sewn and
// marked. A piece that is larger than the page is spread over several pages
// that overlap. Every page has a calibration square and a bar that prove its
// scale.
//
// [Templates] returns a [draw.Drawing] for each page; the svg and pdf packages
// write them.
package pages
