package claim_test

import (
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/claim"
	"solander/fault"
	"solander/money"
)

func usd(n int64) money.Amount { return money.Of(n, "USD") }

var posted = calendar.Date(2026, 3, 4)

// terms are those of a parcel that may be claimed as lost from day 15 to day 60, covered up to 100.00, with prints of 120.00.
func terms() claim.Terms {
	return claim.Terms{Posted: posted, First: posted.Add(15), Last: posted.Add(60), Stated: true, Cover: usd(100_00), Worth: usd(120_00)}
}

func told() claim.Claim {
	return claim.Claim{ID: 1, Parcel: 2, Kind: claim.Lost, State: claim.Told, Told: posted.Add(3), Claimed: usd(0), Granted: usd(0), Paid: usd(0)}
}

func refused(t *testing.T, err error, code fault.Code, field string) {
	t.Helper()
	if !fault.Is(err, code) || fault.All(err)[0].Field != field || fault.All(err)[0].Mend == "" {
		t.Errorf("%v, want %s in %q with its mend", err, code, field)
	}
}

func TestFile(t *testing.T) {
	c, in := told(), claim.Filing{Day: posted.Add(15), Amount: usd(100_00), Reference: "C-1"}
	filed, err := c.File(in, terms())
	if err != nil || filed.State != claim.Filed || filed.Claimed != usd(100_00) || filed.Filed != posted.Add(15) {
		t.Fatalf("%+v, %v", filed, err)
	}
	early := in
	early.Day = posted.Add(14)
	_, err = c.File(early, terms())
	refused(t, err, fault.Refused, "day")
	above := in
	above.Amount = usd(100_01)
	_, err = c.File(above, terms())
	refused(t, err, fault.Refused, "amount")
	above.Above = "the receipt of a higher cover lies here"
	if got, err := c.File(above, terms()); err != nil || got.Above == "" {
		t.Errorf("said why, and still: %v", err)
	}
	needless := in
	needless.Above = "for no reason"
	if got, err := c.File(needless, terms()); err != nil || got.Above != "" {
		t.Errorf("within the cover %q is kept: %v", got.Above, err)
	}
	for _, n := range []int64{0, -1, money.MaxMinor + 1} {
		bad := in
		bad.Amount = usd(n)
		_, err = c.File(bad, terms())
		refused(t, err, fault.Invalid, "amount")
	}
	late := in
	late.Day = posted.Add(61)
	if _, err := c.File(late, terms()); err != nil || terms().Late(late.Day) != 1 || terms().Late(posted.Add(60)) != 0 {
		t.Errorf("late: %v, by %d days", err, terms().Late(late.Day))
	}
	before := in
	before.Day = posted.Add(2)
	_, err = c.File(before, claim.Terms{Cover: usd(100_00)})
	refused(t, err, fault.Invalid, "day")
	_, err = filed.File(in, terms())
	refused(t, err, fault.Refused, "claim")
	if most := terms().Most(); most != usd(100_00) {
		t.Errorf("at most %s", most)
	}
}

func TestAnswerPaymentAndEnd(t *testing.T) {
	filed, err := told().File(claim.Filing{Day: posted.Add(20), Amount: usd(100_00)}, terms())
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int64{-1, 100_01} {
		_, err = filed.Hear(posted.Add(30), usd(n), "")
		refused(t, err, fault.Invalid, "granted")
	}
	no, err := filed.Hear(posted.Add(30), usd(0), "not packed well")
	if err != nil || no.State != claim.Refused {
		t.Fatalf("%+v, %v", no, err)
	}
	_, err = no.Receive(posted.Add(31), usd(1))
	refused(t, err, fault.Refused, "claim")
	part, err := filed.Hear(posted.Add(30), usd(60_00), "")
	if err != nil || part.State != claim.Granted {
		t.Fatalf("%+v, %v", part, err)
	}
	_, err = part.Receive(posted.Add(29), usd(60_00))
	refused(t, err, fault.Invalid, "day")
	_, err = part.Receive(posted.Add(31), usd(60_01))
	refused(t, err, fault.Invalid, "amount")
	paid, err := part.Receive(posted.Add(31), usd(50_00))
	if err != nil || paid.Short() != usd(10_00) {
		t.Fatalf("%+v, %v", paid, err)
	}
	at, err := filed.Receive(posted.Add(31), usd(70_00)) // no answer before: the payment is the answer
	if err != nil || at.Granted != usd(70_00) || at.Answered != posted.Add(31) {
		t.Fatalf("%+v, %v", at, err)
	}
	_, err = paid.End(posted.Add(40), false)
	refused(t, err, fault.Refused, "arrived")
	good, err := paid.MakeGood(posted.Add(35), claim.Replaced, []claim.Loss{{Line: 1, Print: usd(14_50), Packing: usd(2_00), Postage: usd(9_25)}}, []int64{5})
	if err != nil {
		t.Fatal(err)
	}
	_, err = good.MakeGood(posted.Add(36), claim.PaidBack, nil, nil)
	refused(t, err, fault.Refused, "claim")
	_, err = good.End(posted.Add(40), true)
	refused(t, err, fault.Refused, "arrived")
	if good.Cost() != usd(25_75-60_00) {
		t.Errorf("it costs %s before it is closed", good.Cost())
	}
	if good.Came() != "34.25 USD were left over" || told().Came() != "it cost nothing" || (claim.Claim{Made: claim.Replaced, Losses: good.Losses, Claimed: usd(0), Granted: usd(0)}).Came() != "it cost 25.75 USD" {
		t.Errorf("%q, %q", good.Came(), told().Came())
	}
	ended, err := good.End(posted.Add(40), false)
	if err != nil || ended.Open() || ended.Cost() != usd(25_75-50_00) {
		t.Errorf("%+v costs %s: %v", ended, ended.Cost(), err)
	}
	_, err = ended.MakeGood(posted.Add(41), claim.PaidBack, nil, nil)
	refused(t, err, fault.Refused, "claim")
	came, err := told().End(posted.Add(9), true)
	if err != nil || came.Made != claim.Arrived || came.Cost() != usd(0) {
		t.Errorf("%+v: %v", came, err)
	}
}

