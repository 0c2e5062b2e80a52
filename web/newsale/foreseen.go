package newsale

import (
	"context"
	"encoding/json"
	"net/http"
	"strings"

	"solander/book"
	"solander/buyers"
	"solander/dayplan"
	"solander/fault"
	"solander/web/form"
)

// foreseen is what a sale comes to before it is saved.
type foreseen struct {
	Prints  []foreseenPrint
	Due     string
	Agreed  string // how it would be owed in another currency; "" = in the book's
	Postage string // charged; "" = none
	Sending string // what it costs to send; "" = not known
	By      string
	Note    string // why nothing is known of it, or that it is not proven
	Promise string
	Margin  string // postage charged less than it costs: said
	Wrong   []string
}

// foreseenPrint is a print with the number and price that it would get now.
type foreseenPrint struct {
	Work                int64
	Label, Title, Price string
}

// foresee looks at a sale as it would be taken now; what keeps it from that is told instead. It asks the planner for a moment, no longer.
func (f *Sales) foresee(r *http.Request, p *SalePage, in book.Sale) {
	if len(in.Lines) == 0 {
		return
	}
	ctx, stop := context.WithTimeout(r.Context(), f.Patience.Moment)
	defer stop()
	v, err := book.Foresee(dayplan.WithSearch(r.Context(), ctx, nil), f.Studio, in)
	out := &foreseen{}
	p.Foreseen = out
	if err != nil {
		for _, e := range fault.All(err) {
			out.Wrong = append(out.Wrong, e.Error())
		}
		return
	}
	for i, l := range v.Order.Views {
		out.Prints = append(out.Prints, foreseenPrint{workOf(p.works, form.Text64(l.Edition)), l.Label, l.Ed.Title, v.Order.Lines[i].Price.String()})
	}
	out.Due, out.Promise = v.Order.Due.String(), v.Order.Promised.Long()
	if a := v.Agreed; a.Stands() {
		if out.Agreed = "agreed as " + a.Total.String(); a.Rate != "" {
			out.Agreed += ", by " + a.Rate
		}
	}
	if !v.Order.Postage.IsZero() {
		out.Postage = v.Order.Postage.String()
	}
	switch {
	case v.Held != "" && ctx.Err() != nil:
		out.Note = "No way was found in a moment; the order’s page goes on looking."
	case v.Held != "":
		out.Note = "It cannot be sent yet: " + v.Held
	case in.InPerson:
		out.Note = "Nothing: it is handed over in person."
	case v.Parcels == 0:
		out.Note = "Shown when the address is whole."
	default:
		out.Sending, out.By = v.Sending.String(), strings.Join(v.By, ", ")
		if v.Unproven() {
			out.Note = "The best way found in a moment; a cheaper one may exist."
		}
		if over, err := v.Sending.Sub(v.Order.Postage); err == nil && over.Sign() > 0 && !v.Order.Postage.IsZero() {
			out.Margin = over.String() + " more than the buyer is charged for it"
		}
	}
	if say := p.Pasted.differs(v.Order.Due); say != "" {
		out.Wrong = append(out.Wrong, say)
	}
}

// offeredBuyer is a buyer of the book who may be meant.
type offeredBuyer struct {
	ID    int64  `json:"id"`
	Name  string `json:"name"`
	About string `json:"about"`
}

func offers(all []buyers.Offered) []offeredBuyer {
	out := []offeredBuyer{}
	for _, b := range all {
		var about []string
		for _, s := range []string{b.Email, b.Place.Line1, b.Place.City} {
			if s != "" {
				about = append(about, s)
			}
		}
		out = append(out, offeredBuyer{b.ID, b.Name, strings.Join(about, ", ")})
	}
	return out
}

// OfferBuyers answers with the buyers whom a text may mean, for the script that offers them as she types.
func (f *Sales) OfferBuyers(w http.ResponseWriter, r *http.Request) error {
	all, err := buyers.Offer(r.Context(), f.Seen(r), strings.TrimSpace(r.URL.Query().Get("q")))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	return json.NewEncoder(w).Encode(offers(all))
}
