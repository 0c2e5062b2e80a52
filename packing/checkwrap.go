package packing

import (
	"fmt"
	"slices"

	"solander/fault"
)

func (k *checker) wraps() {
	k.wrapID = map[string]bool{}
	for i := range k.p.Wraps {
		w := &k.p.Wraps[i]
		path := problem.Entry("wraps", i)
		k.id(path, w.ID, k.wrapID)
		k.wrap(path, w)
	}
}

func (k *checker) wrap(p fault.Path, w *Wrap) {
	k.must(shaped(w.Shape), p.To("shape"), "is missing or not a shape", "use flat, rolled or both")
	k.number(p.To("fewest"), w.Fewest, 0, maxCopies)
	k.number(p.To("most"), w.Most, 0, maxCopies)
	k.must(w.Most == 0 || w.Most >= w.Fewest, p.To("most"), "is less than fewest", "exchange them")
	k.length(p.To("core"), w.Core, 0)
	k.must(w.Core == 0 || w.Shape == Rolled || w.Shape == Both, p.To("core"), "belongs to wraps that roll", "leave it out")
	k.length(p.To("flat_to"), w.FlatTo, 0)
	k.must(w.FlatTo == 0 || w.Shape == Both, p.To("flat_to"), "belongs to wraps of both shapes", "leave it out")
	k.must(w.Beside == 0 || w.Beside >= 2 && w.Beside <= MostBeside, p.To("beside"), "is not a number of sheets side by side", "use 2 to 8, or leave it out")
	k.must(w.Beside == 0 || w.Shape == Flat, p.To("beside"), "belongs to flat wraps", "leave it out")
	k.length(p.To("between"), w.Between, 0)
	k.must(w.Between == 0 || w.Beside > 0, p.To("between"), "belongs to sheets side by side", "say how many with beside, or leave it out")
	k.number(p.To("minutes"), w.Minutes, 0, 10_000)
	k.number(p.To("minutes_per_sheet"), w.MinutesPerSheet, 0, 10_000)
	k.mass(p.To("mass"), w.Mass)
	k.must(len(w.Layers) > 0 && len(w.Layers) <= maxLayers, p.To("layers"), "is empty or too long", "1 to 8 layers")
	for i := range w.Layers {
		at, l := p.Entry("layers", i), &w.Layers[i]
		k.layer(at, l)
		k.must(l.Of == "" || w.Shape == Both && (l.Of == Flat || l.Of == Rolled), at.To("of"), "does not say round which prints the layer goes", "use flat or rolled in a wrap of both shapes, else leave it out")
	}
	k.sequence(p, w)
}

func (k *checker) layer(p fault.Path, l *Layer) {
	k.must(slices.Contains(Kinds(), l.Kind), p.To("kind"), "is not a kind of packaging", "use sleeve, tissue, board, envelope, tube or carton")
	many := l.Kind == Tissue || l.Kind == Board
	k.number(p.To("count"), l.Count, 0, maxPieces)
	k.must(many || l.Count <= 1, p.To("count"), "is more than one", "only tissue and boards are taken several at a time")
	k.must(slices.Contains([]Per{"", PerStack, PerSheet, PerGap}, l.Per), p.To("per"), "is not a way to count", "use stack, sheet or gap")
	c := l.Clearance
	k.length(p.To("clearance.sides"), c.Sides, 0)
	k.length(p.To("clearance.thickness"), c.Thickness, 0)
	k.length(p.To("clearance.ends"), c.Ends, 0)
	k.length(p.To("clearance.across"), c.Across, 0)
	k.must(l.Kind == Tube || c.Ends == 0 && c.Across == 0, p.To("clearance"), "ends and across belong to tubes", "use sides and thickness")
	k.must(l.Kind != Tube || c.Sides == 0 && c.Thickness == 0, p.To("clearance"), "sides and thickness do not belong to tubes", "use ends and across")
	k.must(l.Kind != Board || c.Thickness == 0, p.To("clearance.thickness"), "does not belong to boards", "leave it out")
	k.must(l.Kind != Tissue || c == Clearance{}, p.To("clearance"), "does not belong to tissue", "leave it out")
	if l.Empty != nil {
		k.length(p.To("empty"), *l.Empty, 0)
		k.must(l.Kind == Carton, p.To("empty"), "belongs to cartons", "leave it out")
	}
	seen := map[string]bool{}
	for i, id := range l.Items {
		q := p.Entry("items", i)
		it := k.items[id]
		switch {
		case it == nil:
			k.must(false, q, fmt.Sprintf("%q is not on the shelf", id), "add it to the shelf or correct the name")
		case it.Kind != l.Kind:
			k.must(false, q, fmt.Sprintf("%q is of another kind", id), "name items of the layer's kind")
		}
		if seen[id] {
			k.must(false, q, fmt.Sprintf("%q is named twice", id), "name it once")
		}
		seen[id] = true
	}
}

