// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/booklet"
	"lozenge/export/pages"
	"lozenge/export/pdf"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// ownSize is what the size that the pattern itself gives is called.
const ownSize = "own"

func bookletCommand(t talk) *cobra.Command {
	var out folder
	var paper, sizes, drop string
	var scaled, twin bool
	var letters lettering
	var kitted kitting
	c := &cobra.Command{
		Use:   "booklet PATTERN --sizes crib,twin,queen --out DIR",
		Short: "Write a booklet that others can sew the quilt from, in several sizes (PDF)",
		Long: `booklet writes booklet.pdf: what to buy, how to cut, lay out, sew and finish the
quilt, step by step with drawings, templates at true size, and a line drawing to
try colours on, in one size or in several.

--sizes takes names (` + strings.Join(quilt.SizeNames(), ", ") + `), sizes of
your own as 60x72 or 150x180cm, and own for the pattern's own size. A named bed
size is that of the mattress and a drop on both sides and at the foot, 12 in
unless --drop says otherwise; baby (30 by 40 in), crib (36 by 52), lap and throw
(54 by 72) lie on no bed and have no drop. The smallest quilt of whole diamonds that covers a size with its borders on is made. Without --sizes
the booklet is for the pattern's own size.

Pieces are the same in all sizes. With --scale-strips the strips' widths change
with the size, in steps of 1/4 in or 0.5 cm, so that a crib quilt is made of as
many diamonds as the pattern's own size, from narrower strips.

--kits is for one size, and writes kits.pdf as well: what to buy and cut for so many
kits, and a label for each bag; the booklet then begins with what lies in the bag.`,
		Example: `  lozenge booklet my-quilt.yaml --out booklet
  lozenge booklet my-quilt.yaml --sizes crib,throw,twin,full,queen,king --paper letter --out booklet
  lozenge booklet my-quilt.yaml --sizes crib,60x72 --scale-strips --metric-twin --out booklet
  lozenge booklet my-quilt.yaml --sizes lap --kits 20 --out class`,
		Args: onePattern,
		RunE: func(c *cobra.Command, args []string) error {
			if err := out.check(c); err != nil {
				return err
			}
			if err := letters.read(); err != nil {
				return err
			}
			if err := kitted.check(); err != nil {
				return err
			}
			p, plan, err := t.readPattern(args[0])
			if no := kitted.refuses(p); no != nil {
				return no
			}
			if err != nil {
				return err
			}
			on, err := bookletPaper(paper, plan.Spec.Unit)
			if err != nil {
				return err
			}
			w := wantedSizes{pattern: p, plan: t.inLetters(plan, letters, "booklet.pdf", true), scaled: scaled}
			all, err := w.parse(sizes, drop)
			if err != nil {
				return err
			}
			if kitted.given() && len(all) > 1 {
				return usagef("--kits is for one size, and --sizes names %d: every bag holds the same; write a booklet for each size, into a folder of its own", len(all))
			}
			made, err := makeBooklet(all, booklet.Options{Paper: on, Twin: twin, Kit: kitted.given()})
			if err != nil {
				return err
			}
			files := []namedFile{{"booklet.pdf", bookletPDF(plan.Spec, made, letters)}}
			kits, err := kitted.of(all[0].Plan)
			if err != nil {
				return err
			}
			if kits != nil {
				files = append(files, kitsFile(all[0].Plan, kits, on, letters))
			}
			return out.write(files, args[0], letters.path)
		},
	}
	c.Flags().StringVar(&sizes, "sizes", "", "sizes, with commas between them (default the pattern's own)")
	c.Flags().StringVar(&drop, "drop", "", "how far a quilt hangs over the mattress on both sides and at the foot (default 12in)")
	c.Flags().BoolVar(&scaled, "scale-strips", false, "let the strips' widths change with the size")
	c.Flags().StringVar(&paper, "paper", "", "letter or a4 (default letter, in a metric pattern a4)")
	c.Flags().BoolVar(&twin, "metric-twin", false, "give every length in inches and in centimetres")
	kitted.flag(c)
	letters.flag(c, "")
	out.flags(c)
	return c
}

