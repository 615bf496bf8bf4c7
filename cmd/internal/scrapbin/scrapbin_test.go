// SPDX-License-Identifier: Apache-2.0

package scrapbin_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/scrapbin"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

func spec(unit geometry.Unit) quilt.Spec {
	return quilt.Spec{
		Unit:    unit,
		Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "tide"}, {Cut: 2.5, Fabric: "shell"}},
		Fabrics: []quilt.Fabric{{Key: "tide"}, {Key: "shell"}, {Key: "rim"}},
	}
}

// A scrap bin as spreadsheets of the world write it: semicolons, a byte order
// mark, carriage returns, empty cells, another order.
func TestTables(t *testing.T) {
	red := quilt.Colour{0xcc, 0x33, 0x00}
	want := []scraps.Scrap{
		{Fabric: "tide", Name: "coral", Colour: &red, Width: 2.5, Length: 31, Count: 2},
		{Fabric: "shell", Width: 3, Length: 40.25, Count: 1},
		{Fabric: "rim", Name: "leaf", Width: 4, Length: 9, Count: 1},
	}
	for name, text := range map[string]string{
		"plain":      "fabric,name,color,width,length,count\ntide,coral,#c30,2 1/2,31,2\nshell,,,3,40 1/4,\nrim,leaf,,4,9,1\n",
		"BOM, CRLF":  "\ufefffabric,name,color,width,length,count\r\ntide,coral,#cc3300,2-1/2 in,31\",2\r\n\r\nshell,,,3,40.25,\r\nrim,leaf,,4,9\r\n",
		"semicolons": "fabric;name;color;width;length;count\ntide;coral;#c30;2,5;31;2\nshell;;;3;40,25;\nrim;leaf;;4;9;\n",
		"sep=":       "sep=;\nfabric;name;color;width;length;count\ntide;coral;#c30;2\xbd;31\x94;2\nshell;;;3;40\xbc;\nrim;leaf;;4;9;\n",
		"own order":  "# mine\nlength,count,width,fabric,name,color,note\n31,2,2.5,tide,coral,#c30,x\n40.25,,3,shell,,,\n9,,4,rim,leaf,,\n",
	} {
		b, err := scrapbin.Parse("s.csv", []byte(text), spec(geometry.Inch))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if d := cmp.Diff(want, b.Scraps); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
	b, err := scrapbin.Parse("s.csv", []byte("fabric,width,length\ntide,2.5 in,30\n"), spec(geometry.Centimetre))
	if err != nil || b.Scraps[0].Width != 6.35 || b.Scraps[0].Length != 30 {
		t.Errorf("%+v, %v", b, err)
	}
}

// What stands in a table comes in the order of the columns, as it was written.
func TestCells(t *testing.T) {
	rows, err := scrapbin.Cells("s.csv", []byte("\ufefflength;count;width;fabric;note\r\n31;2;2,5;tide;x\r\n40 1/4;;3;shell\r\n"))
	if d := cmp.Diff([][]string{{"tide", "", "", "2,5", "31", "2"}, {"shell", "", "", "3", "40 1/4", ""}}, rows); d != "" || err != nil {
		t.Errorf("%v (-want +got):\n%s", err, d)
	}
	rows, err = scrapbin.Cells("s.csv", []byte("fabric,width,length\ntide,=A1,30\n"))
	if d := cmp.Diff([][]string{{"tide", "", "", "", "30", ""}}, rows); d != "" || err == nil {
		t.Errorf("%v (-want +got):\n%s", err, d)
	}
	if rows, err = scrapbin.Cells("s.csv", []byte("tide\n")); len(rows) != 0 || err == nil {
		t.Errorf("%q, %v", rows, err)
	}
}

func TestWhatIsWrongIsNamed(t *testing.T) {
	const head = "fabric,name,color,width,length,count\n"
	for text, want := range map[string]string{
		head + "tyde,a,,3,30,1\n":                "s.csv:2:1: fabric: `tyde` is no fabric of the pattern; its strips are of tide, shell",
		head + "tide,a,rde,3,30,1\n":             "s.csv:2:8: color: `rde` is not a colour; is `red` meant?",
		head + "tide,a,1f5f7a,3,30,1\n":          "s.csv:2:8: color: `1f5f7a` has no # in front; write \"#1f5f7a\"",
		head + "tide,a,,3,30,0\n":                "s.csv:2:14: count: `0` is not a whole number of 1 to 9999",
		head + "tide,a,,3,30,two\n":              "s.csv:2:14: count: `two` is not a whole number",
		head + "tide,a,,3,1 1/4 yd,1\n":          "s.csv:2:11: length: `1 1/4 yd` is in yards; measure the scrap and write inches or centimetres (that many yards are 45 in)",
		head + "tide,a,,2-Jan,30,1\n":            "s.csv:2:9: width: `2-Jan` is a date that the spreadsheet made of a number; format the column as text",
		head + "tide,a,,3,46024,1\n":             "s.csv:2:11: length: `46024` is a date",
		"PK\x03\x04\x14\x00":                     "s.csv: is a spreadsheet's or word processor's own file",
		head + "tide,a,,0,30,1\n":                "s.csv:2:9: width: 0 in is no width of a scrap",
		head + "tide,a,,3,99999,1\n":             "s.csv:2:11: length: 99999 in is no length of a scrap",
		head + "tide,a,,=SUM(D2:D9),30,1\n":      "s.csv:2:9: width: `=SUM(D2:D9)` is a formula of the spreadsheet",
		head + "=A1,a,,3,30,1\n":                 "s.csv:2:1: fabric: `=A1` is a formula of the spreadsheet",
		head + "tide,a\u202eb,,3,30,1\n":         "s.csv:2:6: name: \"a\\u202eb\" has an invisible character (U+202E)",
		head + "tide,=B1,,3,30,=1+1\n":           "s.csv:2:6: name: `=B1` is a formula",
		head + "tide,a,,3\n":                     "s.csv:2:10: the cell for length is missing",
		head + "tide,a,,3,30,1,7\n":              "s.csv:2:16: the line has more cells than the 6",
		"fabric\ntide\nshell\n":                  "s.csv:1:1: no column is named width",
		"tide\n":                                 "s.csv:1:1: no column is named fabric; begin the table with the line fabric,name,color,width,length,count",
		head:                                     "s.csv: has no line below its heading",
		head + "tide,a,,3,30,1\n,,,,,\nx,,,,,\n": "s.csv:4:1: fabric: `x` is no fabric",
	} {
		_, err := scrapbin.Parse("s.csv", []byte(text), spec(geometry.Inch))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
}

// Properties: an error is a list of problems, each with a line of the file
// unless it is about the whole; without one every scrap has a size and a count
// that a plan takes, a line of its own, and a fabric of the pattern; and what
// the reader takes the planner takes, or names the scrap.
func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"fabric,name,color,width,length,count\ntide,coral,#c30,2 1/2,31,2\nshell,,,3,40 1/4,\n",
		"\ufefffabric;name;color;width;length;count\r\ntide;a;#123;2,5;30 cm;\r\n",
		"fabric,width,length\ntide,=1,2\n", "fabric\ntide\n", "fabric,width,length\nrim,1 1/4 yd,\"3\"\n",
		"sep=;\nfabric;width;length\ntide;2\xbd;30\n", "fabric,width,length\ntide,2-Jan,1/2/2026\n",
		"length\twidth\tfabric\n1e3\t2\tshell\n", "fabric,width,length,count\ntide,9,9,9999\ntide,99,9,9999\n",
	} {
		f.Add([]byte(s))
	}
	sp := spec(geometry.Inch)
	sp.Angle, sp.Seam, sp.UsableWidth, sp.Columns, sp.Rows = 60, 0.25, 40, 1, 1
	p, err := quilt.New(sp)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := scrapbin.Parse("s.csv", data, sp)
		if err != nil {
			var list problem.List
			if b != nil || !errors.As(err, &list) || len(list) == 0 {
				t.Fatalf("%v, %T %v", b, err, err)
			}
			for _, one := range list {
				if one.Message == "" || one.Line < 0 || one.Line > strings.Count(string(data), "\n")+strings.Count(string(data), "\r")+1 || one.Line > 0 && one.Column < 1 {
					t.Fatalf("%+v", one)
				}
			}
			return
		}
		if len(b.Scraps) != len(b.Lines) || len(b.Scraps) == 0 {
			t.Fatalf("%d scraps, %d lines", len(b.Scraps), len(b.Lines))
		}
		for i, s := range b.Scraps {
			if !(s.Width > 0) || !(s.Length > 0) || s.Count < 1 || i > 0 && b.Lines[i] <= b.Lines[i-1] {
				t.Fatalf("%+v", s)
			}
			if s.Fabric != "tide" && s.Fabric != "shell" && s.Fabric != "rim" {
				t.Fatalf("fabric %q", s.Fabric)
			}
		}
		if len(b.Scraps) > 6 {
			b.Scraps = b.Scraps[:6]
		}
		if _, err := scraps.New(p, b.Scraps, false); err != nil {
			var list problem.List
			if wrong := b.Wrong(err); !errors.As(wrong, &list) || list[0].Line == 0 {
				t.Fatal(wrong)
			}
		}
	})
}
