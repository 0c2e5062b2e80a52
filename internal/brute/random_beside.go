package brute

import (
	"math/rand/v2"

	"solander/packing"
)

// beside lets some wraps of a problem lay sheets side by side, and makes some sheets small enough for it.
func (d Dice) beside(p *packing.Problem) {
	for i := range p.Shelf {
		d.cutBase(&p.Shelf[i])
	}
	if !d.Chance(12) || copiesIn(p) > 5 {
		return
	}
	for i := range p.Wraps {
		if w := &p.Wraps[i]; w.Shape == packing.Flat && d.Chance(70) {
			w.Beside = Pick(d, 2, 2, 3)
			w.Between = Near(d, Pick(d, 0, 0, 5*mm))
			w.Between = max(w.Between, 0)
		}
	}
	for i := range p.Orders {
		for j := range p.Orders[i].Sheets {
			d.card(&p.Orders[i].Sheets[j])
		}
	}
	if d.Chance(75) {
		for i := range p.Shelf {
			d.roomy(&p.Shelf[i])
		}
	}
}

// copiesIn is how many copies all orders have.
func copiesIn(p *packing.Problem) int {
	n := 0
	for i := range p.Orders {
		for j := range p.Orders[i].Sheets {
			n += p.Orders[i].Sheets[j].Number()
		}
	}
	return n
}

// card makes a sheet small.
func (d Dice) card(s *packing.Sheet) {
	if d.Chance(55) {
		s.Width /= 2
	}
	if d.Chance(55) {
		s.Height /= 2
	}
}

// roomy makes an item wider, and an envelope seldom thicker than one or two sheets.
func (d Dice) roomy(i *packing.Item) {
	if i.Kind == packing.Sleeve || i.Kind == packing.Tube || i.Outer != nil {
		return
	}
	i.Width += Pick(d, 0, 100*mm, 200*mm)
	if i.Kind == packing.Envelope && d.Chance(60) {
		i.Thickest = Near(d, Pick(d, mm, 3*mm/2, 2*mm, 3*mm))
	}
	if i.Kind == packing.Carton && i.Cut == nil && d.Chance(50) {
		i.Height = Near(d, Pick(d, mm, 3*mm/2, 2*mm, 4*mm))
	}
}

// Any makes a small problem: of each sixteen one of Cards and one of Both, the others of Random.
func Any(seed uint64) packing.Problem {
	switch seed % 16 {
	case 13:
		return Both(seed)
	case 15:
		return Cards(seed)
	}
	return Random(seed)
}

// Cards makes a small problem in which sheets are small, and lying side by side often serves. See Random.
func Cards(seed uint64) packing.Problem {
	d := Dice{rand.New(rand.NewPCG(seed, 20260301))}
	p := d.problem(d.combine)
	if d.Chance(80) {
		p.Rules = nil
	}
	if p.Orders[0].Combine == "" || len(p.Orders) > 2 || copiesIn(&p) > 5 {
		p.Orders = p.Orders[:1]
	}
	for i := range p.Orders {
		for j := range p.Orders[i].Sheets {
			s := &p.Orders[i].Sheets[j]
			s.Width, s.Height = Near(d, Pick(d, 100*mm, 120*mm, 150*mm)), Near(d, Pick(d, 100*mm, 140*mm, 180*mm, 200*mm))
		}
	}
	for i := range p.Shelf {
		it := &p.Shelf[i]
		switch it.Kind {
		case packing.Sleeve:
			it.Width, it.Height, it.Outer, it.Thickest = Near(d, 150*mm), Near(d, 200*mm), nil, 0
		case packing.Carton:
			it.Length, it.Width, it.Outer = Near(d, Pick(d, 200*mm, 300*mm, 400*mm)), Near(d, Pick(d, 200*mm, 250*mm, 300*mm)), nil
			if it.Cut == nil {
				it.Height = Near(d, Pick(d, mm, 2*mm, 4*mm))
			}
			d.cutBase(it)
		case packing.Envelope, packing.Board, packing.Tissue:
			it.Width, it.Height, it.Outer = Near(d, Pick(d, 150*mm, 200*mm, 240*mm, 300*mm)), Near(d, Pick(d, 200*mm, 280*mm, 300*mm, 400*mm)), nil
			if it.Kind == packing.Envelope && d.Chance(60) {
				it.Thickest = Near(d, Pick(d, mm, 3*mm/2, 2*mm))
			}
		}
	}
	for i := range p.Wraps {
		if w := &p.Wraps[i]; w.Shape == packing.Flat {
			w.Fewest, w.Most, w.Beside, w.Between = 0, 0, Pick(d, 2, 2, 2, 2, 3, 3, 3, 4), Pick(d, 0, 0, mm, 5*mm)
		}
	}
	if d.Chance(50) {
		d.Tighten(&p)
	}
	return p
}

// cutBase lets some cartons be cut down in length and width.
func (d Dice) cutBase(i *packing.Item) {
	if i.Kind != packing.Carton || i.Container != "" || !d.Chance(25) {
		return
	}
	i.CutBase = &packing.CutBase{Step: Pick(d, 70*mm, 100*mm, 150*mm)}
	if d.Chance(70) {
		i.CutBase.ShortestLength = Near(d, Pick(d, 150*mm, 180*mm))
	}
	if d.Chance(70) || i.CutBase.ShortestLength == 0 {
		i.CutBase.ShortestWidth = Near(d, Pick(d, 100*mm, 150*mm))
	}
	if i.Cut != nil {
		i.Cut.Step = i.Height/3 + 1
	}
}
