// Package stock is what is on hand in a browser: printed sheets, runs from the lab, packaging, boards to cut, and what
// one more piece would save. Each exported method of Drawer answers one route of package web.
package stock

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"solander/calendar"
	"solander/house"
	"solander/money"
	"solander/packing"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/suppose"
	"solander/web/form"
	"solander/web/page"
)

// Drawer is the handlers of this room.
type Drawer struct {
	*page.Kit
}

// DrawerPage is the drawer, the runs and the shelf.
type DrawerPage struct {
	page.Frame
	Drawer  []drawerLine
	Runs    []runLine
	Shelf   []shelfGroup
	AllRuns bool
	Parts   []page.Part // of the drawer
}

// mostDrawer is how many editions of the drawer stand on one page.
const mostDrawer = 100

// drawerLine is an edition in the drawer.
type drawerLine struct {
	studio.DrawerRow
	Name string
	Free int // sheets that no order claims and no number is written on
}

// free counts the sheets that no order claims and no number is written on.
func free(d studio.DrawerRow) int { return max(0, d.OnHand-d.Claimed-d.Loose) }

// The lists that its figures count, and where that of the free ones, which have no names, is made up.

func (l drawerLine) Moves() string    { return fmt.Sprintf("/drawer/%d#h-moves", l.ID) }
func (l drawerLine) Claims() string   { return fmt.Sprintf("/orders?claims=%d", l.ID) }
func (l drawerLine) Waits() string    { return fmt.Sprintf("/orders?waits=%d", l.ID) }
func (l drawerLine) Unspoken() string { return fmt.Sprintf("/drawer/%d#h-now", l.ID) }
func (l drawerLine) Ahead() string {
	return fmt.Sprintf("/editions/%d?show=%s#numbers", l.ID, page.ShowLoose)
}

// runLine is a run in a list.
type runLine struct {
	stockroom.RunView
	Name string
	Come string
}

// shelfGroup is one kind of packaging.
type shelfGroup struct {
	Head  string
	Items []shelfLine
}

// Low counts the items that run short.
func (g shelfGroup) Low() int {
	n := 0
	for _, it := range g.Items {
		if it.Low {
			n++
		}
	}
	return n
}

// Open reports whether something of the kind wants to be looked at.
func (g shelfGroup) Open() bool { return slices.ContainsFunc(g.Items, shelfLine.asked) }

// First are the items that an open group is looked at for; all of one that is folded.
func (g shelfGroup) First() []shelfLine {
	if !g.Open() {
		return g.Items
	}
	return slices.DeleteFunc(slices.Clone(g.Items), func(it shelfLine) bool { return !it.asked() })
}

// Rest are the others of it.
func (g shelfGroup) Rest() []shelfLine {
	if !g.Open() {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(g.Items), shelfLine.asked)
}

// asked reports an item that runs short, or of which one more is told to save something.
func (it shelfLine) asked() bool { return it.Low || it.OneMore != "" }

// shelfLine is one item of the shelf.
type shelfLine struct {
	studio.ShelfItem
	Size    string
	Cost    string
	Low     bool
	OneMore string // what one more would save today
	Level   level
}

// level is what is on hand as a bar of 60, against the line at which it is restocked; Line 0: never.
type level struct{ Full, Line int }

// levelOf draws the line in the middle, or where the bar leaves it when more is on hand than twice as much.
func levelOf(stock, reorder int) level {
	if reorder <= 0 {
		return level{}
	}
	whole := max(stock, 2*reorder)
	return level{Full: 60 * max(0, stock) / whole, Line: max(1, 60*reorder/whole)}
}

