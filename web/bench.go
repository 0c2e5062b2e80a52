package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"solander/bench"
	"solander/calendar"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// benchPage is what to do on a day.
type benchPage struct {
	frame
	Day    calendar.Day
	List   bench.List
	Groups []taskGroup
	Empty  bool
	Marks  []markLine
	Aside  []studio.Arrival // files of watched folders that wait for her

	Cautions []string // of the plans and parcels of the day, each once
}

// taskGroup is one kind of work with its tasks.
type taskGroup struct {
	Group  bench.Group
	Head   string
	Note   string
	Batch  string // word on the button for the ticked ones; "" = each task has its own
	Action string
	Tasks  []taskView
}

// taskView is one task as the page shows it.
type taskView struct {
	Key       string
	Mark      string
	What      string
	Link      string
	Buyer     string
	Outlet    string
	Why       string
	Lines     []string
	Doubts    []string // about the address
	Cautious  bool     // a caution of the page is about it
	Below     bool     // its form needs a line of its own
	Blocked   string
	Timing    string
	Late      int
	Pick      string // name of the check box; "" = none
	PickValue int64
	Picked    bool
	Form      *form
	Button    string
	Links     []link
}

// link is a link that looks like a button.
type link struct{ To, Text string }

// heads are the heads of the groups and what is said beneath.
var heads = map[bench.Group][2]string{
	bench.ChaseMoney:  {"Chase money", "Ask, then note what came in."},
	bench.AskAddress:  {"Ask for addresses", "Nothing of these is packed before the address is written."},
	bench.OrderSheets: {"Order sheets", "From the lab, and who waits."},
	bench.SignPrints:  {"Sign", "Number, title, size: check each against the sheet."},
	bench.PackOrders:  {"Pack", "Layers from the inside out."},
	bench.LabelParcel: {"Label", "Note the service used and the postage paid."},
	bench.HandOver:    {"Hand over", "To the carrier as one batch, or to the buyer in person."},
	bench.Restock:     {"Restock", "The shelf runs short."},
}

func (f *face) bench(w http.ResponseWriter, r *http.Request) error {
	day, err := queryDay(r)
	if err != nil {
		return err
	}
	list := func(ctx context.Context) (bench.List, error) { return f.studio.Bench(ctx, day) }
	return planned(f, w, r, "Bench", "bench", list, func(w http.ResponseWriter, r *http.Request, list bench.List) error {
		return f.benchOf(w, r, list, nil)
	})
}

func (f *face) showBench(w http.ResponseWriter, r *http.Request, fail *failure) error {
	day, err := queryDay(r)
	if err != nil {
		return err
	}
	list, err := f.studio.Bench(r.Context(), day)
	if err != nil {
		return err
	}
	return f.benchOf(w, r, list, fail)
}

// benchOf shows the list of a day.
func (f *face) benchOf(w http.ResponseWriter, r *http.Request, list bench.List, fail *failure) error {
	fr, err := f.frame(r, "bench", "Bench")
	if err != nil {
		return err
	}
	p := &benchPage{frame: fr, Day: list.Day, List: list}
	p.tell(fail)
	marks, err := f.studio.RecentMarks(r.Context())
	if err != nil {
		return err
	}
	p.Marks = markLines(marks, 8, "/")
	p.arrange(fail)
	waiting, err := f.studio.Arrivals(r.Context())
	if err != nil {
		return err
	}
	for _, a := range waiting {
		if a.Source == studio.FromFolder {
			p.Aside, p.Empty = append(p.Aside, a), false
		}
	}
	return f.show(w, r, statusOf(fail), "bench", p)
}

// queryDay reads ?day=; no day means today.
func queryDay(r *http.Request) (calendar.Day, error) {
	text := r.URL.Query().Get("day")
	if text == "" {
		return calendar.Day{}, nil
	}
	return calendar.ParseDay(text)
}

// arrange puts the tasks into groups with their forms.
func (p *benchPage) arrange(fail *failure) {
	p.Empty = true
	for _, g := range bench.Groups() {
		tg := taskGroup{Group: g, Head: heads[g][0], Note: heads[g][1]}
		switch g {
		case bench.SignPrints:
			tg.Batch, tg.Action = "Mark the ticked ones signed", "/sign"
		case bench.HandOver:
			tg.Batch, tg.Action = "Hand over the ticked ones", "/hand-over"
		}
		for i, t := range p.List.Groups[g] {
			v := p.view(g, i, t)
			if v.Form != nil {
				p.put(v.Form, fail)
			}
			tg.Tasks = append(tg.Tasks, v)
			p.Cautions = append(p.Cautions, t.Warnings...)
			p.Empty = false
		}
		if g == bench.HandOver && !anyPick(tg.Tasks) {
			tg.Batch = ""
		}
		p.Groups = append(p.Groups, tg)
	}
	slices.Sort(p.Cautions)
	p.Cautions = slices.Compact(p.Cautions)
}

