package today

import (
	"fmt"
	"slices"
	"strings"

	"solander/bench"
	"solander/calendar"
	"solander/dispatch"
	"solander/exchange"
	"solander/labelling"
	"solander/measure"
	"solander/order"
	"solander/waiting"
	"solander/web/ahead"
	"solander/web/form"
	"solander/web/page"
)

// taskView is one task as the page shows it: a row, or in a sheet of pictures one of them.
type taskView struct {
	Key       string
	Mark      string
	Others    []string // orders that wait for the same run
	Deed      string   // what is done in one deed for several tasks, which are one row then: a run that comes in, a claim; "" = nothing
	What      string
	Link      string
	Number    string // "17/250", in a sheet of pictures
	Under     string // title and size, beneath it
	Works     []int64
	Buyer     string
	Outlet    string
	How       string    // what is to know before it is done
	Aside     string    // a second line of that
	Parcels   []outline // drawn beside it
	Seen      string    // the drawing in words
	When      string    // the promise, shortly
	Soon      string    // the same beneath a picture: "2 Dec", "6 late"
	Late      int       // working days past it
	Doubts    []string  // about the address
	Facts     []toTell  // that the buyer is to be told
	Blocked   string
	Leaves    string   // by which way it goes, where nothing above it says so
	Trip      string   // stands above the first row of a trip
	More      []string // opens beneath the row
	Timing    string   // the promise, at length
	Cautious  bool     // a caution of the page is about it
	Pick      string   // name of the check box; "" = none
	PickValue int64
	Picked    bool
	Form      *form.Form
	Button    string
	Links     []page.Link // beside the button
	Leads     []page.Link // among what opens
	May       string      // that it may wait, and what that saves
	Wait      *form.Form  // that it does
}

// toTell is how many facts of an edition a buyer is to be told, and where they are said.
type toTell struct {
	To    string
	Count int
	State string
}

// Opens reports whether there is more to see of a task than its row.
func (v taskView) Opens() bool { return len(v.More)+len(v.Leads) > 0 || v.Timing != "" || v.Cautious }

// Tells reports whether there is something to know beside its name.
func (v taskView) Tells() bool {
	return v.How != "" || v.Blocked != "" || len(v.Parcels) > 0
}

// Plain are the fields that stand in the row; Seldom those that fold at its end.
func (v taskView) Plain() []*form.Field {
	return slices.DeleteFunc(slices.Clone(v.Form.Fields()), seldom)
}

func (v taskView) Seldom() []*form.Field {
	return slices.DeleteFunc(slices.Clone(v.Form.Fields()), func(fd *form.Field) bool { return !seldom(fd) })
}

func seldom(fd *form.Field) bool {
	return fd.Name == "service" || fd.Name == "paid" && !fd.Required || fd.Name == "unit_cost"
}

// formOf is the name of a task's form; "" when it has none.
func formOf(g bench.Group, t bench.Task) string {
	switch g {
	case bench.ChaseMoney:
		return fmt.Sprint("pay-", t.Order)
	case bench.PackOrders:
		return fmt.Sprint("pack-", t.Order)
	case bench.LabelParcel:
		return fmt.Sprint("label-", t.Parcel)
	case bench.Waits:
		return fmt.Sprint("send-", t.Order)
	case bench.Restock:
		return fmt.Sprint("restock-", t.Item)
	default:
		return ""
	}
}

