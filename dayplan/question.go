package dayplan

import (
	"crypto/sha256"

	"solander/packing"
	"solander/tariff"
)

// Question is a problem of the planner with the key of its answer in the cache. Its cards are cut down to what
// concerns it only when they are needed: most answers are remembered.
type Question struct {
	Problem packing.Problem // without cards
	cards   []Card
	cut     func(tariff.Card) tariff.Card
	key     Digest
}

// Whole is the problem with its cards.
func (q Question) Whole() packing.Problem {
	p := q.Problem
	p.Cards = make([]tariff.Card, len(q.cards))
	for i, c := range q.cards {
		p.Cards[i] = q.cut(c.Card)
	}
	return p
}

// Means is what planning needs of the studio beside the order, read once for many orders.
type Means struct {
	Shelf   []packing.Item // with the stock that is not in packed parcels
	Left    map[string]int // that stock, by the item's key
	Retired map[string]bool
	Ids     map[string]int64 // of the shelf items, by key
	Cards   []Card
}

// Digest tells one content of a card from another.
type Digest = [sha256.Size]byte

// Card is a price card with the digest of its content.
type Card struct {
	tariff.Card
	Digest Digest
	Own    bool
}
