package buyers

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

// Buyers are people: taking several as one, parting one again, and the word that two are not the same. Each is a mark of the
// journal that can be undone. No order, payment, line or entry of the register is changed by any of it but for whose an order is.

// mostTogether bounds how many buyers are taken as one, or told apart, at once.
const mostTogether = 100

// BuyerDeed is what was done to buyers: the journal's mark, by which it is undone, and the buyer it is about.
type BuyerDeed struct {
	Mark  int64       `json:"mark"`
	Buyer order.Buyer `json:"buyer"`
}

// MergeIn takes others as the same person as one.
type MergeIn struct {
	Into   int64   `json:"into"`
	Others []int64 `json:"others"`
}

// Validate looks at it alone. Faults: Invalid.
func (in MergeIn) Validate() error {
	var l fault.List
	l.Check(in.Into > 0, "into", "the buyer is missing", "say who stays")
	l.Add(FewBuyers("others", in.Others, 1))
	l.Check(!slices.Contains(in.Others, in.Into), "others", "a buyer is the same person as herself already", "name another one")
	return l.Err()
}

// FewBuyers looks at a list of buyers alone. Faults: Invalid.
func FewBuyers(field string, ids []int64, least int) error {
	var l fault.List
	l.Check(len(ids) >= least && len(ids) <= mostTogether, field, fmt.Sprintf("%d buyers are too few or too many", len(ids)), fmt.Sprintf("name %d to %d", least, mostTogether))
	if len(ids) > mostTogether {
		return l.Err()
	}
	for i, id := range ids {
		l.Check(id > 0, field, "there is no such buyer", "use the number that find shows")
		l.Check(!slices.Contains(ids[:i], id), field, fmt.Sprintf("buyer %d is named twice", id), "name it once")
	}
	return l.Err()
}

// undoMerge is what undoing a merge needs.
type undoMerge struct {
	Was    order.Buyer   `json:"was"`  // who stayed, before
	Made   order.Buyer   `json:"made"` // and after
	Others []mergedBuyer `json:"others"`
	Last   int64         `json:"last"` // the latest order of hers by then
}

// mergedBuyer is one who was taken as another.
type mergedBuyer struct {
	ID       int64   `json:"id"`
	Writings []int64 `json:"writings,omitempty"` // who had been taken as her
	Orders   []int64 `json:"orders,omitempty"`
}

// MergeBuyers takes buyers as the same person as one: their orders become hers, with payments, numbers and notes as they are. What the
// book lacks of her (e-mail address, telephone, note) is filled from them; how each of them is written stays known, so that an
// order that comes in so is hers as well. Faults: Invalid; Missing; Refused when one was taken as another meanwhile.
func MergeBuyers(ctx context.Context, s *studio.Studio, in MergeIn) (BuyerDeed, error) {
	if err := in.Validate(); err != nil {
		return BuyerDeed{}, err
	}
	var out BuyerDeed
	err := write(ctx, s, func(t *People) (err error) {
		out, err = t.MergeBuyers(in)
		return err
	})
	return out, err
}

// MergeBuyers is the use case MergeBuyers within a transaction.
func (t *People) MergeBuyers(in MergeIn) (BuyerDeed, error) {
	u := undoMerge{}
	var err error
	if u.Was, err = t.standing(in.Into, "into"); err != nil {
		return BuyerDeed{}, err
	}
	u.Made = u.Was
	var names []string
	for _, id := range in.Others {
		gone, err := t.standing(id, "others")
		if err != nil {
			return BuyerDeed{}, err
		}
		m, err := t.mergeOne(u.Was.ID, gone)
		if err != nil {
			return BuyerDeed{}, err
		}
		u.Made = filledFrom(u.Made, gone)
		u.Others = append(u.Others, m)
		names = append(names, fmt.Sprintf("%s (buyer %d)", gone.Name, gone.ID))
	}
	if _, err := t.SaveBuyer(u.Made); err != nil {
		return BuyerDeed{}, err
	}
	clear(t.BuyersRead)
	all, err := t.BuyerOrders(u.Was.ID)
	if err != nil {
		return BuyerDeed{}, err
	}
	if len(all) > 0 {
		u.Last = all[len(all)-1]
	}
	mark, err := t.Journal(studio.MarkMerged, 0, u, "%s (buyer %d) is the same person as %s", u.Was.Name, u.Was.ID, listed(names))
	return BuyerDeed{mark, u.Made}, err
}

// listed joins names, a few of them.
func listed(names []string) string {
	if n := len(names) - mostNamed; n > 0 {
		names = append(slices.Clone(names[:mostNamed]), fmt.Sprintf("%d more", n))
	}
	return strings.Join(names, ", ")
}

// standing reads a buyer who stands for herself. Faults: Missing; Refused.
func (t *People) standing(id int64, field string) (order.Buyer, error) {
	b, err := t.Buyer(id)
	if err != nil {
		return b, fault.InField(err, field)
	}
	if b.SameAs != 0 {
		return b, fault.New(fault.Refused, "this buyer was taken as buyer %d already", b.SameAs).At("buyer %d, %s", b.ID, b.Name).In(field).ToMend("look at buyer %d again", b.SameAs)
	}
	return b, fault.InField(t.NotErased(b.ID), field)
}

