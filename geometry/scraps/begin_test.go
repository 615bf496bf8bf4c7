// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"fmt"
	"testing"

	"lozenge/geometry"
	"lozenge/geometry/scraps"
)

// Worked by hand: of bark 80 by 2 1/2 and 30 by 3 are there, of moss 20 by 2, of
// blossom 100 by 2.
func TestBegin(t *testing.T) {
	all := []scraps.Scrap{
		{Fabric: "moss", Width: 2, Length: 20, Count: 1}, {Fabric: "bark", Width: 3, Length: 30, Count: 1},
		{Fabric: "bark", Width: 2.5, Length: 40, Count: 2}, {Fabric: "blossom", Width: 2, Length: 50, Count: 2},
	}
	if s := scraps.Begin(geometry.Centimetre, all); fmt.Sprint(s.Strips) != "[{2.5 bark} {2 blossom}]" || len(s.Fabrics) != 3 || s.Fabrics[0].Key != "moss" || s.Unit != geometry.Centimetre {
		t.Errorf("%+v", s)
	}
	if s := scraps.Begin(geometry.Inch, all[:1]); fmt.Sprint(s.Strips) != "[{2 moss} {2 moss}]" {
		t.Errorf("%+v", s)
	}
}
