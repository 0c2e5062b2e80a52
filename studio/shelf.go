package studio

import (
	"context"
	"fmt"
	"strings"

	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/supply"
)

// Shelf lists the packaging, by kind and name.
func (s *Studio) Shelf(ctx context.Context) ([]ShelfItem, error) {
	var out []ShelfItem
	err := s.read(ctx, func(t *turn) (err error) {
		out, err = t.Shelf()
		return err
	})
	return out, err
}

// Validate looks at a shelf item alone. Faults: Invalid.
func (i ShelfItem) Validate() error {
	var l fault.List
	l.Add(order.Text("spec.id", i.Spec.ID, 60, true))
	l.Add(order.Text("spec.name", i.Spec.Name, 120, true))
	l.Check(i.Spec.Cost >= 0 && i.Spec.Cost <= money.MaxMinor, "spec.cost", "the cost of a piece is negative or absurd", "give the price of one piece")
	l.Check(i.ReorderAt >= -1 && i.ReorderAt <= supply.MaxSheets, "reorder_at", "the reorder level is negative or absurd", "use 0 to be told when none is left, -1 for never")
	l.Check(i.Pack >= 0 && i.Pack <= supply.MaxSheets, "pack", "the size of a pack is negative or absurd", "use 1 for single pieces")
	l.Add(faultsBelow(trial([]packing.Item{i.Spec}, nil, nil), "shelf[0].", "spec."))
	return l.Err()
}

// SaveShelfItem adds a kind of packaging (ID 0, with its first stock) or changes one, not its stock.
// Faults: Invalid, Missing, Taken when the key is in use.
func (s *Studio) SaveShelfItem(ctx context.Context, it ShelfItem) (ShelfItem, error) {
	return s.ChangeShelfItem(ctx, it.ID, whole(it))
}

// ChangeShelfItem changes a kind of packaging as it stands, or adds one (id 0), as ChangeSettings does.
// Faults: those of SaveShelfItem.
func (s *Studio) ChangeShelfItem(ctx context.Context, id int64, change func(*ShelfItem) error) (it ShelfItem, err error) {
	err = s.write(ctx, func(t *turn) error {
		if it, err = asItStands(id, t.ShelfItem, change); err != nil {
			return err
		}
		it.ID = id
		if err := it.Validate(); err != nil {
			return err
		}
		it, err = t.saveShelfItem(it)
		return err
	})
	return it, err
}

func (t *turn) saveShelfItem(it ShelfItem) (ShelfItem, error) {
	first := it.Stock
	if it.ID != 0 {
		known, err := t.ShelfItem(it.ID)
		if err != nil {
			return it, err
		}
		if known.Spec.ID != it.Spec.ID {
			return it, fault.New(fault.Refused, "its key stands in wraps and in parcels").At("%s", known.Spec.Name).In("spec.id").ToMend("keep %q, or add a new item and retire this one", known.Spec.ID)
		}
		if by := t.set.naming(known.Spec.ID); known.Spec.Kind != it.Spec.Kind && len(by) > 0 {
			return it, fault.New(fault.Refused, "the wrap %s names it as its %s", strings.Join(by, ", "), known.Spec.Kind).At("%s", known.Spec.Name).In("spec.kind").
				ToMend("keep the kind, or add a new item and retire this one")
		}
		first, it.Stock = 0, known.Stock
	}
	it.Spec.Stock, it.Pack = nil, max(1, it.Pack)
	if first < 0 || first > supply.MaxSheets {
		return it, fault.Invalidf("stock", "%d is not a possible stock", first).ToMend("count the pieces")
	}
	id, err := t.SaveShelfItem(it)
	if err != nil {
		return it, err
	}
	it.ID = id
	return it, t.pieces(it, first, "first stock")
}

// pieces moves pieces of a shelf item in or out. Faults: Refused when there are not so many.
func (t *turn) pieces(it ShelfItem, delta int, reason string) error {
	if delta == 0 {
		return nil
	}
	err := t.AddMove(supply.Move{Kind: supply.Packaging, Of: it.ID, Delta: delta, Reason: reason, Day: t.today, At: t.now, Who: t.who})
	if fault.Is(err, fault.Refused) {
		return fault.New(fault.Refused, "the shelf holds %d pieces, %d are taken", it.Stock, -delta).At("%s", it.Spec.Name).ToMend("count the shelf").Because(err)
	}
	return err
}

