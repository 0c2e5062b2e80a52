package leaving

import (
	"slices"
	"strings"
	"testing"

	"solander/fault"
	"solander/measure"
	"solander/tariff"
)

func box(l, w, h measure.Length) tariff.Size { return tariff.Size{Length: l, Width: w, Height: h} }

// At each limit a parcel goes, and one unit past it it stays, with the rule that says so.
func TestLimitsAtAndOnePast(t *testing.T) {
	const inch = measure.Inch
	letterbox := Way{ID: "m", Name: "the mailbox", Kind: Mailbox, Opening: &Opening{Length: 13 * inch, Width: 2 * inch, Depth: 16 * inch}}
	// Collection points of the French post take a parcel of up to 20 kg, by the operator's page for businesses.
	point := Way{ID: "p", Name: "the collection point", Kind: Counter, Minutes: 20, Heaviest: 20 * measure.Kilogram, Worth: 50_000, Services: []string{"parcel"}, Days: []string{"monday"}, CutOff: "17:00"}
	fits := Parcel{Size: box(16*inch, 13*inch, 2*inch), Mass: 20 * measure.Kilogram, Worth: 50_000, Service: "parcel"}
	for name, c := range map[string]struct {
		way    Way
		change func(*Ask, *Parcel)
		rule   string
	}{
		"at every limit of the mailbox":       {letterbox, nil, ""},
		"laid across":                         {letterbox, func(_ *Ask, p *Parcel) { p.Size = box(13*inch, 2*inch, 16*inch) }, ""},
		"on its edge":                         {letterbox, func(_ *Ask, p *Parcel) { p.Size = box(2*inch, 16*inch, 13*inch) }, ""},
		"too long":                            {letterbox, func(_ *Ask, p *Parcel) { p.Size.Length++ }, "leave.size"},
		"too wide":                            {letterbox, func(_ *Ask, p *Parcel) { p.Size.Width++ }, "leave.size"},
		"too thick":                           {letterbox, func(_ *Ask, p *Parcel) { p.Size.Height++ }, "leave.size"},
		"at every limit of the point":         {point, nil, ""},
		"too heavy":                           {point, func(_ *Ask, p *Parcel) { p.Mass++ }, "leave.mass"},
		"worth too much":                      {point, func(_ *Ask, p *Parcel) { p.Worth++ }, "leave.worth"},
		"another service":                     {point, func(_ *Ask, p *Parcel) { p.Service = "letter" }, "leave.service"},
		"a service by hand":                   {point, func(_ *Ask, p *Parcel) { p.Service, p.Named = "", "a courier" }, "leave.service"},
		"at its last minute":                  {point, func(a *Ask, _ *Parcel) { a.At = "17:00" }, ""},
		"a minute late":                       {point, func(a *Ask, _ *Parcel) { a.At = "17:01" }, "leave.hour"},
		"a day on which it is not there":      {point, func(a *Ask, _ *Parcel) { a.Day = monday.Add(1) }, "leave.day"},
		"without an end a parcel may be long": {Way{ID: "b", Name: "the bin", Kind: Bin, Opening: &Opening{Length: 13 * inch, Width: 2 * inch}}, func(_ *Ask, p *Parcel) { p.Size.Length = measure.Metre }, ""},
	} {
		t.Run(name, func(t *testing.T) {
			a, p := Ask{Day: monday, Ways: []Way{c.way}, Currency: "EUR", Units: measure.Metric}, fits
			if c.change != nil {
				c.change(&a, &p)
			}
			a.Parcels = []Parcel{p}
			got := Choose(a)
			switch {
			case c.rule == "" && len(got.Staying) > 0:
				t.Errorf("it stays: %+v", got.Staying[0])
			case c.rule != "" && (len(got.Staying) != 1 || got.Staying[0].Reasons[0].Rule != c.rule || !strings.Contains(got.Staying[0].Reasons[0].Text, c.way.Name)):
				t.Errorf("the plan is %+v, not %s", got, c.rule)
			}
		})
	}
}

