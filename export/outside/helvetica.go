// SPDX-License-Identifier: Apache-2.0

package outside

// helvetica holds the advance widths of the characters from space to tilde, in
// thousandths of the font's size, of Helvetica and of Helvetica Bold: those of
// Adobe's metrics of the standard 14 fonts (Helvetica.afm, Helvetica-Bold.afm),
// typed in, not taken from a library that the program uses. poppler agrees (see
// the tests of export/pdf).
var helvetica = [2][95]int{
	{
		278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, //  !"#$%&'()*+,-./
		556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, // 0123456789:;<=>?
		1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, // @ABCDEFGHIJKLMNO
		667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, // PQRSTUVWXYZ[\]^_
		333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, // `abcdefghijklmno
		556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, // pqrstuvwxyz{|}~
	},
	{
		278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, //  !"#$%&'()*+,-./
		556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611, // 0123456789:;<=>?
		975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778, // @ABCDEFGHIJKLMNO
		667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556, // PQRSTUVWXYZ[\]^_
		333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611, // `abcdefghijklmno
		611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584, // pqrstuvwxyz{|}~
	},
}

// others are the other characters that drawings have, alike in both.
var others = map[rune]int{
	'\u00a0': 278, '°': 400, '·': 278, '×': 584, '–': 556, '—': 1000, '’': 278, '“': 500, '”': 500, '¼': 834, '½': 834, '¾': 834,
}

// Helvetica returns how wide a text is whose capitals are height high, 718
// thousandths of the font's size; of a letter that is not known, an accented
// one, at least that of the narrowest of its kind.
func Helvetica(text string, height float64, bold bool) float64 {
	face := helvetica[0]
	if bold {
		face = helvetica[1]
	}
	sum := 0
	for _, r := range text {
		switch n, ok := others[r]; {
		case ok:
			sum += n
		case r >= ' ' && r <= '~':
			sum += face[r-' ']
		default:
			sum += 278
		}
	}
	return float64(sum) * height / 718
}