// CountShelf sets the stock of an item to what was counted, packed parcels included.
// Faults: Invalid, Missing, Refused when fewer were counted than packed parcels hold.
func (s *Studio) CountShelf(ctx context.Context, item int64, counted int, reason string) error {
	if err := countable(counted, reason); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		it, err := t.ShelfItem(item)
		if err != nil {
			return err
		}
		used, err := t.packedUse()
		if err != nil {
			return err
		}
		if n := used[it.Spec.ID]; counted < n {
			return fault.New(fault.Refused, "%d pieces were counted, but packed parcels hold %d", counted, n).At("%s", it.Spec.Name).In("counted").
				ToMend("count those in packed parcels too")
		}
		if err := t.pieces(it, counted-it.Stock, "counted: "+reason); err != nil {
			return err
		}
		return t.note(0, "%s counted: %d, before %d", it.Spec.Name, counted, it.Stock)
	})
}

// packedUse counts the pieces in parcels that are packed and not handed over, by the item's key.
func (t *turn) packedUse() (map[string]int, error) {
	parcels, err := t.OpenParcels()
	if err != nil {
		return nil, err
	}
	used := map[string]int{}
	for _, p := range parcels {
		for item, n := range uses(p.Plan) {
			used[item] += n
		}
	}
	return used, nil
}

// uses counts the pieces of packaging in a planned parcel.
func uses(p packing.Parcel) map[string]int {
	out := map[string]int{}
	for _, l := range p.Layers {
		out[l.Item] += l.Count
	}
	return out
}

// undoRestocked is what taking a restock back needs.
type undoRestocked struct {
	Item    int64 `json:"item"`
	Pieces  int   `json:"pieces"`
	OldCost int64 `json:"old_cost"`
	NewCost int64 `json:"new_cost"`
}

// Restock adds pieces of an item; with a unit cost, later plans count with that.
func (s *Studio) Restock(ctx context.Context, item int64, pieces int, unitCost *money.Amount) error {
	var l fault.List
	l.Check(pieces >= 1 && pieces <= supply.MaxSheets, "pieces", fmt.Sprintf("%d pieces cannot come in", pieces), fmt.Sprintf("use 1 to %d", supply.MaxSheets))
	if unitCost != nil {
		l.Add(amount("unit_cost", *unitCost))
	}
	if err := l.Err(); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error { return t.restock(item, pieces, unitCost) })
}

func (t *turn) restock(item int64, pieces int, unitCost *money.Amount) error {
	it, err := t.ShelfItem(item)
	if err != nil {
		return err
	}
	if it.Stock+pieces > 10*supply.MaxSheets {
		return fault.Invalidf("pieces", "the shelf would hold %d pieces", it.Stock+pieces).ToMend("look at the number")
	}
	u := undoRestocked{Item: item, Pieces: pieces, OldCost: it.Spec.Cost, NewCost: it.Spec.Cost}
	if unitCost != nil {
		cost, err := t.cash("unit_cost", *unitCost)
		if err != nil {
			return err
		}
		u.NewCost, it.Spec.Cost = cost.Minor, cost.Minor
		if _, err := t.SaveShelfItem(it); err != nil {
			return err
		}
	}
	if err := t.pieces(it, pieces, "restocked"); err != nil {
		return err
	}
	_, err = t.mark(MarkRestocked, 0, u, "%d × %s restocked", pieces, it.Spec.Name)
	return err
}

// undoRestock takes a restock back while the pieces are still there.
func (t *turn) undoRestock(u undoRestocked) error {
	it, err := t.ShelfItem(u.Item)
	if err != nil {
		return err
	}
	used, err := t.packedUse()
	if err != nil {
		return err
	}
	if it.Stock-u.Pieces < used[it.Spec.ID] {
		return fault.New(fault.Refused, "pieces of it were used since").At("%s", it.Spec.Name).ToMend("count the shelf instead")
	}
	if u.OldCost != u.NewCost && it.Spec.Cost == u.NewCost {
		it.Spec.Cost = u.OldCost
		if _, err := t.SaveShelfItem(it); err != nil {
			return err
		}
	}
	return t.pieces(it, -u.Pieces, "restock taken back")
}
