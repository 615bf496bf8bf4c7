// SPDX-License-Identifier: Apache-2.0

package main

import (
	"slices"
	"strings"
	"testing"
)

// Where a pattern is tried out it is told which names the files will lack letters
// for, as make tells it.
func TestNamesAreToldBeforeTheyAreMade(t *testing.T) {
	_, noticed, err := planOfText("q.yaml", []byte(strings.Replace(namesPattern, "Ş½", "Sand 🌊", 1)))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`the PDFs: "夢 Ώρα" is written "quilt", "海" is written "fabric 1", "Sand 🌊" is written "Sand": the Go fonts lack 夢海🌊; give`, `pieces.dxf: "Sand 🌊" is written "Sand"`} {
		if !slices.ContainsFunc(noticed, func(n string) bool { return strings.HasPrefix(n, want) }) {
			t.Errorf("not noticed: %s in %q", want, noticed)
		}
	}
	if _, noticed, err := planOfText("q.yaml", []byte(strings.NewReplacer("海", "Щёголь", "夢", "").Replace(namesPattern))); err != nil || len(noticed) > 0 {
		t.Errorf("%q, %v", noticed, err)
	}
}
