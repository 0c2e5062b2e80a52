package charging

import (
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
	"solander/money"
)

// Computed by hand: three sales of 100.00, 50.00 and 30.00 with fees of 7.00, 3.75 and 2.45 and 3.00, 1.50 and 0.90 kept of payments leave 161.40;
// 160.00 were paid out: 1.40 more were kept, by 100 : 50 : 30 0.777…, 0.388… and 0.233…, so 0.78, 0.39 and 0.23.
func TestAPayoutTakenApart(t *testing.T) {
	sales := []Paid{{usd(100_00), usd(7_00), usd(3_00)}, {usd(50_00), usd(3_75), usd(1_50)}, {usd(30_00), usd(2_45), usd(90)}}
	got, err := Apart(usd(160_00), sales)
	if err != nil || got[0] != usd(7_78) || got[1] != usd(4_14) || got[2] != usd(2_68) {
		t.Errorf("%v, %v", got, err)
	}
	if got, err := Apart(usd(161_40), sales); err != nil || got[0] != usd(7_00) || got[1] != usd(3_75) || got[2] != usd(2_45) {
		t.Errorf("as reckoned: %v, %v", got, err)
	}
	for name, err := range map[string]error{
		"more than was paid": second(Apart(usd(180_01), sales)), "fees below nothing": second(Apart(usd(179_00), sales)), "nothing was paid": second(Apart(usd(0), []Paid{{usd(0), usd(0), usd(0)}})),
	} {
		if !fault.Is(err, fault.Refused) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Apart(usd(1), nil); !fault.Is(err, fault.Invalid) {
		t.Errorf("no sale: %v", err)
	}
	if _, err := Apart(money.Of(1, "EUR"), sales); !fault.Is(err, fault.Invalid) {
		t.Errorf("in another money: %v", err)
	}
}

func second(_ []money.Amount, err error) error { return err }

// Whatever is paid out: what is left of the sales comes to it to the cent.
func TestPartsComeToThePayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sales := make([]Paid, rapid.IntRange(1, 9).Draw(t, "sales"))
		for i := range sales {
			gross := rapid.Int64Range(1, 100_000).Draw(t, "gross")
			sales[i] = Paid{usd(gross), usd(rapid.Int64Range(0, gross/5).Draw(t, "fee")), usd(rapid.Int64Range(0, gross/20).Draw(t, "payment"))}
		}
		net := usd(rapid.Int64Range(0, 400_000).Draw(t, "net"))
		fees, err := Apart(net, sales)
		if err != nil {
			if !fault.Is(err, fault.Refused) {
				t.Fatal(err)
			}
			return
		}
		var left int64
		for i, s := range sales {
			left += s.Gross.Minor - fees[i].Minor - s.Payment.Minor
		}
		if left != net.Minor {
			t.Fatalf("%d, paid out %s", left, net)
		}
	})
}

// Which run of neighbours comes nearest to a sum is held against all runs, tried one by one.
func TestRun(t *testing.T) {
	for _, c := range []struct {
		net      int64
		lefts    []int64
		from, to int
	}{
		{0, nil, 0, 0},
		{10, nil, 0, 0},
		{10, []int64{5, 5, 5}, 1, 3},  // as near: the latest
		{10, []int64{10, 4, 6}, 0, 1}, // as near: the shortest
		{10, []int64{3, 8, 90}, 0, 2},
		{1, []int64{40, 50}, 0, 0}, // nothing is nearer
		{1000, []int64{40, -5, 50}, 0, 3},
	} {
		if from, to := Run(c.net, c.lefts); from != c.from || to != c.to {
			t.Errorf("%d of %v: from %d to %d, want %d to %d", c.net, c.lefts, from, to, c.from, c.to)
		}
	}
}
