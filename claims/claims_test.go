package claims_test

import (
	"bytes"
	"image"
	"image/png"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/daybench"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// sent is a studio with one order of two prints that left the house on 4 March 2026, labelled at 9.25, in one parcel that was covered for 102.00, the worth of both. Its card takes claims
// of lost parcels from day 15 to 60, of damaged ones until day 60.
func sent(t *testing.T) (*bed.Bed, studio.OrderView, int64) {
	t.Helper()
	b := bed.New(t)
	v, parcels := b.Packed(b.Heron.ID, b.Card.ID)
	for _, p := range parcels {
		b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(9_25)}))
	}
	_, err := claims.Open(b.Ctx, b.Studio, claims.OpenIn{Parcel: parcels[0].ID, Kind: claim.Damaged})
	b.Refused(err, fault.Refused, "parcel", "not handed over")
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Parcels: []int64{parcels[0].ID}})
	b.Must(err)
	return b, b.Order(v.ID), parcels[0].ID
}

func open(b *bed.Bed, parcel int64, kind claim.Kind, lines ...int64) claim.Claim {
	b.Helper()
	c, err := claims.Open(b.Ctx, b.Studio, claims.OpenIn{Parcel: parcel, Kind: kind, Lines: lines})
	b.Must(err)
	return c
}

// sums are what the journal holds by account.
func sums(b *bed.Bed) map[string]int64 {
	b.Helper()
	out := map[string]int64{}
	b.Must(b.Studio.Store.Read(b.Ctx, func(tx studio.Tx) error {
		all, err := tx.Sums("", "")
		for _, s := range all {
			out[s.Account] += s.Amount.Minor
		}
		return err
	}))
	return out
}

func photo(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, image.NewRGBA(image.Rect(0, 0, 60, 40))); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestFromADamagedParcelToAReplacement(t *testing.T) {
	b, v, parcel := sent(t)
	before := sums(b)
	c := open(b, parcel, claim.Damaged, v.Lines[0].ID)
	view, err := claims.Claim(b.Ctx, b.Studio, c.ID)
	b.Must(err)
	if len(view.Prints) != 1 || view.Prints[0].Name != "1/5 Heron at dusk" || view.Terms.Cover != bed.USD(102_00) || view.Terms.Worth != v.Lines[0].Price || !view.Terms.Stated || view.Terms.Last != calendar.Date(2026, 5, 3) {
		t.Fatalf("%+v", view)
	}
	filed, err := claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID, Reference: " C-77 "})
	b.Must(err)
	if filed.Claimed != view.Terms.Most() || filed.Reference != "C-77" {
		t.Errorf("%+v", filed)
	}
	sheets := b.SheetsOf(b.Heron.ID)
	done, err := claims.Replace(b.Ctx, b.Studio, claims.ReplaceIn{Claim: c.ID, Reason: "the corner is crushed"})
	b.Must(err)
	o := b.Order(v.ID)
	if o.State != order.Open || len(o.Live()) != 2 || o.Owed.Sign() != 0 || b.SheetsOf(b.Heron.ID) != sheets {
		t.Fatalf("%s, %d prints, owes %s, %d sheets", o.State, len(o.Live()), o.Owed, b.SheetsOf(b.Heron.ID))
	}
	if st := b.State(b.Heron.ID, 1); st.State != edition.Promised || st.Struck != 1 || st.Line != done.Instead[0] {
		t.Errorf("the number is %+v", st)
	}
	after := sums(b)
	if lost := after[ledger.ClaimLosses] - before[ledger.ClaimLosses]; lost <= 0 || lost != done.Cost().Minor || after[ledger.CostOfPrints]+after[ledger.PackagingUsed]+after[ledger.PostagePaid] != before[ledger.CostOfPrints]+before[ledger.PackagingUsed]+before[ledger.PostagePaid]-lost {
		t.Errorf("lost %d, the claim says %s\nbefore %v\nafter  %v", lost, done.Cost(), before, after)
	}
	if bl, err := daybench.List(b.Ctx, b.Studio, calendar.Day{}); err != nil || len(bl.Groups["claims"]) != 1 || bl.Groups["claims"][0].What != "replacement to make" {
		t.Errorf("%+v, %v", bl.Groups["claims"], err)
	}
	_, err = claims.Answer(b.Ctx, b.Studio, claims.AnswerIn{Claim: c.ID, Granted: bed.USD(40_00), Words: "as insured"})
	b.Must(err)
	_, err = claims.Paid(b.Ctx, b.Studio, claims.PaidIn{Claim: c.ID})
	b.Must(err)
	if got := sums(b); got[ledger.Claims] != 0 || got[ledger.ClaimLosses] != after[ledger.ClaimLosses]-40_00 || got[ledger.AtOutlets] != after[ledger.AtOutlets]+40_00 {
		t.Errorf("%v", got)
	}
	b.Must(register.Sign(b.Ctx, b.Studio, done.Instead))
	again, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Must(err)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: again[0].ID, Paid: bed.USD(9_25)}))
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Parcels: []int64{again[0].ID}})
	b.Must(err)
	if o = b.Order(v.ID); o.State != order.Closed {
		t.Errorf("the order is %s", o.State)
	}
	ended, err := claims.Close(b.Ctx, b.Studio, claims.CloseIn{Claim: c.ID})
	b.Must(err)
	if ended.Open() {
		t.Errorf("%+v", ended)
	}
	all, err := claims.List(b.Ctx, b.Studio, true)
	if some, err2 := claims.List(b.Ctx, b.Studio, false); err != nil || err2 != nil || len(all) != 1 || len(some) != 0 {
		t.Errorf("%d in all, %d open: %v, %v", len(all), len(some), err, err2)
	}
	b.Sound()
}

