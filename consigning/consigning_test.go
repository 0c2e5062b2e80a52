package consigning_test

import (
	"testing"

	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/journal"
	"solander/ledger"
	"solander/register"
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
