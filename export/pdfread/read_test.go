// SPDX-License-Identifier: Apache-2.0

package pdfread_test

import (
	"bytes"
	"compress/zlib"
	"encoding/ascii85"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"lozenge/export/measure"
	"lozenge/export/pdfread"
	"lozenge/geometry"
)

// pdf puts objects, numbered from 1, into a file with a table. The first is
// the catalog.
func pdf(objects ...string) string {
	var b strings.Builder
	b.WriteString("%PDF-1.4\n")
	offsets := make([]int, len(objects))
	for i, o := range objects {
		offsets[i] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, at := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, table)
	return b.String()
}

func stream(dict, data string) string {
	return fmt.Sprintf("<<%s /Length %d>>\nstream\n%s\nendstream", dict, len(data), data)
}

func deflate(data string) string {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	w.Write([]byte(data))
	w.Close()
	return b.String()
}

// page is a file of one page with that content, letter size unless page says
// otherwise. Object 5 and on are more.
func page(entries, content string, more ...string) string {
	if !strings.Contains(entries, "MediaBox") {
		entries += " /MediaBox [0 0 612 792]"
	}
	return pdf(append([]string{
		"<</Type /Catalog /Pages 2 0 R>>",
		"<</Type /Pages /Kids [3 0 R] /Count 1>>",
		"<</Type /Page /Parent 2 0 R /Contents 4 0 R " + entries + ">>",
		stream("", content),
	}, more...)...)
}

func read(t testing.TB, src string) *measure.Drawing {
	t.Helper()
	d, err := pdfread.Read(strings.NewReader(src))
	if err != nil {
		t.Fatalf("%v\n%.300q", err, src)
	}
	return d
}

func sameSquare(t *testing.T, name string, d *measure.Drawing, x, y, side float64) {
	t.Helper()
	if len(d.Pages) != 1 {
		t.Errorf("%s: %d pages, %+v", name, len(d.Pages), d.Pages)
		return
	}
	// Pictures of pixels are marks.
	lines := slices.DeleteFunc(slices.Clone(d.Pages[0].Paths), func(p measure.Path) bool { return p.Role == measure.Mark })
	if len(lines) != 1 || lines[0].Hidden != "" {
		t.Errorf("%s: %+v", name, lines)
		return
	}
	p := lines[0]
	b := geometry.Polygon(p.Points).Bounds()
	if !p.Closed || math.Abs(b.Min.X-x) > 1e-9 || math.Abs(b.Min.Y-y) > 1e-9 || math.Abs(b.Width()-side) > 1e-9 || math.Abs(b.Height()-side) > 1e-9 {
		t.Errorf("%s: closed %v, %v, want a square of %v at %v, %v", name, p.Closed, b, side, x, y)
	}
}

