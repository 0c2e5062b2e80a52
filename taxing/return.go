package taxing

import (
	"context"

	"solander/calendar"
	"solander/fault"
	"solander/studio"
	"solander/tax"
)

// ReturnIn asks for what a return asks for.
type ReturnIn struct{ From, Until calendar.Day }

// Validate looks at the days alone. Faults: Invalid.
func (in ReturnIn) Validate() error {
	var l fault.List
	l.Check(!in.From.IsZero(), "from", "the first day is missing", "give the first day of the period")
	l.Check(!in.Until.IsZero(), "until", "the last day is missing", "give the last day of the period")
	l.Add(studio.Sane("from", in.From))
	l.Add(studio.Sane("until", in.Until))
	l.Check(!in.Until.Before(in.From), "until", "it ends before it begins", "look at both days")
	return l.Err()
}

// Return is what a return asks for of a span of days, by country and state. It follows from the journal: once a period is closed, it does
// not change any more. Faults: Invalid.
func Return(ctx context.Context, s *studio.Studio, in ReturnIn) (tax.Return, error) {
	if err := in.Validate(); err != nil {
		return tax.Return{}, err
	}
	return studio.Got(ctx, s, read, func(t *Desk) (tax.Return, error) {
		pieces, err := t.TaxPieces(in.From, in.Until)
		if err != nil {
			return tax.Return{}, err
		}
		rates, err := t.TaxRates()
		if err != nil {
			return tax.Return{}, err
		}
		all, err := t.Resales(0)
		if err != nil {
			return tax.Return{}, err
		}
		resales := map[int64][]tax.Certificate{}
		for _, c := range all {
			b, err := t.BuyerOf(c.Buyer)
			if err != nil {
				return tax.Return{}, err
			}
			resales[b.Person()] = append(resales[b.Person()], c)
			if b.ID != b.Person() {
				resales[b.ID] = append(resales[b.ID], c)
			}
		}
		out, err := tax.ReturnOf(pieces, rates, resales, t.Set.Address.Country, t.Set.Address.Region, t.Set.Currency)
		out.From, out.Until = in.From, in.Until
		return out, err
	})
}

// LastQuarter are the days of the quarter that was over last, which a return mostly asks for.
func LastQuarter(today calendar.Day) ReturnIn {
	y, m, _ := today.Civil()
	first := calendar.Date(y, m-(m-1)%3, 1)
	y, m, _ = first.Add(-1).Civil()
	return ReturnIn{From: calendar.Date(y, m-2, 1), Until: first.Add(-1)}
}
