// SPDX-License-Identifier: Apache-2.0

// Package pdf writes sheets as the pages of a PDF file that is true to size.
//
// One point is 1/72 in. The page box is the sheet's page to 4 decimals, and
// so are all paths: 0.0001 pt is a seven-hundred-thousandth of an inch. The
// sheet's y runs up, as a PDF's does; nothing is turned. The file asks the
// viewer not to scale when it prints; some viewers ignore that, which is why
// sheets have a calibration square.
package pdf