// One square of 2 in, 1 in right of and 3 in above the corner of the page,
// said in many ways (ISO 32000-1, 8.3 to 8.5).
func TestSameSquareSaidInManyWays(t *testing.T) {
	const re = "72 216 144 144 re S"
	form := func(dict, data string) string {
		return stream("/Type /XObject /Subtype /Form /BBox [0 0 999 999] "+dict, data)
	}
	for _, src := range []string{
		page("", re),
		page("", "72 216 m 216 216 l 216 360 l 72 360 l h S"),
		page("", "72 216 m 216 216 l 216 360 l 72 360 l s"),
		page("", "72 216 m 120 216 170 216 216 216 c 216 360 216 360 v 72 360 72 360 y s"),
		page("", "q 2 0 0 2 0 0 cm 36 108 72 72 re S Q"),
		page("", "q .5 0 0 .5 0 0 cm Q "+re),
		page("", "1 0 0 1 72 216 cm 0 -1 1 0 0 144 cm 0 0 144 144 re B*"),
		page("", "q q 1 0 0 1 72 216 cm 0 0 144 144 re S Q Q Q Q"),
		page("", "% a comment\r72 216 144 144 re % 1 2 m\nS"),
		page("", "BT /F 12 Tf (a \\) b) Tj ET "+re),
		page("", "BI /W 1 /H 1 ID \x00EI\xff EI "+re),
		page("", "0 0 m 0 0 612 792 re W n "+re),
		page("", "+72 +216.0 144. 0144 re S"),
		page("/Rotate 90 /MediaBox [0 0 792 612]", "432 72 144 144 re S"),
		page("/Rotate 180", "396 432 144 144 re S"),
		page("/Rotate -90 /MediaBox [0 0 792 612]", "216 396 144 144 re S"),
		page("/UserUnit 2 /MediaBox [0 0 306 396]", "36 108 72 72 re S"),
		page("/MediaBox [100 50 712 842]", "172 266 144 144 re S"),
		page("/MediaBox [612 792 0 0]", re),
		page("/CropBox [36 36 648 828] /MediaBox [0 0 700 900]", "108 252 144 144 re S"),
		page("/Resources <</XObject <</F 5 0 R>>>>", "q 1 0 0 1 72 0 cm /F Do Q", form("/Matrix [2 0 0 2 0 216]", "0 0 72 72 re S")),
		page("/Resources <</XObject <</F 5 0 R>>>>", "/F Do", form("/Resources <</XObject <</G 6 0 R>>>>", "/G Do"), form("", re)),
		page("/Resources 5 0 R", "/F Do", "<</XObject 6 0 R>>", "<</F 7 0 R>>", form("", re)),
		// Streams.
		pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 612 792]>>", "<</Contents [4 0 R 5 0 R]>>", stream("", "72 216 144"), stream("", "144 re S")),
		pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 6 0 R 792]>>", "<</Contents 4 0 R>>",
			"<</Length 5 0 R>>stream\r\n"+re+"\r\nendstream", fmt.Sprint(len(re)), "612"),
		pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 612 792]>>", "<</Contents 4 0 R>>", "<</Length 99999>>stream\n"+re+"\nendstream"),
		pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 612 792]>>", "<</Contents 4 0 R>>", stream("/Filter /FlateDecode", deflate(re))),
		pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 612 792]>>", "<</Contents 4 0 R>>",
			stream("/Filter [/ASCIIHexDecode /FlateDecode] /DecodeParms [null null]", fmt.Sprintf("%x>", deflate(re)))),
		pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 612 792]>>", "<</Contents 4 0 R>>", stream("/Filter /A85", ascii(re))),
		"junk before\n" + strings.Repeat(" ", 3) + withOffset(page("", re), 15),
		tableStream(re, false), tableStream(re, true),
	} {
		name := src
		if i := strings.LastIndex(src, "stream\n"); i > 0 {
			name = fmt.Sprintf("%.80q ... %.60q", src[min(len(src), 100):], src[i:])
		}
		sameSquare(t, name, read(t, src), 1, 3, 2)
	}
}

func ascii(s string) string {
	out := make([]byte, ascii85.MaxEncodedLen(len(s)))
	return string(out[:ascii85.Encode(out, []byte(s))]) + "~>"
}

// withOffset corrects the offsets of a file that stands that many bytes
// farther on.
func withOffset(src string, by int) string {
	lines := strings.Split(src, "\n")
	for i, l := range lines {
		var at, generation int
		if n, _ := fmt.Sscanf(l, "%d %d n", &at, &generation); n == 2 && strings.HasSuffix(l, " 00000 n ") {
			lines[i] = fmt.Sprintf("%010d %05d n ", at+by, generation)
		}
		if l == "startxref" {
			fmt.Sscan(lines[i+1], &at)
			lines[i+1] = fmt.Sprint(at + by)
		}
	}
	return strings.Join(lines, "\n")
}

// tableStream is a file of which the table of objects is a stream and the
// small objects stand in an object stream (ISO 32000-1, 7.5.7 and 7.5.8),
// the table with or without PNG's prediction.
func tableStream(content string, predicted bool) string {
	var b strings.Builder
	b.WriteString("%PDF-1.5\n")
	small := []string{"<</Type /Catalog /Pages 2 0 R>>", "<</Type /Pages /Kids [3 0 R] /Count 1>>", "<</Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R>>"}
	head, body := "", ""
	for i, o := range small {
		head += fmt.Sprintf("%d %d ", i+1, len(body))
		body += o + " "
	}
	at := [7]int{}
	put := func(n int, o string) {
		at[n] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", n, o)
	}
	put(4, stream("/Filter /FlateDecode", deflate(content)))
	put(5, stream(fmt.Sprintf("/Type /ObjStm /N 3 /First %d /Filter /FlateDecode", len(head)), deflate(head+body)))
	at[6] = b.Len()
	rows := [][4]byte{{0, 0, 0, 0}, {2, 0, 5, 0}, {2, 0, 5, 1}, {2, 0, 5, 2}}
	for n := 4; n <= 6; n++ {
		rows = append(rows, [4]byte{1, byte(at[n] >> 8), byte(at[n]), 0})
	}
	table, dict, above := "", "/Type /XRef /Size 7 /W [1 2 1] /Root 1 0 R /Filter /FlateDecode", [4]byte{}
	for _, r := range rows {
		line := r
		if predicted {
			for i := range line {
				line[i] -= above[i]
			}
			table += "\x02"
		}
		table += string(line[:])
		above = r
	}
	if predicted {
		dict += " /DecodeParms <</Predictor 12 /Columns 4>>"
	}
	put(6, stream(dict, deflate(table)))
	fmt.Fprintf(&b, "startxref\n%d\n%%%%EOF\n", at[6])
	return b.String()
}

