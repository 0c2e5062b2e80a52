package banking_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"solander/bankfile"
	"solander/banking"
	"solander/book"
	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/consign"
	"solander/consigning"
	"solander/dispatch"
	"solander/edition"
	"solander/fair"
	"solander/fairs"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/ledger"
	"solander/order"
	"solander/register"
	"solander/years"
)

// brought keeps an account and brings lines of it in, all of the day of the bed.
func brought(b *bed.Bed, lines ...[2]string) (account int64) {
	b.Helper()
	account, err := banking.SaveAccount(b.Ctx, b.Studio, bankfile.Account{Name: "Current", Currency: "USD"})
	b.Must(err)
	_, err = banking.Bring(b.Ctx, b.Studio, banking.BringIn{Account: account, Name: "march.ofx", Body: []byte(statement(lines...))})
	b.Must(err)
	return account
}

// proposed says yes to all that is proposed for an account, and returns the lines; it fails unless so many are.
func proposed(b *bed.Bed, account int64, want int) []int64 {
	b.Helper()
	open, err := banking.Open(b.Ctx, b.Studio, account)
	b.Must(err)
	var yes []banking.MatchIn
	var lines []int64
	for _, l := range open {
		if l.Proposal != nil {
			yes, lines = append(yes, banking.Yes(l.ID, l.Proposal.Candidate)), append(lines, l.ID)
		}
	}
	if len(yes) != want {
		b.Fatalf("%d are proposed, want %d: %+v", len(yes), want, open)
	}
	b.Must(banking.Match(b.Ctx, b.Studio, yes))
	return lines
}

func stateOf(b *bed.Bed, line int64) bankfile.State {
	b.Helper()
	l, err := banking.Line(b.Ctx, b.Studio, line)
	b.Must(err)
	return l.State
}

// What a gallery owes is proposed for a line of its amount and name though nobody noted that it paid; by her yes it is noted as paid, of the day of the
// line, and taken back it is owed again and the line is open. By hand: 110.00 less 40 % are 66.00.
func TestAGalleryThatPaidIsProposed(t *testing.T) {
	b := bed.New(t)
	house, err := consigning.Save(b.Ctx, b.Studio, consign.House{Name: "Harrow Lane Rooms", Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30})
	b.Must(err)
	b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{bed.Num(2)}))
	sent, err := consigning.Send(b.Ctx, b.Studio, consigning.SendIn{Gallery: house.ID, Prints: []consigning.SendPrint{{Edition: b.Heron.ID, Number: bed.Num(2), Price: bed.USD(110_00)}}})
	b.Must(err)
	account := brought(b, [2]string{"66.00", "HARROW LANE ROOMS"}, [2]string{"65.99", "HARROW LANE ROOMS"})
	proposed0, err := banking.Open(b.Ctx, b.Studio, account)
	b.Must(err)
	for _, l := range proposed0 {
		if l.Proposal != nil || len(l.Others) > 0 {
			t.Errorf("before anything was sold is proposed %+v", l)
		}
	}
	_, err = consigning.End(b.Ctx, b.Studio, consigning.EndIn{Print: sent[0].ID, State: consign.Sold})
	b.Must(err)
	line := proposed(b, account, 1)[0]
	same(b, "after her yes", stands(b, ledger.Bank, ledger.Galleries, ledger.AtOutlets), 66_00, 0, 0)
	v, err := consigning.Gallery(b.Ctx, b.Studio, house.ID)
	b.Must(err)
	if len(v.Moneys) != 1 || v.Moneys[0].Amount != bed.USD(66_00) || v.Moneys[0].Day != calendar.Date(2026, 3, 4) || v.Owed.Sign() != 0 {
		t.Errorf("noted is %+v, owed %s", v.Moneys, v.Owed)
	}
	err = banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: proposed0[0].ID + proposed0[1].ID - line, Gallery: house.ID}})
	b.Refused(err, fault.Refused, "", "more than the 0.00")
	_, err = consigning.ReverseMoney(b.Ctx, b.Studio, v.Moneys[0].ID)
	b.Must(err)
	if s := stateOf(b, line); s != bankfile.Open {
		t.Errorf("taken back, the line is %s", s)
	}
	same(b, "taken back", stands(b, ledger.Bank, ledger.Galleries, ledger.AtOutlets), 0, 66_00, 0)
	proposed(b, account, 1)
	b.Sound()
}

