package mix

import (
	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
)

// wrapBoth draws the layers of a wrap that rolls some sheets and lays the others flat.
func (m *mixer) wrapBoth(w *packing.Wrap) {
	w.Shape = packing.Both
	if m.wants("flat to") {
		w.FlatTo = brute.Near(m.Dice, brute.Pick(m.Dice, 120*mm, 140*mm, 150*mm))
	}
	chance := m.others
	m.others = min(m.others, 8) // a wrap has eight layers at most
	add := func(feature string, kind packing.Kind, per packing.Per, percent int) {
		if len(w.Layers) < 6 && m.wants(feature) && m.Chance(percent) {
			w.Layers = append(w.Layers, m.layer(kind, per))
		}
	}
	long, short := m.long, m.short
	m.of = packing.Rolled
	add("sleeve per sheet", packing.Sleeve, packing.PerSheet, 50)
	add("tissue per sheet", packing.Tissue, packing.PerSheet, 50)
	add("tissue in gaps", packing.Tissue, packing.PerGap, 60)
	add("tissue round the stack", packing.Tissue, packing.PerStack, 50)
	w.Layers = append(w.Layers, m.layer(packing.Tube, packing.PerStack))
	tube := m.long + 20*mm
	m.of, m.long, m.short = packing.Flat, long, short
	add("sleeve per sheet", packing.Sleeve, packing.PerSheet, 60)
	add("tissue per sheet", packing.Tissue, packing.PerSheet, 60)
	add("board per sheet", packing.Board, packing.PerSheet, 100)
	add("tissue in gaps", packing.Tissue, packing.PerGap, 60)
	add("tissue round the stack", packing.Tissue, packing.PerStack, 60)
	add("board round the stack", packing.Board, packing.PerStack, 100)
	add("sleeve round the stack", packing.Sleeve, packing.PerStack, 100)
	add("envelope", packing.Envelope, packing.PerStack, 60)
	add("nested", packing.Carton, packing.PerStack, 20)
	m.of, m.others = "", chance
	switch m.IntN(3) {
	case 0: // on it
		m.long, m.short = max(m.long, brute.Pick(m.Dice, tube, tube-20*mm)), max(m.short, 72*mm)
	case 1: // beside its long side
		m.long, m.short = max(m.long, tube), m.short+72*mm
	default: // beside its short side
		m.long, m.short = m.long+72*mm, max(m.short, tube)
	}
	w.Layers = append(w.Layers, m.layer(packing.Carton, packing.PerStack))
	if len(w.Layers) < 8 && (m.wanted["envelope"] || m.wanted["nested"]) && m.Chance(60) {
		w.Layers = append(w.Layers, m.layer(packing.Envelope, packing.PerStack))
	}
}

// across is the diameter of the first tube outside.
func (m *mixer) across() measure.Length {
	for i := range m.p.Shelf {
		if it := &m.p.Shelf[i]; it.Kind == packing.Tube {
			_, across := it.OuterTube()
			return across
		}
	}
	return 0
}
