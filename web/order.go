package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/papers"
	"solander/studio"
)

// orderPage is one order with all that can be done to it.
type orderPage struct {
	frame
	Order    studio.OrderView
	Address  []string
	Country  string
	Way      []wayStep
	Owes     string // what is owed in words
	Lines    []lineView
	CanSign  bool
	Plan     *planView
	NoPlan   string // why there is none
	Pack     *form
	WhyNot   *form
	Parcels  []parcelView
	Payments []order.Payment
	Marks    []markLine
	Cautions []string
	Origins  []originView // the rows it was made of
	Colours  string       // of their style sheet

	Pay, Amend, ShipTo, InPerson, HandIn, Override, Lift, Cancel, TakeBack *form
}

// wayStep is one stage of an order's way.
type wayStep struct {
	Word string
	Here bool
}

// lineView is a line with its forms.
type lineView struct {
	studio.LineView
	State    string
	Link     string
	ToSign   bool
	Waits    string
	Renumber *form
	Drop     *form
}

// parcelView is a parcel in the house or on its way.
type parcelView struct {
	studio.Parcel
	State    string
	Prints   []string
	Facts    []papers.Fact
	Steps    []papers.Step
	Lines    []costLine
	Drawings []*drawing
	Label    *form
	With     []string     // marks of the other orders in it
	Own      money.Amount // of the postage paid, what this order bears
}

// words of the stages, as the page says them.
var stageWords = map[order.Stage]string{
	order.AwaitsMoney: "awaits money", order.AwaitsSheet: "awaits a sheet", order.AwaitsSigning: "to sign",
	order.AwaitsAddress: "awaits an address", order.AwaitsPacking: "to pack", order.AwaitsLabel: "to label", order.AwaitsHandOver: "to hand over", order.Done: "done",
}

// words of the states of a number.
var stateWords = map[edition.State]string{
	edition.Free: "free", edition.Promised: "promised", edition.Signed: "signed", edition.Sent: "sent",
	edition.Returned: "returned", edition.Spoilt: "spoilt", edition.Kept: "kept", edition.Withdrawn: "withdrawn",
}

func wayOf(o studio.OrderView) []wayStep {
	var way []wayStep
	for _, s := range order.Stages() {
		if s == order.AwaitsAddress && s != o.Stage || o.InPerson && (s == order.AwaitsPacking || s == order.AwaitsLabel) {
			continue // most orders come with an address; in person there is no parcel
		}
		word := stageWords[s]
		if s == order.Done && o.State != order.Open && o.State != order.Closed {
			word = string(o.State)
		}
		way = append(way, wayStep{word, s == o.Stage})
	}
	return way
}

// orderOf reads the order that the address names, by id or by mark.
func (f *face) orderOf(r *http.Request) (studio.OrderView, error) {
	name := r.PathValue("order")
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return f.studio.Order(r.Context(), id)
	}
	return f.studio.OrderByMark(r.Context(), name)
}

func (f *face) order(w http.ResponseWriter, r *http.Request) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	plan := func(ctx context.Context) (orderPlan, error) { return f.planOf(ctx, v) }
	return planned(f, w, r, "Order "+v.Mark, "orders", plan, func(w http.ResponseWriter, r *http.Request, plan orderPlan) error {
		return f.orderWith(w, r, v, plan, nil)
	})
}

func (f *face) showOrder(w http.ResponseWriter, r *http.Request, v studio.OrderView, fail *failure) error {
	plan, err := f.planOf(r.Context(), v)
	if err != nil {
		return err
	}
	return f.orderWith(w, r, v, plan, fail)
}

// orderWith shows an order with its plan.
func (f *face) orderWith(w http.ResponseWriter, r *http.Request, v studio.OrderView, plan orderPlan, fail *failure) error {
	fr, err := f.frame(r, "orders", "Order "+v.Mark)
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	p := &orderPage{frame: fr, Order: v, Way: wayOf(v), Owes: owes(v), Payments: v.Payments, Marks: markLines(v.Marks, 30, "/orders/"+v.Mark)}
	p.tell(fail)
	p.Address, p.Country = v.ShipTo.Block(set.Address.Country), order.CountryName(v.ShipTo.Country)
	p.forms(v, fail)
	p.lines(v, fail)
	origins, err := f.studio.Origins(r.Context(), v.ID)
	if err != nil {
		return err
	}
	p.Origins, p.Colours = originViews(origins)
	if err := f.parcelsInto(r, p, v, set, fail); err != nil {
		return err
	}
	p.planned(v, plan)
	return f.show(w, r, statusOf(fail), "order", p)
}

func owes(v studio.OrderView) string {
	switch v.Owed.Sign() {
	case 1:
		return v.Owed.String() + " still owed"
	case -1:
		return v.Owed.Neg().String() + " to refund"
	}
	return "settled"
}

// MayChange reports whether a line may get another number or be taken out.
func (p *orderPage) MayChange() bool {
	return slices.ContainsFunc(p.Lines, func(l lineView) bool { return l.Renumber.Has() || l.Drop.Has() })
}

