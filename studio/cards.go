package studio

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"

	"solander/calendar"
	"solander/fault"
	"solander/internal/strict"
	"solander/tariff"
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
	Used       bool         `json:"used"`    // plans of today go by it
	Ended      bool         `json:"ended"`   // its last day is past
	Warning    string       `json:"warning"` // why its prices should not be trusted today; "" = they may be
}

// digest tells one content of a card from another.
type digest = [sha256.Size]byte

// card is a price card with the digest of its content.
type card struct {
	tariff.Card
	digest digest
	own    bool
}

// cardShelf keeps what was computed of price cards: the digests of the bundled ones, and the studio's
// own ones once read. It is safe for concurrent use.
type cardShelf struct {
	bundled func() []card

	mu  sync.Mutex
	own map[digest]tariff.Card
}

func newCardShelf(bundled []tariff.Card) *cardShelf {
	return &cardShelf{own: map[digest]tariff.Card{}, bundled: sync.OnceValue(func() []card {
		out := make([]card, len(bundled))
		for i, c := range bundled {
			raw, err := json.Marshal(c)
			if err != nil {
				raw = []byte(c.ID)
			}
			out[i] = card{Card: c, digest: sha256.Sum256(raw)}
		}
		return out
	})}
}

// read reads an own card, once for each content. Faults: Internal when what was stored is no card.
func (s *cardShelf) read(stored StoredCard) (card, error) {
	d := sha256.Sum256(stored.Card)
	s.mu.Lock()
	defer s.mu.Unlock()
	c, known := s.own[d]
	if !known {
		if err := strict.Decode(stored.Card, &c); err != nil {
			return card{}, fmt.Errorf("own price card %s: %w", stored.ID, err)
		}
		s.own[d] = c
	}
	return card{Card: c, digest: d, own: true}, nil
}

// allCards returns the bundled cards and the studio's own ones, which take the place of a bundled card
// of the same id; ascending by id.
func (s *Studio) allCards(t *turn) ([]card, error) {
	stored, err := t.Cards()
	if err != nil {
		return nil, err
	}
	byID := map[string]card{}
	for _, c := range s.cards.bundled() {
		byID[c.ID] = c
	}
	for _, st := range stored {
		c, err := s.cards.read(st)
		if err != nil {
			return nil, err
		}
		byID[c.ID] = c
	}
	out := make([]card, 0, len(byID))
	for _, c := range byID {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b card) int { return strings.Compare(a.ID, b.ID) })
	return out, nil
}

// Cards lists bundled and own price cards by id.
func (s *Studio) Cards(ctx context.Context) ([]CardInfo, error) {
	var out []CardInfo
	err := s.read(ctx, func(t *turn) error {
		cards, err := s.allCards(t)
		if err != nil {
			return err
		}
		used := map[string]bool{}
		for _, c := range cardsFor(cards, t.set, t.today) {
			used[c.ID] = true
		}
		out = make([]CardInfo, len(cards))
		for i, c := range cards {
			_, warning := c.Stale(t.today)
			out[i] = CardInfo{
				ID: c.ID, Series: c.Series, Operator: c.Operator, PriceClass: c.PriceClass, Currency: c.Currency, From: c.From, To: c.To,
				Source: c.Source, Status: c.Status, Own: c.own, Used: used[c.ID], Ended: !c.To.IsZero() && t.today.After(c.To), Warning: warning,
			}
		}
		return nil
	})
	return out, err
}

// cardsFor returns the cards that plans of a day go by: in the studio's currency, of its price classes,
// the latest of each series.
func cardsFor(cards []card, set Settings, day calendar.Day) []card {
	var plain []tariff.Card
	at := map[string]card{}
	for _, c := range cards {
		if c.Currency == set.Currency {
			plain = append(plain, c.Card)
			at[c.ID] = c
		}
	}
	var out []card
	for _, c := range tariff.Select(plain, set.PriceClasses, day) {
		out = append(out, at[c.ID])
	}
	return out
}

// AddCard loads a price card of the studio's own; one of the same id is replaced.
// Faults: Invalid, everything that is wrong with it; Taken when another card of its series has the same
// first day, so that nobody could say which holds.
func (s *Studio) AddCard(ctx context.Context, c tariff.Card) error {
	if err := c.Check(""); err != nil {
		return err
	}
	raw, err := json.Marshal(c)
	if err != nil {
		return fmt.Errorf("price card %s: %w", c.ID, err)
	}
	return s.write(ctx, func(t *turn) error {
		cards, err := s.allCards(t)
		if err != nil {
			return err
		}
		for _, o := range cards {
			if o.ID != c.ID && o.Series == c.Series && o.From == c.From {
				return fault.New(fault.Taken, "card %s of the series holds from the same day", o.ID).At("%s", c.ID).In("from").ToMend("drop that card first, or correct the first day")
			}
		}
		if err := t.SaveCard(StoredCard{ID: c.ID, Card: raw}); err != nil {
			return err
		}
		return t.note(0, "price card %s loaded, from %s", c.ID, c.From)
	})
}

// DropCard drops an own price card. Faults: Missing, Refused for a bundled one.
func (s *Studio) DropCard(ctx context.Context, id string) error {
	return s.write(ctx, func(t *turn) error {
		err := t.DropCard(id)
		if fault.Is(err, fault.Missing) {
			for _, c := range s.cards.bundled() {
				if c.ID == id {
					return fault.New(fault.Refused, "this card comes with the program").At("%s", id).ToMend("leave its price class out in the settings")
				}
			}
		}
		if err != nil {
			return err
		}
		return t.note(0, "price card %s dropped", id)
	})
}
