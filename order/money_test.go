package order

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/charging"
	"solander/edition"
	"solander/fault"
	"solander/money"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

// sale is an order of two prints for 120 and 80, postage 15, tax 12.50.
func sale() Order {
	return Order{
		Mark: "S-1042", State: Open, Postage: usd(1500), Tax: usd(1250), ShipTo: us(),
		Lines: []Line{
			{ID: 1, Number: edition.Number{Kind: edition.Numbered, N: 17}, Price: usd(12_000)},
			{ID: 2, Price: usd(8_000)},
		},
	}
}

func TestWhatIsOwed(t *testing.T) {
	for name, tc := range map[string]struct {
		change          func(*Order)
		due, paid, owed int64
	}{
		"nothing paid":        {func(*Order) {}, 22_750, 0, 22_750},
		"a deposit":           {func(o *Order) { o.Payments = pays(Deposit, 5_000) }, 22_750, 5_000, 17_750},
		"deposit and balance": {func(o *Order) { o.Payments = append(pays(Deposit, 5_000), pays(Balance, 17_750)...) }, 22_750, 22_750, 0},
		"a wrong entry": {func(o *Order) {
			o.Payments = append(pays(Deposit, 5_000), Payment{Kind: Balance, Amount: usd(17_750), Reversed: true})
		}, 22_750, 5_000, 17_750},
		"a wrong refund": {func(o *Order) {
			o.Payments = append(pays(Deposit, 5_000), Payment{Kind: Refund, Amount: usd(5_000), Reversed: true})
		}, 22_750, 5_000, 17_750},
		"paid and refunded":      {func(o *Order) { o.Payments = append(pays(Balance, 22_750), pays(Refund, 8_000)...) }, 22_750, 14_750, 8_000},
		"tax by the outlet":      {func(o *Order) { o.TaxByOutlet = true }, 21_500, 0, 21_500},
		"a print dropped":        {func(o *Order) { o.Lines[1].Dropped = true }, 14_750, 0, 14_750},
		"dropped after payment":  {func(o *Order) { o.Payments, o.Lines[1].Dropped = pays(Balance, 22_750), true }, 14_750, 22_750, -8_000},
		"cancelled, paid":        {func(o *Order) { o.Payments, o.State = pays(Deposit, 5_000), Cancelled }, 0, 5_000, -5_000},
		"cancelled, all back":    {func(o *Order) { o.Payments, o.State = append(pays(Deposit, 5_000), pays(Refund, 5_000)...), Cancelled }, 0, 0, 0},
		"returned":               {func(o *Order) { o.Payments, o.State = pays(Balance, 22_750), Returned }, 0, 22_750, -22_750},
		"closed is due as ever":  {func(o *Order) { o.Payments, o.State = pays(Balance, 22_750), Closed }, 22_750, 22_750, 0},
		"closed, some given":     {func(o *Order) { o.Payments, o.State = append(pays(Balance, 22_750), pays(Refund, 2_000)...), Closed }, 22_750, 20_750, 0},
		"closed, given and owed": {func(o *Order) { o.Payments, o.State = append(pays(Deposit, 12_750), pays(Refund, 2_000)...), Closed }, 22_750, 10_750, 10_000},
		"closed, paid again": {func(o *Order) {
			o.Payments, o.State = slices.Concat(pays(Balance, 22_750), pays(Refund, 2_000), pays(Deposit, 1_500)), Closed
		}, 22_750, 22_250, 0},
		"closed, a wrong refund": {func(o *Order) {
			o.State, o.Payments = Closed, append(pays(Deposit, 5_000), Payment{Kind: Refund, Amount: usd(5_000), Reversed: true})
		}, 22_750, 5_000, 17_750},
		"closed, a print back and less paid back": {func(o *Order) {
			o.State, o.Lines[1].Dropped, o.Payments = Closed, true, append(pays(Balance, 22_750), pays(Refund, 5_000)...)
		}, 14_750, 17_750, -3_000},
		"closed, a print back and more paid back": {func(o *Order) {
			o.State, o.Lines[1].Dropped, o.Payments = Closed, true, append(pays(Balance, 22_750), pays(Refund, 9_000)...)
		}, 14_750, 13_750, 0},
		"open, a credit note and its refund": {func(o *Order) {
			o.Payments, o.Credit = append(pays(Balance, 22_750), pays(Refund, 2_000)...), credit(20_750, 2_000)
		}, 22_750, 20_750, 0},
		"open, a credit note before it is paid": {func(o *Order) { o.Credit = credit(20_750, 2_000) }, 22_750, 0, 20_750},
		"open, a refund beyond the credit note": {func(o *Order) {
			o.Payments, o.Credit = append(pays(Balance, 22_750), pays(Refund, 5_000)...), credit(20_750, 2_000)
		}, 22_750, 17_750, 3_000},
		"closed, a refund beyond the credit note": {func(o *Order) {
			o.State, o.Payments, o.Credit = Closed, append(pays(Balance, 22_750), pays(Refund, 5_000)...), credit(20_750, 2_000)
		}, 22_750, 17_750, 0},
		"a credit note, and the price is lowered by the same": {func(o *Order) { o.Credit, o.Lines[1].Price = credit(20_750, 2_000), usd(6_000) }, 20_750, 0, 20_750},
		"a credit note, and the price is lowered by less":     {func(o *Order) { o.Credit, o.Lines[1].Price = credit(20_750, 2_000), usd(7_000) }, 21_750, 0, 20_750},
		"a credit note, and the price is lowered by more":     {func(o *Order) { o.Credit, o.Lines[1].Price = credit(20_750, 2_000), usd(5_000) }, 19_750, 0, 19_750},
		"a credit note, paid in full all the same":            {func(o *Order) { o.Payments, o.Credit = pays(Balance, 22_750), credit(20_750, 2_000) }, 22_750, 22_750, 0},
		"an invoice taken off in whole is void, and no gift":  {func(o *Order) { o.Credit = credit(0, 22_750) }, 22_750, 0, 22_750},
		"all of it taken off and paid back": {func(o *Order) {
			o.Payments, o.Credit = append(pays(Balance, 22_750), pays(Refund, 22_750)...), credit(0, 22_750)
		}, 22_750, 0, 0},
		"cancelled, a credit note": {func(o *Order) { o.Payments, o.State, o.Credit = pays(Deposit, 5_000), Cancelled, credit(20_750, 2_000) }, 0, 5_000, -5_000},
		"a gift":                   {func(o *Order) { o.Lines, o.Postage, o.Tax = o.Lines[:1], usd(0), usd(0); o.Lines[0].Price = usd(0) }, 0, 0, 0},
		"no currency on postage":   {func(o *Order) { o.Postage = money.Amount{} }, 21_250, 0, 21_250},
	} {
		o := sale()
		tc.change(&o)
		if due, paid, owed := o.Due(), o.Paid(), o.Owed(); due.Minor != tc.due || paid.Minor != tc.paid || owed.Minor != tc.owed {
			t.Errorf("%s: due %s, paid %s, owed %s; want %d, %d, %d", name, due, paid, owed, tc.due, tc.paid, tc.owed)
		}
	}
}

