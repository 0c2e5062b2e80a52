package movein

import (
	"fmt"
	"slices"
	"strings"

	"solander/book"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// composer makes of each order of a file that is ready what bringing it in writes, or says why it would be refused. The
// trial tells its refusals by row, and bringing in writes what it made: there is no other rule for either. Of an order that
// waits for an answer it tells what would be refused whatever the answer is. It reads, and never writes. The numbers that an order takes are taken for those after it, so the orders must come in the order in which
// they are written.
type composer struct {
	*MoveIn
	trial   *FileTrial
	book    *knowledge
	ed      []edition.Edition // by place in the trial; without an id when the file declares it
	whole   []bool            // by place: the edition is known, or can be declared
	first   []int             // by place: the first place of the same edition
	stands  map[placeNumber]edition.Standing
	holders map[placeNumber]claim      // rows that hold a number by now
	free    map[int][]edition.Number   // by place: what a line may have and no row claims, lowest first
	claimed map[placeNumber]bool       // numbers that rows say: no other row is given one of them by chance
	buyers  map[int]error              // what is wrong with a buyer of the trial
	outlets map[int]order.Outlet       // by place
	lines   int64                      // stands for the ids that lines will have
	drafts  func(composed) error       // takes what can be written
	refused func(p int, why []refusal) // takes what cannot
}

// placeNumber is a number of an edition: by its place in the trial, the first one where several are the same edition.
type placeNumber struct {
	place  int
	number edition.Number
}

// claim is a row that says a number.
type claim struct {
	proposal, row int
}

// composed is an order as it will be written. Its outlet, its buyer and the editions of its lines get their ids then.
type composed struct {
	place    int // in the trial's proposals
	order    order.Order
	editions []int            // of each line
	rows     []int            // of each line, in the proposal's
	steps    [][]edition.Step // of each line
	left     calendar.Day     // the day it left the house, or ended; no day: it did not
	guess    bool             // that day is not in the file: the day of the sale stands for it
	payments []order.Payment
}

// owes reports whether the buyer still owes something.
func (x composed) owes() bool {
	o := x.order
	o.Payments = x.payments
	return o.Owed().Sign() > 0
}

// refusal is why an order cannot be written: a rule of docs/formats/mapping.md, the row of the order, and the fault.
type refusal struct {
	rule string
	row  int
	why  error
}

func (t *MoveIn) newComposer(tr *FileTrial, b *knowledge) (*composer, error) {
	c := &composer{
		MoveIn: t, trial: tr, book: b, ed: make([]edition.Edition, len(tr.Editions)), whole: make([]bool, len(tr.Editions)), first: make([]int, len(tr.Editions)),
		claimed: map[placeNumber]bool{}, buyers: map[int]error{}, outlets: map[int]order.Outlet{},
	}
	err := c.editions()
	c.claims()
	return c, err
}

// compose makes every order that is ready; first those that came back, for their numbers may have been sold again. An
// order that is refused is none that is ready any more. Composing again makes the same orders: of a large file they take tens
// of megabytes, so nobody keeps them.
func (c *composer) compose(drafts func(composed) error, refused func(int, []refusal)) error {
	c.drafts, c.refused, c.lines = drafts, refused, 0
	c.stands, c.holders, c.free = map[placeNumber]edition.Standing{}, map[placeNumber]claim{}, map[int][]edition.Number{}
	for _, turn := range []func(*intake.Proposal) bool{
		func(p *intake.Proposal) bool { return p.Status == intake.Ready && p.State == intake.Returned },
		func(p *intake.Proposal) bool { return p.Status == intake.Ready && p.State != intake.Returned },
		func(p *intake.Proposal) bool { return p.Status == intake.Asked },
	} {
		for i := range c.trial.Proposals {
			if !turn(&c.trial.Proposals[i]) {
				continue
			}
			if err := c.one(i, &c.trial.Proposals[i]); err != nil {
				return err
			}
		}
	}
	return c.book.failed
}

func (c *composer) editions() error {
	for i, e := range c.trial.Editions {
		if c.first[i] = i; e.ID == 0 {
			continue
		}
		var err error
		if c.ed[i], err = c.EditionOf(e.ID); err != nil {
			return err
		}
		c.whole[i], c.first[i] = true, slices.IndexFunc(c.trial.Editions, func(o intake.NewEdition) bool { return o.ID == e.ID })
	}
	for _, d := range c.trial.Declarations {
		c.ed[d.Place], c.whole[d.Place] = d.Edition, len(d.Lacks) == 0
	}
	return nil
}

// claims gathers the numbers that rows say. What came back may have been sold again.
func (c *composer) claims() {
	for _, p := range c.trial.Proposals {
		if p.Status != intake.Ready || p.State == intake.Cancelled || p.State == intake.Returned {
			continue
		}
		for _, l := range p.Lines {
			if l.Edition >= 0 && !l.Number.IsZero() {
				c.claimed[c.key(l.Edition, l.Number)] = true
			}
		}
	}
}

// key names a number of the edition at a place.
func (c *composer) key(place int, n edition.Number) placeNumber {
	return placeNumber{c.first[place], n}
}

// one composes one order.
func (c *composer) one(place int, p *intake.Proposal) error {
	x := &composing{composer: c, p: p, out: composed{place: place}, ready: p.Status == intake.Ready}
	if err := x.head(); err != nil {
		return err
	}
	x.days()
	x.prints()
	x.numbers()
	if x.ready {
		x.payments()
	}
	switch {
	case len(x.no) > 0:
		c.refused(place, x.no)
	case x.ready:
		x.hold()
		return c.drafts(x.out)
	}
	return nil
}

// composing is one order on its way.
type composing struct {
	*composer
	p     *intake.Proposal
	ready bool
	out   composed
	no    []refusal
	u     order.Outlet
	// after is how the numbers stand that the order takes, once it is taken.
	after map[placeNumber]edition.Standing
}

// refuse notes what is wrong, unless nothing is.
func (x *composing) refuse(rule string, row int, why error) bool {
	if why != nil {
		x.no = append(x.no, refusal{rule, row, why})
	}
	return why != nil
}

// head is outlet, buyer, address, charges and texts. An order that is still to be sent may come without an address: it
// waits for it. What stands in the address must be fit to be printed.
func (x *composing) head() error {
	p, o := x.p, &x.out.order
	var err error
	if p.Outlet < 0 {
		x.refuse("outlet.missing", 0, fault.New(fault.Invalid, "the row does not say where it was sold").ToMend("say where such rows were sold"))
	} else if x.u, err = x.outletAt(p.Outlet); err != nil {
		return err
	} else {
		x.refuse("text", 0, x.u.Validate())
	}
	name := ""
	if p.Buyer < 0 {
		x.refuse("buyer.missing", 0, fault.New(fault.Invalid, "the row does not say who bought it").ToMend("write the buyer's name, or set the row aside"))
	} else {
		x.refuse("text", 0, x.buyerAt(p.Buyer))
		name = x.trial.Buyers[p.Buyer].Buyer.Name
	}
	ship := p.ShipTo.Tidy()
	if ship.Name == "" && ship != (order.Address{}) {
		ship.Name = name
	}
	*o = order.Order{
		Ref: strings.TrimSpace(p.Ref), Placed: p.Placed, ShipTo: ship, TaxByOutlet: x.u.CollectsTax,
		Note: noteText(p), GiftMessage: p.Gift, State: stateOf(p.State),
	}
	if p.Buyer >= 0 {
		o.Said = x.trial.Buyers[p.Buyer].Said
	}
	if mark, known := x.book.known.Refs[kept.RefKey{Outlet: x.u.ID, Ref: o.Ref}]; known && x.u.ID != 0 && o.Ref != "" {
		x.refuse("ref.known", 0, book.RefKnown(x.u, o.Ref, mark))
	}
	if o.State == order.Open {
		x.refuse("text", 0, ship.Printable())
	}
	x.refuse("text", 0, order.Text("ref", o.Ref, 80, false))
	x.refuse("text", 0, order.Note("note", o.Note))
	x.refuse("text", 0, order.Note("gift_message", o.GiftMessage))
	o.Postage, o.Tax = x.money("postage", p.Postage, 0), x.money("tax", p.Tax, 0)
	return nil
}

// money is an amount in the studio's currency.
func (x *composing) money(field string, a money.Amount, row int) money.Amount {
	a, err := x.Cash(field, a)
	if !x.refuse("amount.currency", row, err) {
		x.refuse("amount", row, studio.Amount(field, a))
	}
	return a
}

// outletAt returns an outlet of the trial, or what it will be.
func (c *composer) outletAt(place int) (order.Outlet, error) {
	u, ok := c.outlets[place]
	if ok {
		return u, nil
	}
	var err error
	if n := c.trial.Outlets[place]; n.ID != 0 {
		u, err = c.OutletOf(n.ID)
	} else {
		u = newOutlet(n.Name)
	}
	if err == nil {
		c.outlets[place] = u
	}
	return u, err
}

// newPromise is the promise of an outlet that a file makes, in working days, until she sets it. Rule of thumb: common
// practice, no source.
const newPromise = 5

// newOutlet is an outlet that a file makes.
func newOutlet(name string) order.Outlet {
	return order.Outlet{Name: name, PromiseDays: newPromise}
}

// buyerAt looks at a buyer that the file would make.
func (c *composer) buyerAt(place int) error {
	err, ok := c.buyers[place]
	if !ok {
		if n := c.trial.Buyers[place]; n.ID == 0 {
			err = n.Buyer.Validate()
		}
		c.buyers[place] = err
	}
	return err
}

// noteText is the note of the row, with a tracking number that belongs to no parcel of ours.
func noteText(p *intake.Proposal) string {
	note := p.Note
	if p.Tracking != "" {
		note = strings.TrimSpace(note + "\ntracking " + p.Tracking)
	}
	return note
}

func stateOf(m intake.Meaning) order.State {
	switch m {
	case intake.Sent:
		return order.Closed
	case intake.Cancelled:
		return order.Cancelled
	case intake.Returned:
		return order.Returned
	}
	return order.Open
}

// days settles when it was placed, is promised, and left.
func (x *composing) days() {
	p, o := x.p, &x.out.order
	placed, err := x.NotFuture("placed", o.Placed)
	if x.refuse("day.future", 0, err) {
		return
	}
	if o.State == order.Open {
		o.ArriveBy = p.ArriveBy
		o.Placed, o.Promised, err = book.In(x.MoveIn.Turn).Days(book.Sale{Placed: placed, Promised: p.Promised, ArriveBy: p.ArriveBy}, x.u)
		x.refuse("day", 0, err)
		return
	}
	x.out.left, x.out.guess = p.SentOn, p.SentOn.IsZero()
	if x.out.left.IsZero() {
		x.out.left = placed
	}
	if _, err = x.NotFuture("sent_on", x.out.left); x.refuse("day.future", 0, err) {
		return
	}
	if x.out.left.Before(placed) {
		x.refuse("day.before", 0, fault.Invalidf("sent_on", "%s is before the day of the sale, %s", x.out.left, placed).ToMend("look at both days"))
	}
	o.Placed, o.Closed = placed, x.out.left
	o.Promised = studio.Latest(placed, p.Promised)
	if p.Promised.IsZero() {
		o.Promised = x.out.left
	}
	if !p.ArriveBy.IsZero() && !p.ArriveBy.Before(o.Promised) {
		o.ArriveBy = p.ArriveBy
	}
}

// prints gives each print its edition and price, and the order the outlet's fee.
func (x *composing) prints() {
	o := &x.out.order
	if len(x.p.Lines) == 0 {
		x.refuse("title.missing", 0, fault.New(fault.Invalid, "the row says no print").ToMend("write the title"))
	}
	for _, l := range x.p.Lines {
		if !x.ready && (l.Edition < 0 || !x.whole[l.Edition]) {
			continue // the trial tells which it may be, or what it lacks
		}
		if l.Edition < 0 || !x.whole[l.Edition] {
			x.refuse("title.missing", l.Row, fault.New(fault.Invalid, "the row does not say which print").ToMend("write the title"))
			continue
		}
		line := order.Line{Number: l.Number, Price: x.ed[l.Edition].Price, Dropped: o.State == order.Cancelled || o.State == order.Returned}
		if l.Price != nil {
			line.Price = x.money("price", *l.Price, l.Row)
		}
		o.Lines, x.out.editions, x.out.rows = append(o.Lines, line), append(x.out.editions, l.Edition), append(x.out.rows, l.Row)
	}
	if x.p.Fee != nil {
		o.Fee = x.money("fee", *x.p.Fee, 0)
		return
	}
	if len(x.no) > 0 {
		return
	}
	var err error
	o.Fee, err = book.FeeAt(x.u, *o, x.Set.Currency)
	x.refuse("amount", 0, err)
}

// payments enters the money of the row. What was paid beyond what is due stays as the row says: it is owed back.
func (x *composing) payments() {
	for _, p := range x.p.Payments {
		a, err := x.Cash("paid", p.Amount)
		if x.refuse("amount.currency", 0, err) || a.IsZero() {
			continue
		}
		kind := order.Deposit
		if a.Sign() < 0 {
			kind, a = order.Refund, a.Neg()
		} else if owed := x.out.order.Owed(); owed.Sign() > 0 && a.Minor >= owed.Minor || owed.Sign() <= 0 {
			kind = order.Balance
		}
		x.refuse("amount", 0, studio.Amount("paid", a))
		day := p.Day
		if day.IsZero() || day.After(x.Today) {
			day = x.out.order.Placed
		}
		pay := order.Payment{Kind: kind, Amount: a, Day: day, Note: "brought in: " + p.From}
		x.out.order.Payments = append(x.out.order.Payments, pay)
	}
	x.out.payments, x.out.order.Payments = x.out.order.Payments, nil
}

// rowWords names a row: "row 12 of Sales 2024".
func rowWords(o intake.Origin) string {
	if o.Sheet == "" {
		return fmt.Sprintf("row %d", o.Row)
	}
	return fmt.Sprintf("row %d of %s", o.Row, o.Sheet)
}
