package api

import (
	"fmt"
	"testing"
	"time"
)

// The clock of a machine may jump by years, forwards and back: a request under a key is still done once, and a message taken once.
func TestKeysSurviveJumpsOfTheClock(t *testing.T) {
	onEach(t, func(t *testing.T, d *desk) {
		first := sent{method: "POST", path: "/api/v1/orders", body: sale("A-1", heron), key: "first"}
		want := d.call(first).is(201).text
		pay := sent{method: "POST", path: "/api/v1/orders/A-1/payments", body: `{"amount": {"minor": 100, "currency": "USD"}}`, key: "pay"}
		d.call(pay).is(201)
		for n, jump := range []time.Duration{72 * time.Hour, -10 * 365 * 24 * time.Hour, 20 * 365 * 24 * time.Hour, -10*365*24*time.Hour - 72*time.Hour} {
			d.clock.add(jump)
			d.call(sent{method: "POST", path: "/api/v1/orders", body: sale(fmt.Sprint("B-", n), card)}).is(201) // a write, by which others are forgotten
			if got := d.call(first).is(201).text; got != want {
				t.Errorf("after %v it is answered %s", jump, got)
			}
			d.call(pay).is(201)
		}
		d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).is(200).has("/paid/minor", "100")
	})
}

// A caught message cannot be played again by whoever waits for the clock to jump and come back.
func TestReplaysSurviveJumpsOfTheClock(t *testing.T) {
	k := newTill(t)
	k.send(tillMessage, noon).is(201)
	k.clock.add(72 * time.Hour)
	for n := range 3 {
		k.send(fmt.Sprintf(`{"event": "refunded", "no": %d}`, n), noon.Add(72*time.Hour)).is(200)
		k.take(fmt.Sprint("B-", n))
	}
	k.clock.add(-72 * time.Hour)
	k.send(tillMessage, noon).problem(409, "taken")
}
