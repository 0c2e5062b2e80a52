package sales

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/choosing"
	"solander/claims"
	"solander/currencies"
	"solander/dispatch"
	"solander/fault"
	"solander/labelling"
	"solander/money"
	"solander/movein"
	"solander/order"
	"solander/papers/wrap"
	"solander/paperwork"
	"solander/planning"
	"solander/studio"
	"solander/web/form"
	"solander/web/movein/rows"
	"solander/web/page"
	"solander/web/scale"
	"solander/web/today"
	"solander/web/ways"
	"solander/weighing"
)

// OrderPage is one order with all that can be done to it.
type OrderPage struct {
	page.Frame
	Order    studio.OrderView
	Address  []string
	Way      []wayStep
	Owes     string // what is owed in words
	Lines    []lineView
	CanSign  bool
	Plan     *planView
	Ways     *ways.View
	NoPlan   string // why there is none
	Pack     *form.Form
	WhyNot   *form.Form
	Parcels  []parcelView
	Payments []order.Payment
	Abroad   *currencies.Standing // how it stands in another currency
	Marks    []page.MarkLine
	Cautions []string
	Origins  []rows.Origin // the rows it was made of
	Colours  string        // of their style sheet

	Next   nextDeed
	Lacks  []lackView
	Left   []leftToTell    // what its buyer is still to be told, although it may go or went
	Others []page.OrderRow // the buyer's other orders, the latest first
	Empty  []page.Link     // packaging of which nothing is left, when the order cannot go

	Pay, Amend, ShipTo, InPerson, HandIn, Override, Lift, Cancel, TakeBack *form.Form
}

// lineView is a line with its forms.
type lineView struct {
	studio.LineView
	State    string
	Link     string
	ToSign   bool
	Waits    string
	Renumber *form.Form
	Reprice  *form.Form
	Drop     *form.Form
}

// parcelView is a parcel in the house or on its way.
type parcelView struct {
	studio.Parcel
	State    string
	Prints   []string
	Facts    []wrap.Fact
	Steps    []wrap.Step
	Lines    []costLine
	Drawings []*page.Drawing
	Label    *form.Form
	Weigh    *form.Form
	Claim    page.Link    // what went wrong with it, or where it is told; none before it is handed over
	Weight   string       // as weighed; "" = it was not
	Over     string       // that it is above the step its postage was found for
	With     []string     // marks of the other orders in it
	Own      money.Amount // of the postage paid, what this order bears
}

// orderOf reads the order that the address names, by id or by mark.
func (f *Book) orderOf(r *http.Request) (studio.OrderView, error) {
	name := r.PathValue("order")
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return book.Order(r.Context(), f.Seen(r), id)
	}
	return book.OrderByMark(r.Context(), f.Seen(r), name)
}

func (f *Book) Order(w http.ResponseWriter, r *http.Request) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	return f.showOrder(w, r, v, nil)
}