// Page sizes, C33 and C34 of typst/svg2pdf#25, Kozea/WeasyPrint#612: points,
// not rounded.
func TestPageSizes(t *testing.T) {
	for box, want := range map[string][2]float64{
		"[0 0 595.276 841.89]":   {595.276 / 72, 841.89 / 72},
		"[0 0 612 792]":          {8.5, 11},
		"[0 0 240.945 155.906]":  {240.945 / 72, 155.906 / 72},
		"[-10 -10 1430.00 62.0]": {20, 1},
	} {
		p := read(t, page("/MediaBox "+box, "")).Pages[0]
		if math.Abs(p.Width-want[0]) > 1e-12 || math.Abs(p.Height-want[1]) > 1e-12 {
			t.Errorf("%s: %v by %v", box, p.Width, p.Height)
		}
	}
}

// A file that was changed holds the old object and the new one.
func TestChangedFile(t *testing.T) {
	src := page("", "0 0 9 9 re S")
	table := strings.LastIndex(src, "xref\n0 ")
	at := len(src)
	src += "4 0 obj\n" + stream("", "72 216 144 144 re S") + "\nendobj\n"
	more := len(src)
	src += fmt.Sprintf("xref\n4 1\n%010d 00000 n \ntrailer\n<</Size 5 /Root 1 0 R /Prev %d>>\nstartxref\n%d\n%%%%EOF\n", at, table, more)
	sameSquare(t, "changed", read(t, src), 1, 3, 2)
}

func TestLooksAndLettering(t *testing.T) {
	d := read(t, page("/Resources <</ExtGState <</D <</D [[3] 0]>>>>>>", `0 0 9 9 re S 0.5 G 0 0 9 9 re S 1 0 0 RG 0 0 9 9 re S
		0 G [4 2] 0 d 0 0 9 9 re S [] 0 d 0 0 9 9 re S [0] 0 d 0 0 9 9 re f q /D gs 0 0 9 9 re S Q 0 0 0 1 K 0 0 9 9 re S 0 0 0 .5 K 0 0 9 9 re S
		BT 1 0 0 1 72 144 Tm (4 in) Tj 0 -72 Td <6162> Tj T* [(c) 20 (d)] TJ ET q -1 0 0 1 0 0 cm BT 144 0 TD (m\151rror) ' ET Q`))
	p := d.Pages[0]
	want := []struct {
		role   measure.Role
		filled bool
	}{{}, {role: measure.Mark}, {}, {role: measure.Sew}, {}, {filled: true}, {role: measure.Sew}, {}, {role: measure.Mark}}
	for i, w := range want {
		if g := p.Paths[i]; g.Role != w.role || g.Filled != w.filled {
			t.Errorf("path %d: %+v, want %+v", i, g, w)
		}
	}
	texts := []measure.Text{
		{At: geometry.Point{X: 1, Y: 2}, Value: "4 in"}, {At: geometry.Point{X: 1, Y: 1}, Value: "ab"},
		{At: geometry.Point{X: 1, Y: 1}, Value: "cd"}, {At: geometry.Point{X: -2, Y: 0}, Value: "mirror", Mirrored: true},
	}
	for i, w := range texts {
		if g := p.Texts[i]; g.Value != w.Value || g.Mirrored != w.Mirrored || g.At.Sub(w.At).Len() > 1e-12 {
			t.Errorf("text %d: %+v, want %+v", i, g, w)
		}
	}
}

