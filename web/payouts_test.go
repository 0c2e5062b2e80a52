package web

import (
	"testing"
)

// A sum is given, its sales are proposed, tried, entered, looked at, and taken back.
func TestAPayoutFromProposalToUndo(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.get("/earnings").one(`nav a[href="/earnings/payouts"]`)
	list := s.get("/earnings/payouts").is(200)
	list.has("#list", "None yet")
	s.get("/earnings/payouts?skip=x").is(422)
	s.get("/earnings/payouts/9").is(404)
	outlet := attr(list.find("#another select option")[0], "value")
	s.get("/studio/outlets/" + outlet + "/fees").one(`a[href="/earnings/payouts/new?outlet=` + outlet + `"]`)

	p := s.get("/earnings/payouts/new?outlet=" + outlet + "&net=much").is(200)
	p.has("#payout .wrong", "amount")
	p = s.get("/earnings/payouts/new?outlet=" + outlet + "&net=84").is(200)
	if len(p.find("#sales input[checked]")) == 0 {
		t.Fatal("no sale is proposed")
	}
	order := attr(p.find("#sales input[checked]")[0], "value")

	fields := []string{"outlet", outlet, "net", "84", "day", "", "order", order}
	tried := s.post("/earnings/payouts", append(fields, "try", "1")...).is(200)
	tried.has("#trial", "Nothing is entered yet")
	tried.has("#trial", "84.00 USD")
	s.get("/earnings/payouts").has("#list", "None yet")

	s.post("/earnings/payouts", "outlet", outlet, "net", "100").is(422).has("#faults", "No order is named")
	s.post("/earnings/payouts", "outlet", outlet, "net", "99999", "order", order).is(409).has("#faults", "more than")
	s.post("/earnings/payouts", append(fields, "more", "S-9999")...).is(404).has("#faults", "There is no order")
	s.leads(s.post("/earnings/payouts", fields...), "/earnings/payouts/1?said=payout")
	one := s.get("/earnings/payouts/1").is(200)
	one.has("#parts", "84.00 USD")
	s.get("/earnings/payouts").has("#list", "84.00 USD")
	if again := s.get("/earnings/payouts/new?outlet=" + outlet + "&net=84").find(`#sales input[value="` + order + `"]`); len(again) != 0 {
		t.Error("what was paid out is proposed again")
	}
	s.leads(s.sendForm(one, "#undo form"), "/earnings/payouts/1?said=payout-back")
	back := s.get("/earnings/payouts/1").is(200)
	back.has("p.under", "It was taken back")
	if len(back.find("#undo")) != 0 {
		t.Error("it can be taken back twice")
	}
	s.post("/earnings/payouts/1/take-back").is(409).has("#faults", "taken back already")
	s.get("/earnings/payouts").has("#list", "taken back")
}
