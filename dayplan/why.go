package dayplan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/tariff"
)

// Why is a plan in words: what was chosen, what it costs by which rule, and why nothing that looks cheaper
// is allowed; with names for keys, and numbers in the studio's units.
type Why struct {
	Day      calendar.Day `json:"day"`
	Total    money.Amount `json:"total"`
	Proof    string       `json:"proof"`
	Orders   []WhyOrder   `json:"orders"`
	Shared   []string     `json:"shared,omitempty"` // what other orders of the day have to do with it
	Cautions []string     `json:"cautions,omitempty"`
}

// WhyOrder is what became of one order.
type WhyOrder struct {
	Order    string      `json:"order"`
	Held     string      `json:"held,omitempty"`     // why it cannot go
	Rule     string      `json:"rule,omitempty"`     // of that reason
	Print    string      `json:"print,omitempty"`    // that cannot go, if it is one
	Conflict []string    `json:"conflict,omitempty"` // house rules that together forbid every way
	Parcels  []WhyParcel `json:"parcels,omitempty"`
}

// WhyParcel is a parcel with its costs and with what looks cheaper.
type WhyParcel struct {
	Orders   []string     `json:"orders,omitempty"` // that share it, by mark; none = this one alone
	Text     string       `json:"text"`             // "flat in two stiff envelopes, by Ground"
	Prints   []string     `json:"prints"`
	Cost     money.Amount `json:"cost"`
	Lines    []WhyLine    `json:"lines"`
	Rejected []WhyOption  `json:"rejected"`
}

// First reports whether the parcel is told with this order: one that several share is told once.
func (p WhyParcel) First(order string) bool { return len(p.Orders) == 0 || p.Orders[0] == order }

// WhyLine is one item of what a parcel costs, with the rule by which it counts.
type WhyLine struct {
	Text   string       `json:"text"`
	Rule   string       `json:"rule"`
	Amount money.Amount `json:"amount"`
	Source string       `json:"source,omitempty"`
}

// WhyOption is an option that looks cheaper, with the first rule it breaks.
type WhyOption struct {
	Text   string       `json:"text"` // "stiff envelope 6 in × 8 in, by Ground"
	Looks  money.Amount `json:"looks"`
	Rule   string       `json:"rule"`
	Reason string       `json:"reason"`
}

// TooLarge reports that the parcel is too large for the option at all: its packaging or its service does not take it, whatever it
// costs. Only the other options look cheaper to somebody who could choose them.
func (o WhyOption) TooLarge() bool { return TooLarge(o.Rule) }

// TooLarge reports a rule that bars a parcel by its size alone.
func TooLarge(rule string) bool {
	family, _, _ := strings.Cut(rule, ".")
	return slices.Contains([]string{"sleeve", "envelope", "carton", "tube", "limit"}, family)
}

// WhyPlan puts a plan into words.
func WhyPlan(p packing.Problem, plan packing.Plan, units measure.System) Why {
	w := whyWords{&p, units, plan.Currency}
	out := Why{Day: plan.Day, Total: money.Of(plan.Total, plan.Currency), Proof: ProofOf(plan)}
	for _, o := range plan.Orders {
		wo := WhyOrder{Order: o.ID, Print: w.sheet(o.ID, o.Sheet)}
		if o.Reason != nil {
			wo.Held, wo.Rule, wo.Conflict = w.told(*o.Reason), o.Reason.Rule, rulesOf(o)
		}
		for i, pc := range plan.Parcels {
			if slices.Contains(Sharers(pc), o.ID) {
				wo.Parcels = append(wo.Parcels, w.parcel(pc, plan.Rejected, i))
			}
		}
		out.Orders = append(out.Orders, wo)
	}
	for _, x := range plan.Warnings {
		out.Cautions = append(out.Cautions, x.Text)
	}
	return out
}

// rulesOf are the house rules in conflict in the studio's words.
func rulesOf(o packing.OrderPlan) []string {
	var out []string
	for _, c := range o.Conflict {
		out = append(out, cmp.Or(c.Text, "house rule "+c.ID))
	}
	return out
}

// quarrel says which house rules together hold an order, beside its reason; "" when none do.
func quarrel(o packing.OrderPlan) string {
	switch rules := rulesOf(o); len(rules) {
	case 0:
		return ""
	case 1:
		return "; this house rule alone leaves no way: “" + rules[0] + "”"
	default:
		return "; these house rules together leave no way: “" + strings.Join(rules, "” and “") + "”"
	}
}

