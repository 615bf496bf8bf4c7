// SPDX-License-Identifier: Apache-2.0

//go:build race

package calibrate_test

// raceDetector tells whether the race detector is at work.
const raceDetector = true
