package register_test

import (
	"testing"

	"solander/book"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/register"
	"solander/sealog"
	"solander/studio"
)

// Source: common practice: sold out (none left), closed (no more may be pulled) and cancelled (the plate is defaced) are three facts.
func TestCloseAndCancel(t *testing.T) {
	b := bed.New(t)
	held := b.Paid(b.Heron.ID) // number 1
	b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{bed.Num(3), bed.Num(4)}))
	b.Must(register.Keep(b.Ctx, b.Studio, b.Heron.ID, bed.Num(4), "archive"))
	sheets := b.SheetsOf(b.Heron.ID)
	closing := edition.Closing{Edition: b.Heron.ID, Fact: edition.Closed, Files: "the files are deleted"}
	for field, change := range map[string]func(*edition.Closing){
		"files": func(c *edition.Closing) { c.Files = " " }, "fact": func(c *edition.Closing) { c.Fact = "over" }, "edition": func(c *edition.Closing) { c.Edition = 0 },
		"note": func(c *edition.Closing) { c.Note = "a\x00b" },
	} {
		bad := closing
		change(&bad)
		_, err := register.Close(b.Ctx, b.Studio, bad)
		b.Refused(err, fault.Invalid, field, "")
	}
	missing := closing
	missing.Edition = 99
	_, err := register.Close(b.Ctx, b.Studio, missing)
	b.Refused(err, fault.Missing, "", "")

	sheet, err := register.ReadSheet(b.Ctx, b.Studio, b.Heron.ID, register.Asked{})
	b.Must(err)
	if sheet.Remaining != 3 || sheet.Ends.Words() != "" { // 2 and 5 are free, 3 is signed
		t.Errorf("%d remain; %q", sheet.Remaining, sheet.Ends.Words())
	}
	cancelled := closing
	cancelled.Fact, cancelled.Files = edition.Cancelled, "the plate is struck through"
	_, err = register.Close(b.Ctx, b.Studio, cancelled)
	b.Must(err)
	if _, err = book.TakeOrder(b.Ctx, b.Studio, b.Sale()); err != nil {
		t.Errorf("a cancelled edition is sold on: %v", err)
	}
	done, err := register.Close(b.Ctx, b.Studio, closing)
	b.Must(err)
	if done.Withdrawn != 2 { // 2 went to the sale
		t.Errorf("%d withdrawn", done.Withdrawn)
	}
	for n, want := range map[int]edition.State{1: edition.Promised, 2: edition.Promised, 3: edition.Withdrawn, 4: edition.Kept, 5: edition.Withdrawn} {
		if got := b.State(b.Heron.ID, n).State; got != want {
			t.Errorf("number %d is %s, want %s", n, got, want)
		}
	}
	if got := b.SheetsOf(b.Heron.ID); got != sheets-1 {
		t.Errorf("%d sheets, want one fewer than %d: the signed one is withdrawn", got, sheets)
	}
	for _, c := range []edition.Closing{closing, cancelled} {
		_, err := register.Close(b.Ctx, b.Studio, c)
		b.Refused(err, fault.Refused, "", "already")
	}
	var told []sealog.KeptLeaf
	b.Must(b.Studio.Store.Read(b.Ctx, func(tx studio.Tx) (err error) {
		told, err = tx.LeavesOf(sealog.Closed, b.Heron.ID)
		return err
	}))
	if len(told) != 2 || told[0].Get("fact") != "cancelled" || told[1].Get("withdrawn") != "2" || told[1].Body != sealog.OfClosing(done).Text() {
		t.Errorf("the log tells %+v", told)
	}
	ends, err := register.EndsOf(b.Ctx, b.Studio, b.Heron.ID)
	b.Must(err)
	if ends.Words() != "closed, cancelled" || ends.Cancelled.Files != "the plate is struck through" || ends.Closed.Withdrawn != 2 {
		t.Errorf("%q, %+v", ends.Words(), ends)
	}
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(held))) // open orders of it go on
	b.Sound()
}

func TestSoldOutIsNeitherClosedNorCancelled(t *testing.T) {
	b := bed.New(t)
	for range 5 {
		b.Paid(b.Heron.ID)
	}
	ends, err := register.EndsOf(b.Ctx, b.Studio, b.Heron.ID)
	b.Must(err)
	if ends.Words() != "sold out" {
		t.Errorf("%q", ends.Words())
	}
	done, err := register.Close(b.Ctx, b.Studio, edition.Closing{Edition: b.Heron.ID, Fact: edition.Closed, Files: "locked"})
	b.Must(err)
	if ends, err = register.EndsOf(b.Ctx, b.Studio, b.Heron.ID); err != nil || ends.Words() != "sold out, closed" || done.Withdrawn != 0 {
		t.Errorf("%q, %d withdrawn: %v", ends.Words(), done.Withdrawn, err)
	}
	ends, err = register.EndsOf(b.Ctx, b.Studio, b.Card.ID)
	b.Must(err)
	if ends.Words() != "" {
		t.Errorf("an open edition is %q", ends.Words())
	}
	b.Sound()
}
