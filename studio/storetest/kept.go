package storetest

import (
	"strings"
	"testing"
	"time"

	"solander/edition"
	"solander/fault"
	"solander/intake/kept"
	"solander/order"
	"solander/picture"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

func missingIsMissing(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	none := edition.Number{Kind: edition.Numbered, N: 4}
	for what, f := range map[string]func(studio.Tx) error{
		"Outlet":       func(tx studio.Tx) error { _, err := tx.Outlet(9); return err },
		"SaveOutlet":   func(tx studio.Tx) error { _, err := tx.SaveOutlet(order.Outlet{ID: 9, Name: "x"}); return err },
		"Work":         func(tx studio.Tx) error { _, err := tx.Work(9); return err },
		"SaveWork":     func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{ID: 9, Title: "x"}); return err },
		"Edition":      func(tx studio.Tx) error { _, err := tx.Edition(9); return err },
		"Declare":      func(tx studio.Tx) error { _, err := tx.Declare(edition.Edition{Work: 9}); return err },
		"Reprice":      func(tx studio.Tx) error { return tx.Reprice(edition.Edition{ID: 9}) },
		"CloseEdition": func(tx studio.Tx) error { return tx.CloseEdition(9) },
		"Standing":     func(tx studio.Tx) error { _, err := tx.Standing(ed, none); return err },
		"History":      func(tx studio.Tx) error { _, err := tx.History(ed, none); return err },
		"Append":       func(tx studio.Tx) error { _, err := tx.Append(edition.Entry{Edition: ed, Number: none}); return err },
		"Buyer":        func(tx studio.Tx) error { _, err := tx.Buyer(9); return err },
		"SaveBuyer":    func(tx studio.Tx) error { _, err := tx.SaveBuyer(order.Buyer{ID: 9, Name: "x"}); return err },
		"Order":        func(tx studio.Tx) error { _, err := tx.Order(9); return err },
		"OrdersByID":   func(tx studio.Tx) error { _, err := tx.OrdersByID([]int64{9}); return err },
		"OrderByMark":  func(tx studio.Tx) error { _, err := tx.OrderByMark("S-9"); return err },
		"OrderByRef":   func(tx studio.Tx) error { _, err := tx.OrderByRef(h.Outlet, "9"); return err },
		"OrderByLine":  func(tx studio.Tx) error { _, err := tx.OrderByLine(9); return err },
		"AddOrder outlet": func(tx studio.Tx) error {
			_, err := tx.AddOrder(order.Order{Outlet: 9, Buyer: h.Buyer, State: order.Open})
			return err
		},
		"AddOrder buyer": func(tx studio.Tx) error {
			_, err := tx.AddOrder(order.Order{Outlet: h.Outlet, Buyer: 9, State: order.Open})
			return err
		},
		"AddOrder print": func(tx studio.Tx) error { _, err := tx.AddOrder(h.Sale(9)); return err },
		"SaveOrder":      func(tx studio.Tx) error { o := h.Sale(); o.ID = 9; return tx.SaveOrder(o) },
		"AddLine":        func(tx studio.Tx) error { _, err := tx.AddLine(order.Line{Order: 9, Edition: ed}); return err },
		"SaveLine":       func(tx studio.Tx) error { return tx.SaveLine(order.Line{ID: 9, Edition: ed}) },
		"AddPayment": func(tx studio.Tx) error {
			_, err := tx.AddPayment(order.Payment{Order: 9, Kind: order.Deposit})
			return err
		},
		"AddPayments": func(tx studio.Tx) error {
			return tx.AddPayments([]order.Payment{{Order: 9, Kind: order.Deposit}})
		},
		"AddOrders":      func(tx studio.Tx) error { _, err := tx.AddOrders([]order.Order{h.Sale(), h.Sale(9)}); return err },
		"CallOff":        func(tx studio.Tx) error { return tx.CallOff([]int64{9}, bed.Today) },
		"ReversePayment": func(tx studio.Tx) error { return tx.ReversePayment(9) },
		"Run":            func(tx studio.Tx) error { _, err := tx.Run(9); return err },
		"AddRun":         func(tx studio.Tx) error { _, err := tx.AddRun(supply.Run{Edition: 9}); return err },
		"CloseRun":       func(tx studio.Tx) error { return tx.CloseRun(9) },
		"ReopenRun":      func(tx studio.Tx) error { return tx.ReopenRun(9) },
		"AddReceipt":     func(tx studio.Tx) error { _, err := tx.AddReceipt(supply.Receipt{Run: 9, Good: 1}); return err },
		"AddMove sheets": func(tx studio.Tx) error { return tx.AddMove(supply.Move{Kind: supply.Sheets, Of: 9, Delta: 1}) },
		"AddMove shelf":  func(tx studio.Tx) error { return tx.AddMove(supply.Move{Kind: supply.Packaging, Of: 9, Delta: 1}) },
		"ShelfItem":      func(tx studio.Tx) error { _, err := tx.ShelfItem(9); return err },
		"SaveShelfItem":  func(tx studio.Tx) error { _, err := tx.SaveShelfItem(studio.ShelfItem{ID: 9}); return err },
		"Parcel":         func(tx studio.Tx) error { _, err := tx.Parcel(9); return err },
		"AddParcel":      func(tx studio.Tx) error { _, err := tx.AddParcel(studio.Parcel{Order: 9}); return err },
		"SaveParcel":     func(tx studio.Tx) error { return tx.SaveParcel(studio.Parcel{ID: 9}) },
		"DropParcel":     func(tx studio.Tx) error { return tx.DropParcel(9) },
		"HandOver":       func(tx studio.Tx) error { _, _, err := tx.HandOver(9); return err },
		"DropHandOver":   func(tx studio.Tx) error { return tx.DropHandOver(9) },
		"Mark":           func(tx studio.Tx) error { _, err := tx.Mark(9); return err },
		"UndoMark":       func(tx studio.Tx) error { return tx.UndoMark(9) },
		"Picture":        func(tx studio.Tx) error { _, err := tx.Picture(h.Work); return err },
		"PictureBody":    func(tx studio.Tx) error { _, err := tx.PictureBody(h.Work, picture.Small); return err },
		"SavePicture":    func(tx studio.Tx) error { return tx.SavePicture(bed.Hung(9, "", "x")) },
		"SayPicture":     func(tx studio.Tx) error { return tx.SayPicture(h.Work, "x") },
		"DropPicture":    func(tx studio.Tx) error { return tx.DropPicture(h.Work) },
		"Arrival":        func(tx studio.Tx) error { _, err := tx.Arrival(9); return err },
		"Intake":         func(tx studio.Tx) error { _, err := tx.Intake(9); return err },
		"IntakeBack":     func(tx studio.Tx) error { return tx.IntakeBack(9, kept.TakenBack{}) },
		"DropCard":       func(tx studio.Tx) error { return tx.DropCard("9") },
	} {
		if err := s.Write(t.Context(), f); !fault.Is(err, fault.Missing) {
			t.Errorf("%s: got %v, want a fault %q", what, err, fault.Missing)
		}
	}
}

