// SPDX-License-Identifier: Apache-2.0

package export

import (
	"bytes"
	"io"
)

// Take copies all of a file that is read, for readers that need it whole.
// whole is false when it has more than so many bytes; that is no error of the
// file's.
func Take(to interface {
	io.Writer
	Grow(int)
}, from io.Reader, most int) (whole bool, err error) {
	if l, ok := from.(interface{ Len() int }); ok {
		to.Grow(min(l.Len(), most+1) + bytes.MinRead)
	}
	n, err := io.Copy(to, io.LimitReader(from, int64(most)+1))
	return n <= int64(most), err
}
