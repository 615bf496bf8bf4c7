// SPDX-License-Identifier: Apache-2.0

package spreadsheet_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/spreadsheet"
	"lozenge/geometry"
)

// The first three rows are of the kind that readers of CSV stumble over: a
// bare inch mark, marks doubled inside marks, a cell that begins with one
// (golang/go#21672, #14525, #56329; mithrandie/csvq#119).
func TestInchMarks(t *testing.T) {
	text := "name,width\na,2 1/2\"\nb,\"2 1/2\"\"\"\n\"c\",2 1/2\n"
	tab, err := spreadsheet.Parse("s.csv", []byte(text), "name", "width")
	if err != nil {
		t.Fatal(err)
	}
	if len(tab.Rows) != 3 {
		t.Fatalf("%d rows", len(tab.Rows))
	}
	for _, r := range tab.Rows {
		if v, ok := r.Length("width", geometry.Inch); !ok || v != 2.5 {
			t.Errorf("line %d: %v, %v", r.Line, v, tab.Err())
		}
	}
	// A mark that opens and does not close never swallows the next line.
	_, err = spreadsheet.Parse("s.csv", []byte("name,width\n\"27\" wide,3\nnext,4\n"), "name", "width")
	if err == nil || !strings.Contains(err.Error(), "s.csv:2:1: a quotation mark is not closed where its cell ends") {
		t.Errorf("got %v", err)
	}
}

func TestSpreadsheetsOfTheWorld(t *testing.T) {
	for name, text := range map[string]string{
		"BOM and CRLF": "\ufeffname,width\r\na,6.5\r\n",
		"semicolons":   "name;width\na;6,5\n",
		"tabs":         "name\twidth\na\t6,5\n",
		"old Mac":      "name,width\ra,6.5\r",
		"other order":  "# mine\nwidth,note,Name\n6.5 cm,x,a\n,,\n",
		"marks":        "\"name\",\"width\"\n\"a\",\"6,5\"\n",
	} {
		tab, err := spreadsheet.Parse("s.csv", []byte(text), "name", "width")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		v, ok := tab.Rows[0].Length("width", geometry.Centimetre)
		if name == "marks" { // a comma that parts cells is no decimal comma
			if ok {
				t.Errorf("%s: read %v", name, v)
			}
			continue
		}
		if !ok || v != 6.5 || len(tab.Rows) != 1 {
			t.Errorf("%s: %v %v", name, v, tab.Err())
		}
		if s, _ := tab.Rows[0].Text("name"); s != "a" {
			t.Errorf("%s: name %q", name, s)
		}
	}
}

