package sales

import (
	"net/http"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/planning"
	"solander/studio"
	"solander/suppose"
	"solander/web/form"
	"solander/web/page"
)

// WhyNotPage answers a question about the plan: why not in this packaging, by that service?
type WhyNotPage struct {
	page.Frame
	Order  studio.OrderView
	Form   *form.Form
	Answer *verdictView
}

// verdictView is the answer.
type verdictView struct {
	May   bool
	Text  string
	Rule  string
	Lines []costLine
	Cost  money.Amount
	Each  []eachView
}

// eachView is the answer for one planned parcel.
type eachView struct {
	N    int
	Text string
	Rule string
}

func (f *Book) WhyNot(w http.ResponseWriter, r *http.Request) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", "Why not another way for "+v.Mark)
	if err != nil {
		return err
	}
	plan, unread := planning.PlanLater(r.Context(), f.Seen(r), v.ID, calendar.Day{})
	return page.After(w, r, func(w http.ResponseWriter) error {
		pv, err := studio.Now(r.Context(), plan, unread)
		if err != nil && (fault.Is(err, fault.Internal) || v.State != order.Open) {
			return err
		}
		return f.showWhyNot(w, r, &WhyNotPage{Frame: fr, Order: v}, pv, err)
	})
}

// showWhyNot asks, and answers when something was asked; unplanned is why the order has no plan.
func (f *Book) showWhyNot(w http.ResponseWriter, r *http.Request, p *WhyNotPage, pv planning.PlanView, unplanned error) error {
	var asked whyNotAsked
	p.Form = whyNotForm(p.Order, pv, &asked)
	q := r.URL.Query()
	err := p.Form.Take(q)
	if err == nil && q.Has("item") && asked == (whyNotAsked{}) {
		err = fault.Invalidf("item", "nothing is chosen").ToMend("choose packaging, a service, or both")
	}
	if asked != (whyNotAsked{}) && err == nil {
		var verdict suppose.Verdict
		if err = unplanned; err == nil {
			verdict, err = suppose.WhyNotPlanned(r.Context(), f.Studio, pv, asked.item, asked.service)
		}
		if err == nil {
			p.Answer = viewVerdict(verdict, p.Order.Postage.Currency)
		}
	}
	var fail *page.Failure
	if err != nil {
		if page.Ours(err) {
			return err
		}
		fail = &page.Failure{Form: p.Form.Name, Typed: q, Err: err}
		p.Put(p.Form, fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "whynot", p)
}

// whyNotAsked is what is to be forced on a plan; "" is left open.
type whyNotAsked struct{ item, service string }

func viewVerdict(v suppose.Verdict, cur string) *verdictView {
	out := &verdictView{May: v.Possible, Text: form.Upper(v.Text(cur)) + ".", Cost: money.Of(v.Total, cur)}
	if v.Reason != nil {
		out.Rule = v.Reason.Rule
	}
	for _, pc := range v.Parcels {
		out.Lines = append(out.Lines, costLines(pc.Lines, cur)...)
	}
	for i, f := range v.Each {
		e := eachView{N: i + 1, Text: form.Upper(v.EachText(i, cur)) + "."}
		if f.Reason != nil {
			e.Rule = f.Reason.Rule
		}
		out.Each = append(out.Each, e)
	}
	return out
}

// whyNotForm offers what may be forced on the plan of an order: the studio's wraps, packaging and services.
func whyNotForm(v studio.OrderView, pv planning.PlanView, in *whyNotAsked) *form.Form {
	wraps, packs, services := suppose.Choices(pv)
	items, by := []form.Choice{form.Pick("", "any packaging")}, []form.Choice{form.Pick("", "any service")}
	for _, c := range wraps {
		items = append(items, form.Pick(c.Key, "wrapped: "+c.Name))
	}
	for _, c := range packs {
		items = append(items, form.Pick(c.Key, c.Name))
	}
	for _, c := range services {
		by = append(by, form.Pick(c.Key, c.Name))
	}
	fm := form.New("whynot", "/orders/"+v.Mark+"/why-not")
	fm.Text("item", "Why not in", &in.item).Of(items...).Half()
	fm.Text("service", "by", &in.service).Of(by...).Half()
	return fm
}
