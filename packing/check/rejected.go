package check

import (
	"fmt"
	"math"

	"solander/measure"
	"solander/packing"
	"solander/packing/check/rates"
	"solander/tariff"
)

// rejectedMost is how many rejected options a parcel may have when the problem does not say.
const rejectedMost = 12

// mostTried bounds the cuts and axes tried for one rejected option; beyond, its reason is left alone.
const mostTried = 2000

// rejected looks at each rejected option: that it belongs to its parcel, looks cheaper, and breaks the
// rule named with some choice of cuts and axis, while no such choice is admissible.
func (a *audit) rejected() {
	most := rejectedMost
	if m := a.problem.Options.RejectedMost; m != nil {
		most = *m
	}
	count := map[int]int{}
	for i := range a.plan.Rejected {
		o := &a.plan.Rejected[i]
		path := fmt.Sprintf("rejected[%d]", i)
		if o.Parcel < 0 || o.Parcel >= len(a.plan.Parcels) {
			a.finding(path+".parcel", "plan.rejected", "there is no parcel %d", o.Parcel)
			continue
		}
		if count[o.Parcel]++; count[o.Parcel] > most {
			a.finding(path, "plan.rejected", "parcel %d has more than %d", o.Parcel, most)
		}
		if i > 0 && !inOrder(&a.plan.Rejected[i-1], o) {
			a.finding(path, "plan.rejected", "comes before an earlier parcel's or a cheaper looking one")
		}
		a.option(path, o, &a.plan.Parcels[o.Parcel])
	}
}

func inOrder(a, b *packing.Rejected) bool {
	return a.Parcel < b.Parcel || a.Parcel == b.Parcel && a.Looks <= b.Looks
}

func (a *audit) option(path string, o *packing.Rejected, p *packing.Parcel) {
	same(a, path+".order", "plan.rejected", p.Order, o.Order)
	if o.Looks >= p.Cost {
		a.finding(path+".looks", "plan.rejected", "looks to cost %d, not less than the %d chosen", o.Looks, p.Cost)
	}
	a.named(path+".reason", o.Reason, false)
	var offer *Offer
	if o.Service != "" || o.Card != "" {
		found, unknown := a.reckoner.offer(o.Card, o.Service)
		if unknown != nil {
			a.report(path, []packing.Reason{*unknown})
			return
		}
		offer = &found
	}
	t := trial{r: a.reckoner, option: o, offer: offer}
	if wrong := t.run(p); wrong != "" {
		a.finding(path+".reason", "plan.rejected", "%s by %q: %s", o.Wrap, o.Service, wrong)
	}
}

// trial tries the cuts and axes of a rejected option.
type trial struct {
	r      *Reckoner
	option *packing.Rejected
	offer  *Offer
	choice packing.Parcel
	tried  int
	told   bool // some choice breaks the rule named, and looks to cost what is said
	goes   bool // some choice is admissible
}

// run returns what is wrong with the option, or "".
func (t *trial) run(p *packing.Parcel) string {
	wrap := t.r.wraps[t.option.Wrap]
	if wrap == nil || t.r.orders[p.Order] == nil {
		return "there is no such wrap or order"
	}
	t.choice = packing.Parcel{Order: p.Order, Orders: p.Orders, Contents: p.Contents, Wrap: wrap.ID, Mat: t.option.Mat}
	if !t.entries(wrap) {
		return fmt.Sprintf("the items %q are not those of its layers", t.option.Items)
	}
	t.cuts(0)
	switch {
	case t.tried > mostTried:
		return ""
	case t.goes:
		return "it is admissible"
	case !t.told:
		return fmt.Sprintf("no cut and axis gives %s with %d, %d %s and a look of %d",
			t.option.Reason.Rule, t.option.Reason.Got, t.option.Reason.Limit, t.option.Reason.Unit, t.option.Looks)
	}
	return ""
}

