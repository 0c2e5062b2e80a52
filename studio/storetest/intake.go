package storetest

import (
	"bytes"
	"testing"
	"time"

	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func arrivalsKept(t *testing.T, s studio.Store) {
	bed.Furnished(t, s)
	at := time.Date(2031, 3, 4, 10, 0, 0, 0, time.UTC)
	mapping := intake.Mapping{Format: intake.MappingFormat, Name: "My sales", Currency: "USD", Sheets: []intake.SheetMap{{Header: 1}}, Fills: []intake.FillMap{{Fill: intake.RGB(0xC6, 0xEF, 0xCE), Means: intake.Sent}}}
	want := kept.Arrival{Name: "sales.xlsx", Hash: "ab", Size: 500_000, Source: kept.FromDesk, Note: "waits", At: at, Until: at.Add(time.Hour), Who: "Nell"}
	body := bytes.Repeat([]byte{0, 0xff, 'x', 7}, 125_000)
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if want.ID, err = tx.AddArrival(want, body); err != nil {
			return err
		}
		_, err = tx.AddArrival(kept.Arrival{Name: "b.csv", Size: 1, Source: kept.FromFolder, At: at, Until: at}, []byte("b"))
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Arrivals()
		if err != nil || len(all) != 2 {
			t.Fatalf("%d files wait (%v)", len(all), err)
		}
		bed.Same(t, "newest first", "b.csv", all[0].Name)
		bed.Same(t, "a file that waits", want, all[1])
		got, err := tx.ArrivalBody(want.ID)
		if !bytes.Equal(got, body) {
			t.Errorf("%d bytes came back, %d were kept", len(got), len(body))
		}
		return err
	})
	want.Mapping, want.Answers, want.Note = &mapping, intake.Answers{"fill:#C6EFCE": "sent"}, ""
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveArrival(want) })
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Arrival(want.ID)
		bed.Same(t, "after she said what it is", want, got)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropArrival(want.ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.ArrivalBody(want.ID); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropArrival(want.ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.SaveArrival(want) })
}

func mappingsKept(t *testing.T, s studio.Store) {
	a := intake.Mapping{Format: intake.MappingFormat, Name: "market", Currency: "USD", Sheets: []intake.SheetMap{{Header: 3, Columns: []intake.Column{{Column: 2, Heading: "Buyer", Field: intake.Buyer}}}}}
	b := a
	b.Name = "Fairs"
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.SaveMapping(a); err != nil {
			return err
		}
		return tx.SaveMapping(b)
	})
	a.Currency = "EUR"
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveMapping(a) })
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Mappings()
		bed.Same(t, "by name, the later in place of the earlier", []intake.Mapping{b, a}, got)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropMapping("Fairs") })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropMapping("Fairs") })
}

func intakesKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	o := h.Sale(ed)
	o.Ref = "A-1"
	row := intake.Origin{Sheet: "2024", Row: 7, Fill: intake.RGB(1, 2, 3), Cells: []string{"Heron", "", "=1+1"}, Hash: "aa"}
	var in kept.Intake
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		buyer, err := tx.SaveBuyer(order.Buyer{Name: "Ada Quill"})
		if err != nil {
			return err
		}
		o.Buyer, o.Lines[0].Number = buyer, edition.Number{Kind: edition.Numbered, N: 3}
		if o, err = tx.AddOrder(o); err != nil {
			return err
		}
		in = kept.Intake{Name: "sales.xlsx", Hash: "ff", Mapping: "My sales", Made: kept.Made{Orders: 1, Buyers: []int64{buyer}}, Day: bed.Today, Who: "Nell"}
		if in.ID, err = tx.AddIntake(in); err != nil {
			return err
		}
		return tx.AddOrigins(in.ID, []kept.MadeOf{{Order: o.ID, Origin: row}})
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		return tx.AddOrigins(in.ID, []kept.MadeOf{{Order: o.ID, Place: 1, Origin: row}})
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Intake(in.ID)
		in.At = got.At
		bed.Same(t, "a file that was brought in", in, got)
		if err != nil {
			return err
		}
		rows, err := tx.Origins(o.ID)
		bed.Same(t, "the row word for word", []kept.Brought{{Origin: row, Intake: in.ID, File: "sales.xlsx"}}, rows)
		if err != nil {
			return err
		}
		ids, err := tx.IntakeOrders(in.ID)
		bed.Same(t, "its orders", []int64{o.ID}, ids)
		if err != nil {
			return err
		}
		k, err := tx.Known()
		bed.Same(t, "known by row", map[string]string{"aa": o.Mark}, k.Rows)
		bed.Same(t, "known by reference", map[kept.RefKey]string{{Outlet: h.Outlet, Ref: "A-1"}: o.Mark}, k.Refs)
		bed.Same(t, "known by sale", map[kept.SaleKey]string{{Buyer: o.Buyer, Edition: ed, Number: o.Lines[0].Number, Placed: bed.Today}: o.Mark}, k.Sales)
		bed.Same(t, "buyers", 2, len(k.Buyers))
		return err
	})
	builtOnFile(t, s, in, o)
	goneFromLists(t, s, in, o, ed)
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.AddOrigins(in.ID, []kept.MadeOf{{Order: o.ID, Place: 1, Origin: row}})
	}) // the row may be brought in again
}

