package privacy_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/claim"
	"solander/claims"
	"solander/intake/kept"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/book"
	"solander/buyers"
	"solander/calendar"
	"solander/dispatch"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/labelling"
	"solander/movein"
	"solander/order"
	use "solander/privacy"
	"solander/register"
	"solander/studio"
	"solander/upkeep"
)

var mail = strings.NewReplacer(" ", ".", "<", "", ">", "", "/", "")

// ended is a buyer of whom nothing is open: paid, sent and closed on the day of the clock.
func ended(b *bed.Bed, name string) studio.OrderView {
	b.Helper()
	in := b.Sale()
	in.Buyer, in.ShipTo, in.Lines = order.Buyer{Name: name, Email: mail.Replace(strings.ToLower(name)) + "@post.example"}, order.Address{}, []book.SaleLine{{Edition: b.Card.ID}}
	in.InPerson, in.Postage = true, bed.USD(0)
	v := b.Take(in)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	b.Must(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID}))
	return b.Order(v.ID)
}

func erased(b *bed.Bed, buyer int64, early bool) error {
	b.Helper()
	tr, err := use.Try(b.Ctx, b.Studio, buyer)
	b.Must(err)
	_, err = use.Erase(b.Ctx, b.Studio, use.EraseIn{Buyer: buyer, Seen: tr.Seen, Early: early})
	return err
}

func TestWhatIsInTheWay(t *testing.T) {
	b := bed.MovingIn(t)
	open := b.Take(b.Sale())
	b.Refused(erased(b, open.BuyerData.ID, true), fault.Refused, "", "is open")
	b.Refused(erased(b, open.BuyerData.ID, true), fault.Refused, "", "is owed")

	v := ended(b, "Odo Fenwright")
	_, err := use.Erase(b.Ctx, b.Studio, use.EraseIn{Buyer: v.BuyerData.ID, Seen: "of yesterday"})
	b.Refused(err, fault.Changed, "", "not what you saw")

	// Regulation (EU) 2016/679, article 17(3)(b): not where the law asks to keep. How long is hers to enter.
	b.Must(use.ChangeRetention(b.Ctx, b.Studio, studio.Whole(upkeep.Retention{TaxYears: 2})))
	b.Refused(erased(b, v.BuyerData.ID, false), fault.Refused, "", "until 2028-12-31")

	a, err := movein.Arrive(b.Ctx, b.Studio, movein.ArriveIn{Name: "sales.csv", Body: []byte("Date,Who\n3/4/2025,ODO FENWRIGHT\n"), Source: kept.FromDesk})
	b.Must(err)
	d, err := use.KeptOf(b.Ctx, b.Studio, v.BuyerData.ID)
	b.Must(err)
	if last := d.Tables[len(d.Tables)-1]; last.Name != "waiting_rows" || !strings.Contains(fmt.Sprint(last.Rows), "ODO FENWRIGHT") {
		t.Errorf("the row of the file that waits is not given out: %+v", last)
	}
	b.Refused(erased(b, v.BuyerData.ID, true), fault.Refused, "", "sales.csv")
	b.Must(movein.DropArrival(b.Ctx, b.Studio, a.ID))
	b.Must(erased(b, v.BuyerData.ID, true))
	if got := b.Order(v.ID); got.BuyerData.Name != order.ErasedName || got.Paid != v.Paid {
		t.Errorf("the order is of %q, %s paid", got.BuyerData.Name, got.Paid)
	}
	b.Sound()
}

func TestAnOpenClaimIsInTheWay(t *testing.T) {
	b := bed.New(t)
	sent, parcels := b.Packed(b.Heron.ID)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID}))
	_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
	c, err := claims.Open(b.Ctx, b.Studio, claims.OpenIn{Parcel: parcels[0].ID, Kind: claim.Lost})
	b.Must(err)
	b.Refused(erased(b, sent.BuyerData.ID, true), fault.Refused, "", "claim 1 on the operator is open")
	_, err = claims.TakeBack(b.Ctx, b.Studio, c.ID)
	b.Must(err)
	b.Must(erased(b, sent.BuyerData.ID, true))
	b.Sound()
}

