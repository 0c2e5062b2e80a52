package consigning_test

import (
	"math/rand/v2"
	"testing"

	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/journal"
	"solander/ledger"
	"solander/register"
	"solander/stockroom"
	"solander/supply"
)

// By hand: a print of 90.00 at a gallery that keeps 40 %: it keeps 36.00 and owes 54.00, until it pays.
func TestAPrintSoldByAGallery(t *testing.T) {
	b := bed.New(t)
	n := edition.Number{Kind: edition.Numbered, N: 2}
	b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{n}))
	h, err := consigning.Save(b.Ctx, b.Studio, consign.House{Name: "Harrow Lane Rooms", Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30})
	b.Must(err)
	send := consigning.SendIn{Gallery: h.ID, Prints: []consigning.SendPrint{{Edition: b.Heron.ID, Number: n, Price: bed.USD(90_00)}}}
	sent, err := consigning.Send(b.Ctx, b.Studio, send)
	b.Must(err)
	_, err = consigning.Send(b.Ctx, b.Studio, send)
	b.Refused(err, fault.Refused, "", "")
	owes := func(want int64) {
		t.Helper()
		v, err := consigning.Gallery(b.Ctx, b.Studio, h.ID)
		b.Must(err)
		all, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
		b.Must(err)
		stands := int64(0)
		for _, row := range all.Rows {
			if row.Key == ledger.Galleries {
				stands = row.Debit - row.Credit
			}
		}
		if v.Owed != bed.USD(want) || stands != want {
			t.Errorf("it owes %s, by the journal %d, want %d", v.Owed, stands, want)
		}
	}
	owes(0)
	_, err = consigning.End(b.Ctx, b.Studio, consigning.EndIn{Print: sent[0].ID, State: consign.Sold})
	b.Must(err)
	owes(54_00)
	if st := b.State(b.Heron.ID, 2); st.State != edition.SoldThere {
		t.Errorf("the number is %s", st.State)
	}
	_, err = consigning.NoteMoney(b.Ctx, b.Studio, consigning.MoneyIn{Gallery: h.ID, Kind: consign.Paid, Amount: bed.USD(54_01)})
	b.Refused(err, fault.Refused, "amount", "more than the 54.00")
	m, err := consigning.NoteMoney(b.Ctx, b.Studio, consigning.MoneyIn{Gallery: h.ID, Kind: consign.Paid, Amount: bed.USD(50_00)})
	b.Must(err)
	owes(4_00)
	_, err = consigning.ReverseMoney(b.Ctx, b.Studio, m.ID)
	b.Must(err)
	owes(54_00)
	_, err = consigning.ReverseMoney(b.Ctx, b.Studio, m.ID)
	b.Refused(err, fault.Refused, "money", "taken back already")
	_, err = consigning.TakeBack(b.Ctx, b.Studio, sent[0].ID)
	b.Must(err)
	owes(0)
	b.Sound()
}

// TestNothingStaysConsigned lets prints from lots of different cost go to galleries, come back, be sold and be lost, each perhaps noted wrongly
// first. Once none is there any more the account of what lies at galleries is at nothing, to the cent, and the sheets in the drawer are worth
// what their layers say, which the check compares. That it must come to nothing is the meaning of the account: double entry, no source.
func TestNothingStaysConsigned(t *testing.T) {
	ended := map[consign.State]int{}
	for round := range uint64(12) {
		b, chance := bed.New(t), rand.New(rand.NewPCG(41, round))
		in := bed.Heron()
		in.Limit, in.Grade = 60, "lots"
		e := b.Declare("From many lots", in)
		sheets := 0
		for range 4 + chance.IntN(5) {
			r, err := stockroom.OrderRun(b.Ctx, b.Studio, supply.Run{Edition: e.ID, Lab: "Saltmarsh", Quantity: 9, UnitCost: bed.USD(int64(100 + chance.IntN(3_000)))})
			b.Must(err)
			good := 1 + chance.IntN(5)
			b.Must(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: r.ID, Good: good, Rejected: chance.IntN(3)}))
			sheets += good
		}
		h, err := consigning.Save(b.Ctx, b.Studio, consign.House{Name: "Harrow Lane Rooms", Share: 400, Wholesale: 500, Bears: consign.Artist, PayDays: 30})
		b.Must(err)
		var there []int64
		next := 1
		for sheets > 0 || len(there) > 0 {
			if n := min(sheets, 1+chance.IntN(4)); n > 0 && (len(there) == 0 || chance.IntN(3) == 0) && next+n <= 60 {
				var numbers []edition.Number
				send := consigning.SendIn{Gallery: h.ID}
				for range n {
					numbers = append(numbers, bed.Num(next))
					send.Prints = append(send.Prints, consigning.SendPrint{Edition: e.ID, Number: bed.Num(next), Price: bed.USD(90_00)})
					next++
				}
				b.Must(register.SignAhead(b.Ctx, b.Studio, e.ID, numbers))
				sent, err := consigning.Send(b.Ctx, b.Studio, send)
				b.Must(err)
				for _, p := range sent {
					there = append(there, p.ID)
				}
				sheets -= n
				continue
			}
			if len(there) == 0 {
				break
			}
			i := chance.IntN(len(there))
			for _, last := range []bool{false, true} {
				state := []consign.State{consign.Sold, consign.Back, consign.Lost}[chance.IntN(3)]
				if !last && chance.IntN(3) > 0 {
					continue
				}
				_, err := consigning.End(b.Ctx, b.Studio, consigning.EndIn{Print: there[i], State: state, Why: "water"})
				b.Must(err)
				if !last {
					_, err = consigning.TakeBack(b.Ctx, b.Studio, there[i])
					b.Must(err)
					continue
				}
				ended[state]++
			}
			there = append(there[:i], there[i+1:]...)
		}
		all, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
		b.Must(err)
		for _, row := range all.Rows {
			if row.Key == ledger.Consigned && row.Debit != row.Credit {
				t.Errorf("round %d: %d stay at galleries where no print is", round, row.Debit-row.Credit)
			}
		}
		b.Sound()
	}
	if ended[consign.Sold] < 5 || ended[consign.Back] < 5 || ended[consign.Lost] < 5 {
		t.Errorf("%v: hardly anything was tested", ended)
	}
}
