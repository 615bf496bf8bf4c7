// SPDX-License-Identifier: Apache-2.0

package sewing

// TestRow returns the row to sew before all others, as a test of cutting and
// sewing: of those with the most diamonds the one from the fewest strip sets, and
// of several such the first.
func (o *Order) TestRow() Row {
	var best Row
	fewest := 0
	for _, row := range o.Rows {
		from := map[int]bool{}
		for _, pc := range o.Pieces[row.First : row.First+row.Number] {
			from[pc.StripSet] = true
		}
		if row.Diamonds > best.Diamonds || row.Diamonds == best.Diamonds && len(from) < fewest {
			best, fewest = row, len(from)
		}
	}
	return best
}