// Codes mean what the font says of them: ISO 32000-1, 9.10.3, example 2, where
// <005F> is ff, <0060> fi, <0061> ffl, and <3A51> a character of two units.
func TestWhatCodesMean(t *testing.T) {
	told := "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n" +
		"2 beginbfrange\n<0000> <005E> <0020>\n<005F> <0061> [<00660066> <00660069> <00660066006C>]\nendbfrange\n" +
		"1 beginbfchar\n<3A51> <D840DC3E>\nendbfchar\n"
	d := read(t, page("/Resources <</Font <</F <</ToUnicode 5 0 R>> /G <</Type /Font>>>>>>",
		"BT /F 9 Tf <0034005F006000613A51> Tj /G 9 Tf (ab) Tj ET 0 0 9 9 re S", stream("", told)))
	var got []string
	for _, x := range d.Pages[0].Texts {
		got = append(got, x.Value)
	}
	if want := []string{"Tfffiffl\U0002003E", "ab"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestHostile(t *testing.T) {
	for name, src := range hostile() {
		d, err := pdfread.Read(strings.NewReader(src))
		var syntax *pdfread.SyntaxError
		if d != nil || !errors.As(err, &syntax) {
			t.Errorf("%s: %v, %v", name, d, err)
		}
	}
}

// hostile is made once: some of it is large.
var hostile = sync.OnceValue(func() map[string]string {
	good := page("", "72 216 144 144 re S")
	form := func(resources, data string) string { return stream("/Subtype /Form "+resources, data) }
	replace := func(old, new string) string { return strings.Replace(good, old, new, 1) }
	var forms []string
	for i := range 12 {
		forms = append(forms, form(fmt.Sprintf("/Resources <</XObject <</F %d 0 R>>>>", 6+i), strings.Repeat("/F Do ", 10)))
	}
	forms = append(forms, form("", strings.Repeat("0 0 m 9 9 l S ", 100)))
	root := []string{"<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 612 792]>>"}
	with := func(objects ...string) string { return pdf(append(root[:2:2], objects...)...) }
	return map[string]string{
		"Flate bomb":             with("<</Contents 4 0 R>>", stream("/Filter /FlateDecode", bomb(48<<20))),
		"Flate bomb twice over":  with("<</Contents 4 0 R>>", stream("/Filter [/FlateDecode /FlateDecode]", deflate(bomb(48<<20)))),
		"the same bomb often":    with("<</Contents ["+strings.Repeat("4 0 R ", 1000)+"]>>", stream("/Filter /FlateDecode", bomb(1<<20))),
		"the same page often":    with("<</Contents ["+strings.Repeat("4 0 R ", 100_000)+"]>>", stream("", strings.Repeat("0 0 m 9 9 l S\n", 10_000))),
		"form bomb":              page("/Resources <</XObject <</F 5 0 R>>>>", "/F Do", forms...),
		"form of itself":         page("/Resources <</XObject <</F 5 0 R>>>>", "/F Do", form("/Resources <</XObject <</F 5 0 R>>>>", "/F Do")),
		"pages in a circle":      pdf("<</Pages 2 0 R>>", "<</Kids [2 0 R]>>"),
		"references in a circle": pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R]>>", "<</MediaBox 4 0 R>>", "5 0 R", "4 0 R"),
		"length of itself":       with("<</Contents 4 0 R>>", "<</Length 4 0 R>>stream\n1 2 m"),
		"table in a circle":      replace("/Root 1 0 R", "/Prev 1"),
		"table of thousands":     replace("xref\n0 5", "xref\n0 4000000000"),
		"table of millions":      replace("xref\n0 5", "xref\n0 1000000"),
		"negative table":         replace("xref\n0 5", "xref\n-1 5"),
		"huge Size":              strings.Replace(tableStream("", false), "/Size 7", "/Size 1048570 /Index [0 1048570]", 1),
		"wide columns":           strings.Replace(tableStream("", false), "[1 2 1]", "[9 2 1]", 1),
		"no columns":             strings.Replace(tableStream("", false), "[1 2 1]", "[0 0 0]", 1),
		"nested arrays":          with("<</Contents 4 0 R>>", stream("", strings.Repeat("[", 100_000))),
		"nested dictionaries":    with(strings.Repeat("<</A ", 100_000)),
		"long array":             with("<</Contents [" + strings.Repeat("0 ", 200_000) + "]>>"),
		"many numbers":           with("<</Contents 4 0 R>>", stream("", strings.Repeat("0 ", 200_000))),
		"many saves":             with("<</Contents 4 0 R>>", stream("", strings.Repeat("q ", 200_000))),
		"many curves":            with("<</Contents 4 0 R>>", stream("", "0 0 m "+strings.Repeat("0 900 900 0 900 900 c ", 100_000)+"S")),
		"exponent":               with("<</Contents 4 0 R>>", stream("", "1e-6 0 m 9 9 l S")), // illegal: michaelrsweet/htmldoc#256
		"not a number":           with("<</Contents 4 0 R>>", stream("", "0 0 m (9) 9 l S")),
		"numbers missing":        with("<</Contents 4 0 R>>", stream("", "0 m S")),
		"no start":               with("<</Contents 4 0 R>>", stream("", "9 9 l S")),
		"far away":               with("<</Contents 4 0 R>>", stream("", "0 0 m 99999999999 0 l S")),
		"far transforms":         with("<</Contents 4 0 R>>", stream("", strings.Repeat("99999999999 0 0 99999999999 0 0 cm ", 60)+"0 0 m 1 1 l S")),
		"string without end":     with("<</Contents 4 0 R>>", stream("", "BT (never ends")),
		"picture without end":    with("<</Contents 4 0 R>>", stream("", "BI ID xxx")),
		"unknown packing":        with("<</Contents 4 0 R>>", stream("/Filter /LZWDecode", "x")),
		"not packed":             with("<</Contents 4 0 R>>", stream("/Filter /FlateDecode", "not packed")),
		"packed and cut short":   with("<</Contents 4 0 R>>", stream("/Filter /FlateDecode", deflate(strings.Repeat("0 0 m 1 1 l S ", 99))[:20])),
		"no size":                pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R]>>", "<</Contents 4 0 R>>", stream("", "")),
		"no pages":               pdf("<</Pages 2 0 R>>", "<</Kids []>>"),
		"no catalog":             pdf(),
		"encrypted":              replace("/Root 1 0 R", "/Root 1 0 R /Encrypt <<>>"),
		"cut short":              good[:len(good)/2],
		"cut before its end":     good[:len(good)-40],
		"wrong start":            replace("startxref\n", "startxref\n9"),
		"objects moved":          strings.Replace(good, "1 0 obj", "1  0 obj ", 1),
		"no PDF":                 "hello\nworld",
		"empty":                  "",
	}
})

