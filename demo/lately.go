package demo

import (
	"fmt"
	"slices"

	"solander/billing"
	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/edition"
	"solander/invoice"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/tax"
	"solander/taxing"
)

// lately plays the last two weeks by a script, which brings orders to every stage.
type lately struct {
	*past
	orders []int64 // by scene
	run    int64   // the one that came in part
}

// event is one thing that happened in the last weeks.
type event struct {
	day  calendar.Day
	hour int
	do   func() error
}

// live plays the script in the order of time.
func (l *lately) live() error {
	l.orders = make([]int64, len(script))
	events := l.events()
	slices.SortStableFunc(events, func(a, b event) int {
		if a.day != b.day {
			return a.day.Sub(b.day)
		}
		return a.hour - b.hour
	})
	for len(events) > 0 {
		at, n := events[0], 1
		for n < len(events) && events[n].day == at.day && events[n].hour == at.hour {
			n++
		}
		if err := l.sit(at.day, at.hour, func(*studio.Studio) error { return doAll(events[:n]) }); err != nil {
			return fmt.Errorf("demo, %s at %d: %w", at.day, at.hour, err)
		}
		events = events[n:]
	}
	return nil
}

// doAll does what happened in one hour, in one sitting.
func doAll(events []event) error {
	for _, e := range events {
		if err := e.do(); err != nil {
			return err
		}
	}
	return nil
}

// events are the sales of the script and the days of work: what is done by now leaves in two hand-overs,
// the rest is brought to its stage on the day before today.
func (l *lately) events() []event {
	back := func(days int) calendar.Day { return l.working.Add(l.today, -days) }
	yesterday := back(1)
	if eve := l.today.Add(-1); eve.After(yesterday) {
		yesterday = eve // a weekend: she worked at home
	}
	out := []event{
		{l.today.Add(-pastEnds), 17, l.dryDrawers},
		{back(6), 9, l.receiveRuns},
		{back(6), 15, l.orderSheetsAgain},
		{back(3), 12, l.receivePart},
		{back(4), 8, l.fillDrawers},
		{back(4), 10, l.workDone},
		{back(4), 16, l.handOverFirst},
		{back(2), 16, l.handOverRest},
		{yesterday, 12, l.fillDrawers},
		{yesterday, 14, l.workOpen},
		{yesterday, 15, l.oddments},
		{yesterday, 16, l.tellTransfer},
		{yesterday, 17, l.lowShelf},
		{yesterday, 18, l.bankOfLately},
	}
	for i, s := range script {
		out = append(out, event{l.today.Add(-s.ago), 11, func() error { return l.sale(i) }})
	}
	return out
}

// dryDrawers empties the drawers of the two editions that orders shall wait for, down to what is signed.
func (l *lately) dryDrawers() error {
	for _, at := range []int{waitsForLab, waitsForOrder} {
		v, err := register.Edition(l.ctx, l.studio, l.stocks[at].ed.ID)
		if err != nil {
			return err
		}
		signed := v.Counts[edition.Signed] + v.Counts[edition.Returned]
		if v.OnHand == signed {
			continue
		}
		if err := stockroom.CountSheets(l.ctx, l.studio, v.ID, signed, "a damp corner: the sheets in the lowest folder are waste"); err != nil {
			return err
		}
	}
	return nil
}

// fillDrawers counts a few sheets more into the drawers that the script needs fuller.
func (l *lately) fillDrawers() error {
	rows, err := stockroom.Drawer(l.ctx, l.studio)
	if err != nil {
		return err
	}
	for _, r := range rows {
		dry := r.ID == l.stocks[waitsForLab].ed.ID || r.ID == l.stocks[waitsForOrder].ed.ID
		if dry || r.Waiting == 0 {
			continue
		}
		if err := stockroom.CountSheets(l.ctx, l.studio, r.ID, r.OnHand+r.Waiting+1, "found behind the plan chest"); err != nil {
			return err
		}
	}
	return nil
}