// LineBlamed reports whether a form of a line could not be done.
func (p *orderPage) LineBlamed() bool {
	return slices.ContainsFunc(p.Lines, func(l lineView) bool {
		return l.Renumber.Has() && l.Renumber.Blamed || l.Drop.Has() && l.Drop.Blamed
	})
}

// forms lays out what may be done to the whole order as it stands.
func (p *orderPage) forms(v studio.OrderView, fail *failure) {
	p.Pay = p.put(payForm(v.ID, v.Owed, p.Today), fail)
	if v.State == order.Open {
		p.Amend = p.put(amendForm(v.Order), fail)
		p.ShipTo = p.put(shipToForm(v.Order), fail)
		p.InPerson = p.put(inPersonForm(v.Order), fail)
		if v.InPerson {
			p.HandIn = p.put(handInForm(v.ID, p.Today), fail)
		}
		p.Cancel = p.put(cancelForm(v), fail)
		if v.Override == nil && len(v.HeldBack) > 0 {
			p.Override = p.put(reasonForm("override", fmt.Sprintf("/orders/%d/override", v.ID), "Reason", "recorded for good"), fail)
		}
		if v.Override != nil {
			p.Lift = newForm("lift", fmt.Sprintf("/orders/%d/lift", v.ID))
			p.Lift.ask("back", "").as("hidden").is("order")
		}
	}
	if anySent(v) {
		p.TakeBack = p.put(takeBackForm(v), fail)
	}
}

func anySent(v studio.OrderView) bool {
	return slices.ContainsFunc(v.Views, func(l studio.LineView) bool { return l.Sent && !l.Dropped })
}

func (p *orderPage) lines(v studio.OrderView, fail *failure) {
	for _, l := range v.Views {
		lv := lineView{LineView: l, State: stateWords[l.Standing.State]}
		switch {
		case l.Number.IsZero() && l.Sent:
			lv.State = "sent"
		case l.Number.IsZero() && l.Signed:
			lv.State = "signed"
		case l.Number.IsZero():
			lv.State = "not signed"
		default:
			lv.Link = fmt.Sprintf("/editions/%d/numbers/%s", l.Edition, numberPath(l.Number))
		}
		if l.Dropped {
			lv.State = "taken out"
		}
		lv.Waits = waits(l)
		if v.State == order.Open && !l.Dropped && !l.Sent {
			lv.ToSign = !l.Signed && l.HasSheet
			p.CanSign = p.CanSign || lv.ToSign
			if l.Parcel == 0 && !l.Number.IsZero() {
				lv.Renumber = p.put(renumberForm(l.ID), fail)
			}
			if l.Parcel == 0 && len(v.Live()) > 1 {
				lv.Drop = p.put(reasonForm(fmt.Sprintf("drop-%d", l.ID), fmt.Sprintf("/lines/%d/drop", l.ID), "Reason", ""), fail)
			}
		}
		p.Lines = append(p.Lines, lv)
	}
}

