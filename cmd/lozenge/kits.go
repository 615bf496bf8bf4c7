// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/pages"
	"lozenge/export/pdf"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// kitting is how many kits are asked for.
type kitting struct{ number string }

func (k kitting) given() bool { return k.number != "" }

func (k *kitting) flag(c *cobra.Command) {
	c.Flags().StringVar(&k.number, "kits", "", "so many kits for a class or a shop, bought and cut together: what goes into each bag (1 to "+strconv.Itoa(quilt.MaxKits)+")")
}

// check refuses what is no number of kits.
func (k kitting) check() error {
	if !k.given() {
		return nil
	}
	if n, err := strconv.Atoi(strings.TrimSpace(k.number)); err != nil || n < 1 || n > quilt.MaxKits {
		return usagef("--kits %q: it takes the number of kits, 1 to %d; write --kits 20 for a class of twenty", k.number, quilt.MaxKits)
	}
	return nil
}

// refuses says why a pattern has no kits; nil where it may, or none are asked for.
func (k kitting) refuses(p *pattern.Pattern) error {
	if !k.given() || p == nil {
		return nil
	}
	var wrong *geometry.Error
	if !errors.As(p.Spec.KitsFrom(p.Scraps != ""), &wrong) {
		return nil
	}
	at := p.At(wrong.Field, "--kits: "+wrong.Reason, wrong.Hint)
	at.Example = "" // the line is right, but for one quilt
	return pattern.Problems{at}
}

// of returns what the kits take; nil where none are asked for. Where strip sets give no
// quilt that is the answer "no".
func (k kitting) of(plan *quilt.Plan) (*quilt.Goods, error) {
	if !k.given() {
		return nil, nil
	}
	if !plan.Fewest.OK() {
		return nil, &answerNo{"no kits: " + tooShort(plan)}
	}
	n, _ := strconv.Atoi(strings.TrimSpace(k.number))
	g, err := plan.Kits(n)
	var bad *geometry.Error
	if errors.As(err, &bad) {
		return nil, usagef("--kits: %v", bad)
	}
	return &g, err
}

// kitsFile is the list of whoever packs the kits, and the labels of the bags.
func kitsFile(p *quilt.Plan, kits *quilt.Goods, paper pages.Paper, letters lettering) namedFile {
	all := sheet.Kits(p, *kits, quilt.Size{Width: paper.Width, Height: paper.Height})
	return namedFile{"kits.pdf", documentOf(pdf.Document{Title: p.Spec.Name + ": " + words.Count(kits.Count, "kit"), Author: p.Spec.Designer, Letters: letters.Fonts, Pages: all})}
}

// The keys of kits in plan --json.
type (
	jsonKits struct {
		Count   int             `json:"count"`
		Fabric  []jsonFabric    `json:"fabric"`
		Borders []jsonKitBorder `json:"borders"`
		Backing jsonBuy         `json:"backing"`
		Binding jsonBuy         `json:"binding"`
		Batting int             `json:"batting"` // pieces
		Cutting []jsonWhole     `json:"cutting"`
		Bag     []jsonBagged    `json:"bag"`
	}
	jsonKitBorder struct {
		Cut    float64 `json:"cut"`
		Fabric string  `json:"fabric"`
		jsonBuy
	}
	jsonBagged struct {
		For       string  `json:"for"`
		Border    *int    `json:"border,omitempty"` // from 1
		Fabric    *string `json:"fabric"`           // null where the pattern names none
		Color     *string `json:"color"`
		Name      *string `json:"name"`
		Cut       float64 `json:"cut"`
		Length    float64 `json:"length"`
		Count     int     `json:"count"`
		StripSets []int   `json:"strip_sets"`
	}
)

// kitsJSON returns kits for other programs; nil where there are none.
func kitsJSON(p *quilt.Plan, kits *quilt.Goods) *jsonKits {
	if kits == nil {
		return nil
	}
	of := func(b quilt.Purchase) jsonBuy { return buy(b.Strips, b.Length, b.Buy, b.Unit) }
	out := &jsonKits{Count: kits.Count, Fabric: fabricJSON(kits.Cloth), Borders: []jsonKitBorder{}, Backing: of(kits.Backing), Binding: of(kits.Binding), Batting: kits.Count, Cutting: cuttingJSON(kits.Cutting)}
	for i, b := range kits.Borders {
		out.Borders = append(out.Borders, jsonKitBorder{p.Spec.Borders[i].Cut, p.Spec.Borders[i].Fabric, of(b)})
	}
	for _, b := range p.Bag() {
		one := jsonBagged{For: b.For.String(), Cut: b.Cut, Length: b.Length, Count: b.Count, StripSets: numbersFrom1(b.StripSets),
			Border: when(b.For == quilt.ForBorder, b.Border+1), Fabric: when(b.Fabric != "", b.Fabric)}
		if b.Number >= 0 {
			one.Color, one.Name = when(true, b.Colour.String()), when(true, p.Spec.ColourName(b.Fabric, b.Number))
		}
		out.Bag = append(out.Bag, one)
	}
	return out
}