func (p *BenchPage) view(g bench.Group, i int, t bench.Task) taskView {
	v := taskView{
		Key: fmt.Sprintf("%s-%d", g, i), Mark: t.Mark, What: t.What, Buyer: t.Buyer, Outlet: t.Outlet, How: t.Why, When: p.when(t), Late: t.Late,
		Doubts: t.Doubts, Blocked: t.Blocked, More: t.Detail, Timing: t.Timing, Cautious: len(t.Warnings) > 0,
	}
	if !p.List.OneTrip() {
		v.Trip = t.Trip
	}
	for _, tell := range t.Tell {
		v.Facts = append(v.Facts, toTell{fmt.Sprintf("/editions/%d/facts", tell.Edition), tell.Facts, tell.State})
	}
	for _, piece := range t.Pieces {
		v.Works = append(v.Works, piece.Work)
	}
	switch g {
	case bench.ChaseMoney:
		v.What, v.How = t.Why, strings.Join(t.Detail, "; ")
		v.Form, v.Button = moneyForm(Owed(t.Order, t.Owed, t.Owed, calendar.Day{})), moneyWord(t.Owed)
		if w, ok := p.abroad[t.Order]; ok {
			v.abroad(t, w)
		}
	case bench.AskAddress:
		v.How, v.More = strings.Join(t.Detail, "; "), []string{t.Why}
		v.Links = []page.Link{page.LinkTo("/orders/"+t.Mark+"#h-to", "Write the address")}
	case bench.OrderSheets:
		v.Link = fmt.Sprintf("/editions/%d", t.Edition)
		if t.Run != 0 {
			v.Deed = fmt.Sprint("run ", t.Run)
			v.How, v.Blocked, v.More = p.comes(t), "", append([]string{t.Why + ": " + t.Blocked}, t.Detail...)
			v.Links = []page.Link{page.LinkTo(fmt.Sprintf("/runs/%d", t.Run), "Receive")}
		} else {
			v.Links = []page.Link{page.LinkTo(fmt.Sprintf("/runs/new?edition=%d&quantity=%d", t.Edition, t.Quantity), "Order "+page.Many(t.Quantity, "sheet"))}
		}
	case bench.SignPrints:
		v.Number, v.Under, v.Soon = t.Label, strings.Join(append([]string{t.Title + ", " + t.Size}, t.Detail...), "; "), p.soon(t)
		if len(t.Lines) == 1 {
			v.Pick, v.PickValue = "lines", t.Lines[0]
			v.Picked = p.Look.Turn == g
		}
	case bench.PackOrders:
		p.toPack(&v, t)
	case bench.LabelParcel:
		v.What, v.How, v.Leaves, v.More = named(t.Pieces), "", t.LeavesText(), append([]string{t.What}, t.Detail...)
		v.Form, v.Button = LabelForm(&labelling.LabelIn{Parcel: t.Parcel}, AsPlanned{t.Services, t.Postage}, p.Units), "Labelled"
		v.Leads = []page.Link{page.LinkTo(fmt.Sprintf("/papers/label/%d.pdf", t.Parcel), "Address label (PDF)")}
	case bench.HandOver:
		if t.Parcel != 0 {
			v.What, v.More = named(t.Pieces), append([]string{t.What}, t.Detail...)
		}
		if t.Parcel != 0 && t.Blocked == "" {
			v.Pick, v.PickValue, v.Picked = "parcels", t.Parcel, p.Look.Turn != g && !t.Stays()
		}
		if t.Parcel == 0 && t.Blocked == "" {
			v.Links = []page.Link{page.LinkTo("/orders/"+t.Mark+"#h-to", "Hand over in person")}
		}
	case bench.Claims:
		v.How, v.Timing = strings.Join(t.Detail, "; "), ""
		v.More, v.Blocked, v.Deed = []string{t.Why}, "", fmt.Sprint("claim ", t.Claim)
		v.Links = []page.Link{page.LinkTo(fmt.Sprintf("/claims/%d", t.Claim), fmt.Sprintf("Claim %d", t.Claim))}
	case bench.Waits:
		v.Form, v.Button = ahead.SendForm(t.Order), ahead.SendWord
	case bench.Restock:
		v.Link, v.Timing = fmt.Sprintf("/shelf/%d", t.Item), ""
		v.Form, v.Button = RestockForm(&Restocked{Item: t.Item, Pieces: t.Quantity}, ""), "Restocked"
	}
	for _, tell := range t.MoreToTell() {
		v.More = append(v.More, tell.Text)
	}
	if v.Form != nil {
		v.Form.Back(p.Look.Back())
	}
	return v
}

// toPack shows the plan of a parcel: how, what it costs, and the parcel itself, drawn.
// abroad makes a task of money one of the currency that was agreed of its order; one that was changed since is agreed anew first.
func (v *taskView) abroad(t bench.Task, w exchange.Owing) {
	v.How = strings.Join(append([]string{"agreed as " + w.Agreed.Total.String() + ", " + order.OwedInWords(w.Owed)}, t.Detail...), "; ")
	v.Form, v.Button = moneyForm(Owed(t.Order, w.Owed, t.Owed, calendar.Day{})), moneyWord(w.Owed)+" in "+w.Owed.Currency
	if w.Changed {
		v.How = "changed since it was agreed as " + w.Agreed.Total.String()
		v.Form, v.Links = nil, []page.Link{page.LinkTo("/earnings/currencies?order="+t.Mark+"#agree", "Agree anew")}
	}
}

