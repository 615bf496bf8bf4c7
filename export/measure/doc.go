// SPDX-License-Identifier: Apache-2.0

// Package measure tells whether a file still has its true size, and why not
// when it has not. It is neutral about formats: readers give it a [Drawing],
// and [Drawing.Judge] returns a [Report].
//
// The calibration square is the proof of the scale. It is found by its id,
// its layer or its block, else by its shape; its four sides and both
// diagonals are compared with what it should be. Given a plan, each outline
// is also compared with the piece that it is.
package measure
