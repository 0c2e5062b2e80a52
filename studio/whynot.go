package studio

import (
	"context"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/packing"
	"solander/tariff"
)

// Verdict is the answer to a forced choice: what it would cost, or the first rule it breaks.
type Verdict struct {
	Possible bool             `json:"possible"`
	Total    int64            `json:"total"` // of the plan with the choice forced, in minor units
	Parcels  []packing.Parcel `json:"parcels,omitempty"`
	Reason   *packing.Reason  `json:"reason,omitempty"`
}

// WhyNot forces a choice on the plan of an order: every parcel uses the shelf item (its key), every
// parcel goes by the service (its key or name); "" leaves that open. It prices the cheapest plan so, or
// names the first rule that forbids it. Faults: Invalid when neither is given; Missing when no such item
// or service is there; Refused when no wrap uses the item, or nothing is left to pack.
func (s *Studio) WhyNot(ctx context.Context, orderID int64, item, service string) (Verdict, error) {
	item, service = strings.TrimSpace(item), strings.TrimSpace(service)
	if item == "" && service == "" {
		return Verdict{}, fault.Invalidf("item", "no choice was named").ToMend("name an item of the shelf, a service, or both")
	}
	v, err := s.Plan(ctx, orderID, calendar.Day{})
	if err != nil {
		return Verdict{}, err
	}
	p := v.Problem
	if service != "" {
		if p, err = onlyService(p, service); err != nil {
			return Verdict{}, err
		}
	}
	forced := []packing.Problem{p}
	if item != "" {
		if forced, err = withItem(p, item); err != nil {
			return Verdict{}, err
		}
	}
	return cheapest(ctx, forced)
}

// cheapest plans each problem and returns the cheapest answer, or the reason of the first, told by name.
func cheapest(ctx context.Context, problems []packing.Problem) (Verdict, error) {
	var best Verdict
	for _, p := range problems {
		plan, err := solve(ctx, p)
		if err != nil {
			return Verdict{}, err
		}
		for _, o := range plan.Orders {
			if o.Reason != nil && best.Reason == nil && !best.Possible {
				why := *o.Reason
				why.Text = p.Told(why)
				best.Reason = &why
			}
		}
		if plan.Held == 0 && (!best.Possible || plan.Total < best.Total) {
			best = Verdict{Possible: true, Total: plan.Total, Parcels: plan.Parcels}
		}
	}
	return best, nil
}

// onlyService leaves the cards with one service.
func onlyService(p packing.Problem, service string) (packing.Problem, error) {
	var cards []tariff.Card
	for _, c := range p.Cards {
		c.Services = slices.DeleteFunc(slices.Clone(c.Services), func(s tariff.Service) bool {
			return s.ID != service && !strings.EqualFold(s.Name, service)
		})
		if len(c.Services) > 0 {
			cards = append(cards, c)
		}
	}
	if len(cards) == 0 {
		return p, fault.New(fault.Missing, "no price card of that day has a service %.80q", service).In("service").ToMend("name one of a card that is used, by its key or name")
	}
	p.Cards = cards
	return p, nil
}

// never is more sheets than any parcel holds: a wrap that wants so many is out of the question, yet
// still there for the rules that name it.
const never = 1000

// withItem returns one problem for each place in the wraps where the item may be: in the first, each
// wrap takes it for the first layer that may have it, in the second for the second, and so on.
func withItem(p packing.Problem, item string) ([]packing.Problem, error) {
	i := slices.IndexFunc(p.Shelf, func(x packing.Item) bool { return x.ID == item })
	if i < 0 {
		return nil, fault.New(fault.Missing, "%.80q is not on the shelf", item).In("item").ToMend("name an item by its key")
	}
	var out []packing.Problem
	for nth := 0; ; nth++ {
		forced, some := p, false
		forced.Wraps = slices.Clone(p.Wraps)
		for w := range forced.Wraps {
			layers := slices.Clone(forced.Wraps[w].Layers)
			if at := nthLayer(layers, p.Shelf[i], nth); at >= 0 {
				layers[at].Items, some = []string{item}, true
			} else {
				forced.Wraps[w].Fewest, forced.Wraps[w].Most = never, 0
			}
			forced.Wraps[w].Layers = layers
		}
		if !some {
			break
		}
		out = append(out, forced)
	}
	if len(out) == 0 {
		return nil, fault.New(fault.Refused, "no wrap has a layer for it").At("%s", p.Shelf[i].Name).In("item").ToMend("add it to a wrap in the settings")
	}
	return out, nil
}

// nthLayer returns the place of the nth layer, from 0, that may have the item; -1 when there is none.
func nthLayer(layers []packing.Layer, it packing.Item, nth int) int {
	for i, l := range layers {
		if l.Kind != it.Kind || len(l.Items) > 0 && !slices.Contains(l.Items, it.ID) {
			continue
		}
		if nth == 0 {
			return i
		}
		nth--
	}
	return -1
}
