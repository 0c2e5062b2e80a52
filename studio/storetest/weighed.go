package storetest

import (
	"testing"

	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// weighingsKept: what was weighed is kept; what was planned stays as it was packed; and of a wrap those parcels count that were packed since
// the last one that was packed when it weighed otherwise by itself.
func weighingsKept(t *testing.T, s studio.Store) {
	const g = measure.Gram
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	o := bed.Add(t, s, h.Sale(ed, ed, ed, ed, ed, ed, ed))
	parcels := []studio.Parcel{
		{Wrap: "tube", WrapMass: 5 * g, Bare: 300 * g, Weighed: 310 * g},
		{Wrap: "tube", WrapMass: 0, Bare: 290 * g},
		{Wrap: "tube", WrapMass: 5 * g, Bare: measure.MaxMass, Weighed: measure.MaxMass - 1},
		{Wrap: "flat", WrapMass: 9 * g, Bare: 90 * g, Weighed: 80 * g},
		{Wrap: "tube", WrapMass: 5 * g, Bare: 302 * g},
		{Wrap: "tube", WrapMass: 5 * g, Bare: 303 * g, Weighed: 1},
		{Plan: packing.Parcel{Wrap: "tube"}},
	}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for i := range parcels {
			p := &parcels[i]
			p.Order, p.Lines, p.State = o.ID, []int64{o.Lines[i].ID}, studio.Packed
			if p.ID, err = tx.AddParcel(*p); err != nil {
				return err
			}
		}
		return nil
	})
	row := func(i int) studio.Weighing {
		return studio.Weighing{Parcel: parcels[i].ID, Bare: parcels[i].Bare, Weighed: parcels[i].Weighed}
	}
	said := func(wrap string, own measure.Mass, limit int, want ...studio.Weighing) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.Weighings(wrap, own, limit)
			bed.Same(t, "weighed", append([]studio.Weighing{}, want...), append([]studio.Weighing{}, got...))
			return err
		})
	}
	said("tube", 5*g, 9, row(5), row(2)) // not the first, from before it weighed nothing by itself
	said("tube", 5*g, 1, row(5))
	said("tube", 0, 9)
	said("tube", 6*g, 9)
	said("flat", 9*g, 9, row(3))
	said("", 0, 9)

	changed := parcels[4]
	changed.Weighed, changed.Bare, changed.WrapMass, changed.Wrap = 305*g, 1, 1, "other"
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveParcel(changed) })
	parcels[4].Weighed = 305 * g
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Parcel(changed.ID)
		parcels[4].Warnings, parcels[4].Plan = got.Warnings, got.Plan
		bed.Same(t, "only the mass weighed changes", parcels[4], got)
		return err
	})
	said("tube", 5*g, 9, row(5), row(4), row(2))
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropParcel(parcels[1].ID) })
	said("tube", 5*g, 9, row(5), row(4), row(2), row(0))
	bed.Write(t, s, func(tx studio.Tx) error { changed.Weighed = 0; return tx.SaveParcel(changed) })
	said("tube", 5*g, 9, row(5), row(2), row(0))
}
