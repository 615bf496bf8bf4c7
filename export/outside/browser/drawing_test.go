// SPDX-License-Identifier: Apache-2.0

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// A drawing with every kind of transform, its places worked by hand: a viewBox
// of 10 on 200 px makes 20 px of a unit.
func TestDrawing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "t.svg")
	err := os.WriteFile(file, []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="200" height="200" viewBox="0 0 10 10">
		<g id="cut" transform="translate(1 2)"><g><path d="M0,0 h2 V3 z" data-number="7"/></g>
		<path d="M0,0 1,0 M5,5 L6,5"/></g>
		<defs><path d="M0,0 L1,1"/></defs><path d="M0,0 C1,1 2,2 3,3"/>
		<rect id="calibration-square" data-size="2in" transform="rotate(90)" x="1" y="-3" width="2" height="2"/></svg>`), 0o666)
	if err != nil {
		t.Fatal(err)
	}
	d := Open(t, Options{}).Drawing(file)
	got := fmt.Sprintf("%v %v %v", d.Width, d.Height, d.Ratio)
	for _, l := range d.Lines {
		got += fmt.Sprintf("\n%s %s %s %s %v %v %v %v", l.Group, l.ID, l.Number, l.Size, l.Closed, l.Points, l.Walked, l.Box)
	}
	want := `200 200 1
cut  7  true [[20 40] [60 40] [60 100]] [[20 40] [60 40] [60 100]] [20 40 60 100]
cut    false [[20 40] [40 40]] [] [20 40 140 140]
cut    false [[120 140] [140 140]] [] [20 40 140 140]
 calibration-square  2in true [[60 20] [60 60] [20 60] [20 20]] [] [20 20 60 60]`
	if got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
}
