package web

import (
	"context"
	"fmt"
	"net/http"
	"strconv"

	"solander/calendar"
	"solander/fault"
	"solander/packing"
	"solander/studio"
	"solander/supply"
)

func missing(what string, id int64) error {
	return fault.New(fault.Missing, "there is no %s %d", what, id).ToMend("look it up in the list")
}

// drawerPage is the drawer, the runs and the shelf.
type drawerPage struct {
	frame
	Drawer  []drawerLine
	Runs    []runLine
	Shelf   []shelfGroup
	AllRuns bool
}

// drawerLine is an edition in the drawer.
type drawerLine struct {
	studio.DrawerRow
	Name string
	Free int // sheets that no order claims and no number is written on
}

// runLine is a run in a list.
type runLine struct {
	studio.RunView
	Name string
	Come string
}

// shelfGroup is one kind of packaging.
type shelfGroup struct {
	Head  string
	Items []shelfLine
}

// shelfLine is one item of the shelf.
type shelfLine struct {
	studio.ShelfItem
	Size    string
	Cost    string
	Low     bool
	OneMore string // what one more would save today
}

func (f *face) drawer(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.frame(r, "drawer", "Drawer & shelf")
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	p := &drawerPage{frame: fr, AllRuns: r.URL.Query().Get("runs") == "all"}
	rows, err := f.studio.Drawer(r.Context())
	if err != nil {
		return err
	}
	for _, d := range rows {
		p.Drawer = append(p.Drawer, drawerLine{d, d.Name(fr.Units), max(0, d.OnHand-d.Claimed-d.Loose)})
	}
	runs, err := f.studio.Runs(r.Context(), !p.AllRuns)
	if err != nil {
		return err
	}
	for _, rv := range runs {
		p.Runs = append(p.Runs, runLine{rv, rv.Ed.Name(fr.Units), comeText(rv)})
	}
	items, err := f.studio.Shelf(r.Context())
	if err != nil {
		return err
	}
	p.Shelf = shelfGroups(items, fr, set.Currency)
	f.tellSavings(r.Context(), p.Shelf)
	return f.show(w, r, http.StatusOK, "drawer", p)
}

