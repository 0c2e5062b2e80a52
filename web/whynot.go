package web

import (
	"net/http"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// whyNotPage answers a question about the plan: why not in this packaging, by that service?
type whyNotPage struct {
	frame
	Order   studio.OrderView
	Form    *form
	Verdict *verdictView
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

func (f *face) whyNot(w http.ResponseWriter, r *http.Request) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "orders", "Why not another way for "+v.Mark)
	if err != nil {
		return err
	}
	pv, err := f.studio.Plan(r.Context(), v.ID, calendar.Day{})
	if err != nil && (fault.Is(err, fault.Internal) || v.State != order.Open) {
		return err
	}
	p := &whyNotPage{frame: fr, Order: v, Form: whyNotForm(v, pv)}
	q := r.URL.Query()
	p.Form.read(q)
	var fail *failure
	if q.Get("item") != "" || q.Get("service") != "" {
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
	out := &verdictView{May: v.Possible, Text: upper(v.Text(cur)) + ".", Cost: money.Of(v.Total, cur)}
	if v.Reason != nil {
		out.Rule = v.Reason.Rule
	}
	for _, pc := range v.Parcels {
		out.Lines = append(out.Lines, costLines(pc.Lines, cur)...)
	}
	for i, f := range v.Each {
		e := eachView{N: i + 1, Text: upper(v.EachText(i, cur)) + "."}
		if f.Reason != nil {
			e.Rule = f.Reason.Rule
		}
		out.Each = append(out.Each, e)
	}
	return out
}

// whyNotForm offers what may be forced on the plan of an order: the studio's wraps, packaging and services.
func whyNotForm(v studio.OrderView, pv studio.PlanView) *form {
	wraps, packs, services := pv.Choices()
	items, by := []choice{{"", "any packaging"}}, []choice{{"", "any service"}}
	for _, c := range wraps {
		items = append(items, choice{c.Key, "wrapped: " + c.Name})
	}
	for _, c := range packs {
		items = append(items, choice{c.Key, c.Name})
	}
	for _, c := range services {
		by = append(by, choice{c.Key, c.Name})
	}
	fm := newForm("whynot", "/orders/"+v.Mark+"/why-not")
	fm.ask("item", "Why not in").of(items...).half()
	fm.ask("service", "by").of(by...).half()
	return fm
}
