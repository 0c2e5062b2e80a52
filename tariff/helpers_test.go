package tariff

import (
	"solander/calendar"
	"solander/measure"
)

const (
	in = measure.Inch
	oz = measure.Ounce
	lb = measure.Pound
	// almost is 15.999 oz, rounded to the nearest nanogram.
	almost = (15_999*oz + 500) / 1000
)

func box(l, w, h measure.Length, mass measure.Mass) *Parcel {
	return &Parcel{Size: SizeOf(l, w, h), Form: Box, Mass: mass, Stiff: true}
}

func tube(length, diameter measure.Length, mass measure.Mass) *Parcel {
	return &Parcel{Size: SizeOf(length, diameter, diameter), Form: Cylinder, Mass: mass, Stiff: true}
}

func ptr[T any](v T) *T { return &v }

func day(text string) calendar.Day {
	d, err := calendar.ParseDay(text)
	if err != nil {
		panic(err)
	}
	return d
}

// ground is a part of the commercial Ground Advantage card: zones 1 and 8, a few steps, the fees.
// Source: US Postal Service, Notice 123, effective 2025-10-05, pages 15 and 35.
func ground() *Card {
	return &Card{
		ID: "c", Series: "s", Operator: "US Postal Service", Currency: "USD", From: day("2025-10-05"), To: day("2026-01-18"),
		PriceClass: "commercial", Source: "Notice 123, 2025-10-05", Status: "primary",
		Zones: []ZoneTable{{
			Name: "domestic", Origin: Origin{"US", "240"}, Source: "test", Status: "secondary",
			Rows: []ZoneRow{{Country: "US", From: "24000", To: "24199", Zone: "1"}, {Country: "US", From: "969", To: "969", Zone: "9"}, {Country: "US", From: "900", To: "994", Zone: "8"}},
		}},
		Services: []Service{{
			ID: "ground", Class: "ground", Name: "Ground Advantage", Abroad: ptr(false), Zones: "domestic", Tracking: true,
			Days:   &Days{Min: 2, Max: 5, Counted: DeliveryDays},
			Limits: []Bound{{Measure: LengthGirth, Max: ptr(int64(108 * in))}, {Measure: MassOf, Max: ptr(int64(70 * lb))}},
			Dimensional: &Dimensional{
				Over: 1728 * CubicInch, Divisor: Ratio{166 * CubicInch, lb}, Round: Rounding{in, Nearest},
				Step: lb, Cylinder: Fraction{785, 1000}, Most: 70 * lb,
			},
			Prices: Prices{By: ByMass, Zones: []string{"1", "8"}, Rows: []Row{
				{Mass: 4 * oz, Prices: []Cell{450, 569}},
				{Mass: almost, Prices: []Cell{637, 837}},
				{Mass: lb, Prices: []Cell{710, 1000}},
				{Mass: 16 * lb, Prices: []Cell{1500, 4000}},
				{Mass: 70 * lb, Prices: []Cell{4000, 9000}},
			}},
			Surcharges: []Surcharge{
				{ID: "length22", Name: "longer than 22 in", Group: "length", When: []Bound{{Measure: Length, Over: ptr(int64(22 * in))}}, Amount: 400},
				{ID: "length30", Name: "longer than 30 in", Group: "length", When: []Bound{{Measure: Length, Over: ptr(int64(30 * in))}}, Amount: 840},
				{ID: "volume", Name: "over 2 cubic feet", Group: "volume", When: []Bound{{Measure: VolumeOf, Over: ptr(int64(3456 * CubicInch))}}, Amount: 1800},
				{ID: "tube", Name: "tube or roll", Group: "shape", Form: Cylinder, Amount: 400},
			},
			Cover:     &Cover{Included: 10000, Steps: []CoverStep{{5000, 270}, {10000, 340}, {20000, 440}, {30000, 445}, {40000, 595}, {50000, 745}, {60000, 895}}, Per: 10000, PerPrice: 150, Most: new(int64(500000))},
			Signature: ptr(int64(395)),
		}},
	}
}

var (
	roanoke    = Place{"US", "24060"}
	near       = Place{"US", "24011-1234"}
	losAngeles = Place{"US", "90012"}
)

func offer(c *Card, to Place) *Offer {
	o, why := NewOffer(c, &c.Services[0], roanoke, to)
	if why != nil {
		panic(why.Text)
	}
	return o
}
