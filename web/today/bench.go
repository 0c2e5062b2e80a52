// Package today is the bench in a browser: what to do on a day, and the deeds that are done there and on the page of an
// order (pay, sign, pack, label), scanning, the hand-over, and the papers of the day. Each exported method of Bench
// answers one route of package web.
package today

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/fault"
	"solander/house"
	"solander/money"
	"solander/movein"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Bench is the handlers of this room.
type Bench struct {
	*page.Kit
}

// BenchPage is what to do on a day.
type BenchPage struct {
	page.Frame
	Day    calendar.Day
	List   bench.List
	Groups []taskGroup
	Empty  bool
	Next   []nextStep // in a studio that has sold nothing yet: the three things to do next
	Marks  []page.MarkLine
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
	Form      *form.Form
	Button    string
	Links     []page.Link
}

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

func (f *Bench) Bench(w http.ResponseWriter, r *http.Request) error { return f.ShowBench(w, r, nil) }

func (f *Bench) ShowBench(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	ctx, s := r.Context(), f.Seen(r)
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	list, err := dispatch.BenchLater(ctx, s, day)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "bench", "Bench")
	if err != nil {
		return err
	}
	marks, err := dispatch.RecentMarks(ctx, s)
	if err != nil {
		return err
	}
	waiting, err := movein.Arrivals(ctx, s)
	if err != nil {
		return err
	}
	next, err := house.NextSteps(ctx, s)
	if err != nil {
		return err
	}
	return page.Planned(f.Kit, w, r, "Bench", "bench", list, func(w http.ResponseWriter, r *http.Request, list bench.List) error {
		p := &BenchPage{Frame: fr, Day: list.Day, List: list, Marks: page.MarkLines(marks, 8, "/")}
		p.Tell(fail)
		p.arrange(fail)
		p.Next = nextSteps(next)
		for _, a := range waiting {
			if a.Source == studio.FromFolder {
				p.Aside, p.Empty = append(p.Aside, a), false
			}
		}
		return f.Show(w, r, page.StatusOf(fail), "bench", p)
	})
}

// arrange puts the tasks into groups with their forms.
func (p *BenchPage) arrange(fail *page.Failure) {
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
				p.Put(v.Form, fail)
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

func (p *BenchPage) view(g bench.Group, i int, t bench.Task) taskView {
	v := taskView{
		Key: fmt.Sprintf("%s-%d", g, i), Mark: t.Mark, What: t.What, Buyer: t.Buyer, Outlet: t.Outlet, Why: t.Why,
		Lines: t.Detail, Doubts: t.Doubts, Cautious: len(t.Warnings) > 0, Blocked: t.Blocked, Timing: t.Timing, Late: t.Late,
	}
	switch g {
	case bench.ChaseMoney:
		v.Form, v.Button = moneyForm(Owed(t.Order, t.Owed, calendar.Day{})), moneyWord(t.Owed)
	case bench.AskAddress:
		v.Links = []page.Link{page.LinkTo("/orders/"+t.Mark+"#h-to", "Write the address")}
	case bench.OrderSheets:
		v.Link = fmt.Sprintf("/editions/%d", t.Edition)
		if t.Run != 0 {
			v.Links = []page.Link{page.LinkTo(fmt.Sprintf("/runs/%d", t.Run), "Receive")}
		} else {
			v.Links = []page.Link{page.LinkTo(fmt.Sprintf("/runs/new?edition=%d&quantity=%d", t.Edition, t.Quantity), "Order "+page.Many(t.Quantity, "sheet"))}
		}
	case bench.SignPrints:
		if len(t.Lines) == 1 {
			v.Pick, v.PickValue = "lines", t.Lines[0]
		}
	case bench.PackOrders:
		v.Links = []page.Link{page.LinkTo("/orders/"+t.Mark+"#plan", "Plan"), page.LinkTo(fmt.Sprintf("/papers/wrap/%d.pdf", t.Order), "Wrap sheet")}
		if t.Blocked == "" {
			v.Form, v.Button = PackForm(&dispatch.PackIn{Order: t.Order}), "Packed"
		}
	case bench.LabelParcel:
		v.Form, v.Button, v.Below = LabelForm(&dispatch.LabelIn{Parcel: t.Parcel}, t.Service, money.Amount{}), "Labelled", true
		v.Links = []page.Link{page.LinkTo(fmt.Sprintf("/papers/label/%d.pdf", t.Parcel), "Address label")}
	case bench.HandOver:
		if t.Parcel != 0 && t.Blocked == "" {
			v.Pick, v.PickValue, v.Picked = "parcels", t.Parcel, true
		}
		if t.Parcel == 0 && t.Blocked == "" {
			v.Links = []page.Link{page.LinkTo("/orders/"+t.Mark+"#h-to", "Hand over in person")}
		}
	case bench.Restock:
		v.Link = fmt.Sprintf("/shelf/%d", t.Item)
		v.Form, v.Button = RestockForm(&Restocked{Item: t.Item, Pieces: t.Quantity}, ""), "Restocked"
	}
	if v.Form != nil {
		v.Form.Back("bench")
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

// Owed is the payment that settles an order: a refund when the studio owes one.
func Owed(id int64, owed money.Amount, day calendar.Day) *book.PaymentIn {
	if owed.Sign() < 0 {
		return &book.PaymentIn{Order: id, Kind: order.Refund, Amount: owed.Neg(), Day: day}
	}
	return &book.PaymentIn{Order: id, Kind: order.Balance, Amount: owed, Day: day}
}

// moneyForm notes a payment of today.
func moneyForm(in *book.PaymentIn) *form.Form {
	fm := form.New("pay-"+strconv.FormatInt(in.Order, 10), fmt.Sprintf("/orders/%d/pay", in.Order))
	form.Select(fm, "kind", "", &in.Kind).As("hidden")
	fm.Amount("amount", "Amount", &in.Amount, in.Amount.Currency).Must()
	return fm
}

func PackForm(in *dispatch.PackIn) *form.Form {
	fm := form.New("pack-"+strconv.FormatInt(in.Order, 10), fmt.Sprintf("/orders/%d/pack", in.Order))
	var total int64
	if in.Total != nil {
		total = *in.Total
	}
	fd := fm.ID("total", "", &total).As("hidden")
	if in.Total != nil {
		fd.Is(strconv.FormatInt(total, 10))
	}
	fm.Then(func(*fault.List) {
		if in.Total = nil; fd.Value != "" {
			in.Total = &total
		}
	})
	return fm
}

// LabelForm notes the service used, the postage paid and the tracking number. The service stays empty when
// it is the planned one, which the form names.
func LabelForm(in *dispatch.LabelIn, planned string, estimated money.Amount) *form.Form {
	fm := form.New("label-"+strconv.FormatInt(in.Parcel, 10), fmt.Sprintf("/parcels/%d/label", in.Parcel))
	fm.Text("service", "Another service", &in.Service).WithHint("empty: " + planned).Class = "service"
	paid := fm.Amount("paid", "Postage paid", &in.Paid, in.Paid.Currency).OrEmpty().Must()
	if !estimated.IsZero() {
		paid.WithHint("by the card " + estimated.String())
	}
	fm.Text("tracking", "Tracking number", &in.Tracking).Class = "tracking"
	return fm
}

// Restocked is packaging that came.
type Restocked struct {
	Item   int64
	Pieces int
	Cost   *money.Amount // of one; nil: as before
}

func RestockForm(in *Restocked, currency string) *form.Form {
	fm := form.New("restock-"+strconv.FormatInt(in.Item, 10), fmt.Sprintf("/shelf/%d/restock", in.Item))
	fm.Whole("pieces", "Pieces", &in.Pieces).Must()
	fm.AmountIf("unit_cost", "Cost of one", &in.Cost, currency).WithHint("empty: as before")
	return fm
}

func (f *Bench) Pay(w http.ResponseWriter, r *http.Request, id int64) error {
	in := book.PaymentIn{Order: id, Amount: money.Of(0, page.Settings(r).Currency)}
	fm := PayForm(&in)
	err := fm.TakeAnd(r.PostForm, func() error { return book.Pay(r.Context(), f.Studio, in) })
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), id)
	}
	return f.Done(w, r, f.BackTo(r, id))
}