// bookletPaper returns the paper of a booklet: its pages are made for the two
// that lie in home printers.
func bookletPaper(name string, u geometry.Unit) (pages.Paper, error) {
	if name == "" {
		name = paperName(u)
	}
	name = strings.ToLower(strings.TrimSpace(name))
	if name != "letter" && name != "a4" {
		return pages.Paper{}, usagef("--paper %q: a booklet is printed on letter or a4", name)
	}
	p, _ := pages.Named(name, u)
	return p, nil
}

// makeBooklet lays the booklet out, or says why that can't be.
func makeBooklet(sizes []booklet.Size, o booklet.Options) (*booklet.Booklet, error) {
	for _, s := range sizes {
		if !s.Plan.Fewest.OK() {
			name := ""
			if s.Name != "" {
				name = s.Name + ": "
			}
			return nil, &answerNo{name + tooShort(s.Plan)}
		}
	}
	b, err := booklet.Make(sizes, o)
	var small *pages.TooSmallError
	if errors.As(err, &small) {
		return nil, usagef("--paper: %v", small)
	}
	return b, err
}

// bookletPDF calls the document as the pattern does, in whatever letters.
func bookletPDF(s quilt.Spec, b *booklet.Booklet, letters lettering) func(io.Writer) error {
	return documentOf(pdf.Document{Title: s.Name, Author: s.Designer, Letters: letters.Fonts, Pages: b.Pages, Bookmarks: b.Bookmarks})
}

// wantedSizes plans the quilt in the sizes that are asked for.
type wantedSizes struct {
	pattern *pattern.Pattern
	plan    *quilt.Plan
	scaled  bool
}

func (w wantedSizes) parse(list, drop string) ([]booklet.Size, error) {
	u := w.plan.Spec.Unit
	hang := u.FromInches(quilt.DropInches)
	if drop != "" {
		l, err := geometry.ParseLength(drop, u)
		if err != nil {
			return nil, usagef("--drop %q: %v", drop, err)
		}
		if hang = l.In(u); !(hang >= 0 && u.Inches(hang) <= 60) {
			return nil, usagef("--drop %q is not within 0 and %s", drop, geometry.FormatLength(u.FromInches(60), u))
		}
	}
	if list == "" {
		if drop != "" || w.scaled {
			return nil, usagef("--drop and --scale-strips are for sizes; add --sizes crib,twin or the like")
		}
		return []booklet.Size{{Plan: w.plan}}, nil
	}
	var out []booklet.Size
	for _, name := range strings.Split(list, ",") {
		s, err := w.size(strings.ToLower(strings.TrimSpace(name)), hang)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(out, func(o booklet.Size) bool { return o.Name == s.Name }) {
			return nil, usagef("--sizes names %s twice", s.Name)
		}
		out = append(out, s)
	}
	if len(out) > booklet.MaxSizes {
		return nil, usagef("--sizes names %d sizes; a booklet has at most %d", len(out), booklet.MaxSizes)
	}
	return out, nil
}

// size plans the quilt in one size.
func (w wantedSizes) size(name string, drop float64) (booklet.Size, error) {
	u := w.plan.Spec.Unit
	if name == ownSize {
		s := booklet.Size{Name: "own size", Plan: w.plan}
		if f := w.plan.Spec.Finish; f != nil && len(w.plan.Spec.Borders) == 0 {
			s.Wanted.Cover = *f
		}
		return s, nil
	}
	wanted, ok := quilt.NamedSize(name, drop, u)
	if !ok {
		width, height, err := parseSize(name, u)
		known := strings.Join(quilt.SizeNames(), ", ")
		if err != nil {
			return booklet.Size{}, usagef("--sizes: %q is no size that is known; write %s, own, or a size as 60x72", name, known)
		}
		if !(width > 0 && height > 0) || u.Inches(max(width, height)) > 400 {
			return booklet.Size{}, usagef("--sizes: %q is not within 0 and %s", name, geometry.FormatLength(u.FromInches(400), u))
		}
		wanted.Cover = quilt.Size{Width: width, Height: height}
		name = fmt.Sprintf("%s by %s", geometry.FormatNumber(width, u), geometry.FormatLength(height, u))
	}
	spec, err := w.plan.Spec.Covering(wanted.Cover)
	if w.scaled {
		spec, err = w.plan.Spec.Scaled(wanted.Cover)
	}
	var plan *quilt.Plan
	if err == nil {
		plan, err = quilt.New(spec)
	}
	return booklet.Size{Name: name, Wanted: wanted, Plan: plan}, w.pattern.Wrong(err, name)
}
