package pricecards_test

import (
	"encoding/json"
	"reflect"
	"testing"

	"solander/calendar"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/pricecards"
	"solander/stockroom"
	"solander/tariff"
	"solander/tariff/renew"
)

// sent hands over so many parcels of a card each, their postage 5.35 where the price card said 5.00.
func sent(b *bed.Bed, n int) {
	b.Helper()
	for range n {
		_, parcels := b.Packed(b.Card.ID)
		b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(5_35)}))
	}
	_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
}

func TestWhatShePaidTeaches(t *testing.T) {
	b := bed.New(t)
	sent(b, 4)
	drifts, err := pricecards.Drifts(b.Ctx, b.Studio)
	b.Must(err)
	if len(drifts) > 0 {
		t.Errorf("told by four parcels: %s", drifts[0].Text())
	}
	// Another service than planned, and postage of nothing, teach nothing of the planned service's price.
	_, parcels := b.Packed(b.Card.ID)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Service: "priority", Paid: bed.USD(19_00)}))
	_, parcels = b.Packed(b.Card.ID)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(0)}))
	sent(b, 1)
	drifts, err = pricecards.Drifts(b.Ctx, b.Studio)
	b.Must(err)
	if len(drifts) != 1 || drifts[0].Parcels != 5 || drifts[0].Estimated != 5*500 || drifts[0].Paid != 5*535 || drifts[0].Factor() != 10_700 {
		t.Fatalf("%+v", drifts)
	}
	g, err := pricecards.GridOf(b.Ctx, b.Studio, drifts[0].Card)
	b.Must(err)
	if g.Parcels != 5 || g.Apart != 0 || len(g.Used) != 1 || !reflect.DeepEqual(g.Used, g.Asked) || !g.Fewest || g.Factor != 10_700 {
		t.Errorf("%+v", g)
	}
	b.Clock.Set(2027, 12, 1)
	if drifts, err = pricecards.Drifts(b.Ctx, b.Studio); err != nil || len(drifts) > 0 {
		t.Errorf("told by parcels of more than a year ago: %v %v", drifts, err)
	}
}

func TestRenewedCardIsGoneByFromItsFirstDay(t *testing.T) {
	b := bed.New(t)
	b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Card.ID, 30, "counted"))
	sent(b, 5)
	drifts, err := pricecards.Drifts(b.Ctx, b.Studio)
	b.Must(err)
	old := drifts[0].Card
	g, err := pricecards.GridOf(b.Ctx, b.Studio, old)
	b.Must(err)
	in := pricecards.RenewIn{
		Card: old, From: calendar.Date(2026, 3, 5), Source: "the operator's page", Who: "Nell",
		Typed: map[renew.Cell]tariff.Cell{g.Asked[0].Cell: 540},
	}
	tried, err := pricecards.TryRenew(b.Ctx, b.Studio, in)
	b.Must(err)
	kept, err := pricecards.Renew(b.Ctx, b.Studio, in)
	b.Must(err)
	card, err := pricecards.Card(b.Ctx, b.Studio, kept.Card.ID)
	b.Must(err)
	if !reflect.DeepEqual(tried, kept) {
		t.Errorf("tried\n%+v\nkept\n%+v", tried, kept)
	}
	if made, read := asText(t, kept.Card), asText(t, card); made != read {
		t.Errorf("made\n%s\nread\n%s", made, read)
	}
	// One typed price rose by 8 %, so the rest does.
	if note := "Typed by Nell: 1 price of the operator's page. All else is carried over from " + old + " × 1.08."; card.Note != note {
		t.Errorf("the note is %q", card.Note)
	}
	price := func() (int64, string) {
		for _, l := range b.Plan(b.Ready(b.Card.ID).ID).Plan.Parcels[0].Lines {
			if l.Rule == "postage" {
				return l.Amount, l.Status
			}
		}
		return 0, ""
	}
	if was, _ := price(); was != 500 {
		t.Errorf("the day before its first day a plan asks %d", was)
	}
	b.Clock.Set(2026, 3, 5)
	if now, status := price(); now != 540 || status == "extrapolated" {
		t.Errorf("on its first day a plan asks %d, %s", now, status)
	}
	// The parcels of the old card say what is used of the new one.
	if after, err := pricecards.GridOf(b.Ctx, b.Studio, card.ID); err != nil || len(after.Asked) != 1 || after.Parcels != 5 {
		t.Errorf("the new card's grid is %+v, %v", after, err)
	}
	_, err = pricecards.Renew(b.Ctx, b.Studio, pricecards.RenewIn{Card: old, From: in.From, Source: "again", Who: "Nell", Typed: in.Typed})
	b.Must(err) // the same day's card is typed again, and replaced
	again, err := pricecards.Card(b.Ctx, b.Studio, kept.Card.ID)
	b.Must(err)
	if again.Source != "again" {
		t.Errorf("the card typed again was not kept: %s", again.Source)
	}
	// Where nothing was typed that an order needs, it is planned by what was carried over, and told so.
	_, err = pricecards.Renew(b.Ctx, b.Studio, pricecards.RenewIn{Card: old, From: calendar.Date(2026, 3, 6), Source: "a guess", Who: "Nell", Factor: 10_400})
	b.Must(err)
	b.Clock.Set(2026, 3, 6)
	if now, status := price(); now != 520 || status != "extrapolated" {
		t.Errorf("by a price that was carried over a plan asks %d, %s", now, status)
	}
	_, err = pricecards.Renew(b.Ctx, b.Studio, pricecards.RenewIn{Card: old})
	for _, field := range []string{"source", "who", "from"} {
		b.Refused(err, fault.Invalid, field, "")
	}
	_, err = pricecards.GridOf(b.Ctx, b.Studio, "nothing")
	b.Refused(err, fault.Missing, "", "no price card")
	b.Sound()
}

func asText(t *testing.T, c tariff.Card) string {
	t.Helper()
	text, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
