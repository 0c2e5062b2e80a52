package web

import (
	"testing"

	"solander/house"
	"solander/studio"
)

// What goes where no price list goes is packed from the bench, which counts no postage for it; its label wants what was paid.
func TestBenchWithoutAPriceList(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.must(house.ChangeSettings(s.ctx(), s.studio, func(set *studio.Settings) error {
		set.PriceClasses, set.Rules = []string{"of nobody"}, nil // as in a country whose prices nobody has typed
		return nil
	}))
	fields := saleFields()
	for name, value := range map[string]string{"ship_to.line1": "4 Quay", "ship_to.city": "Cork", "ship_to.region": "", "ship_to.postcode": "", "ship_to.country": "IE", "paid": "90"} {
		fields = replaced(fields, name, value)
	}
	s.leads(s.post("/orders", fields...), "/orders/S-1001")
	bench := s.get("/")
	bench = s.submit(bench, "#sign form", "lines", attr(bench.one("#sign input[type=checkbox]"), "value"))
	bench.has("#pack", "postage not counted")
	bench.has("#pack", "not all postage counted")
	bench.has("#matter", "no price list goes there")
	bench = s.submit(bench, "#pack form")
	bench.has("#label form", "Postage paid")
	bench.hasNot("#label details.other [name=paid]") // it stands in the row
	wrong := s.sendForm(bench, "#label form", "paid", "0").is(422)
	wrong.has("#label-1-paid-wrong", "No price list says what it costs")
	bench = s.submit(bench, "#label form", "paid", "19.50")
	bench.has("#hand-over", "17/250")
	s.get("/studio").is(200)
	s.get("/orders/S-1001").has(".plan", "19.50 USD")
}
