// SPDX-License-Identifier: Apache-2.0

package readings_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf8"

	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/readings"
	"lozenge/geometry"
)

const goodTable = "point,u,v,x,y\n1,96,54,2 13/32,19 1/2\n2,1824,54,35,19.5\n"

var goodReadings = []calibrate.Reading{
	{Point: 1, U: 96, V: 54, X: 2.40625, Y: 19.5, Line: 2},
	{Point: 2, U: 1824, V: 54, X: 35, Y: 19.5, Line: 3},
}

var fullHD = calibrate.Screen{Width: 1920, Height: 1080}

func TestParse(t *testing.T) {
	cm := 1 / 2.54
	for _, c := range []struct {
		name, table string
		unit        geometry.Unit
		want        []calibrate.Reading
	}{
		{"plain", goodTable, geometry.Inch, goodReadings},
		{"byte order mark", "\ufeff" + goodTable, geometry.Inch, goodReadings},
		{"CRLF", strings.ReplaceAll(goodTable, "\n", "\r\n"), geometry.Inch, goodReadings},
		{"CR", strings.ReplaceAll(goodTable, "\n", "\r"), geometry.Inch, goodReadings},
		{"no last newline", strings.TrimSuffix(goodTable, "\n"), geometry.Inch, goodReadings},
		{"semicolons", strings.ReplaceAll(goodTable, ",", ";"), geometry.Inch, goodReadings},
		{"tabs", strings.ReplaceAll(goodTable, ",", "\t"), geometry.Inch, goodReadings},
		{"semicolons and decimal commas", "point;u;v;x;y\r\n1;96,0;54;2,40625;19,5\r\n2;1824;54;35;19,5", geometry.Inch, goodReadings},
		// golang/go#21672: an inch mark in a cell stops encoding/csv.
		{"a line for what parts the cells, Windows text", "sep=;\r\npoint;u;v;x;y\r\n1;96;54;2,40625;19\xbd\r\n2;1824;54;35\x94;19,5", geometry.Inch, []calibrate.Reading{
			{Point: 1, U: 96, V: 54, X: 2.40625, Y: 19.5, Line: 3}, {Point: 2, U: 1824, V: 54, X: 35, Y: 19.5, Line: 4}}},
		{"inch marks", "point,u,v,x,y\n1,96,54,2 13/32\",19 1/2\"\n2,1824,54,\"35\"\"\",\"19.5\"\n", geometry.Inch, goodReadings},
		{"other columns and order", "y, x ,note,V,U,Point\n19 1/2,2 13/32,\"near the wall, dim\",54,96,1\n19.5,35,,54,1824,2,\n", geometry.Inch, goodReadings},
		{"units in the cells", "point,u,v,x,y\n1,96,54,5 cm,50mm\n", geometry.Inch, []calibrate.Reading{{Point: 1, U: 96, V: 54, X: 5 * cm, Y: 5 * cm, Line: 2}}},
		{"centimetres", "point,u,v,x,y\n1,96,54,5,2 in\n", geometry.Centimetre, []calibrate.Reading{{Point: 1, U: 96, V: 54, X: 5 * cm, Y: 2, Line: 2}}},
		{"empty lines and remarks", "# read by lamplight\n\npoint,u,v,x,y\n,,,,\n1,96,54,-1/2,½\n\n#done\n", geometry.Inch, []calibrate.Reading{{Point: 1, U: 96, V: 54, X: -0.5, Y: 0.5, Line: 5}}},
		{"read twice", "point,u,v,x,y\n1,96,54,2,3\n1,96,54,2,3 1/32\n", geometry.Inch, []calibrate.Reading{{Point: 1, U: 96, V: 54, X: 2, Y: 3, Line: 2}, {Point: 1, U: 96, V: 54, X: 2, Y: 3.03125, Line: 3}}},
	} {
		got, warnings, err := readings.Parse("points.csv", []byte(c.table), c.unit)
		if err != nil || len(warnings) != 0 || len(got) != len(c.want) {
			t.Errorf("%s: %v, %v, %v", c.name, got, warnings, err)
			continue
		}
		for i, r := range got {
			w := c.want[i]
			if math.Abs(r.X-w.X) > 1e-12 || math.Abs(r.Y-w.Y) > 1e-12 {
				t.Errorf("%s: %+v, want %+v", c.name, r, w)
			}
			r.X, r.Y, w.X, w.Y = 0, 0, 0, 0
			if r != w {
				t.Errorf("%s: %+v, want %+v", c.name, got[i], c.want[i])
			}
		}
	}
	// 21/2 may be meant as 2 1/2.
	_, warnings, err := readings.Parse("points.csv", []byte("point,u,v,x,y\n1,96,54,21/2,3\n"), geometry.Inch)
	if err != nil || len(warnings) != 1 || !strings.HasPrefix(warnings[0].String(), "points.csv:2:9: x: ") {
		t.Errorf("%v, %v", warnings, err)
	}
}

