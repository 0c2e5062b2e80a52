package book

import (
	"testing"

	"solander/edition"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func searchWords(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 250)
	var buyer int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		buyer, err = tx.SaveBuyer(order.Buyer{Name: "Łucja Ødegård-Straße", Email: "l.o@post.example.net"})
		return err
	})
	first := h.Sale(ed, ed)
	first.Ref = "ORD-2031/0042"
	first.Lines[0].Number, first.Lines[1].Number = bed.Num(17), edition.Number{Kind: edition.AP, N: 2}
	bed.Add(t, s, first)
	second := h.Sale(ed)
	second.Buyer, second.ShipTo.Name, second.ShipTo.City = buyer, "山田 花子", "東京都"
	second.Lines[0].Number = bed.Num(170)
	bed.Add(t, s, second)
	third := h.Sale()
	third.ShipTo.Name, third.ShipTo.City = "ΝΙΚΟΣ Παπάς", "Αθήνα"
	bed.Add(t, s, third)
	for text, want := range map[string][]string{
		"S-1001": {"S-1001"}, "1002": {"S-1002"}, "s-100": {"S-1003", "S-1002", "S-1001"},
		"ord-2031/0042": {"S-1001"}, "0042": {"S-1001"},
		"lindqvist": {"S-1003", "S-1001"}, "MARA lind": {"S-1003", "S-1001"}, "mara@example.org": {"S-1003", "S-1001"}, "mara@exam": {"S-1003", "S-1001"}, "mara@": {"S-1003", "S-1001"}, "@example": {"S-1003", "S-1002", "S-1001"},
		"roanoke": {"S-1001"}, "heron": {"S-1002", "S-1001"}, "dusk heron roanoke": {"S-1001"}, "heron athina": {},
		"17/250": {"S-1001"}, "170/250": {"S-1002"}, "17/250 heron": {"S-1001"}, "17/25": {}, "7/250": {}, "ap 2/2": {"S-1001"},
		"lucja": {"S-1002"}, "odegard strasse": {"S-1002"}, "Ødegård": {"S-1002"}, "l.o@post": {"S-1002"}, "STRASSE": {"S-1002"},
		"東京": {"S-1002"}, "京都": {"S-1002"}, "花子": {"S-1002"}, "大阪": {},
		"νικος": {"S-1003"}, "παπας": {"S-1003"}, "ΑΘΗΝΑ": {"S-1003"}, "αθη": {"S-1003"},
		"nobody": {},
	} {
		bed.Same(t, "orders found by "+text, want, bed.Found(t, s, text))
	}
}

func searchFollows(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 250)
	o := bed.Add(t, s, h.Sale(ed))
	expect := func(text string, want bool) {
		t.Helper()
		if got := len(bed.Found(t, s, text)) == 1; got != want {
			t.Errorf("found by %q: %v, want %v", text, got, want)
		}
	}
	expect("3/250", false)
	o.Lines[0].Number = bed.Num(3)
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveLine(o.Lines[0]) })
	expect("3/250", true)
	var parcel int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		parcel, err = tx.AddParcel(studio.Parcel{Order: o.ID, State: studio.Packed, Tracking: "RR123456785US"})
		return err
	})
	expect("rr123456785us", true)
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropParcel(parcel) })
	expect("rr123456785us", false)
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveBuyer(order.Buyer{ID: h.Buyer, Name: "Mara Holm", Email: "holm@example.org"})
		return err
	})
	expect("holm@example.org", true)
	expect("mara@example.org", false)
	expect("mara example.org", true)
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveWork(edition.Work{ID: h.Work, Title: "Bittern"})
		return err
	})
	expect("bittern 3/250", true)
	expect("heron", false)
	o.ShipTo.City = "Zwolle"
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(o) })
	expect("zwolle", true)
	expect("roanoke", false)
	o.Lines[0].Dropped = true
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.SaveLine(o.Lines[0]); err != nil {
			return err
		}
		found, err := tx.Orders(studio.OrderQuery{Text: "3/250"})
		bed.Same(t, "found within the write itself", 0, len(found))
		return err
	})
	expect("bittern", false)
	refusedText := "this write failed"
	if err := s.Write(t.Context(), func(tx studio.Tx) error {
		o.ShipTo.City = "Nowhere"
		if err := tx.SaveOrder(o); err != nil {
			return err
		}
		found, err := tx.Orders(studio.OrderQuery{Text: "nowhere"})
		bed.Same(t, "found within the write itself", 1, len(found))
		if err == nil {
			err = errText(refusedText)
		}
		return err
	}); err == nil || err.Error() != refusedText {
		t.Errorf("got %v", err)
	}
	expect("nowhere", false)
}

type errText string

func (e errText) Error() string { return string(e) }

func buyersFound(t *testing.T, s studio.Store) {
	names := []string{"Zoë Amann", "émile Roux", "Emil Zander", "Anna Roux"}
	bed.Write(t, s, func(tx studio.Tx) error {
		for i, n := range names {
			if _, err := tx.SaveBuyer(order.Buyer{Name: n, Email: string(rune('a'+i)) + "@example.org", Phone: "555 010" + string(rune('0'+i)), Note: "kept"}); err != nil {
				return err
			}
		}
		return nil
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.BuyersByID([]int64{2, 99, 1})
		bed.Same(t, "by id, those that are there", map[int64]string{1: "Zoë Amann", 2: "émile Roux"}, map[int64]string{1: got[1].Name, 2: got[2].Name})
		bed.Same(t, "no other", 2, len(got))
		return err
	})
	find := func(text string, limit int) []string {
		got := []string{}
		bed.Read(t, s, func(tx studio.Tx) error {
			buyers, err := tx.Buyers(text, limit)
			for _, b := range buyers {
				got = append(got, b.Name)
			}
			return err
		})
		return got
	}
	bed.Same(t, "emil", []string{"Emil Zander", "émile Roux"}, find("emil", 0))
	bed.Same(t, "roux", []string{"Anna Roux", "émile Roux"}, find("ROUX", 0))
	bed.Same(t, "zoe amann", []string{"Zoë Amann"}, find("zoe amann", 0))
	bed.Same(t, "e-mail", []string{"émile Roux"}, find("b@example.org", 0))
	bed.Same(t, "phone", []string{"Anna Roux"}, find("0103", 0))
	bed.Same(t, "the latest of all", []string{"Anna Roux", "Emil Zander"}, find("", 2))
	bed.Same(t, "all", []string{"Anna Roux", "Emil Zander", "émile Roux", "Zoë Amann"}, find(" ", 0))
}

func searchSigns(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	bed.Add(t, s, h.Sale())
	for _, text := range []string{`"`, `'`, `*`, `"" OR zz`, `' | 'x`, `:*`, `a'b`, `mara"*`, `mara AND NOT x`, `(`, `-`, `^mara`, "\x00", "\xff\xfe", `%`, `words:mara`, `NEAR(a b)`} {
		got := bed.Found(t, s, text)
		if len(got) > 0 && text != `mara"*` && text != `^mara` {
			t.Errorf("%q found %v", text, got)
		}
	}
	bed.Same(t, "a word among signs", []string{"S-1001"}, bed.Found(t, s, `  "mara"*:;  `))
	bed.Same(t, "an empty text restricts nothing", []string{"S-1001"}, bed.Found(t, s, "   "))
}