func anyPick(tasks []taskView) bool {
	for _, t := range tasks {
		if t.Pick != "" {
			return true
		}
	}
	return false
}

func (p *benchPage) view(g bench.Group, i int, t bench.Task) taskView {
	v := taskView{
		Key: fmt.Sprintf("%s-%d", g, i), Mark: t.Mark, What: t.What, Buyer: t.Buyer, Outlet: t.Outlet, Why: t.Why,
		Lines: t.Detail, Doubts: t.Doubts, Cautious: len(t.Warnings) > 0, Blocked: t.Blocked, Timing: t.Timing, Late: t.Late,
	}
	switch g {
	case bench.ChaseMoney:
		v.Form, v.Button = moneyForm(t.Order, t.Owed), moneyWord(t.Owed)
	case bench.AskAddress:
		v.Links = []link{{"/orders/" + t.Mark + "#h-to", "Write the address"}}
	case bench.OrderSheets:
		v.Link = fmt.Sprintf("/editions/%d", t.Edition)
		if t.Run != 0 {
			v.Links = []link{{fmt.Sprintf("/runs/%d", t.Run), "Receive"}}
		} else {
			v.Links = []link{{fmt.Sprintf("/runs/new?edition=%d&quantity=%d", t.Edition, t.Quantity), "Order " + many(t.Quantity, "sheet")}}
		}
	case bench.SignPrints:
		if len(t.Lines) == 1 {
			v.Pick, v.PickValue = "lines", t.Lines[0]
		}
	case bench.PackOrders:
		v.Links = []link{{"/orders/" + t.Mark + "#plan", "Plan"}, {fmt.Sprintf("/papers/wrap/%d.pdf", t.Order), "Wrap sheet"}}
		if t.Blocked == "" {
			v.Form, v.Button = packForm(t.Order, nil), "Packed"
		}
	case bench.LabelParcel:
		v.Form, v.Button, v.Below = labelForm(t.Parcel, t.Service, money.Amount{}), "Labelled", true
		v.Links = []link{{fmt.Sprintf("/papers/label/%d.pdf", t.Parcel), "Address label"}}
	case bench.HandOver:
		if t.Parcel != 0 && t.Blocked == "" {
			v.Pick, v.PickValue, v.Picked = "parcels", t.Parcel, true
		}
		if t.Parcel == 0 && t.Blocked == "" {
			v.Links = []link{{"/orders/" + t.Mark + "#h-to", "Hand over in person"}}
		}
	case bench.Restock:
		v.Link = fmt.Sprintf("/shelf/%d", t.Item)
		v.Form, v.Button = restockForm(t.Item, t.Quantity), "Restocked"
	}
	if v.Form != nil {
		v.Form.back("bench")
	}
	return v
}

// Idle reports a task that has nothing to press.
func (v taskView) Idle() bool { return !v.Form.Has() && len(v.Links) == 0 }

func moneyWord(owed money.Amount) string {
	if owed.Sign() < 0 {
		return "Mark refunded"
	}
	return "Mark paid"
}

// back adds where to return to.
func (fm *form) back(to string) *form {
	fm.ask("back", "").as("hidden").is(to)
	return fm
}

// moneyForm notes a payment, or a refund when the studio owes one.
func moneyForm(id int64, owed money.Amount) *form {
	fm := newForm("pay-"+strconv.FormatInt(id, 10), fmt.Sprintf("/orders/%d/pay", id))
	kind := order.Balance
	if owed.Sign() < 0 {
		kind, owed = order.Refund, owed.Neg()
	}
	fm.ask("kind", "").as("hidden").is(string(kind))
	fm.ask("amount", "Amount").money(owed).must()
	return fm
}

func packForm(id int64, total *int64) *form {
	fm := newForm("pack-"+strconv.FormatInt(id, 10), fmt.Sprintf("/orders/%d/pack", id))
	v := ""
	if total != nil {
		v = strconv.FormatInt(*total, 10)
	}
	fm.ask("total", "").as("hidden").is(v)
	return fm
}

