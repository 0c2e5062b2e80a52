package feeds

import (
	"context"

	"solander/claim"
	"solander/claims"
	"solander/fairs"
	"solander/fault"
	"solander/feed"
	"solander/studio"
)

// FeedFairs are the days at a table of the feed's outlet, the latest first. Faults: Unknown, Denied.
func FeedFairs(ctx context.Context, s *studio.Studio, feedID int64) (out []fairs.View, err error) {
	err = feedRead(ctx, s, feedID, feed.FairsRead, func(t *Gate, f feed.Feed) error {
		all, err := fairs.In(t.Turn).Days()
		if err != nil {
			return err
		}
		for _, d := range all {
			if d.Outlet == f.Outlet {
				out = append(out, d)
			}
		}
		return nil
	})
	return out, err
}

// FeedClaim is a claim with the outlet's own names of the orders in its parcel.
type FeedClaim struct {
	claims.View
	Refs []string
}

// FeedClaims are the claims for parcels in which all is of the feed's outlet, the latest told first: open ones, or all.
// Faults: Unknown, Denied.
func FeedClaims(ctx context.Context, s *studio.Studio, feedID int64, all bool) (out []FeedClaim, err error) {
	err = feedRead(ctx, s, feedID, feed.ClaimsRead, func(t *Gate, f feed.Feed) error {
		views, err := claims.In(t.Turn).Views(s, claim.Query{Open: !all})
		if err != nil {
			return err
		}
		for _, v := range views {
			refs, ours, err := t.refsOf(v.Claim, f.Outlet)
			if err != nil {
				return err
			}
			if ours {
				out = append(out, FeedClaim{v, refs})
			}
		}
		return nil
	})
	return out, err
}

// refsOf are an outlet's names of the orders of a claim's parcel; ours is false when one of them is of another outlet.
func (t *Gate) refsOf(c claim.Claim, outlet int64) (refs []string, ours bool, err error) {
	p, err := t.Parcel(c.Parcel)
	if err != nil {
		return nil, false, err
	}
	for _, id := range p.OrderIDs() {
		o, err := t.Order(id)
		if err != nil || o.Outlet != outlet {
			return nil, false, err
		}
		refs = append(refs, o.Ref)
	}
	return refs, true, nil
}

// FeedClaimDeed notes once that a claim was filed, answered or paid, as the studio does. say makes the answer of what the claim then is; it is
// kept with the key. A feed that may not read claims learns nothing by it: it is answered "", and whatever is in the way is told in the same words.
// Faults: those of the deed; Missing when the claim is not the outlet's; Unknown, Denied, Taken.
func FeedClaimDeed(ctx context.Context, s *studio.Studio, c FeedCall, id int64, in claims.Deed, say func(claim.Claim) (string, error)) (answer string, err error) {
	var l fault.List
	l.Add(c.Validate())
	l.Add(in.Validate())
	if err := l.Err(); err != nil {
		return "", err
	}
	err = write(ctx, s, func(t *Gate) error {
		answer, err = t.answerOnce(c, feed.ClaimsWrite, func(t *Gate, f feed.Feed) (string, error) {
			is, err := t.claimDeed(s, f, id, in)
			switch {
			case f.May(feed.ClaimsRead) != nil:
				return "", unseen(err, "claim", feed.ClaimsRead)
			case err != nil:
				return "", err
			}
			return say(is)
		})
		return err
	})
	return answer, err
}

// claimDeed notes what became of a claim of the feed's outlet.
func (t *Gate) claimDeed(s *studio.Studio, f feed.Feed, id int64, in claims.Deed) (claim.Claim, error) {
	none := fault.New(fault.Missing, "this outlet has no claim %d", id).ToMend("look at the list of claims")
	was, err := claims.In(t.Turn).Claim(id)
	if fault.Is(err, fault.Missing) {
		return was, none
	}
	if err != nil {
		return was, err
	}
	switch _, ours, err := t.refsOf(was, f.Outlet); {
	case err != nil:
		return was, err
	case !ours:
		return was, none
	}
	return claims.In(t.Turn).Do(s, in)
}