// Two small parcels and a large one, worked by hand.
func TestOneTripIsPreferred(t *testing.T) {
	const inch = measure.Inch
	small, large := Parcel{Size: box(9*inch, 7*inch, inch/2)}, Parcel{Size: box(24*inch, 18*inch, inch)}
	mailbox := Way{ID: "m", Name: "the mailbox", Kind: Mailbox, Opening: &Opening{Length: 13 * inch, Width: 2 * inch, Depth: 16 * inch}, Most: 2}
	pickup := Way{ID: "p", Name: "the pickup", Kind: Pickup, Fee: 400, Least: 2}
	counter := Way{ID: "c", Name: "the counter", Kind: Counter, Minutes: 25}
	ask := func(wage int64, parcels ...Parcel) Ask {
		return Ask{Day: monday, Ways: []Way{mailbox, pickup, counter}, Parcels: parcels, Wage: wage, Currency: "USD", Units: measure.Imperial}
	}
	for name, c := range map[string]struct {
		ask   Ask
		by    []int
		money int64
	}{
		"small ones to the mailbox":                       {ask(10, small, small), []int{0, 0}, 0},
		"one more than it holds: all to the counter":      {ask(10, small, small, small), []int{2, 2, 2}, 250},
		"at a dearer minute all with the pickup":          {ask(20, small, small, small), []int{1, 1, 1}, 400},
		"a large one alone is too few for the pickup":     {ask(20, large), []int{2}, 500},
		"a large one takes a small one along":             {ask(20, small, large), []int{1, 1}, 400},
		"minutes that cost nothing are still fewer trips": {ask(0, small, small, small), []int{2, 2, 2}, 0},
	} {
		if got := Choose(c.ask); !slices.Equal(got.By, c.by) || got.Money != c.money {
			t.Errorf("%s: by %v for %d, not %v for %d", name, got.By, got.Money, c.by, c.money)
		}
	}
	none := Choose(Ask{Day: monday, Ways: []Way{mailbox}, Parcels: []Parcel{large, small, small, small}, Units: measure.Imperial})
	if !slices.Equal(none.By, []int{Stays, 0, 0, Stays}) || none.Staying[0].Reasons[0].Rule != "leave.size" || none.Staying[1].Reasons[0].Rule != "leave.most" {
		t.Errorf("without a way for it: %+v", none)
	}
}

func TestBadWays(t *testing.T) {
	good := Way{ID: "m", Name: "the mailbox", Kind: Mailbox, Opening: &Opening{Length: measure.Inch, Width: measure.Inch}}
	if err := Validate("leaving", []Way{good}); err != nil {
		t.Fatal(err)
	}
	for field, change := range map[string]func(*Way){
		"id":             func(w *Way) { w.ID = "" },
		"name":           func(w *Way) { w.Name = "" },
		"kind":           func(w *Way) { w.Kind = "balloon" },
		"opening.length": func(w *Way) { w.Opening = nil },
		"opening.width":  func(w *Way) { w.Opening = &Opening{Length: 1} },
		"opening.depth":  func(w *Way) { w.Opening = &Opening{1, 1, -1} },
		"heaviest":       func(w *Way) { w.Heaviest = -1 },
		"worth":          func(w *Way) { w.Worth = -1 },
		"least":          func(w *Way) { w.Least, w.Most = 3, 2 },
		"most":           func(w *Way) { w.Most = 1001 },
		"fee":            func(w *Way) { w.Fee = -1 },
		"minutes":        func(w *Way) { w.Minutes = 1441 },
		"cut_off":        func(w *Way) { w.CutOff = "9:30" },
		"days[1]":        func(w *Way) { w.Days = []string{"monday", "monday"} },
		"days[0]":        func(w *Way) { w.Days = []string{"Monday"} },
		"services[0]":    func(w *Way) { w.Services = []string{""} },
	} {
		w := good
		change(&w)
		err := Validate("leaving", []Way{w})
		if all := fault.All(err); err == nil || all[0].Field != "leaving[0]."+field {
			t.Errorf("%s: %v", field, err)
		}
	}
	other := good
	other.Name = "another"
	if err := Validate("leaving", []Way{good, other}); !fault.Is(err, fault.Invalid) {
		t.Errorf("twice the same id: %v", err)
	}
	many := slices.Repeat([]Way{good}, MostWays+1)
	if err := Validate("leaving", many); !fault.Is(err, fault.Invalid) {
		t.Errorf("%d ways: %v", len(many), err)
	}
}
