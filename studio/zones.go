package studio

import (
	"crypto/sha256"
	"encoding/json"
	"slices"

	"solander/address"
	"solander/dayplan"
	"solander/order"
	"solander/tariff"
)

// WithZones gives every card that has charts of a name the zone table that the studio pasted for its own postcode; else, where
// it has none for the origin, the estimated one: plans by that warn that the zone is estimated.
func (s *Studio) WithZones(cards []dayplan.Card, from tariff.Place, own []tariff.ZoneTable) []dayplan.Card {
	for i := range cards {
		c := &cards[i].Card
		for _, t := range own {
			if t.From(from) && c.HasZones(t.Name) {
				c.Zones = append([]tariff.ZoneTable{t}, c.Zones...)
				cards[i].Digest = digestWith(cards[i].Digest, t)
			}
		}
	}
	if s.zones == nil {
		return cards
	}
	guess, ok := s.zones(from)
	if !ok {
		return cards
	}
	for i := range cards {
		c := &cards[i].Card
		if c.HasZones(guess.Name) && c.Table(guess.Name, from) == nil {
			c.Zones = append(slices.Clip(c.Zones), guess)
		}
	}
	return cards
}

// digestWith is the digest of a card that has one more table: what was planned by another must be planned anew.
func digestWith(card dayplan.Digest, t tariff.ZoneTable) dayplan.Digest {
	raw, err := json.Marshal(t)
	if err != nil {
		raw = []byte(err.Error())
	}
	return sha256.Sum256(append(card[:], raw...))
}

// Prefixes are the prefixes of postcodes in use in the country of the origin, ascending; none where they are not known.
func (s *Studio) Prefixes(from tariff.Place) []string {
	if s.zones == nil {
		return nil
	}
	guess, ok := s.zones(from)
	if !ok {
		return nil
	}
	var out []string
	for _, r := range guess.Rows {
		out = append(out, r.From)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// PlaceOf is the place of an address as price cards know it.
func PlaceOf(a order.Address) tariff.Place {
	return tariff.Place{Country: address.Home(a.Country), Postcode: a.Postcode}
}
