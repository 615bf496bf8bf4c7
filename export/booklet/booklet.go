// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/pages"
	"lozenge/export/pdf"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// MaxSizes is the most sizes that a booklet may have.
const MaxSizes = 12

// Size is the quilt in one size.
type Size struct {
	// Name is what the size is called in every table: "queen", "60 by 72 in";
	// it is left out where there is only one.
	Name string
	// Wanted is the size that the quilt covers; its Cover is zero where none
	// was asked for.
	Wanted quilt.Wanted
	Plan   *quilt.Plan
}

// Options say how a booklet is made.
type Options struct {
	Paper pages.Paper // in the pattern's unit
	Twin  bool        // lengths in inches and in centimetres
	Kit   bool        // for whoever sews one size from a kit: it begins with what lies in the bag
}

// Booklet is what [Make] lays out.
type Booklet struct {
	Title, Author string
	Pages         []*draw.Drawing
	Bookmarks     []pdf.Bookmark

	figures []figureAt
}

// Make lays the booklet out. The sizes are of one pattern: only columns,
// rows, widths of strips and what follows from them may differ. It fails when
// there is no size or more than [MaxSizes], when strip sets of a size give no
// whole quilt (see [strip.Fewest]), or with a [pages.TooSmallError].
func Make(sizes []Size, o Options) (*Booklet, error) {
	if len(sizes) == 0 || len(sizes) > MaxSizes {
		return nil, fmt.Errorf("a booklet of %d sizes", len(sizes))
	}
	for _, s := range sizes {
		if !s.Plan.Fewest.OK() {
			return nil, errors.New("no strip set gives a piece that is needed")
		}
	}
	c := &composer{sizes: sizes, Options: o, p: sizes[0].Plan, unit: sizes[0].Plan.Spec.Unit, pictures: map[*quilt.Plan][]draw.Fill{}}
	c.group()
	for i := range c.groups {
		if err := c.layTemplates(&c.groups[i]); err != nil {
			return nil, err
		}
	}
	// What the text says of page numbers may move what stands on the pages.
	refs := map[string]string{}
	const most = 6
	for try := range most {
		c.writer = newWriter(c.spec().Name, o.Paper, c.unit, refs)
		c.compose()
		if maps.Equal(refs, c.now) {
			break
		}
		if refs = c.now; try == most-1 {
			return nil, errors.New("the pages of the booklet do not settle")
		}
	}
	return c.bind(), nil
}

// composer writes the booklet.
type composer struct {
	*writer
	Options
	sizes  []Size
	groups []group
	p      *quilt.Plan // of the first size; for what all share
	unit   geometry.Unit

	pictures map[*quilt.Plan][]draw.Fill
}

func (c *composer) spec() quilt.Spec { return c.p.Spec }

// plans returns the plan of each size.
func (c *composer) plans() []*quilt.Plan {
	var out []*quilt.Plan
	for _, s := range c.sizes {
		out = append(out, s.Plan)
	}
	return out
}

// some reports whether the plan of any size is so.
func (c *composer) some(is func(*quilt.Plan) bool) bool { return slices.ContainsFunc(c.plans(), is) }

// leansLeft reports whether any piece leans left.
func (c *composer) leansLeft() bool {
	return c.some(func(p *quilt.Plan) bool { return p.Need.Lean(geometry.Left) > 0 })
}

// group are the sizes that are cut from strip sets of the same widths.
type group struct {
	of    []Size
	names string // "crib and twin"; "" where there is only one group
	book  *pages.Book
	at    int // before so many pages its templates begin, last time
}

func (g group) plan() *quilt.Plan { return g.of[0].Plan }

// group puts sizes with the same strip set together.
func (c *composer) group() {
	for _, s := range c.sizes {
		i := slices.IndexFunc(c.groups, func(g group) bool { return sameSet(g.plan(), s.Plan) })
		if i < 0 {
			c.groups = append(c.groups, group{})
			i = len(c.groups) - 1
		}
		c.groups[i].of = append(c.groups[i].of, s)
	}
	for i := range c.groups {
		var names []string
		for _, s := range c.groups[i].of {
			names = append(names, s.Name)
		}
		if len(c.groups) > 1 {
			c.groups[i].names = words.List(names)
		}
	}
}

// sameSet reports whether two plans' strip sets are of the same widths.
func sameSet(a, b *quilt.Plan) bool {
	return a.Set.Width == b.Set.Width && slices.Equal(a.Set.Cuts, b.Set.Cuts)
}

// byGroup returns the numbers of the sizes, those of a group together.
func (c *composer) byGroup() []int {
	var out []int
	for _, g := range c.groups {
		for i, s := range c.sizes {
			if sameSet(g.plan(), s.Plan) {
				out = append(out, i)
			}
		}
	}
	return out
}

// layTemplates lays out the templates of a group.
func (c *composer) layTemplates(g *group) error {
	name := c.spec().Name
	if g.names != "" {
		name += ", " + g.names
	}
	var quilts []pages.Quilt
	for _, s := range g.of {
		q := pages.Quilt{Plan: s.Plan}
		if len(g.of) > 1 {
			q.Name = s.Name
		}
		quilts = append(quilts, q)
	}
	var err error
	g.book, err = pages.Lay(name, quilts, c.Paper)
	return err
}

// compose writes everything but the templates.
func (c *composer) compose() {
	c.cover()
	if c.Kit {
		c.bag()
		c.before()
	} else {
		c.before()
		c.shopping()
		c.cutStrips()
	}
	c.sewStripSets()
	c.stripSetList()
	c.cutPieces()
	c.wall()
	c.sewRows()
	c.squareUp()
	c.borders()
	c.finishing()
	c.printing()
	c.templates()
	c.colouring()
	c.flush()
}

// templates leaves room for the templates, and notes where they will be.
func (c *composer) templates() {
	c.flush()
	all := 0
	for i := range c.groups {
		g := &c.groups[i]
		at := len(c.pages) + all
		g.at = at
		c.now[fmt.Sprint("templates", i)] = fmt.Sprintf("page%s%d", words.Hard, at+1)
		title := "Strip gauge and templates"
		if g.names != "" {
			title += ": " + g.names
		}
		c.marks = append(c.marks, pdf.Bookmark{Title: title, Page: at})
		for k, name := range g.book.Titles() {
			c.marks = append(c.marks, pdf.Bookmark{Title: words.Capital(name), Page: at + k, Level: 1})
		}
		all += g.book.Len()
	}
	c.leave(all)
}

// bind puts the pages together and numbers them.
func (c *composer) bind() *Booklet {
	all := len(c.pages) + c.skip
	own := c.finish(all)
	b := &Booklet{Title: c.spec().Name, Author: c.spec().Designer, Bookmarks: c.marks, figures: c.figures}
	b.Pages = append(b.Pages, own[:c.front]...)
	for _, g := range c.groups {
		b.Pages = append(b.Pages, g.book.Draw(len(b.Pages)+1, all)...)
	}
	b.Pages = append(b.Pages, own[c.front:]...)
	return b
}
