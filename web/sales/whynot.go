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
	pv, err := planning.Plan(r.Context(), f.Studio, v.ID, calendar.Day{})
	if err != nil && (fault.Is(err, fault.Internal) || v.State != order.Open) {
		return err
	}
	p := &WhyNotPage{Frame: fr, Order: v, Form: whyNotForm(v, pv)}
	q := r.URL.Query()
	p.Form.Read(q)
	var fail *page.Failure
	if q.Get("item") != "" || q.Get("service") != "" {
		verdict, err := suppose.WhyNot(r.Context(), f.Studio, v.ID, q.Get("item"), q.Get("service"))
		if err != nil {
			if page.Ours(err) {
				return err
			}
			fail = &page.Failure{Form: p.Form.Name, Typed: q, Err: err}
			p.Put(p.Form, fail)
		} else {
			p.Answer = viewVerdict(verdict, v.Postage.Currency)
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "whynot", p)
}

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
func whyNotForm(v studio.OrderView, pv planning.PlanView) *form.Form {
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
	fm.Ask("item", "Why not in").Of(items...).Half()
	fm.Ask("service", "by").Of(by...).Half()
	return fm
}