func TestPaidBack(t *testing.T) {
	b, v, parcel := sent(t)
	c := open(b, parcel, claim.Lost)
	_, err := claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: money.Of(v.Paid.Minor+1, "USD"), Reason: "lost"})
	b.Refused(err, fault.Refused, "amount", "more than")
	if got := b.State(b.Heron.ID, 1); got.State != edition.Sent {
		t.Fatalf("something was written all the same: %+v", got)
	}
	_, err = claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: bed.USD(-1), Reason: "lost"})
	b.Refused(err, fault.Invalid, "amount", "negative")
	done, err := claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: v.Paid, Reason: "lost"})
	b.Must(err)
	if o := b.Order(v.ID); o.State != order.Returned || o.Paid.Sign() != 0 || b.State(b.Heron.ID, 1).State != edition.Spoilt {
		t.Errorf("%s, paid %s", o.State, o.Paid)
	}
	if got := sums(b); got[ledger.ClaimLosses] != done.Cost().Minor || got[ledger.CostOfPrints] != 0 || got[ledger.PackagingUsed] != 0 || got[ledger.PostagePaid] != 0 {
		t.Errorf("all of it is lost: %v", got)
	}
	_, err = claims.Replace(b.Ctx, b.Studio, claims.ReplaceIn{Claim: c.ID, Reason: "lost"})
	b.Refused(err, fault.Refused, "claim", "made good already")
	b.Sound()
}

func TestTheBuyerKeepsIt(t *testing.T) {
	b, v, parcel := sent(t)
	c := open(b, parcel, claim.Damaged, v.Lines[0].ID)
	_, err := claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: bed.USD(20_00), Keeps: true, Reason: "a crease in the margin"})
	b.Must(err)
	if got := sums(b); got[ledger.Refunds] != 20_00 || got[ledger.ClaimLosses] != 0 || b.State(b.Heron.ID, 1).State != edition.Sent {
		t.Errorf("%v", got)
	}
	refund := b.Latest(studio.MarkPaid)
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, refund.ID), fault.Refused, "", "paid back for claim 1")
	if back, err := claims.TakeBack(b.Ctx, b.Studio, c.ID); err != nil || back.Made != "" {
		t.Errorf("%+v, %v", back, err)
	}
	if got, o := sums(b), b.Order(v.ID); got[ledger.Refunds] != 0 || o.Paid != v.Paid || !o.Payments[len(o.Payments)-1].Reversed {
		t.Errorf("one deed is taken back, and %v, paid %s", got, o.Paid)
	}
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, refund.ID), fault.Refused, "", "undone already")
	b.Sound()
}

// Whatever is noted of a claim, its prints kept or given up, and however much of it is taken back: each deed is taken back as one, the latest first, and
// the claim, the order, its numbers, what was paid and the journal are what they were before it.
func TestEachDeedIsTakenBackAsOne(t *testing.T) {
	t.Run("in the money of the book", func(t *testing.T) { eachDeed(t, sent, bed.USD) })
	t.Run("agreed in another", func(t *testing.T) { eachDeed(t, sentAbroad, eur) })
}

