package charging

import (
	"solander/fault"
	"solander/money"
)

// Paid is a sale of which an outlet pays out what is left after its fees.
type Paid struct {
	Gross   money.Amount // what its buyer paid
	Fee     money.Amount // of the outlet, as it was reckoned
	Payment money.Amount // kept of its payments
}

// Left is what the fees as reckoned leave of it.
func (p Paid) Left() money.Amount {
	return money.Of(p.Gross.Minor-p.Fee.Minor-p.Payment.Minor, p.Gross.Currency)
}

// Apart takes a payout of many sales in one sum apart again: what the outlet really kept of each. Where the sum is another than the fees as
// reckoned leave, the difference is shared among the sales by what their buyers paid, by largest remainders, so that all come to the sum
// to the cent. It returns the outlet's fee of each.
// Faults: Invalid when amounts do not fit together; Refused when the sum is more than the buyers paid, or needs a fee below nothing.
func Apart(net money.Amount, sales []Paid) ([]money.Amount, error) {
	if len(sales) == 0 {
		return nil, fault.Invalidf("orders", "a payout of no sale").ToMend("name the orders that it is of")
	}
	left, gross := money.Of(0, net.Currency), money.Of(0, net.Currency)
	weights := make([]int64, len(sales))
	for i, s := range sales {
		var err error
		if gross, err = gross.Add(s.Gross); err != nil {
			return nil, err
		}
		for _, a := range []money.Amount{s.Gross, s.Fee.Neg(), s.Payment.Neg()} {
			if left, err = left.Add(a); err != nil {
				return nil, err
			}
		}
		weights[i] = s.Gross.Minor
	}
	if gross.Sign() <= 0 {
		return nil, fault.New(fault.Refused, "the buyers of these sales paid nothing").In("orders").ToMend("look at the orders")
	}
	if net.Minor > gross.Minor {
		return nil, fault.New(fault.Refused, "%s is more than the %s that the buyers paid", net, gross).In("net").ToMend("look for a sale that is missing, or at the sum")
	}
	more := money.Shares(left.Minor-net.Minor, weights) // kept beyond what was reckoned
	out := make([]money.Amount, len(sales))
	for i, s := range sales {
		out[i] = money.Of(s.Fee.Minor+more[i], net.Currency)
		if out[i].Sign() < 0 {
			return nil, fault.New(fault.Refused, "%s leaves a sale a fee below nothing: by the fees as reckoned it would be %s", net, left).In("net").ToMend("look at the sum, at the sales, and at the fee table")
		}
	}
	return out, nil
}