func (f *Bench) Sign(w http.ResponseWriter, r *http.Request) error {
	lines, err := page.IDs(r, "lines")
	if err == nil {
		err = register.Sign(r.Context(), f.Studio, lines)
	}
	orderID, _ := strconv.ParseInt(r.PostForm.Get("order"), 10, 64)
	if err != nil {
		return f.Again(w, r, page.FailedIn("sign", r, err), orderID)
	}
	return f.Done(w, r, f.BackTo(r, orderID))
}

func (f *Bench) Pack(w http.ResponseWriter, r *http.Request, id int64) error {
	in := dispatch.PackIn{Order: id}
	fm := PackForm(&in)
	err := fm.Take(r.PostForm)
	if err == nil {
		_, err = dispatch.Pack(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), id)
	}
	return f.Done(w, r, f.BackTo(r, id))
}

func (f *Bench) Label(w http.ResponseWriter, r *http.Request, id int64) error {
	in := dispatch.LabelIn{Parcel: id, Paid: money.Of(0, page.Settings(r).Currency)}
	fm := LabelForm(&in, "", money.Amount{})
	err := fm.TakeAnd(r.PostForm, func() error { return dispatch.Label(r.Context(), f.Studio, in) })
	orderID, _ := strconv.ParseInt(r.PostForm.Get("order"), 10, 64)
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), orderID)
	}
	return f.Done(w, r, f.BackTo(r, orderID))
}

func (f *Bench) Undo(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := dispatch.Undo(r.Context(), f.Studio, id); err != nil {
		return err
	}
	return f.DoneSaying(w, r, ownPath(r.PostForm.Get("back")), "undone")
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

// The forms of an order.

func PayForm(in *book.PaymentIn) *form.Form {
	fm := form.New("pay-"+strconv.FormatInt(in.Order, 10), fmt.Sprintf("/orders/%d/pay", in.Order))
	form.Select(fm, "kind", "What", &in.Kind, form.Pick(string(order.Deposit), "deposit"), form.Pick(string(order.Balance), "payment"), form.Pick(string(order.Refund), "refund to the buyer"))
	fm.Amount("amount", "Amount", &in.Amount, in.Amount.Currency).OrEmpty().Must()
	fm.Day("day", "Day", &in.Day)
	fm.Text("note", "Note", &in.Note).Wide()
	return fm
}
