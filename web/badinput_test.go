package web

import (
	"bytes"
	"strings"
	"testing"

	"solander/house"
)

// sum is a fingerprint of everything in the studio, to show that a refused form wrote nothing.
func (s *site) sum() string {
	s.t.Helper()
	var b bytes.Buffer
	s.must(house.Backup(s.ctx(), s.studio, &b))
	return b.String()
}

// editionFields is a declaration as the form sends it.
func editionFields() []string {
	return []string{
		"work", "1", "technique", "pigment print", "width", "8 in", "height", "10 in", "grade", "fine", "known_paper", "", "paper", "cotton rag",
		"grammage", "310 gsm", "caliper", "20 pt", "tightest_roll", "", "limit", "50", "ap", "", "pp", "", "hc", "", "bat", "",
		"price", "120", "print_cost", "", "from[0]", "", "price_steps[0]", "", "from[1]", "", "price_steps[1]", "",
	}
}

func itemFields() []string {
	return []string{
		"spec.kind", "envelope", "spec.name", "stiff envelope", "spec.id", "", "spec.width", "11 in", "spec.height", "14 in", "spec.length", "", "spec.diameter", "",
		"spec.wall", "1/32 in", "spec.thickest", "1/2 in", "spec.mass", "2.5 oz", "spec.cost", "0.80", "spec.note", "", "spec.stiff", "1",
		"spec.cut.shortest", "", "spec.cut.step", "", "spec.issued_for", "", "reorder_at", "5", "pack", "25", "stock", "10",
	}
}