// credit is of an invoice of which so much is left, and the notes that took off the rest.
func credit(left int64, notes ...int64) Credit {
	c := Credit{Left: usd(left)}
	for _, n := range notes {
		c.Notes = append(c.Notes, CreditNote{Amount: usd(n)})
	}
	return c
}

func pays(k PaymentKind, minor int64) []Payment { return []Payment{{Kind: k, Amount: usd(minor)}} }

// any order: prices and payments up to the largest that input may give.
func drawOrder(t *rapid.T) Order {
	amount := rapid.Int64Range(0, money.MaxMinor)
	o := Order{
		State: rapid.SampledFrom([]State{Open, Closed, Cancelled, Returned}).Draw(t, "state"), TaxByOutlet: rapid.Bool().Draw(t, "by outlet"),
		Postage: usd(amount.Draw(t, "postage")), Tax: usd(amount.Draw(t, "tax")),
	}
	for range rapid.IntRange(0, 12).Draw(t, "lines") {
		o.Lines = append(o.Lines, Line{Price: usd(amount.Draw(t, "price")), Dropped: rapid.Bool().Draw(t, "dropped"), Signed: rapid.Bool().Draw(t, "signed")})
	}
	for range rapid.IntRange(0, 8).Draw(t, "payments") {
		o.Payments = append(o.Payments, Payment{
			Kind: rapid.SampledFrom(PaymentKinds()).Draw(t, "kind"), Amount: usd(amount.Draw(t, "amount")), Reversed: rapid.Bool().Draw(t, "reversed"),
		})
	}
	if rapid.Bool().Draw(t, "credit") {
		o.Credit = credit(rapid.SampledFrom([]int64{0, amount.Draw(t, "left")}).Draw(t, "left of it"), rapid.SliceOfN(amount, 1, 3).Draw(t, "notes")...)
	}
	return o
}

