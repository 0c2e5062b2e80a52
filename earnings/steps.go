package earnings

import (
	"fmt"
	"math"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// Step is a price from so many sold on; the first is from 0.
type Step struct {
	FromSold int          `json:"from_sold"`
	Price    money.Amount `json:"price"`
}

// Sold is how many prints went at a price on a day.
type Sold struct {
	Day   calendar.Day
	Price money.Amount
	Count int
}

// StepEarned is what prints sold from one step on brought.
type StepEarned struct {
	Step
	Sold   int          `json:"sold"`
	Income money.Amount `json:"income"`
	First  calendar.Day `json:"first,omitzero"`
	Last   calendar.Day `json:"last,omitzero"`
	Days   int          `json:"days"` // from its first sale to the first of the next step, or to the last day that is looked at
}

// Earned is what an edition's steps earned, against one price for all.
type Earned struct {
	Steps  []StepEarned `json:"steps"`
	Sold   int          `json:"sold"`
	Income money.Amount `json:"income"`
	Flat   money.Amount `json:"flat"` // what they would have brought at the first price, had as many been sold
	More   money.Amount `json:"more"` // by the steps
}

// StepsEarned says what each step of the prices of an edition brought until a day, by the number in which the prints were sold: the first
// sold are those of the first step, whatever was agreed for single ones; their prices are as they were. sold is by day.
// Faults: Invalid when amounts do not fit together.
func StepsEarned(steps []Step, sold []Sold, until calendar.Day) (Earned, error) {
	out := Earned{}
	if len(steps) == 0 {
		return out, fault.New(fault.Invalid, "the edition has no price").ToMend("give it one")
	}
	out.Income = money.Of(0, steps[0].Price.Currency)
	for _, s := range steps {
		out.Steps = append(out.Steps, StepEarned{Step: s})
	}
	for _, d := range sold {
		for range d.Count {
			i := stepAt(steps, out.Sold)
			e := &out.Steps[i]
			if e.Sold == 0 {
				e.First = d.Day
			}
			var err error
			if e.Income, err = e.Income.Add(d.Price); err != nil {
				return out, err
			}
			if out.Income, err = out.Income.Add(d.Price); err != nil {
				return out, err
			}
			e.Sold, e.Last, out.Sold = e.Sold+1, d.Day, out.Sold+1
		}
	}
	for i := range out.Steps {
		e := &out.Steps[i]
		if e.Sold == 0 {
			continue
		}
		end := until
		if i+1 < len(out.Steps) && out.Steps[i+1].Sold > 0 {
			end = out.Steps[i+1].First
		}
		e.Days = max(1, end.Sub(e.First))
	}
	var err error
	if out.Flat, err = steps[0].Price.Times(int64(out.Sold)); err != nil {
		return out, err
	}
	out.More, err = out.Income.Sub(out.Flat)
	return out, err
}

// stepAt is the step that holds when so many are sold.
func stepAt(steps []Step, sold int) int {
	at := 0
	for i, s := range steps {
		if sold >= s.FromSold {
			at = i
		}
	}
	return at
}

// CheckSteps looks at steps alone: the first from 0, each from more than the one before, none beyond the limit of a limited edition, prices
// above nothing in one currency. Faults: Invalid, in fields "steps[1].from_sold".
func CheckSteps(steps []Step, limit int) error {
	var l fault.List
	l.Check(len(steps) > 0 && len(steps) <= MostSteps, "steps", "there are no steps, or too many", "give 1 to 40 of them")
	if err := l.Err(); err != nil {
		return err
	}
	for i, s := range steps {
		at := fmt.Sprintf("steps[%d].", i)
		l.Check(s.Price.Sign() > 0 && s.Price.Minor <= money.MaxMinor, at+"price", "the price is nothing, negative or absurd", "give a price")
		l.Check(s.Price.Currency == steps[0].Price.Currency, at+"price", "the prices are in two currencies", "use one")
		switch {
		case i == 0:
			l.Check(s.FromSold == 0, at+"from_sold", "the first price holds from the first print on", "begin at 0")
		default:
			l.Check(s.FromSold > steps[i-1].FromSold, at+"from_sold", "the step is not after the one before", "give steps in rising order")
		}
		l.Check(limit == 0 || s.FromSold < limit, at+"from_sold", "no print is left for the step", "look at the limit of the edition")
	}
	return l.Err()
}

// MostSteps bounds the steps of an edition.
const MostSteps = 40

// Ahead is what is asked about prices to come.
type Ahead struct {
	Steps []Step
	Limit int // of the edition
	Sold  int // so far
	// Seen prints were sold in Days so far, at about the price Now: the pace from which the time is reckoned.
	Seen int
	Days int
	Now  money.Amount
	// Fewer is by how many thousandths fewer are sold in a time for each tenth more in price; 0: as many whatever the price. What
	// buyers do is not known: it is hers to suppose.
	Fewer int
}

// Outcome is what steps would bring, and how long it would take.
type Outcome struct {
	Left   int          `json:"left"` // prints that can still be sold
	Income money.Amount `json:"income"`
	Sooner float64      `json:"days_soonest"` // days until the last is sold: in 9 of 10 cases it takes longer
	Days   float64      `json:"days"`         // in half of the cases
	Later  float64      `json:"days_latest"`  // in 9 of 10 cases it takes less
	Known  bool         `json:"known"`        // false: too little was sold to say how long
}

// WhatIf says what is left of an edition would bring by its steps, exactly, and how long it would take, with a band: buyers come by chance at
// a pace that is known from what was sold so far (a Poisson process whose rate has the gamma distribution that Seen sales in Days leave,
// after Jeffreys' prior). Time at a step is stretched by what its price does to the pace; the sum of the steps is taken as one such
// time, of as many prints as are left. Faults: Invalid.
// Source: common practice, no source, for the use of it; the distribution of the time to so many more events, given so many seen, is the beta
// prime distribution of any textbook of Bayesian statistics (from memory).
func WhatIf(a Ahead) (Outcome, error) {
	var l fault.List
	l.Add(CheckSteps(a.Steps, a.Limit))
	l.Check(a.Limit > 0, "limit", "an open edition is never sold through", "choose a limited one")
	l.Check(a.Sold >= 0 && a.Seen >= 0 && a.Days >= 0, "seen", "a count is negative", "look at what was sold")
	l.Check(a.Fewer >= 0 && a.Fewer < 1000, "fewer", "fewer sales than none are not possible", "give 0 to 99.9 %")
	if err := l.Err(); err != nil {
		return Outcome{}, err
	}
	out := Outcome{Left: max(0, a.Limit-a.Sold), Income: money.Of(0, a.Steps[0].Price.Currency)}
	var stretched float64 // as many prints at today's pace would take as long
	for n := a.Sold; n < a.Limit; n++ {
		price := a.Steps[stepAt(a.Steps, n)].Price
		var err error
		if out.Income, err = out.Income.Add(price); err != nil {
			return out, err
		}
		stretched += a.stretch(price)
	}
	if out.Left == 0 || a.Seen < fewestSeen || a.Days == 0 {
		return out, nil
	}
	each := stretched / float64(out.Left)
	time := func(p float64) float64 {
		return float64(a.Days) * each * betaPrime(p, float64(out.Left), float64(a.Seen)+0.5)
	}
	out.Sooner, out.Days, out.Later, out.Known = time(0.1), time(0.5), time(0.9), true
	return out, nil
}

// fewestSeen is of how many sales a pace is told at least. Fewer than two leave no interval to go by: trade practice, no source.
const fewestSeen = 2

// stretch is how much longer a print takes at a price than at today's.
func (a Ahead) stretch(price money.Amount) float64 {
	if a.Fewer == 0 || a.Now.Sign() <= 0 || price.Minor == a.Now.Minor {
		return 1
	}
	tenths := math.Log(float64(price.Minor)/float64(a.Now.Minor)) / math.Log(1.1)
	return math.Pow(1-float64(a.Fewer)/1000, -tenths)
}

// StepsOf are a first price and what follows on it, as steps, by the number sold.
func StepsOf(first money.Amount, later []Step) []Step {
	out := append([]Step{{0, first}}, later...)
	slices.SortStableFunc(out, func(a, b Step) int { return a.FromSold - b.FromSold })
	if len(out) > 1 && out[1].FromSold == 0 {
		out = out[1:] // a step from the first print on takes the place of the price
	}
	return out
}
