package check

import (
	"maps"
	"slices"

	"solander/calendar"
	"solander/packing"
	"solander/packing/check/exact"
	"solander/packing/check/rates"
	"solander/tariff"
)

// Send asks a service to carry a packed parcel and returns the parcel with all its facts and lines (their
// texts empty), or the first rule that breaks (docs/formats/plan.md, section 4, 4 to 7).
func (r *Reckoner) Send(p *Packed, offer Offer) (packing.Parcel, *packing.Reason) {
	parcel, broken := r.send(p, offer)
	if len(broken) > 0 {
		return packing.Parcel{}, &broken[0]
	}
	return parcel, nil
}

// send goes on after a broken rule, so that all are found.
func (r *Reckoner) send(p *Packed, offer Offer) (packing.Parcel, []packing.Reason) {
	s := offer.service
	ask := r.asks(p)
	broken := append(r.wrapDemands(p), r.classDemands(p, s.Class)...)
	out := p.parcel()
	out.Card, out.Service, out.Class = offer.card.ID, s.ID, s.Class
	if ask.cover {
		out.Cover = p.value
	}
	out.Signature = ask.signature
	out.Lines = r.packagingLines(p)

	broken = append(broken, rates.Destination(s, r.problem.Origin, p.order.Destination)...)
	z, wrong := rates.Find(offer.card, offer.service, r.problem.Origin, p.order.Destination)
	out.Zone = z.Name
	broken = append(broken, wrong...)
	if z.Row != nil && z.Row.Most > 0 && p.mass > z.Row.Most {
		broken = append(broken, breaks("zone.mass", int64(p.mass), int64(z.Row.Most), "ng"))
	}
	broken = append(broken, takes(s, p)...)
	broken = append(broken, r.limits(s, p)...)
	if ask.tracking && !s.Tracking {
		broken = append(broken, breaks("service.tracking", 0, 0, ""))
	}
	if z.Column >= 0 {
		broken = append(broken, r.charge(&out, offer, p, z.Column)...)
	}
	broken = append(broken, r.extras(&out, offer)...)
	for _, line := range out.Lines {
		out.Cost += line.Amount
	}
	broken = append(broken, r.arrive(&out, s, p.arriveBy())...)
	return out, append(broken, r.ownStock(p)...)
}

// parcel states what is known before a service is asked.
func (p *Packed) parcel() packing.Parcel {
	return packing.Parcel{
		Order: p.order.ID, Orders: p.ids(), Contents: p.contents, Wrap: p.wrap.ID, Shape: p.wrap.Shape, Roll: p.roll, Mat: p.mat, Layers: p.layers,
		Form: p.form, Stiff: p.stiff, Size: p.size, Mass: p.mass, Value: p.value,
	}
}

func (r *Reckoner) packagingLines(p *Packed) []tariff.Line {
	lines := make([]tariff.Line, 0, len(p.layers)+4)
	for _, e := range p.layers {
		lines = append(lines, tariff.Line{Rule: tariff.Packaging, What: e.Item, Count: e.Count, Amount: int64(e.Count) * r.items[e.Item].Cost})
	}
	minutes := int64(p.wrap.Minutes) + int64(p.wrap.MinutesPerSheet)*int64(p.copies)
	if work := minutes * r.problem.Options.MinuteWage; work > 0 {
		lines = append(lines, tariff.Line{Rule: tariff.Work, What: p.wrap.ID, Count: 1, Amount: work})
	}
	return lines
}

// takes looks at rules 4 to 7 of docs/formats/tariff.md, section 9.
func takes(s *tariff.Service, p *Packed) []packing.Reason {
	var broken []packing.Reason
	no := func(rule string, ok bool) {
		if !ok {
			broken = append(broken, breaks(rule, 0, 0, ""))
		}
	}
	no("service.issued", !slices.ContainsFunc(p.issued, func(class string) bool { return class != s.Class }))
	no("service.container", s.Container == p.container)
	no("service.form", len(s.Forms) == 0 || slices.Contains(s.Forms, p.form))
	no("service.flexible", !s.Flexible || !p.stiff)
	return broken
}

// charge adds postage and surcharges.
func (r *Reckoner) charge(out *packing.Parcel, o Offer, p *Packed, column int) []packing.Reason {
	s := o.service
	row, price, mass, broken := postage(s, p, column)
	out.Billed = mass
	if len(broken) > 0 {
		return broken
	}
	line := tariff.Line{
		Rule: "postage", What: s.ID, Count: 1, Amount: price,
		Source: first(row.Source, s.Source, o.card.Source), Status: first(row.Status, s.Status, o.card.Status),
	}
	if zone := zoneOf(s, column); slices.Contains(row.Carried, zone) { // docs/formats/tariff.md, section 5
		line.Status = "extrapolated"
	}
	out.Lines = append(out.Lines, line)
	for _, c := range surcharges(s, p) {
		out.Lines = append(out.Lines, tariff.Line{
			Rule: "surcharge", What: c.ID, Count: 1, Amount: c.Amount,
			Source: first(c.Source, s.Source, o.card.Source), Status: first(c.Status, s.Status, o.card.Status),
		})
	}
	return nil
}

// extras adds cover and signature.
func (r *Reckoner) extras(out *packing.Parcel, o Offer) (broken []packing.Reason) {
	s := o.service
	if out.Cover > 0 {
		price, most, ok := rates.Cover(s.Cover, out.Cover)
		if !ok {
			broken = append(broken, breaks("cover.most", out.Cover, most, r.problem.Currency))
		}
		if ok && price > 0 {
			out.Lines = append(out.Lines, tariff.Line{
				Rule: "cover", What: s.ID, Count: 1, Amount: price,
				Source: first(s.Cover.Source, s.Source, o.card.Source), Status: first(s.Cover.Status, s.Status, o.card.Status),
			})
		}
	}
	if !out.Signature {
		return broken
	}
	if s.Signature == nil {
		return append(broken, breaks("service.signature", 0, 0, ""))
	}
	out.Lines = append(out.Lines, tariff.Line{
		Rule: "signature", What: s.ID, Count: 1, Amount: *s.Signature,
		Source: first(s.Source, o.card.Source), Status: first(s.Status, o.card.Status),
	})
	return broken
}

// arrive states the days and looks at the latest day wanted.
func (r *Reckoner) arrive(out *packing.Parcel, s *tariff.Service, by calendar.Day) []packing.Reason {
	if s.Days != nil {
		out.DaysMin, out.DaysMax = new(s.Days.Min), new(s.Days.Max)
		out.Arrives = exact.Arrival(s.Days, r.problem.Day, r.problem.Holidays)
	}
	switch {
	case by.IsZero():
	case s.Days == nil:
		return []packing.Reason{breaks("order.arrive_by", 0, 0, "")}
	case out.Arrives.After(by):
		return []packing.Reason{breaks("order.arrive_by", int64(out.Arrives.Sub(r.problem.Day)), int64(by.Sub(r.problem.Day)), "days")}
	}
	return nil
}

// ownStock looks whether there are enough pieces for this parcel alone, item by item, ascending by id.
func (r *Reckoner) ownStock(p *Packed) []packing.Reason {
	var broken []packing.Reason
	need := map[string]int{}
	for _, e := range p.layers {
		if r.items[e.Item].Stock != nil {
			need[e.Item] += e.Count
		}
	}
	for _, id := range slices.Sorted(maps.Keys(need)) {
		if stock := *r.items[id].Stock; need[id] > stock {
			broken = append(broken, breaks("shelf.stock", int64(need[id]), int64(stock), "pieces"))
		}
	}
	return broken
}

func first(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}