func TestLawsOfWhatIsOwed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOrder(t)
		due, paid, owed := o.Due().Minor, o.Paid().Minor, o.Owed().Minor
		var back int64
		for _, p := range o.Payments {
			if p.Kind == Refund && !p.Reversed {
				back += p.Amount.Minor
			}
		}
		off := o.Credited().Minor
		// what credit notes took off is never more than they say, and leaves what the invoice asks for
		if sum, left := taken(o), o.Credit.Left.Minor; off < 0 || off > sum || off > 0 && due-off < left || left == 0 && off > back || left > 0 && off != max(0, min(sum, due-left)) {
			t.Fatalf("%d are taken off by notes over %d; %d are left of the invoice, %d are due, %d were paid back", off, sum, left, due, back)
		}
		switch given := o.Given().Minor; { // what is owed, what was given and what was paid are what is due, whatever happened
		case owed+given != due-paid:
			t.Fatalf("owed %d, given %d, due %d, paid %d", owed, given, due, paid)
		case given < 0 || given > max(back, off) || given > 0 && (o.State == Open && off == 0 || owed < 0):
			t.Fatalf("%s: given %d of the %d that were paid back and %d that were taken off, owed %d", o.State, given, back, off, owed)
		case o.State == Open && owed > 0 && given != off || o.State != Open && owed > 0 && given != max(back, off):
			t.Fatalf("%s: %d are owed, and of the %d that were paid back and %d that were taken off %d were given", o.State, owed, back, off, given)
		}
		var parts int64
		byNotes := min(o.Given().Minor, off)
		for i, n := range GivenAmong(o.Given().Minor-byNotes, o.Payments, Payment.InMinor) {
			if p := o.Payments[i]; n < 0 || n > 0 && (p.Kind != Refund || p.Reversed || n > p.Amount.Minor) {
				t.Fatalf("%d of %+v were given", n, p)
			}
			parts += n
		}
		if parts != o.Given().Minor-byNotes {
			t.Fatalf("given %s, among the refunds %d", o.Given(), parts)
		}
		if (o.State == Cancelled || o.State == Returned) && due != 0 {
			t.Fatalf("%s, and %d is due", o.State, due)
		}
		// Summed here a second time, by hand.
		byHand := o.Postage.Minor
		for _, l := range o.Lines {
			if !l.Dropped {
				byHand += l.Price.Minor
			}
		}
		if !o.TaxByOutlet {
			byHand += o.Tax.Minor
		}
		if (o.State == Open || o.State == Closed) && due != byHand {
			t.Fatalf("due %d, by hand %d", due, byHand)
		}
		settle := Payment{Kind: Balance, Amount: usd(owed)}
		if owed < 0 {
			settle = Payment{Kind: Refund, Amount: usd(-owed)}
		}
		settled := o
		settled.Payments = append(append([]Payment(nil), o.Payments...), settle)
		if left := settled.Owed(); !left.IsZero() {
			t.Fatalf("%s of %d settles %d, and %s is left", settle.Kind, settle.Amount.Minor, owed, left)
		}
		wrong := settle
		wrong.Reversed = true
		settled.Payments[len(settled.Payments)-1] = wrong
		if settled.Owed() != o.Owed() {
			t.Fatalf("a payment taken back still counts: %s instead of %s", settled.Owed(), o.Owed())
		}
		shuffled := o
		shuffled.Payments = append([]Payment(nil), o.Payments...)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		r.Shuffle(len(shuffled.Payments), func(i, j int) {
			shuffled.Payments[i], shuffled.Payments[j] = shuffled.Payments[j], shuffled.Payments[i]
		})
		if shuffled.Owed() != o.Owed() {
			t.Fatalf("in another order %s is owed, not %s", shuffled.Owed(), o.Owed())
		}
	})
}

