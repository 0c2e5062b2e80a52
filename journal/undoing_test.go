package journal_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"solander/bankfile"
	"solander/banking"
	"solander/book"
	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/consign"
	"solander/consigning"
	"solander/currencies"
	"solander/dispatch"
	"solander/edition"
	"solander/exchange"
	"solander/fair"
	"solander/fairs"
	"solander/fault"
	"solander/intake/csvfile"
	"solander/internal/bed"
	"solander/labelling"
	"solander/money"
	"solander/order"
	"solander/payouts"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/years"
)

// TestWhatIsTakenBackLeavesNothing does what posts in any order, and takes it back from the last to the first, some of it at once and all of it in the end:
// each time every balance is what it was before that deed, to the cent. Every deed is dealt out again and again, and each has to have been taken back.
func TestWhatIsTakenBackLeavesNothing(t *testing.T) {
	for name, open := range engines {
		if *engine == "" || *engine == name {
			t.Run(name, func(t *testing.T) {
				did := map[string]int{}
				most, least := 9, 3
				if testing.Short() {
					least = 1
				}
				missing := func() (out []string) {
					for deed := range (&undoing{}).deeds() {
						if did[deed] == 0 {
							out = append(out, deed)
						}
					}
					return out
				}
				for round := 0; round < least || round < most && len(missing()) > 0; round++ { // what drew too little draws on
					b := open(t)
					b.Studio.Files = csvfile.Read
					u := &undoing{Bed: b, t: t, chance: rand.New(rand.NewPCG(59, uint64(round))), did: did}
					u.prepare()
					u.round()
				}
				if none := missing(); len(none) > 0 {
					t.Errorf("nobody took back: %v", none)
				}
				t.Logf("taken back: %v", did)
			})
		}
	}
}

// undoing is a studio in which what is done is taken back.
type undoing struct {
	*bed.Bed
	t      *testing.T
	chance *rand.Rand
	did    map[string]int
	pile   []done

	due, abroad, paid, packed, sent, market, hand []int64 // orders
	claimed                                       []int64
	there                                         []int64 // prints at the gallery
	gallery, table, run, account                  int64
	atBank                                        []banked
	lines                                         int
}

// done is a deed with what takes it back, and the balances before it.
type done struct {
	name   string
	back   func() error
	before map[string]string
}

// banked is what a line of the bank may be.
type banked struct {
	in     banking.MatchIn
	amount money.Amount
	abroad bool
}

func (u *undoing) n(most int) int { return u.chance.IntN(most) }

func (u *undoing) cents(most int) money.Amount { return bed.USD(int64(1 + u.n(most))) }

func (u *undoing) one(of []int64) int64 { return of[u.n(len(of))] }

