package parcel

import (
	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
)

// State is a parcel in the making: what has been wrapped so far. Flat: long and short are the footprint.
// Before the tube: long is the axis and short the strip.
type State struct {
	Long, Short, Thick measure.Length
	Mass               measure.Mass
	Cost               int64
	issued             uint64
	Stiff              bool
	use                []int32 // pieces of each watched item; nil when none is watched
	Last               *Choice
	Lies               *Tiered      // where sheets lie side by side
	Rests              packing.Lies // of a tube that shares a carton with a flat pack
	tiers              int          // counted only where something may lie between them and side by side is allowed
}

// Choice is one choice of packaging, chained from the outside in.
type Choice struct {
	Prev          *Choice
	Layer         int
	Group         int // of a layer per sheet; -1 otherwise
	Item          *means.Item
	Count         int
	Cut           measure.Length // inner size after cutting; 0 = uncut
	Length, Width measure.Length // of a carton's base after cutting; 0 = uncut
	Roll          *Rolled        // of a tube: how the sheets lie
}

type Rolled struct{ Axis, Strip, Pack, Inner measure.Length }

// dominates reports that b can be left out: a is at least as good in every respect.
func (a *State) dominates(b *State, f fine) bool {
	if a.Long > b.Long || a.Short > b.Short || a.Thick > b.Thick || a.Mass > b.Mass || a.Cost > b.Cost || a.issued&^b.issued != 0 {
		return false
	}
	if a.Stiff && !b.Stiff || f.stiff && a.Stiff != b.Stiff || f.size && a.Thick != b.Thick || f.mass && a.Mass != b.Mass {
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
func keep(list []State, s State, f fine) []State {
	for i := range list {
		if list[i].dominates(&s, f) {
			return list
		}
	}
	out := list[:0]
	for i := range list {
		if !s.dominates(&list[i], f) {
			out = append(out, list[i])
		}
	}
	return append(out, s)
}

// take returns s with count more pieces of an item, or false when there are not as many. Pieces of one
// item in several layers, or several parcels, are counted together only for watched items; see stock.go.
func (x *Fold) take(s State, it *means.Item, count int) (State, bool) {
	s.Mass += measure.Mass(count) * it.Mass
	s.Cost += int64(count) * it.Cost
	s.issued |= it.Issued
	if x.Miss != nil {
		return s, true
	}
	if it.Stock != nil && count > *it.Stock {
		return s, false
	}
	if len(x.K.Track) == 0 {
		return s, true
	}
	use := make([]int32, len(x.K.Track))
	copy(use, s.use)
	if it.Track >= 0 {
		if int(use[it.Track])+count > *it.Stock {
			return s, false
		}
		use[it.Track] += int32(count)
	}
	s.use = use
	return s, true
}
