package posted

import (
	"fmt"

	"solander/calendar"
	"solander/fair"
	"solander/ledger"
	"solander/money"
)

// Carried is cash that was carried to the bank.
type Carried struct {
	fair.Carry
	Opened calendar.Day // of the opening balance of the account that it went to; no day: there is none
}

// FairDay is what a day at the table ought to have in the journal: cash goes from the outlet into the cash box, and from there to the bank, what the
// count is off, and what the day cost. Sales and fees are entered with their orders; the float is hers before and after, and no entry.
// Cash that was carried to the bank up to the day of the opening balance of its account is in that balance already: it makes that account less instead.
func FairDay(d fair.Day, t fair.Takings, costs []fair.Cost, carried []Carried) []ledger.Event {
	if d.Dropped {
		return nil
	}
	r := ledger.Refs{Outlet: d.Outlet}
	var out []ledger.Event
	enter := func(part, text, to, from string, a money.Amount) {
		e := ledger.Event{Part: part, Day: d.Day, Text: "a day at the table: " + text}
		if e.Move(to, from, a, r); len(e.Lines) > 0 {
			out = append(out, e)
		}
	}
	enter("cash", "cash taken", ledger.Cash, ledger.AtOutlets, money.Of(t.Cash, t.Currency))
	for _, c := range costs {
		if c.Reversed {
			continue
		}
		from := ledger.Labs
		if c.FromBox {
			from = ledger.Cash
		}
		enter(fmt.Sprintf("cost %d", c.ID), c.Kind.Words(), ledger.FairCosts, from, c.Amount)
	}
	enter("count", "the cash box counted", ledger.Cash, ledger.CashOff, d.Off(t, costs))
	for _, c := range carried {
		if c.Reversed {
			continue
		}
		to, text := ledger.Bank, "cash carried to the bank"
		if !c.Opened.IsZero() && !c.Day.After(c.Opened) {
			to, text = ledger.Opening, text+", in its opening balance"
		}
		enter(fmt.Sprintf("carried %d", c.ID), text, to, ledger.Cash, c.Amount)
		out[len(out)-1].Day = c.Day
	}
	return out
}
