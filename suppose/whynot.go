package suppose

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/money"
	"solander/packing"
	"solander/packing/planner"
	"solander/planning"
	"solander/studio"
	"solander/tariff"
)

// Verdict is the answer to a forced choice: what it would cost, or the first rule it breaks. Reasons are
// told by names, with their numbers in the studio's units, too. See docs/formats/plan.md, section 9.
type Verdict struct {
	Order    string           `json:"order"`
	Choice   string           `json:"choice,omitempty"`  // the key of the wrap or item forced
	Service  string           `json:"service,omitempty"` // the key or class of the service forced
	Possible bool             `json:"possible"`
	Planned  int64            `json:"planned"` // total of the plan as it is, in minor units; 0 when the order is held
	Total    int64            `json:"total"`   // of the order with the choice forced on every parcel
	More     int64            `json:"more"`    // what that costs beyond the plan; 0 when the order is held
	Parcels  []packing.Parcel `json:"parcels,omitempty"`
	Reason   *packing.Reason  `json:"reason,omitempty"`
	Each     []planner.Forced `json:"each,omitempty"` // the planned parcels one by one, when there are several
}

// Text says the verdict in a sentence without a full stop: "admissible, costs 1.35 USD more".
func (v Verdict) Text(currency string) string {
	switch {
	case !v.Possible && v.Reason != nil:
		return "not possible: " + v.Reason.Text
	case !v.Possible:
		return "not possible"
	case v.Planned == 0:
		return "admissible, costs " + money.Of(v.Total, currency).String()
	}
	return moreText(v.More, currency)
}

// moreText says what a forced choice costs beyond the planned one.
func moreText(more int64, currency string) string {
	switch {
	case more > 0:
		return "admissible, costs " + money.Of(more, currency).String() + " more"
	case more < 0:
		return "admissible, costs " + money.Of(-more, currency).String() + " less; the plan is not proven"
	}
	return "admissible, costs the same"
}

// EachText says the answer for one planned parcel in a sentence.
func (v Verdict) EachText(i int, currency string) string {
	f := v.Each[i]
	if f.Reason != nil {
		return "not possible: " + f.Reason.Text
	}
	return moreText(f.More, currency)
}

// WhyNot forces a choice on the plan of an order: every parcel is wrapped so, or uses the shelf item, and
// goes by the service or a service of the class; each is given by key or name, "" leaves it open. It prices
// the cheapest way of the order so, or names the first rule that forbids it; and the same for each planned
// parcel with its contents. Faults: Invalid when neither is given; Missing when no such wrap, item or
// service is there; Refused when no wrap uses the item, or nothing is left to pack.
func WhyNot(ctx context.Context, s *studio.Studio, orderID int64, choice, service string) (Verdict, error) {
	choice, service = strings.TrimSpace(choice), strings.TrimSpace(service)
	if choice == "" && service == "" {
		return Verdict{}, fault.Invalidf("item", "no choice was named").ToMend("name a wrap, an item of the shelf, a service, or several")
	}
	v, err := planning.Plan(ctx, s, orderID, calendar.Day{})
	if err != nil {
		return Verdict{}, err
	}
	return WhyNotPlanned(ctx, s, v, choice, service)
}

// WhyNotPlanned is WhyNot for an order whose plan is known. Faults: as WhyNot.
func WhyNotPlanned(ctx context.Context, s *studio.Studio, v planning.PlanView, choice, service string) (_ Verdict, err error) {
	forced := []packing.Problem{v.Problem}
	if service != "" {
		if service, err = serviceOf(v.Problem, service); err != nil {
			return Verdict{}, err
		}
		forced[0] = onlyService(v.Problem, service)
	}
	if choice != "" {
		if choice, forced, err = withChoice(forced[0], choice); err != nil {
			return Verdict{}, err
		}
	}
	out, err := cheapest(ctx, s, forced)
	if err != nil {
		return Verdict{}, err
	}
	out.Order, out.Choice, out.Service, out.Planned = v.Order.Mark, choice, service, v.Plan.Total
	if out.Possible && out.Planned > 0 {
		out.More = out.Total - out.Planned
	}
	return out, parcelByParcel(ctx, v, &out)
}

