// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"
)

// knapsack finds the dearest pieces that a lane can be cut into, by branch and
// bound, those dearest for their length first.
type knapsack struct {
	items []item
	nodes int
	value float64
	now   []int
	at    []int
}

// item is a class of length.
type item struct {
	class        int
	length       int64
	price, dense float64 // dense: over its length, falling
}

// mostNodes bounds the search in one lane: beyond it the best found is
// returned, and a bound instead of the exact price.
const mostNodes = 20_000

// newKnapsack takes the price of each class of length; longer pieces are never
// cheaper.
func newKnapsack(lengths []int64, price []float64) *knapsack {
	kn := &knapsack{}
	for k, p := range price {
		if p > 1e-12 && (k == 0 || p > price[k-1]+1e-12) {
			kn.items = append(kn.items, item{k, lengths[k], p, p / float64(lengths[k])})
		}
	}
	slices.SortStableFunc(kn.items, func(a, b item) int { return cmp.Compare(b.dense, a.dense) })
	return kn
}

// best returns the most that a lane brings in and the classes that it is then
// cut into. atMost is the same, or more when the search was cut short.
func (kn *knapsack) best(length int64) (value, atMost float64, classes []int) {
	kn.value, kn.at, kn.now, kn.nodes = 0, kn.at[:0], kn.now[:0], 0
	kn.search(length, 0, 0)
	atMost = kn.value
	if kn.nodes > mostNodes {
		atMost = float64(kn.items[0].dense * float64(length))
	}
	return kn.value, atMost, slices.Clone(kn.at)
}

func (kn *knapsack) search(left int64, from int, value float64) {
	if kn.nodes++; kn.nodes > mostNodes {
		return
	}
	if value > kn.value+1e-12 {
		kn.value = value
		kn.at = append(kn.at[:0], kn.now...)
	}
	for i, one := range kn.items[from:] {
		if value+float64(float64(left)*one.dense) <= kn.value+1e-12 {
			return
		}
		if one.length <= left {
			kn.now = append(kn.now, one.class)
			kn.search(left-one.length, from+i, value+one.price)
			kn.now = kn.now[:len(kn.now)-1]
		}
	}
}
