package web

import "testing"

// A day at the table by forms alone: begun at the till, sold by cash and card, its stall paid out of the box, counted, taken back.
func TestADayAtTheTable(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	till := s.get("/till")
	till.has("details.deed summary", "Begin a day at the table")
	s.post("/till/day", "outlet", "1", "name", "", "float", "0").is(422).has(".faults", "missing")
	till = s.submit(till, "form[action='/till/day']", "name", "Quay fair", "float", "50.00")
	till.has(".said", "has begun")
	till.has("main", "Quay fair")
	till.hasNot("form[action='/till/day']")
	at := attr(till.one("form.filter option[selected]"), "value")
	for _, how := range []string{"cash", "card"} {
		s.submit(s.get("/till?outlet="+at+"&edition=1"), "form.till", "how", how, "lines[0].price", "90.00")
	}
	s.get("/till?outlet="+at).has("main", "2 prints sold, 180.00 USD taken")

	day := s.get("/earnings/fairs/1")
	day.has("#taken", "90.00 USD")
	day.has("#taken tfoot", "180.00 USD")
	day = s.submit(day, "form[action='/earnings/fairs/1/cost']", "kind", "stall", "amount", "30.00", "from_box", "1")
	day.has("#costs", "stall fee")
	day.has("#box", "110.00 USD")
	s.post("/earnings/fairs/1/count", "counted", "108.00").is(422).has(".faults", "110.00 USD ought to be there")
	day = s.submit(day, "form[action='/earnings/fairs/1/count']", "counted", "108.00", "why", "wrong change", "hours", "6.5")
	day.has("#box", "wrong change")
	day.has("#box .late", "-2.00 USD")
	day.has("#earned", "Stall fees and costs of fairs")
	day.has("#earned tfoot", "6.5 hours")
	s.get("/earnings/fairs").has("#days", "-2.00 USD")
	s.get("/orders/S-1001").has("section[aria-labelledby=h-money]", "cash")
	day = s.submit(day, "form[action='/earnings/fairs/1/reopen']")
	day.hasNot("#box .late")
	day = s.submit(day, "form[action='/earnings/fairs/costs/1/reverse']")
	s.submit(day, "form[action='/earnings/fairs/1/drop']").has("#days", "None is kept yet.")
	s.post("/earnings/fairs/1/cost", "kind", "stall", "amount", "1.00").is(409).has(".faults", "taken back")
}
