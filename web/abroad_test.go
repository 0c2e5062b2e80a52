package web

import (
	"fmt"
	"regexp"
	"slices"
	"testing"

	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/currencies"
	"solander/dispatch"
	"solander/exchange"
	"solander/house"
	"solander/labelling"
	"solander/money"
	"solander/studio"
)

// A sale agreed in euros, by the pages alone: taken, its invoice, paid in euros from its page, and the gain followed from what it earned to the page of
// gains. By hand: 90.00 USD are 72.00 EUR at 1.25; 40.00 came, worth 51.00, for 50.00; 10.00 of them paid back give up 12.50, and 37.50 are left.
func TestASaleInAnotherCurrency(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.submit(s.get("/earnings/currencies"), "#enter form", "base", "eur", "quote", "usd", "rate", "1.25", "day", "2026-04-13", "source", "the bank of Saltmarsh")
	wrong := func(field, value, says string, more ...string) {
		t.Helper()
		s.post("/orders", append(saleFields(field, value), more...)...).is(422).has(".faults", says)
	}
	wrong("currency", "EUX", "no currency")
	wrong("agreed", "72", "name the currency", "currency", "")
	wrong("agreed", "-72", "72", "currency", "EUR")
	wrong("agreed", "72.005", "EUR", "currency", "EUR")
	wrong("agreed", "7.5", "JPY", "currency", "JPY")
	wrong("agreed", "72 USD", "USD", "currency", "EUR")
	s.post("/orders", saleFields("currency", "JPY")...).is(404).has(".faults", "o rate between USD and JPY")
	s.post("/orders", saleFields("currency", "eur", "look", "1")...).is(200).has("#comes", "agreed as 72.00 EUR, by 1.25 USD for one EUR on 2026-04-13 (the bank of Saltmarsh)")
	p := s.leads(s.post("/orders", saleFields("currency", " eur ")...), "/orders/S-1001")
	p.has("#abroad", "72.00 EUR")
	p.has("section[aria-labelledby=h-money]", "Amount in EUR")
	s.get("/").has("body", "agreed as 72.00 EUR, 72.00 EUR still owed")

	bill := s.submit(s.get("/orders/S-1001/papers"), "#write form", "kind", "invoice")
	bill.has("#over", "72.00 EUR")
	bill.has("#over", "stands for 90.00 USD")
	bill.has("#over", "the bank of Saltmarsh")
	s.get("/earnings/owed").has("#items", "72.00 EUR")

	// Another window ends the agreement: what this one still shows is not taken for dollars.
	s.post("/earnings/currencies/agree", "order", "S-1001", "end", "1").is(303)
	s.sendForm(p, "form[action='/orders/1/pay']", "amount", "40", "kind", "deposit").is(422).has(".faults", "EUR")
	s.post("/earnings/currencies/agree", "order", "S-1001", "currency", "EUR").is(303)
	s.post("/orders/1/pay", "kind", "deposit", "amount", "40", "day", "2026-04-14", "note", "").is(409).has(".faults", "agreed as 72.00 EUR")

	// Two windows agree it anew: what the later one did not see is not overwritten, and not ended.
	const agree = "form[action='/earnings/currencies/agree']"
	first, second := s.get("/earnings/currencies?order=S-1001"), s.get("/earnings/currencies?order=S-1001")
	s.leads(s.sendForm(first, agree, "currency", "JPY", "total", "11000"), "/orders/S-1001")
	s.sendForm(second, agree, "currency", "EUR", "total", "80").is(412).has(".faults", "agreed as 11000 JPY meanwhile")
	s.sendForm(second, agree, "end", "1").is(412).has(".faults", "agreed as 11000 JPY meanwhile")
	s.leads(s.sendForm(s.get("/earnings/currencies?order=S-1001"), agree, "currency", "EUR"), "/orders/S-1001")
	s.post("/orders/1/pay", "kind", "deposit", "amount", "40.00", "amount_in", "EUR", "worth", "-1", "day", "2026-04-14", "note", "").is(422)
	s.post("/orders/1/pay", "kind", "deposit", "amount", "72.01", "amount_in", "EUR", "worth", "51", "day", "2026-04-14", "note", "").is(409).has(".faults", "72.00 EUR")
	s.post("/orders/1/pay", "kind", "deposit", "amount", "40.00", "amount_in", "EUR", "worth", "51", "day", "2026-04-14", "note", "").is(303)
	s.get("/orders/S-1001").has("#abroad", "32.00 EUR")
	earned := s.get("/orders/1/earned").is(200)
	led := regexp.MustCompile(`href="(/earnings/currencies\?day=[0-9-]+)#gains"`).FindAllSubmatch(earned.body, -1)
	if len(led) == 0 {
		t.Error("no part of what it earned leads to the page of gains")
	}
	for _, m := range led {
		s.get(string(m[1])).is(200).has("#gains", "1.00 USD")
	}
	s.submit(s.get("/orders/S-1001"), "form[action='/orders/1/cancel']", "reason", "not wanted", "refund", "10")
	p = s.get("/orders/S-1001")
	p.has("section[aria-labelledby=h-money] h2", "37.50 USD to be paid back")
	var left []string
	for _, n := range p.find("section[aria-labelledby=h-money] tfoot") {
		left = append(left, textOf(n))
	}
	if want := []string{"To be paid back 37.50 USD", "To be paid back in EUR 30.00 EUR"}; !slices.Equal(left, want) {
		t.Errorf("what is left says %q, want %q", left, want)
	}
	s.get("/orders?state=cancelled").has("td.num", "37.50 USD to be paid back")
	s.get("/orders/S-1001/papers").has(".under", "paid 37.50 USD, 37.50 USD to be paid back; agreed as 72.00 EUR, 30.00 EUR to be paid back")
}

