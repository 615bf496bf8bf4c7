// SPDX-License-Identifier: Apache-2.0

package sewing

import "strconv"

// alphabet leaves out I and O, which look like 1 and 0 on a slip of paper.
const alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"

// Letters returns the letters of diagonal row i, from 0: A to Z without I and
// O, then AA, AB and so on.
func Letters(i int) string {
	out := ""
	for ; i >= 0; i = i/len(alphabet) - 1 {
		out = alphabet[i%len(alphabet):][:1] + out
	}
	return out
}

// Label returns the label of a piece: the letters of its row and its place in
// it, as C3.
func (o *Order) Label(piece int) string {
	p := o.Pieces[piece]
	return o.Rows[p.In].Letters + strconv.Itoa(p.Place)
}
