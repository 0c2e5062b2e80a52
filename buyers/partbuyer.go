package buyers

import (
	"context"
	"fmt"
	"slices"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

// PartIn gives some of a buyer's orders to a buyer of their own.
type PartIn struct {
	Buyer  int64       `json:"buyer"`
	Orders []string    `json:"orders"` // their marks
	As     order.Buyer `json:"as"`     // who that is; a name left out: as the first of the orders says
}

// Validate looks at it alone. Faults: Invalid.
func (in PartIn) Validate() error {
	var l fault.List
	l.Check(in.Buyer > 0, "buyer", "the buyer is missing", "say which buyer it is")
	l.Check(len(in.Orders) > 0 && len(in.Orders) <= studio.MostPage, "orders", fmt.Sprintf("%d orders are too few or too many", len(in.Orders)), fmt.Sprintf("choose 1 to %d", studio.MostPage))
	if in.As.Name != "" {
		l.Add(in.As.Validate())
	}
	return l.Err()
}

// undoPart is what undoing a parting needs.
type undoPart struct {
	From   int64       `json:"from"`
	Made   order.Buyer `json:"made"`
	Orders []int64     `json:"orders"`
}

// PartBuyer makes a new buyer of some orders that are another person's than the others, and notes that the two are not the same.
// Faults: Invalid; Missing; Refused when an order is not hers, or none would be left to her.
func PartBuyer(ctx context.Context, s *studio.Studio, in PartIn) (BuyerDeed, error) {
	in.As = TidyBuyer(in.As)
	if err := in.Validate(); err != nil {
		return BuyerDeed{}, err
	}
	var out BuyerDeed
	err := write(ctx, s, func(t *People) (err error) {
		out, err = t.PartBuyer(in)
		return err
	})
	return out, err
}

// PartBuyer is the use case PartBuyer within a transaction.
func (t *People) PartBuyer(in PartIn) (BuyerDeed, error) {
	from, err := t.standing(in.Buyer, "buyer")
	if err != nil {
		return BuyerDeed{}, err
	}
	u := undoPart{From: from.ID, Made: order.Buyer{Name: in.As.Name, Email: in.As.Email, Phone: in.As.Phone, Note: in.As.Note}}
	for _, mark := range in.Orders {
		o, err := t.OrderByMark(mark)
		if err != nil {
			return BuyerDeed{}, fault.InField(err, "orders")
		}
		if o.Buyer != from.ID {
			return BuyerDeed{}, fault.New(fault.Refused, "this order is not hers").At("%s", o.Mark).In("orders").ToMend("look at buyer %d", o.Buyer)
		}
		if slices.Contains(u.Orders, o.ID) {
			return BuyerDeed{}, fault.Invalidf("orders", "%s is named twice", o.Mark).ToMend("name it once")
		}
		u.Orders = append(u.Orders, o.ID)
		if u.Made.Name == "" {
			u.Made.Name, u.Made.Email, u.Made.Phone = o.Said.Name, o.Said.Email, o.Said.Phone
		}
	}
	if u.Made.Name == "" {
		u.Made.Name = from.Name
	}
	all, err := t.BuyerOrders(from.ID)
	if err != nil {
		return BuyerDeed{}, err
	}
	if len(all) <= len(u.Orders) {
		return BuyerDeed{}, fault.New(fault.Refused, "all her orders are chosen, so that none is left to part them from").At("%s", from.Name).In("orders").ToMend("leave one, or correct who she is")
	}
	if err := u.Made.Validate(); err != nil {
		return BuyerDeed{}, err
	}
	if u.Made.ID, err = t.SaveBuyer(u.Made); err != nil {
		return BuyerDeed{}, err
	}
	if err := t.MoveOrders(u.Orders, u.Made.ID); err != nil {
		return BuyerDeed{}, err
	}
	if _, err := t.Store.TellApart(from.ID, u.Made.ID); err != nil {
		return BuyerDeed{}, err
	}
	mark, err := t.Journal(studio.MarkParted, 0, u, "%s of %s (buyer %d) given to %s (buyer %d)", fault.Count(len(u.Orders), "order"), from.Name, from.ID, u.Made.Name, u.Made.ID)
	return BuyerDeed{mark, u.Made}, err
}

// UndoPart takes a parting back while nothing was built on it: the new buyer is forgotten, and her orders are whose they were.
func (t *People) UndoPart(u undoPart) error {
	later := func(what string) error {
		return fault.New(fault.Refused, "%s", what).At("%s, buyer %d", u.Made.Name, u.Made.ID).ToMend("undo that first, or take the two as the same person instead")
	}
	is, err := t.Buyer(u.Made.ID)
	if err != nil {
		return err
	}
	if is != u.Made {
		return later("she was corrected, or taken as another, since")
	}
	ids, err := t.BuyerOrders(is.ID)
	if err != nil {
		return err
	}
	if !slices.Equal(ids, slices.Sorted(slices.Values(u.Orders))) {
		return later("other orders are hers now")
	}
	if from, err := t.Buyer(u.From); err != nil {
		return err
	} else if from.SameAs != 0 {
		return later(fmt.Sprintf("buyer %d was taken as buyer %d since", from.ID, from.SameAs))
	}
	if err := t.MoveOrders(ids, u.From); err != nil {
		return err
	}
	if err := t.ForgetApart(u.From, is.ID); err != nil {
		return err
	}
	clear(t.BuyersRead)
	err = t.DropBuyer(is.ID)
	if fault.Is(err, fault.Refused) {
		return later("another was taken as her, or told apart from her, since")
	}
	return err
}
