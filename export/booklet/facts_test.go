// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"lozenge/export/pages"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// three returns a plan of three strips with fabrics of several colours.
func three(t *testing.T, order quilt.ColourOrder) *quilt.Plan {
	t.Helper()
	p, err := quilt.New(quilt.Spec{
		Name: "Meadow", Unit: geometry.Centimetre, Angle: 60, Seam: 0.75, UsableWidth: 107, Layout: quilt.Chevron, Columns: 6, Rows: 8,
		Strips: []quilt.Strip{{Cut: 5, Fabric: "moss"}, {Cut: 4, Fabric: "butter"}, {Cut: 5, Fabric: "clover"}},
		Fabrics: []quilt.Fabric{
			{Key: "moss", Colours: []quilt.Colour{{0x4f, 0x6b, 0x3a}, {0x7c, 0x93, 0x58}}},
			{Key: "butter", From: quilt.FatQuarters, StripLength: 53, Colours: []quilt.Colour{{0xf0, 0xdc, 0x9a}}},
			{Key: "clover", Colours: []quilt.Colour{{0xb8, 0x57, 0x7a}, {0xd8, 0x8a, 0xa4}}},
		},
		ColourOrder: order,
		Backing:     struct{ UsableWidth, Extra float64 }{107, 10},
		Binding: struct {
			Cut, Extra float64
			Joins      quilt.Joins
		}{6.5, 25, quilt.StraightJoins},
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// bookText returns all words of a booklet of one size, blanks between them.
func bookText(t *testing.T, p *quilt.Plan) string {
	t.Helper()
	return textOf(t, []Size{{Plan: p}})
}

func textOf(t *testing.T, sizes []Size) string {
	t.Helper()
	paper, _ := pages.Named("a4", sizes[0].Plan.Spec.Unit)
	b, err := Make(sizes, Options{Paper: paper})
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, s := range b.Pages {
		all = append(all, pageWords(s))
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.Join(all, " "), "\u00a0", " ")), " ")
}

// Of mixed colours any other mix will do, where edges are matched one that matches.
func TestBookletOfAnyOtherMix(t *testing.T) {
	for rule, want := range map[quilt.EdgeRule]string{
		quilt.Thrifty: "as long as every piece has its lean.",
		quilt.Matched: "as long as every piece has its lean, and each edge triangle the colours of a diamond that it touches.",
	} {
		s := three(t, quilt.Scattered).Spec
		s.Edges = rule
		p, err := quilt.New(s)
		if err != nil {
			t.Fatal(err)
		}
		if said := bookText(t, p); !strings.Contains(said, want) {
			t.Errorf("%v: no %q", rule, want)
		}
	}
}

// The booklet tells the colours that the plan sews together, and where they
// lie: in the order of bands, as strip set by strip set in turn.
func TestBookletTellsThePlansColours(t *testing.T) {
	p := three(t, quilt.Bands)
	said := bookText(t, p)
	for _, wrong := range []string{"the second of each", "2 the second", "begin at the bottom"} {
		if strings.Contains(said, wrong) {
			t.Errorf("bands: %q", wrong)
		}
	}
	ways, _ := p.Colourways()
	if len(ways) != 4 {
		t.Fatalf("%d colourways", len(ways))
	}
	for _, w := range ways {
		names := p.ColourNames(w.StripSets[0])
		want := fmt.Sprintf("%d Moss %s, Butter and Clover %s", w.StripSets[len(w.StripSets)-1]+1, names[0], names[2])
		if !strings.Contains(strings.ToLower(said), strings.ToLower(want)) {
			t.Errorf("bands: nothing of %q", want)
		}
	}
	if want := "The bands of one colour each run across the quilt"; !strings.Contains(said, want) {
		t.Errorf("bands: nothing of %q", want)
	}
	p = three(t, quilt.Gradient)
	said = bookText(t, p)
	for _, want := range []string{"From dark to light each colour of a fabric has its share of the strip sets", "shade from dark to light and never turn back"} {
		if !strings.Contains(said, want) {
			t.Errorf("gradient: nothing of %q", want)
		}
	}
}

// The booklet passes on those of the plan's notes that concern its reader, once,
// and of several sizes says which they are about.
func TestBookletPassesNotesOn(t *testing.T) {
	p := three(t, quilt.Bands)
	if len(words.MakerNotes(p)) == 0 || len(words.Notes(p)) <= len(words.MakerNotes(p)) {
		t.Fatalf("notes %q, for the maker %q", words.Notes(p), words.MakerNotes(p))
	}
	said := bookText(t, p)
	for _, note := range words.Notes(p) {
		want := 0
		if slices.Contains(words.MakerNotes(p), note) {
			want = 1
		}
		if got := strings.Count(said, note); got != want {
			t.Errorf("%d times, not %d: %s", got, want, note)
		}
	}
	small := p.Spec
	small.Columns, small.Rows = 1, 1
	q, err := quilt.New(small)
	if err != nil {
		t.Fatal(err)
	}
	said = textOf(t, []Size{{Name: "small", Plan: q}, {Name: "large", Plan: p}})
	for _, note := range append(words.MakerNotes(p), words.MakerNotes(q)...) {
		want := note
		if !slices.Contains(words.MakerNotes(p), note) {
			want = "Small: " + note
		} else if !slices.Contains(words.MakerNotes(q), note) {
			want = "Large: " + note
		}
		if strings.Count(said, note) != 1 || !strings.Contains(said, want) {
			t.Errorf("not once: %s", want)
		}
	}
}