// What an operator granted is proposed, and noted as paid by her yes; what was noted as paid before its line came, too. Taken back, the line is open.
func TestAnOperatorThatPaidIsProposed(t *testing.T) {
	for what, noted := range map[string]bool{"granted": false, "noted as paid": true} {
		t.Run(what, func(t *testing.T) {
			b := bed.New(t)
			v, parcels := b.Packed(b.Heron.ID)
			b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(9_25)}))
			_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
			b.Must(err)
			c, err := claims.Open(b.Ctx, b.Studio, claims.OpenIn{Parcel: parcels[0].ID, Kind: claim.Damaged})
			b.Must(err)
			_, err = claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID, Reference: "C-77"})
			b.Must(err)
			_, err = claims.Answer(b.Ctx, b.Studio, claims.AnswerIn{Claim: c.ID, Granted: bed.USD(40_00)})
			b.Must(err)
			if noted {
				_, err = claims.Paid(b.Ctx, b.Studio, claims.PaidIn{Claim: c.ID})
				b.Must(err)
			}
			before := stands(b, ledger.Bank, ledger.Claims, ledger.AtOutlets)
			account := brought(b, [2]string{"40.00", "INVENTED POST CLAIM C 77"}, [2]string{"39.00", "INVENTED POST CLAIM C 77"})
			line := proposed(b, account, 1)[0]
			settled := before[1] + before[2] - 40_00
			same(b, "after her yes", stands(b, ledger.Bank, ledger.Claims, ledger.AtOutlets), 40_00, 0, settled)
			now, err := claims.Claim(b.Ctx, b.Studio, c.ID)
			b.Must(err)
			if now.State != claim.Paid || now.Claim.Paid != bed.USD(40_00) || now.PaidOn != calendar.Date(2026, 3, 4) {
				t.Errorf("the claim is %s, %s paid on %s", now.State, now.Claim.Paid, now.PaidOn)
			}
			open, err := banking.Open(b.Ctx, b.Studio, account)
			b.Must(err)
			err = banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: open[0].ID, Claim: c.ID}})
			b.Refused(err, fault.Refused, "payment", "is of 40.00 USD")
			_, err = claims.TakeBack(b.Ctx, b.Studio, c.ID)
			b.Must(err)
			if s := stateOf(b, line); s != bankfile.Open {
				t.Errorf("taken back, the line is %s", s)
			}
			same(b, "taken back", stands(b, ledger.Bank, ledger.Claims, ledger.AtOutlets), 0, 40_00, settled)
			if _, err = claims.Paid(b.Ctx, b.Studio, claims.PaidIn{Claim: c.ID, Amount: bed.USD(39_00)}); err != nil {
				t.Fatal(err)
			}
			if s := stateOf(b, line); s != bankfile.Open {
				t.Errorf("paid with another amount, the line of the first is %s", s)
			}
			b.Sound()
			_ = v
		})
	}
}

// Cash of a day at a table is proposed whether it was noted as carried or not, is entered once, and is in the box again when that is taken back.
func TestCashOfADayIsProposed(t *testing.T) {
	for what, noted := range map[string]bool{"in the box": false, "noted as carried": true} {
		t.Run(what, func(t *testing.T) {
			b := bed.New(t)
			d, err := fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: b.Market.ID, Name: "Quay fair", Float: bed.USD(50_00)})
			b.Must(err)
			in := b.Sale()
			in.Outlet, in.Lines = b.Market.ID, []book.SaleLine{{Edition: b.Card.ID}}
			in.Buyer, in.ShipTo, in.Postage, in.PaidHow = order.Buyer{}, order.Address{}, bed.USD(0), order.InCash
			_, err = dispatch.SellInPerson(b.Ctx, b.Studio, in)
			b.Must(err)
			if noted {
				_, err = fairs.Carry(b.Ctx, b.Studio, fair.Carry{FairDay: d.ID, Amount: bed.USD(12_00)})
				b.Must(err)
			}
			account := brought(b, [2]string{"12.00", "CASH PAID IN QUAY FAIR"})
			line := proposed(b, account, 1)[0]
			same(b, "after her yes", stands(b, ledger.Bank, ledger.Cash), 12_00, 0)
			v, err := fairs.Day(b.Ctx, b.Studio, d.ID)
			b.Must(err)
			if len(v.Carried) != 1 || v.Carried[0].Day != calendar.Date(2026, 3, 4) {
				t.Fatalf("carried is %+v", v.Carried)
			}
			_, err = fairs.CarryBack(b.Ctx, b.Studio, v.Carried[0].ID)
			b.Must(err)
			if s := stateOf(b, line); s != bankfile.Open {
				t.Errorf("taken back, the line is %s", s)
			}
			same(b, "taken back", stands(b, ledger.Bank, ledger.Cash), 0, 12_00)
			proposed(b, account, 1)
			b.Must(banking.Reopen(b.Ctx, b.Studio, line))
			same(b, "the line open again, the cash still carried", stands(b, ledger.Bank, ledger.Cash), 12_00, 0)
			b.Sound()
		})
	}
}