// Of an erased buyer nothing is undone, nothing is told again, and no new sale is taken as hers.
func TestErasedStaysErased(t *testing.T) {
	b := bed.New(t)
	v := ended(b, "Odo Fenwright")
	b.Must(erased(b, v.BuyerData.ID, false))
	for _, m := range b.Order(v.ID).Marks {
		if m.Kind == studio.MarkPaid || m.Kind == studio.MarkHandedOver {
			b.Refused(dispatch.Undo(b.Ctx, b.Studio, m.ID), fault.Refused, "", "erased")
		}
	}
	_, err := buyers.ChangeBuyer(b.Ctx, b.Studio, v.BuyerData.ID, studio.Whole(order.Buyer{Name: "Odo Fenwright"}))
	b.Refused(err, fault.Refused, "", "erased")
	again := ended(b, "Odo Fenwright")
	if again.BuyerData.ID == v.BuyerData.ID {
		t.Error("a new sale was taken as the erased buyer's")
	}
	_, err = buyers.MergeBuyers(b.Ctx, b.Studio, buyers.MergeIn{Into: again.BuyerData.ID, Others: []int64{v.BuyerData.ID}})
	b.Refused(err, fault.Refused, "", "erased")
	page, err := buyers.Buyers(b.Ctx, b.Studio, studio.BuyerQuery{})
	b.Must(err)
	if len(page.Rows) != 1 || page.Rows[0].ID != again.BuyerData.ID {
		t.Errorf("the list of buyers holds %+v", page.Rows)
	}
	second := ended(b, "Ulla Marsh")
	b.Must(erased(b, second.BuyerData.ID, false))
	if likely, err := buyers.LikelyBuyers(b.Ctx, b.Studio); err != nil || len(likely) != 0 {
		t.Errorf("two who were erased look alike: %+v %v", likely, err)
	}
	b.Sound()
}

func TestZipHoldsPageDataAndTables(t *testing.T) {
	b := bed.New(t)
	v := ended(b, "Odo <b>Fenwright</b>")
	d, err := use.KeptOf(b.Ctx, b.Studio, v.BuyerData.ID)
	b.Must(err)
	var out bytes.Buffer
	b.Must(d.Zip(&out))
	z, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	b.Must(err)
	files := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		b.Must(err)
		body, err := io.ReadAll(r)
		b.Must(err)
		files[f.Name] = string(body)
	}
	if !strings.Contains(files["read-me.html"], "Odo &lt;b&gt;Fenwright") || strings.Contains(files["read-me.html"], "<b>F") {
		t.Error("the page lacks her name, or takes it for markup")
	}
	var back use.Data
	if err := json.Unmarshal([]byte(files["data.json"]), &back); err != nil || back.Buyer != v.BuyerData || back.Format != use.Format {
		t.Errorf("data.json: %v, %+v", err, back.Buyer)
	}
	if !strings.HasPrefix(files["csv/payments.csv"], "id,order_id,kind,") || len(files) != 2+len(d.Tables) {
		t.Errorf("%d files for %d tables; %.80q", len(files), len(d.Tables), files["csv/payments.csv"])
	}
}

// An older copy does not know of an erasure: the list does, and never takes one buyer for another.
func TestErasedAgainAfterAnOlderCopy(t *testing.T) {
	b := bed.New(t)
	v := ended(b, "Odo Fenwright")
	var old bytes.Buffer
	b.Must(house.Backup(b.Ctx, b.Studio, &old))
	late := ended(b, "Ulla Marsh")
	b.Must(erased(b, v.BuyerData.ID, false))
	b.Must(erased(b, late.BuyerData.ID, false))
	l, err := use.ErasureList(b.Ctx, b.Studio)
	b.Must(err)
	text, err := json.Marshal(l)
	b.Must(err)
	if lower := strings.ToLower(string(text)); strings.Contains(lower, "fenwright") || strings.Contains(lower, "ulla") {
		t.Errorf("the list names somebody: %s", lower)
	}
	read, err := use.ReadList(bytes.NewReader(text))
	b.Must(err)

	r := &bed.Bed{TB: t, Ctx: b.Ctx, Path: filepath.Join(t.TempDir(), "studio.db"), Clock: b.Clock}
	r.Studio = studio.New(r.Open(r.Path), studio.Options{Clock: b.Clock.Now})
	b.Must(house.Restore(r.Ctx, r.Studio, &old))
	r.Own, r.Card = b.Own, b.Card
	b.Clock.Set(2026, 3, 9)
	other := ended(r, "Ida Holm") // in the restored studio she has the number that Ulla had
	if other.BuyerData.ID != late.BuyerData.ID {
		t.Fatalf("she is buyer %d, want %d", other.BuyerData.ID, late.BuyerData.ID)
	}
	got, err := use.EraseAgain(r.Ctx, r.Studio, read)
	r.Must(err)
	if len(got) != 2 || !got[0].Done || got[1].Done || !strings.Contains(got[1].Why, "another buyer") {
		t.Errorf("%+v", got)
	}
	if name := r.Order(v.ID).BuyerData.Name; name != order.ErasedName {
		t.Errorf("the buyer is %q", name)
	}
	if name := r.Order(other.ID).BuyerData.Name; name != "Ida Holm" {
		t.Errorf("the wrong buyer was erased: %q", name)
	}
	got, err = use.EraseAgain(r.Ctx, r.Studio, read)
	r.Must(err)
	if got[0].Done || !strings.Contains(got[0].Why, "already") {
		t.Errorf("%+v", got)
	}
	r.Sound()
	_, err = use.ReadList(strings.NewReader(`{"format":"other/1"}`))
	b.Refused(err, fault.Invalid, "list", "no list of erasures")
}

