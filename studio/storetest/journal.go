package storetest

import (
	"context"
	"testing"

	"solander/calendar"
	"solander/earnings"
	"solander/fault"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

// balances are what stands on every account, and the entries in all.
func balances(t *testing.T, s studio.Store) (stands map[string]int64, entries int) {
	t.Helper()
	stands = map[string]int64{}
	sums := map[string]int64{}
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Sums("", "")
		for _, x := range all {
			sums[x.Account] += x.Amount.Minor
		}
		if err != nil {
			return err
		}
		return tx.EachEntry(calendar.Day{}, calendar.Day{}, func(e ledger.Entry) error {
			entries++
			for _, l := range e.Lines {
				stands[l.Account] += l.Amount.Minor
			}
			return ledger.Balanced(e.Lines)
		})
	})
	for account, n := range sums {
		bed.Same(t, "the sum of "+account, stands[account], n)
	}
	return stands, entries
}

func stands(t *testing.T, s studio.Store, want map[string]int64) {
	t.Helper()
	got, _ := balances(t, s)
	for account, n := range got {
		if n != 0 || want[account] != 0 {
			bed.Same(t, account, want[account], n)
		}
	}
	for account, n := range want {
		bed.Same(t, account, n, got[account])
	}
}

// journalFollows holds that whatever is written of an order stands in the journal when the transaction ended, and what is taken back
// does not.
func journalFollows(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o := bed.Add(t, s, h.Sale(h.Declare(t, s, 5)))
	price := o.Lines[0].Price.Minor
	stands(t, s, map[string]int64{})
	var paid int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		paid, err = tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Deposit, Amount: bed.USD(4_000), Day: bed.Today})
		return err
	})
	stands(t, s, map[string]int64{ledger.AtOutlets: 4_000, ledger.Deposits: -4_000})
	closed := func(state order.State) {
		bed.Write(t, s, func(tx studio.Tx) error {
			x, err := tx.Order(o.ID)
			if err != nil {
				return err
			}
			x.State, x.Closed = state, bed.Today
			x.Postage, x.Tax, x.TaxByOutlet, x.Fee = bed.USD(700), bed.USD(90), false, bed.USD(325)
			return tx.SaveOrder(x)
		})
	}
	closed(order.Closed)
	due := price + 790
	sold := map[string]int64{
		ledger.AtOutlets: 4_000 - 325, ledger.Buyers: due - 4_000, ledger.Sales: -price, ledger.PostageCharged: -700, ledger.Tax: -90, ledger.OutletFees: 325,
	}
	stands(t, s, sold)
	closed(order.Open)
	stands(t, s, map[string]int64{ledger.AtOutlets: 4_000, ledger.Deposits: -4_000})
	closed(order.Closed)
	stands(t, s, sold)
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ReversePayment(paid) })
	closed(order.Cancelled)
	stands(t, s, map[string]int64{})
	_, entries := balances(t, s)
	if entries < 6 {
		t.Errorf("%d entries: what was taken back is gone, or nothing was entered", entries)
	}
	if found, err := s.Integrity(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("integrity: %v %v", found, err)
	}
}

// sheetsCost holds that sheets cost what their run did, first in, first out, and lie where they lay when they come back.
func sheetsCost(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o := bed.Add(t, s, h.Sale(h.Declare(t, s, 5)))
	ed := o.Lines[0].Edition
	move := func(delta int, why supply.Why) {
		bed.Write(t, s, func(tx studio.Tx) error {
			return tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: delta, Reason: "x", Day: bed.Today, Why: why})
		})
	}
	move(2, supply.Why{Cause: supply.Received, Cost: bed.USD(2_000)})
	move(3, supply.Why{Cause: supply.Received, Cost: bed.USD(4_000)})
	move(-1, supply.Why{Cause: supply.HandedOver, Line: o.Lines[0].ID})
	move(-2, supply.Why{Cause: supply.Spoiled})
	stands(t, s, map[string]int64{ledger.Labs: -6_000, ledger.Sheets: 2_667, ledger.CostOfPrints: 1_000, ledger.Spoilt: 2_333})
	move(1, supply.Why{Cause: supply.CameBack, Line: o.Lines[0].ID})
	stands(t, s, map[string]int64{ledger.Labs: -6_000, ledger.Sheets: 3_667, ledger.Spoilt: 2_333})
	move(-3, supply.Why{Cause: supply.Counted})
	stands(t, s, map[string]int64{ledger.Labs: -6_000, ledger.Spoilt: 2_333, ledger.Counted: 3_667})
	if found, err := s.Integrity(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("integrity: %v %v", found, err)
	}
}