func (f *Drawer) Drawer(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "drawer", "Drawer & shelf")
	if err != nil {
		return err
	}
	if err := f.HangAll(r, &fr); err != nil {
		return err
	}
	set := page.Settings(r)
	p := &DrawerPage{Frame: fr, AllRuns: r.URL.Query().Get("runs") == "all"}
	rows, err := stockroom.Drawer(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	from, until, parts, err := page.PartOf(r.URL.Query().Get("from"), len(rows), mostDrawer, func(row int) string { return fmt.Sprintf("/drawer?from=%d#h-drawer", row) })
	if err != nil {
		return err
	}
	p.Parts = parts
	for _, d := range rows[from:until] {
		p.Drawer = append(p.Drawer, drawerLine{d, d.Name(fr.Units), free(d)})
	}
	runs, err := stockroom.Runs(r.Context(), f.Seen(r), !p.AllRuns)
	if err != nil {
		return err
	}
	for _, rv := range runs {
		p.Runs = append(p.Runs, runLine{rv, rv.Ed.Name(fr.Units), comeText(rv)})
	}
	items, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p.Shelf = shelfGroups(items, fr, set.Currency)
	ask, err := suppose.OneMoreLater(r.Context(), f.Seen(r), calendar.Day{})
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		f.tellSavings(r.Context(), p.Shelf, ask)
		return f.Show(w, r, http.StatusOK, "drawer", p)
	})
}

func comeText(rv stockroom.RunView) string {
	s := fmt.Sprintf("%d of %d in", rv.Good(), rv.Quantity)
	if n := rv.Rejected(); n > 0 {
		s += fmt.Sprintf(", %d rejected", n)
	}
	if rv.Closed {
		s += ", closed"
	}
	return s
}

var kindHeads = map[packing.Kind]string{packing.Sleeve: "Sleeves", packing.Tissue: "Tissue", packing.Board: "Boards", packing.Envelope: "Envelopes", packing.Tube: "Tubes", packing.Carton: "Cartons"}

