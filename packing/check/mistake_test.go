package check_test

import (
	"encoding/json"
	"reflect"
	"testing"

	"solander/calendar"
	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
	"solander/tariff"
)

// A planner that makes a mistake is one that plans another problem: without the clearance, with the inner
// for the outer size, with one piece more. Each mistake here changes a problem so that its best plan
// becomes better than the best of the true problem. Such a plan cannot be right, and must be found out.
var mistakes = map[string]func(p *packing.Problem){
	"sides have no clearance":        eachLayer(func(l *packing.Layer) { l.Clearance.Sides = 0 }),
	"one side's clearance":           eachLayer(func(l *packing.Layer) { l.Clearance.Sides /= 2 }),
	"thickness has no clearance":     eachLayer(func(l *packing.Layer) { l.Clearance.Thickness = 0 }),
	"one end's clearance":            eachLayer(func(l *packing.Layer) { l.Clearance.Ends /= 2 }),
	"no room across the roll":        eachLayer(func(l *packing.Layer) { l.Clearance.Across = 0 }),
	"one board for two":              eachLayer(func(l *packing.Layer) { l.Count = 0 }),
	"any item of the kind":           eachLayer(func(l *packing.Layer) { l.Items = nil }),
	"empty height is no matter":      eachLayer(func(l *packing.Layer) { l.Empty = nil }),
	"inner for outer size":           eachItem(func(i *packing.Item) { i.Wall, i.Outer = 0, nil }),
	"packaging weighs nothing":       eachItem(func(i *packing.Item) { i.Mass = 0 }),
	"packaging costs nothing":        eachItem(func(i *packing.Item) { i.Cost = 0 }),
	"boards have no thickness":       eachItem(func(i *packing.Item) { i.Caliper = min(i.Caliper, 1) }),
	"an envelope takes any":          eachItem(func(i *packing.Item) { i.Thickest = 0 }),
	"no bag bulges":                  eachItem(func(i *packing.Item) { i.Soft = false }),
	"cornered tubes are round":       eachItem(func(i *packing.Item) { i.Cornered = false }),
	"nothing is stiff":               eachItem(func(i *packing.Item) { i.Stiff = false }),
	"one piece more":                 eachItem(stock(1)),
	"stock is no matter":             eachItem(func(i *packing.Item) { i.Stock = nil }),
	"issued for any class":           eachItem(func(i *packing.Item) { i.IssuedFor = "" }),
	"no container of its own":        eachItem(func(i *packing.Item) { i.Container = "" }),
	"cuts between the steps":         eachItem(cutFiner),
	"one nanometre is no matter":     eachItem(func(i *packing.Item) { i.Width++; i.Height++; grow(&i.Length); grow(&i.Diameter); grow(&i.Thickest) }),
	"sheets weigh less":              eachSheet(func(s *packing.Sheet) { s.Mass, s.Grammage = s.Mass*9/10, s.Grammage*9/10 }),
	"sheets are thinner":             eachSheet(func(s *packing.Sheet) { s.Caliper /= 2 }),
	"sheets roll up tightly":         eachSheet(func(s *packing.Sheet) { s.Roll = tightest(s) }),
	"mounted sheets are not stiff":   eachSheet(func(s *packing.Sheet) { s.Stiff = false }),
	"sheets have no value":           eachSheet(func(s *packing.Sheet) { s.Value = 0 }),
	"one copy of each":               eachSheet(func(s *packing.Sheet) { s.Copies = 1 }),
	"the core is no matter":          eachWrap(func(w *packing.Wrap) { w.Core = 0 }),
	"what may be rolled is rolled":   eachWrap(func(w *packing.Wrap) { w.FlatTo = 0 }),
	"any number in a wrap":           eachWrap(func(w *packing.Wrap) { w.Fewest, w.Most = 0, 0 }),
	"work costs nothing":             func(p *packing.Problem) { p.Options.MinuteWage = 0 },
	"no house rules":                 func(p *packing.Problem) { p.Rules = nil },
	"the last house rule forgotten":  func(p *packing.Problem) { p.Rules = p.Rules[:max(0, len(p.Rules)-1)] },
	"orders have time":               eachOrder(func(o *packing.Order) { o.ArriveBy = calendar.Day{} }),
	"one day late":                   eachOrder(func(o *packing.Order) { o.ArriveBy = later(o.ArriveBy) }),
	"any orders share parcels":       eachOrder(func(o *packing.Order) { o.Combine = "all" }),
	"the promise of one order alone": promiseOfOne,
	"every country is home":          eachOrder(func(o *packing.Order) { o.Destination.Country = "US" }),
	"every card is open to all":      func(p *packing.Problem) { p.PriceClasses = nil },
	"tomorrow's card today":          eachCard(func(c *tariff.Card) { c.From = calendar.Date(2025, 7, 1); c.Series = c.ID }),
	"zone tables serve every origin": eachCard(func(c *tariff.Card) { c.Zones = anyOrigin(c.Zones) }),
	"no limits":                      eachService(func(s *tariff.Service) { s.Limits = nil }),
	"limits of one form for both":    eachService(func(s *tariff.Service) { s.Forms = nil }),
	"stiff is no matter":             eachService(func(s *tariff.Service) { s.Flexible = false }),
	"no dimensional mass":            eachService(func(s *tariff.Service) { s.Dimensional = nil }),
	"surcharges forgotten":           eachService(func(s *tariff.Service) { s.Surcharges = nil }),
	"only the largest surcharge":     eachService(oneGroup),
	"cover is free":                  eachService(func(s *tariff.Service) { s.Cover = &tariff.Cover{Included: 1_000_000} }),
	"included cover is deducted":     eachService(deducted),
	"signature is free":              eachService(func(s *tariff.Service) { s.Signature = new(int64) }),
	"every service tracks":           eachService(func(s *tariff.Service) { s.Tracking = true }),
	"the nearest zone":               eachService(func(s *tariff.Service) { s.Prices = nearest(s.Prices) }),
	"the step before":                eachService(func(s *tariff.Service) { s.Prices = heavier(s.Prices, 1_000_000_000_000) }),
	"the edge of a step":             eachService(func(s *tariff.Service) { s.Prices = heavier(s.Prices, 1) }),
	"every service is everywhere":    eachService(func(s *tariff.Service) { s.Countries, s.Abroad = nil, nil }),
	"a price for any container":      eachService(func(s *tariff.Service) { s.Container = "" }),
	"days are sooner":                eachService(sooner),
}