func TestBadTables(t *testing.T) {
	head := "point,u,v,x,y\n"
	for _, c := range []struct {
		name, table string
		says        []string // one a problem
	}{
		{"empty", "", []string{"p.csv: is empty; write the line point,u,v,x,y"}},
		{"only the heading", head, []string{"p.csv: has no line below its heading; fill it in"}},
		{"no heading", "1,96,54,2,3\n", []string{"p.csv:1:1: no column is named point", "named u", "named v", "named x", "named y"}},
		{"a column twice", "point,u,v,x,y,x\n1,2,3,4,5,6\n", []string{"p.csv:1:15: the column x comes twice"}},
		{"empty cells", head + "1,96,54,,3\n2,1824,54,35\n", []string{"p.csv:2:9: the cell for x is empty; fill it in, or delete the line", "p.csv:3:13: the cell for y is missing"}},
		{"as it came", head + "1,96,54,,\n", []string{"p.csv:2:9: the cell for x is empty", "p.csv:2:10: the cell for y is empty"}},
		{"words", head + "one,left,54,far,3\n", []string{"p.csv:2:1: point: `one` is not a whole number", "p.csv:2:5: u: `left` is not a number; leave u as it came with the crosses", "p.csv:2:13: x: `far`: it does not begin with a number"}},
		{"numbers of another kind", head + "1,0x10,1e3,NaN,Inf\n", []string{"p.csv:2:3:", "p.csv:2:8:", "p.csv:2:12:", "p.csv:2:16:"}},
		{"two dots", head + "1,9.6.0,54,2,3\n", []string{"p.csv:2:3:"}},
		{"decimal commas between commas", head + "1,96,54,2,5,19,5\n", []string{"p.csv:2:13: the line has more cells than the 5"}},
		{"a quotation mark", head + "1,96,54,\"2 1/2,3\n", []string{"p.csv:2:9: a quotation mark is not closed"}},
		{"one cross in two places", head + "1,96,54,2,3\n1,1824,54,35,3\n", []string{"p.csv:3:1: cross 1 stands elsewhere on line 2; give every cross its own number"}},
		{"UTF-16", "\xff\xfep\x00o\x00", []string{"save it as CSV UTF-8"}},
		{"neither UTF-8 nor Windows text", head + "1,96,54,2\x81,3\n", []string{"neither UTF-8"}},
		{"a spreadsheet", "PK\x03\x04", []string{"spreadsheet"}},
		{"dates", head + "1,5. Sep,54,2-Jan,46024\n", []string{"p.csv:2:3: u: `5. Sep` is a date", "p.csv:2:13: x: `2-Jan` is a date", "p.csv:2:19: y: `46024` is a date"}},
		{"huge", strings.Repeat("#\n", 1<<20), []string{"larger than 1024 KiB"}},
		{"many", head + strings.Repeat("1,96,54,2,3\n", 101), []string{"p.csv: has 101 readings, more than 100; leave some out"}},
	} {
		got, _, err := readings.Parse("p.csv", []byte(c.table), geometry.Inch)
		var bad problem.List
		if got != nil || !errors.As(err, &bad) {
			t.Errorf("%s: %v, %v", c.name, got, err)
			continue
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != len(c.says) {
			t.Errorf("%s: %d problems, want %d:\n%v", c.name, len(lines), len(c.says), err)
			continue
		}
		for i, s := range c.says {
			if !strings.Contains(lines[i], s) {
				t.Errorf("%s: %q does not say %q", c.name, lines[i], s)
			}
		}
	}
}

func TestRead(t *testing.T) {
	file := filepath.Join(t.TempDir(), "points.csv")
	if err := os.WriteFile(file, []byte(goodTable), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{file, "-"} {
		got, _, err := readings.Read(path, strings.NewReader(goodTable), geometry.Inch)
		if err != nil || !slices.Equal(got, goodReadings) {
			t.Errorf("%s: %v, %v", path, got, err)
		}
	}
	_, _, err := readings.Read("-", iotest.ErrReader(io.ErrClosedPipe), geometry.Inch)
	if err == nil || !strings.HasPrefix(err.Error(), "<standard input>: it can't be read") {
		t.Errorf("%v", err)
	}
}

// The table that is written has each target in its order, and reads back
// once it is filled in; as it comes, every empty cell is named.
func TestWrite(t *testing.T) {
	targets, err := calibrate.Targets(fullHD, calibrate.Grid{Columns: 4, Rows: 3}, 2)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := readings.Write(&out, targets); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(out.String(), "\n")
	if len(lines) != 26 || lines[0] != "point,u,v,x,y" || lines[1] != "1,96,54,," || lines[24] != "12,1824,1026,," || lines[25] != "" {
		t.Errorf("%q", lines)
	}
	_, _, err = readings.Parse("p.csv", out.Bytes(), geometry.Inch)
	var bad problem.List
	if !errors.As(err, &bad) || bad[20].Message != "and 28 more" {
		t.Errorf("%v", err)
	}
	filled := strings.ReplaceAll(out.String(), ",,\n", ",12 3/32,4\n")
	got, _, err := readings.Parse("p.csv", []byte(filled), geometry.Inch)
	if err != nil || len(got) != len(targets) {
		t.Fatalf("%v, %v", got, err)
	}
	for i, r := range got {
		if (calibrate.Target{Point: r.Point, U: r.U, V: r.V}) != targets[i] || r.X != 12.09375 || r.Y != 4 {
			t.Errorf("%+v, want %+v", r, targets[i])
		}
	}
	if err := readings.Write(failing{}, targets); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("%v", err)
	}
	if err := readings.Write(&out, []calibrate.Target{{Point: 1, U: math.NaN()}}); err == nil {
		t.Error("NaN was written")
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

// Whatever the table: either a list of problems with places inside it, or
// readings that are finite, that Solve judges with a row for each, and that
// read the same with other line endings. Run with
//
//	go test ./cmd/internal/readings -run '^$' -fuzz FuzzParse -fuzztime 20s
func FuzzParse(f *testing.F) {
	f.Add(goodTable, false)
	f.Add("\ufeffpoint;u;v;x;y\r\n1;96,5;54;2,5;\"19 1/2\"\"\"\r\n", true)
	targets, err := calibrate.Targets(fullHD, calibrate.Grid{Columns: 3, Rows: 3}, 1)
	if err != nil {
		f.Fatal(err)
	}
	nine := "point\tu\tv\tx\ty\n"
	for _, t := range targets {
		nine += fmt.Sprintf("%d\t%v\t%v\t%v\t%v\n", t.Point, t.U, t.V, 1+t.U*0.01875, 21-t.V*0.01875)
	}
	f.Add(nine, false)
	f.Add("point,u,v,x,y\n1,0x1,,NaN,\"\n", false)
	f.Fuzz(func(t *testing.T, table string, metric bool) {
		unit := geometry.Inch
		if metric {
			unit = geometry.Centimetre
		}
		got, warnings, err := readings.Parse("p.csv", []byte(table), unit)
		if err != nil {
			var bad problem.List
			if got != nil || !errors.As(err, &bad) || len(bad) == 0 || !utf8.ValidString(err.Error()) {
				t.Fatalf("%v, %#v", got, err)
			}
			lines := strings.Count(strings.ReplaceAll(strings.ReplaceAll(table, "\r\n", "\n"), "\r", "\n"), "\n") + 1
			for _, p := range bad {
				if p.Message == "" || p.Hint == "" || p.Line < 0 || p.Line > lines || (p.Line > 0) != (p.Column > 0) {
					t.Fatalf("%+v", p)
				}
			}
			return
		}
		if len(got) == 0 || len(got) > calibrate.MostReadings || len(warnings) > 2*len(got) {
			t.Fatalf("%d readings, %d warnings", len(got), len(warnings))
		}
		for _, r := range got {
			if math.IsNaN(r.U+r.V+r.X+r.Y) || math.IsInf(r.U+r.V+r.X+r.Y, 0) || r.Line < 2 || r.Point < 0 {
				t.Fatalf("%+v", r)
			}
		}
		if !strings.Contains(table, "\r") {
			again, _, err := readings.Parse("p.csv", []byte("\ufeff"+strings.ReplaceAll(strings.TrimPrefix(table, "\ufeff"), "\n", "\r\n")), unit)
			if err == nil && !slices.Equal(again, got) || err != nil && len(table) < 1<<18 {
				t.Fatalf("with CRLF: %v, %v", again, err)
			}
		}
		if len(got) > 30 {
			return
		}
		s := calibrate.Solve(got, fullHD, calibrate.Options{Unit: unit})
		if len(s.Points) != len(got) || s.Verdict != calibrate.OK && len(s.Reasons) == 0 || (s.Map == nil) != (s.Verdict == calibrate.Rejected) {
			t.Fatalf("%+v", s)
		}
		if _, err := s.File(); (err == nil) != (s.Map != nil) {
			t.Fatalf("%s, and yet %v", s.Verdict, err)
		}
	})
}
