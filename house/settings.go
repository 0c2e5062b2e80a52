package house

import (
	"context"

	"solander/calendar"
	"solander/fault"
	"solander/studio"
)

// Today is the civil day in the studio's time zone; in UTC before set-up.
func Today(ctx context.Context, s *studio.Studio) (calendar.Day, error) {
	set, err := s.Settings(ctx)
	return calendar.In(s.Clock(), set.Place()), err
}

// ChangeSettings changes the settings as they stand, in the one transaction that writes them: what was saved
// meanwhile in another window stays. What change returns is returned, and nothing is written then. change does nothing
// else and calls no use case: it may be run again with its transaction.
// Faults: Invalid; Refused when the currency would change although there are editions or orders in the old one.
func ChangeSettings(ctx context.Context, s *studio.Studio, change func(*studio.Settings) error) error {
	return write(ctx, s, func(t *House) error {
		in := t.Set
		if err := change(&in); err != nil {
			return err
		}
		in = in.Tidy()
		if err := in.Validate(); err != nil {
			return err
		}
		if in.Currency != t.Set.Currency {
			if err := t.currencyFree(); err != nil {
				return err
			}
		}
		shelf, err := t.Shelf()
		if err != nil {
			return err
		}
		if err := studio.Packable(in, shelf); err != nil {
			return err
		}
		if err := s.RulesMay(t.Turn, in); err != nil {
			return err
		}
		return t.SaveSettings(in)
	})
}

func (t *House) currencyFree() error {
	orders, err := t.Orders(studio.OrderQuery{Limit: 1})
	if err != nil {
		return err
	}
	editions, err := t.Editions()
	if err != nil {
		return err
	}
	if len(orders) > 0 || len(editions) > 0 {
		return fault.New(fault.Refused, "prices and orders are in %s already", t.Set.Currency).In("currency").ToMend("keep %s", t.Set.Currency)
	}
	return nil
}
