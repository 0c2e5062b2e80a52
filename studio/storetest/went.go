package storetest

import (
	"testing"

	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// wentTogether: parcels count together by what their plans say a price follows from, as each says it by itself: from the day on, handed over, and paid for.
func wentTogether(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	o := bed.Add(t, s, h.Sale(ed, ed, ed, ed, ed, ed, ed, ed))
	usd := func(minor int64) money.Amount { return money.Of(minor, "USD") }
	plan := packing.Parcel{Order: o.Mark, Card: "a \"card\" 'of' O'Lan", Service: "ground", Zone: "5", Size: packing.Size{Length: measure.Metre, Width: 3, Height: 1}, Billed: measure.MaxMass}
	wide, light, bare := plan, plan, packing.Parcel{}
	wide.Size.Width, light.Billed = 4, 1
	parcels := []studio.Parcel{
		{Plan: plan, Service: "ground", Estimated: usd(500), Paid: usd(520)},
		{Plan: plan, Service: "ground", Estimated: usd(480), Paid: usd(1)},
		{Plan: plan, Service: "flown", Estimated: usd(500), Paid: usd(900)},
		{Plan: plan, Service: "ground", Estimated: usd(500), Paid: usd(0)},
		{Plan: wide, Service: "ground", Estimated: usd(500), Paid: usd(510)},
		{Plan: light, Service: "ground", Estimated: usd(500), Paid: money.Of(510, "EUR")},
		{Plan: bare, Service: "", Estimated: usd(0), Paid: usd(7)},
		{Plan: plan, Service: "ground", Estimated: usd(500), Paid: usd(511)}, // the day before
	}
	bed.Write(t, s, func(tx studio.Tx) error {
		before, err := tx.AddHandOver(studio.HandOver{Day: bed.Today.Add(-1)})
		if err != nil {
			return err
		}
		on, err := tx.AddHandOver(studio.HandOver{Day: bed.Today})
		if err != nil {
			return err
		}
		for i, p := range parcels {
			p.Order, p.Lines, p.State, p.HandOver = o.ID, []int64{o.Lines[i].ID}, studio.HandedOver, on
			if i == len(parcels)-1 {
				p.HandOver = before
			}
			if _, err := tx.AddParcel(p); err != nil {
				return err
			}
		}
		return nil
	})
	for _, days := range []int{-2, -1, 0, 1} {
		bed.Read(t, s, func(tx studio.Tx) error {
			want := map[studio.Went][3]int64{}
			all, err := tx.HandOvers(0)
			for _, b := range all {
				if b.Day.Before(bed.Today.Add(days)) {
					continue
				}
				_, parcels, err := tx.HandOver(b.ID)
				if err != nil {
					return err
				}
				for _, p := range parcels {
					if p.Paid.Minor == 0 {
						continue
					}
					x := studio.Went{Card: p.Plan.Card, Planned: p.Plan.Service, Zone: p.Plan.Zone, Size: p.Plan.Size, Billed: p.Plan.Billed, Service: p.Service}
					x.Estimated.Currency, x.Paid.Currency = p.Estimated.Currency, p.Paid.Currency
					n := want[x]
					want[x] = [3]int64{n[0] + 1, n[1] + p.Estimated.Minor, n[2] + p.Paid.Minor}
				}
			}
			if err != nil {
				return err
			}
			rows, err := tx.Went(bed.Today.Add(days))
			got := map[studio.Went][3]int64{}
			for _, x := range rows {
				n := [3]int64{int64(x.Parcels), x.Estimated.Minor, x.Paid.Minor}
				x.Parcels, x.Estimated.Minor, x.Paid.Minor = 0, 0, 0
				got[x] = n
			}
			bed.Same(t, "what parcels went by", want, got)
			if len(rows) != len(got) || days <= 0 && len(got) != 5 || days > 0 && len(got) != 0 {
				t.Errorf("from %d days on %d rows, %d of their kind", days, len(rows), len(got))
			}
			return err
		})
	}
}
