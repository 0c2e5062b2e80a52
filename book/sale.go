package book

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/buyers"
	"solander/calendar"
	"solander/currencies"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// Sale is a new order as it comes in.
type Sale struct {
	Outlet      int64
	Ref         string
	Buyer       order.Buyer     // ID != 0: a known one, whose other fields are not read
	Rule        order.BuyerRule // how a buyer who may be in the book is known; "" = order.TakeSame
	Another     bool            // she is not who the rule would take her for: a new buyer, told apart from who may be the same
	Placed      calendar.Day    // zero: today
	Promised    calendar.Day    // zero: the outlet's promise, in working days from Placed
	ArriveBy    calendar.Day
	ShipTo      order.Address
	InPerson    bool // handed over in person: ShipTo may be empty
	Lines       []SaleLine
	SameNumber  bool // the same number in every edition of the lines
	Postage     money.Amount
	Tax         money.Amount
	Note        string
	GiftMessage string
	Agreed      *currencies.AgreeIn // in which other currency it was agreed, by the rate of Placed or in a sum; nil: in the book's
	Paid        money.Amount        // a first payment, in the currency agreed; zero: none
	PaidWorth   *money.Amount       // of a first payment in another currency than the book's, as PaymentIn.Worth
	PaidNote    string
	PaidHow     order.How // by what it was paid
}

// SaleLine is one print of a sale.
type SaleLine struct {
	Edition int64
	Number  string        // "": the lowest one; "17", "17/250", "AP 2"; "AP": the lowest proof of the kind
	Price   *money.Amount // nil: the price now, by the price steps
}

// mostLines bounds an order; beyond lies a typing error.
const mostLines = 200

// Tidy trims what people type around.
func (in Sale) Tidy() Sale {
	in.Ref = strings.TrimSpace(in.Ref)
	in.ShipTo = in.ShipTo.Tidy()
	in.Buyer.Name, in.Buyer.Email = strings.TrimSpace(in.Buyer.Name), strings.TrimSpace(in.Buyer.Email)
	if in.ShipTo.Name == "" && (!in.InPerson || in.ShipTo != (order.Address{})) {
		in.ShipTo.Name = in.Buyer.Name
	}
	return in
}

// Validate looks at the sale alone. Faults: Invalid, one a field.
func (in Sale) Validate() error {
	var l fault.List
	l.Check(in.Outlet > 0, "outlet", "the outlet is missing", "say where it was sold")
	l.Add(order.Text("ref", in.Ref, 80, false))
	if in.Buyer.ID == 0 {
		l.Add(in.Buyer.Validate())
	}
	if in.InPerson {
		l.Add(in.ShipTo.Printable())
	} else {
		l.Add(in.ShipTo.Validate())
	}
	l.Add(order.Note("note", in.Note))
	l.Add(order.Note("gift_message", in.GiftMessage))
	l.Add(order.Note("paid_note", in.PaidNote))
	l.Check(slices.Contains(order.Hows(), in.PaidHow), "how", fmt.Sprintf("%.20q is no way of paying", string(in.PaidHow)), "use cash, card or other")
	l.Add(studio.Amount("postage", in.Postage))
	l.Add(studio.Amount("tax", in.Tax))
	l.Add(studio.Amount("paid", in.Paid))
	l.Check(in.PaidWorth == nil || !in.Paid.IsZero(), "paid_worth", "there is no first payment that it is of", "give what was paid, or leave out what it was worth")
	if in.Agreed != nil {
		l.Add(agreedAt(in.Agreed.Validate()))
	}
	l.Add(in.validateDays())
	l.Add(in.validateLines())
	return l.Err()
}

func (in Sale) validateDays() error {
	var l fault.List
	l.Add(studio.Sane("placed", in.Placed))
	l.Add(studio.Sane("promised", in.Promised))
	l.Add(studio.Sane("arrive_by", in.ArriveBy))
	l.Check(in.Promised.IsZero() || in.ArriveBy.IsZero() || !in.ArriveBy.Before(in.Promised), "arrive_by", "it should arrive before it is handed over", "look at both days")
	return l.Err()
}

func (in Sale) validateLines() error {
	var l fault.List
	l.Check(len(in.Lines) > 0, "lines", "an order needs at least one print", "add a print")
	l.Check(len(in.Lines) <= mostLines, "lines", fmt.Sprintf("%d prints in one order are too many", len(in.Lines)), fmt.Sprintf("use up to %d", mostLines))
	if len(in.Lines) > mostLines {
		return l.Err()
	}
	seen := map[int64]bool{}
	for i, sl := range in.Lines {
		field := fmt.Sprintf("lines[%d].", i)
		l.Check(sl.Edition > 0, field+"edition", "the edition is missing", "choose a print")
		l.Add(order.Text(field+"number", sl.Number, 20, false))
		l.Add(fault.InField(edition.Readable(sl.Number), field+"number"))
		if sl.Price != nil {
			l.Add(studio.Amount(field+"price", *sl.Price))
		}
		l.Check(!in.SameNumber || !seen[sl.Edition], field+"edition", "two prints of one edition cannot have the same number", "use different editions, or do not ask for the same number")
		seen[sl.Edition] = true
	}
	return l.Err()
}