func shelfGroups(items []studio.ShelfItem, fr page.Frame, cur string) []shelfGroup {
	var out []shelfGroup
	for _, k := range packing.Kinds() {
		g := shelfGroup{Head: kindHeads[k]}
		for _, it := range items {
			if it.Spec.Kind == k {
				low := !it.Retired && it.Stock <= it.ReorderAt
				g.Items = append(g.Items, shelfLine{it, page.ItemSize(it.Spec, fr.Units), money.Of(it.Spec.Cost, cur).String(), low, "", levelOf(it.Stock, it.ReorderAt)})
			}
		}
		if len(g.Items) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// counted is what was counted of a stock.
type counted struct {
	n      int
	reason string
}

// countForm sets a stock to what was counted.
func countForm(action string, in *counted) *form.Form {
	fm := form.New("count", action)
	fm.Whole("counted", "Counted now", &in.n).OrEmpty().Must()
	fm.Text("reason", "Reason", &in.reason).Must().WithHint("year’s end, a damp corner")
	return fm
}

// StockPage is one stock with its moves.
type StockPage struct {
	page.Frame
	Name  string
	Facts []fact
	Count *form.Form
	Stock *form.Form // restock; of a shelf item
	Edit  *form.Form // of a shelf item
	Moves []supply.Move
	Deeds []page.Link
}

// fact is a name and a value.
type fact struct{ Name, Text string }

func (f *Drawer) SheetsPage(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return err
	}
	rows, err := stockroom.Drawer(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	for _, d := range rows {
		if d.ID == id {
			return f.showDrawerOf(w, r, d, fail)
		}
	}
	return page.Missing("edition", id)
}

func (f *Drawer) showDrawerOf(w http.ResponseWriter, r *http.Request, d studio.DrawerRow, fail *page.Failure) error {
	fr, err := f.Frame(r, "drawer", "Drawer: "+d.Name(page.Units(r)))
	if err != nil {
		return err
	}
	p := &StockPage{Frame: fr, Name: d.Name(fr.Units)}
	p.Tell(fail)
	p.Facts = []fact{{"In the drawer", page.Many(d.OnHand, "sheet")}, {"Claimed by orders", strconv.Itoa(d.Claimed)}, {"Signed, of numbers nobody has", strconv.Itoa(d.Loose)}, {"Free: no order claims them, no number is on them", strconv.Itoa(free(d))}, {"Orders that wait for money or a sheet", strconv.Itoa(d.Waiting)}, {"On the way from a lab", strconv.Itoa(d.Outstanding)}}
	p.Count = p.Put(countForm(fmt.Sprintf("/drawer/%d/count", d.ID), new(counted)), fail)
	p.Deeds = []page.Link{page.LinkTo(fmt.Sprintf("/runs/new?edition=%d", d.ID), "Order sheets"), page.LinkTo(fmt.Sprintf("/editions/%d", d.ID), "The edition")}
	if p.Moves, err = stockroom.Moves(r.Context(), f.Seen(r), supply.Sheets, d.ID); err != nil {
		return err
	}
	return f.Show(w, r, page.StatusOf(fail), "stock", p)
}

func (f *Drawer) CountSheets(w http.ResponseWriter, r *http.Request) error {
	return f.count(w, r, "edition", "/drawer/%d", stockroom.CountSheets, f.SheetsPage)
}

// count takes what was counted of one stock: the thing named in the path, the use case, and the page to
// show again when it is wrong.
func (f *Drawer) count(w http.ResponseWriter, r *http.Request, named, at string, use func(context.Context, *studio.Studio, int64, int, string) error,
	again func(http.ResponseWriter, *http.Request, *page.Failure) error,
) error {
	id, err := page.PathID(r, named)
	if err != nil {
		return err
	}
	var in counted
	fm := countForm("", &in)
	err = fm.TakeAnd(r.PostForm, func() error { return use(r.Context(), f.Studio, id, in.n, in.reason) })
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return again(w, r, page.Failed(fm, r, err))
	}
	return f.DoneSaying(w, r, fmt.Sprintf(at, id), "counted")
}

// The runs of the labs.

func (f *Drawer) runForm(r *http.Request, in *supply.Run) (*form.Form, error) {
	set := page.Settings(r)
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	fm := form.New("run", "/runs")
	choices := []form.Choice{form.Pick("", "choose")}
	for _, wv := range works {
		for _, e := range wv.Editions {
			choices = append(choices, form.PickID(e.ID, e.Name(set.Units)))
		}
	}
	fm.ID("edition", "Edition", &in.Edition, choices...).Must().Half()
	fm.Text("lab", "Lab", &in.Lab).Must().Half()
	fm.Whole("quantity", "Sheets", &in.Quantity).OrEmpty().Must()
	fm.Amount("unit_cost", "Cost of one sheet", &in.UnitCost, set.Currency).OrEmpty()
	fm.Day("ordered", "Ordered on", &in.Ordered).Must()
	fm.Day("expected", "Expected on", &in.Expected).WithHint("empty: not said")
	fm.Area("note", "Note", &in.Note).Wide()
	return fm, nil
}

func (f *Drawer) NewRun(w http.ResponseWriter, r *http.Request) error {
	today, err := house.Today(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	q, run := r.URL.Query(), supply.Run{Ordered: today}
	if labs := page.Settings(r).Labs; len(labs) > 0 {
		run.Lab = labs[0]
	}
	var work int64
	if id, err := strconv.ParseInt(q.Get("edition"), 10, 64); err == nil {
		if e, err := register.DeclaredEdition(r.Context(), f.Seen(r), id); err == nil {
			run.UnitCost, work = e.PrintCost, e.Work
		}
	}
	fm, err := f.runForm(r, &run)
	if err != nil {
		return err
	}
	if len(fm.Find("edition").Options) == 1 { // "choose" alone
		return f.ShowForm(w, r, page.OneForm{
			Room: "drawer", Title: "Order sheets from a lab", Under: "A lab prints the sheets of an edition, and none is declared yet.",
			Back: page.LinkTo("/editions/new", "Declare the first one"),
		}, nil)
	}
	fm.Find("edition").Is(q.Get("edition"))
	fm.Find("quantity").Is(q.Get("quantity"))
	return f.ShowForm(w, r, page.OneForm{
		Room: "drawer", Title: "Order sheets from a lab",
		Button: "Order the run", Back: page.LinkTo("/drawer", "Drawer & shelf"), Form: fm, Work: work,
	}, nil)
}

func (f *Drawer) OrderRun(w http.ResponseWriter, r *http.Request) error {
	var run supply.Run
	fm, err := f.runForm(r, &run)
	if err != nil {
		return err
	}
	if err = fm.Take(r.PostForm); err == nil {
		run, err = stockroom.OrderRun(r.Context(), f.Studio, run)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.ShowForm(w, r, page.OneForm{
			Room: "drawer", Title: "Order sheets from a lab",
			Button: "Order the run", Back: page.LinkTo("/drawer", "Drawer & shelf"), Form: fm,
		}, page.Failed(fm, r, err))
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/runs/%d", run.ID), "run")
}

// RunPage is one run.
type RunPage struct {
	page.Frame
	Run     stockroom.RunView
	Name    string
	Come    string
	Left    int
	Receive *form.Form
	Close   *form.Form
}

// Bears says what a good sheet of a receipt costs, the rejected ones with it.
func (p *RunPage) Bears(x supply.Receipt) string {
	least, most := x.Bears(p.Run.UnitCost)
	switch {
	case x.Good == 0:
		return "–"
	case least != most:
		return least.Plain() + " or " + most.Plain()
	}
	return least.Plain()
}

func (f *Drawer) runOf(r *http.Request) (stockroom.RunView, error) {
	id, err := page.PathID(r, "run")
	if err != nil {
		return stockroom.RunView{}, err
	}
	runs, err := stockroom.Runs(r.Context(), f.Seen(r), false)
	if err != nil {
		return stockroom.RunView{}, err
	}
	for _, rv := range runs {
		if rv.ID == id {
			return rv, nil
		}
	}
	return stockroom.RunView{}, page.Missing("run", id)
}

func receiveForm(in *supply.Receipt) *form.Form {
	fm := form.New("receive", fmt.Sprintf("/runs/%d/receive", in.Run))
	fm.Whole("good", "Good sheets", &in.Good).Must()
	fm.Whole("rejected", "Rejected", &in.Rejected)
	fm.Day("day", "Day", &in.Day)
	fm.Text("note", "Note", &in.Note).Wide()
	return fm
}

func (f *Drawer) Run(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	rv, err := f.runOf(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "drawer", fmt.Sprintf("Run %d", rv.ID))
	if err != nil {
		return err
	}
	if err := f.Hang(r, &fr, rv.Ed.Work); err != nil {
		return err
	}
	p := &RunPage{Frame: fr, Run: rv, Name: rv.Ed.Name(fr.Units), Come: comeText(rv), Left: rv.Outstanding()}
	p.Tell(fail)
	if !rv.Closed && p.Left > 0 {
		p.Receive = p.Put(receiveForm(&supply.Receipt{Run: rv.ID, Good: rv.Outstanding(), Day: fr.Today}), fail)
		p.Close = form.New("close", fmt.Sprintf("/runs/%d/close", rv.ID))
	}
	return f.Show(w, r, page.StatusOf(fail), "run", p)
}

func (f *Drawer) Receive(w http.ResponseWriter, r *http.Request) error {
	rv, err := f.runOf(r)
	if err != nil {
		return err
	}
	in := supply.Receipt{Run: rv.ID}
	fm := receiveForm(&in)
	err = fm.TakeAnd(r.PostForm, func() error { return stockroom.Receive(r.Context(), f.Studio, in) })
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.Run)
	}
	return f.Done(w, r, fmt.Sprintf("/runs/%d", rv.ID))
}

func (f *Drawer) CloseRun(w http.ResponseWriter, r *http.Request) error {
	rv, err := f.runOf(r)
	if err != nil {
		return err
	}
	if err := stockroom.CloseRun(r.Context(), f.Studio, rv.ID); err != nil {
		return err
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/runs/%d", rv.ID), "run-closed")
}