func precision(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	zone := time.FixedZone("UTC+5", 5*3600)
	odd := time.Date(2031, 12, 31, 23, 59, 59, 123_456_789, zone)
	var now time.Time
	var entry edition.Entry
	o := h.Sale()
	o.Override = &order.Override{Reason: "r", At: odd, Who: "Ines"}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		now = tx.Now()
		if entry, err = bed.Step(tx, ed, bed.Num(1), edition.Keep, 0, ""); err != nil {
			return err
		}
		if o, err = tx.AddOrder(o); err != nil {
			return err
		}
		_, err = tx.AddMark(studio.Mark{Order: o.ID, Kind: studio.MarkOther, Text: "x"})
		if !tx.Now().Equal(now) {
			t.Error("the instant of a transaction moved")
		}
		return err
	})
	if now.Nanosecond()%1000 != 0 || now.Location() != time.UTC {
		t.Errorf("the instant %v is not in whole microseconds of UTC", now)
	}
	bed.Same(t, "given by the store", now, entry.At)
	bed.Read(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, bed.Num(1))
		if err != nil {
			return err
		}
		bed.Same(t, "entry", now, history[0].At)
		marks, err := tx.Marks(o.ID)
		if err != nil {
			return err
		}
		bed.Same(t, "mark", now, marks[0].At)
		got, err := tx.Order(o.ID)
		bed.Same(t, "override", time.Date(2031, 12, 31, 18, 59, 59, 123_456_000, time.UTC), got.Override.At)
		return err
	})
}

// Nothing said is kept as nothing said: no day, no amount, no reference.
func nothings(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	want := order.Order{Outlet: h.Outlet, Buyer: h.Buyer, State: order.Open}
	given := bed.Add(t, s, want)
	want.ID, want.Mark = given.ID, given.Mark
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Order(want.ID)
		bed.Same(t, "order", want, got)
		return err
	})
}

func textKept(t *testing.T, s studio.Store) {
	for _, note := range []string{"", " ", "a\tb\r\nc", `'; DROP TABLE register; --`, "ﷺ 𝔘𝔫𝔦 👩‍🎨 e\u0301 \u00e9", strings.Repeat("é", 4000), "$1 ? %s :x", "\u2028\ufeff"} {
		b := order.Buyer{Name: "Odo", Note: note}
		bed.Write(t, s, func(tx studio.Tx) (err error) { b.ID, err = tx.SaveBuyer(b); return err })
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.Buyer(b.ID)
			bed.Same(t, "buyer", b, got)
			return err
		})
	}
	before := len(allBuyers(t, s))
	for _, bad := range []string{"broken \xff text", "nul \x00 in it"} {
		bed.Refused(t, s, fault.Invalid, func(tx studio.Tx) error { _, err := tx.SaveBuyer(order.Buyer{Name: bad}); return err })
		bed.Refused(t, s, fault.Invalid, func(tx studio.Tx) error { _, err := tx.OrderByMark(bad); return err })
	}
	bed.Same(t, "buyers", before, len(allBuyers(t, s)))
}

func allBuyers(t *testing.T, s studio.Store) (all []order.Buyer) {
	t.Helper()
	bed.Read(t, s, func(tx studio.Tx) (err error) { all, err = tx.Buyers("", 1000); return err })
	return all
}
