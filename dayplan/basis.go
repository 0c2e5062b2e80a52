package dayplan

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"solander/packing"
	"solander/packing/front"
	"solander/tariff"
)

// basis is a problem of a day without orders and cards, with the cards that hold. Many questions differ
// only in their orders and in the stock of the shelf, so the rest is digested once.
type basis struct {
	packing.Problem
	cards []Card
	most  map[packing.Kind]int    // mostTaken by one sheet
	asks  map[string]front.Demand // what is asked of an order beyond the rules, by its mark
	rest  Digest                  // of all but the orders, the stock and how many rejected options are listed
}

// NewBasis is what all questions of a day share.
func NewBasis(p packing.Problem, cards []Card) (basis, error) {
	bare := p
	bare.Orders, bare.Cards, bare.Options.RejectedMost, bare.Shelf = nil, nil, nil, slices.Clone(p.Shelf)
	for i := range bare.Shelf {
		bare.Shelf[i].Stock = nil
	}
	raw, err := json.Marshal(bare)
	if err != nil {
		return basis{}, fmt.Errorf("planning problem: %w", err)
	}
	h := sha256.New()
	h.Write(raw)
	for _, c := range cards {
		h.Write(c.Digest[:])
	}
	b := basis{Problem: p, cards: cards, most: map[packing.Kind]int{}}
	for i := range p.Shelf {
		kind := p.Shelf[i].Kind
		b.most[kind] = mostTaken(p.Wraps, kind)
	}
	h.Sum(b.rest[:0])
	return b, nil
}

// Alone asks for one order, or for orders that may share parcels. Of an item of which no way to send them could take
// all, there is plenty: so the answer stays known when others take of it.
func (b basis) Alone(orders ...packing.Order) (Question, error) {
	sheets := 0
	for _, o := range orders {
		for _, s := range o.Sheets {
			sheets += s.Number()
		}
	}
	b.Shelf = slices.Clone(b.Shelf)
	for i := range b.Shelf {
		it := &b.Shelf[i]
		if it.Stock != nil && *it.Stock > 0 && *it.Stock >= sheets*b.most[it.Kind] {
			it.Stock = nil
		}
	}
	return b.ask(orders, func(c tariff.Card) tariff.Card { return c.OneWay(b.Origin, orders[0].Destination) })
}

// ask asks for orders by the cards, each cut down to what concerns them.
func (b basis) ask(orders []packing.Order, cut func(tariff.Card) tariff.Card) (Question, error) {
	orders, extra := b.asked(orders)
	raw, err := json.Marshal(orders)
	if err != nil {
		return Question{}, fmt.Errorf("planning problem: %w", err)
	}
	h := sha256.New()
	h.Write(b.rest[:])
	fmt.Fprintln(h, b.Options.Rejections())
	h.Write(raw)
	if len(extra) > 0 {
		if raw, err = json.Marshal(extra); err != nil {
			return Question{}, fmt.Errorf("planning problem: %w", err)
		}
		h.Write(raw)
	}
	stocks := make([]byte, 0, 8*len(b.Shelf))
	for i := range b.Shelf {
		stock := int64(-1) // plenty
		if left := b.Shelf[i].Stock; left != nil {
			stock = int64(*left)
		}
		stocks = binary.BigEndian.AppendUint64(stocks, uint64(stock))
	}
	h.Write(stocks)
	q := Question{Problem: b.Problem, cards: b.cards, cut: cut}
	q.Problem.Orders = orders
	q.Problem.Rules = append(slices.Clip(b.Rules), extra...) // none is copied while nothing is asked
	h.Sum(q.key[:0])
	return q, nil
}

// asked are orders with what is asked of them, and the rules that this adds.
func (b basis) asked(orders []packing.Order) ([]packing.Order, []packing.Rule) {
	var extra []packing.Rule
	if !slices.ContainsFunc(orders, func(o packing.Order) bool { return b.asks[o.ID] != front.Demand{} }) {
		return orders, nil
	}
	orders = slices.Clone(orders)
	for i := range orders {
		if d := b.asks[orders[i].ID]; d != (front.Demand{}) {
			extra = append(extra, d.On(&b.Problem, &orders[i])...)
		}
	}
	return orders, extra
}

// asking is the basis with demands on some orders in place of those that they have, by mark; the zero Demand is none.
func (b basis) asking(demands map[string]front.Demand) basis {
	was := b.asks
	b.asks = make(map[string]front.Demand, len(was)+len(demands))
	maps.Copy(b.asks, was)
	maps.Copy(b.asks, demands)
	return b
}

// WithoutWraps is the day with some wraps barred from its parcels.
func (a Ask) WithoutWraps(ids []string) Ask {
	if len(ids) > 0 {
		a.Base.Rules = append(slices.Clip(a.Base.Rules), packing.Rule{ID: "fewer wraps today", Text: "fewer different wraps today", Then: packing.Then{NotWraps: ids}})
		a.Base.rest = sha256.Sum256(fmt.Appendf(a.Base.rest[:], "%q", ids))
	}
	return a
}

// mostTaken is the most pieces of one item that a parcel of one sheet can take; of n sheets in all, no way
// to send them takes more than n times as many.
func mostTaken(wraps []packing.Wrap, kind packing.Kind) int {
	most := 0
	for _, w := range wraps {
		n := 0
		for _, l := range w.Layers {
			if l.Kind == kind {
				n += l.Pieces()
			}
		}
		most = max(most, n)
	}
	return most
}