// Every kind of bad input that the studio must refuse: 4xx, the fault beside its field, nothing written.
func TestBadInput(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := newSite(t)
	s.leads(s.post("/orders", replaced(saleFields(), "ref", "A-77")...), "/orders/S-1001") // 17/250, owes 90.00
	s.run(1, 20)
	before := s.sum()
	for _, c := range []struct {
		what, path string
		fields     []string
		status     int
		field      string // id of the field that is blamed; "" = none can be
	}{
		{"unknown edition", "/orders", replaced(saleFields(), "lines[0].edition", "99"), 404, "sale-lines-0--edition"},
		{"an edition that is no number", "/orders", replaced(saleFields(), "lines[0].edition", "heron"), 422, "sale-lines-0--edition"},
		{"number beyond the limit", "/orders", replaced(saleFields(), "lines[0].number", "251"), 422, "sale-lines-0--number"},
		{"number of another limit", "/orders", replaced(saleFields(), "lines[0].number", "17/100"), 422, "sale-lines-0--number"},
		{"negative number", "/orders", replaced(saleFields(), "lines[0].number", "-3"), 422, "sale-lines-0--number"},
		{"number taken", "/orders", replaced(saleFields(), "lines[0].number", "17"), 409, "sale-lines-0--number"},
		{"number of an open edition", "/orders", replaced(replaced(saleFields(), "lines[0].edition", "3"), "lines[0].number", "1"), 422, "sale-lines-0--number"},
		{"reference twice", "/orders", replaced(replaced(saleFields(), "ref", "A-77"), "lines[0].number", ""), 409, "sale-ref"},
		{"overpaid at the sale", "/orders", replaced(replaced(saleFields(), "paid", "90.01"), "lines[0].number", ""), 409, "sale-paid"},
		{"negative postage", "/orders", replaced(saleFields(), "postage", "-5"), 422, "sale-postage"},
		{"too many decimals", "/orders", replaced(saleFields(), "postage", "5.001"), 422, "sale-postage"},
		{"another currency", "/orders", replaced(saleFields(), "postage", "5 EUR"), 422, "sale-postage"},
		{"absurd amount", "/orders", replaced(saleFields(), "postage", "99999999999999999999"), 422, "sale-postage"},
		{"promise in the past", "/orders", replaced(saleFields(), "promised", "2026-04-01"), 422, "sale-promised"},
		{"sold tomorrow", "/orders", replaced(saleFields(), "placed", "2026-04-15"), 422, "sale-placed"},
		{"no such day", "/orders", replaced(saleFields(), "placed", "2026-02-30"), 422, "sale-placed"},
		{"day in another form", "/orders", replaced(saleFields(), "arrive_by", "4/20/26"), 422, "sale-arrive_by"},
		{"no postcode", "/orders", replaced(saleFields(), "ship_to.postcode", ""), 422, "sale-ship_to-postcode"},
		{"no postcode abroad", "/orders", replaced(replaced(saleFields(), "ship_to.country", "CA"), "ship_to.postcode", " "), 422, "sale-ship_to-postcode"},
		{"no such country", "/orders", replaced(saleFields(), "ship_to.country", "XQ"), 422, "sale-ship_to-country"},
		{"no street", "/orders", replaced(saleFields(), "ship_to.line1", ""), 422, "sale-ship_to-line1"},
		{"no buyer", "/orders", replaced(saleFields(), "buyer", ""), 422, "sale-buyer"},
		{"no e-mail address", "/orders", replaced(saleFields(), "email", "mara at home"), 422, "sale-email"},
		{"no outlet", "/orders", replaced(saleFields(), "outlet", ""), 422, "sale-outlet"},
		{"unknown outlet", "/orders", replaced(saleFields(), "outlet", "77"), 404, "sale-outlet"},
		{"no print", "/orders", replaced(replaced(saleFields(), "lines[0].edition", ""), "lines[0].number", ""), 422, "sale-lines-0--edition"},
		{"control characters", "/orders", replaced(saleFields(), "buyer", "Mara\x1bVell"), 422, "sale-buyer"},
		{"name as long as a book", "/orders", replaced(saleFields(), "buyer", strings.Repeat("é", 5000)), 422, "sale-buyer"},

		{"overpaid", "/orders/1/pay", []string{"kind", "balance", "amount", "90.01", "day", "", "note", ""}, 409, "pay-1-amount"},
		{"paid nothing", "/orders/1/pay", []string{"kind", "balance", "amount", "", "day", "", "note", ""}, 422, "pay-1-amount"},
		{"paid less than nothing", "/orders/1/pay", []string{"kind", "balance", "amount", "-1", "day", "", "note", ""}, 422, "pay-1-amount"},
		{"unknown kind of payment", "/orders/1/pay", []string{"kind", "barter", "amount", "1", "day", "", "note", ""}, 422, "pay-1-kind"},
		{"refund of what was never paid", "/orders/1/pay", []string{"kind", "refund", "amount", "1", "day", "", "note", ""}, 409, ""},
		{"paid before the sale", "/orders/1/pay", []string{"kind", "balance", "amount", "1", "day", "2026-04-01", "note", ""}, 422, "pay-1-day"},
		{"override without a reason", "/orders/1/override", []string{"reason", " "}, 422, "override-reason"},
		{"cancel without a reason", "/orders/1/cancel", []string{"reason", "", "refund", ""}, 422, "cancel-reason"},
		{"promise moved before the sale", "/orders/1/amend", []string{"promised", "2026-04-01", "arrive_by", "", "postage", "0", "tax", "0", "fee", "0", "note", "", "gift_message", ""}, 422, "amend-promised"},
		{"address without a city", "/orders/1/address", []string{"ship_to.name", "M", "ship_to.line1", "7 Mill Road", "ship_to.line2", "", "ship_to.city", "", "ship_to.region", "CO", "ship_to.postcode", "80202", "ship_to.country", "US"}, 422, "ship-ship_to-city"},
		{"number of a line beyond the limit", "/lines/1/number", []string{"number", "300", "order", "1"}, 422, "number-1-number"},
		{"a line without its order", "/lines/1/number", []string{"number", "30"}, 422, ""},
		{"signed without a sheet's money", "/sign", []string{"lines", "1", "order", "1"}, 409, ""},
		{"signed an unknown line", "/sign", []string{"lines", "77"}, 404, ""},
		{"signed nothing", "/sign", []string{"back", "bench"}, 422, ""},
		{"packed before it is paid", "/orders/1/pack", []string{"total", ""}, 409, ""},
		{"handed over nothing", "/hand-over", []string{"day", "", "note", ""}, 422, ""},
		{"handed over what is not there", "/hand-over", []string{"parcels", "9"}, 404, ""},

		{"wrong unit", "/editions", replaced(editionFields(), "width", "8 oz"), 422, "declare-width"},
		{"no such unit", "/editions", replaced(editionFields(), "width", "8 yd"), 422, "declare-width"},
		{"negative size", "/editions", replaced(editionFields(), "height", "-10 in"), 422, "declare-height"},
		{"absurd size", "/editions", replaced(editionFields(), "height", "10 km"), 422, "declare-height"},
		{"size of a house", "/editions", replaced(editionFields(), "height", "9 m"), 422, "declare-height"},
		{"grammage of a board", "/editions", replaced(editionFields(), "grammage", "5000 gsm"), 422, "declare-grammage"},
		{"no caliper", "/editions", replaced(editionFields(), "caliper", ""), 422, "declare-caliper"},
		{"negative limit", "/editions", replaced(editionFields(), "limit", "-1"), 422, "declare-limit"},
		{"limit that is no number", "/editions", replaced(editionFields(), "limit", "many"), 422, "declare-limit"},
		{"absurd limit", "/editions", replaced(editionFields(), "limit", "1000000"), 422, "declare-limit"},
		{"proofs of an open edition", "/editions", replaced(replaced(editionFields(), "limit", ""), "ap", "3"), 422, "declare-limit"},
		{"no price", "/editions", replaced(editionFields(), "price", ""), 422, "declare-price"},
		{"step without a price", "/editions", replaced(editionFields(), "from[0]", "10"), 422, "declare-price_steps-0-"},
		{"steps that fall back", "/editions", replaced(replaced(replaced(replaced(editionFields(), "from[0]", "10"), "price_steps[0]", "150"), "from[1]", "5"), "price_steps[1]", "160"), 422, "declare-price_steps-1-"},
		{"edition of no work", "/editions", replaced(editionFields(), "work", ""), 422, "declare-work"},
		{"edition of an unknown work", "/editions", replaced(editionFields(), "work", "88"), 404, ""},
		{"work without a title", "/works", []string{"title", "", "year", "", "note", ""}, 422, "work-title"},
		{"work of the year 20", "/works", []string{"title", "Weir", "year", "20", "note", ""}, 422, "work-year"},
		{"close without meaning it", "/editions/1/close", nil, 422, "close-sure"},
		{"sign ahead what there is not", "/editions/1/sign", []string{"numbers", "240-260"}, 422, "ahead-numbers"},
		{"sign ahead backwards", "/editions/1/sign", []string{"numbers", "20-15"}, 422, "ahead-numbers"},
		{"sign ahead nothing", "/editions/1/sign", []string{"numbers", " , "}, 422, "ahead-numbers"},
		{"withdraw without a reason", "/editions/1/numbers/20/withdraw", []string{"reason", ""}, 422, "withdraw-reason"},
		{"withdraw what an order holds", "/editions/1/numbers/17/withdraw", []string{"reason", "lost"}, 409, ""},
		{"a step that there is not", "/editions/1/numbers/20/promise", []string{"reason", "x"}, 404, ""},

		{"negative count", "/drawer/1/count", []string{"counted", "-4", "reason", "x"}, 422, "count-counted"},
		{"count that is no number", "/drawer/1/count", []string{"counted", "ten", "reason", "x"}, 422, "count-counted"},
		{"run of nothing", "/runs", []string{"edition", "1", "lab", "Lab", "quantity", "0", "unit_cost", "", "ordered", "2026-04-14", "expected", "", "note", ""}, 422, "run-quantity"},
		{"run expected before it was ordered", "/runs", []string{"edition", "1", "lab", "Lab", "quantity", "5", "unit_cost", "", "ordered", "2026-04-14", "expected", "2026-04-01", "note", ""}, 422, "run-expected"},
		{"more came than was ordered", "/runs/1/receive", []string{"good", "21", "rejected", "", "day", "", "note", ""}, 422, "receive-good"},
		{"nothing came", "/runs/1/receive", []string{"good", "0", "rejected", "0", "day", "", "note", ""}, 422, "receive-good"},
		{"envelope without a size", "/shelf", replaced(itemFields(), "spec.width", ""), 422, "item-spec-width"},
		{"weight in inches", "/shelf", replaced(itemFields(), "spec.mass", "2 in"), 422, "item-spec-mass"},
		{"negative cost", "/shelf", replaced(itemFields(), "spec.cost", "-1"), 422, "item-spec-cost"},
		{"envelope that is cut", "/shelf", replaced(replaced(itemFields(), "spec.cut.shortest", "3 in"), "spec.cut.step", "1 in"), 422, ""},
		{"restock with nothing", "/shelf/1/restock", []string{"pieces", "0", "unit_cost", ""}, 422, "restock-1-pieces"},
		{"restock with minus", "/shelf/1/restock", []string{"pieces", "-5", "unit_cost", "", "back", "bench"}, 422, ""},

		{"unknown currency", "/studio", settingsFields("currency", "ZZZ"), 422, "settings-currency"},
		{"another currency after a sale", "/studio", settingsFields("currency", "EUR"), 409, "settings-currency"},
		{"unknown time zone", "/studio", settingsFields("time_zone", "Mars/Base"), 422, "settings-time_zone"},
		{"closed on no day", "/studio", settingsFields("closed[0].from", "Boxing Day"), 422, "settings-closed-0--from"},
		{"closed from a later day", "/studio", replaced(settingsFields("closed[0].from", "2026-12-28"), "closed[0].to", "2026-12-24"), 422, "settings-closed-0--to"},
		{"studio without a name", "/studio", settingsFields("studio", ""), 422, "settings-studio"},
		{"outlet of 101 per cent", "/studio/outlets", []string{"name", "Fair", "fee", "101", "fee_fixed", "0", "promise_days", "3"}, 422, "outlet-fee"},
		{"outlet with a fee of three decimals", "/studio/outlets", []string{"name", "Fair", "fee", "2.955", "fee_fixed", "0", "promise_days", "3"}, 422, "outlet-fee"},
		{"outlet of that name", "/studio/outlets", []string{"name", "In person", "fee", "1", "fee_fixed", "0", "promise_days", "3"}, 409, "outlet-name"},
		{"promise of ten years", "/studio/outlets", []string{"name", "Fair", "fee", "1", "fee_fixed", "0", "promise_days", "3650"}, 422, "outlet-promise_days"},
		{"a card without a file", "/studio/cards", []string{"card", "{}"}, 422, "card-card"},
		{"wraps without a file", "/studio/wraps", nil, 422, "file-file"},
		{"a wrap without a name", "/studio/wrap", wrapFields("name", ""), 422, "wrap-name"},
		{"a wrap that ends in a board", "/studio/wrap", wrapFields("layers[1].kind", "board"), 422, ""},
		{"a wrap of no known kind", "/studio/wrap", wrapFields("layers[0].kind", "ribbon"), 422, "wrap-layers-0--kind"},
		{"a tube in a flat wrap", "/studio/wrap", wrapFields("layers[1].kind", "tube"), 422, "wrap-layers-1--kind"},
		{"room that is no length", "/studio/wrap", wrapFields("layers[1].clearance.sides", "a little"), 422, "wrap-layers-1--clearance-sides"},
		{"most below fewest", "/studio/wrap", replaced(wrapFields("fewest", "5"), "most", "2"), 422, "wrap-most"},
		{"packaging that is not on the shelf", "/studio/wrap", append(wrapFields("name", "x"), "layers[1].items.gone", "1"), 422, "wrap-layers-1--items-gone"},
		{"a wrap of nothing", "/studio/wrap", []string{"do", "save", "was", "", "name", "Bare", "shape", "flat"}, 422, ""},
		{"a rule that asks for nothing", "/studio/rule", []string{"do", "save", "was", "", "when[0].what", "abroad", "when[0].abroad", "yes"}, 422, ""},
		{"a rule of an unknown phrase", "/studio/rule", ruleFields("then[0].what", "pigeon"), 422, "rule-then-0--what"},
		{"a rule that says the same twice", "/studio/rule", append(ruleFields("text", ""), "when[1].what", "value_over", "when[1].value_over", "9"), 422, "rule-when-1--what"},
		{"a rule of no grade", "/studio/rule", ruleFields("when[0].what", "grades"), 422, "rule-when-0--grades-fine"},
		{"a rule of no amount", "/studio/rule", ruleFields("when[0].value_over", ""), 422, "rule-when-0--value_over"},
		{"a rule over an absurd amount", "/studio/rule", ruleFields("when[0].value_over", "-3"), 422, "rule-when-0--value_over"},
		{"a rule of at most no print", "/studio/rule", append(ruleFields("then[0].what", "sheets_most"), "then[0].sheets_most", "0"), 422, "rule-then-0--sheets_most"},
		{"a rule by pigeon", "/studio/rule", append(ruleFields("then[0].what", "only_classes"), "then[0].only_classes.pigeon", "1"), 422, "rule-then-0--only_classes-first-class-mail"},
		{"a rule against one that stands", "/studio/rule", []string{"do", "save", "was", "", "then[0].what", "shape", "then[0].shape", "rolled"}, 422, "rule-then-0--shape"},
		{"a rule against itself", "/studio/rule", append(ruleFields("text", ""), "when[1].what", "sheets_from", "when[1].sheets_from", "5", "when[2].what", "sheets_to", "when[2].sheets_to", "4"), 422, "rule-when-2--sheets_to"},
		{"a paper that is too thin", "/studio/lists", []string{"papers[0].name", "tissue", "papers[0].grammage", "5 gsm", "papers[0].caliper", "1 pt", "papers[0].tightest_roll", "", "labs", "", "grades", "fine"}, 422, "lists-papers-0--grammage"},
	} {
		a := s.post(c.path, c.fields...)
		if a.status != c.status {
			t.Errorf("%s: status %d, want %d: %.300s", c.what, a.status, c.status, faultsOf(a))
			continue
		}
		if faultsOf(a) == "" {
			t.Errorf("%s: no fault is shown", c.what)
			continue
		}
		if c.field != "" {
			if wrong := a.find("#" + c.field + "-wrong"); len(wrong) != 1 || textOf(wrong[0]) == "" {
				t.Errorf("%s: nothing stands beside #%s; on top: %s", c.what, c.field, faultsOf(a))
			}
			if links := a.find("#faults a[href=#" + c.field + "]"); len(links) == 0 {
				t.Errorf("%s: the summary does not lead to #%s: %s", c.what, c.field, faultsOf(a))
			}
		}
		if after := s.sum(); after != before {
			t.Fatalf("%s: something was written", c.what)
		}
	}
}