// parcelByParcel forces the choice on each planned parcel with the contents that it has.
func parcelByParcel(ctx context.Context, v planning.PlanView, out *Verdict) error {
	ctx, release := dayplan.SearchIn(ctx).Bounded(ctx)
	defer release()
	a, err := planner.WhyNot(ctx, v.Problem, v.Order.Mark, out.Choice, out.Service)
	if err != nil {
		return err
	}
	for i := range a.Parcels {
		if f := &a.Parcels[i]; f.Reason != nil {
			f.Reason = told(v, f.Reason)
		}
	}
	if len(a.Parcels) > 1 {
		out.Each = a.Parcels
	} else if first := a.Parcels[0].Reason; !out.Possible && first != nil {
		out.Reason = first // of the option that gets furthest
		return nil
	}
	if out.Reason != nil {
		out.Reason = told(v, out.Reason)
	}
	return nil
}

// cheapest plans each problem and returns the cheapest answer, or the reason of the first.
func cheapest(ctx context.Context, s *studio.Studio, problems []packing.Problem) (Verdict, error) {
	var best Verdict
	for _, p := range problems {
		plan, err := s.Plans.Solve(ctx, p)
		if err != nil {
			return Verdict{}, err
		}
		for _, o := range plan.Orders {
			if best.Reason == nil && !best.Possible {
				best.Reason = o.Reason
			}
		}
		if plan.Held == 0 && (!best.Possible || plan.Total < best.Total) {
			best = Verdict{Possible: true, Total: plan.Total, Parcels: plan.Parcels}
		}
	}
	return best, nil
}

// serviceOf returns the key or class that words for a service mean. Faults: Missing.
func serviceOf(p packing.Problem, words string) (string, error) {
	byName := ""
	for _, c := range p.Cards {
		for _, s := range c.Services {
			if s.ID == words || s.Class == words {
				return words, nil
			}
			if strings.EqualFold(s.Name, words) && byName == "" {
				byName = s.ID
			}
		}
	}
	if byName == "" {
		return "", fault.New(fault.Missing, "no price card of that day has a service %.80q", words).In("service").ToMend("name one of a card that is used, by its key, name or class")
	}
	return byName, nil
}

// onlyService leaves the cards with the services of one key or class.
func onlyService(p packing.Problem, service string) packing.Problem {
	var cards []tariff.Card
	for _, c := range p.Cards {
		c.Services = slices.DeleteFunc(slices.Clone(c.Services), func(s tariff.Service) bool { return s.ID != service && s.Class != service })
		if len(c.Services) > 0 {
			cards = append(cards, c)
		}
	}
	p.Cards = cards
	return p
}

// withChoice returns the key of the wrap or item that words mean, and the problems that force it.
func withChoice(p packing.Problem, words string) (string, []packing.Problem, error) {
	if i := keyOrName(p.Wraps, words, func(w packing.Wrap) (string, string) { return w.ID, w.Name }); i >= 0 {
		return p.Wraps[i].ID, []packing.Problem{onlyWrap(p, i)}, nil
	}
	i := keyOrName(p.Shelf, words, func(it packing.Item) (string, string) { return it.ID, it.Name })
	if i < 0 {
		return "", nil, fault.New(fault.Missing, "%.80q is no wrap and not on the shelf", words).In("item").ToMend("name a wrap or an item by its key or name")
	}
	forced, err := withItem(p, i)
	return p.Shelf[i].ID, forced, err
}

// keyOrName finds what has a key, else what has a name; -1 when nothing does.
func keyOrName[T any](list []T, words string, of func(T) (key, name string)) int {
	if i := slices.IndexFunc(list, func(x T) bool { key, _ := of(x); return key == words }); i >= 0 {
		return i
	}
	return slices.IndexFunc(list, func(x T) bool { _, name := of(x); return name != "" && strings.EqualFold(name, words) })
}

// never is more sheets than any parcel holds: a wrap that wants so many is out of the question, yet
// still there for the rules that name it.
const never = 1000

