package web

import (
	"fmt"
	"net/http"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/papers"
	"solander/studio"
	"solander/tariff"
)

// planView is a plan as the page shows it.
type planView struct {
	Total    money.Amount
	Proof    string // what is known about it
	Held     string // why the order cannot go; "" = it can
	Parcels  []plannedView
	Rejected []rejectedView
	Cautions []string
	Shared   []string // what other orders of the day have to do with it
}

// plannedView is one parcel of a plan.
type plannedView struct {
	Head     string
	Facts    []papers.Fact
	Steps    []papers.Step
	Cuts     []papers.Cut
	Cautions []string
	Lines    []costLine
	Cost     money.Amount
	Arrives  string
	Drawings []*drawing
}

// costLine is one item of what a parcel costs.
type costLine struct {
	Text   string
	Rule   string
	Amount money.Amount
	Source string
}

// rejectedView is an option that looks cheaper and breaks a rule.
type rejectedView struct {
	What  string
	Looks money.Amount
	Rule  string
	Text  string
}

func costLines(lines []tariff.Line, currency string) []costLine {
	var out []costLine
	for _, l := range lines {
		text := l.Text
		if l.Count > 1 {
			text = fmt.Sprintf("%d × %s", l.Count, text)
		}
		out = append(out, costLine{Text: text, Rule: l.Rule, Amount: money.Of(l.Amount, currency), Source: l.Source})
	}
	return out
}

// viewPlan turns the planner's answer into what the page shows.
func viewPlan(pv studio.PlanView, units measure.System) *planView {
	cur := pv.Plan.Currency
	v := &planView{Total: money.Of(pv.Plan.Total, cur), Shared: pv.Shared}
	switch pv.Plan.Status {
	case packing.Optimal:
		v.Proof = "Proven: nothing allowed costs less."
	case packing.NotProven:
		v.Proof = fmt.Sprintf("Not proven: no plan costs less than %s.", money.Of(pv.Plan.Bound, cur))
	}
	for _, o := range pv.Plan.Orders {
		if o.Reason != nil {
			v.Held = pv.Problem.Told(*o.Reason)
		}
	}
	for _, w := range pv.Plan.Warnings {
		v.Cautions = append(v.Cautions, w.Text)
	}
	in := wrapIn(pv)
	for i, pc := range pv.Plan.Parcels {
		in.Part, in.Parts = i+1, len(pv.Plan.Parcels)
		v.Parcels = append(v.Parcels, viewParcel(pc, in, pv.Problem, units, cur))
	}
	for _, rj := range pv.Plan.Rejected {
		v.Rejected = append(v.Rejected, viewRejected(rj, pv.Problem, cur))
	}
	return v
}

// wrapIn is what the pure room of papers needs to lay a parcel out, from the problem.
func wrapIn(pv studio.PlanView) papers.WrapIn {
	in := papers.WrapIn{Mark: pv.Order.Mark, Buyer: pv.Order.BuyerData.Name, Items: pv.Problem.Shelf, Prints: map[string]string{}}
	for _, o := range pv.Problem.Orders {
		in.Sheets = append(in.Sheets, o.Sheets...)
		for _, s := range o.Sheets {
			in.Prints[s.ID] = s.Note
		}
	}
	return in
}

func viewParcel(pc packing.Parcel, in papers.WrapIn, p packing.Problem, units measure.System, cur string) plannedView {
	for _, w := range p.Wraps {
		if w.ID == pc.Wrap {
			in.Wrap = w
		}
	}
	in.Service = serviceName(p.Cards, pc.Card, pc.Service)
	sheet := papers.Wrap(papers.Head{Units: units}, pc, in)
	v := plannedView{
		Facts: sheet.Facts, Steps: sheet.Steps, Cuts: sheet.Cuts, Cautions: sheet.Cautions,
		Lines: costLines(pc.Lines, cur), Cost: money.Of(pc.Cost, cur), Drawings: drawAll(sheet.Views),
	}
	for _, c := range sheet.Cuts {
		if d := draw(c.View); d != nil {
			v.Drawings = append(v.Drawings, d)
		}
	}
	v.Head = sheet.Wrap + ", " + in.Service
	if in.Parts > 1 {
		v.Head = fmt.Sprintf("Parcel %d of %d: %s", in.Part, in.Parts, v.Head)
	}
	switch {
	case !pc.Arrives.IsZero():
		v.Arrives = fmt.Sprintf("%s in the post, by %s at the latest", dayRange(pc.DaysMin, pc.DaysMax), pc.Arrives.Short())
	case pc.DaysMax > 0:
		v.Arrives = dayRange(pc.DaysMin, pc.DaysMax) + " in the post"
	}
	return v
}

