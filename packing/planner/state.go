package planner

import (
	"solander/measure"
)

// state is a parcel in the making: what has been wrapped so far. Flat: long and short are the footprint.
// Before the tube: long is the axis and short the strip.
type state struct {
	long, short, thick measure.Length
	mass               measure.Mass
	cost               int64
	issued             uint64
	stiff              bool
	use                []int32 // pieces of each watched item; nil when none is watched
	last               *choice
	lies               *tiered // where sheets lie side by side
	tiers              int     // counted only where something may lie between them and side by side is allowed
}

// choice is one choice of packaging, chained from the outside in.
type choice struct {
	prev          *choice
	layer         int
	group         int // of a layer per sheet; -1 otherwise
	item          *item
	count         int
	cut           measure.Length // inner size after cutting; 0 = uncut
	length, width measure.Length // of a carton's base after cutting; 0 = uncut
	roll          *rolled        // of a tube: how the sheets lie
}

type rolled struct{ axis, strip, pack, inner measure.Length }

// beats reports that b can be left out: a is at least as good in every respect.
func (a *state) beats(b *state, f fine) bool {
	if a.long > b.long || a.short > b.short || a.thick > b.thick || a.mass > b.mass || a.cost > b.cost || a.issued&^b.issued != 0 {
		return false
	}
	if a.stiff && !b.stiff || f.stiff && a.stiff != b.stiff || f.size && a.thick != b.thick || f.mass && a.mass != b.mass {
		return false
	}
	if a.tiers > b.tiers || a.tiers < b.tiers && (f.size || f.mass) {
		return false
	}
	for i := range a.use {
		if a.use[i] > b.use[i] {
			return false
		}
	}
	return true
}

// keep adds s to list unless something there beats it, and drops what it beats.
func keep(list []state, s state, f fine) []state {
	for i := range list {
		if list[i].beats(&s, f) {
			return list
		}
	}
	out := list[:0]
	for i := range list {
		if !s.beats(&list[i], f) {
			out = append(out, list[i])
		}
	}
	return append(out, s)
}

// take returns s with count more pieces of an item, or false when there are not as many. Pieces of one
// item in several layers, or several parcels, are counted together only for watched items; see stock.go.
func (x *fold) take(s state, it *item, count int) (state, bool) {
	s.mass += measure.Mass(count) * it.Mass
	s.cost += int64(count) * it.Cost
	s.issued |= it.issued
	if x.miss != nil {
		return s, true
	}
	if it.Stock != nil && count > *it.Stock {
		return s, false
	}
	if len(x.k.track) == 0 {
		return s, true
	}
	use := make([]int32, len(x.k.track))
	copy(use, s.use)
	if it.track >= 0 {
		if int(use[it.track])+count > *it.Stock {
			return s, false
		}
		use[it.track] += int32(count)
	}
	s.use = use
	return s, true
}
