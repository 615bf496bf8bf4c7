// SPDX-License-Identifier: Apache-2.0

package pattern

import "lozenge/cmd/internal/problem"

// Problem is something wrong with a pattern file, or something that she
// should know about it.
type Problem = problem.Problem

// Problems is at least one Problem, in the order of the file.
type Problems = problem.List

func show(text string) string { return problem.Show(text) }