// leastMade is how often a mistake must have made a better plan.
const leastMade = 2

func TestPlansMadeByMistakeAreFound(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	if len(mistakes) < 20 {
		t.Fatalf("only %d mistakes", len(mistakes))
	}
	made := map[string]int{}
	left := len(mistakes)
	for seed := uint64(0); seed < 6000 && left > 0; seed++ {
		truth := brute.Random(seed)
		if seed%8 == 7 {
			truth = brute.Both(seed)
		}
		best, err := planner.Plan(t.Context(), truth, nil)
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(truth)
		if err != nil {
			t.Fatal(err)
		}
		var same packing.Problem // as reading makes it
		if err := json.Unmarshal(text, &same); err != nil {
			t.Fatal(err)
		}
		var wrong packing.Problem
		spoilt := true
		for name, mistake := range mistakes {
			if made[name] >= leastMade {
				continue
			}
			if spoilt {
				wrong, spoilt = packing.Problem{}, false
				if err := json.Unmarshal(text, &wrong); err != nil {
					t.Fatal(err)
				}
			}
			mistake(&wrong)
			if reflect.DeepEqual(wrong, same) {
				continue // nothing here to be mistaken about: it serves the next mistake
			}
			spoilt = true
			plan, err := planner.Plan(t.Context(), wrong, nil)
			if err != nil || plan.Held > best.Held || plan.Held == best.Held && plan.Total >= best.Total {
				continue
			}
			if made[name]++; made[name] == leastMade {
				left--
			}
			if check.Plan(truth, plan) == nil {
				t.Errorf("%s in problem %d: a plan better than the best passes", name, seed)
			}
		}
	}
	for name := range mistakes {
		if made[name] < leastMade {
			t.Errorf("%s made a better plan %d times, want %d", name, made[name], leastMade)
		}
	}
}