func (u *undoing) prepare() {
	u.account = got[int64](u)(banking.SaveAccount(u.Ctx, u.Studio, bankfile.Account{Name: "Current", Currency: "USD"}))
	got[exchange.Rate](u)(currencies.Enter(u.Ctx, u.Studio, exchange.Rate{Base: "EUR", Quote: "USD", Rate: "1.1803", Day: calendar.Date(2026, 3, 4)}))
	u.Must(stockroom.CountSheets(u.Ctx, u.Studio, u.Card.ID, 60, "found"))
	u.run = got[supply.Run](u)(stockroom.OrderRun(u.Ctx, u.Studio, supply.Run{Edition: u.Card.ID, Lab: "Saltmarsh", Quantity: 900, UnitCost: bed.USD(3_17)})).ID
	card := func(change func(*book.Sale)) studio.OrderView {
		in := u.Sale()
		in.Lines = []book.SaleLine{{Edition: u.Card.ID, Price: bed.Ptr(u.cents(90_00))}, {Edition: u.Card.ID}}
		in.Postage, in.Tax = bed.USD(int64(u.n(9_00))), bed.USD(int64(u.n(9_00)))
		change(&in)
		return u.Take(in)
	}
	whole := func(v studio.OrderView) int64 {
		u.Must(book.Pay(u.Ctx, u.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		return v.ID
	}
	for range 3 {
		u.due = append(u.due, card(func(*book.Sale) {}).ID)
		u.abroad = append(u.abroad, card(func(in *book.Sale) { in.Agreed = &currencies.AgreeIn{Currency: "EUR"} }).ID)
		u.market = append(u.market, card(func(in *book.Sale) { in.Outlet = u.Market.ID }).ID)
		u.paid = append(u.paid, whole(card(func(*book.Sale) {})))
		for _, to := range []*[]int64{&u.packed, &u.sent, &u.hand} {
			inPerson := to == &u.hand
			id := whole(card(func(in *book.Sale) { in.InPerson = inPerson }))
			u.Must(register.Sign(u.Ctx, u.Studio, bed.LineIDs(u.Order(id))))
			if *to = append(*to, id); !inPerson {
				got[[]studio.Parcel](u)(dispatch.Pack(u.Ctx, u.Studio, dispatch.PackIn{Order: id}))
			}
		}
	}
	for _, id := range u.sent {
		for _, p := range u.Order(id).Parcels {
			u.Must(labelling.Label(u.Ctx, u.Studio, labelling.LabelIn{Parcel: p.ID, Paid: u.cents(9_00)}))
		}
	}
	got[studio.HandOver](u)(dispatch.HandOver(u.Ctx, u.Studio, dispatch.HandOverIn{}))
	for _, id := range u.sent {
		for _, p := range u.Order(id).Parcels {
			u.claimed = append(u.claimed, got[claim.Claim](u)(claims.Open(u.Ctx, u.Studio, claims.OpenIn{Parcel: p.ID, Kind: claim.Damaged})).ID)
		}
	}
	u.gallery = got[consign.House](u)(consigning.Save(u.Ctx, u.Studio, consign.House{Name: "Harrow Lane Rooms", Share: 333, Wholesale: 500, Bears: consign.Gallery, PayDays: 30})).ID
	var ahead []edition.Number
	for n := range 4 {
		ahead = append(ahead, bed.Num(2+n))
	}
	u.Must(register.SignAhead(u.Ctx, u.Studio, u.Heron.ID, ahead))
	day := got[fair.Day](u)(fairs.Begin(u.Ctx, u.Studio, fair.Day{Outlet: u.Market.ID, Name: "Quay fair", Float: bed.USD(50_00)}))
	u.table = day.ID
	in := u.Sale()
	in.Outlet, in.Lines = u.Market.ID, []book.SaleLine{{Edition: u.Card.ID, Price: bed.Ptr(bed.USD(88_00))}}
	in.Buyer, in.ShipTo, in.Postage, in.PaidHow = order.Buyer{}, order.Address{}, bed.USD(0), order.InCash
	got[studio.OrderView](u)(dispatch.SellInPerson(u.Ctx, u.Studio, in))
	u.Sound()
}

// got is a value whose deed must not fail.
func got[T any](u *undoing) func(T, error) T {
	return func(v T, err error) T {
		u.t.Helper()
		u.Must(err)
		return v
	}
}

func (u *undoing) round() {
	deeds := u.deeds()
	for range 3 {
		names := slices.Sorted(maps.Keys(deeds))
		u.chance.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		for _, name := range names {
			before := ours(u.t, u.Studio)
			back, err := deeds[name]()
			if err != nil && fault.CodeOf(err) == fault.Internal {
				u.t.Fatalf("%s: %s", name, bed.Deep(err))
			}
			if err != nil || back == nil {
				continue
			}
			u.pile = append(u.pile, done{name, back, before})
			for u.n(4) == 0 && len(u.pile) > 0 {
				u.pop()
			}
		}
	}
	rebalanced(u.t, u.Studio, 8)
	u.Sound()
	for len(u.pile) > 0 {
		u.pop()
	}
	u.Sound()
	rebalanced(u.t, u.Studio, 8)
}

// pop takes the last deed back.
func (u *undoing) pop() {
	d := u.pile[len(u.pile)-1]
	u.pile = u.pile[:len(u.pile)-1]
	if err := d.back(); err != nil {
		u.t.Fatalf("%s cannot be taken back: %s", d.name, bed.Deep(err))
	}
	if after := ours(u.t, u.Studio); !maps.Equal(d.before, after) {
		var off []string
		for k := range maps.Keys(d.before) {
			if d.before[k] != after[k] {
				off = append(off, fmt.Sprintf("%s is %q, was %q", k, after[k], d.before[k]))
			}
		}
		for k := range after {
			if _, was := d.before[k]; !was {
				off = append(off, fmt.Sprintf("%s is %q, was nothing", k, after[k]))
			}
		}
		u.t.Fatalf("after %s was taken back: %s", d.name, strings.Join(off, "; "))
	}
	u.did[d.name]++
}

// marked is what takes back what left the latest mark of a kind.
func (u *undoing) marked(kind studio.MarkKind, err error) (func() error, error) {
	if err != nil {
		return nil, err
	}
	id := u.Latest(kind).ID
	return func() error { return dispatch.Undo(u.Ctx, u.Studio, id) }, nil
}

// may lets a line of the bank be what was done, until that is taken back.
func (u *undoing) may(b banked, back func() error, err error) (func() error, error) {
	if err != nil {
		return nil, err
	}
	u.atBank = append(u.atBank, b)
	return func() error {
		u.atBank = slices.DeleteFunc(u.atBank, func(x banked) bool { return x.in == b.in })
		return back()
	}, nil
}

// deeds are all that post and can be taken back.
func (u *undoing) deeds() map[string]func() (func() error, error) {
	return map[string]func() (func() error, error){
		"a payment": func() (func() error, error) {
			o := u.Order(u.one(u.due))
			a := bed.USD(1 + u.chance.Int64N(max(1, o.Owed.Minor)))
			back, err := u.marked(studio.MarkPaid, book.Pay(u.Ctx, u.Studio, book.PaymentIn{Order: o.ID, Amount: a}))
			return u.may(banked{in: banking.MatchIn{Payment: u.latest(o.ID)}, amount: a}, back, err)
		},
		"a refund": func() (func() error, error) {
			o := u.Order(u.one(slices.Concat(u.paid, u.sent)))
			a := u.cents(int(max(1, o.Paid.Minor)))
			back, err := u.marked(studio.MarkPaid, book.Pay(u.Ctx, u.Studio, book.PaymentIn{Order: o.ID, Kind: order.Refund, Amount: a}))
			return u.may(banked{in: banking.MatchIn{Payment: u.latest(o.ID)}, amount: a.Neg()}, back, err)
		},
		"a payment in euros": func() (func() error, error) { return u.inEuros("") },
		"a refund in euros":  func() (func() error, error) { return u.inEuros(order.Refund) },
		"a label": func() (func() error, error) {
			p := u.Order(u.one(u.packed)).Parcels[0]
			return u.marked(studio.MarkLabelled, labelling.Label(u.Ctx, u.Studio, labelling.LabelIn{Parcel: p.ID, Paid: u.cents(9_00)}))
		},
		"a hand-over": func() (func() error, error) {
			_, err := dispatch.HandOver(u.Ctx, u.Studio, dispatch.HandOverIn{})
			return u.marked(studio.MarkHandedOver, err)
		},
		"a hand-over in person": func() (func() error, error) {
			return u.marked(studio.MarkHandedOver, dispatch.HandIn(u.Ctx, u.Studio, dispatch.HandInIn{Order: u.one(u.hand)}))
		},
		"sheets of a run": func() (func() error, error) {
			return u.marked(studio.MarkReceived, stockroom.Receive(u.Ctx, u.Studio, supply.Receipt{Run: u.run, Good: 1 + u.n(5), Rejected: u.n(3)}))
		},
		"packaging": func() (func() error, error) {
			cost := u.cents(4_00)
			return u.marked(studio.MarkRestocked, stockroom.Restock(u.Ctx, u.Studio, 1, 1+u.n(30), &cost))
		},
		// Of an order that is open: the tax is entered with its hand-over, which may come after it, and is taken back before it.
		"tax and postage of an order": func() (func() error, error) {
			o := u.Order(u.one(slices.Concat(u.packed, u.hand)))
			postage, tax := u.cents(15_00), u.cents(9_00)
			_, err := book.Amend(u.Ctx, u.Studio, book.AmendIn{Order: o.ID, Postage: &postage, Tax: &tax})
			return func() error {
				_, err := book.Amend(u.Ctx, u.Studio, book.AmendIn{Order: o.ID, Postage: &o.Postage, Tax: &o.Tax})
				return err
			}, err
		},
		"the fee of an order": func() (func() error, error) {
			o := u.Order(u.one(u.sent))
			fee := u.cents(20_00)
			_, err := book.Amend(u.Ctx, u.Studio, book.AmendIn{Order: o.ID, Fee: &fee})
			return func() error {
				_, err := book.Amend(u.Ctx, u.Studio, book.AmendIn{Order: o.ID, Fee: &o.Fee})
				return err
			}, err
		},
		"prints to a gallery": func() (func() error, error) {
			all, err := consigning.Send(u.Ctx, u.Studio, consigning.SendIn{Gallery: u.gallery, Prints: []consigning.SendPrint{{Edition: u.Heron.ID}}})
			if err != nil {
				return nil, err
			}
			u.there = append(u.there, all[0].ID)
			return func() error {
				u.there = u.there[:len(u.there)-1]
				_, err := consigning.TakeBack(u.Ctx, u.Studio, all[0].ID)
				return err
			}, nil
		},
		"a print that a gallery sold": func() (func() error, error) { return u.ended(consign.Sold) },
		"a print that a gallery lost": func() (func() error, error) { return u.ended(consign.Lost) },
		"a print that came back":      func() (func() error, error) { return u.ended(consign.Back) },
		"money of a gallery":          func() (func() error, error) { return u.ofGallery(consign.Paid) },
		"costs of a gallery":          func() (func() error, error) { return u.ofGallery(consign.Costs) },
		"freight to a gallery":        func() (func() error, error) { return u.ofGallery(consign.Freight) },
		"a cost of a fair": func() (func() error, error) {
			c, err := fairs.AddCost(u.Ctx, u.Studio, fair.Cost{FairDay: u.table, Kind: fair.Stall, Amount: u.cents(20_00), FromBox: u.n(2) == 0})
			return func() error { _, err := fairs.ReverseCost(u.Ctx, u.Studio, c.ID); return err }, err
		},
		"cash to the bank": func() (func() error, error) {
			c, err := fairs.Carry(u.Ctx, u.Studio, fair.Carry{FairDay: u.table, Amount: u.cents(20_00)})
			return u.may(banked{in: banking.MatchIn{Carry: c.ID}, amount: c.Amount}, func() error {
				_, err := fairs.CarryBack(u.Ctx, u.Studio, c.ID)
				return err
			}, err)
		},
		"a count of the box": func() (func() error, error) {
			v, err := fairs.Day(u.Ctx, u.Studio, u.table)
			if err != nil || v.Ended {
				return nil, err
			}
			_, err = fairs.Count(u.Ctx, u.Studio, fairs.CountIn{Day: u.table, Counted: u.cents(150_00), Why: "wrong change"})
			return func() error { _, err := fairs.Reopen(u.Ctx, u.Studio, u.table); return err }, err
		},
		"a claim filed": func() (func() error, error) {
			return u.onClaim(func(id int64) error {
				_, err := claims.File(u.Ctx, u.Studio, claims.FileIn{Claim: id, Reference: "C-7"})
				return err
			})
		},
		"a claim granted": func() (func() error, error) {
			return u.onClaim(func(id int64) error {
				_, err := claims.Answer(u.Ctx, u.Studio, claims.AnswerIn{Claim: id, Granted: u.cents(9_00)})
				return err
			})
		},
		"a claim paid": func() (func() error, error) {
			var paid claim.Claim
			back, err := u.onClaim(func(id int64) (err error) {
				paid, err = claims.Paid(u.Ctx, u.Studio, claims.PaidIn{Claim: id})
				return err
			})
			return u.may(banked{in: banking.MatchIn{Claim: paid.ID}, amount: paid.Paid}, back, err)
		},
		"a claim made good by money": func() (func() error, error) {
			return u.onClaim(func(id int64) error {
				_, err := claims.Refund(u.Ctx, u.Studio, claims.RefundIn{Claim: id, Amount: u.cents(9_00), Keeps: true, Reason: "creased"})
				return err
			})
		},
		"a claim closed": func() (func() error, error) {
			return u.onClaim(func(id int64) error {
				_, err := claims.Close(u.Ctx, u.Studio, claims.CloseIn{Claim: id})
				return err
			})
		},
		"a payout": func() (func() error, error) {
			o := u.Order(u.one(u.market))
			v, err := payouts.Take(u.Ctx, u.Studio, payouts.Payout{Outlet: u.Market.ID, Net: bed.USD(o.Due.Minor * int64(80+u.n(15)) / 100), Orders: []int64{o.ID}})
			return u.may(banked{in: banking.MatchIn{Payout: v.ID}, amount: v.Net}, func() error {
				_, err := payouts.TakeBack(u.Ctx, u.Studio, v.ID)
				return err
			}, err)
		},
		"a line of the bank":         func() (func() error, error) { return u.matched(false) },
		"a line of money from afar":  func() (func() error, error) { return u.matched(true) },
		"an opening balance of cash": func() (func() error, error) { return u.opened("cash") },
		"an opening balance at bank": func() (func() error, error) { return u.opened("bank") },
	}
}

// latest is the last payment of an order; 0 when there is none.
func (u *undoing) latest(id int64) int64 {
	all := u.Order(id).Order.Payments
	if len(all) == 0 {
		return 0
	}
	return all[len(all)-1].ID
}

func (u *undoing) inEuros(kind order.PaymentKind) (func() error, error) {
	id := u.one(u.abroad)
	st, err := currencies.Of(u.Ctx, u.Studio, id)
	if err != nil {
		return nil, err
	}
	most := st.Owed.Minor
	if kind == order.Refund {
		most = st.Agreed.Total.Minor - st.Owed.Minor
	}
	in := book.PaymentIn{Order: id, Kind: kind, Amount: money.Of(1+u.chance.Int64N(max(1, most)), "EUR")}
	if u.n(2) == 0 {
		in.Worth = bed.Ptr(u.cents(150_00))
	}
	k, err := book.TakeAbroad(u.Ctx, u.Studio, in)
	if err != nil {
		return nil, err
	}
	back, err := u.marked(studio.MarkPaid, nil)
	worth := k.Worth
	if kind == order.Refund {
		worth = worth.Neg()
	}
	return u.may(banked{in: banking.MatchIn{Payment: u.latest(id)}, amount: worth, abroad: true}, back, err)
}

func (u *undoing) ended(state consign.State) (func() error, error) {
	if len(u.there) == 0 {
		return nil, nil
	}
	p := u.one(u.there)
	_, err := consigning.End(u.Ctx, u.Studio, consigning.EndIn{Print: p, State: state, Why: "lost"})
	return func() error { _, err := consigning.TakeBack(u.Ctx, u.Studio, p); return err }, err
}

func (u *undoing) ofGallery(kind consign.Kind) (func() error, error) {
	m, err := consigning.NoteMoney(u.Ctx, u.Studio, consigning.MoneyIn{Gallery: u.gallery, Kind: kind, Amount: u.cents(9_00)})
	back := func() error { _, err := consigning.ReverseMoney(u.Ctx, u.Studio, m.ID); return err }
	if a, ok := m.AtBank(); ok {
		return u.may(banked{in: banking.MatchIn{Money: m.ID}, amount: a}, back, err)
	}
	return back, err
}

func (u *undoing) onClaim(do func(id int64) error) (func() error, error) {
	var err error
	for _, i := range u.chance.Perm(len(u.claimed)) {
		id := u.claimed[i]
		if err = do(id); err == nil {
			return func() error { _, err := claims.TakeBack(u.Ctx, u.Studio, id); return err }, nil
		}
	}
	return nil, err
}

// matched brings a line of the bank in, and says that it is something that was done; of money in another currency the bank made a little more or less.
func (u *undoing) matched(abroad bool) (func() error, error) {
	may := slices.DeleteFunc(slices.Clone(u.atBank), func(b banked) bool { return b.abroad != abroad || b.amount.IsZero() })
	if len(may) == 0 {
		return nil, nil
	}
	b := may[u.n(len(may))]
	if abroad {
		b.amount.Minor += b.amount.Minor * int64(u.n(50)-25) / 1000
	}
	u.lines++
	text := fmt.Sprintf("Date,Amount,Name\n2026-03-04,%s,line %d\n", b.amount.Plain(), u.lines)
	if _, err := banking.Bring(u.Ctx, u.Studio, banking.BringIn{Account: u.account, Name: "a.csv", Body: []byte(text)}); err != nil {
		return nil, err
	}
	open, err := banking.Lines(u.Ctx, u.Studio, bankfile.Query{Account: u.account, State: bankfile.Open, Limit: 100})
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(open, func(l bankfile.Kept) bool { return l.Name == fmt.Sprintf("line %d", u.lines) })
	in := b.in
	in.Line = open[i].ID
	err = banking.Match(u.Ctx, u.Studio, []banking.MatchIn{in})
	return func() error { return banking.Reopen(u.Ctx, u.Studio, in.Line) }, err
}

// opened enters an opening balance; it is taken back by the same with the other sign.
func (u *undoing) opened(account string) (func() error, error) {
	in := years.OpeningIn{Account: account, Amount: u.cents(900_00), Day: calendar.Date(2026, 3, 1).Add(u.n(4))}
	err := years.Open(u.Ctx, u.Studio, in)
	return func() error {
		in.Amount = in.Amount.Neg()
		return years.Open(u.Ctx, u.Studio, in)
	}, err
}