// periodsClose holds that nothing is entered into a closed period: it goes to the first open day.
func periodsClose(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o := bed.Add(t, s, h.Sale(h.Declare(t, s, 5)))
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.ClosePeriod(ledger.Closing{Until: bed.Today.Add(10), At: tx.Now(), Who: "Ines"})
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Deposit, Amount: bed.USD(50), Day: bed.Today})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Entered(ledger.Order, []int64{o.ID})
		if err != nil || len(got) != 1 {
			t.Fatalf("%v %v", got, err)
		}
		bed.Same(t, "its day", bed.Today.Add(11), got[0].Day)
		bed.Same(t, "its true day", bed.Today, got[0].True)
		until, err := tx.ClosedUntil()
		bed.Same(t, "closed until", bed.Today.Add(10), until)
		return err
	})
}

// closesWhatWas holds that what a transaction did before it closed a period is entered on its own days, and what it did after it on the first open one;
// each once.
func closesWhatWas(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	var id int64
	bed.Write(t, s, func(tx studio.Tx) error {
		o, err := tx.AddOrder(h.Sale(ed))
		id = o.ID
		for _, n := range []int64{50, 30} {
			if err == nil {
				_, err = tx.AddPayment(order.Payment{Order: id, Kind: order.Deposit, Amount: bed.USD(n), Day: bed.Today})
			}
			if err == nil {
				err = tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: 2, Reason: "x", Day: bed.Today, Why: supply.Why{Cause: supply.Received, Cost: bed.USD(n)}})
			}
			if err == nil && n == 50 {
				err = tx.ClosePeriod(ledger.Closing{Until: bed.Today.Add(10), At: tx.Now(), Who: "Ines"})
			}
		}
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Entered(ledger.Order, []int64{id})
		if err != nil || len(got) != 2 {
			t.Fatalf("%v %v", got, err)
		}
		bed.Same(t, "the day of what was before", bed.Today, got[0].Day)
		bed.Same(t, "its true day", calendar.Day{}, got[0].True)
		bed.Same(t, "the day of what came after", bed.Today.Add(11), got[1].Day)
		bed.Same(t, "its true day", bed.Today, got[1].True)
		return nil
	})
	stands(t, s, map[string]int64{ledger.AtOutlets: 80, ledger.Deposits: -80, ledger.Sheets: 80, ledger.Labs: -80})
	if found, err := s.Integrity(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("integrity: %v %v", found, err)
	}
}

// byHandBalances holds that what is entered by hand balances, or is refused.
func byHandBalances(t *testing.T, s studio.Store) {
	bed.Furnished(t, s)
	lines := func(n int64) []ledger.Line {
		return []ledger.Line{{Account: ledger.Bank, Amount: bed.USD(100)}, {Account: ledger.Opening, Amount: bed.USD(n)}}
	}
	e := ledger.Entry{Day: bed.Today, Subject: ledger.Subject{Kind: "opening", ID: 1}, Part: "bank", Text: "opened", Lines: lines(-100)}
	bed.Write(t, s, func(tx studio.Tx) error { return tx.Enter(e) })
	e.Lines = lines(-99)
	bed.Refused(t, s, fault.Invalid, func(tx studio.Tx) error { return tx.Enter(e) })
	e.Lines = append(lines(-100)[:1], ledger.Line{Account: ledger.Opening, Amount: money.Of(-100, "EUR")})
	bed.Refused(t, s, fault.Invalid, func(tx studio.Tx) error { return tx.Enter(e) })
	stands(t, s, map[string]int64{ledger.Bank: 100, ledger.Opening: -100})
}

