package planner_test

import (
	"context"
	"fmt"
	"testing"

	"solander/calendar"
	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/planner"
	"solander/tariff/cards"
)

const (
	in = measure.Inch
	mm = measure.Millimetre
	g  = measure.Gram
)

// Problems as studios have them.
var fill, print, gallery, copies = brute.Fill, brute.Print, brute.Gallery, brute.Copies

func planWith(t testing.TB, ctx context.Context, p packing.Problem) packing.Plan {
	t.Helper()
	out, err := planner.Plan(ctx, p, nil)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// usual is a problem as a studio has it: thirty kinds of packaging in generic sizes, six wraps, the
// published cards of its country.
func usual(t testing.TB) packing.Problem {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	p := packing.Problem{
		Format: packing.ProblemFormat, Currency: "USD", Day: calendar.Date(2025, 11, 3), Origin: packing.Place{Country: "US", Postcode: "24060"},
		Options: packing.Options{MinuteWage: 30},
	}
	for _, c := range all {
		if c.Currency == p.Currency && c.StartsIn(p.Origin.Country) {
			p.Cards = append(p.Cards, c)
		}
	}
	fill(&p)
	return p
}

// day is n orders of one to three prints, to places all over the country.
func day(t testing.TB, n int) packing.Problem {
	p := usual(t)
	for i := range n {
		o := packing.Order{ID: fmt.Sprintf("o%04d", i), Destination: packing.Place{Country: "US", Postcode: []string{"24011", "97201", "10001", "60601", "33101", "94110"}[i%6]}}
		for j := range 1 + i%3 {
			o.Sheets = append(o.Sheets, print(i*3+j))
		}
		p.Orders = append(p.Orders, o)
	}
	return p
}

// few is gallery with a house rule for at most so many sheets in a parcel.
func few(n, most int) packing.Problem { return atMost(gallery(n), most) }

func atMost(p packing.Problem, most int) packing.Problem {
	p.Rules = append(p.Rules, packing.Rule{ID: "few", Then: packing.Then{SheetsMost: &most}})
	return p
}

// fours is one order of four kinds of sheets, n copies of each.
func fours(n int) packing.Problem {
	p := gallery(4)
	for i := range p.Orders[0].Sheets {
		p.Orders[0].Sheets[i].Copies = n
	}
	return p
}
