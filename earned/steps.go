package earned

import (
	"context"

	"solander/calendar"
	"solander/earnings"
	"solander/edition"
	"solander/fault"
	"solander/ledger"
	"solander/money"
	"solander/studio"
	"solander/supply"
)

// If is what is supposed of an edition's prices to come.
type If struct {
	Steps []earnings.Step // from what is sold already on, too; none: as they stand
	Fewer int             // thousandths fewer sales for each tenth more in price
}

// Prices are what the price steps of an edition earned, and what is left of it would.
type Prices struct {
	Edition edition.Edition   `json:"edition"`
	Sold    []earnings.Sold   `json:"-"`
	Earned  earnings.Earned   `json:"earned"`
	Left    int               `json:"left"`
	Now     money.Amount      `json:"price_now"`
	Seen    int               `json:"seen"` // prints sold in SeenDays, from which the pace is told
	Days    int               `json:"seen_days"`
	Stands  *earnings.Outcome `json:"as_they_stand,omitempty"` // none of an open edition
	Flat    *earnings.Outcome `json:"at_todays_price,omitempty"`
	If      *earnings.Outcome `json:"supposed,omitempty"`
	Steps   []earnings.Step   `json:"steps"`
	Runs    []RunEven         `json:"runs,omitempty"`
}

// RunEven is from which print on a run has paid for itself.
type RunEven struct {
	Run   int64              `json:"run"`
	Day   calendar.Day       `json:"ordered"`
	Cost  money.Amount       `json:"cost"`
	Price money.Amount       `json:"price"` // of a print, today
	Each  money.Amount       `json:"each"`  // what each costs by itself: packaging, postage and fees as of late, less postage charged
	Even  earnings.BreakEven `json:"break_even"`
	Never bool               `json:"never,omitempty"` // a print brings no more than it costs by itself
	Good  int                `json:"good"`            // sheets that came
}

// Taken is what so many prints brought, and would have at the first price.
type Taken struct {
	Day    calendar.Day `json:"day"`
	Sold   int          `json:"sold"`
	Income money.Amount `json:"income"`
	Flat   money.Amount `json:"at_the_first_price"`
}

// Course is what was taken from sale to sale, in the currency of the first price.
func (p Prices) Course() []Taken {
	var out []Taken
	first := p.Steps[0].Price
	at := Taken{Income: money.Of(0, first.Currency), Flat: money.Of(0, first.Currency)}
	for _, d := range p.Sold {
		at.Day, at.Sold = d.Day, at.Sold+d.Count
		at.Income.Minor += d.Price.Minor * int64(d.Count)
		at.Flat.Minor = first.Minor * int64(at.Sold)
		out = append(out, at)
	}
	return out
}

// ByTheSteps says how much more, or less, the steps brought than one price for all.
func (p Prices) ByTheSteps() string {
	if more := p.Earned.More; more.Sign() < 0 {
		return more.Neg().String() + " less"
	}
	return p.Earned.More.String() + " more"
}

// paceDays is over how long a pace is looked at.
const paceDays = 365

// PricesOf says what the price steps of an edition earned, and what they, today's price for all, and what is supposed would still bring.
// Faults: Missing; Invalid, in the fields of earnings.CheckSteps.
func PricesOf(ctx context.Context, s *studio.Studio, ed int64, in If) (Prices, error) {
	return studio.Got(ctx, s, read, func(t *Earned) (Prices, error) { return t.prices(ed, in) })
}

