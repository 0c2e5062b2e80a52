package demo

import (
	"fmt"
	"slices"

	"solander/calendar"
	"solander/edition"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// lately plays the last two weeks through the studio's use cases, so that every mark can be undone.
type lately struct {
	*past
	studio *studio.Studio
	orders []int64 // by scene
}

// live plays the script: the sales day by day, then what was done with each.
func (l *lately) live() error {
	l.orders = make([]int64, len(script))
	if err := l.dryDrawers(); err != nil {
		return fmt.Errorf("demo drawers: %w", err)
	}
	order := make([]int, len(script))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return script[b].ago - script[a].ago })
	for _, i := range order {
		if err := l.sale(i); err != nil {
			return fmt.Errorf("demo scene %d, sale: %w", i, err)
		}
	}
	for _, step := range []func() error{l.runs, l.fillDrawers, l.work, l.oddments, l.shelf} {
		if err := step(); err != nil {
			return fmt.Errorf("demo, last weeks: %w", err)
		}
	}
	return nil
}

// on sets the clock so many days back.
func (l *lately) on(ago, hour int) calendar.Day {
	d := l.today.Add(-ago)
	l.clock.turnTo(d, hour)
	return d
}

// dryDrawers empties the drawers of the two editions that orders shall wait for, down to what is signed.
func (l *lately) dryDrawers() error {
	l.on(pastEnds, 17)
	for _, at := range []int{waitsForLab, waitsForOrder} {
		v, err := l.studio.Edition(l.ctx, l.stocks[at].ed.ID)
		if err != nil {
			return err
		}
		signed := v.Counts[edition.Signed] + v.Counts[edition.Returned]
		if v.OnHand == signed {
			continue
		}
		if err := l.studio.CountSheets(l.ctx, v.ID, signed, "a damp corner: the sheets in the lowest folder are waste"); err != nil {
			return err
		}
	}
	return nil
}

// fillDrawers counts a few sheets more into the drawers that the script needs fuller.
func (l *lately) fillDrawers() error {
	l.on(7, 9)
	rows, err := l.studio.Drawer(l.ctx)
	if err != nil {
		return err
	}
	for _, r := range rows {
		dry := r.ID == l.stocks[waitsForLab].ed.ID || r.ID == l.stocks[waitsForOrder].ed.ID
		if dry || r.Waiting == 0 {
			continue
		}
		if err := l.studio.CountSheets(l.ctx, r.ID, r.OnHand+r.Waiting+1, "found behind the plan chest"); err != nil {
			return err
		}
	}
	return nil
}

func (l *lately) sale(i int) error {
	s := script[i]
	placed := l.on(s.ago, 11)
	to := s.to
	if to == nil {
		home := homes[(i*7)%len(homes)]
		to = &home
	}
	buyer, address := l.buyerAt(*to)
	in := studio.Sale{Outlet: l.outlets[s.outlet].ID, Ref: l.ref(s.outlet), Buyer: buyer, Placed: placed, ShipTo: address,
		SameNumber: s.same, GiftMessage: s.gift, Note: s.note, Postage: dollars(0), Tax: dollars(0), Paid: dollars(0)}
	if s.arrives > 0 {
		in.ArriveBy = l.today.Add(s.arrives)
	}
	if to.country != "US" {
		in.Postage = dollars(2200)
	}
	for n, at := range s.prints {
		line := studio.SaleLine{Edition: l.stocks[at].ed.ID}
		if n == 0 {
			line.Number = s.number
		}
		in.Lines = append(in.Lines, line)
	}
	v, err := l.studio.TakeOrder(l.ctx, in)
	if err != nil {
		return err
	}
	l.orders[i] = v.ID
	return l.pays(v, s)
}

// pays records what came in: all, or a part as a deposit.
func (l *lately) pays(v studio.OrderView, s scene) error {
	if s.paid == 0 {
		return nil
	}
	a, err := v.Owed.Share(int64(s.paid), 100)
	if err != nil {
		return err
	}
	kind := order.Deposit
	if s.paid == 100 {
		kind = order.Balance
	}
	return l.studio.Pay(l.ctx, studio.PaymentIn{Order: v.ID, Kind: kind, Amount: a, Day: v.Placed})
}

// runs orders sheets for one of the dry drawers and takes a part of them in, one of them rejected.
func (l *lately) runs() error {
	ordered := l.on(9, 15)
	s := l.stocks[waitsForLab]
	for _, r := range l.past.runs {
		if r.Edition == s.ed.ID || r.Edition == l.stocks[waitsForOrder].ed.ID {
			if err := l.studio.CloseRun(l.ctx, r.ID); err != nil {
				return err
			}
		}
	}
	run, err := l.studio.OrderRun(l.ctx, supply.Run{Edition: s.ed.ID, Lab: labs[0], Ordered: ordered, Expected: l.working.Add(l.today, 2), Quantity: 12,
		UnitCost: s.ed.PrintCost, Note: "in two parts"})
	if err != nil {
		return err
	}
	day := l.on(4, 12)
	return l.studio.Receive(l.ctx, supply.Receipt{Run: run.ID, Day: day, Good: 1, Rejected: 1, Note: "first part; one with a roller mark"})
}

