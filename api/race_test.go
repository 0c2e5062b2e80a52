package api

import (
	"fmt"
	"sync"
	"testing"

	"solander/studio"
)

// racing makes n calls at once.
func racing(n int, call func(i int) answered) []answered {
	out := make([]answered, n)
	var all sync.WaitGroup
	for i := range n {
		all.Go(func() { out[i] = call(i) })
	}
	all.Wait()
	return out
}

func TestOneKeySixteenTimesAtOnce(t *testing.T) {
	d := newDesk(t)
	s := sent{method: "POST", path: "/api/v1/orders", key: "one", body: sale("A-1", heron)}
	all := racing(16, func(int) answered { return d.call(s) })
	for _, a := range all {
		if a.code != 201 || a.text != all[0].text {
			t.Errorf("it answers %d %s", a.code, a.text)
		}
	}
	page, err := d.studio.Orders(d.ctx(), studio.OrderQuery{}, "")
	d.must(err)
	if len(page.Rows) != 1 {
		t.Errorf("%d orders stand in the book", len(page.Rows))
	}
}

func TestSixtyFourSalesAtOnce(t *testing.T) {
	d := newDesk(t)
	all := racing(64, func(i int) answered {
		return d.call(sent{method: "POST", path: "/api/v1/orders", body: sale(fmt.Sprint("A-", i), heron)})
	})
	numbers, marks := map[string]bool{}, map[string]bool{}
	for _, a := range all {
		a.is(201)
		numbers[a.at("/lines/0/number")], marks[a.at("/mark")] = true, true
	}
	for i := range 64 {
		if !numbers[fmt.Sprintf("%d/250", i+1)] {
			t.Errorf("nobody has %d/250", i+1)
		}
	}
	if len(numbers) != 64 || len(marks) != 64 {
		t.Errorf("64 sales have %d numbers and %d marks", len(numbers), len(marks))
	}
}