func eachOrder(do func(o *packing.Order)) func(*packing.Problem) {
	return func(p *packing.Problem) {
		for i := range p.Orders {
			do(&p.Orders[i])
		}
	}
}

// promiseOfOne leaves of orders that may share parcels only the promise of the first.
func promiseOfOne(p *packing.Problem) {
	first := map[string]string{}
	for _, o := range p.Orders {
		if id, ok := first[o.Combine]; !ok || o.ID < id {
			first[o.Combine] = o.ID
		}
	}
	for i := range p.Orders {
		if o := &p.Orders[i]; o.Combine != "" && o.ID != first[o.Combine] {
			o.ArriveBy = calendar.Day{}
		}
	}
}

func eachSheet(do func(s *packing.Sheet)) func(*packing.Problem) {
	return eachOrder(func(o *packing.Order) {
		for i := range o.Sheets {
			do(&o.Sheets[i])
		}
	})
}

func eachItem(do func(i *packing.Item)) func(*packing.Problem) {
	return func(p *packing.Problem) {
		for i := range p.Shelf {
			do(&p.Shelf[i])
		}
	}
}

func eachWrap(do func(w *packing.Wrap)) func(*packing.Problem) {
	return func(p *packing.Problem) {
		for i := range p.Wraps {
			do(&p.Wraps[i])
		}
	}
}

func eachLayer(do func(l *packing.Layer)) func(*packing.Problem) {
	return eachWrap(func(w *packing.Wrap) {
		for i := range w.Layers {
			do(&w.Layers[i])
		}
	})
}

func eachCard(do func(c *tariff.Card)) func(*packing.Problem) {
	return func(p *packing.Problem) {
		for i := range p.Cards {
			do(&p.Cards[i])
		}
	}
}

func eachService(do func(s *tariff.Service)) func(*packing.Problem) {
	return eachCard(func(c *tariff.Card) {
		for i := range c.Services {
			do(&c.Services[i])
		}
	})
}

func stock(more int) func(*packing.Item) {
	return func(i *packing.Item) {
		if i.Stock != nil {
			*i.Stock += more
		}
	}
}

func cutFiner(i *packing.Item) {
	if i.Cut != nil {
		i.Cut.Step = i.Cut.Step/10 + 1
	}
}

func grow(l *measure.Length) {
	if *l > 0 {
		*l++
	}
}

func tightest(s *packing.Sheet) *packing.Roll {
	if s.Roll == nil {
		return nil
	}
	return &packing.Roll{Tightest: 1}
}

func later(d calendar.Day) calendar.Day {
	if d.IsZero() {
		return d
	}
	return d.Add(1)
}

func anyOrigin(tables []tariff.ZoneTable) []tariff.ZoneTable {
	for i := range tables {
		tables[i].Origin = tariff.Origin{}
	}
	return tables
}

func oneGroup(s *tariff.Service) {
	for i := range s.Surcharges {
		s.Surcharges[i].Group = "all"
	}
}

func deducted(s *tariff.Service) {
	if s.Cover == nil {
		return
	}
	for i := range s.Cover.Steps {
		s.Cover.Steps[i].UpTo += s.Cover.Included
	}
}

// nearest gives every zone the prices of the first.
func nearest(p tariff.Prices) tariff.Prices {
	for i := range p.Rows {
		p.Rows[i].Prices = p.Rows[i].Prices[:1]
	}
	p.Zones = nil
	return p
}

// heavier moves the steps of a table by mass up, each at most to the next.
func heavier(p tariff.Prices, by measure.Mass) tariff.Prices {
	for i := range p.Rows {
		if p.By == tariff.ByMass {
			p.Rows[i].Mass += by
		}
		if i+1 < len(p.Rows) {
			p.Rows[i].Mass = min(p.Rows[i].Mass, max(p.Rows[i+1].Mass-1, 0))
		}
	}
	return p
}

func sooner(s *tariff.Service) {
	if s.Days == nil {
		s.Days = &tariff.Days{Counted: tariff.CalendarDays}
	}
	s.Days.Min, s.Days.Max, s.Days.Counted = 0, max(0, s.Days.Max-1), tariff.CalendarDays
}
