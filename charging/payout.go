package charging

import (
	"cmp"
	"time"

	"solander/calendar"
	"solander/money"
)

// Payout is a sum that an outlet paid out, of many sales.
type Payout struct {
	ID     int64        `json:"id"`
	Outlet int64        `json:"outlet"`
	Net    money.Amount `json:"net"`
	Day    calendar.Day `json:"day"`
	Note   string       `json:"note,omitempty"`
	Back   bool         `json:"taken_back,omitempty"` // it was entered wrongly
	At     time.Time    `json:"at"`
	Who    string       `json:"who"`
}

// PaidOut is what a payout said of one sale.
type PaidOut struct {
	Payout  int64        `json:"payout"`
	Order   int64        `json:"order"`
	Gross   money.Amount `json:"gross"`        // what its buyer paid
	Was     money.Amount `json:"fee_reckoned"` // the outlet's fee until then
	Fee     money.Amount `json:"fee"`
	Payment money.Amount `json:"payment_fees"`
	Noted   int64        `json:"noted,omitempty"` // the payment that was noted by it; 0 = none, all was paid
	Back    bool         `json:"-"`               // as its payout
}

// Net is what the sale left of the payout.
func (p PaidOut) Net() money.Amount {
	return money.Of(p.Gross.Minor-p.Fee.Minor-p.Payment.Minor, p.Gross.Currency)
}

// PayoutStore keeps payouts.
type PayoutStore interface {
	Payouts(skip, limit int) ([]Payout, error) // the latest first
	Payout(id int64) (Payout, error)
	PayoutParts(id int64) ([]PaidOut, error) // by order
	// PayoutOf returns for orders the payout that stands and that they are in.
	PayoutOf(orders []int64) (map[int64]int64, error)
	// NotPaidOut returns orders of an outlet up to a day that are in no payout, and were neither called off nor came back: the latest, by day.
	NotPaidOut(outlet int64, until calendar.Day, limit int) ([]int64, error)
	// AddPayout adds a payout. Faults: Taken when one of its orders is in another one that stands.
	AddPayout(Payout, []PaidOut) (int64, error)
	// TakePayoutBack notes that a payout was entered wrongly. Faults: Missing.
	TakePayoutBack(id int64) error
}

// Run finds which sales a payout is of, likely: of all runs of neighbours the one whose sum is nearest to the net, the shortest of them, and of
// these the latest. lefts are what is expected of each sale, by day. An outlet pays out sales as they came (common practice, no source).
func Run(net int64, lefts []int64) (from, to int) {
	type run struct{ off, from, to int64 }
	best := run{off: max(net, -net)} // no sale at all
	for i := range lefts {
		sum := int64(0)
		for j := i; j < len(lefts); j++ {
			sum += lefts[j]
			off := max(net-sum, sum-net)
			at := run{off, int64(i), int64(j) + 1}
			if cmp.Or(cmp.Compare(at.off, best.off), cmp.Compare(at.to-at.from, best.to-best.from), cmp.Compare(best.to, at.to)) < 0 {
				best = at
			}
		}
	}
	return int(best.from), int(best.to)
}
