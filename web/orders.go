package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// ordersPage is a list of orders.
type ordersPage struct {
	frame
	Stages  []stageTab
	Filter  *form
	Rows    []orderRow
	More    string // address of the next page; "" = no more
	Showing string
}

// stageTab is one stage to look at, with how many open orders stand there.
type stageTab struct {
	To, Word string
	Count    int
	Here     bool
}

// orderRow is one order in a list.
type orderRow struct {
	studio.OrderRow
	Word string
	By   string // the promise; with its year when that is not plain
}

func rowsOf(rows []studio.OrderRow, today calendar.Day) []orderRow {
	var out []orderRow
	for _, r := range rows {
		word := stageWords[r.Stage]
		if r.Stage == order.Done {
			word = string(r.State)
		}
		out = append(out, orderRow{r, word, near(r.Promised, today)})
	}
	return out
}

// near prints a day as it is read beside today: without its year within half a year, else with it.
func near(d, today calendar.Day) string {
	if away := d.Sub(today); away < -182 || away > 182 {
		return d.Long()
	}
	return d.Short()
}

func (f *face) orders(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.frame(r, "orders", "Orders")
	if err != nil {
		return err
	}
	outlets, err := f.studio.Outlets(r.Context())
	if err != nil {
		return err
	}
	p := &ordersPage{frame: fr, Filter: filterForm(outlets)}
	q := r.URL.Query()
	p.Filter.read(q)
	rd := p.Filter.reader()
	query := studio.OrderQuery{State: order.State(rd.text("state")), Outlet: rd.id("outlet"), Text: rd.text("text"), Limit: 50}
	if b := q.Get("before"); b != "" {
		if query.Before, err = strconv.ParseInt(b, 10, 64); err != nil {
			return fault.Invalidf("before", "%.20q is not a place in the list", b).ToMend("start from the first page")
		}
	}
	if err := rd.Err(); err != nil {
		return err
	}
	stage := order.Stage(q.Get("stage"))
	if stage != "" && stageWords[stage] == "" {
		return fault.Invalidf("stage", "%.20q is not a stage of an order", string(stage)).ToMend("choose one above the list")
	}
	page, err := f.studio.Orders(r.Context(), query, stage)
	if err != nil {
		return err
	}
	p.Rows = rowsOf(page.Rows, fr.Today)
	p.Stages = stageTabs(page.Open, stage, query.State)
	if page.Next != 0 {
		q.Set("before", strconv.FormatInt(page.Next, 10))
		p.More = "/orders?" + q.Encode()
	}
	p.Showing = many(len(p.Rows), "order")
	return f.show(w, r, http.StatusOK, "orders", p)
}

func stageTabs(open map[order.Stage]int, here order.Stage, state order.State) []stageTab {
	all := 0
	for _, n := range open {
		all += n
	}
	tabs := []stageTab{{To: "/orders?state=open", Word: "all open", Count: all, Here: here == "" && state == order.Open}}
	for _, s := range order.Stages() {
		if s != order.Done {
			tabs = append(tabs, stageTab{To: "/orders?" + url.Values{"stage": {string(s)}}.Encode(), Word: stageWords[s], Count: open[s], Here: s == here})
		}
	}
	return append(tabs, stageTab{To: "/orders", Word: "whole book", Count: -1, Here: here == "" && state == ""})
}

func filterForm(outlets []order.Outlet) *form {
	fm := newForm("filter", "/orders")
	fm.ask("text", "Buyer, city, title or number")
	choices := []choice{{"", "every outlet"}}
	for _, u := range outlets {
		choices = append(choices, choice{strconv.FormatInt(u.ID, 10), u.Name})
	}
	fm.ask("outlet", "Outlet").of(choices...)
	fm.ask("state", "State").of(choice{"", "every state"}, choice{"open", "open"}, choice{"closed", "closed"}, choice{"cancelled", "cancelled"}, choice{"returned", "returned"})
	fm.ask("stage", "").as("hidden")
	return fm
}

// searchPage is what was found anywhere.
type searchPage struct {
	frame
	Found   studio.Found
	Numbers []foundNumber
	Orders  []orderRow
	Nothing bool
}

// foundNumber answers "who has 17/250 of heron".
type foundNumber struct {
	studio.NumberView
	State string
	Link  string
	Name  string
}

// Here reports whether there is a print of the number, in the studio.
func (n foundNumber) Here() bool {
	switch n.Row.Standing.State {
	case edition.Signed, edition.Returned, edition.Kept:
		return true
	default:
		return false
	}
}

func (f *face) search(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.frame(r, "", "Search")
	if err != nil {
		return err
	}
	p := &searchPage{frame: fr}
	p.Looked = r.URL.Query().Get("q")
	if p.Looked != "" {
		if p.Found, err = f.studio.Find(r.Context(), p.Looked); err != nil {
			return err
		}
	}
	p.Orders = rowsOf(p.Found.Orders, fr.Today)
	for _, n := range p.Found.Numbers {
		p.Numbers = append(p.Numbers, foundNumber{n, stateWords[n.Row.Standing.State], fmt.Sprintf("/editions/%d/numbers/%s", n.Edition.ID, numberPath(n.Row.Number)), n.Edition.Name(fr.Units)})
	}
	p.Nothing = p.Found.None()
	if len(p.Orders) == 1 && len(p.Numbers)+len(p.Found.Works) == 0 && p.Orders[0].Mark == p.Looked {
		http.Redirect(w, r, "/orders/"+url.PathEscape(p.Orders[0].Mark), http.StatusSeeOther)
		return nil
	}
	return f.show(w, r, http.StatusOK, "search", p)
}