// TakeOrder takes a sale into the book: buyer, order, lines, numbers, prices and the first payment in
// one transaction. Each line of a limited edition gets its number at once; its price goes by how many
// are sold at that moment. The outlet's fee is that of its fee table.
// Faults: Invalid; Missing; Taken when the outlet's reference is in the book already or a number asked
// for is held; Refused when an edition is closed or sold out, or more was paid than is due.
func TakeOrder(ctx context.Context, s *studio.Studio, in Sale) (studio.OrderView, error) {
	in = in.Tidy()
	if err := in.Validate(); err != nil {
		return studio.OrderView{}, err
	}
	var v studio.OrderView
	err := write(ctx, s, func(t *Book) error {
		id, err := t.TakeOrder(in)
		if err != nil {
			return err
		}
		v, err = t.Taken(id)
		return err
	})
	return v, err
}

// TakeOrder is the use case TakeOrder within a transaction, and gives the id of the order.
func (t *Book) TakeOrder(in Sale) (int64, error) {
	o, err := t.newOrder(in)
	if err != nil {
		return 0, err
	}
	var maybe []int64
	if o.Buyer, o.Said, maybe, err = t.whose(in); err != nil {
		return 0, err
	}
	if o, err = t.AddOrder(o); err != nil {
		return 0, err
	}
	if o.Lines, err = t.addLines(o, in); err != nil {
		return 0, err
	}
	if err := o.Addable(); err != nil {
		return 0, err
	}
	if err := t.charge(&o); err != nil {
		return 0, err
	}
	if err := t.Note(o.ID, "%s taken: %s", o.Mark, t.prints(o)); err != nil {
		return 0, err
	}
	if err := buyers.In(t.Turn).NotePossible(o, maybe); err != nil {
		return 0, err
	}
	if err := t.agree(o, in); err != nil || in.Paid.IsZero() {
		return o.ID, err
	}
	return o.ID, paidAt(t.Pay(o, PaymentIn{Order: o.ID, Amount: in.Paid, Worth: in.PaidWorth, Day: o.Placed, Note: in.PaidNote, How: in.PaidHow}), "paid", "paid_worth")
}

// newOrder is the order without its buyer and lines: known outlet, days, money.
func (t *Book) newOrder(in Sale) (order.Order, error) {
	o := order.Order{Outlet: in.Outlet, Ref: in.Ref, ArriveBy: in.ArriveBy, ShipTo: in.ShipTo, InPerson: in.InPerson, Note: in.Note, GiftMessage: in.GiftMessage, State: order.Open}
	u, err := t.OutletOf(in.Outlet)
	if err != nil {
		return o, fault.InField(err, "outlet")
	}
	if u.Closed {
		return o, fault.New(fault.Refused, "this outlet is closed").At("%s", u.Name).In("outlet").ToMend("open it in the studio's settings")
	}
	if err := t.unknownRef(u, in.Ref); err != nil {
		return o, err
	}
	o.TaxByOutlet = u.CollectsTax
	if o.Placed, o.Promised, err = t.Days(in, u); err != nil {
		return o, err
	}
	if o.Postage, err = t.Cash("postage", in.Postage); err != nil {
		return o, err
	}
	if o.Tax, err = t.Cash("tax", in.Tax); err != nil {
		return o, err
	}
	o.Fee = money.Of(0, t.Set.Currency)
	return o, nil
}

func (t *Book) unknownRef(u order.Outlet, ref string) error {
	if ref == "" {
		return nil
	}
	known, err := t.OrderByRef(u.ID, ref)
	switch {
	case fault.Is(err, fault.Missing):
		return nil
	case err != nil:
		return err
	}
	return RefKnown(u, ref, known.Mark)
}

// RefKnown is the fault of a reference that an order of the outlet has.
func RefKnown(u order.Outlet, ref, mark string) error {
	return fault.New(fault.Taken, "order %.80s of %s is in the book already, as %s", ref, u.Name, mark).In("ref").ToMend("look at %s, or correct the reference", mark)
}

// longest is how far a promise or an arrival may lie ahead, and how old a sale entered late may be.
const (
	longestPromise = 2 * 365
	oldestSale     = 20 * 365
)

