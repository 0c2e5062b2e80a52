// Package tiers lays the leaves of a parcel side by side: it parts them into tiers that lie on one another, as thin as
// they go in a room, or in every thickness that there is where a thinner parcel is not always better. Whether leaves
// fit beside one another it asks packing/layout. Lengths are nanometres. It knows no packaging and no prices.
package tiers

import (
	"cmp"
	"context"
	"slices"
	"sync"
	"sync/atomic"

	"solander/measure"
	"solander/packing/layout"
)

// Foot is the size of a leaf: what counts where leaves lie side by side.
type Foot struct{ Long, Short, Thick measure.Length }

// compare orders feet, the thickest first.
func (a Foot) compare(b Foot) int {
	return cmp.Or(cmp.Compare(b.Thick, a.Thick), cmp.Compare(b.Long, a.Long), cmp.Compare(b.Short, a.Short))
}

// lot is so many leaves of one size.
type lot struct {
	Foot
	id, N int
}

// Laying is how a wrap lays leaves side by side.
type Laying struct {
	Beside  int // in a tier at most
	Between measure.Length
	Gaps    bool // the number of tiers matters: something lies between them
	All     bool // every thickness is wanted, not the least alone
}

// Spread remembers, for one order and wrap, which leaves fit beside one another in which room, and the best
// ways to part leaves into tiers. It is safe for use by several goroutines; what it answers does not depend
// on what it was asked before.
type Spread struct {
	sync.Mutex
	Laying
	partly  *atomic.Bool // set when not every way was looked at
	most    int          // states of a division that is looked at in full
	ids     map[Foot]int
	rooms   map[Oblong]*quarters
	counted []lot // room for the next lots
}

// quarters is what is known of one room.
type quarters struct {
	Oblong
	s     *Spread
	tiers remembered[*tier] // nil when they do not fit
	known remembered[*Pile]
	spare []*division // done with
}

// tier is leaves side by side, the thickest first, and where they lie.
type tier struct {
	Lots          []lot
	Spots         layout.Layout // of each leaf, in the order of lots
	width, height measure.Length
}

// NewSpread makes a spread of which nothing is known yet. partly is set when more ways were there than are looked at;
// exact says that the order's are looked at in full.
func NewSpread(l Laying, partly *atomic.Bool, exact bool) *Spread {
	s := &Spread{Laying: l, partly: partly, most: mostPiles, ids: map[Foot]int{}, rooms: map[Oblong]*quarters{}}
	if !exact {
		s.most = fewPiles
	}
	return s
}

// quarters returns what is known of a room.
func (s *Spread) quarters(r Oblong) *quarters {
	q := s.rooms[r]
	if q == nil {
		q = &quarters{Oblong: r, s: s}
		s.rooms[r] = q
	}
	return q
}

// Lots counts feet, the thickest first. What it returns holds until it is called again.
func (s *Spread) Lots(feet []Foot, copies []int) []lot {
	out := s.counted[:0]
	for i, f := range feet {
		if copies[i] == 0 {
			continue
		}
		if at := slices.IndexFunc(out, func(l lot) bool { return l.Foot == f }); at >= 0 {
			out[at].N += copies[i]
			continue
		}
		id, known := s.ids[f]
		if !known {
			id = len(s.ids)
			s.ids[f] = id
		}
		out = append(out, lot{f, id, copies[i]})
	}
	slices.SortFunc(out, func(a, b lot) int { return a.compare(b.Foot) })
	s.counted = out
	return out
}

// fits returns the tier of these leaves, or nil when they do not fit beside one another.
func (q *quarters) fits(lots []lot, key lotsKey) *tier {
	t, known := q.tiers.get(key)
	if !known {
		t = q.lay(lots)
		q.tiers.put(key, t)
	}
	return t
}

// lay asks for a layout: every leaf, and the room, grows by the distance between leaves.
func (q *quarters) lay(lots []lot) *tier {
	gap := q.s.Between
	var pieces []layout.Piece
	for _, l := range lots {
		for range l.N {
			pieces = append(pieces, layout.Piece{Width: l.Long + gap, Height: l.Short + gap, Turn: true})
		}
		if l.N > 0 && (l.Long > q.Long || l.Short > q.Short) {
			return nil
		}
	}
	spots, ok := layout.Layout{{Width: pieces[0].Width, Height: pieces[0].Height}}, true
	if len(pieces) > 1 {
		spots, ok, _ = layout.Fits(context.Background(), layout.Room{Width: q.Long + gap, Height: q.Short + gap}, pieces)
	}
	if !ok {
		return nil
	}
	t := &tier{Spots: pressed(spots)}
	for _, l := range lots {
		if l.N > 0 {
			t.Lots = append(t.Lots, l)
		}
	}
	for i := range t.Spots {
		p := &t.Spots[i]
		p.Width, p.Height = p.Width-gap, p.Height-gap
		t.width, t.height = max(t.width, p.X+p.Width), max(t.height, p.Y+p.Height)
	}
	return t
}

// pressed moves pieces left and down until none moves.
func pressed(list layout.Layout) layout.Layout {
	for moved := true; moved; {
		moved = false
		for i := range list {
			p := &list[i]
			x, y := measure.Length(0), measure.Length(0)
			for j, o := range list {
				if j != i && o.X+o.Width <= p.X && o.Y < p.Y+p.Height && p.Y < o.Y+o.Height {
					x = max(x, o.X+o.Width)
				}
			}
			moved = moved || x < p.X
			p.X = x
			for j, o := range list {
				if j != i && o.Y+o.Height <= p.Y && o.X < p.X+p.Width && p.X < o.X+o.Width {
					y = max(y, o.Y+o.Height)
				}
			}
			moved = moved || y < p.Y
			p.Y = y
		}
	}
	return list
}
