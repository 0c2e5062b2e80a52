package daybench

import (
	"slices"
	"strings"

	"solander/bench"
	"solander/dayplan"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// servicesOf lists the services by which a packed parcel may go: the planned one first, then those of the cards that go
// to its country, by name. Packaging issued for a class of service leaves that class alone.
func (t *Daybench) servicesOf(p studio.Parcel, to order.Address, w planning.Wording, cards []dayplan.Card) []bench.Service {
	out := []bench.Service{{Key: p.Plan.Service, Name: w.Service(p.Plan.Card, p.Plan.Service)}}
	from, there := studio.PlaceOf(t.Set.Address), studio.PlaceOf(to)
	classes := w.IssuedFor(p.Plan)
	for _, c := range cards {
		for i := range c.Services {
			s := &c.Services[i]
			known := slices.ContainsFunc(out, func(b bench.Service) bool { return b.Key == s.ID })
			if !known && s.Serves(from, there) == nil && !slices.ContainsFunc(classes, func(class string) bool { return class != s.Class }) {
				out = append(out, bench.Service{Key: s.ID, Name: s.Name})
			}
		}
	}
	slices.SortStableFunc(out[1:], func(a, b bench.Service) int { return strings.Compare(a.Name, b.Name) })
	return out
}
