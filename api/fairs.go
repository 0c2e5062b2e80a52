package api

import (
	"context"

	"solander/calendar"
	"solander/fault"
	"solander/feeds"
)

// FairDay is a day at a table.
type FairDay struct {
	ID      int64      `json:"id"`
	Day     *Day       `json:"day"`
	Name    string     `json:"name" doc:"Of the fair, or where the table stood."`
	Float   Money      `json:"float" doc:"In the cash box before the first sale."`
	Cash    Money      `json:"cash" doc:"Taken by each way of paying, less what was paid back that way."`
	Card    Money      `json:"card"`
	Other   Money      `json:"other"`
	Unsaid  Money      `json:"unsaid" doc:"Nobody said how."`
	Taken   Money      `json:"taken" doc:"In all."`
	Costs   []FairCost `json:"costs" nullable:"false"`
	Box     Money      `json:"box" doc:"What ought to be in the cash box."`
	Counted *Money     `json:"counted,omitempty" doc:"What was; left out before it was counted."`
	Off     *Money     `json:"off,omitempty" doc:"The count, less what ought to be there."`
	Why     string     `json:"why,omitempty"`
	Prints  int        `json:"prints" doc:"Sold, and not brought back."`
	Minutes int64      `json:"minutes,omitempty" doc:"At the table; left out when they are not told."`
	Left    Money      `json:"left" doc:"Of the income, when all costs are off."`
}

// FairCost is a cost of a day at a table.
type FairCost struct {
	Kind    string `json:"kind" enum:"stall,travel,other"`
	Amount  Money  `json:"amount"`
	FromBox bool   `json:"from_box,omitempty" doc:"Paid out of the cash box."`
	Note    string `json:"note,omitempty"`
}

// Fairs is the list of days, the latest first.
type Fairs struct {
	Days []FairDay `json:"days" nullable:"false"`
}

// fairsAsked is which days are wanted.
type fairsAsked struct {
	Day string `query:"day" doc:"Such as 2026-04-15; all days when it is left out."`
}

type fairsTold struct{ Body Fairs }

func (f *face) fairs(ctx context.Context, in *fairsAsked) (*fairsTold, error) {
	var day calendar.Day
	if in.Day != "" {
		var err error
		if day, err = calendar.ParseDay(in.Day); err != nil {
			return nil, f.told(ctx, ofParameters(fault.All(err)[0].In("day")))
		}
	}
	all, err := feeds.FeedFairs(ctx, f.studio, callOf(ctx).ID)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	out := &fairsTold{Fairs{[]FairDay{}}}
	for _, v := range all {
		if !day.IsZero() && v.Day.Day != day {
			continue
		}
		by := v.Takings
		d := FairDay{
			ID: v.ID, Day: dayOf(v.Day.Day), Name: v.Name, Float: moneyOf(v.Float),
			Cash: Money{by.Cash, by.Currency}, Card: Money{by.Card, by.Currency}, Other: Money{by.Other, by.Currency}, Unsaid: Money{by.Unsaid, by.Currency},
			Taken: moneyOf(v.Sum), Costs: []FairCost{}, Box: moneyOf(v.Box), Why: v.Why, Prints: v.Prints, Minutes: v.Minutes, Left: moneyOf(v.Left),
		}
		if v.Ended {
			counted, off := moneyOf(v.Counted), moneyOf(v.Off)
			d.Counted, d.Off = &counted, &off
		}
		for _, c := range v.Costs {
			d.Costs = append(d.Costs, FairCost{string(c.Kind), moneyOf(c.Amount), c.FromBox, c.Note})
		}
		out.Body.Days = append(out.Body.Days, d)
	}
	return out, nil
}