// Lines up to the day of the opening balance of Bank are in that balance: whenever it is entered, before they are matched or after, the bank is the opening
// balance and the lines of later days, and nothing of what was paid stays at the outlets.
func TestNothingIsInTheBankTwice(t *testing.T) {
	early, late := 0, 0
	for round := range uint64(6) {
		b, chance := bed.MovingIn(t), rand.New(rand.NewPCG(9, round))
		account, err := banking.SaveAccount(b.Ctx, b.Studio, bankfile.Account{Name: "Current", Currency: "USD"})
		b.Must(err)
		other, err := banking.SaveAccount(b.Ctx, b.Studio, bankfile.Account{Name: "Savings", Currency: "USD"})
		b.Must(err)
		on := calendar.Date(2026, 2, 1).Add(chance.IntN(20))
		want, body := int64(1_000_00), "Date,Amount,Name\n"
		first := true
		for i := range 6 {
			in := b.Sale()
			cents := int64(1_00*(i+1) + chance.IntN(99))
			day := calendar.Date(2026, 2, 1).Add(chance.IntN(28))
			in.Lines, in.Postage, in.Paid = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(cents))}}, bed.USD(0), bed.USD(cents)
			in.Placed = day
			v := b.Take(in)
			body += day.String() + "," + bed.USD(cents).Plain() + "," + v.Mark + " Ada Quill\n"
			if day.After(on) {
				want, late = want+cents, late+1
			} else {
				early++
			}
		}
		_, err = banking.Bring(b.Ctx, b.Studio, banking.BringIn{Account: account, Name: "a.csv", Body: []byte(body)})
		b.Must(err)
		open := func() {
			b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "1000", Amount: bed.USD(1_000_00), Day: on, Bank: []int64{0, account}[round%2]}))
			if round%2 == 1 { // that of another account is no matter of this one
				b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "1000", Amount: bed.USD(5_00), Day: calendar.Date(2026, 3, 3), Bank: other}))
				want += 5_00
			}
		}
		lines, err := banking.Open(b.Ctx, b.Studio, account)
		b.Must(err)
		for _, i := range chance.Perm(len(lines)) {
			if first && chance.IntN(3) == 0 {
				open()
				first = false
			}
			if lines[i].Proposal == nil {
				t.Fatalf("nothing is proposed for %+v", lines[i].Kept)
			}
			b.Must(banking.Match(b.Ctx, b.Studio, []banking.MatchIn{banking.Yes(lines[i].ID, lines[i].Proposal.Candidate)}))
		}
		if first {
			open()
		}
		same(b, "in the end", stands(b, ledger.Bank, ledger.AtOutlets), want, 0)
		all, err := banking.Accounts(b.Ctx, b.Studio)
		b.Must(err)
		if i := slices.IndexFunc(all, func(v banking.AccountView) bool { return v.ID == account }); all[i].Opened != on {
			t.Errorf("the opening balance is of %s, it says %s", on, all[i].Opened)
		}
		b.Sound()
	}
	if early < 6 || late < 6 {
		t.Errorf("%d lines before, %d after: hardly anything was tested", early, late)
	}
}

// An opening balance that was entered wrongly, and again with the other sign, holds for no line any more.
func TestAnOpeningBalanceThatWasWrong(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Paid = bed.USD(95_00)
	b.Take(in)
	account := brought(b, [2]string{"95.00", "ADA QUILL"})
	proposed(b, account, 1)
	same(b, "before", stands(b, ledger.Bank), 95_00)
	for _, cents := range []int64{200_00, -200_00} {
		b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "bank", Amount: bed.USD(cents), Day: calendar.Date(2026, 3, 4)}))
		b.Sound()
	}
	same(b, "after", stands(b, ledger.Bank, ledger.AtOutlets), 95_00, 0)
	// Beside one of days before that stands: the line of 4 March comes after it, as if the wrong one never had been.
	for _, o := range []struct{ cents, day int }{{300_00, 2}, {200_00, 4}, {-200_00, 4}} {
		b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "bank", Amount: bed.USD(int64(o.cents)), Day: calendar.Date(2026, 3, o.day)}))
		b.Sound()
	}
	same(b, "beside one that stands", stands(b, ledger.Bank, ledger.AtOutlets), 395_00, 0)
	all, err := banking.Accounts(b.Ctx, b.Studio)
	b.Must(err)
	if day := all[0].Opened; day != calendar.Date(2026, 3, 2) {
		t.Errorf("the opening balance is of %s", day)
	}
	b.Refused(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "cash", Amount: bed.USD(1), Day: calendar.Date(2026, 3, 4), Bank: account}), fault.Invalid, "bank", "")
	b.Refused(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "bank", Amount: bed.USD(1), Day: calendar.Date(2026, 3, 4), Bank: 99}), fault.Missing, "bank", "")
}