func comeText(rv studio.RunView) string {
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

func shelfGroups(items []studio.ShelfItem, fr frame, cur string) []shelfGroup {
	var out []shelfGroup
	for _, k := range packing.Kinds() {
		g := shelfGroup{Head: kindHeads[k]}
		for _, it := range items {
			if it.Spec.Kind == k {
				low := !it.Retired && it.Stock <= it.ReorderAt
				g.Items = append(g.Items, shelfLine{it, itemSize(it.Spec, fr.Units), minor(it.Spec.Cost, cur).String(), low, ""})
			}
		}
		if len(g.Items) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// countForm sets a stock to what was counted.
func countForm(action string) *form {
	fm := newForm("count", action)
	fm.ask("counted", "Counted now").mode("numeric").must()
	fm.ask("reason", "Reason").must().hint("year’s end, a damp corner")
	return fm
}

func (f *face) sheetsPage(w http.ResponseWriter, r *http.Request) error {
	return f.showSheets(w, r, nil)
}

// stockPage is one stock with its moves.
type stockPage struct {
	frame
	Name  string
	Facts []fact
	Count *form
	Stock *form // restock; of a shelf item
	Edit  *form // of a shelf item
	Moves []supply.Move
	Deeds []link
}

// fact is a name and a value.
type fact struct{ Name, Text string }

func (f *face) showSheets(w http.ResponseWriter, r *http.Request, fail *failure) error {
	id, err := pathID(r, "edition")
	if err != nil {
		return err
	}
	rows, err := f.studio.Drawer(r.Context())
	if err != nil {
		return err
	}
	for _, d := range rows {
		if d.ID == id {
			return f.showDrawerOf(w, r, d, fail)
		}
	}
	return missing("edition", id)
}

func (f *face) showDrawerOf(w http.ResponseWriter, r *http.Request, d studio.DrawerRow, fail *failure) error {
	fr, err := f.frame(r, "drawer", "Drawer: "+d.Name(f.units(r)))
	if err != nil {
		return err
	}
	p := &stockPage{frame: fr, Name: d.Name(fr.Units)}
	p.tell(fail)
	p.Facts = []fact{{"In the drawer", many(d.OnHand, "sheet")}, {"Claimed by orders", strconv.Itoa(d.Claimed)}, {"Signed, of numbers nobody has", strconv.Itoa(d.Loose)}, {"Orders that wait for money or a sheet", strconv.Itoa(d.Waiting)}, {"On the way from a lab", strconv.Itoa(d.Outstanding)}}
	p.Count = p.put(countForm(fmt.Sprintf("/drawer/%d/count", d.ID)), fail)
	p.Deeds = []link{{fmt.Sprintf("/runs/new?edition=%d", d.ID), "Order sheets"}, {fmt.Sprintf("/editions/%d", d.ID), "The edition"}}
	if p.Moves, err = f.studio.Moves(r.Context(), supply.Sheets, d.ID); err != nil {
		return err
	}
	return f.show(w, r, statusOf(fail), "stock", p)
}

func (f *face) countSheets(w http.ResponseWriter, r *http.Request) error {
	return f.count(w, r, "edition", "/drawer/%d", f.studio.CountSheets, f.showSheets)
}

// count takes what was counted of one stock: the thing named in the path, the use case, and the page to
// show again when it is wrong.
func (f *face) count(w http.ResponseWriter, r *http.Request, named, page string, use func(context.Context, int64, int, string) error,
	again func(http.ResponseWriter, *http.Request, *failure) error,
) error {
	id, err := pathID(r, named)
	if err != nil {
		return err
	}
	fm := countForm("")
	fm.read(r.PostForm)
	rd := fm.reader()
	n, reason := rd.whole("counted"), rd.text("reason")
	if err = rd.Err(); err == nil {
		err = use(r.Context(), id, n, reason)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return again(w, r, failed(fm, r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf(page, id), "counted")
}

// The runs of the labs.

func (f *face) runForm(r *http.Request) (*form, studio.Settings, error) {
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return nil, set, err
	}
	works, err := f.studio.Works(r.Context())
	if err != nil {
		return nil, set, err
	}
	today, err := f.studio.Today(r.Context())
	if err != nil {
		return nil, set, err
	}
	fm := newForm("run", "/runs")
	choices := []choice{{"", "choose"}}
	for _, wv := range works {
		for _, e := range wv.Editions {
			choices = append(choices, choice{strconv.FormatInt(e.ID, 10), e.Name(set.Units)})
		}
	}
	fm.ask("edition", "Edition").of(choices...).must().half()
	lab := fm.ask("lab", "Lab").must().half()
	if len(set.Labs) > 0 {
		lab.is(set.Labs[0])
	}
	fm.ask("quantity", "Sheets").mode("numeric").must()
	fm.ask("unit_cost", "Cost of one sheet").mode("decimal")
	fm.ask("ordered", "Ordered on").day(today).must()
	fm.ask("expected", "Expected on").as("date").hint("empty: not said")
	fm.ask("note", "Note").as("area").wide()
	return fm, set, nil
}

func (f *face) newRun(w http.ResponseWriter, r *http.Request) error {
	fm, _, err := f.runForm(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	fm.find("edition").is(q.Get("edition"))
	fm.find("quantity").is(q.Get("quantity"))
	if id, err := strconv.ParseInt(q.Get("edition"), 10, 64); err == nil {
		if v, err := f.studio.Edition(r.Context(), id); err == nil {
			priced(fm.find("unit_cost"), v.PrintCost)
		}
	}
	return f.showForm(w, r, "drawer", "Order sheets from a lab", "", "Order the run", link{"/drawer", "Drawer & shelf"}, fm, nil)
}

func (f *face) orderRun(w http.ResponseWriter, r *http.Request) error {
	fm, set, err := f.runForm(r)
	if err != nil {
		return err
	}
	fm.read(r.PostForm)
	rd := fm.reader()
	run := supply.Run{
		Edition: rd.id("edition"), Lab: rd.text("lab"), Quantity: rd.whole("quantity"), UnitCost: rd.amount("unit_cost", set.Currency),
		Ordered: rd.day("ordered"), Expected: rd.day("expected"), Note: rd.text("note"),
	}
	if err = rd.Err(); err == nil {
		run, err = f.studio.OrderRun(r.Context(), run)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showForm(w, r, "drawer", "Order sheets from a lab", "", "Order the run", link{"/drawer", "Drawer & shelf"}, fm, failed(fm, r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/runs/%d", run.ID), "run")
}

// runPage is one run.
type runPage struct {
	frame
	Run     studio.RunView
	Name    string
	Come    string
	Left    int
	Receive *form
	Close   *form
}

func (f *face) runOf(r *http.Request) (studio.RunView, error) {
	id, err := pathID(r, "run")
	if err != nil {
		return studio.RunView{}, err
	}
	runs, err := f.studio.Runs(r.Context(), false)
	if err != nil {
		return studio.RunView{}, err
	}
	for _, rv := range runs {
		if rv.ID == id {
			return rv, nil
		}
	}
	return studio.RunView{}, missing("run", id)
}

func (f *face) run(w http.ResponseWriter, r *http.Request) error { return f.showRun(w, r, nil) }

func receiveForm(rv studio.RunView, today calendar.Day) *form {
	fm := newForm("receive", fmt.Sprintf("/runs/%d/receive", rv.ID))
	fm.ask("good", "Good sheets").whole(rv.Outstanding()).must()
	fm.ask("rejected", "Rejected").whole(0)
	fm.ask("day", "Day").day(today)
	fm.ask("note", "Note").wide()
	return fm
}

func (f *face) showRun(w http.ResponseWriter, r *http.Request, fail *failure) error {
	rv, err := f.runOf(r)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "drawer", fmt.Sprintf("Run %d", rv.ID))
	if err != nil {
		return err
	}
	p := &runPage{frame: fr, Run: rv, Name: rv.Ed.Name(fr.Units), Come: comeText(rv), Left: rv.Outstanding()}
	p.tell(fail)
	if !rv.Closed && p.Left > 0 {
		p.Receive = p.put(receiveForm(rv, fr.Today), fail)
		p.Close = newForm("close", fmt.Sprintf("/runs/%d/close", rv.ID))
	}
	return f.show(w, r, statusOf(fail), "run", p)
}

func (f *face) receive(w http.ResponseWriter, r *http.Request) error {
	rv, err := f.runOf(r)
	if err != nil {
		return err
	}
	fm := receiveForm(rv, calendar.Day{})
	fm.read(r.PostForm)
	rd := fm.reader()
	in := supply.Receipt{Run: rv.ID, Good: rd.whole("good"), Rejected: rd.whole("rejected"), Day: rd.day("day"), Note: rd.text("note")}
	if err = rd.Err(); err == nil {
		err = f.studio.Receive(r.Context(), in)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showRun(w, r, failed(fm, r, err))
	}
	return f.done(w, r, fmt.Sprintf("/runs/%d", rv.ID))
}

func (f *face) closeRun(w http.ResponseWriter, r *http.Request) error {
	rv, err := f.runOf(r)
	if err != nil {
		return err
	}
	if err := f.studio.CloseRun(r.Context(), rv.ID); err != nil {
		return err
	}
	return f.doneSaying(w, r, fmt.Sprintf("/runs/%d", rv.ID), "run-closed")
}
