package packing_test

import (
	"testing"

	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

func TestSpare(t *testing.T) {
	cards := []tariff.Card{{ID: "card", Services: []tariff.Service{
		{ID: "steps", Prices: tariff.Prices{By: tariff.ByMass, Rows: []tariff.Row{{Mass: 100}, {Mass: 200}}}},
		{ID: "piece", Prices: tariff.Prices{By: tariff.ByPiece, Rows: []tariff.Row{{}}}},
	}}}
	for billed, want := range map[measure.Mass][2]measure.Mass{1: {100, 99}, 100: {100, 0}, 101: {200, 99}} {
		p := packing.Parcel{Card: "card", Service: "steps", Billed: billed}
		if step, below, ok := p.Spare(cards); !ok || step != want[0] || below != want[1] {
			t.Errorf("%d ng: %d below the step of %d, %v", billed, below, step, ok)
		}
	}
	for _, p := range []packing.Parcel{{Card: "card", Service: "piece"}, {Card: "card", Service: "steps", Billed: 201}, {Card: "none", Service: "steps", Billed: 1}} {
		if _, _, ok := p.Spare(cards); ok {
			t.Errorf("%+v has a step", p)
		}
	}
}

func TestMarginInWords(t *testing.T) {
	for want, m := range map[string]packing.Margin{
		"without any margin": {}, "with paper 5 % heavier and 5 g of the scale": {Grammage: 50, Parcel: 5 * measure.Gram},
		"with paper 2.5 % heavier and paper 100 % thicker": {Grammage: 25, Caliper: 1000},
	} {
		if got := m.Words(measure.Metric); got != want {
			t.Errorf("%q, not %q", got, want)
		}
		if err := m.Check("margin."); err != nil {
			t.Error(err)
		}
	}
	if err := (packing.Margin{Grammage: 1001, Caliper: -1, Parcel: 2 * measure.Kilogram}).Check(""); err == nil {
		t.Error("a margin above 100 % is taken")
	}
}
