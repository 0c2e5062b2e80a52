package book

import (
	"encoding/json"
	"testing"

	"solander/calendar"
	"solander/charging"
	"solander/fault"
	"solander/measure"
	"solander/order"
	"solander/packing"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

func settingsKept(t *testing.T, s studio.Store) {
	want := studio.Settings{
		Studio: "Quay Studio", Artist: "Ines Vale", Currency: "USD", Units: measure.Imperial, TimeZone: "America/New_York",
		Address:  order.Address{Name: "Quay Studio", Line1: "9 Quay", City: "Salem", Region: "MA", Postcode: "01970", Country: "US"},
		Holidays: "us-federal", ClosedDays: []calendar.Day{bed.Today, bed.Today.Add(1)}, MarkPrefix: "Q",
		Papers: []supply.Paper{{Name: "Cotton rag 310", Grammage: 310 * measure.GSM, Caliper: 500_000}},
		Wraps:  []packing.Wrap{{ID: "flat", Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Board, Count: 2}}}},
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Settings()
		bed.Same(t, "before set-up", studio.Settings{}, got)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveSettings(studio.Settings{Studio: "first"}) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveSettings(want) })
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Settings()
		bed.Same(t, "settings", want, got)
		return err
	})
}

func outletsKept(t *testing.T, s studio.Store) {
	var ids []int64
	for _, name := range []string{"Pier gallery", "Éclat market", "eclat fair", "Own site"} {
		bed.Write(t, s, func(tx studio.Tx) error {
			id, err := tx.SaveOutlet(order.Outlet{Name: name, Fees: charging.Simple(650, bed.USD(20)), PromiseDays: 3, CollectsTax: true, PriceIncPost: true})
			ids = append(ids, id)
			return err
		})
	}
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.SaveOutlet(order.Outlet{Name: "Own site"}); return err })
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveOutlet(order.Outlet{ID: ids[0], Name: "Own site"})
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveOutlet(order.Outlet{ID: ids[0], Name: "Pier gallery", Closed: true})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Outlets()
		var names []string
		for _, o := range all {
			names = append(names, o.Name)
		}
		bed.Same(t, "names in order", []string{"eclat fair", "Éclat market", "Own site", "Pier gallery"}, names)
		bed.Same(t, "an outlet", order.Outlet{ID: ids[1], Name: "Éclat market", Fees: charging.Simple(650, bed.USD(20)), PromiseDays: 3, CollectsTax: true, PriceIncPost: true}, all[1])
		bed.Same(t, "saved again", order.Outlet{ID: ids[0], Name: "Pier gallery", Closed: true}, all[3])
		return err
	})
}

func cardsKept(t *testing.T, s studio.Store) {
	card := func(id, body string) studio.StoredCard { return studio.StoredCard{ID: id, Card: json.RawMessage(body)} }
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveCard(card("b-2031", `{"steps": [1, 2]}`)) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveCard(card("a-2031", `{"old": true}`)) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveCard(card("a-2031", `{"b": 1,  "a": 2}`)) })
	bed.Refused(t, s, fault.Invalid, func(tx studio.Tx) error { return tx.SaveCard(card("c", `{"b": `)) })
	cards := func() (got []studio.StoredCard) {
		bed.Read(t, s, func(tx studio.Tx) (err error) { got, err = tx.Cards(); return err })
		return got
	}
	bed.Same(t, "cards, byte for byte", []studio.StoredCard{card("a-2031", `{"b": 1,  "a": 2}`), card("b-2031", `{"steps": [1, 2]}`)}, cards())
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropCard("b-2031") })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropCard("b-2031") })
	bed.Same(t, "one left", 1, len(cards()))
}
