package bench

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/edition"
	"solander/order"
	"solander/supply"
)

var equalDays = cmp.Comparer(func(a, b calendar.Day) bool { return a == b })

// drawState makes any state, consistent or not: the bench must be total.
func drawState(t *rapid.T) State {
	day := calendar.Date(2026, 4, 15)
	near := rapid.Custom(func(t *rapid.T) calendar.Day {
		if rapid.IntRange(0, 9).Draw(t, "none") == 0 {
			return calendar.Day{}
		}
		return day.Add(rapid.IntRange(-30, 30).Draw(t, "days"))
	})
	s := State{Day: day, Working: calendar.USFederal(), OnHand: map[int64]int{}}
	for e := int64(1); e <= 3; e++ {
		s.OnHand[e] = rapid.IntRange(-1, 4).Draw(t, "on hand")
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "runs") {
		s.Runs = append(s.Runs, supply.Run{ID: int64(i + 1), Edition: rapid.Int64Range(1, 3).Draw(t, "of"), Ordered: near.Draw(t, "ordered"), Expected: near.Draw(t, "expected"), Quantity: rapid.IntRange(0, 3).Draw(t, "quantity")})
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "orders") {
		s.Orders = append(s.Orders, drawOrder(t, int64(i+1), near))
	}
	return s
}

func drawOrder(t *rapid.T, id int64, near *rapid.Generator[calendar.Day]) Order {
	flip := func(what string) bool { return rapid.Bool().Draw(t, what) }
	o := Order{BuyerName: "Ada Quill", Order: order.Order{
		ID: id, Mark: fmt.Sprintf("S-%d", id%4), State: rapid.SampledFrom([]order.State{order.Open, order.Open, order.Open, order.Closed, order.Cancelled}).Draw(t, "state"),
		Placed: near.Draw(t, "placed"), Promised: near.Draw(t, "promised"), Postage: usd(rapid.Int64Range(0, 900).Draw(t, "postage")),
	}}
	if paid := rapid.Int64Range(-1, 4).Draw(t, "paid"); paid > 0 {
		o.Payments = []order.Payment{{Kind: order.Deposit, Amount: usd(paid * 3000)}}
	}
	if flip("overridden") && flip("really") {
		o.Override = &order.Override{Reason: "a friend"}
	}
	o.InPerson = flip("in person") && flip("really")
	if !flip("no address") || !flip("really") {
		o.ShipTo = ada()
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "lines") {
		l := order.Line{
			ID: id*10 + int64(i), Order: id, Edition: rapid.Int64Range(1, 3).Draw(t, "edition"), Number: edition.Number{Kind: edition.Numbered, N: i + 1},
			Price: usd(rapid.Int64Range(0, 6000).Draw(t, "price")), Dropped: flip("dropped") && flip("really"), Signed: flip("signed"), Sent: flip("sent") && flip("really"),
		}
		if flip("packed") {
			l.Parcel = rapid.Int64Range(1, 2).Draw(t, "parcel")
		}
		o.Lines = append(o.Lines, l)
		if flip("named") {
			o.Prints = append(o.Prints, Print{Line: l, Label: "17/250", Edition: "Heron"})
		}
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "parcels") {
		o.Parcels = append(o.Parcels, Parcel{ID: id*10 + int64(i), Labelled: flip("labelled"), Text: "envelope"})
	}
	if flip("held") {
		o.Held = "too long"
	}
	return o
}

// Every open order is in a group, and no other order is; every print that waits for work of its own is
// in the group of that work.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawState(t)
		l := Make(s)
		opened := 0
		for _, o := range s.Orders {
			groups := groupsOf(l, o.ID)
			if o.State != order.Open {
				if len(groups) > 0 {
					t.Fatalf("%s order %d is in %v", o.State, o.ID, groups)
				}
				continue
			}
			opened++
			if len(groups) == 0 {
				t.Fatalf("order %d is lost: %+v", o.ID, o)
			}
			checkGroups(t, s, l, o, groups)
		}
		if l.Open != opened {
			t.Fatalf("%d open, counted %d", opened, l.Open)
		}
	})
}