func waits(l studio.LineView) string {
	if l.HasSheet || l.Signed || l.Sent || l.Dropped {
		return ""
	}
	s := "no sheet yet"
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
func (f *face) parcelsInto(r *http.Request, p *orderPage, v studio.OrderView, set studio.Settings, fail *failure) error {
	for _, pc := range v.Parcels {
		sheet, err := f.studio.WrapPaper(r.Context(), pc.ID)
		if err != nil {
			return err
		}
		pv := parcelView{Parcel: pc, Facts: sheet.Facts, Steps: sheet.Steps, Lines: costLines(pc.Plan.Lines, set.Currency), Drawings: drawAll(sheet.Views)}
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
		if pc.State != studio.HandedOver {
			fm := labelForm(pc.ID, sheet.Facts[0].Text, pc.Estimated)
			if pc.Service != pc.Plan.Service {
				fm.find("service").is(pc.Service)
			}
			if !pc.Paid.IsZero() {
				fm.find("paid").money(pc.Paid)
			}
			fm.find("tracking").Value = pc.Tracking
			fm.ask("order", "").as("hidden").is(strconv.FormatInt(v.ID, 10))
			pv.Label = p.put(fm, fail)
		}
		p.Cautions = append(p.Cautions, pc.Warnings...)
		p.Parcels = append(p.Parcels, pv)
	}
	slices.Sort(p.Cautions)
	p.Cautions = slices.Compact(p.Cautions)
	return nil
}

func printName(l studio.LineView) string {
	if l.Label == "" {
		return l.Ed.Title
	}
	return l.Label + " " + l.Ed.Title
}

// orderPlan is the plan of an order, or why there is none; neither when nothing is left to plan.
type orderPlan struct {
	view *studio.PlanView
	none string
}

// planOf plans an order that has prints to pack. Why there is no plan is part of the answer.
func (f *face) planOf(ctx context.Context, v studio.OrderView) (orderPlan, error) {
	if v.State != order.Open || v.InPerson || v.NoAddress() != "" || !slices.ContainsFunc(v.Views, func(l studio.LineView) bool { return !l.Dropped && !l.Sent && l.Parcel == 0 }) {
		return orderPlan{}, nil
	}
	pv, err := f.studio.Plan(ctx, v.ID, calendar.Day{})
	switch {
	case err == nil:
		return orderPlan{view: &pv}, nil
	case fault.Is(err, fault.Internal) || ctx.Err() != nil:
		return orderPlan{}, err
	}
	return orderPlan{none: sentence(fault.All(err)[0])}, nil
}

// planned puts a plan on the page.
func (p *orderPage) planned(v studio.OrderView, plan orderPlan) {
	p.NoPlan = plan.none
	if plan.view == nil {
		return
	}
	p.Plan = viewPlan(*plan.view, p.Units)
	p.WhyNot = whyNotForm(v, *plan.view)
	if len(plan.view.Plan.Parcels) > 0 && (v.Stage == order.AwaitsPacking || v.Override != nil) {
		p.Pack = packForm(v.ID, &plan.view.Plan.Total)
	}
}

// The forms of an order.

func payForm(id int64, owed money.Amount, today calendar.Day) *form {
	fm := newForm("pay-"+strconv.FormatInt(id, 10), fmt.Sprintf("/orders/%d/pay", id))
	kind := order.Balance
	if owed.Sign() < 0 {
		kind, owed = order.Refund, owed.Neg()
	}
	fm.ask("kind", "What").of(choice{string(order.Deposit), "deposit"}, choice{string(order.Balance), "payment"}, choice{string(order.Refund), "refund to the buyer"}).is(string(kind))
	amount := fm.ask("amount", "Amount").mode("decimal").must()
	if !owed.IsZero() {
		amount.money(owed)
	}
	fm.ask("day", "Day").day(today)
	fm.ask("note", "Note").wide()
	return fm
}

func amendForm(o order.Order) *form {
	fm := newForm("amend", fmt.Sprintf("/orders/%d/amend", o.ID))
	fm.ask("promised", "Hand over by").day(o.Promised)
	fm.ask("arrive_by", "Arrive by").day(o.ArriveBy).hint("empty: any day")
	fm.ask("postage", "Postage charged").money(o.Postage)
	fm.ask("tax", "Tax").money(o.Tax)
	fm.ask("fee", "Fee of the outlet").money(o.Fee)
	fm.ask("note", "Note").as("area").is(o.Note).half()
	fm.ask("gift_message", "Gift message").as("area").is(o.GiftMessage).half()
	return fm
}

// shipToForm asks for an address.
func shipToForm(o order.Order) *form {
	fm := newForm("ship", fmt.Sprintf("/orders/%d/address", o.ID))
	askAddress(fm, "ship_to.", o.ShipTo)
	return fm
}

func askAddress(fm *form, prefix string, a order.Address) {
	fm.ask(prefix+"name", "Name").is(a.Name).must().auto("off").half()
	fm.ask(prefix+"line1", "Street and number").is(a.Line1).must().auto("off").half()
	fm.ask(prefix+"line2", "Second line").is(a.Line2).auto("off").half()
	fm.ask(prefix+"city", "City").is(a.City).must().auto("off").half()
	fm.ask(prefix+"region", "State or region").is(a.Region).auto("off")
	fm.ask(prefix+"postcode", "Postcode").is(a.Postcode).auto("off")
	fm.ask(prefix+"country", "Country").is(a.Country).must().auto("off").hint("its name, or two letters such as US")
}

func readAddress(rd *reader, prefix string) order.Address {
	return order.Address{
		Name: rd.text(prefix + "name"), Line1: rd.text(prefix + "line1"), Line2: rd.text(prefix + "line2"), City: rd.text(prefix + "city"),
		Region: rd.text(prefix + "region"), Postcode: rd.text(prefix + "postcode"), Country: rd.text(prefix + "country"),
	}.Tidy()
}

func reasonForm(name, action, label, hint string) *form {
	fm := newForm(name, action)
	fm.ask("reason", label).wide().must().hint(hint)
	return fm
}

func cancelForm(v studio.OrderView) *form {
	fm := reasonForm("cancel", fmt.Sprintf("/orders/%d/cancel", v.ID), "Reason", "")
	refund := fm.ask("refund", "Paid back now").mode("decimal").hint("empty: nothing yet")
	if v.Paid.Sign() > 0 {
		refund.hint("the buyer paid " + v.Paid.String() + "; empty: nothing yet")
	}
	return fm
}

func takeBackForm(v studio.OrderView) *form {
	fm := newForm("takeback", fmt.Sprintf("/orders/%d/take-back", v.ID))
	for _, l := range v.Views {
		if l.Sent && !l.Dropped {
			fm.ask(fmt.Sprintf("line-%d", l.ID), printName(l)+" came back").as("check").half()
		}
	}
	fm.ask("spoilt", "It came back damaged and is destroyed").as("check").wide()
	fm.ask("reason", "Reason").wide().must()
	fm.ask("refund", "Paid back now").mode("decimal").hint("empty: nothing yet")
	return fm
}

func renumberForm(line int64) *form {
	fm := newForm(fmt.Sprintf("number-%d", line), fmt.Sprintf("/lines/%d/number", line))
	fm.ask("number", "Another number").hint("17 or AP 2; empty: the lowest")
	return fm
}
