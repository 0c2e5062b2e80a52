package api

import (
	"context"

	"solander/calendar"
	"solander/daybench"
	"solander/fault"
	"solander/feeds"
)

// leavingAsked is of which day the trips are wanted.
type leavingAsked struct {
	Day string `query:"day" doc:"Such as 2026-04-15; today when it is left out."`
}

// Trip is one trip with its parcels.
type Trip struct {
	Way     string   `json:"way" doc:"The id that the way has in the studio's settings."`
	Text    string   `json:"text"`
	CutOff  string   `json:"cut_off,omitempty" doc:"By the studio's clock, 10:30; absent when there is none."`
	Parcels int      `json:"parcels"`
	Orders  []string `json:"orders" doc:"The marks of the studio."`
	Cost    Money    `json:"cost"`
	Minutes int      `json:"minutes" doc:"There and back."`
}

// Stay is a parcel that no way takes.
type Stay struct {
	Order string `json:"order" doc:"The mark of the studio."`
	Text  string `json:"text"`
	Mend  string `json:"mend"`
}

// LeavingDay is how the parcels of a day leave.
type LeavingDay struct {
	Day     *Day   `json:"day" doc:"Of the hand-over."`
	Text    string `json:"text" doc:"All of it in one line; empty while the studio has not said how parcels leave, and when none does."`
	Trips   []Trip `json:"trips"`
	Stays   []Stay `json:"stays"`
	Cost    Money  `json:"cost"`
	Minutes int    `json:"minutes" doc:"Of all trips, whether they cost anything or not."`
}

// leavingDay is the answer that is such a day.
type leavingDay struct{ Body LeavingDay }

func (f *face) leaving(ctx context.Context, in *leavingAsked) (*leavingDay, error) {
	out, err := f.trips(ctx, in)
	if err != nil {
		return nil, f.told(ctx, ofParameters(err))
	}
	return &leavingDay{out}, nil
}

func (f *face) trips(ctx context.Context, in *leavingAsked) (LeavingDay, error) {
	out := LeavingDay{Trips: []Trip{}, Stays: []Stay{}}
	if err := feeds.MayPrint(ctx, f.studio, callOf(ctx).ID); err != nil {
		return out, err
	}
	var day calendar.Day
	var err error
	if in.Day != "" {
		if day, err = calendar.ParseDay(in.Day); err != nil {
			return out, fault.All(err)[0].In("day")
		}
	}
	list, err := daybench.List(ctx, f.studio, day)
	if err != nil {
		return out, err
	}
	set, err := f.studio.Settings(ctx)
	out.Day, out.Cost.Currency = dayOf(list.Day), set.Currency
	l := list.Leaving
	if err != nil || l == nil {
		return out, err
	}
	out.Day, out.Text, out.Cost, out.Minutes = dayOf(l.Day), l.Text, moneyOf(l.Cost), l.Minutes
	for _, t := range l.Trips {
		out.Trips = append(out.Trips, Trip{t.Way, t.Text, t.CutOff, t.Parcels, t.Orders, moneyOf(t.Cost), t.Minutes})
	}
	for _, s := range l.Stays {
		out.Stays = append(out.Stays, Stay{s.Order, s.Text, s.Mend})
	}
	return out, nil
}