// checkGroups holds the rules of the package comment against what the bench says of one order, and its
// stage against both.
func checkGroups(t *rapid.T, s State, l List, o Order, groups []Group) {
	var all []order.Order
	for _, x := range s.Orders {
		all = append(all, x.Order)
	}
	has := SheetsOf(all, s.OnHand, s.Runs).Has
	in := map[Group]bool{}
	for _, g := range groups {
		in[g] = true
	}
	owes := o.Owed().Sign() > 0 && o.Override == nil
	if owes && (!in[ChaseMoney] || in[PackOrders]) {
		t.Fatalf("order %d owes and is in %v", o.ID, groups)
	}
	if owes && o.Paid().Sign() <= 0 && in[OrderSheets] && !anySigned(o) {
		t.Fatalf("order %d paid nothing, yet a sheet is ordered", o.ID)
	}
	if homeless := o.NoAddress() != ""; homeless != in[AskAddress] || homeless && in[PackOrders] || o.InPerson && in[PackOrders] {
		t.Fatalf("order %d, address %+v, in person %v, is in %v", o.ID, o.ShipTo, o.InPerson, groups)
	}
	for _, x := range unpacked(o.Order) {
		needsSign := has[x.ID] && !x.Signed
		if needsSign && !hasLine(l, SignPrints, x.ID) || !needsSign && hasLine(l, SignPrints, x.ID) {
			t.Fatalf("line %d to sign: %v", x.ID, needsSign)
		}
		if !x.Signed && o.Override == nil && in[PackOrders] {
			t.Fatalf("order %d is to be packed with line %d unsigned", o.ID, x.ID)
		}
		if !has[x.ID] && (x.Signed || Funded(o.Order)) && !hasLine(l, OrderSheets, x.ID) {
			t.Fatalf("line %d waits for a sheet that nobody orders", x.ID)
		}
	}
	var labelled []bool
	for _, p := range o.Parcels {
		labelled = append(labelled, p.Labelled)
	}
	want := map[order.Stage]Group{order.AwaitsMoney: ChaseMoney, order.AwaitsSheet: OrderSheets, order.AwaitsSigning: SignPrints, order.AwaitsAddress: AskAddress, order.AwaitsPacking: PackOrders, order.AwaitsLabel: LabelParcel, order.AwaitsHandOver: HandOver}
	if stage := StageOf(o.Order, has, labelled); !in[want[stage]] {
		t.Fatalf("order %d stands at %q but is in %v", o.ID, stage, groups)
	}
}

func anySigned(o Order) bool {
	for _, l := range o.Lines {
		if l.Signed {
			return true
		}
	}
	return false
}

func hasLine(l List, g Group, line int64) bool {
	for _, t := range l.Groups[g] {
		if contains(t.Lines, line) {
			return true
		}
	}
	return false
}

// The sheets to order are exactly what is wanted less on hand less outstanding, an edition at a time,
// as far as that is above nothing.
func TestSheetsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawState(t)
		l := Make(s)
		for ed := int64(1); ed <= 3; ed++ {
			wanted, signed, ordered, out := 0, 0, 0, 0
			for _, o := range s.Orders {
				for _, x := range Pending(o.Order) {
					if x.Edition == ed && x.Signed {
						signed++
					} else if x.Edition == ed && Funded(o.Order) {
						wanted++
					}
				}
			}
			for _, r := range s.Runs {
				if r.Edition == ed {
					out += r.Outstanding()
				}
			}
			for _, x := range l.Groups[OrderSheets] {
				if x.Edition == ed {
					ordered += x.Quantity
				}
			}
			if want := max(0, wanted-max(0, s.OnHand[ed]-signed)-out); ordered != want {
				t.Fatalf("edition %d: %d wanted, %d on hand of which %d signed, %d outstanding: %d to order, want %d", ed, wanted, s.OnHand[ed], signed, out, ordered, want)
			}
		}
	})
}

// The same state in any order, and twice, gives the same list.
func TestTheOrderOfTheInputDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawState(t)
		want := Make(s)
		shuffled := s
		shuffled.Orders = rapid.Permutation(s.Orders).Draw(t, "orders")
		shuffled.Runs = rapid.Permutation(s.Runs).Draw(t, "runs")
		if d := cmp.Diff(want, Make(shuffled), equalDays); d != "" {
			t.Fatal(d)
		}
		if d := cmp.Diff(want, Make(s), equalDays); d != "" {
			t.Fatal(d)
		}
	})
}
