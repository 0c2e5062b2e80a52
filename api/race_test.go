package api

import (
	"fmt"
	"net/http"
	"sync"
	"testing"

	"solander/book"
	"solander/internal/pgtest"
	"solander/studio"
)

// racing makes n calls at once.
func racing[A any](n int, call func(i int) A) []A {
	out := make([]A, n)
	var all sync.WaitGroup
	for i := range n {
		all.Go(func() { out[i] = call(i) })
	}
	all.Wait()
	return out
}

// patiently sends the same again while the studio is busy, as a machine that is busy with other things may make it.
func (d *desk) patiently(s sent) answered {
	a := d.call(s)
	for range 20 {
		if a.code != http.StatusServiceUnavailable {
			break
		}
		a = d.call(s)
	}
	return a
}

// onEach runs a test on a desk of each engine.
func onEach(t *testing.T, test func(*testing.T, *desk)) {
	t.Run("sqlite", func(t *testing.T) { test(t, newDesk(t)) })
	t.Run("postgres", func(t *testing.T) { test(t, deskAt(t, pgtest.New(t))) })
}

func TestOneKeySixteenTimesAtOnce(t *testing.T) { onEach(t, oneKeySixteenTimes) }

func oneKeySixteenTimes(t *testing.T, d *desk) {
	s := sent{method: "POST", path: "/api/v1/orders", key: "one", body: sale("A-1", heron)}
	all := racing(16, func(int) answered { return d.patiently(s) })
	for _, a := range all {
		if a.code != 201 || a.text != all[0].text {
			t.Errorf("it answers %d %s", a.code, a.text)
		}
	}
	page, err := book.Orders(d.ctx(), d.studio, studio.OrderQuery{}, "")
	d.must(err)
	if len(page.Rows) != 1 {
		t.Errorf("%d orders stand in the book", len(page.Rows))
	}
}

func TestSixtyFourSalesAtOnce(t *testing.T) { onEach(t, sixtyFourSales) }

func sixtyFourSales(t *testing.T, d *desk) {
	all := racing(64, func(i int) answered {
		return d.patiently(sent{method: "POST", path: "/api/v1/orders", key: fmt.Sprint("sale ", i), body: sale(fmt.Sprint("A-", i), heron)})
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

// Sixteen calls at once, each under a key of its own, pay the same rest of an order, and pay all of it back: of either one does.
func TestTheSameMoneyAtOnce(t *testing.T) { onEach(t, theSameMoney) }

func theSameMoney(t *testing.T, d *desk) {
	d.call(sent{method: "POST", path: "/api/v1/orders", body: sale("A-1", heron)}).is(201).has("/owed/minor", "9000")
	for _, kind := range []string{"balance", "refund"} {
		all := racing(16, func(i int) answered {
			return d.patiently(sent{method: "POST", path: "/api/v1/orders/A-1/payments", key: fmt.Sprint(kind, i), body: `{"amount": {"minor": 9000, "currency": "USD"}, "kind": "` + kind + `"}`})
		})
		noted := 0
		for _, a := range all {
			if a.code == 201 {
				noted++
			} else {
				a.problem(409, "refused").has("/errors/0/pointer", "#/amount")
			}
		}
		if noted != 1 {
			t.Errorf("%d calls noted the same %s", noted, kind)
		}
	}
	d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).is(200).has("/paid/minor", "0").has("/payments/1/kind", "refund").has("/payments/2", "<nothing>")
}