func (l *lately) sale(i int) error {
	s := script[i]
	to := s.to
	if to == nil {
		home := homes[(i*7)%len(homes)]
		to = &home
	}
	buyer, address := l.buyerAt(*to)
	in := book.Sale{
		Outlet: l.outlets[s.outlet].ID, Ref: l.ref(s.outlet), Buyer: buyer, Placed: l.day, ShipTo: address,
		SameNumber: s.same, GiftMessage: s.gift, Note: s.note, Postage: dollars(0), Tax: dollars(0), Paid: dollars(0),
	}
	if s.arrives > 0 {
		in.ArriveBy = l.today.Add(s.arrives)
	}
	if to.country != "US" {
		in.Postage = dollars(2200)
	}
	for n, at := range s.prints {
		line := book.SaleLine{Edition: l.stocks[at].ed.ID}
		if n == 0 {
			line.Number = s.number
		}
		in.Lines = append(in.Lines, line)
	}
	if s.twist == homeless {
		in.ShipTo, in.InPerson = order.Address{}, true
	}
	v, err := book.TakeOrder(l.ctx, l.studio, in)
	if err == nil && s.twist == homeless {
		sent := false
		_, err = book.Amend(l.ctx, l.studio, book.AmendIn{Order: v.ID, InPerson: &sent})
	}
	if err != nil {
		return err
	}
	l.orders[i] = v.ID
	l.sold = append(l.sold, sold{v.ID, s.outlet, v.Placed})
	if _, taxed := tax.Find(l.rates, v.ShipTo.Country, v.ShipTo.Region, v.Placed); taxed && (s.outlet == ownSite || s.outlet == fairs) {
		if _, err := taxing.Charge(l.ctx, l.studio, v.ID); err != nil {
			return err
		}
		if v, err = book.Order(l.ctx, l.studio, v.ID); err != nil {
			return err
		}
	}
	return l.pays(v, s)
}

// pays records what came in: all, or a part as a deposit.
func (l *lately) pays(v studio.OrderView, s scene) error {
	switch {
	case s.paid == 0:
		return nil
	case s.in != "":
		return l.paysIn(v, s.in)
	}
	a, err := v.Owed.Share(int64(s.paid), 100)
	if err != nil {
		return err
	}
	kind := order.Deposit
	if s.paid == 100 {
		kind = order.Balance
	}
	return book.Pay(l.ctx, l.studio, book.PaymentIn{Order: v.ID, Kind: kind, Amount: a, Day: v.Placed})
}

