package brute

import (
	"fmt"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

const (
	in = measure.Inch
)

// Fill lays the shelf and the wraps.
func Fill(p *packing.Problem) {
	for i, s := range [][2]measure.Length{{8, 10}, {9, 12}, {11, 14}, {12, 16}, {13, 19}, {16, 20}, {18, 24}} {
		w, h := s[0]*in, s[1]*in
		n := int64(i)
		p.Shelf = append(p.Shelf,
			packing.Item{ID: fmt.Sprintf("film-%d", s[0]), Kind: packing.Sleeve, Width: w + in/4, Height: h + in/4, Wall: mm / 20, Mass: measure.Mass(8+4*n) * measure.Gram, Cost: 8 + 5*n},
			packing.Item{ID: fmt.Sprintf("board-%d", s[0]), Kind: packing.Board, Width: w + in/2, Height: h + in/2, Caliper: 2 * mm, Mass: measure.Mass(40+25*n) * measure.Gram, Cost: 15 + 8*n, Stiff: true},
			packing.Item{ID: fmt.Sprintf("mailer-%d", s[0]), Kind: packing.Envelope, Width: w + 3*in/2, Height: h + 3*in/2, Wall: mm, Thickest: in / 2, Mass: measure.Mass(70+30*n) * measure.Gram, Cost: 80 + 30*n, Stiff: true},
			packing.Item{ID: fmt.Sprintf("carton-%d", s[0]), Kind: packing.Carton, Length: h + 2*in, Width: w + 2*in, Height: 4 * in, Wall: 4 * mm, Cut: &packing.Cut{Shortest: in / 2, Step: in / 4}, Mass: measure.Mass(180+60*n) * measure.Gram, Cost: 120 + 40*n},
		)
	}
	p.Shelf = append(p.Shelf,
		packing.Item{ID: "tube-20", Kind: packing.Tube, Length: 20 * in, Diameter: 3 * in, Wall: 2 * mm, Mass: 170 * measure.Gram, Cost: 170, Cut: &packing.Cut{Shortest: 12 * in, Step: in / 2}},
		packing.Item{ID: "tube-26", Kind: packing.Tube, Length: 26 * in, Diameter: 4 * in, Wall: 2 * mm, Mass: 260 * measure.Gram, Cost: 240, Cut: &packing.Cut{Shortest: 12 * in, Step: in / 2}},
		packing.Item{ID: "glassine", Kind: packing.Tissue, Width: 24 * in, Height: 36 * in, Caliper: mm / 25, Mass: 22 * measure.Gram, Cost: 20},
		packing.Item{ID: "priority-carton", Kind: packing.Carton, Length: 15 * in, Width: 12 * in, Height: 3 * in, Wall: 4 * mm, Cut: &packing.Cut{Shortest: in / 2, Step: in / 4}, Mass: 230 * measure.Gram, IssuedFor: "priority"},
	)
	edge := packing.Clearance{Sides: in / 8}
	p.Wraps = []packing.Wrap{
		{ID: "nested", Shape: packing.Flat, Most: 2, Minutes: 4, Layers: []packing.Layer{{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Envelope, Clearance: edge}, {Kind: packing.Envelope, Clearance: edge}}},
		{ID: "boards", Shape: packing.Flat, Most: 4, Minutes: 6, Layers: []packing.Layer{{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Board, Count: 2, Clearance: edge}, {Kind: packing.Envelope, Clearance: edge}}},
		{ID: "boxed", Shape: packing.Flat, Minutes: 9, MinutesPerSheet: 1, Layers: []packing.Layer{{Kind: packing.Tissue, Per: packing.PerGap}, {Kind: packing.Board, Count: 2, Clearance: edge}, {Kind: packing.Carton, Clearance: packing.Clearance{Sides: in / 4, Thickness: 2 * mm}}}},
		{ID: "rolled", Shape: packing.Rolled, Most: 4, Core: 2 * in, Minutes: 7, Layers: []packing.Layer{{Kind: packing.Tissue, Per: packing.PerSheet}, {Kind: packing.Tube, Clearance: packing.Clearance{Ends: in / 2, Across: 3 * mm}}}},
	}
	two := 2
	p.Rules = []packing.Rule{
		{ID: "fine", When: packing.When{Grades: []string{"fine"}}, Then: packing.Then{OnlyClasses: []string{"priority"}, FullCover: true}},
		{ID: "pairs", When: packing.When{SheetsFrom: &two}, Then: packing.Then{NotClasses: []string{"letter"}}},
	}
}

// Print is one sheet of a usual edition.
func Print(i int) packing.Sheet {
	sizes := [][2]measure.Length{{8, 10}, {11, 14}, {12, 16}, {16, 20}, {18, 24}}
	s := sizes[i%len(sizes)]
	grade := "plain"
	if i%7 == 0 {
		grade = "fine"
	}
	return packing.Sheet{ID: fmt.Sprintf("s%02d", i), Width: s[0] * in, Height: s[1] * in, Caliper: measure.Length(12+i%9) * measure.Mil, Grammage: measure.Grammage(188+10*(i%12)) * measure.GSM, Value: int64(4000 + 500*i), Grade: grade, Roll: &packing.Roll{Tightest: 2 * in}}
}

// Gallery is one order of n distinct sheets, by an invented card of four services.
func Gallery(n int) packing.Problem {
	p := packing.Problem{Format: packing.ProblemFormat, Currency: "USD", Day: calendar.Date(2025, 11, 3), Origin: packing.Place{Country: "US", Postcode: "24060"}}
	Fill(&p)
	card := tariff.Card{ID: "c", Series: "c", Operator: "invented", Currency: "USD", From: calendar.Date(2025, 10, 1), PriceClass: "x", Source: "invented", Status: "invented"}
	for i, class := range []string{"letter", "ground", "priority", "courier"} {
		s := tariff.Service{ID: class, Class: class, Name: class, Flexible: i == 0, Cover: &tariff.Cover{Per: 10000, PerPrice: 150}, Prices: tariff.Prices{By: tariff.ByMass}}
		for lb := range 20 {
			s.Prices.Rows = append(s.Prices.Rows, tariff.Row{Mass: measure.Mass(lb+1) * measure.Pound, Prices: []tariff.Cell{tariff.Cell(500 + 200*i + 90*lb)}})
		}
		length := int64(22 * in)
		s.Surcharges = []tariff.Surcharge{{ID: "long", Name: "long", When: []tariff.Bound{{Measure: tariff.Length, Over: &length}}, Amount: 400}}
		card.Services = append(card.Services, s)
	}
	p.Cards = []tariff.Card{card}
	o := packing.Order{ID: "gallery", Destination: packing.Place{Country: "US", Postcode: "10001"}}
	for i := range n {
		o.Sheets = append(o.Sheets, Print(i))
	}
	p.Orders = []packing.Order{o}
	return p
}

// Copies is one order of so many copies of each kind.
func Copies(n ...int) packing.Problem {
	p := Gallery(len(n))
	for i := range n {
		p.Orders[0].Sheets[i].Copies = n[i]
	}
	return p
}
