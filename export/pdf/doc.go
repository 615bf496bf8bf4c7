// SPDX-License-Identifier: Apache-2.0

// Package pdf writes drawings as the pages of a PDF file that is true to size.
//
// One point is 1/72 in. The page box is the drawing's page to 4 decimals, and
// so are all paths: 0.0001 pt is a seven-hundred-thousandth of an inch. The
// drawing's y runs up, as a PDF's does; nothing is turned. The file asks the
// viewer not to scale when it prints; some viewers ignore that, which is why
// drawings have a calibration square.
package pdf
