// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"lozenge/geometry"
	"lozenge/geometry/fabric"
)

// Source is how a fabric is bought.
type Source = fabric.Source

// The sources.
const (
	Yardage     = fabric.Yardage
	FatQuarters = fabric.FatQuarters
	Precut      = fabric.Precut
	Scraps      = fabric.Scraps
)

// ColourOrder is how the colours of the strip sets are laid over the quilt.
type ColourOrder int

// The orders. Gradient lays the colours so that they shade into one another
// from the bottom row, where the darker end lies, to the top. Scattered mixes
// them evenly, and keeps pieces of one strip set, and as far as it can of the
// same colours, from touching. Bands gives each band of the quilt one colour:
// band b, as [Plan.Band] counts them, has colour b mod n of its fabric.
const (
	Gradient ColourOrder = iota
	Scattered
	Bands
)

// String returns the order as the pattern file writes it.
func (o ColourOrder) String() string { return [...]string{"gradient", "scattered", "bands"}[o] }

// EdgeRule is how much the colours of the edge triangles count.
type EdgeRule int

// The rules. Thrifty takes no further strip set for the colours of the edge
// triangles; Matched takes as many as make each of them match a diamond that it
// touches.
const (
	Thrifty EdgeRule = iota
	Matched
)

// String returns the rule as the pattern file writes it.
func (r EdgeRule) String() string { return [...]string{"thrifty", "matched"}[r] }

// EdgeGrain is how the edge triangles lie along the quilt's top and bottom.
type EdgeGrain int

// The edge grains. BandsOn lets the bands of colour run on into the edge
// triangles, whose bases then lie outermost. Straight, at 60 degrees only,
// turns them so that their strip edges do: stable, but the bands stop there.
const (
	BandsOn EdgeGrain = iota
	Straight
)

// String returns the edge grain as the pattern file writes it.
func (g EdgeGrain) String() string { return [...]string{"bias", "straight"}[g] }

// Strip is one strip of the strip set.
type Strip struct {
	Cut    float64 // width before sewing
	Fabric string  // key of a Fabric
}

// Fabric is one of the fabrics.
type Fabric struct {
	Key         string
	Name        string // as shown; the key when it has none
	From        Source
	StripLength float64  // longest strip of this fabric; 0: Spec.UsableWidth
	Colours     []Colour // at least one
	Names       []string // what the colours are called; "" or none: by the nearest keyword of CSS
}

// Colour is red, green and blue.
type Colour [3]uint8

// Size is a width and a height.
type Size struct{ Width, Height float64 }

// Corners is how the corners of a border are made.
type Corners int

// The corners.
const (
	Butted Corners = iota
	Mitred
)

// String returns "butted" or "mitred".
func (c Corners) String() string { return [...]string{"butted", "mitred"}[c] }

// Joins is how the strips of the binding are joined.
type Joins int

// The joins. One on the diagonal takes the strips' width, one straight across two
// seam allowances.
const (
	DiagonalJoins Joins = iota
	StraightJoins
)

// String returns "diagonal" or "straight", as the pattern file writes it.
func (j Joins) String() string { return [...]string{"diagonal", "straight"}[j] }

// Border is one border, from the inside out.
type Border struct {
	Cut     float64
	Fabric  string
	Corners Corners
}

// Spec is what a quilt is planned from: the pattern file's contents with
// defaults filled in. Lengths are in Unit.
type Spec struct {
	Name        string
	Designer    string // "" when not given
	Note        string // a paragraph for those who sew the quilt; "" when not given
	Unit        geometry.Unit
	Angle       geometry.Angle
	Seam        float64
	Tips        geometry.Tips
	Strips      []Strip // lowest first
	UsableWidth float64 // of fabric: the longest strip
	Layout      Layout
	Columns     int   // 0 when Finish is given
	Rows        int   // 0 when Finish is given
	Finish      *Size // the size to cover, or nil
	StripSets   int   // 0, or so many strip sets from which the quilt is made; then no size need be given
	Fabrics     []Fabric
	ColourOrder ColourOrder
	Edges       EdgeRule
	Stagger     bool
	MixLeans    bool
	EndTrim     float64
	Spare       int
	SewnWidth   float64 // the strip set as measured after pressing; 0: not measured
	Face        geometry.Face
	EdgeGrain   EdgeGrain
	Shrinkage   float64 // percent lost in the wash
	TakeUp      float64 // percent drawn in by the quilting

	Borders []Border // from the inside out
	Backing struct{ UsableWidth, Extra float64 }
	Binding struct {
		Cut, Extra float64
		Joins      Joins
	}
	Straighten float64 // lost once of each purchase of yardage when its cut end is straightened
	Batting    struct{ Extra float64 }
}
