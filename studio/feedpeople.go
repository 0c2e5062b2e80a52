package studio

import (
	"context"
	"encoding/json"

	"solander/fault"
	"solander/order"
)

// FeedBuyers lists buyers of the studio, of every outlet, as Buyers does. Faults: Unknown, Denied.
func (s *Studio) FeedBuyers(ctx context.Context, feed int64, q BuyerQuery) (page BuyerPage, err error) {
	err = s.feedRead(ctx, feed, ScopeBuyersRead, func(t *turn, _ Feed) (err error) {
		page, err = t.buyerPage(q)
		return err
	})
	return page, err
}

// FeedPerson reads a buyer of the studio, as Buyer does. Faults: Missing, Unknown, Denied.
func (s *Studio) FeedPerson(ctx context.Context, feed, id int64) (v BuyerView, err error) {
	err = s.feedRead(ctx, feed, ScopeBuyersRead, func(t *turn, _ Feed) (err error) {
		v, err = t.buyerView(id)
		return err
	})
	return v, err
}

// FeedMerge takes buyers as one person, as MergeBuyers does. Faults: those of MergeBuyers; Unknown, Denied, Taken.
func (s *Studio) FeedMerge(ctx context.Context, c FeedCall, in MergeIn) (BuyerDeed, error) {
	if err := in.Validate(); err != nil {
		return BuyerDeed{}, err
	}
	return s.feedDeed(ctx, c, func(t *turn) (BuyerDeed, error) { return t.mergeBuyers(in) })
}

// FeedPart makes a buyer of some orders, as PartBuyer does. Faults: those of PartBuyer; Unknown, Denied, Taken.
func (s *Studio) FeedPart(ctx context.Context, c FeedCall, in PartIn) (BuyerDeed, error) {
	in.As = tidyBuyer(in.As)
	if err := in.Validate(); err != nil {
		return BuyerDeed{}, err
	}
	return s.feedDeed(ctx, c, func(t *turn) (BuyerDeed, error) { return t.partBuyer(in) })
}

// FeedApart notes that buyers are not the same person, as TellApart does. Faults: those of TellApart; Unknown, Denied, Taken.
func (s *Studio) FeedApart(ctx context.Context, c FeedCall, ids []int64) (BuyerDeed, error) {
	if err := fewBuyers("buyers", ids, 2); err != nil {
		return BuyerDeed{}, err
	}
	return s.feedDeed(ctx, c, func(t *turn) (BuyerDeed, error) { return t.tellApart(ids) })
}

// FeedUndo takes a deed about buyers back, by its mark; no other mark of the journal. Faults: those of Undo; Unknown, Denied, Taken.
func (s *Studio) FeedUndo(ctx context.Context, c FeedCall, mark int64) (BuyerDeed, error) {
	return s.feedDeed(ctx, c, func(t *turn) (BuyerDeed, error) {
		none := fault.New(fault.Missing, "there is no deed %d about buyers", mark).ToMend("send the number that the deed was answered with")
		m, err := t.Mark(mark)
		if fault.Is(err, fault.Missing) {
			return BuyerDeed{}, none
		}
		if err != nil {
			return BuyerDeed{}, err
		}
		id, ok := deedOf(m)
		if !ok {
			return BuyerDeed{}, none
		}
		if err := t.undoMark(m); err != nil {
			return BuyerDeed{}, err
		}
		b, err := t.Buyer(id)
		return BuyerDeed{Mark: mark, Buyer: b}, err
	})
}

// deedOf returns the buyer that a deed about buyers is about, and who is there after it was undone.
func deedOf(m Mark) (int64, bool) {
	var u struct {
		Was   order.Buyer `json:"was"`
		From  int64       `json:"from"`
		Pairs [][2]int64  `json:"pairs"`
	}
	if json.Unmarshal(m.Detail, &u) != nil {
		return 0, false
	}
	switch {
	case m.Kind == MarkMerged:
		return u.Was.ID, true
	case m.Kind == MarkParted:
		return u.From, true
	case m.Kind == MarkToldApart && len(u.Pairs) > 0:
		return u.Pairs[0][0], true
	}
	return 0, false
}

// feedDeed does something to buyers once; the answer under the key is the deed itself.
func (s *Studio) feedDeed(ctx context.Context, c FeedCall, do func(*turn) (BuyerDeed, error)) (BuyerDeed, error) {
	var out BuyerDeed
	if err := c.Validate(); err != nil {
		return out, err
	}
	err := s.write(ctx, func(t *turn) error {
		answer, err := t.answerOnce(c, ScopeBuyersMerge, func(t *turn, _ Feed) (string, error) {
			d, err := do(t)
			if err != nil {
				return "", err
			}
			b, err := json.Marshal(d)
			return string(b), err
		})
		if err != nil {
			return err
		}
		return json.Unmarshal([]byte(answer), &out)
	})
	return out, err
}
