package web

import "testing"

// Rates are entered by form and by file, with each fault beside its field; an order is told what they say, and bears it by her word.
func TestTaxRates(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	o := s.sale(1, 0).Mark // to Denver, CO, over 90.00
	s.get("/orders/"+o+"/papers").has("#tax", "No rate is entered for CO, US, and none is guessed")
	s.get("/orders/" + o + "/papers").hasNot("#tax form")
	p := s.get("/earnings/tax-rates").is(200)
	p.has("#rates", "None is entered")
	p.has(".caution", "ask an adviser")
	s.sendForm(p, "#enter form", "country", "US", "region", "Colorado", "rate", "much").is(422).has("#faults", "is not a rate")
	s.sendForm(p, "#enter form", "country", "Atlantis", "rate", "5").is(422).has("#faults", "is not a country")
	s.leads(s.sendForm(p, "#enter form", "country", "US", "region", "Colorado", "rate", "2.9", "from", "2020-01-01", "name", "Sales tax"), "/earnings/tax-rates?said=taxrate").
		has("#rates", "2.9 %")

	order := s.get("/orders/" + o + "/papers")
	order.has("#tax", "Sales tax 2.9 % of")
	order = s.leads(s.sendForm(order, "#tax form"), "/orders/"+o+"/papers?said=taxed")
	order.hasNot("#tax form")

	s.sendFile("/earnings/tax-rates/load", "file", "rates.csv", []byte("country,region,from,rate\nUS,OH,2031-01-01,5\nUS,QQ,soon,5\n")).is(422).has("#faults", "Row 3")
	s.leads(s.sendFile("/earnings/tax-rates/load", "file", "rates.csv", []byte("country,region,from,rate,inside\nDE,,2007-01-01,19,yes\n")), "/earnings/tax-rates?said=taxrate").
		has("#rates", "inside prices")

	p = s.get("/earnings/tax-rates")
	s.sendForm(p, "#resales form.form", "buyer", "nobody at all", "number", "12-77", "country", "US").is(422).has("#faults", "buyers fit")
	s.leads(s.sendForm(s.get("/earnings/tax-rates"), "#resales form.form", "buyer", "Ada Quill", "number", "12-77", "country", "US", "region", "CO", "from", "2020-01-01"), "/earnings/tax-rates?said=resale").
		has("#resales", "12-77")
	s.get("/orders/"+o+"/papers").has("#tax", "bought for resale, certificate 12-77")
	s.leads(s.sendForm(s.get("/earnings/tax-rates"), "#resales td form"), "/earnings/tax-rates?said=resale")
	s.leads(s.sendForm(s.get("/earnings/tax-rates"), "#rates td form"), "/earnings/tax-rates?said=taxrate-gone").has("#rates", "CO, US")
	s.post("/earnings/tax-rates/99/drop").is(404)
}