// stage says how far out a layer stands: 0 per sheet, 1 per gap, 2 round the stack, 3 the tube, 4 round
// the tube; -1 where such a layer never stands.
func stage(s Shape, l *Layer, tube, boxed bool) int {
	if s == Both {
		return stageOfBoth(l, tube, boxed)
	}
	switch l.Takes() {
	case PerSheet:
		if l.Kind == Sleeve || l.Kind == Tissue || l.Kind == Board && s == Flat {
			return 0
		}
		return -1
	case PerGap:
		if l.Kind == Tissue {
			return 1
		}
		return -1
	}
	switch {
	case s == Flat && l.Kind != Tube:
		return 2
	case s == Rolled && l.Kind == Tissue && !tube:
		return 2
	case s == Rolled && l.Kind == Tube && !tube:
		return 3
	case s == Rolled && (l.Kind == Envelope || l.Kind == Carton) && tube:
		return 4
	}
	return -1
}

// stageOfBoth is that of a layer in a wrap of both shapes: 0 to 3 round the rolled, from 4 round the flat, 7 the carton
// round all, 8 round that.
func stageOfBoth(l *Layer, tube, boxed bool) int {
	switch at := stage(l.Of, l, tube, boxed); {
	case l.Of == Rolled && at <= 3:
		return at
	case l.Of == Flat && at >= 0:
		return 4 + at
	case l.Of == "" && l.Takes() == PerStack && l.Kind == Carton && !boxed:
		return 7
	case l.Of == "" && l.Takes() == PerStack && (l.Kind == Carton || l.Kind == Envelope) && boxed:
		return 8
	}
	return -1
}

func shaped(s Shape) bool { return s == Flat || s == Rolled || s == Both }

func (k *checker) sequence(p fault.Path, w *Wrap) {
	last, tube, boxed := 0, false, false
	for i := range w.Layers {
		at := stage(w.Shape, &w.Layers[i], tube, boxed)
		layer := p.Entry("layers", i)
		k.must(at >= last, layer.To("kind"), "does not stand here", "see docs/formats/problem.md, section 6, for the order of layers")
		last = max(last, at)
		tube = tube || w.Layers[i].Kind == Tube
		boxed = boxed || w.Layers[i].Kind == Carton && w.Layers[i].Of == ""
	}
	if n := len(w.Layers); n > 0 {
		outer := w.Layers[n-1].Kind
		k.must(outer == Envelope || outer == Tube || outer == Carton, p.To("layers"), "does not end in an envelope, a tube or a carton", "add the layer that closes the parcel")
	}
	k.must(w.Shape != Rolled && w.Shape != Both || tube, p.To("layers"), "has no tube", "a roll goes into a tube")
	k.must(w.Shape != Both || boxed, p.To("layers"), "has no carton round the tube and the flat prints", "add a carton that goes round all")
}

func (k *checker) rules() {
	seen := map[string]bool{}
	for i := range k.p.Rules {
		r := &k.p.Rules[i]
		p := problem.Entry("rules", i)
		k.id(p, r.ID, seen)
		k.when(p.To("when"), &r.When)
		k.then(p.To("then"), &r.Then)
	}
}

func (k *checker) when(p fault.Path, w *When) {
	for i, n := range []*int{w.SheetsFrom, w.SheetsTo, w.OrderSheetsFrom, w.OrderSheetsTo} {
		name := []string{"sheets_from", "sheets_to", "order_sheets_from", "order_sheets_to"}[i]
		k.must(n == nil || *n >= 0 && *n <= 1_000_000, p.To(name), "is out of range", "a whole number from 0")
	}
	for i, n := range []*int64{w.ValueOver, w.OrderValueOver} {
		if n != nil {
			k.money(p.To([]string{"value_over", "order_value_over"}[i]), *n)
		}
	}
	for _, c := range w.Countries {
		k.must(country(c), p.To("countries"), fmt.Sprintf("holds %q, which is no country", c), "two capital letters")
	}
	k.must(w.Shape == "" || shaped(w.Shape), p.To("shape"), "is not a shape", "use flat, rolled or both")
}

func (k *checker) then(p fault.Path, t *Then) {
	some := len(t.OnlyClasses)+len(t.NotClasses)+len(t.OnlyWraps)+len(t.NotWraps) > 0 || t.Shape != "" || t.SheetsMost != nil || t.Together || t.Tracking || t.Signature || t.FullCover
	k.must(some, p, "demands nothing", "give at least one demand")
	k.must(t.Shape == "" || shaped(t.Shape), p.To("shape"), "is not a shape", "use flat, rolled or both")
	k.must(t.SheetsMost == nil || *t.SheetsMost >= 1, p.To("sheets_most"), "is below 1", "a whole number from 1")
	for _, id := range append(slices.Clone(t.OnlyWraps), t.NotWraps...) {
		k.must(k.wrapID[id], p.To("only_wraps"), fmt.Sprintf("or not wraps: there is no wrap %q", id), "correct the name")
	}
}
