package storetest

import (
	"testing"

	"solander/consign"
	"solander/edition"
	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// galleriesKept: what was agreed comes back whole, a number is at one gallery at a time, money is reversed and never dropped.
func galleriesKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Galleries(tx, h, ed) })
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Consignments(consign.Query{Gallery: 1, State: consign.Out})
		bed.Same(t, "prints there", 1, len(all))
		if err != nil {
			return err
		}
		bed.Same(t, "of which number", bed.Num(1), all[0].Number)
		return nil
	})
	again := consign.Print{Gallery: 1, Edition: ed, Number: bed.Num(1), Turn: 1, Price: bed.USD(1), Sold: bed.USD(0), Kept: bed.USD(0), Bears: consign.Artist, Went: bed.Today, State: consign.Out}
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.AddConsignment(again); return err })
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveGallery(consign.House{Name: "Harbour Room", Outlet: h.Outlet, Bears: consign.Artist})
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		p, err := tx.Consignment(1)
		if err != nil {
			return err
		}
		if p, err = p.SoldFor(bed.USD(100), bed.Today); err != nil {
			return err
		}
		if err := tx.SaveConsignment(p); err != nil {
			return err
		}
		if _, err := tx.AddConsignment(again); err != nil {
			return err
		}
		return tx.ReverseGalleryMoney(1)
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		p, err := tx.Consignment(1)
		bed.Same(t, "sold, with its split", []any{consign.Sold, bed.USD(60)}, []any{p.State, p.Hers()})
		if err != nil {
			return err
		}
		moneys, err := tx.GalleryMoneys(0)
		bed.Same(t, "money", true, len(moneys) == 1 && moneys[0].Reversed)
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Gallery(9); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Consignment(9); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.GalleryMoney(9); return err })
}

// countsOfGalleries: numbers at galleries are counted and found by their state, and those sold there count as sold.
func countsOfGalleries(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	for n := 1; n <= 3; n++ {
		bed.Stepped(t, s, ed, bed.Num(n), edition.Sign, 0, "")
		bed.Stepped(t, s, ed, bed.Num(n), edition.Consign, 0, "")
	}
	bed.Stepped(t, s, ed, bed.Num(1), edition.Sell, 0, "")
	bed.Stepped(t, s, ed, bed.Num(2), edition.Return, 0, "")
	bed.Read(t, s, func(tx studio.Tx) error {
		counts, err := tx.Counts()
		bed.Same(t, "counts", map[edition.State]int{edition.Free: h.Print(5).Total() - 3, edition.SoldThere: 1, edition.Returned: 1, edition.Consigned: 1}, counts[ed])
		if err != nil {
			return err
		}
		sold, err := tx.Sold(ed)
		bed.Same(t, "sold", 1, sold)
		if err != nil {
			return err
		}
		lots, err := tx.NumberLots(ed)
		bed.Same(t, "lots", map[edition.Lot]int{edition.Sold: 1, edition.Unsold: 2, edition.OutOfSale: 2}, lots[edition.Numbered])
		if err != nil {
			return err
		}
		there, err := tx.NumbersIn(studio.NumberQuery{Edition: ed, Kind: edition.Numbered, State: edition.Consigned})
		bed.Same(t, "there", 1, len(there))
		return err
	})
	bed.Sound(t, s)
}