func taken(o Order) (sum int64) {
	for _, n := range o.Credit.Notes {
		sum += n.Amount.Minor
	}
	return sum
}

// An order whose amounts do not go together is told, and no sum of it leaves one of them out.
func TestNoSumLeavesAnAmountOut(t *testing.T) {
	for name, change := range map[string]func(*Order){
		"a payment in other money":  func(o *Order) { o.Payments = []Payment{{Kind: Deposit, Amount: money.Of(5_000, "EUR")}} },
		"a refund in other money":   func(o *Order) { o.Payments = []Payment{{Kind: Refund, Amount: money.Of(5_000, "EUR")}} },
		"a price in other money":    func(o *Order) { o.Lines[1].Price = money.Of(8_000, "EUR") },
		"postage in other money":    func(o *Order) { o.Postage = money.Of(1_500, "EUR") },
		"tax in other money":        func(o *Order) { o.Tax = money.Of(1_250, "EUR") },
		"a price without money":     func(o *Order) { o.Lines[0].Price.Currency = "" },
		"a payment beyond all sums": func(o *Order) { o.Payments = append(pays(Deposit, math.MaxInt64), pays(Balance, 1)...) },
		"a price beyond all sums":   func(o *Order) { o.Lines[1].Price = usd(math.MaxInt64) },
		"the least number":          func(o *Order) { o.Payments = append(pays(Refund, math.MinInt64), pays(Deposit, 1)...) },
	} {
		o := sale()
		if err := o.Addable(); err != nil {
			t.Fatalf("a sound order: %v", err)
		}
		change(&o)
		if err := o.Addable(); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: %s is owed", name, o.Owed())
				}
			}()
			o.Owed()
		}()
	}
	rapid.Check(t, func(t *rapid.T) {
		if err := drawOrder(t).Addable(); err != nil {
			t.Fatalf("amounts that may be entered: %v", err)
		}
	})
}

// Tax that the outlet collects never touches what is owed to the studio.
func TestTaxByOutletIsNotOwed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOrder(t)
		o.TaxByOutlet = true
		other := o
		other.Tax = usd(rapid.Int64Range(0, money.MaxMinor).Draw(t, "other tax"))
		if o.Owed() != other.Owed() {
			t.Fatalf("%s and %s", o.Owed(), other.Owed())
		}
	})
}

func TestMayLeave(t *testing.T) {
	ready := func(o *Order) {
		o.Payments = pays(Balance, 22_750)
		o.Lines[0].Signed, o.Lines[1].Signed = true, true
	}
	for name, tc := range map[string]struct {
		change func(*Order)
		says   []string // none: it may leave
	}{
		"paid and signed":          {func(*Order) {}, nil},
		"overpaid":                 {func(o *Order) { o.Payments = pays(Balance, 30_000) }, nil},
		"a cent short":             {func(o *Order) { o.Payments = pays(Balance, 22_749) }, []string{"0.01 USD is still owed"}},
		"deposit only":             {func(o *Order) { o.Payments = pays(Deposit, 5_000) }, []string{"177.50 USD is still owed"}},
		"a number unsigned":        {func(o *Order) { o.Lines[0].Signed = false }, []string{"number 17 is not signed"}},
		"an open edition unsigned": {func(o *Order) { o.Lines[1].Signed = false }, []string{"a print is not signed"}},
		"all at once": {
			func(o *Order) { o.Payments, o.Lines[0].Signed, o.Lines[1].Signed = nil, false, false },
			[]string{"227.50 USD is still owed", "number 17 is not signed", "a print is not signed"},
		},
		"no address":            {func(o *Order) { o.ShipTo = Address{Name: "Ottilie Marrow"} }, []string{"the address is missing"}},
		"half an address":       {func(o *Order) { o.ShipTo.Line1, o.ShipTo.City = "", "" }, []string{"the address lacks its street, town"}},
		"no address, in person": {func(o *Order) { o.ShipTo, o.InPerson = Address{}, true }, nil},
		"no address, overridden": {
			func(o *Order) { o.ShipTo, o.Payments, o.Override = Address{}, nil, &Override{Reason: "so"} },
			[]string{"the address is missing"},
		},
		"everything": {
			func(o *Order) { o.ShipTo, o.Payments, o.Lines[0].Signed = Address{}, nil, false },
			[]string{"227.50 USD is still owed", "number 17 is not signed", "the address is missing"},
		},
		"unsigned and dropped": {func(o *Order) { o.Lines[0].Signed, o.Lines[0].Dropped = false, true }, nil},
		"overridden":           {func(o *Order) { o.Payments, o.Override = nil, &Override{Reason: "a gift to the museum"} }, nil},
		"cancelled":            {func(o *Order) { o.State = Cancelled }, []string{"it is cancelled"}},
		"returned":             {func(o *Order) { o.State = Returned }, []string{"it is returned"}},
		"closed":               {func(o *Order) { o.State = Closed }, []string{"it is closed"}},
		"cancelled, overridden": {
			func(o *Order) { o.State, o.Override = Cancelled, &Override{Reason: "so"} },
			[]string{"it is cancelled"},
		},
	} {
		o := sale()
		ready(&o)
		tc.change(&o)
		err := o.MayLeave()
		if len(tc.says) == 0 {
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "S-1042") {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, want := range tc.says {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v does not say %q", name, err, want)
			}
		}
	}
}