func dayRange(from, to int) string {
	if from == to || from == 0 {
		return many(to, "day")
	}
	return fmt.Sprintf("%d to %d days", from, to)
}

func serviceName(cards []tariff.Card, card, service string) string {
	for _, c := range cards {
		for _, s := range c.Services {
			if c.ID == card && s.ID == service && s.Name != "" {
				return s.Name
			}
		}
	}
	return service
}

func viewRejected(rj packing.Rejected, p packing.Problem, cur string) rejectedView {
	names := make([]string, len(rj.Items))
	for i, id := range rj.Items {
		names[i] = id
		for _, it := range p.Shelf {
			if it.ID == id && it.Name != "" {
				names[i] = it.Name
			}
		}
	}
	what := strings.Join(names, ", ")
	if rj.Service != "" {
		what += ", by " + serviceName(p.Cards, rj.Card, rj.Service)
	}
	return rejectedView{What: what, Looks: money.Of(rj.Looks, cur), Rule: rj.Reason.Rule, Text: p.Told(rj.Reason)}
}

// whyNotPage answers a question about the plan: why not in this packaging, by that service?
type whyNotPage struct {
	frame
	Order   studio.OrderView
	Form    *form
	Asked   bool
	Verdict *verdictView
}

// verdictView is the answer.
type verdictView struct {
	May   bool
	Text  string
	Rule  string
	Lines []costLine
	Cost  money.Amount
}

func (f *face) whyNot(w http.ResponseWriter, r *http.Request) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "orders", "Why not another way for "+v.Mark)
	if err != nil {
		return err
	}
	p := &whyNotPage{frame: fr, Order: v}
	if p.Form, err = f.whyNotForm(r, v); err != nil {
		return err
	}
	q := r.URL.Query()
	p.Form.read(q)
	var fail *failure
	if q.Get("item") != "" || q.Get("service") != "" {
		p.Asked = true
		verdict, err := f.studio.WhyNot(r.Context(), v.ID, q.Get("item"), q.Get("service"))
		if err != nil {
			if ours(err) {
				return err
			}
			fail = &failure{form: p.Form.Name, typed: q, err: err}
			p.put(p.Form, fail)
		} else {
			p.Verdict = viewVerdict(verdict, v.Postage.Currency)
		}
	}
	return f.show(w, r, statusOf(fail), "whynot", p)
}

func viewVerdict(v studio.Verdict, cur string) *verdictView {
	out := &verdictView{May: v.Possible, Cost: money.Of(v.Total, cur)}
	if v.Reason != nil {
		out.Text, out.Rule = v.Reason.Text, v.Reason.Rule
	}
	for _, pc := range v.Parcels {
		out.Lines = append(out.Lines, costLines(pc.Lines, cur)...)
	}
	return out
}

// whyNotForm offers what is on the shelf and every service of the cards in use.
func (f *face) whyNotForm(r *http.Request, v studio.OrderView) (*form, error) {
	shelf, err := f.studio.Shelf(r.Context())
	if err != nil {
		return nil, err
	}
	items := []choice{{"", "any packaging"}}
	for _, it := range shelf {
		if !it.Retired {
			items = append(items, choice{it.Spec.ID, it.Spec.Name})
		}
	}
	services := []choice{{"", "any service"}}
	seen := map[string]bool{}
	pv, err := f.studio.Plan(r.Context(), v.ID, calendar.Day{})
	if err != nil && (fault.Is(err, fault.Internal) || v.State != order.Open) {
		return nil, err
	}
	for _, c := range pv.Problem.Cards {
		for _, s := range c.Services {
			if !seen[s.ID] {
				seen[s.ID] = true
				services = append(services, choice{s.ID, s.Name})
			}
		}
	}
	fm := newForm("whynot", fmt.Sprintf("/orders/%s/why-not", v.Mark))
	fm.ask("item", "In").of(items...).half()
	fm.ask("service", "By").of(services...).half()
	return fm, nil
}
