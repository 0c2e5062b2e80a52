package banking

import (
	"fmt"
	"slices"
	"strings"

	"solander/bankfile"
	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/consign"
	"solander/consigning"
	"solander/fair"
	"solander/fairs"
	"solander/matching"
	"solander/money"
)

// others are payouts of outlets and money of galleries of about those days.
func (t *Banking) others(oldest, newest calendar.Day, wanted map[money.Amount]bool) (out []matching.Candidate, err error) {
	sums, err := t.UnbankedPayouts(oldest.Add(-matching.Reach), newest.Add(matching.Reach))
	if err != nil {
		return nil, err
	}
	for _, p := range sums {
		if !wanted[p.Net] {
			continue
		}
		u, err := t.Outlet(p.Outlet)
		if err != nil {
			return nil, err
		}
		out = append(out, matching.Candidate{Payout: p.ID, Buyer: u.Name, Amount: p.Net, Day: p.Day})
	}
	moneys, err := t.UnbankedMoneys(oldest.Add(-matching.Reach), newest.Add(matching.Reach))
	if err != nil {
		return nil, err
	}
	for _, m := range moneys {
		a, ok := m.AtBank()
		if !ok || !wanted[a] {
			continue
		}
		h, err := t.Gallery(m.Gallery)
		if err != nil {
			return nil, err
		}
		out = append(out, matching.Candidate{Money: m.ID, Buyer: h.Name, Amount: a, Day: m.Day})
	}
	for _, more := range []func(oldest, newest calendar.Day, wanted map[money.Amount]bool) ([]matching.Candidate, error){t.owing, t.claimed, t.atTables} {
		found, err := more(oldest, newest, wanted)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// owing are what galleries owe and is not noted as paid: all of it in one sum, each month of sales of which something is owed, and all up to its end.
func (t *Banking) owing(_, _ calendar.Day, wanted map[money.Amount]bool) (out []matching.Candidate, err error) {
	all, err := t.Galleries()
	if err != nil {
		return nil, err
	}
	for _, h := range all {
		open, err := consigning.In(t.Turn).OpenStatements(h.ID)
		if err != nil {
			return nil, err
		}
		seen := map[money.Amount]bool{}
		add := func(a money.Amount, since, until calendar.Day) {
			if a.Sign() > 0 && wanted[a] && !seen[a] {
				seen[a] = true
				out = append(out, matching.Candidate{Gallery: h.ID, Buyer: h.Name, Amount: a, Day: since, Until: until})
			}
		}
		if n := len(open); n > 0 {
			add(open[n-1].Owed, open[0].First, calendar.Day{})
		}
		for _, s := range open {
			add(s.Own, s.First, s.Until)
			add(s.Owed, open[0].First, s.Until)
		}
	}
	return out, nil
}

// claimed are what operators paid for claims without a line, and what they granted and is not noted as paid.
func (t *Banking) claimed(oldest, newest calendar.Day, wanted map[money.Amount]bool) (out []matching.Candidate, err error) {
	paid, err := t.UnbankedClaims(oldest.Add(-matching.Reach), newest.Add(matching.Reach))
	if err != nil {
		return nil, err
	}
	open, err := t.Claims(claim.Query{Open: true})
	if err != nil {
		return nil, err
	}
	granted := slices.DeleteFunc(open, func(c claim.Claim) bool { return c.State != claim.Granted })
	for _, c := range append(paid, granted...) {
		x := matching.Candidate{Claim: c.ID, Order: c.Order, Buyer: strings.TrimSpace("claim " + c.Reference), Amount: c.Paid, Day: c.PaidOn}
		if c.State == claim.Granted {
			x.Amount, x.Day, x.Owed = c.Granted, c.Answered, true
		}
		if !wanted[x.Amount] {
			continue
		}
		o, err := t.Order(c.Order)
		if err != nil {
			return nil, err
		}
		x.Mark = o.Mark
		out = append(out, x)
	}
	return out, nil
}

// atTables are cash of days at a table that was carried to the bank, and what is still in their cash boxes.
func (t *Banking) atTables(oldest, newest calendar.Day, wanted map[money.Amount]bool) (out []matching.Candidate, err error) {
	carried, err := t.UnbankedCarries(oldest.Add(-matching.Reach), newest.Add(matching.Reach))
	if err != nil {
		return nil, err
	}
	for _, c := range carried {
		if !wanted[c.Amount] {
			continue
		}
		d, err := t.FairDay(c.FairDay)
		if err != nil {
			return nil, err
		}
		out = append(out, matching.Candidate{Carry: c.ID, Buyer: d.Name, Amount: c.Amount, Day: c.Day})
	}
	waiting, err := fairs.In(t.Turn).Waiting()
	if err != nil {
		return nil, err
	}
	for _, d := range waiting {
		if wanted[d.Cash] {
			out = append(out, matching.Candidate{Fair: d.ID, Buyer: d.Name, Amount: d.Cash, Day: d.Day.Day})
		}
	}
	return out, nil
}

// paidBy notes what a line says as money that a gallery paid, and returns it.
func (t *Banking) paidBy(gallery int64, l bankfile.Kept) (int64, error) {
	m, err := consigning.In(t.Turn).TakeMoney(consigning.MoneyIn{Gallery: gallery, Kind: consign.Paid, Amount: l.Amount, Day: l.Day})
	return m.ID, err
}

// claim is what an operator paid for a claim; it is noted, if it was not yet.
func (t *Banking) claim(id int64, l bankfile.Kept) (c counterpart, err error) {
	x, err := t.Claim(id)
	if err != nil {
		return c, err
	}
	if x.Paid.IsZero() {
		if x, err = claims.In(t.Turn).Receive(x, claims.PaidIn{Claim: id, Amount: l.Amount, Day: l.Day}); err != nil {
			return c, err
		}
	}
	return counterpart{what: fmt.Sprintf("payment of claim %d", id), amount: x.Paid}, nil
}

// carried notes what a line says as cash of a day that was carried to the bank, and returns it.
func (t *Banking) carried(day int64, l bankfile.Kept) (int64, error) {
	c, err := fairs.In(t.Turn).Carry(fair.Carry{FairDay: day, Amount: l.Amount, Day: l.Day})
	return c.ID, err
}

func (t *Banking) carry(id int64) (counterpart, error) {
	c, err := t.FairCarry(id)
	return counterpart{what: "cash carried to the bank", amount: c.Amount, back: c.Reversed}, err
}