func eachDeed(t *testing.T, begin func(*testing.T) (*bed.Bed, studio.OrderView, int64), in func(int64) money.Amount) {
	b, v, parcel := begin(t)
	rapid.Check(t, func(r *rapid.T) {
		c := open(b, parcel, claim.Damaged)
		type state struct {
			Claim  claim.Claim
			Paid   money.Amount
			Order  order.State
			Closed calendar.Day
			Lines  []order.Line
			Number edition.State
			Sums   map[string]int64
		}
		now := func() state {
			x, err := claims.Claim(b.Ctx, b.Studio, c.ID)
			b.Must(err)
			o := b.Order(v.ID)
			return state{x.Claim, o.Paid, o.State, o.Closed, o.Order.Lines, b.State(b.Heron.ID, 1).State, sums(b)}
		}
		were := []state{}
		for range rapid.IntRange(1, 8).Draw(r, "deeds") {
			was := now()
			var err error
			switch rapid.SampledFrom([]string{"file", "answer", "paid", "keeps", "keeps", "gives up", "gives up", "note", "back", "close"}).Draw(r, "deed") {
			case "file":
				_, err = claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID})
			case "answer":
				_, err = claims.Answer(b.Ctx, b.Studio, claims.AnswerIn{Claim: c.ID, Granted: bed.USD(rapid.Int64Range(0, 50_00).Draw(r, "granted"))})
			case "paid":
				_, err = claims.Paid(b.Ctx, b.Studio, claims.PaidIn{Claim: c.ID})
			case "keeps":
				amount := rapid.Int64Range(1, v.Paid.Minor).Draw(r, "amount")
				_, err = claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: in(amount), Keeps: true, Reason: "a crease"})
			case "gives up":
				amount := rapid.Int64Range(1, v.Paid.Minor).Draw(r, "amount")
				_, err = claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: in(amount), Reason: "crushed"})
			case "note":
				_, err = claims.Note(b.Ctx, b.Studio, c.ID, rapid.StringMatching("[a-z]{3}").Draw(r, "note"))
			case "close":
				_, err = claims.Close(b.Ctx, b.Studio, claims.CloseIn{Claim: c.ID})
			case "back":
				if len(were) == 0 {
					continue
				}
				_, err = claims.TakeBack(b.Ctx, b.Studio, c.ID)
				b.Must(err)
				if diff := cmp.Diff(were[len(were)-1], now(), as...); diff != "" {
					r.Fatalf("taken back, it is not as before (-before +now):\n%s", diff)
				}
				were = were[:len(were)-1]
				continue
			}
			if err == nil {
				were = append(were, was)
			} else if diff := cmp.Diff(was, now(), as...); diff != "" {
				r.Fatalf("refused with %v, it left something behind:\n%s", err, diff)
			}
		}
		for range len(were) + 1 {
			_, err := claims.TakeBack(b.Ctx, b.Studio, c.ID)
			b.Must(err)
		}
		if o := b.Order(v.ID); o.Paid != v.Paid {
			r.Fatalf("all of it is taken back, and %s are paid, not %s", o.Paid, v.Paid)
		}
	})
	b.Sound()
}

// as compares days as they are, and leaves out accounts whose sum is nothing.
var as = cmp.Options{
	cmpopts.EquateEmpty(), cmpopts.EquateComparable(calendar.Day{}),
	cmpopts.IgnoreMapEntries(func(_ string, n int64) bool { return n == 0 }),
}

// Each deed is taken back, the latest first, until nothing was ever told; then the journal comes to what it did before.
func TestTakeBack(t *testing.T) {
	b, v, parcel := sent(t)
	before := sums(b)
	c := open(b, parcel, claim.Damaged)
	_, err := claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID})
	b.Must(err)
	_, err = claims.Answer(b.Ctx, b.Studio, claims.AnswerIn{Claim: c.ID, Granted: bed.USD(50_00)})
	b.Must(err)
	_, err = claims.Paid(b.Ctx, b.Studio, claims.PaidIn{Claim: c.ID})
	b.Must(err)
	handed := b.Latest(studio.MarkHandedOver)
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, handed.ID), fault.Refused, "", "has a claim")
	b.Sound()
	for _, want := range []claim.State{claim.Granted, claim.Filed, claim.Told} {
		got, err := claims.TakeBack(b.Ctx, b.Studio, c.ID)
		b.Must(err)
		if got.State != want {
			t.Errorf("it is %s, want %s", got.State, want)
		}
		b.Sound()
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkClaim).ID)) // that it was told, from the list of marks
	if got := sums(b); got[ledger.ClaimLosses] != 0 || got[ledger.Claims] != 0 || got[ledger.AtOutlets] != before[ledger.AtOutlets] {
		t.Errorf("before %v, after %v", before, got)
	}
	_, err = claims.Note(b.Ctx, b.Studio, c.ID, "more")
	b.Refused(err, fault.Refused, "claim", "void")
	if again := open(b, parcel, claim.Lost); again.ID == c.ID {
		t.Error("the parcel has no claim of its own")
	}
	_, err = claims.Open(b.Ctx, b.Studio, claims.OpenIn{Parcel: parcel, Kind: claim.Lost})
	b.Refused(err, fault.Taken, "parcel", "claim 2")
	if all, err := claims.OfOrder(b.Ctx, b.Studio, v.ID); err != nil || len(all) != 1 {
		t.Errorf("%d, %v", len(all), err)
	}
	b.Sound()
}

