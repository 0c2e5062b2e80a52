package book

import (
	"bytes"
	"testing"

	"solander/calendar"
	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// share puts one line of each of two orders, and the other line of the first, into a parcel.
func share(t *testing.T, s studio.Store) (p studio.Parcel, first, second int64) {
	t.Helper()
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	a, b := bed.Add(t, s, h.Sale(ed, ed)), bed.Add(t, s, h.Sale(ed, ed))
	p = studio.Parcel{
		Order: a.ID, Lines: []int64{a.Lines[0].ID, a.Lines[1].ID, b.Lines[1].ID}, State: studio.Labelled, Service: "ground", Tracking: "RR123456785US",
		Estimated: bed.USD(812), Packed: bed.Today, Labelled: bed.Today,
	}
	bed.Write(t, s, func(tx studio.Tx) (err error) { p.ID, err = tx.AddParcel(p); return err })
	p.Orders = []int64{a.ID, b.ID}
	return p, a.ID, b.ID
}

func parcelShared(t *testing.T, s studio.Store) {
	p, first, second := share(t, s)
	want := []studio.Parcel{p}
	bed.Read(t, s, func(tx studio.Tx) error {
		for _, id := range []int64{first, second} {
			of, err := tx.Parcels(id)
			if err != nil {
				return err
			}
			bed.Same(t, "of each of its orders", want, of)
		}
		open, err := tx.OpenParcels()
		if err != nil {
			return err
		}
		bed.Same(t, "in the house once", want, open)
		tracked, err := tx.ParcelsTracked(p.Tracking)
		bed.Same(t, "by tracking once", want, tracked)
		return err
	})
	bed.Same(t, "both orders are found by its tracking number", []string{"S-1002", "S-1001"}, bed.Found(t, s, p.Tracking))
	in := func(id int64) (got []int64) {
		bed.Read(t, s, func(tx studio.Tx) error {
			o, err := tx.Order(id)
			for _, l := range o.Lines {
				got = append(got, l.Parcel)
			}
			return err
		})
		return got
	}
	bed.Same(t, "lines of the second", []int64{0, p.ID}, in(second))

	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { // none of the order it is said to be of
		_, err := tx.AddParcel(studio.Parcel{Order: first, Lines: p.Lines[2:], State: studio.Packed})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddParcel(studio.Parcel{Order: first, Lines: append(p.Lines[:3:3], 999), State: studio.Packed})
		return err
	})

	handedOver(t, s, p)
	bed.Write(t, s, func(tx studio.Tx) error { // out of it and in again, in one transaction
		less := p
		less.Lines, less.Orders = p.Lines[:2], nil
		if err := tx.SaveParcel(less); err != nil {
			return err
		}
		return tx.SaveParcel(p)
	})
	bed.Same(t, "put in again", []int64{0, p.ID}, in(second))
	bed.Write(t, s, func(tx studio.Tx) error { p.Lines, p.Orders = p.Lines[:2], nil; return tx.SaveParcel(p) })
	bed.Same(t, "the second has none of it any more", []int64{0, 0}, in(second))
	bed.Same(t, "nor is it found by it", []string{"S-1001"}, bed.Found(t, s, p.Tracking))
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropParcel(p.ID) })
	bed.Same(t, "unpacked", []int64{0, 0}, in(first))
}

// handedOver gives a parcel to the operator and takes it back.
func handedOver(t *testing.T, s studio.Store, p studio.Parcel) {
	t.Helper()
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if p.HandOver, err = tx.AddHandOver(studio.HandOver{Day: bed.Today}); err != nil {
			return err
		}
		p.State, p.HandedOver = studio.HandedOver, bed.Today
		return tx.SaveParcel(p)
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		h, of, err := tx.HandOver(p.HandOver)
		bed.Same(t, "one parcel", 1, h.Parcels)
		bed.Same(t, "with both orders", []studio.Parcel{p}, of)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		back := p
		back.State, back.HandOver, back.HandedOver = studio.Labelled, 0, calendar.Day{}
		return tx.SaveParcel(back)
	})
}

// sharedCopied takes a parcel of two orders into another store.
func sharedCopied(t *testing.T, from, to studio.Store) {
	p, first, second := share(t, from)
	if err := to.Load(t.Context(), bytes.NewReader(bed.Dumped(t, from))); err != nil {
		t.Fatal(err)
	}
	bed.Sound(t, to)
	bed.Read(t, to, func(tx studio.Tx) error {
		for _, id := range []int64{first, second} {
			of, err := tx.Parcels(id)
			if err != nil {
				return err
			}
			bed.Same(t, "of each of its orders", []studio.Parcel{p}, of)
		}
		return nil
	})
	bed.Same(t, "both are found", []string{"S-1002", "S-1001"}, bed.Found(t, to, p.Tracking))
}
