package bench

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/supply"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

func on(month time.Month, day int) calendar.Day { return calendar.Date(2026, month, day) }

// sale makes an open order of 120.00 USD with one line per signed value, numbered from 17.
func sale(id int64, paid int64, signed ...bool) Order {
	o := Order{BuyerName: "Ada Quill", OutletName: "Own site", Order: order.Order{
		ID: id, Mark: fmt.Sprintf("S-%d", 1000+id), State: order.Open, Placed: on(4, 7), Promised: on(4, 14), Postage: usd(0), ShipTo: ada(),
	}}
	if paid != 0 {
		o.Payments = []order.Payment{{Kind: order.Deposit, Amount: usd(paid)}}
	}
	for i, s := range signed {
		l := order.Line{ID: id*10 + int64(i), Order: id, Edition: 1, Number: edition.Number{Kind: edition.Numbered, N: 17 + i}, Signed: s}
		if i == 0 {
			l.Price = usd(12000)
		} else {
			l.Price = usd(0)
		}
		o.Lines = append(o.Lines, l)
		o.Prints = append(o.Prints, Print{Line: l, Title: "Heron at dusk", Label: fmt.Sprintf("%d/250", 17+i), Size: "12 × 16 in", Grade: "fine", Edition: "Heron at dusk, 12 × 16 in, fine"})
	}
	return o
}

