// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// kitsTold is what the test looks at of plan.json. It is written out here, not shared
// with the code that writes it.
type kitsTold struct {
	Fabric []struct {
		Fabric string
		Buy    float64
		Colors []struct{ Buy float64 }
	}
	StripSets struct {
		Total *int
		Sets  []struct {
			Colors []struct{ Fabric, Color string }
		}
	} `json:"strip_sets"`
	Kits struct {
		Count  int
		Fabric []struct {
			Fabric, Unit string
			Buy          float64
			Strips       int
		}
		Borders []struct {
			Buy    float64
			Strips int
		}
		Backing, Binding struct {
			Buy    float64
			Unit   string
			Strips int
		}
		Cutting []struct {
			Fabric, Color string
			Times         int
			Whole         struct{ Kind string }
			Strips        []struct {
				Cut       float64
				Count     int
				StripSets []int `json:"strip_sets"`
			}
		}
		Bag []struct {
			For         string
			Fabric      *string
			Name        *string
			Color       *string
			Cut, Length float64
			Count       int
			StripSets   []int `json:"strip_sets"`
		}
	}
}

// tellKits makes a pattern for so many kits and compares what its documents tell. ok is
// false for a pattern from which no quilt can be cut.
func tellKits(text string, n int, dir string) (ok bool, err error) {
	file, out := filepath.Join(dir, "q.yaml"), filepath.Join(dir, "out")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		return false, err
	}
	var said, talk bytes.Buffer
	if status := run([]string{"plan", file, "--json", "--kits", fmt.Sprint(n)}, nil, &said, &talk); status == statusNo || status == statusUsage && (strings.Contains(talk.String(), "are there once") || strings.Contains(talk.String(), "is there once")) {
		return false, nil
	} else if status != statusDone {
		return false, fmt.Errorf("status %d: %s", status, &talk)
	}
	var p kitsTold
	if err := json.Unmarshal(said.Bytes(), &p); err != nil {
		return false, err
	}
	var whole struct{ Unit string }
	if err := json.Unmarshal(said.Bytes(), &whole); err != nil {
		return false, err
	}
	unit := geometry.Inch
	if whole.Unit == "cm" {
		unit = geometry.Centimetre
	}
	if status := run([]string{"make", file, "--kits", fmt.Sprint(n), "--out", out}, nil, &said, &talk); status != statusDone {
		return false, fmt.Errorf("make: %s", &talk)
	}
	if err := p.agrees(n); err != nil {
		return false, err
	}
	plan, err := os.ReadFile(filepath.Join(out, "plan.txt"))
	if err != nil {
		return false, err
	}
	lines, err := bookletLines(filepath.Join(out, "kits.pdf"))
	if err != nil {
		return false, err
	}
	booklet, err := bookletLines(filepath.Join(out, "booklet.pdf"))
	if err != nil {
		return false, err
	}
	documents := map[string]string{"plan.txt": string(plan), "kits.pdf": strings.Join(lines, " "), "booklet.pdf": strings.Join(booklet, " ")}
	times := map[string]int{"plan.txt": 1, "kits.pdf": 1 + n, "booklet.pdf": 1}
	for document, text := range documents {
		text = strings.ToLower(strings.Join(strings.Fields(text), " "))
		for _, want := range p.bag(unit) {
			if got := strings.Count(text, want); got < times[document] {
				return false, fmt.Errorf("%s tells %q %d times, want %d", document, want, got, times[document])
			}
		}
		for _, want := range p.buys() {
			if buys := document != "booklet.pdf"; strings.Contains(text, want) != buys {
				return false, fmt.Errorf("%s tells %q: %v", document, want, !buys)
			}
		}
		for i := range n {
			if want := fmt.Sprintf("kit %d of %d", i+1, n); document == "kits.pdf" && !strings.Contains(text, want) {
				return false, fmt.Errorf("no label %q", want)
			}
		}
	}
	return true, nil
}

// cut returns how many strips for strip sets are cut, by fabric, colour and width, having
// checked the bill of cutting.
func (p *kitsTold) cut() (map[string]int, error) {
	strips := map[string]int{} // for strip sets, by fabric, colour and width
	wholes := map[string]float64{}
	for _, w := range p.Kits.Cutting {
		if w.Whole.Kind != "yardage" {
			wholes[w.Fabric] += float64(w.Times)
		}
		for _, s := range w.Strips {
			if len(s.StripSets) != w.Times*s.Count {
				return nil, fmt.Errorf("%d times %d strips for strip sets %v", w.Times, s.Count, s.StripSets)
			}
			strips[fmt.Sprint(w.Fabric, w.Color, s.Cut)] += w.Times * s.Count
		}
	}
	for _, f := range p.Kits.Fabric {
		if n, ok := wholes[f.Fabric]; ok && n != f.Buy {
			return nil, fmt.Errorf("%s: %v bought, %v cut up", f.Fabric, f.Buy, n)
		}
	}
	return strips, nil
}