// accountsAreNamed holds that names stay until they are given back.
func accountsAreNamed(t *testing.T, s studio.Store) {
	for _, name := range []string{"Till", "Till and tin", ""} {
		bed.Write(t, s, func(tx studio.Tx) error { return tx.NameAccount(ledger.Cash, name) })
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.AccountNames()
			bed.Same(t, "the name", name, got[ledger.Cash])
			return err
		})
	}
}

// lotsAreTheJournal holds that what moved is the same by whatever it is asked, within the days that are asked for, and that an order which
// cost more than it brought in is found.
func lotsAreTheJournal(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var lost order.Order
	for i, day := range []calendar.Day{bed.Today.Add(-40), bed.Today.Add(-1), bed.Today} {
		o := bed.Add(t, s, h.Sale(h.Declare(t, s, 5)))
		bed.Write(t, s, func(tx studio.Tx) error {
			x, err := tx.Order(o.ID)
			if err != nil {
				return err
			}
			x.State, x.Closed, x.ShipTo.Country, x.ShipTo.Region = order.Closed, day, "US", []string{"VA", "VA", ""}[i]
			x.Postage, x.Fee = bed.USD(700), bed.USD(300)
			if i == 1 {
				x.Fee, lost = bed.USD(1_000_000), x
			}
			return tx.SaveOrder(x)
		})
	}
	from := bed.Today.Add(-10)
	bed.Read(t, s, func(tx studio.Tx) error {
		want := map[earnings.Part]int64{}
		sums, err := tx.SumsBetween(from, bed.Today)
		for _, x := range sums {
			if f, ok := earnings.Of(x.Account, x.Amount); ok {
				want[f.Part] += f.Amount.Minor
			}
		}
		if err != nil || want[earnings.Price] == 0 {
			t.Fatalf("nothing was sold: %v, %v", want, err)
		}
		for _, by := range []earnings.Lot{earnings.LotEdition, earnings.LotOutlet, earnings.LotBuyer, earnings.LotState, earnings.LotOrder} {
			got, of := map[earnings.Part]int64{}, map[string]bool{}
			all, err := tx.SumsOfLots(earnings.Query{By: by, From: from, To: bed.Today})
			if err != nil {
				return err
			}
			prints := 0
			for _, x := range all {
				got[x.Part] += x.Amount.Minor
				of[x.Text] = true
				prints += x.Prints
			}
			bed.Same(t, "what was earned by "+string(by), want, got)
			bed.Same(t, "prints by "+string(by), 2, prints)
			if by == earnings.LotState {
				bed.Same(t, "states", map[string]bool{"US VA": true, "US": true}, of)
			}
		}
		va := "US VA"
		for name, q := range map[string]earnings.Query{
			"the state": {By: earnings.LotOrder, From: from, State: &va}, "the edition": {By: earnings.LotOrder, Editions: []int64{lost.Lines[0].Edition}},
			"the buyer": {By: earnings.LotOrder, From: from, To: bed.Today.Add(-1), Buyers: []int64{lost.Buyer}}, "the outlet": {By: earnings.LotOrder, From: from, To: bed.Today.Add(-1), Outlets: []int64{lost.Outlet}},
		} {
			all, err := tx.SumsOfLots(q)
			if err != nil || len(all) == 0 {
				t.Errorf("%s: %v, %v", name, all, err)
			}
			for _, x := range all {
				bed.Same(t, "the order of "+name, lost.ID, x.ID)
			}
		}
		if there, err := tx.SoldThere(from, bed.Today); err != nil || len(there) != 0 {
			t.Errorf("sold at galleries: %v, %v", there, err)
		}
		below, err := tx.SumsOfOrdersSold(from, bed.Today, 10)
		fees := int64(0)
		for _, x := range below {
			bed.Same(t, "the order below cost", lost.ID, x.ID)
			if x.Part == earnings.OutletFee {
				fees = x.Amount.Minor
			}
		}
		bed.Same(t, "its fee", int64(-1_000_000), fees)
		if none, err := tx.SumsOfOrdersSold(bed.Today, bed.Today, 10); err != nil || len(none) != 0 {
			t.Errorf("of today alone: %v, %v", none, err)
		}
		return err
	})
}
