// SPDX-License-Identifier: Apache-2.0

package target_test

import (
	"bytes"
	"fmt"

	"lozenge/calibrate"
	"lozenge/export/target"
)

// Twelve crosses for a projector, as a picture of its screen.
func ExampleWrite() {
	var file bytes.Buffer
	err := target.Write(&file, target.Sheet{
		Screen: calibrate.Screen{Width: 1920, Height: 1080},
		Grid:   calibrate.Grid{Columns: 4, Rows: 3},
		Words:  []string{"Read on the mat where each cross lands."},
	})
	fmt.Println(bytes.Contains(file.Bytes(), []byte("viewBox=\"0 0 1920 1080\"")), err)
	// Output:
	// true <nil>
}