func TestTodo(t *testing.T) {
	c := told()
	for _, x := range []struct {
		day  int
		what string
		late int
		wait bool
	}{{4, "file the claim later", 0, true}, {15, "file the claim with the operator", 0, false}, {60, "file the claim with the operator", 0, false}, {63, "file the claim with the operator", 3, false}} {
		got := c.Todo(terms(), posted.Add(x.day), nil)
		if len(got) != 2 || got[0].What != x.what || got[0].Late != x.late || got[0].Wait != x.wait || got[1].What != "make it good to the buyer" {
			t.Errorf("day %d: %+v", x.day, got)
		}
	}
	if got := c.Todo(claim.Terms{Cover: usd(0)}, posted.Add(400), nil); got[0].Late != 0 || got[0].Why != "the card does not tell by when; ask the operator" {
		t.Errorf("no card: %+v", got)
	}
	filed, _ := c.File(claim.Filing{Day: posted.Add(20), Amount: usd(1)}, terms())
	filed.Made = claim.Replaced
	if got := filed.Todo(terms(), posted.Add(20+claim.AnswerDays), nil); len(got) != 0 {
		t.Errorf("not overdue yet: %+v", got)
	}
	if got := filed.Todo(terms(), posted.Add(22+claim.AnswerDays), []string{"17/250 Heron", "18/250 Heron"}); len(got) != 2 || got[0].Late != 2 || got[1].Why != "17/250 Heron and 1 more print" {
		t.Errorf("overdue: %+v", got)
	}
	granted, _ := filed.Hear(posted.Add(25), usd(1), "")
	if got := granted.Todo(terms(), posted.Add(26+claim.AnswerDays), nil); len(got) != 1 || got[0].What != "ask the operator for its payment" {
		t.Errorf("not paid: %+v", got)
	}
	paid, _ := granted.Receive(posted.Add(26), usd(1))
	if got := paid.Todo(terms(), posted.Add(26), nil); len(got) != 1 || got[0].What != "close the claim" {
		t.Errorf("paid: %+v", got)
	}
	closed, _ := paid.End(posted.Add(27), false)
	if got := closed.Todo(terms(), posted.Add(270), nil); got != nil {
		t.Errorf("closed: %+v", got)
	}
}

// Of every window and every day exactly one holds: too early, in time, late; and a claim is taken just when it is not too early.
func TestDaysOfAWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.IntRange(0, 400).Draw(t, "from")
		x := terms()
		x.First, x.Last = posted.Add(from), posted.Add(from+rapid.IntRange(0, 400).Draw(t, "long"))
		day := posted.Add(rapid.IntRange(0, 900).Draw(t, "day"))
		early, late := x.Early(day), x.Late(day)
		in := !day.Before(x.First) && !day.After(x.Last)
		if (early > 0) == (in || late > 0) || (late > 0) == (in || early > 0) {
			t.Fatalf("on %s of %s to %s: early %d, late %d", day, x.First, x.Last, early, late)
		}
		if early > 0 && day.Add(early) != x.First || late > 0 && x.Last.Add(late) != day {
			t.Fatalf("on %s of %s to %s: early %d, late %d", day, x.First, x.Last, early, late)
		}
		c := told()
		c.Told = posted
		if _, err := c.File(claim.Filing{Day: day, Amount: usd(1)}, x); (err == nil) != (early == 0) {
			t.Fatalf("early %d: %v", early, err)
		}
	})
}