// entries turns the option's items, one for each entry that a parcel would have, into these entries.
func (t *trial) entries(wrap *packing.Wrap) bool {
	items := t.option.Items
	tiers := 0
	for _, c := range t.choice.Contents {
		tiers += c.Copies
	}
	if t.choice.Mat != nil {
		tiers = len(t.choice.Mat.Tiers)
	}
	take := func(layer, count int, order, sheet string) bool {
		if len(items) == 0 || t.r.items[items[0]] == nil {
			return false
		}
		t.choice.Layers = append(t.choice.Layers, packing.LayerPlan{
			Layer: layer, Kind: wrap.Layers[layer].Kind, Item: items[0], Count: count, Order: order, Sheet: sheet,
		})
		items = items[1:]
		return true
	}
	for i := range wrap.Layers {
		ok := piecesOf(wrap, &wrap.Layers[i], t.choice.Contents, tiers, t.sheet, func(of packing.Content, pieces int) bool {
			if len(t.choice.Orders) < 2 {
				of.Order = ""
			}
			return take(i, pieces, of.Order, of.Sheet)
		})
		if !ok {
			return false
		}
	}
	return len(items) == 0
}

// sheet is that of a content; nil when it is not known.
func (t *trial) sheet(c packing.Content) *packing.Sheet {
	if t.r.orders[c.Order] == nil {
		return nil
	}
	return t.r.sheetOf(c)
}

// cuts tries every size of the entries from the i-th on.
func (t *trial) cuts(i int) {
	if t.tried > mostTried || t.goes {
		return
	}
	if i == len(t.choice.Layers) {
		t.axes()
		return
	}
	e := &t.choice.Layers[i]
	for range cuts(e, t.r.items[e.Item]) {
		t.cuts(i + 1)
		if t.tried > mostTried || t.goes {
			return
		}
	}
}

// axes tries every side that a leaf may have as the axis.
func (t *trial) axes() {
	for _, t.choice.Roll = range t.r.rolls(t.r.wraps[t.choice.Wrap], &t.choice, t.sheet) {
		t.try()
	}
}

func (t *trial) try() {
	t.tried++
	p := t.r.pack(&t.choice)
	if p.lost {
		return
	}
	broken := p.broken
	if t.offer == nil {
		broken = append(broken, t.r.wrapDemands(p)...)
	} else {
		_, rest := t.r.send(p, *t.offer)
		broken = append(broken, rest...)
		t.goes = t.goes || len(broken) == 0
	}
	if !t.told && firstIs(broken, t.option.Reason) {
		t.told = t.looksRight(p)
	}
}

// firstIs reports whether the first rule broken is the one named.
func firstIs(broken []packing.Reason, named packing.Reason) bool {
	if len(broken) == 0 {
		return false
	}
	b := broken[0]
	return b.Rule == named.Rule && b.Got == named.Got && b.Limit == named.Limit && b.Unit == named.Unit
}

// looksRight compares what the option is said to look to cost: packaging, work and the price in the table
// for its actual mass; without a service that of the service which looks cheapest and reaches the
// destination. A service that has no price at all for the zone looks to cost nothing that could be named.
func (t *trial) looksRight(p *Packed) bool {
	var looks int64
	for _, line := range t.r.packagingLines(p) {
		looks += line.Amount
	}
	offers := t.r.Offers()
	if t.offer != nil {
		offers = []Offer{*t.offer}
	}
	price := int64(math.MaxInt64)
	for _, o := range offers {
		z, unreached := rates.Find(o.card, o.service, t.r.problem.Origin, p.order.Destination)
		if len(unreached) == 0 && len(rates.Destination(o.service, t.r.problem.Origin, p.order.Destination)) == 0 {
			if look, priced := looksPrice(o.service, p.mass, z.Column); priced {
				price = min(price, look)
			}
		}
	}
	return price < math.MaxInt64 && looks+price == t.option.Looks
}

// looksPrice is the price in a column for a mass: of the first row not below it, else of the last; in a
// table by volume of the first row. A dash gives way to the nearest lighter row with a price, else to the
// nearest heavier; false when there is none. Source: docs/formats/plan.md, section 6.
func looksPrice(s *tariff.Service, mass measure.Mass, column int) (int64, bool) {
	rows := s.Prices.Rows
	at := 0
	for s.Prices.By == tariff.ByMass && at < len(rows)-1 && rows[at].Mass < mass {
		at++
	}
	priced := func(i int) bool {
		return column >= 0 && column < len(rows[i].Prices) && rows[i].Prices[column] != tariff.NotCarried
	}
	for i := min(at, len(rows)-1); i >= 0; i-- {
		if priced(i) {
			return int64(rows[i].Prices[column]), true
		}
	}
	for i := at + 1; i < len(rows); i++ {
		if priced(i) {
			return int64(rows[i].Prices[column]), true
		}
	}
	return 0, false
}
