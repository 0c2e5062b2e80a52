package posted_test

import (
	"testing"

	"solander/bankfile"
	"solander/calendar"
	"solander/consign"
	"solander/ledger"
	"solander/money"
	"solander/posted"
)

// What a matched line enters balances, for money in and money out; what is open enters nothing.
func TestALineOfTheBank(t *testing.T) {
	day := calendar.Date(2026, 3, 5)
	line := func(minor int64, k bankfile.Kept) posted.Banked {
		k.State, k.Day, k.Amount = bankfile.Matched, day, money.Of(minor, "USD")
		return posted.Banked{Kept: k, Outlet: 4}
	}
	freight := line(-18_00, bankfile.Kept{Money: 2})
	freight.Kind = consign.Freight
	for name, tt := range map[string]struct {
		in   posted.Banked
		from string
		text string
		refs ledger.Refs
	}{
		"a payment": {line(120_00, bankfile.Kept{Payment: 1, Order: 9, Mark: "S-1009"}), ledger.AtOutlets, "at the bank: S-1009", ledger.Refs{Order: 9, Outlet: 4}},
		"a refund":  {line(-20_00, bankfile.Kept{Payment: 1, Order: 9, Mark: "S-1009"}), ledger.AtOutlets, "at the bank: S-1009", ledger.Refs{Order: 9, Outlet: 4}},
		"a payout":  {line(412_36, bankfile.Kept{Payout: 3, From: "Paperwren Market"}), ledger.AtOutlets, "at the bank: a payout", ledger.Refs{Outlet: 4}},
		"a gallery": {line(600_00, bankfile.Kept{Money: 1, From: "Harrow Lane Rooms"}), ledger.AtOutlets, "at the bank: money of a gallery", ledger.Refs{Outlet: 4}},
		"a claim":   {line(40_00, bankfile.Kept{Claim: 2}), ledger.AtOutlets, "at the bank: an operator's payment", ledger.Refs{Outlet: 4}},
		"freight":   {freight, ledger.Postal, "at the bank: money of a gallery", ledger.Refs{Outlet: 4}},
	} {
		all := posted.Bank(tt.in)
		if len(all) != 1 || all[0].Day != day || all[0].Text != tt.text || len(all[0].Lines) != 2 {
			t.Errorf("%s: %+v", name, all)
			continue
		}
		into, out := all[0].Lines[0], all[0].Lines[1]
		if into.Account != ledger.Bank || into.Amount != tt.in.Amount || out.Account != tt.from || out.Amount != tt.in.Amount.Neg() || into.Refs != tt.refs || out.Refs != tt.refs {
			t.Errorf("%s: %+v", name, all[0].Lines)
		}
		if err := ledger.Balanced(all[0].Lines); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		tt.in.Opened = day
		if early := posted.Bank(tt.in)[0]; early.Lines[0].Account != ledger.Opening || early.Lines[0].Amount != tt.in.Amount || early.Lines[1] != out {
			t.Errorf("%s, in the opening balance: %+v", name, early)
		}
		tt.in.Opened = day.Add(-1)
		if late := posted.Bank(tt.in)[0]; late.Lines[0] != into {
			t.Errorf("%s, a day after the opening balance: %+v", name, late)
		}
		tt.in.State = bankfile.Open
		if got := posted.Bank(tt.in); got != nil {
			t.Errorf("%s, open again: %+v", name, got)
		}
	}
}
