package fairs

import (
	"context"

	"solander/fair"
	"solander/fault"
	"solander/studio"
)

// Carry notes that cash of a day was carried to the bank; no day: today. A line of the bank may be matched to it, and enters it no second time.
// Faults: Invalid; Missing; Refused when the day was taken back, or more is carried than lies there of its takings.
func Carry(ctx context.Context, s *studio.Studio, c fair.Carry) (fair.Carry, error) {
	return studio.Got(ctx, s, write, func(t *Fairs) (fair.Carry, error) { return t.Carry(c) })
}

// Carry is the deed within a transaction that does more.
func (t *Fairs) Carry(c fair.Carry) (fair.Carry, error) {
	if err := c.Validate(); err != nil {
		return c, err
	}
	d, err := t.standing(c.FairDay)
	if err != nil {
		return c, err
	}
	if c.Amount, err = t.Cash("amount", c.Amount); err != nil {
		return c, err
	}
	if c.Day, err = t.NotFuture("day", c.Day); err != nil {
		return c, err
	}
	taken, costs, _, err := t.sums(d)
	if err != nil {
		return c, err
	}
	carried, err := t.FairCarries(d.ID)
	if err != nil {
		return c, err
	}
	if err := d.MayCarry(c, d.Cash(taken, costs, carried)); err != nil {
		return c, err
	}
	c.Reversed, c.At, c.Who = false, t.Now, t.Who
	if c.ID, err = t.AddFairCarry(c); err != nil {
		return c, err
	}
	return c, t.Note(0, "%s, %s: %s carried to the bank", d.Name, d.Day, c.Amount)
}

// CarryBack takes back that cash was carried to the bank; a line of the bank that was matched to it is open again.
// Faults: Missing; Refused when it was taken back already.
func CarryBack(ctx context.Context, s *studio.Studio, id int64) (fair.Carry, error) {
	return studio.Got(ctx, s, write, func(t *Fairs) (fair.Carry, error) {
		c, err := t.FairCarry(id)
		if err != nil {
			return c, err
		}
		if c.Reversed {
			return c, fault.New(fault.Refused, "it was taken back already").In("carry").ToMend("look at the list again")
		}
		c.Reversed = true
		if err := t.ReverseFairCarry(id); err != nil {
			return c, err
		}
		return c, t.Note(0, "%s carried to the bank: taken back", c.Amount)
	})
}

// Waiting are the days of which cash is still in the cash box, with how much.
func (t *Fairs) Waiting() ([]View, error) {
	all, err := t.FairDays()
	if err != nil {
		return nil, err
	}
	var out []View
	for _, d := range all {
		if d.Dropped {
			continue
		}
		taken, costs, _, err := t.sums(d)
		if err != nil {
			return nil, err
		}
		carried, err := t.FairCarries(d.ID)
		if err != nil {
			return nil, err
		}
		if cash := d.Cash(taken, costs, carried); cash.Sign() > 0 {
			out = append(out, View{Day: d, Cash: cash})
		}
	}
	return out, nil
}

func stillCarried(all []fair.Carry) []fair.Carry {
	out := []fair.Carry{}
	for _, c := range all {
		if !c.Reversed {
			out = append(out, c)
		}
	}
	return out
}
