// SPDX-License-Identifier: Apache-2.0

package table

import (
	"maps"
	"slices"
)

// cuts are the cuts that are made, by strip set in cutting order: their
// numbers.
type cuts map[int]map[int]bool

func (c cuts) make(k int, numbers []int) {
	if c[k] == nil {
		c[k] = map[int]bool{}
	}
	for _, n := range numbers {
		c[k][n] = true
	}
}

func (c cuts) unmake(k int, numbers []int) {
	for _, n := range numbers {
		delete(c[k], n)
	}
}

// progress is how far a quilt is cut: never a place, but the cuts themselves,
// whatever projector they are made under and in whatever order.
type progress struct {
	made    cuts
	spoiled []pieceOf
}

// pieceOf is a piece of a strip set, both counted from 0.
type pieceOf struct {
	StripSet int `json:"strip_set"`
	Piece    int `json:"piece"`
}

func (p *progress) isSpoiled(k, piece int) bool {
	return slices.Contains(p.spoiled, pieceOf{k, piece})
}

// record is progress as it is kept, with where she stopped.
type record struct {
	Kind    string `json:"kind"`
	Version int    `json:"version"`
	Name    string `json:"pattern"`
	Content string `json:"content"` // fingerprint
	// Made are the numbers of the cuts that are made, for each strip set in
	// cutting order.
	Made    [][]int   `json:"made"`
	Spoiled []pieceOf `json:"spoiled"`
	At      stop      `json:"at"`
}

const (
	recordKind    = "progress"
	recordVersion = 2
)

// recorded returns progress as it is kept.
func (p *progress) recorded(at stop) record {
	r := record{Kind: recordKind, Version: recordVersion, Spoiled: slices.Clone(p.spoiled), At: at}
	for k, made := range p.made {
		if len(made) == 0 {
			continue
		}
		for len(r.Made) <= k {
			r.Made = append(r.Made, []int{})
		}
		r.Made[k] = slices.Sorted(maps.Keys(made))
	}
	return r
}

// progress returns what was kept.
func (r record) progress() progress {
	p := progress{made: cuts{}, spoiled: r.Spoiled}
	for k, numbers := range r.Made {
		if len(numbers) > 0 {
			p.made.make(k, numbers)
		}
	}
	return p
}
