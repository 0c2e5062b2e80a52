package check

import (
	"slices"

	"solander/packing"
	"solander/tariff"
)

// Reckoner works out what a parcel is and costs from what was chosen for it. It chooses nothing itself.
// It is safe for use by one goroutine.
type Reckoner struct {
	problem *packing.Problem
	orders  map[string]*packing.Order
	items   map[string]*packing.Item
	wraps   map[string]*packing.Wrap
	cards   []*tariff.Card // those that count on the day, in the problem's order
	taken   map[lostClass]bool
}

// lostClass is the services of a class in a card whose place another card has taken.
type lostClass struct {
	card  *tariff.Card
	class string
}

// NewReckoner reads a problem, which must not change afterwards.
func NewReckoner(problem *packing.Problem) *Reckoner {
	r := &Reckoner{
		problem: problem,
		orders:  make(map[string]*packing.Order, len(problem.Orders)),
		items:   make(map[string]*packing.Item, len(problem.Shelf)),
		wraps:   make(map[string]*packing.Wrap, len(problem.Wraps)),
		cards:   cardsOnDay(problem),
	}
	r.taken = lostClasses(r.cards)
	for i := range problem.Orders {
		r.orders[problem.Orders[i].ID] = withMargin(problem.Orders[i], problem.Margin)
	}
	for i := range problem.Shelf {
		r.items[problem.Shelf[i].ID] = &problem.Shelf[i]
	}
	for i := range problem.Wraps {
		r.wraps[problem.Wraps[i].ID] = &problem.Wraps[i]
	}
	return r
}

// cardsOnDay keeps, of the cards of allowed price classes, the latest of each series that has begun.
// Source: docs/formats/tariff.md, section 1.
func cardsOnDay(problem *packing.Problem) []*tariff.Card {
	latest := map[string]*tariff.Card{}
	for i := range problem.Cards {
		card := &problem.Cards[i]
		if len(problem.PriceClasses) > 0 && !slices.Contains(problem.PriceClasses, card.PriceClass) {
			continue
		}
		if card.From.After(problem.Day) {
			continue
		}
		if old := latest[card.Series]; old == nil || card.From.After(old.From) {
			latest[card.Series] = card
		}
	}
	var out []*tariff.Card
	for i := range problem.Cards {
		if card := &problem.Cards[i]; latest[card.Series] == card {
			out = append(out, card)
		}
	}
	return out
}

// lostClasses finds what one card takes from another: of a card and the card of a series that it replaces in a class,
// the one that began earlier has no services of that class, and of two that began together the one that names the other.
// Source: docs/formats/tariff.md, section 1.
func lostClasses(cards []*tariff.Card) map[lostClass]bool {
	out := make(map[lostClass]bool)
	for _, card := range cards {
		for _, r := range card.Replaces {
			for _, other := range cards {
				if other.Series != r.Series || other == card {
					continue
				}
				loser := card
				if card.From.After(other.From) {
					loser = other
				}
				out[lostClass{loser, r.Class}] = true
			}
		}
	}
	return out
}

// Offer is a service of a card that counts on the problem's day.
type Offer struct {
	card    *tariff.Card
	service *tariff.Service
}

// Offers returns every service that could be asked, in the problem's order.
func (r *Reckoner) Offers() []Offer {
	var out []Offer
	for _, card := range r.cards {
		for i := range card.Services {
			if s := &card.Services[i]; !r.taken[lostClass{card, s.Class}] {
				out = append(out, Offer{card, s})
			}
		}
	}
	return out
}

// offer finds a service by ids; the reason is one of plan.card and plan.service.
func (r *Reckoner) offer(card, service string) (Offer, *packing.Reason) {
	for _, c := range r.cards {
		if c.ID != card {
			continue
		}
		for i := range c.Services {
			if c.Services[i].ID == service && !r.taken[lostClass{c, c.Services[i].Class}] {
				return Offer{c, &c.Services[i]}, nil
			}
		}
		return Offer{}, malformed("plan.service", "card %q has no service %q", card, service)
	}
	return Offer{}, malformed("plan.card", "card %q is not one that counts on the day", card)
}
