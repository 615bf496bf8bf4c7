// SPDX-License-Identifier: Apache-2.0

package measure_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"lozenge/export/dxf"
	"lozenge/export/measure"
)

func fromDXF(t *testing.T, header, entities string) *measure.Drawing {
	t.Helper()
	lines := strings.Fields("0 SECTION 2 HEADER " + header + " 0 ENDSEC 0 SECTION 2 ENTITIES " + entities + " 0 ENDSEC 0 EOF")
	f, err := dxf.Read(strings.NewReader(strings.Join(lines, "\n") + "\n"))
	if err != nil {
		t.Fatal(err)
	}
	d, err := measure.FromDXF(f)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func lwPolyline(layer string, side float64) string {
	return fmt.Sprintf("0 LWPOLYLINE 8 %s 90 4 70 129 10 0 20 0 10 %[2]g 20 0 10 %[2]g 20 %[2]g 10 0 20 %[2]g", layer, side)
}

// FreeCAD/FreeCAD#6461: 2 in is 50.8 mm, whichever way the file says it; the
// factor is applied once.
func TestDXFUnits(t *testing.T) {
	for _, c := range []struct {
		header string
		side   float64
	}{
		{"9 $INSUNITS 70 1 9 $MEASUREMENT 70 0", 2},
		{"9 $INSUNITS 70 4 9 $MEASUREMENT 70 1", 50.8},
		{"9 $INSUNITS 70 4 9 $MEASUREMENT 70 0", 50.8},
		{"9 $INSUNITS 70 5", 5.08},
		{"9 $INSUNITS 70 0 9 $MEASUREMENT 70 1", 50.8},
	} {
		r := fromDXF(t, c.header, lwPolyline("SQUARE", c.side)).Judge(measure.Options{Square: 2, Unit: measure.Millimetre})
		if w := r.Unit.Of(r.Square.Width); math.Abs(w-50.8) > 1e-9 || r.Square.FoundBy != measure.ByLayer || r.Verdict != measure.True {
			t.Errorf("%s: %v mm, %s, %s", c.header, w, r.Square.FoundBy, r.Verdict)
		}
	}
}

// skymakerolof/dxf#20: closed lines of one vertex, of equal vertices, of none.
func TestDegenerateDXF(t *testing.T) {
	d := fromDXF(t, "9 $INSUNITS 70 1", lwPolyline("SQUARE", 4)+
		" 0 LWPOLYLINE 8 CUT 90 1 70 1 10 1 20 1 0 LWPOLYLINE 8 CUT 90 3 70 1 10 1 20 1 10 1 20 1 10 1 20 1 0 LWPOLYLINE 8 CUT 90 0 70 1")
	if r := d.Judge(measure.Options{Plan: plan(t, nil)}); r.Square == nil || r.Square.Nominal != 4 {
		t.Errorf("%+v", r)
	}
}
