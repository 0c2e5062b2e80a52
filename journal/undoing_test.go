package journal_test

import (
	"cmp"
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
	"solander/tax"
	"solander/taxing"
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
	claimed, claimedAbroad                        []int64
	given                                         []int64 // orders of which a claim gave the prints up and paid back
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
	u.Must(taxing.Enter(u.Ctx, u.Studio, tax.Rate{Country: "US", Region: "VA", From: calendar.Date(2025, 1, 1), Rate: 53_000, Name: "Sales tax"}))
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
	var far []int64 // sent, of those that were agreed in euros
	for range 3 {
		u.due = append(u.due, card(func(*book.Sale) {}).ID)
		u.abroad = append(u.abroad, card(func(in *book.Sale) { in.Agreed = &currencies.AgreeIn{Currency: "EUR"} }).ID)
		u.market = append(u.market, card(func(in *book.Sale) { in.Outlet = u.Market.ID }).ID)
		u.paid = append(u.paid, whole(card(func(*book.Sale) {})))
		for _, to := range []*[]int64{&u.packed, &u.sent, &u.hand, &far, &u.given} {
			inPerson := to == &u.hand
			v := card(func(in *book.Sale) {
				if in.InPerson = inPerson; to == &far || to == &u.given && len(u.given) == 0 {
					in.Agreed = &currencies.AgreeIn{Currency: "EUR"}
				}
			})
			id := v.ID
			if st := got[currencies.Standing](u)(currencies.Of(u.Ctx, u.Studio, id)); st.Agreed.Stands() {
				got[book.Taken](u)(book.TakeAbroad(u.Ctx, u.Studio, book.PaymentIn{Order: id, Amount: st.Owed}))
			} else {
				whole(v)
			}
			u.Must(register.Sign(u.Ctx, u.Studio, bed.LineIDs(u.Order(id))))
			if *to = append(*to, id); !inPerson {
				got[[]studio.Parcel](u)(dispatch.Pack(u.Ctx, u.Studio, dispatch.PackIn{Order: id}))
			}
		}
	}
	for _, id := range slices.Concat(u.sent, far, u.given) {
		for _, p := range u.Order(id).Parcels {
			u.Must(labelling.Label(u.Ctx, u.Studio, labelling.LabelIn{Parcel: p.ID, Paid: u.cents(9_00)}))
		}
	}
	got[studio.HandOver](u)(dispatch.HandOver(u.Ctx, u.Studio, dispatch.HandOverIn{}))
	for to, orders := range map[*[]int64][]int64{&u.claimed: slices.Concat(u.sent, u.given), &u.claimedAbroad: far} {
		for _, id := range orders {
			for _, p := range u.Order(id).Parcels {
				*to = append(*to, got[claim.Claim](u)(claims.Open(u.Ctx, u.Studio, claims.OpenIn{Parcel: p.ID, Kind: claim.Damaged})).ID)
			}
		}
	}
	for i, c := range u.claimed[len(u.sent):] {
		paid := got[claims.View](u)(claims.Claim(u.Ctx, u.Studio, c)).Bought[0].Paid
		in := claims.RefundIn{Claim: c, Amount: money.Of(1+u.chance.Int64N(paid.Minor), paid.Currency), Reason: "crushed"}
		if i == 0 { // the one that was agreed in euros
			in.Worth = bed.Ptr(u.cents(60_00))
		}
		got[claim.Claim](u)(claims.Refund(u.Ctx, u.Studio, in))
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
	owedAsTheJournalSays(u.t, u.Bed)
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
			o := u.Order(u.one(slices.Concat(u.packed, u.hand, u.due, u.paid, u.market, u.abroad)))
			postage, tax := u.cents(15_00), u.cents(9_00)
			_, err := book.Amend(u.Ctx, u.Studio, book.AmendIn{Order: o.ID, Postage: &postage, Tax: &tax})
			return func() error {
				_, err := book.Amend(u.Ctx, u.Studio, book.AmendIn{Order: o.ID, Postage: &o.Postage, Tax: &o.Tax})
				return err
			}, err
		},
		"tax by the rates": func() (func() error, error) {
			o := u.Order(u.one(slices.Concat(u.packed, u.hand, u.due, u.paid, u.market, u.abroad)))
			_, err := taxing.Charge(u.Ctx, u.Studio, o.ID)
			return func() error {
				_, err := book.Amend(u.Ctx, u.Studio, book.AmendIn{Order: o.ID, Tax: &o.Tax})
				return err
			}, err
		},
		"prints given up": func() (func() error, error) {
			all := slices.Concat(u.claimed[:len(u.sent)], u.claimedAbroad)
			return u.onClaim(all, func(id int64) error {
				v, err := claims.Claim(u.Ctx, u.Studio, id)
				if err != nil || len(v.Bought) == 0 || v.Bought[0].Paid.Sign() <= 0 {
					return cmp.Or(err, error(fault.New(fault.Refused, "nothing came")))
				}
				paid := v.Bought[0].Paid
				in := claims.RefundIn{Claim: id, Amount: money.Of(1+u.chance.Int64N(paid.Minor), paid.Currency), Reason: "crushed"}
				if paid.Currency != "USD" && u.n(2) == 0 {
					in.Worth = bed.Ptr(u.cents(60_00))
				}
				_, err = claims.Refund(u.Ctx, u.Studio, in)
				return err
			})
		},
		"a print sent again": func() (func() error, error) {
			return u.onClaim(slices.Concat(u.claimed, u.claimedAbroad), func(id int64) error {
				_, err := claims.Replace(u.Ctx, u.Studio, claims.ReplaceIn{Claim: id, NewNumber: u.n(2) == 0, Reason: "crushed"})
				return err
			})
		},
		// The prints that a claim gave up stay so; the money that it paid back for them is taken back, and paid back again.
		"the money of prints given up": u.givenUp,
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
			return u.onClaim(slices.Concat(u.claimed, u.claimedAbroad), func(id int64) error {
				_, err := claims.File(u.Ctx, u.Studio, claims.FileIn{Claim: id, Reference: "C-7"})
				return err
			})
		},
		"a claim granted": func() (func() error, error) {
			return u.onClaim(slices.Concat(u.claimed, u.claimedAbroad), func(id int64) error {
				_, err := claims.Answer(u.Ctx, u.Studio, claims.AnswerIn{Claim: id, Granted: u.cents(9_00)})
				return err
			})
		},
		"a claim paid": func() (func() error, error) {
			var paid claim.Claim
			back, err := u.onClaim(slices.Concat(u.claimed, u.claimedAbroad), func(id int64) (err error) {
				paid, err = claims.Paid(u.Ctx, u.Studio, claims.PaidIn{Claim: id})
				return err
			})
			return u.may(banked{in: banking.MatchIn{Claim: paid.ID}, amount: paid.Paid}, back, err)
		},
		"a claim made good by money": func() (func() error, error) {
			return u.onClaim(u.claimed, func(id int64) error {
				_, err := claims.Refund(u.Ctx, u.Studio, claims.RefundIn{Claim: id, Amount: u.cents(9_00), Keeps: true, Reason: "creased"})
				return err
			})
		},
		"a claim made good by euros": func() (func() error, error) {
			return u.onClaim(u.claimedAbroad, func(id int64) error {
				in := claims.RefundIn{Claim: id, Amount: money.Of(u.cents(9_00).Minor, "EUR"), Keeps: true, Reason: "creased"}
				if u.n(2) == 0 {
					in.Worth = bed.Ptr(u.cents(12_00))
				}
				_, err := claims.Refund(u.Ctx, u.Studio, in)
				return err
			})
		},
		"a claim closed": func() (func() error, error) {
			return u.onClaim(slices.Concat(u.claimed, u.claimedAbroad), func(id int64) error {
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
