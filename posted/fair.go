package posted

import (
	"fmt"

	"solander/fair"
	"solander/ledger"
	"solander/money"
)

// FairDay is what a day at the table ought to have in the journal: cash goes from the outlet into the cash box, and from there to the bank, what the
// count is off, and what the day cost. Sales and fees are entered with their orders; the float is hers before and after, and no entry.
func FairDay(d fair.Day, t fair.Takings, costs []fair.Cost, carried []fair.Carry) []ledger.Event {
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
		if !c.Reversed {
			enter(fmt.Sprintf("carried %d", c.ID), "cash carried to the bank", ledger.Bank, ledger.Cash, c.Amount)
			out[len(out)-1].Day = c.Day
		}
	}
	return out
}
