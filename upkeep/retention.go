package upkeep

import (
	"time"

	"solander/calendar"
	"solander/fault"
)

// Retention is how long the studio means to keep buyers of whom nothing is open. Years are whole; 0 = that kind is never due.
type Retention struct {
	Years       int  `json:"years,omitempty"`        // after the last payment or hand-over
	UnpaidYears int  `json:"unpaid_years,omitempty"` // after the last order, of who never paid anything
	TaxYears    int  `json:"tax_years,omitempty"`    // the tax may ask for what was sold until so many years after the end of the year
	Scheduled   bool `json:"scheduled,omitempty"`    // who is due is erased by itself
}

// MostYears bounds how long may be kept.
const MostYears = 100

// Validate looks at a rule alone. Faults: Invalid, one a field.
func (r Retention) Validate() error {
	var l fault.List
	for _, f := range []struct {
		name  string
		years int
	}{{"years", r.Years}, {"unpaid_years", r.UnpaidYears}, {"tax_years", r.TaxYears}} {
		l.Check(f.years >= 0 && f.years <= MostYears, "retention."+f.name, "so many years cannot be kept", "use 0 to 100")
	}
	l.Check(!r.Scheduled || r.Years > 0 || r.UnpaidYears > 0, "retention.scheduled", "nobody is ever due by this rule", "say after how many years first")
	l.Check(!r.Scheduled || r.TaxYears > 0, "retention.tax_years", "nothing is erased by itself until you say how long the tax may ask for it", "ask your adviser, and enter the years")
	return l.Err()
}

// TaxUntil is the last day on which the tax may ask for what was done last on a day.
func (r Retention) TaxUntil(last calendar.Day) calendar.Day {
	y, _, _ := last.Civil()
	return calendar.Date(y+r.TaxYears, time.December, 31)
}

// DueOn is the day from which a buyer is to be erased, and whether there is one.
func (r Retention) DueOn(e Ended) (calendar.Day, bool) {
	years := r.Years
	if !e.Money {
		years = r.UnpaidYears
	}
	if years == 0 || e.Last.IsZero() {
		return calendar.Day{}, false
	}
	y, m, d := e.Last.Civil()
	due := calendar.Date(y+years, m, d) // 29 February becomes 1 March, as time.Date has it
	if tax := r.TaxUntil(e.Last).Add(1); e.Money && r.TaxYears > 0 && tax.After(due) {
		due = tax
	}
	return due, true
}
