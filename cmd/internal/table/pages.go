// SPDX-License-Identifier: Apache-2.0

package table

// pages are the pages that are open, each by the name it gave itself. One
// shows the picture; all others are in somebody's hand.
type pages struct {
	picture string
	streams map[chan struct{}]opened
	last    map[string]int // the number of each page's last action
	order   []string       // of those pages
}

// opened is a page that hears what is done.
type opened struct{ page, as string }

// How a page is opened: as one that shows the picture unless another does, as
// one that shows it from now on, or as one for the hand.
const (
	asPicture = "picture"
	asHere    = "here"
	asHand    = "hand"
)

// The most pages that are open at a time, and of which the last action is
// known.
const (
	mostOpen  = 64
	mostKnown = 512
)

// open returns what tells a page that something was done.
func (p *pages) open(page, as string) (chan struct{}, bool) {
	if len(p.streams) >= mostOpen {
		return nil, false
	}
	if p.streams == nil {
		p.streams = map[chan struct{}]opened{}
	}
	c := make(chan struct{}, 1)
	p.streams[c] = opened{page, as}
	if as == asHere || as == asPicture && p.picture == "" {
		p.picture = page
	}
	return c, true
}

// close reports whether the picture went with the page.
func (p *pages) close(page string, c chan struct{}) bool {
	delete(p.streams, c)
	if page != p.picture {
		return false
	}
	p.picture = ""
	for _, other := range p.streams {
		switch {
		case other.page == page:
			p.picture = page // it was opened again meanwhile
			return false
		case other.as == asPicture:
			p.picture = other.page // the same page loaded anew, say
		}
	}
	return true
}

// wake tells every page that something was done, but the one that it has an answer
// for. One that has not looked yet since the last time needs no second word.
func (p *pages) wake(answered string) {
	for c, of := range p.streams {
		if answered != "" && of.page == answered {
			continue
		}
		select {
		case c <- struct{}{}:
		default:
		}
	}
}

// counts reports whether an action is to be done: one that was sent again,
// because its answer was lost, was done before.
func (p *pages) counts(page string, number int) bool {
	if page == "" || number == 0 {
		return true
	}
	before, known := p.last[page]
	if number <= before {
		return false
	}
	if p.last == nil {
		p.last = map[string]int{}
	}
	if !known {
		if p.order = append(p.order, page); len(p.order) > mostKnown {
			delete(p.last, p.order[0])
			p.order = p.order[1:]
		}
	}
	p.last[page] = number
	return true
}
