// SPDX-License-Identifier: Apache-2.0

package table_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/table"
	"lozenge/geometry"
)

// The first three rows are of the kind that readers of CSV stumble over: a
// bare inch mark, marks doubled inside marks, a cell that begins with one
// (golang/go#21672, #14525, #56329; mithrandie/csvq#119).
func TestInchMarks(t *testing.T) {
	text := "name,width\na,2 1/2\"\nb,\"2 1/2\"\"\"\n\"c\",2 1/2\n"
	tab, err := table.Parse("s.csv", []byte(text), "name", "width")
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
	_, err = table.Parse("s.csv", []byte("name,width\n\"27\" wide,3\nnext,4\n"), "name", "width")
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
		tab, err := table.Parse("s.csv", []byte(text), "name", "width")
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
		"PK\x03\x04":                "s.csv: is a spreadsheet",
		"\xff\xfen\x00":             "s.csv: is not plain text",
		"n\xe9":                     "s.csv: is not UTF-8 text",
		"name,width\na\n":           "s.csv:2:2: the cell for width is missing",
		"name,width\na,\n":          "s.csv:2:3: the cell for width is empty",
		"name,width\na, 1/0\n":      "s.csv:2:4: width: `1/0`",
	} {
		tab, err := table.Parse("s.csv", []byte(text), "name", "width")
		if err == nil {
			tab.Rows[0].Length("width", geometry.Inch)
			err = tab.Err()
		}
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	tab, _ := table.Parse("s.csv", []byte("n\n3.5\n-1\n0x1\n1e3\n21\n20\n"), "n")
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

// Properties: never a panic; an error is a list of problems with a message;
// every row lies on a line of its own; a mark in front and other line ends
// change nothing. Run it with
// go test ./cmd/internal/table -run '^$' -fuzz FuzzParse
func FuzzParse(f *testing.F) {
	for _, s := range []string{"name,width\na,2 1/2\"\n", "\ufeffname;width\r\n\"x\"\"y\";6,5", "name\twidth\n\"", ",", "PK", "name,width\n\x00"} {
		f.Add([]byte(s))
	}
	// Inch marks, alone, doubled, in front (golang/go#21672, #14525, #56329,
	// #26919; mithrandie/csvq#119).
	for _, row := range []string{`a,2 1/2"`, `a,"2 1/2"""`, `"2 1/2",x`, `"27" wide,3`, `a,"2 1/2`, `a,"2 1/2" "`, `"a` + "\n" + `b",3`} {
		f.Add([]byte("name,width\n" + row + "\nb,3\n"))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		tab, err := table.Parse("s.csv", data, "name", "width")
		if text := string(data); strings.HasPrefix(text, "name") && !strings.ContainsAny(text, "\r\ufeff") && len(text) < 1<<18 {
			other, err2 := table.Parse("s.csv", []byte("\ufeff"+strings.ReplaceAll(text, "\n", "\r\n")), "name", "width")
			if (err == nil) != (err2 == nil) || err != nil && utf8.ValidString(text) && err.Error() != err2.Error() || err == nil && len(tab.Rows) != len(other.Rows) {
				t.Fatalf("%v, and with other line ends %v", err, err2)
			}
			if err == nil {
				for i, r := range tab.Rows {
					v, ok := r.Length("width", geometry.Inch)
					w, ok2 := other.Rows[i].Length("width", geometry.Inch)
					if v != w || ok != ok2 || r.Line != other.Rows[i].Line {
						t.Fatalf("line %d: %v %v, and with other line ends %v %v", r.Line, v, ok, w, ok2)
					}
				}
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

// Cells that may be left out, as columns or one by one, and formulas.
func TestOptionalCells(t *testing.T) {
	for text, want := range map[string]string{
		"name,width,count\na,3,2\n,4,\nc,5\n": "a 2, - 1, c 1",
		"width\n3\n":                          "- 1",
		"count,width\n7,3\n":                  "- 7",
	} {
		tab, err := table.Parse("s.csv", []byte(text), "name?", "width", "count?")
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
	_, err := table.Parse("s.csv", []byte("name\na\n"), "name?", "width", "count?")
	if err == nil || !strings.Contains(err.Error(), "s.csv:1:1: no column is named width; begin the table with the line name,width,count") {
		t.Errorf("got %v", err)
	}
	tab, err := table.Parse("s.csv", []byte("width\n=SUM(B2:B9)\n"), "width")
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := tab.Rows[0].Length("width", geometry.Inch); ok || !strings.Contains(tab.Err().Error(), "s.csv:2:1: width: `=SUM(B2:B9)` is a formula of the spreadsheet; write what it comes to") {
		t.Errorf("got %v", tab.Err())
	}
}
