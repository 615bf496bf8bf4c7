// SPDX-License-Identifier: Apache-2.0

package spreadsheet_test

import (
	"math"
	"strings"
	"testing"

	"lozenge/cmd/internal/spreadsheet"
)

func TestDecimal(t *testing.T) {
	for text, want := range map[string]float64{
		"1824": 1824, "-3": -3, "96.5": 96.5, ".5": 0.5, "2.": 2, "-0": 0, "96,5": 96.5,
		"0x10": math.NaN(), "1e3": math.NaN(), "NaN": math.NaN(), "Inf": math.NaN(), "9.6.0": math.NaN(),
		"1_0": math.NaN(), "+1": math.NaN(), "-": math.NaN(), ".": math.NaN(), "--1": math.NaN(),
		"123456789012345678901": math.NaN(), "left": math.NaN(), "1,2,3": math.NaN(),
	} {
		tab, err := spreadsheet.Parse("s.csv", []byte("u;v\n"+text+";1\n"), "u")
		if err != nil {
			t.Fatal(err)
		}
		v, ok := tab.Rows[0].Decimal("u", "pixels")
		if ok == math.IsNaN(want) || ok && (v != want || math.Signbit(v) != math.Signbit(want)) {
			t.Errorf("%q: %v, %v, want %v", text, v, ok, want)
		}
		if err := tab.Err(); !ok && (err == nil || !strings.HasPrefix(err.Error(), "s.csv:2:1: u: `"+text+"` is not a number; pixels")) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestNoMore(t *testing.T) {
	tab, err := spreadsheet.Parse("s.csv", []byte("a,b\n1,2\n1,2,,\n1,2,5,3\n1\n"), "a", "b")
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []bool{true, true, false, true} {
		if got := tab.Rows[i].NoMore(); got != want {
			t.Errorf("row %d: %v", i, got)
		}
	}
	if err := tab.Err(); err == nil || !strings.HasPrefix(err.Error(), "s.csv:4:5: the line has more cells than the 2 that the heading names") || strings.Contains(err.Error(), "\n") {
		t.Errorf("%v", err)
	}
}
