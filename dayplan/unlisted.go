package dayplan

import (
	"crypto/sha256"
	"encoding/json"
	"slices"

	"solander/calendar"
	"solander/packing"
	"solander/tariff"
)

// UnlistedCard is the id of the card that stands in where no price list reaches, see Unlisted.
const UnlistedCard = "unlisted"

// unlistedService is the id, and the name, of its services.
const unlistedService = "what the counter offers"

// Unlisted is a card for where none of the cards in use goes from a country: within it, abroad, or either; false when they go everywhere. A studio whose
// operator's prices nobody has typed packs all the same: packaging is planned, postage counts as nothing, and what the counter asks is noted with the
// label. Nothing is promised for the counter: a house rule that asks for tracking, cover or a signature holds such an order, and says so.
func Unlisted(using []Card, country, currency, priceClass string) (Card, bool) {
	goes := func(abroad bool) bool {
		return slices.ContainsFunc(using, func(c Card) bool {
			return slices.ContainsFunc(c.Services, func(s tariff.Service) bool { return reaches(s, country, abroad) })
		})
	}
	home, away := goes(false), goes(true)
	if home && away {
		return Card{}, false
	}
	s := tariff.Service{
		ID: unlistedService, Class: UnlistedCard, Name: unlistedService,
		Prices: tariff.Prices{By: tariff.ByPiece, Rows: []tariff.Row{{Prices: []tariff.Cell{0}}}},
	}
	if home || away {
		s.Abroad = &home
	}
	c := Card{Card: tariff.Card{
		ID: UnlistedCard, Series: UnlistedCard, Operator: "No price list", Currency: currency, From: calendar.Earliest, To: calendar.Latest, PriceClass: priceClass,
		Source: "no price list is known: postage is not counted", Status: "estimated", Services: []tariff.Service{s},
	}}
	if raw, err := json.Marshal(c.Card); err == nil {
		c.Digest = sha256.Sum256(raw)
	}
	return c, true
}

// reaches reports whether a service goes within a country, or from it to another one.
func reaches(s tariff.Service, country string, abroad bool) bool {
	if s.Abroad != nil && *s.Abroad != abroad {
		return false
	}
	return len(s.Countries) == 0 || slices.ContainsFunc(s.Countries, func(to string) bool { return (to != country) == abroad })
}

// tellUnlisted says in a plan what its card without prices means.
func tellUnlisted(plan *packing.Plan) {
	for i := range plan.Warnings {
		if w := &plan.Warnings[i]; w.Card == UnlistedCard {
			w.Text = "no price list goes there: postage is not counted. Ask which service takes it, with the tracking and the cover that you want, and note with the label what you paid"
		}
	}
}
