package studio

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"

	"solander/address"
	"solander/calendar"
	"solander/dayplan"
	"solander/internal/strict"
	"solander/tariff"
)

// cardShelf keeps what was computed of price cards: the digests of the bundled ones, and the studio's
// own ones once read. It is safe for concurrent use.
type cardShelf struct {
	Bundled func() ([]dayplan.Card, error)

	mu  sync.Mutex
	own map[dayplan.Digest]tariff.Card
}

// Given are price cards that were read before.
func Given(cards []tariff.Card) func() ([]tariff.Card, error) {
	return func() ([]tariff.Card, error) { return cards, nil }
}

func newCardShelf(read func() ([]tariff.Card, error)) *cardShelf {
	return &cardShelf{own: map[dayplan.Digest]tariff.Card{}, Bundled: sync.OnceValues(func() ([]dayplan.Card, error) {
		if read == nil {
			return nil, nil
		}
		bundled, err := read()
		if err != nil {
			return nil, err
		}
		out := make([]dayplan.Card, len(bundled))
		for i, c := range bundled {
			raw, err := json.Marshal(c)
			if err != nil {
				raw = []byte(c.ID)
			}
			out[i] = dayplan.Card{Card: c, Digest: sha256.Sum256(raw)}
		}
		return out, nil
	})}
}

// read reads an own card, once for each content. Faults: Internal when what was stored is no card.
func (s *cardShelf) read(stored StoredCard) (dayplan.Card, error) {
	d := sha256.Sum256(stored.Card)
	s.mu.Lock()
	defer s.mu.Unlock()
	c, known := s.own[d]
	if !known {
		if err := strict.Decode(stored.Card, &c); err != nil {
			return dayplan.Card{}, fmt.Errorf("own price card %s: %w", stored.ID, err)
		}
		s.own[d] = c
	}
	return dayplan.Card{Card: c, Digest: d, Own: true}, nil
}

// AllCards returns the bundled cards and the studio's own ones, which take the place of a bundled card
// of the same id; ascending by id.
func (s *Studio) AllCards(t *Turn) ([]dayplan.Card, error) {
	stored, err := t.Tx.Cards()
	if err != nil {
		return nil, err
	}
	bundled, err := s.Cards.Bundled()
	if err != nil {
		return nil, err
	}
	byID := map[string]dayplan.Card{}
	for _, c := range bundled {
		byID[c.ID] = c
	}
	for _, st := range stored {
		c, err := s.Cards.read(st)
		if err != nil {
			return nil, err
		}
		byID[c.ID] = c
	}
	out := make([]dayplan.Card, 0, len(byID))
	for _, c := range byID {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b dayplan.Card) int { return strings.Compare(a.ID, b.ID) })
	return out, nil
}

// Here reports whether a card is in the studio's currency and for parcels from its country.
func Here(c dayplan.Card, set Settings) bool {
	return c.Currency == set.Currency && c.StartsIn(address.Home(set.Address.Country))
}

// CardsFor returns the cards that plans of a day go by: those of ListedFor, and one without prices for where none of them goes.
func CardsFor(cards []dayplan.Card, set Settings, day calendar.Day) []dayplan.Card {
	using := ListedFor(cards, set, day)
	class := "unlisted"
	if len(set.PriceClasses) > 0 {
		class = set.PriceClasses[0]
	}
	if c, lacks := dayplan.Unlisted(using, address.Home(set.Address.Country), set.Currency, class); lacks {
		using = append(using, c)
	}
	return using
}

// ListedFor returns the cards of a day: in the studio's currency, for parcels from its country,
// of its price classes, the latest of each series; without the services that another card of them replaces.
func ListedFor(cards []dayplan.Card, set Settings, day calendar.Day) []dayplan.Card {
	var plain []tariff.Card
	at := map[string]dayplan.Card{}
	for _, c := range cards {
		if Here(c, set) {
			plain = append(plain, c.Card)
			at[c.ID] = c
		}
	}
	var out []dayplan.Card
	for _, c := range tariff.Select(plain, set.PriceClasses, day) {
		out = append(out, asHeld(at[c.ID], *c))
	}
	return out
}

// asHeld is a card with the services that it keeps on a day. One that lost some has a digest of its own, for plans follow from it: who
// replaced them need not be among the cards any more.
func asHeld(c dayplan.Card, kept tariff.Card) dayplan.Card {
	if len(kept.Services) != len(c.Services) {
		h := sha256.New()
		h.Write(c.Digest[:])
		for _, s := range kept.Services {
			fmt.Fprintf(h, "%q", s.ID)
		}
		h.Sum(c.Digest[:0])
	}
	c.Card = kept
	return c
}
