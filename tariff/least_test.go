package tariff

import (
	"math/rand/v2"
	"testing"

	"solander/measure"
)

// No parcel costs less than the bound says, whatever its mass and however much larger than low it is.
func TestLeastIsABound(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	tried := 0
	for range 4000 {
		s := &Service{ID: "s", Class: "s", Name: "s", Prices: Prices{By: ByMass}, Flexible: r.IntN(4) == 0}
		for i := range 1 + r.IntN(6) {
			price := Cell(100 + r.IntN(900))
			if r.IntN(5) == 0 {
				price = NotCarried
			}
			s.Prices.Rows = append(s.Prices.Rows, Row{Mass: measure.Mass(i+1) * 100 * measure.Gram, Prices: []Cell{price}})
		}
		for i := range r.IntN(4) {
			over := int64(r.IntN(60)) * int64(measure.Centimetre)
			s.Surcharges = append(s.Surcharges, Surcharge{ID: "x", Group: []string{"", "g"}[r.IntN(2)], Amount: int64(10 * (i + 1)), When: []Bound{{Measure: []Measure{Length, Width, Girth, MassOf}[r.IntN(4)], Over: &over}}})
		}
		if r.IntN(3) == 0 {
			most := int64(r.IntN(120)) * int64(measure.Centimetre)
			s.Limits = []Bound{{Measure: LengthGirth, Max: &most}}
		}
		if r.IntN(3) == 0 {
			s.Dimensional = &Dimensional{Divisor: Ratio{Volume: 5_000_000_000_000_000, Mass: 1000 * measure.Gram}, Step: 100 * measure.Gram}
		}
		card := &Card{ID: "c", Currency: "USD", Services: []Service{*s}}
		o, why := NewOffer(card, &card.Services[0], Place{Country: "US"}, Place{Country: "US"})
		if why != nil {
			t.Fatal(why)
		}
		side := func() measure.Length { return measure.Length(1+r.IntN(60)) * measure.Centimetre }
		low := Parcel{Size: SizeOf(side(), side(), side()), Form: []Form{Box, Cylinder}[r.IntN(2)], Stiff: r.IntN(2) == 0}
		steps := o.Least(&low, Extras{})
		for range 5 {
			p := low
			p.Size = SizeOf(low.Size.Length+side()/4, low.Size.Width+side()/4, low.Size.Height)
			p.Mass = measure.Mass(r.IntN(700)) * measure.Gram
			got, ok := o.Cost(&p, Extras{})
			if !ok {
				continue
			}
			tried++
			least := int64(-1)
			for _, st := range steps {
				if p.Mass <= st.Mass {
					least = st.Price
					break
				}
			}
			if least < 0 || got < least {
				t.Fatalf("%+v costs %d, the bound is %d of %v", p, got, least, steps)
			}
		}
	}
	if tried < 1000 {
		t.Errorf("only %d parcels were carried", tried)
	}
}