func TestBadInput(t *testing.T) {
	b, v, parcel := sent(t)
	for _, c := range []struct {
		in    claims.OpenIn
		code  fault.Code
		field string
	}{
		{claims.OpenIn{Parcel: parcel, Kind: "wet"}, fault.Invalid, "kind"},
		{claims.OpenIn{Parcel: 99, Kind: claim.Lost}, fault.Missing, ""},
		{claims.OpenIn{Parcel: parcel, Kind: claim.Lost, Lines: []int64{99}}, fault.Invalid, "lines"},
		{claims.OpenIn{Parcel: parcel, Kind: claim.Lost, Lines: []int64{v.Lines[0].ID, v.Lines[0].ID}}, fault.Invalid, "lines"},
		{claims.OpenIn{Parcel: parcel, Kind: claim.Lost, Told: calendar.Date(2026, 3, 3)}, fault.Invalid, "told"},
		{claims.OpenIn{Parcel: parcel, Kind: claim.Lost, Told: calendar.Date(2026, 3, 5)}, fault.Invalid, "told"},
		{claims.OpenIn{Parcel: parcel, Kind: claim.Lost, Note: "a\x00b"}, fault.Invalid, "note"},
	} {
		_, err := claims.Open(b.Ctx, b.Studio, c.in)
		b.Refused(err, c.code, c.field, "")
	}
	c := open(b, parcel, claim.Lost)
	_, err := claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID})
	b.Refused(err, fault.Refused, "day", "too early")
	b.Clock.Set(2026, 3, 20)
	_, err = claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID, Amount: bed.USD(102_01)})
	b.Refused(err, fault.Refused, "amount", "more than the cover of 102.00 USD")
	_, err = claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID, Amount: bed.USD(-1)})
	b.Refused(err, fault.Invalid, "amount", "negative")
	_, err = claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID, Amount: money.Of(1, "EUR")})
	b.Refused(err, fault.Invalid, "amount", "EUR")
	_, err = claims.Answer(b.Ctx, b.Studio, claims.AnswerIn{Claim: c.ID})
	b.Refused(err, fault.Refused, "claim", "not filed")
	_, err = claims.Photo(b.Ctx, b.Studio, c.ID, []byte("no picture"), "")
	b.Refused(err, fault.Invalid, "file", "")
	_, err = claims.Photo(b.Ctx, b.Studio, 9, photo(t), "")
	b.Refused(err, fault.Missing, "", "")
	for range claim.MostPhotos {
		_, err = claims.Photo(b.Ctx, b.Studio, c.ID, photo(t), " a crushed corner ")
		b.Must(err)
	}
	_, err = claims.Photo(b.Ctx, b.Studio, c.ID, photo(t), "")
	b.Refused(err, fault.Refused, "file", "8 photos")
	p, body, err := claims.PhotoBody(b.Ctx, b.Studio, 1)
	b.Must(err)
	if p.Alt != "a crushed corner" || p.Width != 60 || p.Height != 40 || !bytes.HasPrefix(body, []byte{0xff, 0xd8}) {
		t.Errorf("%+v, %d bytes", p, len(body))
	}
	b.Refused(claims.DropPhoto(b.Ctx, b.Studio, 2, 1), fault.Missing, "photo", "no photo 1")
	b.Must(claims.DropPhoto(b.Ctx, b.Studio, c.ID, 1))
	_, _, err = claims.PhotoBody(b.Ctx, b.Studio, 1)
	b.Refused(err, fault.Missing, "", "")
	b.Sound()
}

// What was told in a period that is closed since is entered on the first open day, with its own day noted.
func TestAClosedPeriod(t *testing.T) {
	b, _, parcel := sent(t)
	c := open(b, parcel, claim.Damaged)
	_, err := claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID})
	b.Must(err)
	b.Clock.Set(2026, 4, 10)
	b.Must(b.Studio.Store.Write(b.Ctx, func(tx studio.Tx) error {
		return tx.ClosePeriod(ledger.Closing{Until: calendar.Date(2026, 3, 31), At: tx.Now(), Who: "Ines"})
	}))
	_, err = claims.Answer(b.Ctx, b.Studio, claims.AnswerIn{Claim: c.ID, Day: calendar.Date(2026, 3, 20), Granted: bed.USD(10_00)})
	b.Must(err)
	found := false
	b.Must(b.Studio.Store.Read(b.Ctx, func(tx studio.Tx) error {
		entries, err := tx.Entered(ledger.Claim, []int64{c.ID})
		for _, e := range entries {
			found = found || e.Part == "granted" && e.Day == calendar.Date(2026, 4, 1) && e.True == calendar.Date(2026, 3, 20) && strings.Contains(e.Text, "granted by the operator")
		}
		return err
	}))
	if !found {
		t.Error("it stands in the closed period, or nowhere")
	}
	b.Sound()
}
