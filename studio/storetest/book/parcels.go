package book

import (
	"encoding/json"
	"testing"
	"time"

	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func parcelsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	o, other := bed.Add(t, s, h.Sale(ed, ed)), bed.Add(t, s, h.Sale(ed))
	want := studio.Parcel{
		Order: o.ID, Lines: []int64{o.Lines[0].ID}, State: studio.Packed, Warnings: []string{"the card has ended"}, Service: "ground",
		Plan:      packing.Parcel{Order: o.Mark, Wrap: "flat", Shape: packing.Flat, Mass: 12 * measure.Ounce, Service: "ground", Cost: 812},
		Estimated: bed.USD(812), Packed: bed.Today,
	}
	bed.Write(t, s, func(tx studio.Tx) (err error) { want.ID, err = tx.AddParcel(want); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddParcel(studio.Parcel{Order: o.ID, Lines: []int64{other.Lines[0].ID}, State: studio.Packed})
		return err
	})
	in := func() []int64 {
		var got []int64
		bed.Read(t, s, func(tx studio.Tx) error {
			o, err := tx.Order(o.ID)
			for _, l := range o.Lines {
				got = append(got, l.Parcel)
			}
			return err
		})
		return got
	}
	bed.Same(t, "one line is packed", []int64{want.ID, 0}, in())
	want.Lines, want.State, want.Labelled, want.Paid, want.Tracking = []int64{o.Lines[1].ID}, studio.Labelled, bed.Today, bed.USD(799), "RR123456785US"
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveParcel(want) })
	bed.Same(t, "the other line instead", []int64{0, want.ID}, in())
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Parcel(want.ID)
		if err != nil {
			return err
		}
		bed.Same(t, "parcel", want, got)
		tracked, err := tx.ParcelsTracked("RR123456785US")
		bed.Same(t, "by tracking", []studio.Parcel{want}, tracked)
		if err != nil {
			return err
		}
		none, err := tx.ParcelsTracked("")
		bed.Same(t, "without tracking", 0, len(none))
		if err != nil {
			return err
		}
		all, err := tx.Parcels(o.ID)
		bed.Same(t, "of the order", []studio.Parcel{want}, all)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropParcel(want.ID) })
	bed.Same(t, "unpacked", []int64{0, 0}, in())
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Parcel(want.ID); return err })
}

func handOversKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	o := bed.Add(t, s, h.Sale(ed, ed))
	var first, second int64
	parcels := make([]studio.Parcel, 2)
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for i := range parcels {
			parcels[i] = studio.Parcel{Order: o.ID, Lines: []int64{o.Lines[i].ID}, State: studio.Labelled}
			if parcels[i].ID, err = tx.AddParcel(parcels[i]); err != nil {
				return err
			}
		}
		if first, err = tx.AddHandOver(studio.HandOver{Day: bed.Today, Note: "counter"}); err != nil {
			return err
		}
		second, err = tx.AddHandOver(studio.HandOver{Day: bed.Today.Add(1)})
		return err
	})
	open := func() (n int) {
		bed.Read(t, s, func(tx studio.Tx) error {
			all, err := tx.OpenParcels()
			n = len(all)
			return err
		})
		return n
	}
	bed.Same(t, "open before", 2, open())
	parcels[0].State, parcels[0].HandOver, parcels[0].HandedOver = studio.HandedOver, first, bed.Today
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveParcel(parcels[0]) })
	bed.Same(t, "open after", 1, open())
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.HandOvers(0)
		if err != nil {
			return err
		}
		bed.Same(t, "newest first", []studio.HandOver{{ID: second, Day: bed.Today.Add(1)}, {ID: first, Day: bed.Today, Parcels: 1, Note: "counter"}}, all)
		got, of, err := tx.HandOver(first)
		bed.Same(t, "one", all[1], got)
		bed.Same(t, "its parcels", parcels[:1], of)
		return err
	})
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.DropHandOver(first) })
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.DropParcel(parcels[0].ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		lost := parcels[1]
		lost.HandOver = 999
		return tx.SaveParcel(lost)
	})
	parcels[0].State, parcels[0].HandOver = studio.Labelled, 0
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.SaveParcel(parcels[0]); err != nil {
			return err
		}
		return tx.DropHandOver(first)
	})
	var third int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		third, err = tx.AddHandOver(studio.HandOver{Day: bed.Today})
		return err
	})
	if third <= second {
		t.Errorf("hand-over %d came after %d: an id was given again", third, second)
	}
}

func marksKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o := bed.Add(t, s, h.Sale())
	at := time.Date(2031, 3, 4, 10, 11, 12, 345_678_000, time.UTC)
	var want []studio.Mark
	kinds := []studio.MarkKind{studio.MarkPaid, studio.MarkOther, studio.MarkPacked}
	for i, of := range []int64{o.ID, 0, o.ID} {
		m := studio.Mark{Order: of, Kind: kinds[i], Text: "17/250 signed", Day: bed.Today, At: at, Who: "Ines"}
		if i == 0 {
			m.Detail = json.RawMessage(`{"lines": [1,2]}`)
		}
		bed.Write(t, s, func(tx studio.Tx) (err error) { m.ID, err = tx.AddMark(m); return err })
		want = append([]studio.Mark{m}, want...)
	}
	bed.Write(t, s, func(tx studio.Tx) error { return tx.UndoMark(want[2].ID) })
	want[2].Undone = true
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.UndoMark(want[2].ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.AddMark(studio.Mark{Order: 999}); return err })
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.RecentMarks(0)
		if err != nil {
			return err
		}
		bed.Same(t, "newest first", want, all)
		of, err := tx.Marks(o.ID)
		if err != nil {
			return err
		}
		bed.Same(t, "of the order", []studio.Mark{want[0], want[2]}, of)
		later, err := tx.MarksAfter(want[2].ID, 1)
		if err != nil {
			return err
		}
		bed.Same(t, "after the first, oldest first", []studio.Mark{want[1]}, later)
		one, err := tx.Mark(want[2].ID)
		bed.Same(t, "one", want[2], one)
		return err
	})
}
