// SPDX-License-Identifier: Apache-2.0

package words

// Cautions stand under every plan; README.md has them too. The first three
// are for the sewing room, the last is for a projector.
var Cautions = []string{
	"This plan is an aid: cut and sew one test piece before you cut the rest.",
	"Rotary cutter: close the blade after every cut, cut away from your body, keep the other hand behind the ruler's edge, retire dull blades.",
	"Iron and starch: hot surfaces; let fresh air in.",
	"Blade and die cutters: keep hands clear and follow the maker's instructions.",
	"A projector overhead: mount and wire it as its maker and local rules require, or have a licensed person do it; never look into the lens.",
}

// SewingRoom are the cautions for whoever cuts with a rotary cutter and sews; those
// for projectors and blade cutters stand where these are used.
func SewingRoom() []string { return Cautions[:3] }

// Cautions in short, for drawings and for the mat.
const (
	MeasureSquare = "Measure the calibration square before you cut."
	TestPiece     = "Cut one test piece first."
	CloseBlade    = "Close the blade after every cut."
	CutAway       = "Close the blade after every cut; cut away from your body."
	NoLens        = "Never look into the lens."
	HandsClear    = "Hands clear of the blade;"
	MakerSays     = "follow the instructions of the machine's maker."
	ThickSeams    = "Seams pressed open may be too thick for a small blade: test first, use a backing."
)
