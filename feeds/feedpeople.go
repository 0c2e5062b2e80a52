package feeds

import (
	"context"
	"encoding/json"

	"solander/buyers"
	"solander/dispatch"
	"solander/fault"
	"solander/feed"
	"solander/order"
	"solander/studio"
)

// FeedBuyers lists buyers of the studio, of every outlet, as Buyers does. Faults: Unknown, Denied.
func FeedBuyers(ctx context.Context, s *studio.Studio, feedID int64, q studio.BuyerQuery) (page buyers.BuyerPage, err error) {
	err = feedRead(ctx, s, feedID, feed.BuyersRead, func(t *Gate, _ feed.Feed) (err error) {
		page, err = buyers.In(t.Turn).BuyerPage(q)
		return err
	})
	return page, err
}

// FeedPerson reads a buyer of the studio, as Buyer does. Faults: Missing, Unknown, Denied.
func FeedPerson(ctx context.Context, s *studio.Studio, feedID, id int64) (v buyers.BuyerView, err error) {
	err = feedRead(ctx, s, feedID, feed.BuyersRead, func(t *Gate, _ feed.Feed) (err error) {
		v, err = buyers.In(t.Turn).BuyerView(id)
		return err
	})
	return v, err
}

// FeedMerge takes buyers as one person, as MergeBuyers does. Faults: those of MergeBuyers; Unknown, Denied, Taken.
func FeedMerge(ctx context.Context, s *studio.Studio, c FeedCall, in buyers.MergeIn) (buyers.BuyerDeed, error) {
	if err := in.Validate(); err != nil {
		return buyers.BuyerDeed{}, err
	}
	return feedDeed(ctx, s, c, func(t *Gate) (buyers.BuyerDeed, error) { return buyers.In(t.Turn).MergeBuyers(in) })
}

// FeedPart makes a buyer of some orders, as PartBuyer does. Faults: those of PartBuyer; Unknown, Denied, Taken.
func FeedPart(ctx context.Context, s *studio.Studio, c FeedCall, in buyers.PartIn) (buyers.BuyerDeed, error) {
	in.As = buyers.TidyBuyer(in.As)
	if err := in.Validate(); err != nil {
		return buyers.BuyerDeed{}, err
	}
	return feedDeed(ctx, s, c, func(t *Gate) (buyers.BuyerDeed, error) { return buyers.In(t.Turn).PartBuyer(in) })
}

// FeedApart notes that buyers are not the same person, as TellApart does. Faults: those of TellApart; Unknown, Denied, Taken.
func FeedApart(ctx context.Context, s *studio.Studio, c FeedCall, ids []int64) (buyers.BuyerDeed, error) {
	if err := buyers.FewBuyers("buyers", ids, 2); err != nil {
		return buyers.BuyerDeed{}, err
	}
	return feedDeed(ctx, s, c, func(t *Gate) (buyers.BuyerDeed, error) { return buyers.In(t.Turn).KeepApart(ids) })
}

// FeedUndo takes a deed about buyers back, by its mark; no other mark of the journal. Faults: those of Undo; Unknown, Denied, Taken.
func FeedUndo(ctx context.Context, s *studio.Studio, c FeedCall, mark int64) (buyers.BuyerDeed, error) {
	return feedDeed(ctx, s, c, func(t *Gate) (buyers.BuyerDeed, error) {
		none := fault.New(fault.Missing, "there is no deed %d about buyers", mark).ToMend("send the number that the deed was answered with")
		m, err := t.Mark(mark)
		if fault.Is(err, fault.Missing) {
			return buyers.BuyerDeed{}, none
		}
		if err != nil {
			return buyers.BuyerDeed{}, err
		}
		id, ok := deedOf(m)
		if !ok {
			return buyers.BuyerDeed{}, none
		}
		if err := dispatch.In(t.Turn).TakeBack(m); err != nil {
			return buyers.BuyerDeed{}, err
		}
		b, err := t.Buyer(id)
		return buyers.BuyerDeed{Mark: mark, Buyer: b}, err
	})
}

// deedOf returns the buyer that a deed about buyers is about, and who is there after it was undone.
func deedOf(m studio.Mark) (int64, bool) {
	var u struct {
		Was   order.Buyer `json:"was"`
		From  int64       `json:"from"`
		Pairs [][2]int64  `json:"pairs"`
	}
	if json.Unmarshal(m.Detail, &u) != nil {
		return 0, false
	}
	switch {
	case m.Kind == studio.MarkMerged:
		return u.Was.ID, true
	case m.Kind == studio.MarkParted:
		return u.From, true
	case m.Kind == studio.MarkToldApart && len(u.Pairs) > 0:
		return u.Pairs[0][0], true
	}
	return 0, false
}

// feedDeed does something to buyers once; the answer under the key is the deed itself.
func feedDeed(ctx context.Context, s *studio.Studio, c FeedCall, do func(*Gate) (buyers.BuyerDeed, error)) (buyers.BuyerDeed, error) {
	var out buyers.BuyerDeed
	if err := c.Validate(); err != nil {
		return out, err
	}
	err := write(ctx, s, func(t *Gate) error {
		answer, err := t.answerOnce(c, feed.BuyersMerge, func(t *Gate, _ feed.Feed) (string, error) {
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
