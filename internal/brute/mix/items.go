package mix

import (
	"fmt"

	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
)

// layer makes a layer of the wrap, with one or two items for it, roughly as large as what is to go in.
func (m *mixer) layer(kind packing.Kind, per packing.Per) packing.Layer {
	l := packing.Layer{Kind: kind, Per: per, Of: m.of}
	if kind == packing.Tissue || kind == packing.Board {
		if m.wants("count") {
			l.Count = 2
		}
	}
	m.room(&l)
	first := len(m.p.Shelf)
	number := brute.Pick(m.Dice, 1, 1, 2)
	if number == 2 && per == packing.PerSheet && len(m.p.Orders[0].Sheets) > 1 {
		number = m.enough(4, 2, 1)
	} else if number == 2 {
		number = m.enough(2, 2, 1)
	}
	for range number {
		m.item(kind, &l)
	}
	if len(m.p.Shelf) > first+1 && m.wants("items named") || per == packing.PerSheet {
		for _, it := range m.p.Shelf[first:] {
			l.Items = append(l.Items, it.ID)
		}
	}
	if kind != packing.Tissue {
		it := &m.p.Shelf[first]
		long, short := max(it.Width, it.Height), min(it.Width, it.Height)
		if kind == packing.Carton {
			long, short = max(it.Width, it.Length), min(it.Width, it.Length)
		}
		if kind != packing.Tube {
			m.long, m.short = max(m.long, long+2*it.Wall), max(m.short, short+2*it.Wall)
		}
	}
	return l
}

// enough is a, when so many times as many choices can still be tried, else b.
func (m *mixer) enough(times, a, b int) int {
	most := 100
	if m.beside() {
		most = 16
	}
	if m.ways*times > most {
		return b
	}
	m.ways *= times
	return a
}

// room sets clearance and empty height.
func (m *mixer) room(l *packing.Layer) {
	c := &l.Clearance
	switch l.Kind {
	case packing.Tissue:
		return
	case packing.Tube:
		if m.wants("ends or across") {
			c.Ends, c.Across = brute.Pick(m.Dice, 0, 5*mm), brute.Pick(m.Dice, mm, 3*mm)
		}
		return
	}
	if m.wants("sides") {
		c.Sides = brute.Pick(m.Dice, mm, 2*mm, 5*mm)
	}
	if l.Kind != packing.Board && m.wants("thickness") {
		c.Thickness = brute.Pick(m.Dice, mm/2, mm)
	}
	if l.Kind == packing.Carton && m.wants("empty") {
		l.Empty = new(brute.Pick(m.Dice, 0, 5*mm, 20*mm))
	}
}

func (m *mixer) item(kind packing.Kind, l *packing.Layer) {
	it := packing.Item{ID: fmt.Sprintf("%s-%d", kind, len(m.p.Shelf)), Kind: kind, Mass: measure.Mass(m.IntN(8)) * 5 * gram, Cost: int64(m.IntN(20) * 5)}
	// Some hold what is to go in to the nanometre or just not, some a little more, some both ways round.
	slack := brute.Near(m.Dice, brute.Pick(m.Dice, 0, 0, 2*mm, 5*mm, 12*mm, 60*mm)) + 2*l.Clearance.Sides
	long, short := max(m.long+slack, 1), max(m.short+slack, 1)
	if m.Chance(15) {
		short = long
	}
	switch kind {
	case packing.Tube:
		it.Length, it.Diameter = brute.Near(m.Dice, m.long+2*l.Clearance.Ends+brute.Pick(m.Dice, 0, mm, 40*mm)), brute.Pick(m.Dice, 50*mm, 60*mm, 70*mm)
		it.Cornered = m.wants("cornered")
	case packing.Carton:
		it.Length, it.Width, it.Height = long, short, brute.Near(m.Dice, brute.Pick(m.Dice, 3*mm, 8*mm, 30*mm))
		if m.roll {
			it.Height = 80 * mm
		}
		if m.both && l.Of == "" {
			it.Height = brute.Near(m.Dice, m.across()+l.Clearance.Thickness+brute.Pick(m.Dice, 0, 0, mm, 3*mm, 10*mm, 30*mm))
		}
		if m.Chance(50) {
			it.Length, it.Width = it.Width, it.Length
		}
	default:
		it.Width, it.Height = short, long
		if m.Chance(50) {
			it.Width, it.Height = long, short
		}
	}
	m.finish(&it, l)
	m.p.Shelf = append(m.p.Shelf, it)
}