// agrees checks kits against the keys of one quilt, and the bags against what is cut.
func (p *kitsTold) agrees(n int) error {
	if p.Kits.Count != n {
		return fmt.Errorf("%d kits, want %d", p.Kits.Count, n)
	}
	for i, f := range p.Kits.Fabric {
		if one := p.Fabric[i]; f.Fabric != one.Fabric || f.Buy > one.Buy*float64(n)+1e-9 {
			return fmt.Errorf("%+v for %d kits, %+v for one", f, n, one)
		}
	}
	strips, err := p.cut()
	if err != nil {
		return err
	}
	takes := map[string][]int{} // strip sets of one quilt, by fabric and colour
	for k, s := range p.StripSets.Sets {
		for _, c := range s.Colors {
			if key := c.Fabric + c.Color; !slices.Contains(takes[key], k+1) {
				takes[key] = append(takes[key], k+1)
			}
		}
	}
	for _, b := range p.Kits.Bag {
		all := map[string]int{"binding": p.Kits.Binding.Strips, "backing": p.Kits.Backing.Strips}
		if in, ok := all[b.For]; ok && n*b.Count != in {
			return fmt.Errorf("%d of %s in a bag, %d in all", b.Count, b.For, in)
		}
		if b.For != "strip sets" {
			continue
		}
		key := fmt.Sprint(*b.Fabric, *b.Color, b.Cut)
		strips[key] -= n * b.Count
		for _, k := range b.StripSets {
			if !slices.Contains(takes[*b.Fabric+*b.Color], k) {
				return fmt.Errorf("%s is for strip set %d, which takes none", key, k)
			}
		}
	}
	for key, left := range strips {
		if left != 0 {
			return fmt.Errorf("%d strips of %s more are cut than go into bags", left, key)
		}
	}
	return nil
}

// bag is what documents must tell of what lies in the bag.
func (p *kitsTold) bag(u geometry.Unit) (out []string) {
	for _, b := range p.Kits.Bag {
		strips, cut := "strips", geometry.FormatLength(b.Cut, u)
		if b.Count == 1 {
			strips = "strip"
		}
		switch b.For {
		case "strip sets":
			out = append(out, fmt.Sprintf(": %d %s cut %s wide, at least ", b.Count, strips, cut))
		case "binding":
			out = append(out, fmt.Sprintf("binding: %d %s cut %s wide", b.Count, strips, cut))
		case "batting":
			out = append(out, fmt.Sprintf("batting: %d piece, %s by %s", b.Count, cut, geometry.FormatLength(b.Length, u)))
		}
	}
	return out
}

// buys is what documents must tell of what is bought; amounts in eighths and tenths as
// shops have them.
func (p *kitsTold) buys() (out []string) {
	say := func(buy float64, unit string, strips int, what string) {
		amount := fmt.Sprintf("%.1f m", buy)
		if unit == "yd" {
			amount = geometry.FormatFraction(buy, 8) + " yd"
		}
		if strips != 1 {
			what += "s"
		}
		out = append(out, fmt.Sprintf("%s: %d %s", amount, strips, what))
	}
	say(p.Kits.Backing.Buy, p.Kits.Backing.Unit, p.Kits.Backing.Strips, "panel")
	say(p.Kits.Binding.Buy, p.Kits.Binding.Unit, p.Kits.Binding.Strips, "strip")
	for i, f := range p.Kits.Fabric {
		if (f.Unit == "yd" || f.Unit == "m") && len(p.Fabric[i].Colors) == 1 {
			say(f.Buy, f.Unit, f.Strips, "strip")
		}
	}
	return out
}

// TestKitsTold has random patterns made for several kits: the plan, plan.json,
// kits.pdf and the booklet tell the same of what is bought and of what lies in each bag, which is what
// is cut. There is no other source; what a kit takes is held to hand-made figures in
// geometry/quilt.
func TestKitsTold(t *testing.T) {
	outside.Cases(t, 4, 60)
	told := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawPattern(t)
		dir, err := os.MkdirTemp("", "lozenge")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(dir)
		ok, err := tellKits(p.text, rapid.IntRange(1, 6).Draw(t, "kits"), dir)
		if err != nil {
			if _, said, _ := strings.Cut(err.Error(), ": "); refusals.MatchString(said) {
				t.Skip("rightly refused")
			}
			t.Fatalf("%v\n%s", err, p.text)
		}
		if ok {
			told++
		}
	})
	if told == 0 && !t.Failed() {
		t.Error("nothing was read")
	}
}

// TestKitsOfExamples: the examples, and the most kits that there may be.
func TestKitsOfExamples(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"tide-lap", "meadow-cot", "ember-throw"} {
		text, err := os.ReadFile("../../testdata/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		if ok, err := tellKits(string(text), outside.Of(3, quilt.MaxKits), t.TempDir()); err != nil || !ok {
			t.Errorf("%s: %v %v", name, ok, err)
		}
	}
}
