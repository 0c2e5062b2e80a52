package consign

import (
	"slices"

	"solander/consign"
	"solander/ledger"
	"solander/money"
	"solander/posted"
	"solander/store/table"
	"solander/supply"
)

// The kinds of subject of the journal that this room keeps.
const (
	Subject      = ledger.Consignment
	MoneySubject = ledger.GalleryMoney
)

// ConsignmentEvents returns what prints at galleries ought to have in the journal.
func (t *ConsignRows) ConsignmentEvents(ids []int64) (map[int64][]ledger.Event, error) {
	prints, err := Consignments.In(t.conn, "id", ids, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	outlets, err := t.outlets()
	if err != nil {
		return nil, err
	}
	out := make(map[int64][]ledger.Event, len(prints))
	for _, p := range prints {
		cost, err := t.cost(p)
		if err != nil {
			return nil, err
		}
		out[p.ID] = posted.Consigned(p, outlets[p.Gallery], cost)
	}
	return out, nil
}

// GalleryMoneyEvents returns what money of galleries ought to have there.
func (t *ConsignRows) GalleryMoneyEvents(ids []int64) (map[int64][]ledger.Event, error) {
	all, err := Moneys.In(t.conn, "id", ids, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	outlets, err := t.outlets()
	if err != nil {
		return nil, err
	}
	out := make(map[int64][]ledger.Event, len(all))
	for _, m := range all {
		out[m.ID] = posted.GalleryMoney(m, outlets[m.Gallery])
	}
	return out, nil
}

func (t *ConsignRows) outlets() (map[int64]int64, error) {
	all, err := t.Galleries()
	if err != nil {
		return nil, err
	}
	out := map[int64]int64{}
	for _, h := range all {
		out[h.ID] = h.Outlet
	}
	return out, nil
}

// cost is what the sheet of a print cost: by the move with which it left the drawer. Prints that went in one transaction left in their order.
func (t *ConsignRows) cost(p consign.Print) (money.Amount, error) {
	none := money.Of(0, p.Price.Currency)
	if p.State != consign.Sold && p.State != consign.Lost {
		return none, nil
	}
	together, err := table.Values[int64](t.conn, `SELECT id FROM consignments WHERE edition = $1 AND at = $2 ORDER BY id`, p.Edition, p.At)
	if err != nil {
		return none, err
	}
	moves, err := table.Values[int64](t.conn, `SELECT id FROM moves WHERE kind = 'sheets' AND item = $1 AND at = $2 AND cause = $3 ORDER BY id`, p.Edition, p.At, supply.AtGallery)
	if err != nil {
		return none, err
	}
	i := slices.Index(together, p.ID)
	if i < 0 || i >= len(moves) {
		return none, nil
	}
	sum := int64(0)
	costs, err := table.Values[int64](t.conn, `SELECT cost FROM layer_uses WHERE move = $1 ORDER BY place`, moves[i])
	if err != nil {
		return none, err
	}
	for _, c := range costs {
		sum += c
	}
	return money.Of(sum, p.Price.Currency), nil
}