// Years are counted by hand here, by the calendar.
func TestRetention(t *testing.T) {
	b := bed.New(t)
	b.Clock.Set(2020, 2, 29)
	v := ended(b, "Odo Fenwright")
	in := b.Sale()
	in.Buyer = order.Buyer{Name: "Ulla Marsh"}
	never := b.Take(in)
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: never.ID, Reason: "never paid"}))
	in.Buyer = order.Buyer{Name: "Ida Holm"}
	open := b.Take(in)

	due := func() map[int64]string {
		t.Helper()
		all, err := use.WhoIsDue(b.Ctx, b.Studio)
		b.Must(err)
		out := map[int64]string{}
		for _, d := range all {
			out[d.Buyer] = d.On.String()
		}
		return out
	}
	if got := due(); len(got) != 0 {
		t.Errorf("without a rule %v are due", got)
	}
	b.Must(use.ChangeRetention(b.Ctx, b.Studio, studio.Whole(upkeep.Retention{Years: 3, UnpaidYears: 1, TaxYears: 5})))
	b.Clock.Set(2021, 3, 1)
	if d := cmp.Diff(map[int64]string{never.BuyerData.ID: "2021-03-01"}, due()); d != "" { // 29 February and a year
		t.Error(d)
	}
	b.Clock.Set(2025, 12, 31) // three years are over, the tax's five after 2020 end today
	if got := due(); got[v.BuyerData.ID] != "" {
		t.Errorf("due before the tax's time is over: %v", got)
	}
	b.Clock.Set(2026, 1, 1)
	if got := due(); got[v.BuyerData.ID] != "2026-01-01" || got[open.BuyerData.ID] != "" {
		t.Errorf("due: %v", got)
	}
	if ids, err := use.EraseAllDue(b.Ctx, b.Studio); err != nil || len(ids) != 0 {
		t.Errorf("erased by itself without her word: %v %v", ids, err)
	}
	done, err := use.EraseDue(b.Ctx, b.Studio, []int64{open.BuyerData.ID, never.BuyerData.ID})
	b.Must(err)
	if d := cmp.Diff([]int64{never.BuyerData.ID}, done); d != "" {
		t.Error(d)
	}
	b.Must(use.ChangeRetention(b.Ctx, b.Studio, func(r *upkeep.Retention) error { r.Scheduled = true; return nil }))
	done, err = use.EraseAllDue(b.Ctx, b.Studio)
	b.Must(err)
	if d := cmp.Diff([]int64{v.BuyerData.ID}, done); d != "" {
		t.Error(d)
	}
	if e, err := use.ErasedBuyer(b.Ctx, b.Studio, v.BuyerData.ID); err != nil || e.Why != upkeep.ErasedDue {
		t.Errorf("%+v %v", e, err)
	}
	b.Sound()
	err = use.ChangeRetention(b.Ctx, b.Studio, studio.Whole(upkeep.Retention{Years: 3, Scheduled: true}))
	b.Refused(err, fault.Invalid, "retention.tax_years", "how long the tax")
	err = use.ChangeRetention(b.Ctx, b.Studio, studio.Whole(upkeep.Retention{Years: 101}))
	b.Refused(err, fault.Invalid, "retention.years", "")
}

// No rule makes anybody due before her years are over, or before the tax's are.
func TestNobodyIsDueTooEarly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := upkeep.Retention{Years: rapid.IntRange(0, 12).Draw(t, "years"), UnpaidYears: rapid.IntRange(0, 12).Draw(t, "unpaid"), TaxYears: rapid.IntRange(0, 12).Draw(t, "tax")}
		last := calendar.Date(2000, 1, 1).Add(rapid.IntRange(0, 9000).Draw(t, "last"))
		e := upkeep.Ended{Last: last, Money: rapid.Bool().Draw(t, "money")}
		on, ok := r.DueOn(e)
		years := r.UnpaidYears
		if e.Money {
			years = r.Years
		}
		if ok != (years > 0) {
			t.Fatalf("due %v with %d years", ok, years)
		}
		if !ok {
			return
		}
		at, _ := time.Parse(time.DateOnly, last.String())
		if got, _ := time.Parse(time.DateOnly, on.String()); got.Before(at.AddDate(years, 0, 0)) {
			t.Fatalf("%s is due on %s", last, on)
		}
		if y, _, _ := on.Civil(); e.Money && r.TaxYears > 0 && y <= at.Year()+r.TaxYears {
			t.Fatalf("%s is due on %s, within the tax's %d years", last, on, r.TaxYears)
		}
	})
}
