package charging

import (
	"cmp"
	"math/big"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// on are the rows of a kind that hold on a day.
func (t Table) on(what What, day calendar.Day) Table {
	var from calendar.Day
	for _, r := range t {
		if r.What == what && !r.From.After(day) && r.From.After(from) {
			from = r.From
		}
	}
	return slices.DeleteFunc(slices.Clone(t), func(r Row) bool { return r.What != what || r.From != from })
}

// OnSale is what the outlet keeps of a sale, by the rows of the day on which it was placed.
// Faults: Invalid when the table or the sale mixes currencies.
func (t Table) OnSale(b Basis) (Bill, error) {
	prints, err := money.Sum(b.Prints...)
	if err != nil {
		return nil, err
	}
	posted, err := prints.Add(b.Postage)
	if err != nil {
		return nil, err
	}
	taxed, err := posted.Add(b.Tax)
	if err != nil {
		return nil, err
	}
	var bill Bill
	for _, tiers := range charges(t.on(Sale, b.Day)) {
		whole := map[Of]money.Amount{Prints: prints, Postage: posted, Tax: taxed}[tiers[0].Of.or()]
		part, err := Part{}, error(nil)
		if tiers[0].Of == EachPrint {
			part, err = eachOf(tiers, b.Prints)
		} else {
			part, err = tiers.of(whole)
		}
		if err != nil {
			return nil, err
		}
		bill = append(bill, part)
	}
	return bill, nil
}

// Fee is what OnSale comes to.
func (t Table) Fee(b Basis) (money.Amount, error) {
	bill, err := t.OnSale(b)
	if err != nil {
		return money.Amount{}, err
	}
	return bill.Sum()
}

// OnPayment is what is kept back of a payment, by the rows of its day. Faults: those of OnSale.
func (t Table) OnPayment(paid money.Amount, day calendar.Day) (Bill, error) {
	var bill Bill
	for _, tiers := range charges(t.on(Payment, day)) {
		part, err := tiers.of(paid)
		if err != nil {
			return nil, err
		}
		bill = append(bill, part)
	}
	return bill, nil
}

// charges are rows of one day and kind by the charge that they are tiers of, in the order of the table, each from the lowest tier on.
func charges(rows Table) []Table {
	var out []Table
	for _, r := range rows {
		i := slices.IndexFunc(out, func(t Table) bool { return t[0].Name == r.Name })
		if i < 0 {
			out = append(out, Table{r})
			continue
		}
		out[i] = append(out[i], r)
	}
	for _, t := range out {
		slices.SortStableFunc(t, func(a, b Row) int { return cmp.Compare(a.Over.Minor, b.Over.Minor) })
	}
	return out
}

// eachOf is a charge on each print by itself.
func eachOf(tiers Table, prints []money.Amount) (Part, error) {
	sum := Part{Row: tiers[0], Times: len(prints)}
	for _, price := range prints {
		p, err := tiers.of(price)
		if err != nil {
			return sum, err
		}
		if sum.Of, err = sum.Of.Add(p.Of); err != nil {
			return sum, err
		}
		if sum.Amount, err = sum.Amount.Add(p.Amount); err != nil {
			return sum, err
		}
		sum.Row = p.Row
	}
	return sum, nil
}

// of is what the tiers of a charge come to on an amount: the share of the tier that it lies in, or, where the tiers are of parts, of each
// part the share of its tier; rounded once, half away from zero, to the minor unit; then the fixed part, least and most of the tier that
// the whole amount lies in.
func (t Table) of(amount money.Amount) (Part, error) {
	at := slices.IndexFunc(t, func(r Row) bool {
		return (r.Over.IsZero() || amount.Minor > r.Over.Minor) && (r.UpTo.IsZero() || amount.Minor <= r.UpTo.Minor)
	})
	if at < 0 {
		return Part{}, fault.New(fault.Internal, "a fee table has no tier for %s", amount)
	}
	r := t[at]
	for _, x := range t {
		for _, a := range []money.Amount{x.Over, x.UpTo, x.Fixed, x.Least, x.Most} {
			if _, err := amount.Add(a); err != nil {
				return Part{}, err
			}
		}
	}
	share, err := t.share(amount, at)
	if err != nil {
		return Part{}, err
	}
	fee, err := share.Add(r.Fixed)
	if err != nil {
		return Part{}, err
	}
	if fee.Minor < r.Least.Minor {
		fee.Minor = r.Least.Minor
	}
	if r.Most.Sign() > 0 && fee.Minor > r.Most.Minor {
		fee.Minor = r.Most.Minor
	}
	return Part{Row: r, Of: amount, Amount: fee}, nil
}

// share is the share of an amount that lies in a tier.
func (t Table) share(amount money.Amount, at int) (money.Amount, error) {
	if !t[at].Parts {
		return amount.Share(t[at].Share, Whole)
	}
	exact := new(big.Int) // in minor units by Whole
	for _, r := range t[:at+1] {
		end := amount.Minor
		if !r.UpTo.IsZero() {
			end = min(end, r.UpTo.Minor)
		}
		part := new(big.Int).Mul(big.NewInt(end-r.Over.Minor), big.NewInt(r.Share))
		exact.Add(exact, part)
	}
	half := big.NewInt(Whole / 2)
	if exact.Sign() < 0 {
		half.Neg(half)
	}
	minor := exact.Add(exact, half).Quo(exact, big.NewInt(Whole))
	if !minor.IsInt64() {
		return money.Amount{}, fault.New(fault.Invalid, "the fee of %s is too large", amount)
	}
	return money.Of(minor.Int64(), amount.Currency), nil
}
