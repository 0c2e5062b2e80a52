package consign

import (
	"solander/consign"
	"solander/ledger"
	"solander/money"
	"solander/posted"
	"solander/store/table"
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

// cost is what is left of the cost that a print took along: of one that is gone what its sheet cost; of one that lies in the drawer again
// nothing, unless an earlier edition of the program gave back another's.
func (t *ConsignRows) cost(p consign.Print) (money.Amount, error) {
	none := money.Of(0, p.Price.Currency)
	if p.State == consign.Out {
		return none, nil
	}
	costs, err := table.Values[int64](t.conn, `SELECT cost FROM layer_uses WHERE consignment = $1 AND consignment <> 0`, p.ID)
	if err != nil {
		return none, err
	}
	for _, c := range costs {
		none.Minor += c
	}
	return none, nil
}