func (p *BenchPage) toPack(v *taskView, t bench.Task) {
	v.Leads = []page.Link{page.LinkTo("/orders/"+t.Mark+"#plan", "Plan")}
	if len(t.Outlines) > 0 {
		var wraps, sizes []string
		for _, o := range t.Outlines {
			wraps = append(wraps, o.Wrap)
			v.Parcels = append(v.Parcels, drawOutline(o))
			sizes = append(sizes, sides(o, p.Units))
		}
		v.How, v.Seen = strings.Join(wraps, ", then "), "To scale: "+strings.Join(sizes, "; ")
		v.Aside = strings.Join(t.Asides(costs(t), p.List.OneTrip()), "; ")
	}
	if len(t.Pieces) > 1 {
		v.More = append([]string{t.What}, v.More...)
		v.What = named(t.Pieces)
	}
	if t.Blocked == "" {
		v.Form, v.Button = PackForm(&dispatch.PackIn{Order: t.Order}), "Packed"
		v.Links = []page.Link{page.LinkTo(fmt.Sprintf("/papers/wrap/%d.pdf", t.Order), "Wrap sheet")}
	}
	if t.May != "" {
		v.May, v.Wait = t.May, ahead.WaitForm(t.Order, &waiting.WaitIn{Until: t.Until}).Back(p.Look.Back())
	}
}

// joins puts a task that is done in the same deed beneath v. Of a run the outlets and promises of the others are told where the row opens, and
// the first waits least; of a claim all that is to be done stands in the row.
func (v *taskView) joins(w taskView) {
	if v.Mark == w.Mark {
		v.What, v.More = v.What+"; "+w.What, append(v.More, w.More...)
		return
	}
	if len(v.Others) == 0 {
		v.More = append([]string{v.waiter()}, v.More...)
		v.Outlet, v.Timing = "", ""
	}
	v.Others = append(v.Others, w.Mark)
	v.More = append(append(v.More, w.waiter()), w.More...)
}

// waiter names who waits for a run.
func (v taskView) waiter() string {
	return strings.Join(slices.DeleteFunc([]string{v.Mark + " " + v.Buyer, v.Outlet, v.Timing}, func(s string) bool { return s == "" }), "; ")
}

// named are the prints of a parcel by number and title.
func named(of []bench.Piece) string {
	var out []string
	for _, piece := range of {
		out = append(out, piece.Label+" "+piece.Title)
	}
	return strings.Join(out, ", ")
}

// costs says what a plan costs: "8.12 USD, 6.62 of it post".
func costs(t bench.Task) string {
	if t.Postage.IsZero() {
		return t.Total.String() + ", postage not counted"
	}
	return fmt.Sprintf("%s, %s of it post", t.Total, t.Postage.Plain())
}

// comes says which run brings the sheets that a task waits for, and when.
func (p *BenchPage) comes(t bench.Task) string {
	switch {
	case t.Expected.IsZero():
		return fmt.Sprintf("run %d, no day said", t.Run)
	case t.Expected.Before(p.Day):
		return fmt.Sprintf("run %d, overdue since %s", t.Run, t.Expected.Short())
	}
	return fmt.Sprintf("run %d, expected %s", t.Run, t.Expected.Short())
}

// when says the promise shortly.
func (p *BenchPage) when(t bench.Task) string {
	switch {
	case t.Promised.IsZero():
		return ""
	case t.Late > 0:
		return page.Many(t.Late, "day") + " late"
	case t.Promised == p.Day:
		return "today"
	}
	return t.Promised.Short()
}

// soon says it where there is no room for more.
func (p *BenchPage) soon(t bench.Task) string {
	if t.Late > 0 {
		return fmt.Sprint(t.Late, " late")
	}
	if t.Promised.IsZero() || t.Promised == p.Day {
		return p.when(t)
	}
	_, month, date := t.Promised.Civil()
	return fmt.Sprint(date, " ", month.String()[:3])
}

// outline is a parcel drawn from above, in pixels of the page; Print is each print in it.
type outline struct {
	W, H   int64
	Round  int64 // how far its corners are rounded
	Prints []oblong
}

type oblong struct{ X, Y, W, H int64 }

// aPixel is how long a pixel of the small drawings is: all of them are of one scale, so that the larger parcel looks larger.
const aPixel = 14 * measure.Millimetre

func drawOutline(o bench.Outline) outline {
	out := outline{W: pixels(o.Long), H: pixels(o.Short)}
	if o.Round {
		out.Round = out.H / 2
	}
	for _, pr := range o.Prints {
		w, h := pixels(pr.Long), pixels(pr.Short)
		out.Prints = append(out.Prints, oblong{X: (out.W - w) / 2, Y: (out.H - h) / 2, W: w, H: h})
	}
	return out
}

func pixels(l measure.Length) int64 { return max(2, int64((l+aPixel/2)/aPixel)) }

// Box is the room of a drawing with its strokes.
func (o outline) Box() string { return fmt.Sprintf("-1 -1 %d %d", o.W+2, o.H+2) }

// Wide and High are its size on the page.
func (o outline) Wide() int64 { return o.W + 2 }

func (o outline) High() int64 { return o.H + 2 }

// sides says a drawing in words.
func sides(o bench.Outline, u measure.System) string {
	return "a parcel of " + o.Long.About(u) + " by " + o.Short.About(u) + " with " + page.Many(len(o.Prints), "print")
}