// onlyWrap leaves one wrap.
func onlyWrap(p packing.Problem, at int) packing.Problem {
	p.Wraps = slices.Clone(p.Wraps)
	for w := range p.Wraps {
		if w != at {
			p.Wraps[w].Fewest, p.Wraps[w].Most = never, 0
		}
	}
	return p
}

// withItem returns one problem for each place in the wraps where the item may be: in the first, each
// wrap takes it for the first layer that may have it, in the second for the second, and so on.
func withItem(p packing.Problem, i int) ([]packing.Problem, error) {
	var out []packing.Problem
	for nth := 0; ; nth++ {
		forced, some := p, false
		forced.Wraps = slices.Clone(p.Wraps)
		for w := range forced.Wraps {
			layers := slices.Clone(forced.Wraps[w].Layers)
			if at := nthLayer(layers, p.Shelf[i], nth); at >= 0 {
				layers[at].Items, some = []string{p.Shelf[i].ID}, true
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
		return nil, fault.New(fault.Refused, "no wrap has a layer for it").At("%s", cmp.Or(p.Shelf[i].Name, p.Shelf[i].ID)).In("item").ToMend("add it to a wrap in the settings")
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

// Choice is something that may be forced on a plan: its key and its name.
type Choice struct{ Key, Name string }

// Choices lists what may be forced on the plan: the wraps, the packaging in use that some wrap has a layer
// for, and the services of its cards; each once.
func Choices(v planning.PlanView) (wraps, items, services []Choice) {
	for _, w := range v.Problem.Wraps {
		wraps = append(wraps, Choice{w.ID, cmp.Or(w.Name, w.ID)})
	}
	for i, it := range v.Problem.Shelf {
		if _, err := withItem(v.Problem, i); err == nil && !v.Retired[it.ID] {
			items = append(items, Choice{it.ID, cmp.Or(it.Name, it.ID)})
		}
	}
	for _, c := range v.Problem.Cards {
		if c.ID == dayplan.UnlistedCard {
			continue // it is no choice: it goes where no other does
		}
		for _, s := range c.Services {
			if !slices.ContainsFunc(services, func(x Choice) bool { return x.Key == s.ID }) {
				services = append(services, Choice{s.ID, cmp.Or(s.Name, s.ID)})
			}
		}
	}
	return wraps, items, services
}

// told puts a reason into words with names and the studio's units. A shortage that comes from what other
// orders of the day take is told as that.
func told(v planning.PlanView, r *packing.Reason) *packing.Reason {
	out := *r
	out.Text = dayplan.InUnits(v.Problem.Told(out), out, v.Units)
	if r.Rule != "shelf.stock" {
		return &out
	}
	for _, it := range v.Problem.Shelf {
		if it.Stock == nil || int64(*it.Stock) != r.Limit || !strings.Contains(r.Text, " of "+it.ID+" needed") {
			continue
		}
		if others := v.Left[it.ID] - *it.Stock; others > 0 {
			out.Rule, out.Got, out.Limit = "shelf.shared", r.Got+int64(others), int64(v.Left[it.ID])
			out.Text = fmt.Sprintf("%s of %s needed, there are %d and other orders of the day take %d", tariff.Show(r.Got, "pieces"), cmp.Or(it.Name, it.ID), v.Left[it.ID], others)
		}
	}
	return &out
}

// WhyNotProblem forces a choice on every order of a problem from outside: a wrap or shelf item, a
// service or class of service, or both. Faults: Invalid, everything that is wrong with the problem;
// Missing when it does not know the choice.
func WhyNotProblem(ctx context.Context, s *studio.Studio, p packing.Problem, choice, service string) ([]planner.Answer, error) {
	ctx, release := dayplan.SearchIn(ctx).Bounded(ctx)
	defer release()
	var out []planner.Answer
	for _, o := range p.Orders {
		answer, err := planner.WhyNot(ctx, p, o.ID, choice, service)
		if err != nil {
			return nil, err
		}
		out = append(out, answer)
	}
	return out, nil
}