// An open order without override leaves just when nothing is owed and every live print is signed.
func TestMayLeaveLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOrder(t)
		o.State = Open
		o.ShipTo = us()
		want := o.Owed().Minor <= 0
		for _, l := range o.Lines {
			want = want && (l.Dropped || l.Signed)
		}
		if got := o.MayLeave() == nil; got != want || got != (len(o.HeldBack()) == 0) {
			t.Fatalf("leaves %v, want %v: %v", got, want, o.HeldBack())
		}
		o.Override = &Override{Reason: "so"}
		if err := o.MayLeave(); err != nil {
			t.Fatalf("overridden: %v", err)
		}
	})
}

func TestValidateOutletAndBuyer(t *testing.T) {
	for name, u := range map[string]Outlet{
		"own site": {Name: "Own site"}, "most": {Name: "é", Fees: charging.Simple(charging.Whole, usd(money.MaxMinor)), PromiseDays: 365},
	} {
		if err := u.Validate(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for field, u := range map[string]Outlet{
		"name":          {Name: "  "},
		"fees[0].share": {Name: "a", Fees: charging.Simple(charging.Whole+1, money.Amount{})},
		"fees[0].fixed": {Name: "a", Fees: charging.Simple(0, usd(-1))},
		"promise_days":  {Name: "a", PromiseDays: 366},
	} {
		only(t, field, u.Validate())
	}
	for _, b := range []Buyer{{Name: "Aoife Łęcka"}, {Name: "a", Email: "post.office+prints@example.org", Phone: "+1 540 555 0100", Note: "rings\ntwice"}} {
		if err := b.Validate(); err != nil {
			t.Errorf("%v: %v", b, err)
		}
	}
	for _, email := range []string{"a", "@example.org", "a@", "a b@example.org", "a@example.org,b@example.org", "a@b@example.org", "<a@example.org>", "a@ex\u202eample.org", "a@example.org\r\nBcc: b@example.org"} {
		if err := (Buyer{Name: "a", Email: email}).Validate(); !fault.Is(err, fault.Invalid) || fault.All(err)[0].Field != "email" {
			t.Errorf("%q: %v", email, err)
		}
	}
	only(t, "buyer", Buyer{}.Validate())
	only(t, "phone", Buyer{Name: "a", Phone: strings.Repeat("1", 41)}.Validate())
	only(t, "buyer_note", Buyer{Name: "a", Note: "\x1b[2J"}.Validate())
}

// only checks that err is one Invalid fault in a field, with a mend.
func only(t *testing.T, field string, err error) {
	t.Helper()
	all := fault.All(err)
	if len(all) != 1 || all[0].Code != fault.Invalid || all[0].Field != field || all[0].Mend == "" {
		t.Errorf("%v, want one fault in %s", all, field)
	}
}
