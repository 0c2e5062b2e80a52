package sales

import (
	"fmt"
	"strings"

	"solander/dayplan"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/papers"
	"solander/papers/wrap"
	"solander/planning"
	"solander/tariff"
	"solander/web/form"
	"solander/web/page"
)

// planView is a plan as the page shows it.
type planView struct {
	Total    money.Amount
	Proof    string   // what is known about it
	Held     string   // why the order cannot go; "" = it can
	Print    string   // that cannot go, if it is one
	Conflict []string // house rules that together hold it
	Parcels  []plannedView
	Rejected []dayplan.WhyOption // what looks cheaper, and is not allowed
	TooSmall []dayplan.WhyOption // what does not take it at all
	Cautions []string
	Unkept   string   // why the choice of another way is not kept
	Shared   []string // what other orders of the day have to do with it
	With     []string // marks of orders that go in the same parcels
	Own      money.Amount
}

// plannedView is one parcel of a plan.
type plannedView struct {
	Head     string
	Facts    []wrap.Fact
	Steps    []wrap.Step
	Cuts     []wrap.Cut
	Cautions []string
	Lines    []costLine
	Cost     money.Amount
	Arrives  string
	Spare    string // how far it is below the step that prices it
	Drawings []*page.Drawing
}

// Sum says what a parcel costs by its kinds: "2.05 packaging, 11.38 postage".
func (v plannedView) Sum() string {
	sums := map[string]int64{}
	for _, l := range v.Lines {
		sums[l.Kind] += l.Amount.Minor
	}
	var out []string
	for _, kind := range []string{"packaging", "work", "postage"} {
		if sums[kind] != 0 {
			out = append(out, money.Of(sums[kind], v.Cost.Currency).Plain()+" "+kind)
		}
	}
	return strings.Join(out, ", ")
}

// First is the drawing of the parcel seen from above; nil when nothing is drawn.
func (v plannedView) First() *page.Drawing {
	if len(v.Drawings) == 0 {
		return nil
	}
	return v.Drawings[0]
}

// Rest are its other drawings.
func (v plannedView) Rest() []*page.Drawing { return v.Drawings[min(1, len(v.Drawings)):] }

// costLine is one item of what a parcel costs.
type costLine struct {
	Text   string
	Rule   string
	Amount money.Amount
	Source string
	Kind   string // packaging, work or postage
}

func costLines(lines []tariff.Line, currency string) []costLine {
	var out []costLine
	for _, l := range lines {
		text := l.Text
		if l.Count > 1 {
			text = fmt.Sprintf("%d × %s", l.Count, text)
		}
		kind := l.Rule
		if l.OfCard() {
			kind = "postage"
		}
		out = append(out, costLine{Text: text, Rule: l.Rule, Amount: money.Of(l.Amount, currency), Source: l.Source, Kind: kind})
	}
	return out
}

// viewPlan turns the planner's answer into what the page shows.
func viewPlan(pv planning.PlanView, units measure.System) *planView {
	cur := pv.Plan.Currency
	why := pv.Why()
	v := &planView{Total: why.Total, Proof: form.Upper(why.Proof) + ".", Cautions: why.Cautions, With: pv.With(), Own: pv.Own()}
	v.Unkept = pv.Unkept
	for _, text := range why.Shared {
		v.Shared = append(v.Shared, form.Upper(text)+".")
	}
	for _, o := range why.Orders {
		v.Held, v.Print, v.Conflict = o.Held, o.Print, o.Conflict
		for _, p := range o.Parcels {
			if p.First(o.Order) {
				for _, x := range p.Rejected {
					if x.TooLarge() {
						v.TooSmall = append(v.TooSmall, x)
					} else {
						v.Rejected = append(v.Rejected, x)
					}
				}
			}
		}
	}
	in := wrapIn(pv)
	for i, pc := range pv.Plan.Parcels {
		in.Part, in.Parts = i+1, len(pv.Plan.Parcels)
		v.Parcels = append(v.Parcels, viewParcel(pc, in, pv.Problem, units, cur))
	}
	return v
}

// wrapIn is what the pure room of papers needs to lay a parcel out, from the problem.
func wrapIn(pv planning.PlanView) wrap.In {
	in := wrap.In{Mark: pv.Order.Mark, Buyer: pv.Order.BuyerData.Name, Items: pv.Problem.Shelf, Prints: map[string]string{}}
	for _, o := range pv.Problem.Orders {
		in.Sheets = append(in.Sheets, o.Sheets...)
		for _, s := range o.Sheets {
			in.Prints[s.ID] = s.Note
		}
	}
	return in
}

func viewParcel(pc packing.Parcel, in wrap.In, p packing.Problem, units measure.System, cur string) plannedView {
	for _, w := range p.Wraps {
		if w.ID == pc.Wrap {
			in.Wrap = w
		}
	}
	in.Service = serviceName(p.Cards, pc.Card, pc.Service)
	sheet := wrap.Of(papers.Head{Units: units}, pc, in)
	v := plannedView{
		Facts: sheet.Facts, Steps: sheet.Steps, Cuts: sheet.Cuts, Cautions: sheet.Cautions,
		Lines: costLines(pc.Lines, cur), Cost: money.Of(pc.Cost, cur), Drawings: page.DrawAll(sheet.Views),
	}
	for _, c := range sheet.Cuts {
		if d := page.Draw(c.View); d != nil {
			v.Drawings = append(v.Drawings, d)
		}
	}
	v.Head = sheet.Wrap + ", " + in.Service
	if in.Parts > 1 {
		v.Head = fmt.Sprintf("Parcel %d of %d: %s", in.Part, in.Parts, v.Head)
	}
	if step, below, ok := pc.Spare(p.Cards); ok {
		v.Spare = fmt.Sprintf("%s below the step of %s, %s", below.Below(units), step.In(units), p.Margin.Words(units))
	}
	if pc.DaysMin != nil && pc.DaysMax != nil {
		v.Arrives = fmt.Sprintf("%s in the post, by %s at the latest", dayRange(*pc.DaysMin, *pc.DaysMax), pc.Arrives.Short())
	}
	return v
}

func dayRange(from, to int) string {
	if from == to || from == 0 {
		return page.Many(to, "day")
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
