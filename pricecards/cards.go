package pricecards

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/studio"
	"solander/tariff"
	"solander/tariff/lint"
)

// CardInfo is one price card in a list.
type CardInfo struct {
	ID         string       `json:"id"`
	Series     string       `json:"series"`
	Operator   string       `json:"operator"`
	PriceClass string       `json:"price_class"`
	Currency   string       `json:"currency"`
	From       calendar.Day `json:"from"`
	To         calendar.Day `json:"to"`
	Source     string       `json:"source"`
	Status     string       `json:"status"`
	Own        bool         `json:"own"`     // loaded by the studio; one of a bundled card's id takes its place
	Here       bool         `json:"here"`    // in the studio's currency, for parcels from its country
	Used       bool         `json:"used"`    // plans of today go by it
	Ended      bool         `json:"ended"`   // its last day is past
	Warning    string       `json:"warning"` // why its prices should not be trusted today; "" = they may be
}

// Cards lists bundled and own price cards by id.
func Cards(ctx context.Context, s *studio.Studio) ([]CardInfo, error) {
	var out []CardInfo
	err := read(ctx, s, func(t *PriceCards) error {
		cards, err := s.AllCards(t.Turn)
		if err != nil {
			return err
		}
		used := map[string]bool{}
		for _, c := range studio.ListedFor(cards, t.Set, t.Today) {
			used[c.ID] = true
		}
		out = make([]CardInfo, len(cards))
		for i, c := range cards {
			_, warning := c.Stale(t.Today)
			out[i] = CardInfo{
				ID: c.ID, Series: c.Series, Operator: c.Operator, PriceClass: c.PriceClass, Currency: c.Currency, From: c.From, To: c.To,
				Source: c.Source, Status: c.Status, Own: c.Own, Here: studio.Here(c, t.Set), Used: used[c.ID], Ended: !c.To.IsZero() && t.Today.After(c.To), Warning: warning,
			}
		}
		return nil
	})
	return out, err
}

// Card returns a price card by its id. Faults: Missing.
func Card(ctx context.Context, s *studio.Studio, id string) (tariff.Card, error) {
	var out tariff.Card
	err := read(ctx, s, func(t *PriceCards) error {
		c, _, err := t.card(s, id)
		out = c.Card
		return err
	})
	return out, err
}

// AddCard loads a price card of the studio's own; one of the same id is replaced.
// Faults: those of lint.Refuses.
func AddCard(ctx context.Context, s *studio.Studio, c tariff.Card) error {
	return write(ctx, s, func(t *PriceCards) error { return t.keep(s, c) })
}

// keep keeps a card of the studio's own within a transaction.
func (t *PriceCards) keep(s *studio.Studio, c tariff.Card) error {
	raw, err := json.Marshal(c)
	if err != nil {
		return fmt.Errorf("price card %s: %w", c.ID, err)
	}
	others, err := t.plain(s)
	if err != nil {
		return err
	}
	if err := lint.Refuses(&c, others, t.Set.Currency); err != nil {
		return err
	}
	if err := t.SaveCard(studio.StoredCard{ID: c.ID, Card: raw}); err != nil {
		return err
	}
	return t.Note(0, "price card %s loaded, from %s", c.ID, c.From)
}

// LookOver says what looks like a slip in a card, beside the studio's, and changes nothing. Faults: those with which AddCard
// would refuse it, unless it is there already.
func LookOver(ctx context.Context, s *studio.Studio, c tariff.Card) ([]lint.Finding, error) {
	var out []lint.Finding
	err := read(ctx, s, func(t *PriceCards) error {
		others, err := t.plain(s)
		if err != nil {
			return err
		}
		there := slices.ContainsFunc(others, func(o tariff.Card) bool { return reflect.DeepEqual(o, c) })
		if err := lint.Refuses(&c, others, t.Set.Currency); err != nil && !there {
			return err
		}
		out = lint.Doubts(&c, others)
		return nil
	})
	return out, err
}

// plain is every card as AllCards has it.
func (t *PriceCards) plain(s *studio.Studio) ([]tariff.Card, error) {
	cards, err := s.AllCards(t.Turn)
	out := make([]tariff.Card, len(cards))
	for i, c := range cards {
		out[i] = c.Card
	}
	return out, err
}

// DropCard drops an own price card. Faults: Missing, Refused for a bundled one.
func DropCard(ctx context.Context, s *studio.Studio, id string) error {
	return write(ctx, s, func(t *PriceCards) error {
		err := t.DropCard(id)
		if fault.Is(err, fault.Missing) {
			bundled, err := s.Cards.Bundled()
			if err != nil {
				return err
			}
			for _, c := range bundled {
				if c.ID == id {
					return fault.New(fault.Refused, "this card comes with the program").At("%s", id).ToMend("leave its price class out in the settings")
				}
			}
		}
		if err != nil {
			return err
		}
		return t.Note(0, "price card %s dropped", id)
	})
}