// AgainOrder shows an order with a form that failed.
func (f *Book) AgainOrder(w http.ResponseWriter, r *http.Request, id int64, fail *page.Failure) error {
	v, err := book.Order(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	return f.showOrder(w, r, v, fail)
}

// showOrder shows an order, and its plan when it is made.
func (f *Book) showOrder(w http.ResponseWriter, r *http.Request, v studio.OrderView, fail *page.Failure) error {
	read, err := f.orderPage(r, v, fail)
	if err != nil {
		return err
	}
	return page.Planned(f.Kit, w, r, read.Title, read.Room, f.planOf(r, v), func(w http.ResponseWriter, r *http.Request, plan orderPlan) error {
		p := *read
		p.planned(v, plan)
		return f.Show(w, r, page.StatusOf(fail), "order", &p)
	})
}

// orderPage is the page of an order but for its plan.
func (f *Book) orderPage(r *http.Request, v studio.OrderView, fail *page.Failure) (*OrderPage, error) {
	fr, err := f.Frame(r, "orders", "Order "+v.Mark)
	if err != nil {
		return nil, err
	}
	works := make([]int64, len(v.Views))
	for i, l := range v.Views {
		works[i] = l.Ed.Work
	}
	if err := f.Hang(r, &fr, works...); err != nil {
		return nil, err
	}
	set := page.Settings(r)
	p := &OrderPage{Frame: fr, Order: v, Way: wayOf(v), Owes: order.OwedInWords(v.Owed), Payments: v.Payments, Marks: page.MarkLines(v.Marks, 30, "/orders/"+v.Mark)}
	abroad, err := currencies.Of(r.Context(), f.Seen(r), v.ID)
	if err != nil {
		return nil, err
	}
	p.Abroad = &abroad
	p.Tell(fail)
	p.Address = v.ShipTo.Block(set.Address.Country)
	p.forms(v, fail)
	p.lines(v, fail)
	origins, err := movein.Origins(r.Context(), f.Seen(r), v.ID)
	if err != nil {
		return nil, err
	}
	p.Origins, p.Colours = rows.Origins(origins)
	if err := f.parcelsInto(r, p, v, set, fail); err != nil {
		return nil, err
	}
	p.next(v)
	for _, l := range v.Lacks {
		p.Lacks = append(p.Lacks, lackView{l, mendOf(v, l)})
	}
	for _, tell := range v.LeftToTell() {
		p.Left = append(p.Left, leftToTell{tell, tellLink(tell)})
	}
	return p, f.besides(r, p, v)
}

// MayChange reports whether a line may get another number or price, or be taken out.
func (p *OrderPage) MayChange() bool {
	return slices.ContainsFunc(p.Lines, func(l lineView) bool { return l.Renumber.Has() || l.Reprice.Has() || l.Drop.Has() })
}

// LineBlamed reports whether a form of a line could not be done.
func (p *OrderPage) LineBlamed() bool {
	return slices.ContainsFunc(p.Lines, func(l lineView) bool {
		return slices.ContainsFunc([]*form.Form{l.Renumber, l.Reprice, l.Drop}, func(f *form.Form) bool { return f.Has() && f.Blamed })
	})
}

// forms lays out what may be done to the whole order as it stands.
func (p *OrderPage) forms(v studio.OrderView, fail *page.Failure) {
	pay := today.Owed(v.ID, p.inIts(v.Owed), v.Owed, p.Today)
	pay.Before = &v.Paid // of what was paid back for good, nothing more is owed after it than before
	p.Pay = p.Put(today.PayForm(pay, v.Postage.Currency), fail)
	if v.State == order.Open {
		o := v.Order
		p.Amend = p.Put(amendForm(&o), fail)
		p.ShipTo = p.Put(shipToForm(&o), fail)
		p.InPerson = p.Put(inPersonForm(&o), fail)
		if v.InPerson {
			p.HandIn = p.Put(handInForm(&dispatch.HandInIn{Order: v.ID, Day: p.Today}), fail)
		}
		p.Cancel = p.Put(cancelForm(v, &book.CancelIn{Refund: p.none(v)}), fail)
		if v.Override == nil && len(v.HeldBack) > 0 {
			p.Override = p.Put(overrideForm(v, new(string)), fail)
		}
		if v.Override != nil {
			p.Lift = form.New("lift", fmt.Sprintf("/orders/%d/lift", v.ID))
			p.Lift.Ask("back", "").As("hidden").Is("order")
		}
	}
	if anySent(v) {
		p.TakeBack = p.Put(takeBackForm(v, &book.TakeBackIn{Refund: p.none(v)}), fail)
	}
}

// inIts is what is owed of the order, in the currency in which it is.
func (p *OrderPage) inIts(owed money.Amount) money.Amount {
	if p.Abroad.Agreed.Stands() && !p.Abroad.Changed {
		return p.Abroad.Owed
	}
	return owed
}

// none is nothing, in the currency in which the order is owed.
func (p *OrderPage) none(v studio.OrderView) money.Amount {
	if p.Abroad.Agreed.Stands() {
		return money.Of(0, p.Abroad.Agreed.Total.Currency)
	}
	return money.Of(0, v.Postage.Currency)
}

func anySent(v studio.OrderView) bool {
	return slices.ContainsFunc(v.Views, func(l studio.LineView) bool { return l.Sent && !l.Dropped })
}

func (p *OrderPage) lines(v studio.OrderView, fail *page.Failure) {
	for _, l := range v.Views {
		lv := lineView{LineView: l, State: page.StateWords[l.Standing.State]}
		switch {
		case l.Number.IsZero() && l.Sent:
			lv.State = "sent"
		case l.Number.IsZero() && l.Signed:
			lv.State = "signed"
		case l.Number.IsZero():
			lv.State = "not signed"
		default:
			lv.Link = fmt.Sprintf("/editions/%d/numbers/%s", l.Edition, page.NumberPath(l.Number))
		}
		if l.Dropped {
			lv.State = "taken out"
		}
		if v.State == order.Open {
			lv.Waits = waits(l)
		}
		if v.State == order.Open && !l.Dropped && !l.Sent {
			lv.ToSign = !l.Signed && l.HasSheet
			p.CanSign = p.CanSign || lv.ToSign
			if l.Parcel == 0 && !l.Number.IsZero() {
				lv.Renumber = p.Put(renumberForm(l.ID, new(string)), fail)
			}
			if l.Parcel == 0 {
				lv.Reprice = p.Put(linePriceForm(l.ID, &l.Price), fail)
			}
			if l.Parcel == 0 && len(v.Live()) > 1 {
				lv.Drop = p.Put(dropForm(l.ID, new(string)), fail)
			}
		}
		p.Lines = append(p.Lines, lv)
	}
}

func waits(l studio.LineView) string {
	if l.HasSheet || l.Signed || l.Sent || l.Dropped {
		return ""
	}
	s := "a sheet is set aside for it once something is paid"
	if !l.WaitsFor.IsZero() {
		s = "waits for a sheet since " + l.WaitsFor.Short()
	}
	if l.Coming != nil {
		s += fmt.Sprintf("; run %d", l.Coming.Run)
		if !l.Coming.Expected.IsZero() {
			s += ", expected " + l.Coming.Expected.Short()
		}
	}
	return s
}

// parcelsInto shows each parcel with its layers, as its wrap sheet lays them out.
func (f *Book) parcelsInto(r *http.Request, p *OrderPage, v studio.OrderView, set studio.Settings, fail *page.Failure) error {
	overs, err := weighing.Overs(r.Context(), f.Seen(r), v.Parcels)
	if err != nil {
		return err
	}
	claimed, err := claims.OfOrder(r.Context(), f.Seen(r), v.ID)
	if err != nil {
		return err
	}
	for _, pc := range v.Parcels {
		sheet, err := paperwork.WrapPaper(r.Context(), f.Seen(r), pc.ID)
		if err != nil {
			return err
		}
		pv := parcelView{Parcel: pc, Facts: sheet.Facts, Steps: sheet.Steps, Lines: costLines(pc.Plan.Lines, set.Currency), Drawings: page.DrawAll(sheet.Views), Over: overs[pc.ID]}
		if pc.Weighed > 0 {
			pv.Weight = pc.Weighed.In(set.Units)
		}
		switch pc.State {
		case studio.Packed:
			pv.State = "packed " + pc.Packed.Long()
		case studio.Labelled:
			pv.State = "labelled " + pc.Labelled.Long()
		case studio.HandedOver:
			pv.State = "handed over " + pc.HandedOver.Long()
		}
		if pv.With = pc.With(v.Mark); len(pv.With) > 0 {
			pv.Own = pc.PostageOf(v.Mark)
		}
		for _, l := range v.Views {
			if slices.Contains(pc.Lines, l.ID) {
				pv.Prints = append(pv.Prints, printName(l))
			}
		}
		if pc.State == studio.HandedOver {
			pv.Claim = claimLink(pc.ID, claimed)
		} else {
			in := labelling.LabelIn{Parcel: pc.ID, Paid: pc.Paid, Tracking: pc.Tracking}
			if pc.Weighed > 0 {
				in.Weighed = &pc.Weighed
			}
			if pc.Service != pc.Plan.Service {
				in.Service = pc.Service
			}
			planned := bench.Service{Key: pc.Plan.Service, Name: sheet.Facts[0].Text}
			fm := today.LabelForm(&in, today.AsPlanned{Services: []bench.Service{planned}, Postage: pc.Estimated}, set.Units)
			fm.Ask("order", "").As("hidden").Is(strconv.FormatInt(v.ID, 10))
			pv.Label = p.Put(fm, fail)
		}
		if pc.State != studio.Packed {
			weigh := scale.WeighForm(&weighing.WeighIn{Parcel: pc.ID, Mass: pc.Weighed}, set.Units)
			weigh.Ask("order", "").As("hidden").Is(strconv.FormatInt(v.ID, 10))
			pv.Weigh = p.Put(weigh, fail)
		}
		p.Cautions = append(p.Cautions, pc.Warnings...)
		p.Parcels = append(p.Parcels, pv)
	}
	slices.Sort(p.Cautions)
	p.Cautions = slices.Compact(p.Cautions)
	return nil
}

// claimLink leads to the claim of a parcel that left the house, or to where one is told.
func claimLink(parcel int64, claimed []claims.View) page.Link {
	for _, c := range claimed {
		if c.Parcel == parcel {
			return page.LinkTo(fmt.Sprintf("/claims/%d", c.ID), fmt.Sprintf("Claim %d: %s, %s", c.ID, c.Kind.Words(), c.State.Words()))
		}
	}
	return page.LinkTo(fmt.Sprintf("/parcels/%d/claim", parcel), "Something went wrong with this parcel")
}

func printName(l studio.LineView) string {
	if l.Label == "" {
		return l.Ed.Title
	}
	return l.Label + " " + l.Ed.Title
}

// orderPlan is the plan of an order, or why there is none; neither when nothing is left to plan.
type orderPlan struct {
	view *planning.PlanView
	ways choosing.Choices
	none string
}

// planOf reads what the plan of an order that has prints to pack follows from. Why there is no plan is part of the answer.
func (f *Book) planOf(r *http.Request, v studio.OrderView) studio.Later[orderPlan] {
	toPlan := v.State == order.Open && !v.InPerson && v.NoAddress() == "" && slices.ContainsFunc(v.Views, func(l studio.LineView) bool { return !l.Dropped && !l.Sent && l.Parcel == 0 })
	if !toPlan {
		return func(context.Context) (orderPlan, error) { return orderPlan{}, nil }
	}
	plan, unread := planning.PlanLater(r.Context(), f.Seen(r), v.ID, calendar.Day{})
	return func(ctx context.Context) (orderPlan, error) {
		pv, err := studio.Now(ctx, plan, unread)
		switch {
		case err == nil:
			found, err := choosing.Ways(ctx, f.Studio, pv)
			return orderPlan{view: &pv, ways: found}, err
		case fault.Is(err, fault.Internal) || ctx.Err() != nil:
			return orderPlan{}, err
		}
		return orderPlan{none: form.Sentence(fault.All(err)[0])}, nil
	}
}

// planned puts a plan on the page.
func (p *OrderPage) planned(v studio.OrderView, plan orderPlan) {
	p.NoPlan = plan.none
	if plan.view == nil {
		return
	}
	p.Plan = viewPlan(*plan.view, p.Units)
	p.Ways = ways.Of(plan.ways, v.Mark)
	p.Empty = slices.DeleteFunc(slices.Clone(p.Empty), func(l page.Link) bool { return !strings.Contains(p.Plan.Held, l.Text) })
	p.WhyNot = whyNotForm(v, *plan.view, new(whyNotAsked))
	if len(plan.view.Plan.Parcels) > 0 && (v.Stage == order.AwaitsPacking || v.Override != nil) {
		p.Pack = today.PackForm(&dispatch.PackIn{Order: v.ID, Total: &plan.view.Plan.Total})
	}
}

func amendForm(o *order.Order) *form.Form {
	fm, cur := form.New("amend", fmt.Sprintf("/orders/%d/amend", o.ID)), o.Postage.Currency
	fm.Day("promised", "Hand over by", &o.Promised)
	fm.Day("arrive_by", "Arrive by", &o.ArriveBy).WithHint("empty: any day")
	fm.Amount("postage", "Postage charged", &o.Postage, cur)
	fm.Amount("tax", "Tax", &o.Tax, cur)
	fm.Amount("fee", "Fee of the outlet", &o.Fee, cur)
	fm.Area("note", "Note", &o.Note).Half()
	fm.Area("gift_message", "Gift message", &o.GiftMessage).Half()
	return fm.Sealed()
}

// shipToForm asks for an address.
func shipToForm(o *order.Order) *form.Form {
	fm := form.New("ship", fmt.Sprintf("/orders/%d/address", o.ID))
	fm.Address("ship_to.", &o.ShipTo)
	return fm.Sealed()
}

func overrideForm(v studio.OrderView, reason *string) *form.Form {
	fm := form.New("override", fmt.Sprintf("/orders/%d/override", v.ID))
	fm.Text("reason", "Reason", reason).Wide().Must().WithHint("recorded for good; it lets pass: " + strings.Join(v.HeldBack, "; "))
	return fm
}

func linePriceForm(line int64, price *money.Amount) *form.Form {
	fm := form.New(fmt.Sprintf("price-%d", line), fmt.Sprintf("/lines/%d/price", line))
	fm.AmountAs("price", "Price", price, price.Currency).Must()
	return fm
}

func dropForm(line int64, reason *string) *form.Form {
	fm := form.New(fmt.Sprintf("drop-%d", line), fmt.Sprintf("/lines/%d/drop", line))
	fm.Text("reason", "Reason", reason).Wide().Must()
	return fm
}

func cancelForm(v studio.OrderView, in *book.CancelIn) *form.Form {
	fm := form.New("cancel", fmt.Sprintf("/orders/%d/cancel", v.ID))
	fm.Text("reason", "Reason", &in.Reason).Wide().Must()
	refund := refundField(fm, &in.Refund, v.Postage.Currency)
	if v.Paid.Sign() > 0 && (in.Refund.Currency == "" || in.Refund.Currency == v.Paid.Currency) {
		refund.WithHint("the buyer paid " + v.Paid.String() + "; empty: nothing yet")
	}
	return fm
}

// refundField asks what is paid back, in the currency in which the order is owed.
func refundField(fm *form.Form, v *money.Amount, book string) *form.Field {
	label := "Paid back now"
	if v.Currency != "" && v.Currency != book {
		label += ", in " + v.Currency
	}
	return fm.AmountAs("refund", label, v, book).OrEmpty().WithHint("empty: nothing yet")
}

func takeBackForm(v studio.OrderView, in *book.TakeBackIn) *form.Form {
	fm := form.New("takeback", fmt.Sprintf("/orders/%d/take-back", v.ID))
	for _, l := range v.Views {
		if l.Sent && !l.Dropped {
			var came bool
			fm.Tick(fmt.Sprintf("line-%d", l.ID), printName(l)+" came back", &came).Half()
			fm.Then(func(*fault.List) {
				if came {
					in.Lines = append(in.Lines, l.ID)
				}
			})
		}
	}
	fm.Tick("spoilt", "It came back damaged and is destroyed", &in.Spoilt).Wide()
	fm.Text("reason", "Reason", &in.Reason).Wide().Must()
	refundField(fm, &in.Refund, v.Postage.Currency)
	return fm
}

func renumberForm(line int64, number *string) *form.Form {
	fm := form.New(fmt.Sprintf("number-%d", line), fmt.Sprintf("/lines/%d/number", line))
	fm.Text("number", "Another number", number).WithHint("17 or AP 2; empty: the lowest")
	return fm
}
