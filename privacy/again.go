package privacy

import (
	"context"
	"encoding/json"
	"io"
	"slices"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/studio"
	"solander/upkeep"
)

// ListFormat is the value of "format" in a list of erasures.
const ListFormat = "solander-erasures/1"

// List is who was erased, told by the numbers of the book alone: it names nobody. It is kept beside the backups, and read when an older
// one was restored.
type List struct {
	Format string   `json:"format"`
	Made   string   `json:"made"`
	Erased []Listed `json:"erased"`
}

// Listed is a buyer who was erased. By her orders she is known again in an older copy, in which her number may be another's by now.
type Listed struct {
	Buyer  int64         `json:"buyer"`
	At     time.Time     `json:"at"`
	Orders []ListedOrder `json:"orders"`
}

// ListedOrder is an order as any copy knows it.
type ListedOrder struct {
	Mark   string       `json:"mark"`
	Placed calendar.Day `json:"placed"`
	Began  time.Time    `json:"began,omitzero"` // its first journal entry
}

// mostListed is how many orders tell who somebody is.
const mostListed = 20

// ErasureList makes the list of all erasures.
func ErasureList(ctx context.Context, s *studio.Studio) (List, error) {
	return studio.Got(ctx, s, read, func(t *Privacy) (List, error) {
		l := List{Format: ListFormat, Made: t.Now.Format(time.RFC3339), Erased: []Listed{}}
		all, err := t.Erasures(0)
		if err != nil {
			return l, err
		}
		slices.Reverse(all)
		for _, e := range all {
			x := Listed{Buyer: e.Buyer, At: e.At}
			if x.Orders, err = t.listed(e.Buyer); err != nil {
				return l, err
			}
			l.Erased = append(l.Erased, x)
		}
		return l, nil
	})
}

func (t *Privacy) listed(buyer int64) ([]ListedOrder, error) {
	out := []ListedOrder{}
	ids, err := t.BuyerOrders(buyer)
	if err != nil {
		return nil, err
	}
	all, err := t.OrdersByID(ids[:min(len(ids), mostListed)])
	if err != nil {
		return nil, err
	}
	for _, o := range all {
		began, err := t.OrderBegan(o.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, ListedOrder{o.Mark, o.Placed, began})
	}
	return out, nil
}

// Again is what became of one buyer of a list.
type Again struct {
	Buyer int64  `json:"buyer"`
	Done  bool   `json:"done"`
	Why   string `json:"why"` // why not, or what was done
}

// ReadList reads a list. Faults: Invalid.
func ReadList(r io.Reader) (List, error) {
	var l List
	dec := json.NewDecoder(io.LimitReader(r, 64<<20))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&l); err != nil || l.Format != ListFormat {
		return l, fault.New(fault.Invalid, "this is no list of erasures").In("list").ToMend("give the file that solander privacy list wrote").Because(err)
	}
	return l, nil
}

// EraseAgain erases in a store that was restored from an older copy whom a list says. Nobody is erased whose number is another buyer's
// by now. It tells of each what became of her. Faults: those of the store.
func EraseAgain(ctx context.Context, s *studio.Studio, l List) ([]Again, error) {
	out := []Again{}
	any := false
	for _, x := range l.Erased {
		var a Again
		err := write(ctx, s, func(t *Privacy) (err error) {
			a, err = t.reading(s).again(x)
			return err
		})
		if err != nil {
			return out, err
		}
		any = any || a.Done
		out = append(out, a)
	}
	if !any {
		return out, nil
	}
	return out, Wipe(ctx, s)
}

func (t *Privacy) again(x Listed) (Again, error) {
	a := Again{Buyer: x.Buyer}
	if _, err := t.Erased(x.Buyer); err == nil {
		a.Why = "she is erased already"
		return a, nil
	}
	b, err := t.Buyer(x.Buyer)
	if fault.Is(err, fault.Missing) {
		a.Why = "this copy is older than she"
		return a, nil
	}
	if err != nil {
		return a, err
	}
	same, err := t.same(b.Person(), x)
	if err != nil {
		return a, err
	}
	if !same {
		a.Why = "in this copy the number is another buyer's, or she had no order of the list yet: look yourself"
		return a, nil
	}
	tr, err := t.trial(b.Person())
	if err != nil {
		return a, err
	}
	if err := refused(tr.InTheWay, true); err != nil {
		a.Why = fault.All(err)[0].What
		return a, nil
	}
	if _, err = t.erase(tr, upkeep.ErasedAgain, true); err != nil {
		return a, err
	}
	a.Done, a.Why = true, "erased again"
	return a, nil
}

// same reports whether a buyer of this store is the one of a list: one of her orders is hers here too, or neither has any.
func (t *Privacy) same(buyer int64, x Listed) (bool, error) {
	ids, err := t.BuyerOrders(buyer)
	if err != nil {
		return false, err
	}
	if len(x.Orders) == 0 {
		return len(ids) == 0, nil
	}
	for _, l := range x.Orders {
		o, err := t.OrderByMark(l.Mark)
		if fault.Is(err, fault.Missing) {
			continue
		}
		if err != nil {
			return false, err
		}
		began, err := t.OrderBegan(o.ID)
		if err != nil {
			return false, err
		}
		if o.Buyer == buyer && o.Placed == l.Placed && began.Equal(l.Began) {
			return true, nil
		}
	}
	return false, nil
}