// bomb is a packed stream that unpacks to n zeros.
func bomb(n int) string {
	var b bytes.Buffer
	w, _ := zlib.NewWriterLevel(&b, zlib.BestSpeed)
	zeros := make([]byte, 1<<20)
	for ; n > 0; n -= len(zeros) {
		w.Write(zeros)
	}
	w.Close()
	return b.String()
}

func BenchmarkHostile(b *testing.B) {
	for _, name := range []string{"Flate bomb", "Flate bomb twice over", "the same bomb often", "the same page often", "form bomb", "many curves"} {
		src := hostile()[name]
		b.Run(strings.ReplaceAll(name, " ", "-"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := pdfread.Read(strings.NewReader(src)); err == nil {
					b.Fatal("no error")
				}
			}
		})
	}
}

// A file of 20 MB before it was packed.
func BenchmarkRead20MB(b *testing.B) {
	var s strings.Builder
	for i := 0; s.Len() < 20_000_000; i++ {
		x, y := float64(i%6001)/10, float64(i%7001)/10
		fmt.Fprintf(&s, "%.4f %.4f m %.4f %.4f l %.4f %.4f l %.4f %.4f l s\n", x, y, x+88.8889, y, x+122.4, y+151.2, x+28.8, y+151.2)
	}
	for name, src := range map[string]string{
		"plain":  page("", s.String()),
		"packed": pdf("<</Pages 2 0 R>>", "<</Kids [3 0 R] /MediaBox [0 0 612 792]>>", "<</Contents 4 0 R>>", stream("/Filter /FlateDecode", deflate(s.String()))),
	} {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(s.Len()))
			b.ReportAllocs()
			for b.Loop() {
				read(b, src)
			}
		})
	}
}

// An area with a line of its own colour is an area; with another it has an
// outline. Our own fills are drawn so (export/pdf).
func TestAreasOutlinedInTheirOwnColour(t *testing.T) {
	d := read(t, page("", "1 .5 0 rg 1 .5 0 RG 0 0 9 9 re b 0 0 9 9 re B 0 0 9 9 re s .2 0 0 RG 0 0 9 9 re b 0 g 0 G 0 0 9 9 re B* 0 0 9 9 re s 0 0 0 rg 0 0 9 9 re b"))
	want := []bool{true, true, false, false, true, false, false}
	for i, p := range d.Pages[0].Paths {
		if p.Filled != want[i] {
			t.Errorf("path %d: filled %v", i, p.Filled)
		}
	}
	if len(d.Pages[0].Paths) != len(want) {
		t.Errorf("%d paths", len(d.Pages[0].Paths))
	}
}
