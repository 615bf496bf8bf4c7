// SPDX-License-Identifier: Apache-2.0

// Package strip computes strip sets: how wide the sewn strips are, where
// their seams lie, and what a length of them gives when it is cut.
//
// [New] makes a [Set] from cut widths. A [Row] is one strip set laid out from
// end to end: the pieces side by side and the cut lines between them in
// cutting order. [Set.Yield] counts how many pieces a length gives.
package strip