func (t *Earned) prices(ed int64, in If) (Prices, error) {
	e, err := t.EditionOf(ed)
	if err != nil {
		return Prices{}, err
	}
	out := Prices{Edition: e, Steps: stepsOf(e)}
	days, err := t.SoldDays(ed)
	if err != nil {
		return out, err
	}
	since, sold := t.Today.Add(-paceDays), 0
	for _, d := range days {
		out.Sold = append(out.Sold, earnings.Sold{Day: d.Day, Price: d.Price, Count: d.Count})
		sold += d.Count
		if !d.Day.Before(since) {
			out.Seen += d.Count
		}
	}
	if len(days) > 0 {
		out.Days = min(paceDays, max(1, t.Today.Sub(days[0].Day)))
	}
	out.Now = e.PriceAt(sold)
	if out.Earned, err = earnings.StepsEarned(out.Steps, out.Sold, t.Today); err != nil {
		return out, err
	}
	if out.Runs, err = t.runs(e, out.Now); err != nil || e.Open() {
		if err == nil && len(in.Steps) > 0 {
			err = fault.New(fault.Refused, "an open edition is never sold through").In("steps").ToMend("choose a limited one")
		}
		return out, err
	}
	if out.Left, err = t.Unsold(ed); err != nil {
		return out, err
	}
	ahead := earnings.Ahead{Limit: sold + out.Left, Sold: sold, Seen: out.Seen, Days: out.Days, Now: out.Now, Fewer: in.Fewer}
	what := func(steps []earnings.Step) (*earnings.Outcome, error) {
		a := ahead
		a.Steps = steps
		o, err := earnings.WhatIf(a)
		return &o, err
	}
	if out.Stands, err = what(within(out.Steps, ahead.Limit)); err != nil {
		return out, err
	}
	if out.Flat, err = what(earnings.StepsOf(out.Now, nil)); err != nil || len(in.Steps) == 0 {
		return out, err
	}
	out.If, err = what(in.Steps)
	return out, err
}

// stepsOf are the prices of an edition as steps.
func stepsOf(e edition.Edition) []earnings.Step {
	var later []earnings.Step
	for _, s := range e.Steps {
		later = append(later, earnings.Step{FromSold: s.FromSold, Price: s.Price})
	}
	return earnings.StepsOf(e.Price, later)
}

// within are the steps for which prints are left: others were given to numbers that are not sold any more.
func within(steps []earnings.Step, limit int) []earnings.Step {
	for i, s := range steps {
		if i > 0 && s.FromSold >= limit {
			return steps[:i]
		}
	}
	return steps
}

// mostRuns is of how many runs it is told from which print on they have paid for themselves.
const mostRuns = 5

// runs says of the latest runs of an edition from which print on they have paid for themselves.
func (t *Earned) runs(e edition.Edition, price money.Amount) ([]RunEven, error) {
	all, err := t.Runs(false)
	if err != nil {
		return nil, err
	}
	each, err := t.eachOf(e.ID, price)
	if err != nil {
		return nil, err
	}
	var out []RunEven
	for _, r := range all {
		if r.Edition != e.ID || r.UnitCost.IsZero() || len(out) == mostRuns {
			continue
		}
		cost, err := r.UnitCost.Times(int64(r.Quantity))
		if err != nil {
			return nil, err
		}
		x := RunEven{Run: r.ID, Day: r.Ordered, Cost: cost, Price: price, Each: each, Good: good(r)}
		x.Even, err = earnings.EvenAt(cost.Minor, price.Minor, max(0, each.Minor), 0)
		if x.Never = fault.Is(err, fault.Refused); err != nil && !x.Never {
			return nil, err
		}
		out = append(out, x)
	}
	return out, nil
}

func good(r supply.Run) int {
	n := 0
	for _, x := range r.Receipts {
		n += x.Good
	}
	return n
}

// eachOf is what a print of an edition costs by itself but for its sheet, in the proportion to prices of the last twelve months, rounded up;
// postage charged makes it less.
func (t *Earned) eachOf(ed int64, price money.Amount) (money.Amount, error) {
	sums, err := t.Sums(ledger.Month(t.Today.Add(-usualDays)), "")
	if err != nil {
		return price, err
	}
	var cost, prices int64
	for _, s := range sums {
		if s.Edition != ed || s.Amount.Currency != price.Currency {
			continue
		}
		switch part, _ := earnings.PartOf(s.Account); part {
		case earnings.Price:
			prices -= s.Amount.Minor
		case earnings.Packaging, earnings.Postage, earnings.OutletFee, earnings.PaymentFee, earnings.Charged:
			cost += s.Amount.Minor
		}
	}
	if prices <= 0 || cost <= 0 {
		return money.Of(0, price.Currency), nil
	}
	return price.Share(cost, prices)
}