func ada() order.Address {
	return order.Address{Name: "Ada Quill", Line1: "12 Reed Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
}

func state(orders ...Order) State {
	return State{Day: on(4, 15), Working: calendar.USFederal(), Units: measure.Imperial, Orders: orders, OnHand: map[int64]int{}}
}

// groupsOf returns the groups in which the order has tasks, in working order.
func groupsOf(l List, id int64) []Group {
	var out []Group
	for _, g := range Groups() {
		for _, t := range l.Groups[g] {
			if t.Order == id || contains(t.Orders, id) {
				out = append(out, g)
				break
			}
		}
	}
	return out
}

func contains(ids []int64, id int64) bool {
	for _, x := range ids {
		if x == id {
			return true
		}
	}
	return false
}

// one returns the only task of a group.
func one(t *testing.T, l List, g Group) Task {
	t.Helper()
	if len(l.Groups[g]) != 1 {
		t.Fatalf("%s: %d tasks, want 1: %+v", g, len(l.Groups[g]), l.Groups[g])
	}
	return l.Groups[g][0]
}

// Source of the holidays: 5 U.S.C. 6103; days of observance 2026 as published by the Office of
// Personnel Management (from memory): Memorial Day Mon 25 May, Juneteenth Fri 19 Jun, Independence Day
// observed Fri 3 Jul, Labor Day Mon 7 Sep, Thanksgiving Thu 26 Nov, Christmas Fri 25 Dec.
func TestAgesCountWorkingDays(t *testing.T) {
	for name, tc := range map[string]struct {
		placed, promised, day calendar.Day
		age, late             int
		says                  string
	}{
		"a plain week and a half":      {on(4, 7), on(4, 14), on(4, 15), 6, 1, "waiting 6 working days, promised by Tue 14 Apr, 1 late"},
		"across Memorial Day":          {on(5, 22), on(5, 29), on(5, 26), 1, 0, "waiting 1 working day, promised by Fri 29 May"},
		"across Juneteenth":            {on(6, 18), on(6, 18), on(6, 22), 1, 1, "waiting 1 working day, promised by Thu 18 Jun, 1 late"},
		"a Saturday holiday on Friday": {on(7, 2), on(7, 2), on(7, 6), 1, 1, "waiting 1 working day, promised by Thu 2 Jul, 1 late"},
		"across Labor Day":             {on(9, 4), on(9, 4), on(9, 8), 1, 1, "waiting 1 working day, promised by Fri 4 Sep, 1 late"},
		"Thanksgiving week":            {on(11, 23), on(11, 27), on(11, 30), 4, 1, "waiting 4 working days, promised by Fri 27 Nov, 1 late"},
		"Christmas and the year's end": {on(12, 24), on(12, 28), calendar.Date(2027, 1, 4), 5, 4, "waiting 5 working days, promised by Mon 28 Dec 2026, 4 late"},
		"the day itself":               {on(4, 15), on(4, 15), on(4, 15), 0, 0, "new, promised by today"},
		"a weekend after the promise":  {on(4, 13), on(4, 17), on(4, 19), 4, 0, "waiting 4 working days, promised by Fri 17 Apr"},
		"no promise":                   {on(4, 13), calendar.Day{}, on(4, 14), 1, 0, "waiting 1 working day, nothing promised"},
		"entered ahead of its day":     {on(4, 16), on(4, 20), on(4, 15), 0, 0, "placed on Thu 16 Apr, promised by Mon 20 Apr"},
	} {
		o := sale(1, 0, false)
		o.Placed, o.Promised = tc.placed, tc.promised
		s := state(o)
		s.Day = tc.day
		got := one(t, Make(s), ChaseMoney)
		if got.Age != tc.age || got.Late != tc.late || got.Timing != tc.says {
			t.Errorf("%s: age %d, late %d, %q; want %d, %d, %q", name, got.Age, got.Late, got.Timing, tc.age, tc.late, tc.says)
		}
	}
}

func TestOneOrderThroughTheGroups(t *testing.T) {
	packed := func(o Order, labelled bool) Order {
		o.Lines[0].Parcel = 5
		o.Parcels = []Parcel{{ID: 5, Labelled: labelled, Service: "parcel post", Text: "stiff envelope"}}
		return o
	}
	dropped := sale(1, 0, false)
	dropped.Lines[0].Dropped = true
	sent := sale(1, 12000, true)
	sent.Lines[0].Sent = true
	overridden := sale(1, 0, true)
	overridden.Override = &order.Override{Reason: "pays at the fair"}
	homeless, inPerson, unpaidInPerson := sale(1, 12000, true), sale(1, 12000, true), sale(1, 0, true)
	homeless.ShipTo = order.Address{}
	inPerson.InPerson, unpaidInPerson.InPerson = true, true
	inPerson.ShipTo, unpaidInPerson.ShipTo = order.Address{}, order.Address{}
	unpaidHomeless := sale(1, 6000, false)
	unpaidHomeless.ShipTo.Line1 = ""
	closed := sale(1, 0, false)
	closed.State = order.Closed
	owing := packed(sale(1, 6000, true), true)
	for name, tc := range map[string]struct {
		o      Order
		onHand int
		stage  order.Stage
		groups []Group
	}{
		"nothing paid":               {sale(1, 0, false), 1, order.AwaitsMoney, []Group{ChaseMoney}},
		"nothing paid, no sheet":     {sale(1, 0, false), 0, order.AwaitsMoney, []Group{ChaseMoney}},
		"a deposit, no sheet":        {sale(1, 6000, false), 0, order.AwaitsMoney, []Group{ChaseMoney, OrderSheets}},
		"a deposit, a sheet":         {sale(1, 6000, false), 1, order.AwaitsMoney, []Group{ChaseMoney, SignPrints}},
		"a deposit, signed":          {sale(1, 6000, true), 1, order.AwaitsMoney, []Group{ChaseMoney}},
		"paid, no sheet":             {sale(1, 12000, false), 0, order.AwaitsSheet, []Group{OrderSheets}},
		"paid, one sheet of two":     {sale(1, 12000, false, false), 1, order.AwaitsSheet, []Group{OrderSheets, SignPrints}},
		"paid, sheets":               {sale(1, 12000, false, false), 2, order.AwaitsSigning, []Group{SignPrints}},
		"paid, one signed of two":    {sale(1, 12000, true, false), 2, order.AwaitsSigning, []Group{SignPrints}},
		"paid, signed":               {sale(1, 12000, true, true), 2, order.AwaitsPacking, []Group{PackOrders}},
		"overpaid, signed":           {sale(1, 12500, true), 1, order.AwaitsPacking, []Group{ChaseMoney, PackOrders}},
		"overridden, unpaid, signed": {overridden, 1, order.AwaitsPacking, []Group{PackOrders}},
		"packed":                     {packed(sale(1, 12000, true), false), 1, order.AwaitsLabel, []Group{LabelParcel}},
		"labelled":                   {packed(sale(1, 12000, true), true), 1, order.AwaitsHandOver, []Group{HandOver}},
		"labelled, yet not paid":     {owing, 1, order.AwaitsMoney, []Group{ChaseMoney, HandOver}},
		"no address":                 {homeless, 1, order.AwaitsAddress, []Group{AskAddress}},
		"no street, a deposit":       {unpaidHomeless, 1, order.AwaitsMoney, []Group{ChaseMoney, AskAddress, SignPrints}},
		"in person":                  {inPerson, 1, order.AwaitsHandOver, []Group{HandOver}},
		"in person, unpaid":          {unpaidInPerson, 1, order.AwaitsMoney, []Group{ChaseMoney}},
		"packed in part":             {packed(sale(1, 12000, true, true), true), 2, order.AwaitsPacking, []Group{PackOrders, HandOver}},
		"all lines taken out":        {dropped, 0, order.AwaitsHandOver, []Group{HandOver}},
		"all sent, not closed":       {sent, 0, order.AwaitsHandOver, []Group{HandOver}},
		"closed":                     {closed, 0, order.Done, nil},
	} {
		s := state(tc.o)
		s.OnHand[1] = tc.onHand
		l := Make(s)
		if d := cmp.Diff(tc.groups, groupsOf(l, 1)); d != "" {
			t.Errorf("%s: groups (-want +got)\n%s", name, d)
		}
		has := SheetsOf([]order.Order{tc.o.Order}, s.OnHand, nil).Has
		var labelled []bool
		for _, p := range tc.o.Parcels {
			labelled = append(labelled, p.Labelled)
		}
		if got := StageOf(tc.o.Order, has, labelled); got != tc.stage {
			t.Errorf("%s: stage %s, want %s", name, got, tc.stage)
		}
	}
}

func TestAnOrderThatOwesIsNotHandedOver(t *testing.T) {
	o := sale(1, 6000, true)
	o.Lines[0].Parcel = 5
	o.Parcels = []Parcel{{ID: 5, Labelled: true, Tracking: "RR473124829US"}}
	got := one(t, Make(state(o)), HandOver)
	if got.Blocked != "60.00 USD is still owed" || !strings.Contains(got.Why, "RR473124829US") {
		t.Errorf("blocked %q, why %q", got.Blocked, got.Why)
	}
}

func TestSheetsAreSummedAnEdition(t *testing.T) {
	a, b, c, d := sale(1, 12000, false, false), sale(2, 6000, false), sale(3, 0, false), sale(4, 12000, true)
	b.Promised = on(4, 9)
	s := state(a, b, c, d)
	s.OnHand[1] = 2 // one is order 4's, signed; the other goes to the earliest promise, order 2
	s.Runs = []supply.Run{{ID: 4, Edition: 1, Ordered: on(3, 2), Expected: on(4, 13), Quantity: 1}}
	var order, wait Task
	for _, x := range Make(s).Groups[OrderSheets] {
		if x.Run == 0 {
			order = x
		} else {
			wait = x
		}
	}
	// Wanted: 2 + 1 + 1 (order 3 paid nothing). On hand 2, outstanding 1: one is to be ordered.
	if order.Quantity != 1 || order.Why != "4 sheets wanted, 2 on hand, 1 on the way" {
		t.Errorf("to order: %d, %q", order.Quantity, order.Why)
	}
	if d := cmp.Diff([]string{"S-1001 Ada Quill: waiting 6 working days, promised by Tue 14 Apr, 1 late"}, order.Detail); d != "" {
		t.Error(d)
	}
	if wait.Order != 1 || wait.Blocked != "waits for run 4 since Mon 2 Mar, expected Mon 13 Apr, 2 working days overdue" {
		t.Errorf("waiting: order %d, %q", wait.Order, wait.Blocked)
	}
}

func TestSigningShowsTheNumber(t *testing.T) {
	s := state(sale(1, 12000, false))
	s.OnHand[1] = 1
	got := one(t, Make(s), SignPrints)
	if got.What != "17/250 Heron at dusk, 12 × 16 in, fine" || got.Label != "17/250" || got.Title != "Heron at dusk" || got.Buyer != "Ada Quill" || got.Lines[0] != 10 {
		t.Errorf("%+v", got)
	}
}

func TestPackingShowsThePlan(t *testing.T) {
	o := sale(1, 12000, true, true)
	o.Plan = &Plan{Proven: true, Warnings: []string{"card held until 17 Jan 2026"}, Parcels: []PlannedParcel{
		{Wrap: "rolled in a tube", Layers: []string{"tissue", "tube 3 × 24 in"}, Mass: 8 * measure.Ounce, Service: "parcel post", Prints: []string{"17/250"}},
		{Wrap: "flat, double envelope", Layers: []string{"2 boards 12 × 16 in"}, Mass: 12 * measure.Ounce, Service: "priority", Prints: []string{"18/250"}},
	}}
	s := state(o)
	s.OnHand[1] = 2
	got := one(t, Make(s), PackOrders)
	want := []string{
		"parcel 1 of 2: rolled in a tube, " + (8 * measure.Ounce).About(measure.Imperial) + ", parcel post, with 17/250", "tissue", "tube 3 × 24 in",
		"parcel 2 of 2: flat, double envelope, " + (12 * measure.Ounce).About(measure.Imperial) + ", priority, with 18/250", "2 boards 12 × 16 in",
	}
	if d := cmp.Diff(o.Plan.Warnings, got.Warnings); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(want, got.Detail); d != "" || got.Mass != 20*measure.Ounce || got.Service != "parcel post and priority" {
		t.Errorf("mass %v, service %q\n%s", got.Mass, got.Service, d)
	}
}

func TestAHeldOrderStopsNoOther(t *testing.T) {
	held, fine := sale(1, 12000, true), sale(2, 12000, true)
	held.Held = "no packaging is long enough: 40 in > 36 in"
	s := state(held, fine)
	s.OnHand[1] = 2
	tasks := Make(s).Groups[PackOrders]
	if len(tasks) != 2 || tasks[0].Blocked != held.Held || tasks[1].Blocked != "" {
		t.Errorf("%+v", tasks)
	}
}

func TestAnOverrideTellsWhatIsMissing(t *testing.T) {
	o := sale(1, 0, true, false)
	o.Override = &order.Override{Reason: "signed on delivery"}
	s := state(o)
	s.OnHand[1] = 2
	l := Make(s)
	got := one(t, l, PackOrders)
	if d := cmp.Diff([]string{"overridden: signed on delivery", "not signed: 18/250; only the override lets it leave so", "not planned yet"}, got.Detail); d != "" {
		t.Error(d)
	}
	if one(t, l, SignPrints).Label != "18/250" || len(l.Groups[ChaseMoney]) != 0 {
		t.Errorf("%+v", l.Groups)
	}
}

func TestLateFirstThenPromiseThenMark(t *testing.T) {
	a, b, c, d, e := sale(1, 0, false), sale(2, 0, false), sale(3, 0, false), sale(4, 0, false), sale(5, 0, false)
	a.Promised, b.Promised, c.Promised, d.Promised, e.Promised = on(4, 20), on(4, 10), calendar.Day{}, on(4, 20), on(4, 14)
	l := Make(state(d, c, e, b, a))
	var marks []string
	for _, t := range l.Groups[ChaseMoney] {
		marks = append(marks, t.Mark)
	}
	if d := cmp.Diff([]string{"S-1002", "S-1005", "S-1001", "S-1004", "S-1003"}, marks); d != "" {
		t.Error(d)
	}
	if l.Late != 2 || l.Open != 5 || l.Next != on(4, 20) {
		t.Errorf("late %d, open %d, next %v", l.Late, l.Open, l.Next)
	}
}

func TestRestock(t *testing.T) {
	s := state()
	s.Shelf = []Stock{{ID: 1, Name: "tube", Stock: 3, ReorderAt: 2, Pack: 10}, {ID: 2, Name: "envelope", Stock: 2, ReorderAt: 25, Pack: 10}, {ID: 3, Name: "board", Stock: 0}}
	tasks := Make(s).Groups[Restock]
	if len(tasks) != 2 || tasks[0].What != "board" || tasks[0].Quantity != 1 || tasks[1].Quantity != 30 || tasks[1].Why != "2 left, reorder at 25" {
		t.Errorf("%+v", tasks)
	}
	if d := cmp.Diff([]string{"3 packs of 10"}, tasks[1].Detail); d != "" {
		t.Error(d)
	}
}