// work brings every scene to its stage, in the order of a working week.
func (l *lately) work() error {
	for i, s := range script {
		if err := l.workOn(i, s); err != nil {
			return fmt.Errorf("scene %d: %w", i, err)
		}
	}
	return l.handOvers()
}

// reaches reports whether a scene goes beyond a stage.
func (s scene) reaches(stage order.Stage) bool {
	all := order.Stages()
	return slices.Index(all, s.until) > slices.Index(all, stage)
}

func (l *lately) workOn(i int, s scene) error {
	id := l.orders[i]
	l.on(min(s.ago, 3), 14)
	if s.until == order.Done {
		l.on(6, 14)
	}
	if err := l.twist(id, s); err != nil || !s.reaches(order.AwaitsSigning) {
		return err
	}
	v, err := l.studio.Order(l.ctx, id)
	if err != nil {
		return err
	}
	if err := l.studio.Sign(l.ctx, lineIDs(v)); err != nil {
		return err
	}
	if !s.reaches(order.AwaitsPacking) {
		return nil
	}
	parcels, err := l.studio.Pack(l.ctx, studio.PackIn{Order: id})
	if err != nil || !s.reaches(order.AwaitsLabel) {
		return err
	}
	for _, x := range parcels {
		l.serial++
		in := studio.LabelIn{Parcel: x.ID, Service: x.Service, Paid: l.paid(x.Estimated), Tracking: l.tracking(l.serial, v.ShipTo.Country, "US")}
		if err := l.studio.Label(l.ctx, in); err != nil {
			return err
		}
	}
	return nil
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
		return l.studio.Override(l.ctx, id, "the gallery pays at the end of the month")
	case collected:
		v, err := l.studio.Order(l.ctx, id)
		if err != nil {
			return err
		}
		return l.studio.Pay(l.ctx, studio.PaymentIn{Order: id, Kind: order.Balance, Amount: v.Owed, Day: l.on(2, 10), Note: "by bank transfer"})
	case restruck:
		return l.spoil(id)
	}
	return nil
}

func (l *lately) spoil(id int64) error {
	v, err := l.studio.Order(l.ctx, id)
	if err != nil {
		return err
	}
	if err := l.studio.Sign(l.ctx, lineIDs(v)); err != nil {
		return err
	}
	at := v.Views[0]
	if err := l.studio.Spoil(l.ctx, studio.SpoilIn{Edition: at.Edition, Number: at.Number, Reason: "ink on the margin"}); err != nil {
		return err
	}
	return l.studio.Restrike(l.ctx, at.Edition, at.Number, "a clean sheet for the same buyer")
}

// handOvers gives what is done to the operator: five days ago, before the rest was labelled.
func (l *lately) handOvers() error {
	var parcels []int64
	for i, s := range script {
		if s.until != order.Done {
			continue
		}
		v, err := l.studio.Order(l.ctx, l.orders[i])
		if err != nil {
			return err
		}
		for _, x := range v.Parcels {
			parcels = append(parcels, x.ID)
		}
	}
	half := len(parcels) / 2
	for n, batch := range [][]int64{parcels[:half], parcels[half:]} {
		day := l.on(5-2*n, 16)
		if _, err := l.studio.HandOver(l.ctx, studio.HandOverIn{Day: day, Parcels: batch}); err != nil {
			return err
		}
	}
	return nil
}

// oddments are the steps of single numbers: withdrawn, kept, signed ahead, come back.
func (l *lately) oddments() error {
	l.on(2, 11)
	fine := l.stocks[9].ed
	if err := l.studio.Withdraw(l.ctx, fine.ID, edition.Number{Kind: edition.Numbered, N: fine.Limit}, "flaw in the deckle edge"); err != nil {
		return err
	}
	if err := l.studio.Keep(l.ctx, fine.ID, edition.Number{Kind: edition.AP, N: 2}, "for the archive"); err != nil {
		return err
	}
	v, err := l.studio.Order(l.ctx, l.orders[7])
	if err != nil {
		return err
	}
	refund := v.Views[0].Price
	l.on(1, 11)
	return l.studio.TakeBack(l.ctx, studio.TakeBackIn{Order: v.ID, Lines: []int64{v.Views[0].ID}, Spoilt: true, Reason: "corner crushed in the post",
		Refund: money.Of(refund.Minor, currency)})
}

// shelf counts three kinds of packaging down below their reorder level.
func (l *lately) shelf() error {
	l.on(1, 17)
	items, err := l.studio.Shelf(l.ctx)
	if err != nil {
		return err
	}
	low := 0
	for _, it := range items {
		if low == 3 || it.ReorderAt < 2 || it.Retired {
			continue
		}
		low++
		if err := l.studio.CountShelf(l.ctx, it.ID, it.ReorderAt-1, "counted on the shelf"); err != nil {
			return err
		}
	}
	return nil
}