// builtOnFile looks at what stands in the way of taking a file back: an entry of the journal, until it is undone.
func builtOnFile(t *testing.T, s studio.Store, in kept.Intake, o order.Order) {
	t.Helper()
	built := func(when string, want ...kept.BuiltOn) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.BuiltOn(in.ID, 5)
			bed.Same(t, when, want, got)
			return err
		})
	}
	built("nothing was done yet")
	var mark int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		mark, err = tx.AddMark(studio.Mark{Order: o.ID, Kind: studio.MarkOther, Text: "paid", Day: bed.Today, Who: "Nell"})
		return err
	})
	built("a payment", kept.BuiltOn{Mark: o.Mark, Text: "paid"})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.UndoMark(mark) })
	built("the payment was undone")
	parcel := studio.Parcel{Order: o.ID, State: studio.Packed}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		parcel.ID, err = tx.AddParcel(parcel)
		return err
	})
	built("a parcel", kept.BuiltOn{Mark: o.Mark})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropParcel(parcel.ID) })
	built("the parcel was unpacked")
}

// goneFromLists takes the file back: its order and the buyer who has no other are in no list, and the rest still is.
func goneFromLists(t *testing.T, s studio.Store, in kept.Intake, o order.Order, ed int64) {
	t.Helper()
	bed.Read(t, s, func(tx studio.Tx) error {
		marks, err := tx.OrdersOn(ed, in.ID, 5)
		bed.Same(t, "orders that another made", 0, len(marks))
		if err != nil {
			return err
		}
		marks, err = tx.OrdersOn(ed, 0, 5)
		bed.Same(t, "orders on the edition", []string{o.Mark}, marks)
		return err
	})
	back := kept.TakenBack{Day: bed.Today, Who: "Nell", Reason: "wrong year"}
	bed.Write(t, s, func(tx studio.Tx) error { return tx.IntakeBack(in.ID, back) })
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.IntakeBack(in.ID, back) })
	bed.Read(t, s, func(tx studio.Tx) error {
		for _, text := range []string{"", "quill"} {
			orders, err := tx.Orders(studio.OrderQuery{Text: text})
			if err != nil || len(orders) != 0 {
				t.Errorf("%q finds %d orders (%v)", text, len(orders), err)
			}
			buyers, err := tx.Buyers(text, 0)
			if err != nil {
				return err
			}
			for _, b := range buyers {
				if b.ID == o.Buyer {
					t.Errorf("%q finds the buyer of an order that was taken back", text)
				}
			}
		}
		buyers, err := tx.Buyers("", 0)
		bed.Same(t, "the others are there", 1, len(buyers))
		if err != nil {
			return err
		}
		k, err := tx.Known()
		bed.Same(t, "nothing is known any more", 0, len(k.Rows)+len(k.Refs))
		if err != nil {
			return err
		}
		got, err := tx.Intakes(0)
		if err != nil || len(got) != 1 || got[0].Back == nil || got[0].Back.Reason != "wrong year" || got[0].Back.At.IsZero() {
			t.Errorf("taken back: %+v (%v)", got, err)
		}
		_, err = tx.OrderByMark(o.Mark)
		return err
	})
}
