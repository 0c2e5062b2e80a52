package brute

import (
	"math/rand/v2"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// Both makes a small problem in which some sheets of an order may be rolled and others may not, and a wrap takes both in one
// carton. See Random.
func Both(seed uint64) packing.Problem {
	for again := uint64(0); ; again++ {
		d := Dice{rand.New(rand.NewPCG(seed, 20261129+again<<32))}
		p := d.problem(d.combine)
		if d.Chance(70) {
			p.Rules = nil
		}
		if p.Orders[0].Combine == "" {
			p.Orders = p.Orders[:1]
		}
		for i := range p.Orders {
			d.bothSheets(&p.Orders[i])
		}
		d.bothShelf(&p)
		p.Wraps = append(p.Wraps[:d.IntN(2)], d.bothWrap(&p))
		for i := range p.Rules { // they may name a wrap that is gone
			p.Rules[i].Then.OnlyWraps, p.Rules[i].Then.NotWraps = nil, nil
			d.Demand(&p.Rules[i].Then, "both", Pick(d, 1, 2, 3, 7))
		}
		if d.Chance(80) {
			p.Cards = append(p.Cards, d.anywhere(&p))
		}
		if copiesIn(&p) > 5 || Work(&p) > MostWork {
			continue
		}
		for i := range p.Orders {
			if d.Chance(70) {
				p.Orders[i].ArriveBy = calendar.Day{}
			}
		}
		for range d.IntN(3) {
			d.Tighten(&p)
		}
		return p
	}
}

// anywhere is a card with a service that goes everywhere and takes anything.
func (d Dice) anywhere(p *packing.Problem) tariff.Card {
	s := tariff.Service{ID: "anything", Class: Pick(d, "slow", "fast"), Name: "anything", Tracking: true, Signature: ptr[int64](90), Cover: d.cover(), Status: "primary"}
	s.Cover.Most = nil
	d.prices(&s)
	p.PriceClasses = nil
	return tariff.Card{
		ID: "open", Series: "open", Operator: "Invented Post", Currency: "USD", From: p.Day.Add(-9), PriceClass: "counter", Source: "invented", Status: "invented",
		Services: []tariff.Service{s},
	}
}

// bothSheets makes some sheets of an order large and some stiff, two kinds at least.
func (d Dice) bothSheets(o *packing.Order) {
	if len(o.Sheets) == 1 {
		s := d.sheet()
		s.ID = "sy"
		o.Sheets = append(o.Sheets, s)
	}
	for i := range o.Sheets {
		s := &o.Sheets[i]
		s.Copies = Pick(d, 0, 1, 1, 1, 2)
		switch i {
		case 0:
			s.Stiff, s.Roll = false, &packing.Roll{Tightest: Pick(d, 40*mm, 60*mm)}
		case 1:
			s.Stiff, s.Roll = d.Chance(30), nil
			if d.Chance(15) && !s.Stiff {
				s.Roll = &packing.Roll{Tightest: 40 * mm}
			}
		}
	}
}

// bothShelf makes cartons high enough for a tube, and some wide enough for one beside the flat, and leaves few ways to cut.
func (d Dice) bothShelf(p *packing.Problem) {
	p.Shelf = append(p.Shelf, packing.Item{
		ID: "tube-9", Kind: packing.Tube, Length: Near(d, Pick(d, 250*mm, 310*mm, 430*mm, 430*mm)), Diameter: Near(d, Pick(d, 70*mm, 90*mm)), Wall: 2 * mm, Mass: 60 * gram, Cost: int64(d.IntN(20) * 5),
	})
	for _, id := range []string{"carton-8", "carton-9"} {
		p.Shelf = append(p.Shelf, packing.Item{
			ID: id, Kind: packing.Carton, Length: Near(d, Pick(d, 440*mm, 474*mm, 494*mm, 500*mm)), Width: Near(d, Pick(d, 310*mm, 330*mm, 394*mm, 420*mm, 494*mm)),
			Height: Near(d, Pick(d, 74*mm, 76*mm, 80*mm, 96*mm, 100*mm)), Wall: Pick(d, 0, 3*mm), Mass: measure.Mass(d.IntN(12)) * 5 * gram, Cost: int64(d.IntN(20) * 5),
		})
	}
	if it := &p.Shelf[len(p.Shelf)-1]; d.Chance(40) { // as high as a tube alone, and longer than wide
		it.Length, it.Width, it.Height = Near(d, 494*mm), Near(d, Pick(d, 300*mm, 310*mm)), Near(d, Pick(d, 74*mm, 94*mm))
	}
	for i := range p.Shelf {
		it := &p.Shelf[i]
		if it.Kind == packing.Tube && it.Cut == nil && it.Outer == nil && d.Chance(70) {
			it.Length, it.Diameter = Near(d, Pick(d, 80*mm, 300*mm, 300*mm, 430*mm, 430*mm)), Near(d, Pick(d, 70*mm, 90*mm))
		}
		if it.Kind == packing.Carton && it.Cut == nil && it.Container == "" && d.Chance(25) {
			it.Cut = &packing.Cut{Shortest: it.Height/2 + 1, Step: it.Height / 4}
		} else if it.Cut != nil && d.Chance(80) {
			it.Cut = nil
		}
		d.cutBase(it)
		if it.CutBase != nil && d.Chance(60) {
			it.CutBase = nil
		}
	}
}

// bothWrap draws the wrap.
func (d Dice) bothWrap(p *packing.Problem) packing.Wrap {
	w := packing.Wrap{ID: "both", Shape: packing.Both, Core: Pick(d, 0, 0, 50*mm), FlatTo: Near(d, Pick(d, 1, 1, 1, 280*mm)) - 1, Mass: Pick(d, 0, 0, 5*gram)}
	if d.Chance(20) {
		w.Most = 2 + d.IntN(2)
	}
	w.Minutes, w.MinutesPerSheet = d.IntN(5), d.IntN(3)
	w.FlatTo = max(w.FlatTo, 0)
	inside := func(shape packing.Shape, percent int, kind packing.Kind, per packing.Per) {
		if !d.Chance(percent) || len(w.Layers) >= 7 && percent < 100 {
			return
		}
		if len(ofKind(p, kind)) == 0 {
			return
		}
		l := packing.Layer{Kind: kind, Per: per, Of: shape}
		if kind == packing.Tissue || kind == packing.Board {
			l.Count = d.IntN(3)
		}
		d.clearance(&l)
		if ids := ofKind(p, kind); len(ids) > 1 && d.Chance(50) {
			l.Items = ids[:1+d.IntN(len(ids)-1)]
		}
		w.Layers = append(w.Layers, l)
	}
	inside(packing.Rolled, 12, packing.Sleeve, packing.PerSheet)
	inside(packing.Rolled, 15, packing.Tissue, packing.PerSheet)
	inside(packing.Rolled, 15, packing.Tissue, packing.PerGap)
	inside(packing.Rolled, 15, packing.Tissue, packing.PerStack)
	inside(packing.Rolled, 100, packing.Tube, packing.PerStack)
	inside(packing.Flat, 20, packing.Sleeve, packing.PerSheet)
	inside(packing.Flat, 10, packing.Tissue, packing.PerSheet)
	inside(packing.Flat, 10, packing.Board, packing.PerSheet)
	inside(packing.Flat, 20, packing.Tissue, packing.PerGap)
	inside(packing.Flat, 10, packing.Tissue, packing.PerStack)
	inside(packing.Flat, 25, packing.Board, packing.PerStack)
	inside(packing.Flat, 10, packing.Sleeve, packing.PerStack)
	inside(packing.Flat, 8, packing.Envelope, packing.PerStack)
	inside("", 100, packing.Carton, packing.PerStack)
	w.Layers[len(w.Layers)-1].Items = []string{"carton-8", "carton-9"}
	if len(w.Layers) < 8 && d.Chance(15) {
		inside("", 100, Pick(d, packing.Envelope, packing.Carton), packing.PerStack)
	}
	return w
}
