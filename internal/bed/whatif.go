package bed

import (
	"solander/calendar"
	"solander/dispatch"
	"solander/labelling"
	"solander/studio"
	"solander/suppose"
	"solander/tariff"
)

// SentOff takes prints the whole way to hand-over.
func (b *Bed) SentOff(eds ...int64) studio.OrderView {
	b.Helper()
	v, parcels := b.Packed(eds...)
	for _, p := range parcels {
		b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: USD(5_00)}))
	}
	_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
	return b.Order(v.ID)
}

// Past asks about what was handed over in March 2026.
func Past(change func(*suppose.WhatIfIn)) suppose.WhatIfIn {
	in := suppose.WhatIfIn{Format: suppose.WhatIfFormat, Past: true, From: calendar.Date(2026, 3, 1), To: calendar.Date(2026, 3, 31)}
	change(&in)
	return in
}

// Dearer is the invented card with the ground service at 7.00 instead of 5.00, from a day that is yet to
// come. By hand: a heron of 11 × 14 in goes by ground at 5.00 (see TestFromSaleToHandOver), priority costs
// 9.00, so that it goes by ground still and costs 2.00 more.
func Dearer() tariff.Card {
	c := Invented()
	c.ID, c.From, c.To = "invented-2", calendar.Date(2027, 1, 17), calendar.Day{}
	c.Services[0].Prices.Rows[0].Prices = []tariff.Cell{700}
	return c
}