// wrapFields is a new wrap as its editor sends it.
func wrapFields(name, value string) []string {
	return replaced([]string{
		"do", "save", "was", "", "name", "in a mailer", "note", "", "shape", "flat", "fewest", "", "most", "", "beside", "", "between", "", "minutes", "", "minutes_per_sheet", "",
		"layers[0].kind", "sleeve", "layers[0].per", "sheet", "layers[0].clearance.sides", "1/16 in", "layers[0].clearance.thickness", "",
		"layers[1].kind", "envelope", "layers[1].clearance.sides", "1/8 in", "layers[1].clearance.thickness", "",
	}, name, value)
}

// ruleFields is a new house rule as its editor sends it.
func ruleFields(name, value string) []string {
	return replaced([]string{"do", "save", "was", "", "when[0].what", "value_over", "when[0].value_over", "120.00", "then[0].what", "signature", "text", ""}, name, value)
}

func faultsOf(a answer) string {
	if a.root == nil {
		return ""
	}
	for _, n := range a.find("#faults") {
		return textOf(n)
	}
	return ""
}

func settingsFields(name, value string) []string {
	return replaced([]string{
		"studio", "Marsh Lane Press", "artist", "Ines Corrow", "ship_to.name", "Marsh Lane Press", "ship_to.line1", "4 Marsh Lane", "ship_to.line2", "", "ship_to.city", "Roanoke",
		"ship_to.region", "VA", "ship_to.postcode", "24011", "ship_to.country", "US", "currency", "USD", "units", "inch", "time_zone", "America/New_York", "holidays", "us-federal",
		"closed[0].from", "", "closed[0].to", "", "mark_prefix", "S", "price_classes", "commercial", "minute_wage", "",
	}, name, value)
}
