package api

import (
	"context"
	"strconv"

	"solander/fault"
	"solander/feeds"
	"solander/waiting"
)

// aheadAsked is how many days are planned.
type aheadAsked struct {
	Days string `query:"days" doc:"Working days, from the next day of hand-over on; 5 when it is left out, at most 15."`
}

// Ahead is the days ahead.
type Ahead struct {
	Days    []DayAhead   `json:"days"`
	Orders  []OrderAhead `json:"orders" doc:"By the day on which they go, then by mark; those that go on none of the days last."`
	Cost    Money        `json:"cost" doc:"Of all that go."`
	Saves   Money        `json:"saves" doc:"What that is less than if each went on its first day; 0 when fewer would go then."`
	Proven  bool         `json:"proven" doc:"No other days for them cost less."`
	AtMost  Money        `json:"at_most" doc:"By how much others might, when that is not proven."`
	Reserve int          `json:"reserve" doc:"Working days before its promise by which an order that waits goes."`
	Scarce  []string     `json:"scarce" doc:"Packaging that does not go round as all would like it."`
}

// DayAhead is a working day.
type DayAhead struct {
	Day   *Day        `json:"day"`
	Sent  []SentAhead `json:"sent"`
	Cost  Money       `json:"cost"`
	Saves Money       `json:"saves" doc:"What is saved by those that wait for this day."`
}

// SentAhead is what goes together.
type SentAhead struct {
	Orders []string `json:"orders" doc:"The studio's marks."`
	Cost   Money    `json:"cost"`
}

// OrderAhead is what is planned for an order.
type OrderAhead struct {
	Mark  string   `json:"mark" doc:"The studio's own name of the order."`
	Day   *Day     `json:"day,omitempty" doc:"On which it goes; absent when it can on none."`
	First *Day     `json:"first" doc:"On which it could."`
	Last  *Day     `json:"last,omitempty" doc:"Until which it may wait; absent when nothing was promised."`
	Waits bool     `json:"waits" doc:"It goes later than it could."`
	Said  bool     `json:"said" doc:"The artist said that it waits; of an order that does not, that packaging is kept for it until its day."`
	Must  bool     `json:"must" doc:"Sooner it could not go."`
	With  []string `json:"with" doc:"Marks of the orders that go with it."`
	Saves Money    `json:"saves" doc:"What its waiting saves; below 0 when it would cost less to send it at once."`
	Text  string   `json:"text,omitempty"`
}

// aheadAnswer is the answer that is the days ahead.
type aheadAnswer struct{ Body Ahead }

func (f *face) ahead(ctx context.Context, in *aheadAsked) (*aheadAnswer, error) {
	if err := feeds.MayPrint(ctx, f.studio, callOf(ctx).ID); err != nil {
		return nil, f.told(ctx, err)
	}
	days := 0
	if in.Days != "" {
		n, err := strconv.Atoi(in.Days)
		if err != nil || n < 1 {
			return nil, f.told(ctx, ofParameters(fault.Invalidf("days", "it is no whole number from 1").ToMend("send digits")))
		}
		days = n
	}
	v, err := waiting.Ahead(ctx, f.studio, days)
	if err != nil {
		return nil, f.told(ctx, ofParameters(err))
	}
	return &aheadAnswer{aheadOf(v)}, nil
}

func aheadOf(v waiting.View) Ahead {
	out := Ahead{Days: []DayAhead{}, Orders: []OrderAhead{}, Cost: moneyOf(v.Cost), Saves: moneyOf(v.Saves), Proven: v.Proven, AtMost: moneyOf(v.AtMost), Reserve: v.Reserve, Scarce: []string{}}
	for _, d := range v.Days {
		x := DayAhead{Day: dayOf(d.Day), Sent: []SentAhead{}, Cost: moneyOf(d.Cost), Saves: moneyOf(d.Saves)}
		for _, s := range d.Sent {
			x.Sent = append(x.Sent, SentAhead{s.Orders, moneyOf(s.Cost)})
		}
		out.Days = append(out.Days, x)
	}
	for _, o := range v.Orders {
		x := OrderAhead{
			Mark: o.Mark, Day: dayOf(o.Day), First: dayOf(o.First), Last: dayOf(o.Last), Waits: o.Waits, Said: o.Said, Must: o.Must,
			With: []string{}, Saves: moneyOf(o.Saves), Text: o.Text,
		}
		x.With = append(x.With, o.With...)
		out.Orders = append(out.Orders, x)
	}
	for _, s := range v.Scarce {
		out.Scarce = append(out.Scarce, s.Text)
	}
	return out
}
