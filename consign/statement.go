package consign

import (
	"cmp"
	"slices"

	"solander/calendar"
	"solander/money"
)

// Entry is one line of a statement. Amount is what it changes of what the gallery owes.
type Entry struct {
	Day    calendar.Day `json:"day"`
	Print  *Print       `json:"print,omitempty"`
	Money  *Money       `json:"money,omitempty"`
	Sold   money.Amount `json:"sold,omitzero"` // for how much
	Kept   money.Amount `json:"kept,omitzero"` // by the gallery
	Amount money.Amount `json:"amount"`
	Owed   money.Amount `json:"owed"` // after it
}

// Statement is what went on with a gallery from a day to another, both in.
type Statement struct {
	From    calendar.Day `json:"from,omitzero"` // no day: from the beginning
	To      calendar.Day `json:"to"`
	Opening money.Amount `json:"opening"` // owed before
	Entries []Entry      `json:"entries"`
	Closing money.Amount `json:"closing"`
	Sales   money.Amount `json:"sales"` // by the gallery, within
	Kept    money.Amount `json:"kept"`
	Costs   money.Amount `json:"costs"` // taken off
	Paid    money.Amount `json:"paid"`
	There   []Print      `json:"there"` // at the end of the last day
}

// StatementOf makes the statement of a gallery.
func StatementOf(prints []Print, moneys []Money, currency string, from, to calendar.Day) (Statement, error) {
	zero := money.Of(0, currency)
	s := Statement{From: from, To: to, Opening: zero, Closing: zero, Sales: zero, Kept: zero, Costs: zero, Paid: zero}
	var all []Entry
	for _, p := range prints {
		if p.State == Void {
			continue
		}
		if !p.Went.After(to) && (p.State == Out || p.Ended.After(to)) {
			s.There = append(s.There, p)
		}
		if p.Hers().Sign() > 0 || p.Sold.Sign() > 0 {
			all = append(all, Entry{Day: p.Ended, Print: &p, Sold: p.Sold, Kept: p.Kept, Amount: p.Hers()})
		}
	}
	for _, m := range moneys {
		if !m.Reversed && m.Kind != Freight {
			all = append(all, Entry{Day: m.Day, Money: &m, Amount: m.Amount.Neg()})
		}
	}
	slices.SortStableFunc(all, func(a, b Entry) int { return cmp.Or(a.Day.Sub(b.Day), b.Amount.Sign()-a.Amount.Sign()) })
	slices.SortStableFunc(s.There, func(a, b Print) int { return cmp.Or(a.Went.Sub(b.Went), cmp.Compare(a.ID, b.ID)) })
	owed := zero
	for _, e := range all {
		if e.Day.After(to) {
			break
		}
		var err error
		if owed, err = owed.Add(e.Amount); err != nil {
			return s, err
		}
		if e.Day.Before(from) {
			s.Opening = owed
			continue
		}
		e.Owed = owed
		s.Entries = append(s.Entries, e)
		if err := s.count(e); err != nil {
			return s, err
		}
	}
	s.Closing = owed
	return s, nil
}

func (s *Statement) count(e Entry) (err error) {
	if e.Print != nil {
		if s.Sales, err = s.Sales.Add(e.Sold); err == nil {
			s.Kept, err = s.Kept.Add(e.Kept)
		}
		return err
	}
	to := &s.Paid
	if e.Money.Kind == Costs {
		to = &s.Costs
	}
	*to, err = to.Add(e.Money.Amount)
	return err
}

// Batch is prints that went to a gallery together, with what they cost her: what the whole earned by now. Freight and the gallery's costs
// belong to all of the prints, sold or not, in equal parts.
type Batch struct {
	Prints []Print
	Cost   func(Print) money.Amount // of one print to the artist
	Costs  []Money
}

// Result is what prints at a gallery came to.
type Result struct {
	Sales      money.Amount `json:"sales"`
	Kept       money.Amount `json:"kept"`         // the gallery's share
	Costs      money.Amount `json:"costs"`        // taken off by the gallery
	Remittance money.Amount `json:"remittance"`   // sales less both
	CostOfSold money.Amount `json:"cost_of_sold"` // of the prints sold, with their part of freight and costs
	StockThere money.Amount `json:"stock_there"`  // what those that are left cost, with theirs
	Earned     money.Amount `json:"earned"`       // sales less share and cost of sold
}

// Result reckons a batch. Source of the rule: common practice; the consignment example of an open accounting textbook comes out to the cent
// (consign_test.go).
func (b Batch) Result(currency string) (Result, error) {
	zero := money.Of(0, currency)
	r := Result{zero, zero, zero, zero, zero, zero, zero}
	extra, all, sold := zero, zero, zero
	n, of := int64(0), int64(0)
	var sums []error
	add := func(to *money.Amount, a money.Amount) {
		sum, err := to.Add(a)
		*to = sum
		sums = append(sums, err)
	}
	for _, m := range b.Costs {
		switch {
		case m.Reversed || m.Kind == Paid:
			continue
		case m.Kind == Costs:
			add(&r.Costs, m.Amount)
		}
		add(&extra, m.Amount)
	}
	for _, p := range b.Prints {
		if p.State == Back || p.State == Void {
			continue // in the drawer again
		}
		of++
		add(&all, b.Cost(p))
		if p.State == Out {
			continue
		}
		n++
		add(&sold, b.Cost(p))
		add(&r.Sales, p.Sold)
		add(&r.Kept, p.Kept)
	}
	if of > 0 {
		part, err := extra.Share(n, of)
		sums = append(sums, err)
		add(&sold, part)
	} else {
		add(&sold, extra) // nothing is there to bear it
	}
	add(&all, extra)
	r.CostOfSold = sold
	r.StockThere = money.Of(all.Minor-sold.Minor, currency)
	r.Remittance = money.Of(r.Sales.Minor-r.Kept.Minor-r.Costs.Minor, currency)
	r.Earned = money.Of(r.Sales.Minor-r.Kept.Minor-sold.Minor, currency)
	for _, err := range sums {
		if err != nil {
			return r, err
		}
	}
	return r, nil
}

// Cautions are what is said beside each statement. Sources: Illinois, 815 ILCS 320/2, and California, Civil Code 1738.5, as told in
// secondary sources.
func Cautions() []string {
	return []string{
		"Prints on consignment, and the artist’s part of what they are sold for, are held in trust for the artist in many places (Illinois, 815 ILCS 320/2; California, Civil Code 1738.5).",
		"Some laws ask for payment within 30 days of a sale unless another time was agreed in writing, and let the gallery bear every loss (Illinois, as above).",
		"This is not legal advice: local rules and what was agreed in writing decide. Ask an adviser.",
	}
}
