package planner_test

import (
	"slices"
	"testing"

	"solander/calendar"
	"solander/packing"
	"solander/packing/check"
	"solander/tariff"
)

// A card that holds a class anew takes it from the card of the series that it names, and no plan goes by the old
// prices of that class, though they are lower; a card of that series that begins later has it back.
func TestReplacedServicesAreNotUsed(t *testing.T) {
	for name, c := range map[string]struct {
		newer func(p *packing.Problem) calendar.Day // first day of the card that replaces
		want  string
	}{
		"later":     {func(p *packing.Problem) calendar.Day { return p.Cards[0].From.Add(1) }, "newer"},
		"same day":  {func(p *packing.Problem) calendar.Day { return p.Cards[0].From }, "older"},
		"earlier":   {func(p *packing.Problem) calendar.Day { return p.Cards[0].From.Add(-1) }, "older"},
		"not begun": {func(p *packing.Problem) calendar.Day { return p.Day.Add(1) }, "older"},
	} {
		p := gallery(2)
		p.Cards[0].ID = "older"
		newer := p.Cards[0]
		newer.ID, newer.Series, newer.From, newer.Services = "newer", "another", c.newer(&p), slices.Clone(newer.Services)
		for i := range newer.Services {
			s := &newer.Services[i]
			newer.Replaces = append(newer.Replaces, tariff.Replaced{Series: p.Cards[0].Series, Class: s.Class})
			rows := slices.Clone(s.Prices.Rows)
			for j := range rows {
				rows[j].Prices = slices.Clone(rows[j].Prices)
				for k := range rows[j].Prices {
					if rows[j].Prices[k] != tariff.NotCarried {
						rows[j].Prices[k] += 500
					}
				}
			}
			s.Prices.Rows = rows
		}
		if c.want == "older" { // so that a plan by the wrong card is the cheaper one
			newer.Services, p.Cards[0].Services = p.Cards[0].Services, newer.Services
		}
		p.Cards = append(p.Cards, newer)
		got := planWith(t, t.Context(), p) // changed below
		if err := check.Plan(p, got); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if len(got.Parcels) == 0 {
			t.Fatalf("%s: nothing is planned", name)
		}
		for i := range got.Parcels {
			if got.Parcels[i].Card != c.want {
				t.Errorf("%s: parcel %d goes by %s", name, i+1, got.Parcels[i].Card)
			}
			got.Parcels[i].Card = map[string]string{"older": "newer", "newer": "older"}[c.want]
		}
		if check.Plan(p, got) == nil {
			t.Errorf("%s: the check believes a plan by a service whose place was taken", name)
		}
	}
}
