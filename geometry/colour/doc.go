// SPDX-License-Identifier: Apache-2.0

// Package colour measures colours as the eye does, in CIELAB, orders them so
// that they shade into one another, and chooses the ink for a label.
//
// Every decision is made in whole numbers: conversions go through powers and
// cube roots, whose last bits differ from processor to processor, and are
// rounded to a thousandth before anything is compared.
package colour