func (t *People) mergeOne(into int64, gone order.Buyer) (mergedBuyer, error) {
	m := mergedBuyer{ID: gone.ID}
	writings, err := t.Writings(gone.ID)
	if err != nil {
		return m, err
	}
	for _, w := range append(writings, gone) {
		if w.ID != gone.ID {
			m.Writings = append(m.Writings, w.ID)
		}
		w.SameAs = into
		if _, err := t.SaveBuyer(w); err != nil {
			return m, err
		}
	}
	if m.Orders, err = t.BuyerOrders(gone.ID); err != nil {
		return m, err
	}
	return m, t.MoveOrders(m.Orders, into)
}

// UndoMerge takes a merge back: every order is whose it was. Orders that came since stay, but for those whose own words say that they
// are of one who stands for herself again. What was corrected since stays corrected.
func (t *People) UndoMerge(u undoMerge) error {
	is, err := t.Buyer(u.Was.ID)
	if err != nil {
		return err
	}
	if is.SameAs != 0 {
		return fault.New(fault.Refused, "this buyer was taken as buyer %d since", is.SameAs).ToMend("undo that first")
	}
	for _, m := range u.Others {
		if err := t.unmergeOne(is, m); err != nil {
			return err
		}
	}
	if err := t.sinceMerge(u); err != nil {
		return err
	}
	_, err = t.SaveBuyer(unfilled(is, u.Made, u.Was))
	clear(t.BuyersRead)
	return err
}

func (t *People) unmergeOne(from order.Buyer, m mergedBuyer) error {
	for _, id := range m.Orders {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		if o.Buyer != from.ID {
			return fault.New(fault.Refused, "%s was given to another buyer since", o.Mark).ToMend("undo that first")
		}
	}
	for _, id := range append([]int64{m.ID}, m.Writings...) {
		w, err := t.Buyer(id)
		if err != nil {
			return err
		}
		if w.SameAs != from.ID {
			return fault.New(fault.Refused, "buyer %d was parted from her since", id).ToMend("undo that first")
		}
		if w.SameAs = m.ID; id == m.ID {
			w.SameAs = 0
		}
		if _, err := t.SaveBuyer(w); err != nil {
			return err
		}
	}
	return t.MoveOrders(m.Orders, m.ID)
}

// sinceMerge gives orders that came since the merge to whom their own words name.
func (t *People) sinceMerge(u undoMerge) error {
	ids, err := t.BuyerOrders(u.Was.ID)
	if err != nil {
		return err
	}
	for _, id := range ids {
		if id <= u.Last {
			continue
		}
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		said := order.Party{Name: o.Said.Name, Email: o.Said.Email}
		if like, _ := order.Alike(said, order.Party{Name: u.Was.Name, Email: u.Was.Email}); like == order.Same {
			continue
		}
		for _, m := range u.Others {
			b, err := t.Buyer(m.ID)
			if err != nil {
				return err
			}
			if like, _ := order.Alike(said, order.Party{Name: b.Name, Email: b.Email}); like == order.Same {
				if err := t.MoveOrders([]int64{id}, m.ID); err != nil {
					return err
				}
				break
			}
		}
	}
	return nil
}

// unfilled takes back what a merge filled in and nobody changed since.
func unfilled(is, made, was order.Buyer) order.Buyer {
	for _, x := range []struct{ is, made, was *string }{{&is.Email, &made.Email, &was.Email}, {&is.Phone, &made.Phone, &was.Phone}, {&is.Note, &made.Note, &was.Note}} {
		if *x.is == *x.made {
			*x.is = *x.was
		}
	}
	return is
}

// undoApart is what undoing "not the same person" needs.
type undoApart struct {
	Pairs [][2]int64 `json:"pairs"` // that were news
}

// TellApart notes that buyers are not the same person, each of any other; they are not proposed any more. It returns the journal's
// mark. Faults: Invalid; Missing; Refused when one was taken as another meanwhile, or all of it is noted already.
func TellApart(ctx context.Context, s *studio.Studio, ids []int64) (BuyerDeed, error) {
	if err := FewBuyers("buyers", ids, 2); err != nil {
		return BuyerDeed{}, err
	}
	var out BuyerDeed
	err := write(ctx, s, func(t *People) (err error) {
		out, err = t.KeepApart(ids)
		return err
	})
	return out, err
}

// KeepApart is the use case KeepApart within a transaction.
func (t *People) KeepApart(ids []int64) (BuyerDeed, error) {
	var u undoApart
	var names []string
	var first order.Buyer
	for i, id := range ids {
		b, err := t.standing(id, "buyers")
		if err != nil {
			return BuyerDeed{}, err
		}
		if i == 0 {
			first = b
		}
		names = append(names, fmt.Sprintf("%s (buyer %d)", b.Name, b.ID))
		for _, other := range ids[:i] {
			news, err := t.Store.TellApart(id, other)
			if err != nil {
				return BuyerDeed{}, err
			}
			if news {
				u.Pairs = append(u.Pairs, Pair(id, other))
			}
		}
	}
	if len(u.Pairs) == 0 {
		return BuyerDeed{}, fault.New(fault.Refused, "it is noted already that they are not the same person").In("buyers")
	}
	mark, err := t.Journal(studio.MarkToldApart, 0, u, "not the same person: %s", listed(names))
	return BuyerDeed{mark, first}, err
}

// UndoApart forgets that buyers are known to be different people.
func (t *People) UndoApart(u undoApart) error {
	for _, p := range u.Pairs {
		if err := t.ForgetApart(p[0], p[1]); err != nil {
			return err
		}
	}
	return nil
}
