package web

import "testing"

// Rates by forms alone: entered, tried from a file and then loaded; a payment that came in another currency is noted at the day's rate.
// Source of the form of the file: European Central Bank, from memory; the rates are invented. 40.00 EUR at 1.25 are 50.00 USD.
func TestRatesOfExchange(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.get("/earnings/currencies").has("#rates", "None is kept of these days.")
	s.post("/earnings/currencies", "base", "EUR", "quote", "EUR", "rate", "1", "day", "2026-04-13").is(422).has(".faults", "Both currencies are the same")
	p := s.submit(s.get("/earnings/currencies"), "#enter form", "base", "usd", "quote", "chf", "rate", "0.80", "day", "2026-04-13")
	p.has("#rates", "0.80 CHF")
	const path, file = "/earnings/currencies/load", "Date, USD, JPY, \n2026-04-13, 1.25, 177.4, \n"
	s.sendFile(path, "file", "rates.csv", []byte("x\n1\n")).is(422).has(".faults", "Its first heading is not Date")
	tried := s.sendFile(path, "file", "rates.csv", []byte(file), "trial", "1").is(200)
	tried.has("#trial", "2 rates of")
	tried.has("#trial strong", "2")
	s.get("/earnings/currencies").hasNot("#rates td[data-head=Is]:nth-child(4)")
	p = s.leads(s.sendFile(path, "file", "rates.csv", []byte(file)), "/earnings/currencies?said=rates")
	p.has("#rates", "1.25 USD")
	fields := saleFields()
	s.leads(s.post("/orders", fields...), "/orders/S-1001")
	s.post("/earnings/currencies/take", "order", "S-9", "amount", "40.00", "currency", "EUR", "day", "2026-04-14").is(404)
	s.post("/earnings/currencies/take", "order", "S-1001", "amount", "40.00", "currency", "CAD", "day", "2026-04-14").is(404).has(".faults", "o rate between CAD and USD")
	s.post("/earnings/currencies/take", "order", "S-1001", "amount", "40.00", "currency", "eur", "day", "2026-04-14").is(303)
	s.get("/orders/S-1001").has("section[aria-labelledby=h-money]", "40.00 EUR, 1.25 USD for one EUR on 2026-04-13")
}