// finish sets what else an item may have.
func (m *mixer) finish(it *packing.Item, l *packing.Layer) {
	switch it.Kind {
	case packing.Tissue, packing.Board:
		it.Caliper = brute.Pick(m.Dice, 50*measure.Micrometre, 100*measure.Micrometre)
		if it.Kind == packing.Board {
			it.Caliper, it.Stiff = brute.Pick(m.Dice, mm, 2*mm), m.wants("stiff")
		}
	case packing.Sleeve, packing.Envelope:
		if m.wants("soft") {
			it.Soft = true
			it.Width, it.Height = it.Width+brute.Pick(m.Dice, 0, 5*mm, 20*mm), it.Height+brute.Pick(m.Dice, 0, 5*mm, 20*mm)
		}
		if m.wants("thickest") || m.beside() && m.Chance(50) {
			it.Thickest = brute.Near(m.Dice, brute.Pick(m.Dice, 2*mm, 3*mm, 5*mm))
			if m.beside() {
				it.Thickest = brute.Near(m.Dice, brute.Pick(m.Dice, mm, 2*mm, 3*mm)+l.Clearance.Thickness)
			}
		}
		it.Stiff = it.Kind == packing.Envelope && m.wants("stiff")
	}
	if it.Kind != packing.Tissue && it.Kind != packing.Board {
		if m.wants("wall") {
			it.Wall = brute.Pick(m.Dice, 100*measure.Micrometre, mm)
		}
		m.outer(it)
	}
	m.cuts(it)
	if m.wants("stock") && m.Chance(60) {
		it.Stock = new(brute.Pick(m.Dice, 0, 1, 1, 2, 3))
	}
	if m.wants("issued") && m.Chance(60) {
		it.IssuedFor = brute.Pick(m.Dice, "slow", "fast")
	}
}

func (m *mixer) outer(it *packing.Item) {
	if !m.wants("outer") {
		return
	}
	switch it.Kind {
	case packing.Tube:
		it.Outer = &packing.Outer{Length: it.Length + 10*mm, Diameter: it.Diameter + 8*mm}
	case packing.Carton:
		it.Outer = &packing.Outer{Length: it.Length + 10*mm, Height: it.Height + 12*mm}
	default:
		it.Outer = &packing.Outer{Width: it.Width + 4*mm}
	}
}

// cuts lets a tube or a carton be cut down, or makes it an issued container.
func (m *mixer) cuts(it *packing.Item) {
	closes := it.Kind == packing.Tube || it.Kind == packing.Carton
	if closes && m.wants("cut") && m.enough(3, 1, 0) == 1 {
		full := it.Height
		if it.Kind == packing.Tube {
			full = it.Length
		}
		it.Cut = &packing.Cut{Shortest: max(1, full/2), Step: full/3 + 1}
	}
	if it.Kind == packing.Carton && m.wants("cut base") && m.enough(2, 1, 0) == 1 {
		it.CutBase = &packing.CutBase{ShortestLength: max(1, it.Length*2/3), Step: it.Length/3 + 1}
		if m.Chance(50) && m.enough(2, 1, 0) == 1 {
			it.CutBase.ShortestWidth = max(1, it.Width*2/3)
		}
	}
	if (closes || it.Kind == packing.Envelope) && it.Cut == nil && it.CutBase == nil && m.wants("container") {
		it.Container = brute.Pick(m.Dice, "box-1", "box-2")
	}
}

// simple adds a wrap that takes nearly anything, for a price.
func (m *mixer) simple() {
	if m.Chance(7) {
		return
	}
	m.p.Shelf = append(m.p.Shelf, packing.Item{ID: "large", Kind: packing.Envelope, Width: 600 * mm, Height: 600 * mm, Mass: 90 * gram, Cost: 700})
	w := packing.Wrap{ID: "large", Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Envelope, Items: []string{"large"}}}}
	if m.Chance(50) {
		w.Most = 1
	}
	m.p.Wraps = append(m.p.Wraps, w)
}