// receiveRuns takes in what the labs still owed, but for the latest run, which is late. Runs of the dry
// drawers are given up.
func (l *lately) receiveRuns() error {
	for i, r := range l.past.runs {
		var err error
		switch dry := r.Edition == l.stocks[waitsForLab].ed.ID || r.Edition == l.stocks[waitsForOrder].ed.ID; {
		case dry:
			err = stockroom.CloseRun(l.ctx, l.studio, r.ID)
		case i < len(l.past.runs)-1:
			err = stockroom.Receive(l.ctx, l.studio, supply.Receipt{Run: r.ID, Day: l.day, Good: r.Quantity})
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// orderSheetsAgain orders a run for one of the dry drawers.
func (l *lately) orderSheetsAgain() error {
	s := l.stocks[waitsForLab]
	run, err := stockroom.OrderRun(l.ctx, l.studio, supply.Run{
		Edition: s.ed.ID, Lab: labs[0], Ordered: l.day, Expected: l.working.Add(l.today, 2), Quantity: 12,
		UnitCost: s.ed.PrintCost, Note: "in two parts",
	})
	l.run = run.ID
	return err
}

// receivePart takes a part of that run in; one sheet of it is rejected.
func (l *lately) receivePart() error {
	return stockroom.Receive(l.ctx, l.studio, supply.Receipt{Run: l.run, Day: l.day, Good: 1, Rejected: 1, Note: "first part; one with a roller mark"})
}

func (l *lately) workDone() error {
	return l.workWhere(func(s scene) bool { return s.until == order.Done })
}

func (l *lately) workOpen() error {
	return l.workWhere(func(s scene) bool { return s.until != order.Done })
}

// workWhere brings scenes to their stage.
func (l *lately) workWhere(is func(scene) bool) error {
	for i, s := range script {
		if !is(s) {
			continue
		}
		if err := l.workOn(i, s); err != nil {
			return fmt.Errorf("scene %d: %w", i, err)
		}
	}
	return nil
}

// reaches reports whether a scene goes beyond a stage.
func (s scene) reaches(stage order.Stage) bool {
	all := order.Stages()
	return slices.Index(all, s.until) > slices.Index(all, stage)
}

func (l *lately) workOn(i int, s scene) error {
	id := l.orders[i]
	if err := l.twist(id, s); err != nil || !s.reaches(order.AwaitsSigning) {
		return err
	}
	v, err := book.Order(l.ctx, l.studio, id)
	if err != nil {
		return err
	}
	if err := register.Sign(l.ctx, l.studio, lineIDs(v)); err != nil {
		return err
	}
	if err := l.certify(l.studio, v.Live()); err != nil {
		return err
	}
	if !s.reaches(order.AwaitsPacking) {
		return nil
	}
	parcels, err := dispatch.Pack(l.ctx, l.studio, dispatch.PackIn{Order: id})
	if err != nil || !s.reaches(order.AwaitsLabel) {
		return err
	}
	if err := l.label(l.studio, parcels, v.ShipTo.Country); err != nil || s.until != order.Done || len(v.Tell) == 0 {
		return err
	}
	return book.Override(l.ctx, l.studio, id, untold)
}

func lineIDs(v studio.OrderView) []int64 {
	var ids []int64
	for _, x := range v.Live() {
		ids = append(ids, x.ID)
	}
	return ids
}

// twist does what is out of the ordinary with an order.
func (l *lately) twist(id int64, s scene) error {
	switch s.twist {
	case overridden:
		return book.Override(l.ctx, l.studio, id, "the gallery pays at the end of the month")
	case collected:
		v, err := book.Order(l.ctx, l.studio, id)
		if err != nil {
			return err
		}
		return book.Pay(l.ctx, l.studio, book.PaymentIn{Order: id, Kind: order.Balance, Amount: v.Owed, Day: l.day, Note: "by bank transfer"})
	case restruck:
		return l.spoil(id)
	}
	return nil
}

func (l *lately) spoil(id int64) error {
	v, err := book.Order(l.ctx, l.studio, id)
	if err != nil {
		return err
	}
	if err := register.Sign(l.ctx, l.studio, lineIDs(v)); err != nil {
		return err
	}
	at := v.Views[0]
	if err := register.Spoil(l.ctx, l.studio, register.SpoilIn{Edition: at.Edition, Number: at.Number, Reason: "ink on the margin"}); err != nil {
		return err
	}
	return register.Restrike(l.ctx, l.studio, at.Edition, at.Number, "a clean sheet for the same buyer")
}

// handOverFirst gives the first half of what is done to the operator.
func (l *lately) handOverFirst() error {
	parcels, err := l.doneParcels()
	if err != nil {
		return err
	}
	_, err = dispatch.HandOver(l.ctx, l.studio, dispatch.HandOverIn{Day: l.day, Parcels: parcels[:len(parcels)/2]})
	return err
}

// handOverRest gives what is left of it.
func (l *lately) handOverRest() error {
	_, err := dispatch.HandOver(l.ctx, l.studio, dispatch.HandOverIn{Day: l.day})
	return err
}

func (l *lately) doneParcels() ([]int64, error) {
	var parcels []int64
	for i, s := range script {
		if s.until != order.Done {
			continue
		}
		v, err := book.Order(l.ctx, l.studio, l.orders[i])
		if err != nil {
			return nil, err
		}
		for _, x := range v.Parcels {
			parcels = append(parcels, x.ID)
		}
	}
	return parcels, nil
}

// oddments are the steps of single numbers: withdrawn, kept, signed ahead, come back.
func (l *lately) oddments() error {
	fine := l.stocks[9].ed
	if err := register.Withdraw(l.ctx, l.studio, fine.ID, edition.Number{Kind: edition.Numbered, N: fine.Limit}, "flaw in the deckle edge"); err != nil {
		return err
	}
	if err := register.Keep(l.ctx, l.studio, fine.ID, edition.Number{Kind: edition.AP, N: 2}, "for the archive"); err != nil {
		return err
	}
	v, err := book.Order(l.ctx, l.studio, l.orders[7])
	if err != nil {
		return err
	}
	if _, err := billing.Write(l.ctx, l.studio, billing.WriteIn{Order: v.ID, Kind: invoice.Invoice}); err != nil {
		return err
	}
	refund, reason := v.Views[0].Price, "corner crushed in the post"
	err = book.TakeBack(l.ctx, l.studio, book.TakeBackIn{Order: v.ID, Lines: []int64{v.Views[0].ID}, Spoilt: true, Reason: reason, Refund: refund})
	if err != nil {
		return err
	}
	return l.credit(v.ID, refund, reason)
}

// lowShelf counts three kinds of packaging down below their reorder level.
func (l *lately) lowShelf() error {
	items, err := stockroom.Shelf(l.ctx, l.studio)
	if err != nil {
		return err
	}
	low := 0
	for _, it := range items {
		if low == 3 || it.ReorderAt < 2 || it.Retired {
			continue
		}
		low++
		if err := stockroom.CountShelf(l.ctx, l.studio, it.ID, it.ReorderAt-1, "counted on the shelf"); err != nil {
			return err
		}
	}
	return nil
}