// labelForm notes the service used, the postage paid and the tracking number. The service stays empty when
// it is the planned one, which the form names.
func labelForm(parcel int64, planned string, estimated money.Amount) *form {
	fm := newForm("label-"+strconv.FormatInt(parcel, 10), fmt.Sprintf("/parcels/%d/label", parcel))
	fm.ask("service", "Another service").hint("empty: " + planned).Class = "service"
	paid := fm.ask("paid", "Postage paid").mode("decimal").must()
	if !estimated.IsZero() {
		paid.hint("by the card " + estimated.String())
	}
	fm.ask("tracking", "Tracking number").Class = "tracking"
	return fm
}

func restockForm(item int64, pieces int) *form {
	fm := newForm("restock-"+strconv.FormatInt(item, 10), fmt.Sprintf("/shelf/%d/restock", item))
	fm.ask("pieces", "Pieces").whole(pieces).must()
	fm.ask("unit_cost", "Cost of one").mode("decimal").hint("empty: as before")
	return fm
}

// again shows the page that a form was sent from, with the form as typed.
func (f *face) again(w http.ResponseWriter, r *http.Request, fail *failure, orderID int64) error {
	if ours(fail.err) {
		return fail.err
	}
	if r.PostForm.Get("back") == "bench" || orderID == 0 {
		return f.atBench(w, r, fail)
	}
	return f.atOrder(w, r, orderID, fail)
}

// backTo is where a form came from.
func (f *face) backTo(r *http.Request, orderID int64) string {
	if r.PostForm.Get("back") == "bench" || orderID == 0 {
		return "/"
	}
	return fmt.Sprintf("/orders/%d", orderID)
}

func (f *face) pay(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "order")
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	fm := payForm(id, money.Of(0, set.Currency), calendar.Day{})
	fm.read(r.PostForm)
	rd := fm.reader()
	in := studio.PaymentIn{Order: id, Kind: order.PaymentKind(rd.text("kind")), Amount: rd.amount("amount", set.Currency), Day: rd.day("day"), Note: rd.text("note")}
	if err = rd.Err(); err == nil {
		err = f.studio.Pay(r.Context(), in)
	}
	if err != nil {
		return f.again(w, r, failed(fm, r, err), id)
	}
	return f.done(w, r, f.backTo(r, id))
}

func (f *face) sign(w http.ResponseWriter, r *http.Request) error {
	lines, err := ids(r, "lines")
	if err == nil {
		err = f.studio.Sign(r.Context(), lines)
	}
	orderID, _ := strconv.ParseInt(r.PostForm.Get("order"), 10, 64)
	if err != nil {
		return f.again(w, r, failedIn("sign", r, err), orderID)
	}
	return f.done(w, r, f.backTo(r, orderID))
}

func (f *face) pack(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "order")
	if err != nil {
		return err
	}
	in := studio.PackIn{Order: id}
	fm := packForm(id, nil)
	if t := r.PostForm.Get("total"); t != "" {
		fm.read(r.PostForm)
		rd := fm.reader()
		total := rd.id("total")
		in.Total, err = &total, rd.Err()
	}
	if err == nil {
		_, err = f.studio.Pack(r.Context(), in)
	}
	if err != nil {
		return f.again(w, r, failed(fm, r, err), id)
	}
	return f.done(w, r, f.backTo(r, id))
}

func (f *face) label(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "parcel")
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	fm := labelForm(id, "", money.Amount{})
	fm.read(r.PostForm)
	rd := fm.reader()
	in := studio.LabelIn{Parcel: id, Service: rd.text("service"), Paid: rd.amount("paid", set.Currency), Tracking: strings.TrimSpace(rd.text("tracking"))}
	if err = rd.Err(); err == nil {
		err = f.studio.Label(r.Context(), in)
	}
	orderID, _ := strconv.ParseInt(r.PostForm.Get("order"), 10, 64)
	if err != nil {
		return f.again(w, r, failed(fm, r, err), orderID)
	}
	return f.done(w, r, f.backTo(r, orderID))
}

func (f *face) undo(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "mark")
	if err != nil {
		return err
	}
	if err := f.studio.Undo(r.Context(), id); err != nil {
		return err
	}
	return f.doneSaying(w, r, ownPath(r.PostForm.Get("back")), "undone")
}

// ownPath returns a path of this face, as it stood hidden in a form; the bench for anything else. A page
// that answers to another method or another host cannot be named by it.
func ownPath(path string) string {
	if !strings.HasPrefix(path, "/orders/") && !strings.HasPrefix(path, "/shelf/") && !strings.HasPrefix(path, "/runs/") &&
		!strings.HasPrefix(path, "/hand-overs/") && !strings.HasPrefix(path, "/editions/") && !strings.HasPrefix(path, "/buyers/") {
		return "/"
	}
	if strings.ContainsAny(path, "\\?#\r\n") || strings.Contains(path, "//") {
		return "/"
	}
	return path
}