// Days settles when a sale was placed and by when it is promised. A promise that is computed is brought
// forward to the day before it must arrive.
func (t *Book) Days(in Sale, u order.Outlet) (placed, promised calendar.Day, err error) {
	if placed, err = t.NotFuture("placed", in.Placed); err != nil {
		return placed, promised, err
	}
	var l fault.List
	l.Check(t.Today.Sub(placed) <= oldestSale, "placed", fmt.Sprintf("%s is more than 20 years ago", placed), "look at the year")
	l.Check(in.ArriveBy.IsZero() || !in.ArriveBy.Before(placed), "arrive_by", fmt.Sprintf("%s is before the day of the sale, %s", in.ArriveBy, placed), "look at both days")
	l.Check(in.ArriveBy.Sub(placed) <= longestPromise, "arrive_by", fmt.Sprintf("%s is more than two years off", in.ArriveBy), "look at the year")
	promised = in.Promised
	if promised.IsZero() {
		promised = t.Working.Add(placed, u.PromiseDays)
		if !in.ArriveBy.IsZero() && !promised.Before(in.ArriveBy) {
			promised = studio.Latest(placed, in.ArriveBy.Add(-1))
		}
	}
	l.Add(promiseIn(placed, promised))
	return placed, promised, l.Err()
}

// promiseIn checks a promise against the day of the sale. Faults: Invalid.
func promiseIn(placed, promised calendar.Day) error {
	switch {
	case promised.Before(placed):
		return fault.Invalidf("promised", "%s is before the day of the sale, %s", promised, placed).ToMend("promise that day or a later one")
	case promised.Sub(placed) > longestPromise:
		return fault.Invalidf("promised", "%s is more than two years off", promised).ToMend("look at the year")
	}
	return nil
}

// charge computes the outlet's fee on goods and postage and saves it with the order.
func (t *Book) charge(o *order.Order) error {
	fee, err := t.feeOf(*o)
	if err != nil {
		return err
	}
	o.Fee = fee
	return t.SaveOrder(*o)
}

func (t *Book) feeOf(o order.Order) (money.Amount, error) {
	u, err := t.OutletOf(o.Outlet)
	if err != nil {
		return money.Amount{}, err
	}
	return FeeAt(u, o, t.Set.Currency)
}

// FeeAt is what an outlet keeps of an order, by its fee table of the day on which it was placed.
func FeeAt(u order.Outlet, o order.Order, currency string) (money.Amount, error) {
	fee, err := u.Fees.Fee(o.Basis())
	if err != nil {
		return fee, err
	}
	fee.Currency = currency
	return fee, nil
}

// prints names the live prints of an order: "17/250 Heron at dusk, Low tide".
func (t *Book) prints(o order.Order) string {
	var out []string
	for _, l := range o.Live() {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			e.Title = fmt.Sprintf("edition %d", l.Edition)
		}
		out = append(out, studio.Named(l.Number.Of(e), e.Title))
	}
	return strings.Join(out, ", ")
}

// addLines gives each line its price and its number.
func (t *Book) addLines(o order.Order, in Sale) ([]order.Line, error) {
	common, err := t.common(in)
	if err != nil {
		return nil, err
	}
	lines := make([]order.Line, len(in.Lines))
	for i, sl := range in.Lines {
		field := fmt.Sprintf("lines[%d].", i)
		e, err := t.EditionOf(sl.Edition)
		if err != nil {
			return nil, fault.InField(err, field+"edition")
		}
		if !common.IsZero() {
			sl.Number = common.String()
		}
		if lines[i], err = t.addLine(o, e, sl, field); err != nil {
			return nil, err
		}
	}
	return lines, nil
}

func (t *Book) addLine(o order.Order, e edition.Edition, sl SaleLine, field string) (order.Line, error) {
	l := order.Line{Order: o.ID, Edition: e.ID}
	if e.Closed {
		return l, fault.New(fault.Refused, "this edition is closed").At("%s", e.Name(t.Set.Units)).In(field + "edition").ToMend("offer another print")
	}
	var err error
	if l.Number, err = t.choose(e, sl.Number); err != nil {
		return l, fault.InField(err, field+"number")
	}
	if l.Price, err = t.PriceNow(e); err != nil {
		return l, err
	}
	if sl.Price != nil {
		if l.Price, err = t.Cash(field+"price", *sl.Price); err != nil {
			return l, err
		}
	}
	if l.ID, err = t.AddLine(l); err != nil || l.Number.IsZero() {
		return l, err
	}
	_, err = register.In(t.Turn).Take(register.StepOf{Ed: e, Number: l.Number, Step: edition.Promise, Line: l.ID, Order: o.Mark})
	return l, fault.InField(err, field+"number")
}

// PriceNow is what the next print of an edition costs, by its price steps.
func (t *Book) PriceNow(e edition.Edition) (money.Amount, error) {
	if len(e.Steps) == 0 {
		return e.Price, nil // of an open edition, its sales would have to be counted
	}
	sold, err := t.Sold(e.ID)
	return e.PriceAt(sold), err
}

// ValidateFed is Validate for a sale from another program, which must name it.
func (in Sale) ValidateFed() error {
	var l fault.List
	l.Check(in.Ref != "", "ref", "the reference is missing", "give the name that the order has at the outlet")
	l.Add(in.Validate())
	return l.Err()
}
