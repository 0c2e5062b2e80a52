package stockroom

import (
	"context"
	"fmt"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/money"
	"solander/studio"
	"solander/supply"
)

// Shelf lists the packaging, by kind and name.
func Shelf(ctx context.Context, s *studio.Studio) ([]studio.ShelfItem, error) {
	return studio.Got(ctx, s, read, func(t *Stockroom) ([]studio.ShelfItem, error) { return t.Shelf() })
}

// SaveShelfItem adds a kind of packaging (ID 0, with its first stock) or changes one, not its stock.
// Faults: Invalid, Missing, Taken when the key is in use.
func SaveShelfItem(ctx context.Context, s *studio.Studio, it studio.ShelfItem) (studio.ShelfItem, error) {
	return ChangeShelfItem(ctx, s, it.ID, studio.Whole(it))
}

// ChangeShelfItem changes a kind of packaging as it stands, or adds one (id 0), as ChangeSettings does.
// Faults: those of SaveShelfItem.
func ChangeShelfItem(ctx context.Context, s *studio.Studio, id int64, change func(*studio.ShelfItem) error) (it studio.ShelfItem, err error) {
	err = write(ctx, s, func(t *Stockroom) error {
		if it, err = studio.AsItStands(id, t.ShelfItem, change); err != nil {
			return err
		}
		it.ID = id
		if err := it.Validate(); err != nil {
			return err
		}
		it, err = t.KeepShelfItem(it)
		return err
	})
	return it, err
}

