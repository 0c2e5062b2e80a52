package studio

import (
	"slices"

	"solander/dayplan"
	"solander/tariff"
)

// WithZones adds the estimated zone table of the studio's origin to every card that has charts of that
// name but none for the origin. Plans by it warn that the zone is estimated.
func (s *Studio) WithZones(cards []dayplan.Card, from tariff.Place) []dayplan.Card {
	if s.zones == nil {
		return cards
	}
	guess, ok := s.zones(from)
	if !ok {
		return cards
	}
	for i := range cards {
		c := &cards[i].Card
		named := func(z tariff.ZoneTable) bool { return z.Name == guess.Name }
		if slices.ContainsFunc(c.Zones, named) && c.Table(guess.Name, from) == nil {
			c.Zones = append(slices.Clip(c.Zones), guess)
		}
	}
	return cards
}