func TestWhatIsWrongIsNamed(t *testing.T) {
	for text, want := range map[string]string{
		"":                          "s.csv: is empty; write the line name,width",
		"name,width\n":              "s.csv: has no line below its heading",
		"name,with\na,3\n":          "s.csv:1:1: no column is named width",
		"name,width,width\na,3,3\n": "s.csv:1:12: the column width comes twice",
		"\xff\xfen\x00":             "s.csv: is not plain text",
		"n\x81":                     "s.csv: is neither UTF-8 nor Windows text",
		"\ufeffn\xe9":               "s.csv: is neither UTF-8 nor Windows text",
		"sep=|\nname|width\n":       "s.csv:1:1: `sep=|` names a mark that can't part cells; save it with commas, semicolons or tabs",
		"name,width\na\n":           "s.csv:2:2: the cell for width is missing",
		"name,width\na,\n":          "s.csv:2:3: the cell for width is empty",
		"name,width\na, 1/0\n":      "s.csv:2:4: width: `1/0`",
	} {
		tab, err := spreadsheet.Parse("s.csv", []byte(text), "name", "width")
		if err == nil {
			tab.Rows[0].Length("width", geometry.Inch)
			err = tab.Err()
		}
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	tab, _ := spreadsheet.Parse("s.csv", []byte("n\n3.5\n-1\n0x1\n1e3\n21\n20\n"), "n")
	got := 0
	for _, r := range tab.Rows {
		if _, ok := r.Whole("n", 0, 20); ok {
			got++
		}
	}
	if list, _ := tab.Err().(problem.List); got != 1 || len(list) != 5 {
		t.Errorf("%d whole numbers, problems %v", got, tab.Err())
	}
}

// What spreadsheets save when they are not asked for CSV, as their formats
// begin: a zip archive with zero bytes in it (APPNOTE.TXT 4.3.7, PKWARE), and
// the compound file of before (MS-CFB 2.2). No size hides what it is.
func TestSpreadsheetFiles(t *testing.T) {
	var zipped bytes.Buffer
	z := zip.NewWriter(&zipped)
	w, err := z.Create("content.xml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write([]byte("<table/>")); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string]string{
		"zip":       zipped.String(),
		"large zip": zipped.String() + strings.Repeat("\x00", 2<<20),
		"compound":  "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1\x00\x00",
	} {
		_, err := spreadsheet.Parse("s.csv", []byte(data), "name", "width")
		if err == nil || err.Error() != "s.csv: is a spreadsheet's or word processor's own file, not a table in plain text; open it in the spreadsheet and save it as CSV" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Some spreadsheets say in a first line of its own what parts the cells (common
// practice, no source).
func TestSeparatorLine(t *testing.T) {
	for _, text := range []string{
		"sep=;\nname;width\na;6,5\n",
		"\ufeffSEP=;\r\nname;width\r\na;6,5\r\n",
		"\"sep=;\"\nname;width\na;6,5\n",
		"sep=;;\nname;width\na;6,5\n", // saved again
		"sep=\t\nname\twidth\na\t6,5\n",
		"\n# mine\nsep=,\nname,width\na,6.5\n",
		"sep=,\n\"name\",\"width; of it\",width\na,x,6.5\n", // and not what the heading looks like
	} {
		tab, err := spreadsheet.Parse("s.csv", []byte(text), "name", "width")
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		name, _ := tab.Rows[0].Text("name")
		if v, ok := tab.Rows[0].Length("width", geometry.Centimetre); !ok || v != 6.5 || name != "a" || len(tab.Rows) != 1 {
			t.Errorf("%q: %q %v %v", text, name, v, tab.Err())
		}
	}
}

// Windows text, byte by byte as the table of code page 1252 has it
// (unicode.org/Public/MAPPINGS/VENDORS/MICSFT/WINDOWS/CP1252.TXT): 0xBD is one
// half, 0xBC a quarter, 0x94 a closing quotation mark, 0xE4 ä.
func TestWindowsText(t *testing.T) {
	tab, err := spreadsheet.Parse("s.csv", []byte("name;width\r\nHeidekr\xe4uter;2\xbd\x94\r\nb;2 \xbc\r\n"), "name", "width")
	if err != nil {
		t.Fatal(err)
	}
	name, _ := tab.Rows[0].Text("name")
	v, _ := tab.Rows[0].Length("width", geometry.Inch)
	w, _ := tab.Rows[1].Length("width", geometry.Inch)
	if name != "Heidekräuter" || v != 2.5 || w != 2.25 || tab.Err() != nil {
		t.Errorf("%q, %v, %v, %v", name, v, w, tab.Err())
	}
}

// Dates that spreadsheets make of 1/2, 3/8, 1/32 and 2.5, in the forms that
// they save them in, in several languages; 46024 is the 2nd of January 2026
// counted in days from the 30th of December 1899 (ECMA-376 part 1, 18.17.4.1).
// Beside them what only looks like one.
func TestDatesMadeOfFractions(t *testing.T) {
	for _, text := range []string{
		"2-Jan", "02-Jan", "2-Jan-26", "02-Jan-2026", "2 Jan", "Jan-32", "Mar-64", "jan/2", "2. Jan", "02. Mär", "08-mrt", "01-févr.", "5-Sept", "31-ago", "01/Okt",
		"1/2/2026", "01/02/26", "1/2/26", "2026-01-02", "02.01.2026", "2.1.26", "2026/1/2", "1-2-2026",
		"2026-01-02 00:00:00", "1/2/2026 0:00", "46024", "11689",
	} {
		tab, err := spreadsheet.Parse("s.csv", []byte("width\tu\n"+text+"\t"+text+"\n"), "width", "u")
		if err != nil {
			t.Fatal(err)
		}
		want := "s.csv:2:1: width: `" + text + "` is a date that the spreadsheet made of a number; format the column as text, then type the number again"
		if _, ok := tab.Rows[0].Length("width", geometry.Inch); ok || tab.Err() == nil || tab.Err().Error() != want {
			t.Errorf("%q: %v", text, tab.Err())
		}
		if _, ok := tab.Rows[0].Decimal("u", "pixels"); ok == (strings.Trim(text, "0123456789") != "") || !ok && !strings.Contains(tab.Err().Error(), ": u: `"+text+"` is a date") {
			t.Errorf("%q as pixels: %v", text, tab.Err())
		}
	}
	for _, text := range []string{"2-1/2", "2 1/2", "1/2", "10000", "99999", "3 in", "12.5", "5'-3\"", "46024 mm", "1 yd 9 in", "2 marks", "12 decks", "may", "1/0", "2-", "2.5.1"} {
		tab, err := spreadsheet.Parse("s.csv", []byte("width\tu\n"+text+"\t"+text+"\n"), "width", "u")
		if err != nil {
			t.Fatal(err)
		}
		tab.Rows[0].Length("width", geometry.Inch)
		tab.Rows[0].Decimal("u", "pixels")
		if err := tab.Err(); err != nil && strings.Contains(err.Error(), "date") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// Properties: never a panic; an error is a list of problems with a message;
// every row lies on a line of its own; a mark in front, other line ends, a line
// that says what parts the cells and Windows text change nothing. Run it with
// go test ./cmd/internal/table -run '^$' -fuzz FuzzParse
func FuzzParse(f *testing.F) {
	for _, s := range []string{"name,width\na,2 1/2\"\n", "\ufeffname;width\r\n\"x\"\"y\";6,5", "name\twidth\n\"", ",", "PK\x03\x04", "name,width\n\x00", "sep=;\nname;width\na;6,5", "\"sep=\t\"\nname\twidth\n\xe4\t2\xbd", "name,width\na,2-Jan\nb,46024\n"} {
		f.Add([]byte(s))
	}
	// Inch marks, alone, doubled, in front (golang/go#21672, #14525, #56329,
	// #26919; mithrandie/csvq#119).
	for _, row := range []string{`a,2 1/2"`, `a,"2 1/2"""`, `"2 1/2",x`, `"27" wide,3`, `a,"2 1/2`, `a,"2 1/2" "`, `"a` + "\n" + `b",3`} {
		f.Add([]byte("name,width\n" + row + "\nb,3\n"))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		tab, err := spreadsheet.Parse("s.csv", data, "name", "width")
		if text := string(data); strings.HasPrefix(text, "name") && !strings.ContainsAny(text, "\r\ufeff") && utf8.ValidString(text) && len(text) < 1<<18 {
			same(t, "a mark in front and other line ends", tab, err, "\ufeff"+strings.ReplaceAll(text, "\n", "\r\n"), 0)
			windows, cant := charmap.Windows1252.NewEncoder().String(text)
			if cant == nil && (windows == text || !utf8.ValidString(windows)) {
				same(t, "Windows text", tab, err, windows, 0)
			}
			if heading, _, _ := strings.Cut(text, "\n"); !strings.ContainsAny(heading, ";\t") {
				same(t, "a line for what parts the cells", tab, err, "sep=,\n"+text, 1)
			}
		}
		if err != nil {
			list, ok := err.(problem.List)
			if !ok || len(list) == 0 || list[0].Message == "" {
				t.Fatalf("%v", err)
			}
			return
		}
		last := 0
		for _, r := range tab.Rows {
			if r.Line <= last {
				t.Fatalf("line %d after %d", r.Line, last)
			}
			last = r.Line
			r.Length("width", geometry.Inch)
			r.Whole("name", 0, 9)
		}
	})
}

// same says where a text reads otherwise than the table that tab and err are of,
// its lines standing so much farther down.
func same(t *testing.T, how string, tab *spreadsheet.Table, err error, text string, down int) {
	other, err2 := spreadsheet.Parse("s.csv", []byte(text), "name", "width")
	if (err == nil) != (err2 == nil) || err != nil && down == 0 && err.Error() != err2.Error() || err == nil && len(tab.Rows) != len(other.Rows) {
		t.Fatalf("%v, and with %s %v", err, how, err2)
	}
	for i := 0; err == nil && i < len(tab.Rows); i++ {
		r, o := tab.Rows[i], other.Rows[i]
		v, ok := r.Length("width", geometry.Inch)
		w, ok2 := o.Length("width", geometry.Inch)
		if v != w || ok != ok2 || r.Line+down != o.Line {
			t.Fatalf("line %d: %v %v, and with %s %v %v", r.Line, v, ok, how, w, ok2)
		}
	}
}

// Cells that may be left out, as columns or one by one, and formulas.
func TestOptionalCells(t *testing.T) {
	for text, want := range map[string]string{
		"name,width,count\na,3,2\n,4,\nc,5\n": "a 2, - 1, c 1",
		"width\n3\n":                          "- 1",
		"count,width\n7,3\n":                  "- 7",
	} {
		tab, err := spreadsheet.Parse("s.csv", []byte(text), "name?", "width", "count?")
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		var got []string
		for _, r := range tab.Rows {
			name, count := "-", 1
			if r.Has("name") {
				name, _ = r.Text("name")
			}
			if r.Has("count") {
				count, _ = r.Whole("count", 1, 9)
			}
			got = append(got, fmt.Sprint(name, " ", count))
		}
		if s := strings.Join(got, ", "); s != want || tab.Err() != nil {
			t.Errorf("%q: %s, want %s (%v)", text, s, want, tab.Err())
		}
	}
	_, err := spreadsheet.Parse("s.csv", []byte("name\na\n"), "name?", "width", "count?")
	if err == nil || !strings.Contains(err.Error(), "s.csv:1:1: no column is named width; begin the table with the line name,width,count") {
		t.Errorf("got %v", err)
	}
	tab, err := spreadsheet.Parse("s.csv", []byte("width\n=SUM(B2:B9)\n"), "width")
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := tab.Rows[0].Length("width", geometry.Inch); ok || !strings.Contains(tab.Err().Error(), "s.csv:2:1: width: `=SUM(B2:B9)` is a formula of the spreadsheet; write what it comes to") {
		t.Errorf("got %v", tab.Err())
	}
}
