package fairs

import (
	"context"
	"strings"

	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/papers"
	"solander/studio"
)

func moneyOf(minor int64, currency string) string { return money.Of(minor, currency).Plain() }

// Paper is a day as a paper, to count the cash box by and to file. Faults: as Day.
func Paper(ctx context.Context, s *studio.Studio, id int64) (papers.FairDay, error) {
	v, err := Day(ctx, s, id)
	if err != nil {
		return papers.FairDay{}, err
	}
	set, err := s.Settings(ctx)
	if err != nil {
		return papers.FairDay{}, err
	}
	out := papers.FairDay{Head: papers.Head{Studio: set.Studio, Day: v.Day.Day, Units: set.Units}, Name: v.Name, Outlet: v.OutletName, Prints: fault.Count(v.Prints, "print")}
	for _, p := range v.Sold {
		r := papers.FairRow{What: p.Print, Note: p.Mark, Amount: p.Price.Plain()}
		if p.Back {
			r.Note += ", came back"
		}
		out.Sold = append(out.Sold, r)
	}
	for _, h := range order.Hows() {
		if a := v.Takings.By(h); !a.IsZero() {
			out.Taken = append(out.Taken, papers.FairRow{What: "Paid, " + h.Words(), Amount: a.Plain()})
		}
	}
	out.Taken = append(out.Taken, papers.FairRow{What: "Taken in all", Amount: v.Sum.String()})
	out.Box = []papers.FairRow{{What: "Float", Amount: v.Float.Plain()}, {What: "Cash taken", Amount: v.Takings.By(order.InCash).Plain()}}
	for _, c := range v.Costs {
		r := papers.FairRow{What: strings.TrimSuffix(c.Kind.Words()+": "+c.Note, ": "), Amount: c.Amount.Plain()}
		out.Costs = append(out.Costs, r)
		if c.FromBox {
			out.Box = append(out.Box, papers.FairRow{What: "Paid out of it: " + r.What, Amount: c.Amount.Neg().Plain()})
		}
	}
	out.Box = append(out.Box, papers.FairRow{What: "Ought to be there", Amount: v.Box.String()})
	if v.Ended {
		out.Box = append(out.Box, papers.FairRow{What: "Counted", Note: v.OfCount(), Amount: v.Counted.String()}, papers.FairRow{What: "Off by", Note: v.Why, Amount: v.Off.String()})
	} else {
		out.Box = append(out.Box, papers.FairRow{What: "Counted"})
	}
	for _, c := range v.Carried {
		out.Box = append(out.Box, papers.FairRow{What: "Carried to the bank", Note: c.Day.Long(), Amount: c.Amount.Neg().Plain()})
	}
	for _, x := range v.Earned.Sums {
		out.Earned = append(out.Earned, papers.FairRow{What: x.Part.Words(), Amount: moneyOf(x.Known, v.Takings.Currency)})
	}
	out.Earned = append(out.Earned, papers.FairRow{What: "Left", Amount: v.Left.String()})
	return out, nil
}
