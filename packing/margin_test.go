package packing_test

import (
	"testing"

	"solander/measure"
	"solander/packing"
)

// By hand: 11 × 14 in at 310 g/m² is 30 799 938 400 ng (docs/formats/plan.md, section 8); 5 % more is 32 339 935 320 ng, and a
// thousandth more is 30 830 738 338.4, rounded up. A mass that is given stays.
func TestHeld(t *testing.T) {
	sheets := []packing.Sheet{
		{ID: "paper", Width: 11 * measure.Inch, Height: 14 * measure.Inch, Caliper: 508_001, Grammage: 310 * measure.GSM},
		{ID: "weighed", Width: measure.Inch, Height: measure.Inch, Caliper: 1, Mass: 7},
	}
	p := packing.Problem{Orders: []packing.Order{{ID: "o", Sheets: sheets}}, Margin: packing.Margin{Grammage: 50, Caliper: 100, Parcel: 5}}
	held := p.Held()
	got := held.Orders[0].Sheets
	if got[0].Mass != 32_339_935_320 || got[0].Grammage != 0 || got[0].Caliper != 558_802 || got[1].Mass != 7 || got[1].Caliper != 2 {
		t.Errorf("%+v", got)
	}
	if held.Margin != (packing.Margin{Parcel: 5}) || held.Held() != held {
		t.Errorf("the margin is put in twice: %+v", held.Margin)
	}
	if p.Orders[0].Sheets[0].Mass != 0 || p.Margin.Grammage != 50 {
		t.Error("the problem itself was changed")
	}
	p.Margin = packing.Margin{Grammage: 1}
	if got := p.Held().Orders[0].Sheets[0].EachMass(); got != 30_830_738_339 {
		t.Errorf("a thousandth more is %d ng", got)
	}
	if p.Margin = (packing.Margin{Parcel: 5}); p.Held() != &p {
		t.Error("without a margin of its sheets a problem is another one")
	}
	if got := p.Base(&packing.Wrap{Mass: 14}); got != 19 {
		t.Errorf("a parcel weighs %d ng besides its parts", got)
	}
}