// ProofOf says what is known about a plan: that it is proven, or by how much it may miss the best.
func ProofOf(plan packing.Plan) string {
	switch {
	case plan.Status == packing.Optimal && slices.ContainsFunc(plan.Parcels, func(p packing.Parcel) bool { return p.Card == UnlistedCard }):
		return "proven: no packaging that is allowed costs less; what the post takes is not known"
	case plan.Status == packing.Optimal:
		return "proven: nothing allowed costs less"
	case plan.Status == packing.NotProven && len(plan.Parcels) == 0:
		return "not proven: no way was found in time"
	case plan.Status == packing.NotProven:
		return fmt.Sprintf("not proven: no plan costs less than %s, so at most %s could be saved", money.Of(plan.Bound, plan.Currency), money.Of(plan.Total-plan.Bound, plan.Currency))
	}
	return "nothing can go"
}

// whyWords turns keys of a problem into words.
type whyWords struct {
	p        *packing.Problem
	units    measure.System
	currency string
}

func (w whyWords) told(r packing.Reason) string { return InUnits(w.p.Told(r), r, w.units) }

func (w whyWords) parcel(pc packing.Parcel, rejected []packing.Rejected, number int) WhyParcel {
	out := WhyParcel{Orders: pc.Orders, Cost: money.Of(pc.Cost, w.currency), Rejected: []WhyOption{}}
	out.Text = w.wrap(pc.Wrap) + ", by " + w.service(pc.Card, pc.Service)
	for _, c := range pc.Contents {
		text := w.sheet(c.Order, c.Sheet)
		if c.Copies > 1 {
			text = fmt.Sprintf("%d × %s", c.Copies, text)
		}
		out.Prints = append(out.Prints, text)
	}
	for _, l := range pc.Lines {
		text := l.Text
		if l.Count > 1 {
			text = fmt.Sprintf("%d × %s", l.Count, text)
		}
		out.Lines = append(out.Lines, WhyLine{text, l.Rule, money.Of(l.Amount, w.currency), l.Source})
	}
	for _, r := range rejected {
		if r.Parcel == number {
			out.Rejected = append(out.Rejected, w.option(r))
		}
	}
	return out
}

func (w whyWords) option(r packing.Rejected) WhyOption {
	var names []string
	for _, id := range r.Items {
		names = append(names, w.item(id))
	}
	text := strings.Join(names, ", ")
	if r.Service != "" {
		text += ", by " + w.service(r.Card, r.Service)
	}
	return WhyOption{Text: text, Looks: money.Of(r.Looks, w.currency), Rule: r.Reason.Rule, Reason: w.told(r.Reason)}
}

func (w whyWords) wrap(id string) string {
	for _, x := range w.p.Wraps {
		if x.ID == id {
			return cmp.Or(x.Name, id)
		}
	}
	return id
}

func (w whyWords) item(id string) string {
	for _, x := range w.p.Shelf {
		if x.ID == id {
			return cmp.Or(x.Name, id)
		}
	}
	return id
}

func (w whyWords) service(card, id string) string {
	for _, c := range w.p.Cards {
		if c.ID == card {
			if s := c.Service(id); s != nil {
				return cmp.Or(s.Name, id)
			}
		}
	}
	return id
}

// sheet names a sheet of an order as the problem notes it.
func (w whyWords) sheet(order, id string) string {
	for _, o := range w.p.Orders {
		if o.ID != order {
			continue
		}
		if i := slices.IndexFunc(o.Sheets, func(s packing.Sheet) bool { return s.ID == id }); i >= 0 {
			return cmp.Or(o.Sheets[i].Note, id)
		}
	}
	return id
}

// InUnits adds the numbers of a reason in the studio's units where the words have them in others, rounded
// away from each other, so that the sentence stays true.
func InUnits(text string, r packing.Reason, units measure.System) string {
	over := r.Got > r.Limit
	var got, limit string
	switch {
	case r.Unit == "nm" && over:
		got, limit = measure.Length(r.Got).Above(units), measure.Length(r.Limit).Below(units)
	case r.Unit == "nm":
		got, limit = measure.Length(r.Got).Below(units), measure.Length(r.Limit).Above(units)
	case r.Unit == "ng" && over:
		got, limit = measure.Mass(r.Got).Above(units), measure.Mass(r.Limit).Below(units)
	case r.Unit == "ng":
		got, limit = measure.Mass(r.Got).Below(units), measure.Mass(r.Limit).Above(units)
	default:
		return text
	}
	if strings.Contains(text, limit) || strings.Contains(text, tariff.Show(r.Limit, r.Unit)) && isIn(tariff.Show(r.Limit, r.Unit), units) {
		return text
	}
	sign := " > "
	if !over {
		sign = " < "
	}
	return text + " (" + got + sign + limit + ")"
}

// isIn reports whether words for a measure are in a system of units.
func isIn(words string, units measure.System) bool {
	metric := strings.HasSuffix(words, "mm") || strings.HasSuffix(words, " g") || strings.HasSuffix(words, "kg")
	return metric == (units == measure.Metric)
}
