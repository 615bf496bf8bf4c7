// SPDX-License-Identifier: Apache-2.0

// Package target draws what goes with calibrating a projector: the numbered
// crosses that are shown on the mat ([Write]), and the map of how far off a
// line may land there ([ErrorMap]).
package target
