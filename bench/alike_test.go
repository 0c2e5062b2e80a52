package bench

import (
	"fmt"
	"strings"
	"testing"

	"solander/calendar"
	"solander/money"
	"solander/order"
)

// What is said of parcels that are built alike is no longer for three hundred than for a few, at each of them; the whole list of marks stays
// with the task.
func TestManyAlikeAreNamedInPart(t *testing.T) {
	const many = 300
	day := calendar.Date(2026, 4, 14)
	s := State{Day: day, Working: calendar.Weekdays()}
	for i := range many {
		o := order.Order{
			ID: int64(i + 1), Mark: fmt.Sprintf("S-%d", 1001+i), State: order.Open, Placed: day,
			ShipTo: order.Address{Name: "B", Line1: "1 Oak Street", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
			Lines:  []order.Line{{ID: int64(i + 1), Order: int64(i + 1), Edition: 1, Price: money.Of(0, "USD"), Signed: true}},
		}
		s.Orders = append(s.Orders, Order{Order: o, Plan: &Plan{Proven: true, Parcels: []PlannedParcel{{Build: "the same"}}}})
	}
	s.OnHand = map[int64]int{1: many}
	tasks := Make(s).Groups[PackOrders]
	if len(tasks) != many {
		t.Fatalf("%d of %d are to be packed", len(tasks), many)
	}
	want := "300 parcels alike: S-1001, S-1002, S-1003, S-1004, S-1005, S-1006, S-1007, S-1008, S-1009, S-1010, S-1011, S-1012 and 288 more, by one wrap sheet"
	for _, task := range tasks {
		if len(task.Alike) != many || strings.Count(strings.Join(task.Detail, "\n"), want) != 1 {
			t.Fatalf("%d marks; %q", len(task.Alike), task.Detail)
		}
	}
	if few := AlikeText([]string{"S-1", "S-4"}); few != "2 parcels alike: S-1, S-4" {
		t.Errorf("%q", few)
	}
}
