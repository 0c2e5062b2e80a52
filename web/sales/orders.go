// Package sales is the book of sales in a browser: orders, one order with its plan, and the search over all
// of it. Each exported method of Book answers one route of package web.
package sales

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"solander/book"
	"solander/fault"
	"solander/house"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Book is the handlers of this room.
type Book struct {
	*page.Kit
}

// OrdersPage is a list of orders.
type OrdersPage struct {
	page.Frame
	Stages  []stageTab
	Filter  *form.Form
	Rows    []page.OrderRow
	None    bool   // the book is empty
	More    string // address of the next page; "" = no more
	Showing string
	Wants   string // the edition whose sheets they have or wait for; "" = any
	Drawer  string // address of that
}

// stageTab is one stage to look at, with how many open orders stand there.
type stageTab struct {
	To, Word string
	Count    int
	Here     bool
}

func (f *Book) Orders(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "orders", "Orders")
	if err != nil {
		return err
	}
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	query := studio.OrderQuery{Limit: 50}
	p := &OrdersPage{Frame: fr, Filter: filterForm(outlets, &query)}
	q := r.URL.Query()
	wrong := p.Filter.Take(q)
	if b := q.Get("before"); b != "" {
		if query.Before, err = strconv.ParseInt(b, 10, 64); err != nil {
			return fault.Invalidf("before", "%.20q is not a place in the list", b).ToMend("start from the first page")
		}
	}
	if wrong != nil {
		return wrong
	}
	stage := order.Stage(q.Get("stage"))
	if stage != "" && stage.Words() == "" {
		return fault.Invalidf("stage", "%.20q is not a stage of an order", string(stage)).ToMend("choose one above the list")
	}
	wants, err := p.wants(r, f.Kit)
	if err != nil {
		return err
	}
	found, err := book.OrdersWanting(r.Context(), f.Seen(r), query, stage, wants)
	if err != nil {
		return err
	}
	p.Rows = page.RowsOf(found.Rows, fr.Today)
	for i, n := range found.Sheets {
		p.Rows[i].Lies = page.Many(n, "sheet") + " " + sheetWords[wants.Waiting]
	}
	p.None = len(p.Rows) == 0 && r.URL.RawQuery == ""
	p.Stages = stageTabs(found.Open, stage, query.State, wants.Edition != 0)
	if found.Next != 0 {
		q.Set("before", strconv.FormatInt(found.Next, 10))
		p.More = "/orders?" + q.Encode()
	}
	p.Showing = page.Many(len(p.Rows), "order")
	return f.Show(w, r, http.StatusOK, "orders", p)
}

// sheetWords say whether the sheets that are meant lie in the drawer or are waited for.
var sheetWords = map[bool]string{false: "claimed", true: "waited for"}

// wants reads ?claims= or ?waits=, an edition: the orders that have sheets of it, or wait for some. The filter keeps it.
func (p *OrdersPage) wants(r *http.Request, k *page.Kit) (w book.Wants, err error) {
	name, id := "claims", r.URL.Query().Get("claims")
	if w.Waiting = id == "" && r.URL.Query().Has("waits"); w.Waiting {
		name, id = "waits", r.URL.Query().Get("waits")
	}
	if id == "" {
		return book.Wants{}, nil
	}
	if w.Edition, err = strconv.ParseInt(id, 10, 64); err != nil {
		return w, fault.Invalidf(name, "%.20q is no edition", id).ToMend("follow a number of the drawer")
	}
	e, err := register.DeclaredEdition(r.Context(), k.Seen(r), w.Edition)
	if err != nil {
		return w, err
	}
	p.Filter.Ask(name, "").As("hidden").Is(id)
	p.Wants, p.Drawer = "Sheets of "+e.Name(p.Units)+", "+sheetWords[w.Waiting], fmt.Sprintf("/drawer/%d", w.Edition)
	return w, nil
}

func stageTabs(open map[order.Stage]int, here order.Stage, state order.State, narrowed bool) []stageTab {
	all := 0
	for _, n := range open {
		all += n
	}
	tabs := []stageTab{{To: "/orders?state=open", Word: "all open", Count: all, Here: here == "" && state == order.Open && !narrowed}}
	for _, s := range order.Stages() {
		if s != order.Done {
			tabs = append(tabs, stageTab{To: "/orders?" + url.Values{"stage": {string(s)}}.Encode(), Word: s.Words(), Count: open[s], Here: s == here})
		}
	}
	return append(tabs, stageTab{To: "/orders", Word: "whole book", Count: -1, Here: here == "" && state == "" && !narrowed})
}

func filterForm(outlets []order.Outlet, q *studio.OrderQuery) *form.Form {
	fm := form.New("filter", "/orders")
	fm.Text("text", "Buyer, city, title or number", &q.Text)
	choices := []form.Choice{form.Pick("", "every outlet")}
	for _, u := range outlets {
		choices = append(choices, form.PickID(u.ID, u.Name))
	}
	fm.ID("outlet", "Outlet", &q.Outlet, choices...)
	form.Select(fm, "state", "State", &q.State, form.Pick("", "every state"), form.Pick("open", "open"), form.Pick("closed", "closed"), form.Pick("cancelled", "cancelled"), form.Pick("returned", "returned"))
	fm.Ask("stage", "").As("hidden")
	return fm
}
