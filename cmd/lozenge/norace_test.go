// SPDX-License-Identifier: Apache-2.0

//go:build !race

package main

// raceDetector tells whether the race detector is at work.
const raceDetector = false