// KeepShelfItem keeps a kind of packaging: a new one with its first count, a known one under the key that it has.
func (t *Stockroom) KeepShelfItem(it studio.ShelfItem) (studio.ShelfItem, error) {
	first := it.Stock
	if it.ID != 0 {
		known, err := t.ShelfItem(it.ID)
		if err != nil {
			return it, err
		}
		if known.Spec.ID != it.Spec.ID {
			return it, fault.New(fault.Refused, "its key stands in wraps and in parcels").At("%s", known.Spec.Name).In("spec.id").ToMend("keep %q, or add a new item and retire this one", known.Spec.ID)
		}
		if by := t.Set.Naming(known.Spec.ID); known.Spec.Kind != it.Spec.Kind && len(by) > 0 {
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
	return it, t.Pieces(it, first, t.worth(supply.FirstCount, it.Spec.Cost, first), "first stock")
}

// Pieces moves pieces of a shelf item in or out. Faults: Refused when there are not so many.
func (t *Stockroom) Pieces(it studio.ShelfItem, delta int, why supply.Why, reason string) error {
	if delta == 0 {
		return nil
	}
	err := t.AddMove(supply.Move{Kind: supply.Packaging, Of: it.ID, Delta: delta, Reason: reason, Day: t.Today, At: t.Now, Who: t.Who, Why: why})
	if fault.Is(err, fault.Refused) {
		return fault.New(fault.Refused, "the shelf holds %d pieces, %d are taken", it.Stock, -delta).At("%s", it.Spec.Name).ToMend("count the shelf").Because(err)
	}
	return err
}

// worth is why pieces came in, at so many minor units each, or did not come in after all.
func (t *Stockroom) worth(c supply.Cause, each int64, delta int) supply.Why {
	if c == supply.Counted && delta < 0 {
		return supply.Why{Cause: c} // what is gone costs what its layers did
	}
	return supply.Why{Cause: c, Cost: money.Of(each*int64(delta), t.Set.Currency)}
}

// CountShelf sets the stock of an item to what was counted, packed parcels included.
// Faults: Invalid, Missing, Refused when fewer were counted than packed parcels hold.
func CountShelf(ctx context.Context, s *studio.Studio, item int64, counted int, reason string) error {
	if err := countable(counted, reason); err != nil {
		return err
	}
	return write(ctx, s, func(t *Stockroom) error {
		it, err := t.ShelfItem(item)
		if err != nil {
			return err
		}
		used, err := t.PackedUse()
		if err != nil {
			return err
		}
		if n := used[it.Spec.ID]; counted < n {
			return fault.New(fault.Refused, "%d pieces were counted, but packed parcels hold %d", counted, n).At("%s", it.Spec.Name).In("counted").
				ToMend("count those in packed parcels too")
		}
		cause, err := t.ofCount(supply.Packaging, it.ID, counted-it.Stock)
		if err != nil {
			return err
		}
		if err := t.Pieces(it, counted-it.Stock, t.worth(cause, it.Spec.Cost, counted-it.Stock), "counted: "+reason); err != nil {
			return err
		}
		return t.Note(0, "%s counted: %d, before %d", it.Spec.Name, counted, it.Stock)
	})
}

// PackedUse counts the pieces in parcels that are packed and not handed over, by the item's key.
func (t *Stockroom) PackedUse() (map[string]int, error) {
	parcels, err := t.OpenParcels()
	if err != nil {
		return nil, err
	}
	used := map[string]int{}
	for _, p := range parcels {
		for item, n := range dayplan.Uses(p.Plan) {
			used[item] += n
		}
	}
	return used, nil
}

// undoRestocked is what taking a restock back needs.
type undoRestocked struct {
	Item    int64 `json:"item"`
	Pieces  int   `json:"pieces"`
	OldCost int64 `json:"old_cost"`
	NewCost int64 `json:"new_cost"`

	Came     int          `json:"came,omitempty"`    // of those that were ordered
	Expected calendar.Day `json:"expected,omitzero"` // when they were to come
}

// Restock adds pieces of an item; with a unit cost, later plans count with that.
func Restock(ctx context.Context, s *studio.Studio, item int64, pieces int, unitCost *money.Amount) error {
	var l fault.List
	l.Check(pieces >= 1 && pieces <= supply.MaxSheets, "pieces", fmt.Sprintf("%d pieces cannot come in", pieces), fmt.Sprintf("use 1 to %d", supply.MaxSheets))
	if unitCost != nil {
		l.Add(studio.Amount("unit_cost", *unitCost))
	}
	if err := l.Err(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Stockroom) error { return t.restock(item, pieces, unitCost) })
}

func (t *Stockroom) restock(item int64, pieces int, unitCost *money.Amount) error {
	it, err := t.ShelfItem(item)
	if err != nil {
		return err
	}
	if it.Stock+pieces > 10*supply.MaxSheets {
		return fault.Invalidf("pieces", "the shelf would hold %d pieces", it.Stock+pieces).ToMend("look at the number")
	}
	u := undoRestocked{Item: item, Pieces: pieces, OldCost: it.Spec.Cost, NewCost: it.Spec.Cost}
	if unitCost != nil {
		cost, err := t.Cash("unit_cost", *unitCost)
		if err != nil {
			return err
		}
		u.NewCost, it.Spec.Cost = cost.Minor, cost.Minor
	}
	if u.Came, u.Expected = min(pieces, it.Coming), it.Expected; u.Came > 0 {
		if it.Coming -= u.Came; it.Coming == 0 {
			it.Expected = calendar.Day{}
		}
	}
	if unitCost != nil || u.Came > 0 {
		if _, err := t.SaveShelfItem(it); err != nil {
			return err
		}
	}
	if err := t.Pieces(it, pieces, t.worth(supply.Restocked, u.NewCost, pieces), "restocked"); err != nil {
		return err
	}
	_, err = t.Journal(studio.MarkRestocked, 0, u, "%d × %s restocked", pieces, it.Spec.Name)
	return err
}

// UndoRestock takes a restock back while the pieces are still there.
func (t *Stockroom) UndoRestock(u undoRestocked) error {
	it, err := t.ShelfItem(u.Item)
	if err != nil {
		return err
	}
	used, err := t.PackedUse()
	if err != nil {
		return err
	}
	if it.Stock-u.Pieces < used[it.Spec.ID] {
		return fault.New(fault.Refused, "pieces of it were used since").At("%s", it.Spec.Name).ToMend("count the shelf instead")
	}
	cost := u.OldCost != u.NewCost && it.Spec.Cost == u.NewCost
	if cost {
		it.Spec.Cost = u.OldCost
	}
	if u.Came > 0 {
		if it.Coming += u.Came; it.Expected.IsZero() {
			it.Expected = u.Expected
		}
	}
	if cost || u.Came > 0 {
		if _, err := t.SaveShelfItem(it); err != nil {
			return err
		}
	}
	return t.Pieces(it, -u.Pieces, t.worth(supply.NotRestock, u.NewCost, -u.Pieces), "restock taken back")
}