// A claim pays an order back in the currency in which it is owed; of a parcel with orders of several currencies its page asks of each.
// By hand: 16.00 EUR came for 20.00 USD; 4.00 of them give up 5.00, and the bank took 5.50.
func TestAClaimPaysBackInTheCurrencyAgreed(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		agreed     []string
		sends      []string
		wrong, say string
		has        []string
	}{
		"one currency": {[]string{"EUR", "EUR"}, []string{"amount", "8", "worth", "11"}, "amount", "32.01", []string{"Paid back, in EUR", "What the bank took", "the buyer paid 32.00 EUR"}},
		"several":      {[]string{"EUR", "USD"}, []string{"amount-1", "4", "worth-1", "5.50", "amount-2", "0"}, "amount-1", "16.01", []string{"Paid back of S-1001, in EUR", "Paid back of S-1002", "the buyer paid 20.00 USD"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := newSite(t)
			_, err := currencies.Enter(s.ctx(), s.studio, exchange.Rate{Base: "EUR", Quote: "USD", Rate: "1.25", Day: calendar.Date(2026, 4, 13)})
			s.must(err)
			err = house.ChangeSettings(s.ctx(), s.studio, func(set *studio.Settings) error { set.Combine = true; return nil })
			s.must(err)
			readyCards(t, s, tt.agreed...)
			parcels, err := dispatch.Pack(s.ctx(), s.studio, dispatch.PackIn{Order: 1})
			s.must(err)
			s.must(labelling.Label(s.ctx(), s.studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: money.Of(6_25, "USD")}))
			_, err = dispatch.HandOver(s.ctx(), s.studio, dispatch.HandOverIn{})
			s.must(err)
			_, err = claims.Open(s.ctx(), s.studio, claims.OpenIn{Parcel: parcels[0].ID, Kind: claim.Damaged})
			s.must(err)
			const form = "form[action='/claims/1/refund']"
			p := s.get("/claims/1").is(200)
			for _, says := range tt.has {
				p.has(form, says)
			}
			s.sendForm(p, form, "reason", "creased", tt.wrong, tt.say).is(409).has("main", "EUR")
			p = s.submit(p, form, append(tt.sends, "reason", "creased", "keeps", "1")...)
			p.has("#buyer", "The buyer keeps the print")
			g, err := currencies.Realised(s.ctx(), s.studio)
			s.must(err)
			if lost := fmt.Sprint(g.Sums[0].Gain, " of ", g.Sums[0].Came); lost != map[string]string{"one currency": "-1.00 USD of 24.00 EUR", "several": "-0.50 USD of 12.00 EUR"}[name] {
				t.Errorf("gained %s", lost)
			}
			s.submit(s.get("/claims/1"), "form[action='/claims/1/take-back']").has(form, "Paid back")
			if g, err = currencies.Realised(s.ctx(), s.studio); err != nil || !g.Sums[0].Gain.IsZero() {
				t.Errorf("taken back, %s is gained, %v", g.Sums[0].Gain, err)
			}
		})
	}
}
