package tariff

import (
	"os"
	"testing"

	"solander/measure"
)

// Source: docs/formats/tariff.md, section 12, worked by hand there.
func TestWorkedExampleOfThePage(t *testing.T) {
	text, err := os.ReadFile("../docs/formats/examples/price-card.json")
	if err != nil {
		t.Fatal(err)
	}
	c, err := Read(text)
	if err != nil {
		t.Fatal(err)
	}
	const mm, g = measure.Millimetre, measure.Gram
	for _, x := range []struct {
		from, to               string
		parcel                 *Parcel
		thin, larger           string // rule broken
		thinCosts, largerCosts int64
	}{
		{"NO", "NO", box(353*mm, 250*mm, 20*mm, 350*g), "", "", 450, 900},
		{"NO", "NO", box(353*mm, 250*mm, 20*mm, 350*g+1), "", "", 1250, 1750},
		{"NO", "NO", box(353*mm, 250*mm, 20*mm+1, 350*g), "limit.height", "", 0, 900},
		{"NO", "SE", box(353*mm+1, 250*mm, 20*mm, 350*g), "limit.length", "", 0, 1200},
		{"NO", "SE", box(600*mm, 200*mm, 100*mm, 1000*g), "limit.length", "", 0, 2300},
		{"NO", "SE", box(600*mm, 200*mm, 100*mm+1, 1000*g), "limit.length", "limit.length+width+height", 0, 0},
		{"NO", "JP", tube(900*mm, 70*mm, 350*g), "service.form", "", 0, 1400},
		{"NO", "JP", tube(900*mm, 70*mm, 1000*g), "service.form", "price.dash", 0, 0},
		{"NO", "JP", tube(900*mm, 70*mm+1, 350*g), "service.form", "limit.length+2diameter", 0, 0},
		{"NO", "NO", box(140*mm-1, 90*mm, 5*mm, 20*g), "limit.length", "limit.length", 0, 0},
		{"SE", "NO", box(353*mm, 250*mm, 20*mm, 350*g), "zone.origin", "zone.origin", 0, 0},
	} {
		for i, want := range []struct {
			rule  string
			price int64
		}{{x.thin, x.thinCosts}, {x.larger, x.largerCosts}} {
			price := Price{}
			o, why := NewOffer(&c, &c.Services[i], Place{Country: x.from}, Place{Country: x.to})
			if why == nil {
				price, why = o.Price(x.parcel, Extras{})
			}
			rule := ""
			if why != nil {
				rule = why.Rule
			}
			if rule != want.rule || price.Total != want.price {
				t.Errorf("%+v to %s by %s: %q %d, want %q %d", x.parcel, x.to, c.Services[i].ID, rule, price.Total, want.rule, want.price)
			}
		}
	}
	if found := c.Suspicions(); len(found) != 1 || found[0].Kind != "hole" || found[0].Cell() != "zone world, up to 2000 g" {
		t.Errorf("the page's card looks odd: %+v", found)
	}
}
