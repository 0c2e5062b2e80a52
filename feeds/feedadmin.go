package feeds

import (
	"cmp"
	"context"
	"crypto/subtle"
	"slices"
	"strconv"
	"strings"
	"time"

	"solander/fault"
	"solander/feed"
	"solander/order"
	"solander/studio"
)

// NewFeed is a feed just made, with its token: nobody can show it again.
type NewFeed struct {
	feed.Feed
	Token string `json:"token"`
}

// Feeds lists the feeds by name, the revoked ones too.
func Feeds(ctx context.Context, s *studio.Studio) ([]feed.Feed, error) {
	out := []feed.Feed{}
	err := read(ctx, s, func(t *Gate) error {
		all, err := t.Feeds()
		out = append(out, all...)
		return err
	})
	return out, err
}

// Feed reads a feed. Faults: Missing.
func Feed(ctx context.Context, s *studio.Studio, id int64) (feed.Feed, error) {
	return studio.Got(ctx, s, read, func(t *Gate) (feed.Feed, error) { return t.Feed(id) })
}

// AddFeed makes a feed and its token. Faults: Invalid; Missing; Taken when the name is in use; Refused when the
// outlet is closed.
func AddFeed(ctx context.Context, s *studio.Studio, f feed.Feed) (NewFeed, error) {
	f.ID, f.Name, f.Made, f.Used, f.Revoked = 0, strings.TrimSpace(f.Name), time.Time{}, time.Time{}, time.Time{}
	if err := f.Validate(); err != nil {
		return NewFeed{}, err
	}
	chance, err := s.Secret()
	if err != nil {
		return NewFeed{}, err
	}
	f.TokenHash = studio.HashOf(chance)
	err = write(ctx, s, func(t *Gate) error {
		u, err := t.OutletOf(f.Outlet)
		if err != nil {
			return fault.InField(err, "outlet")
		}
		if u.Closed {
			return fault.New(fault.Refused, "this outlet is closed").At("%s", u.Name).In("outlet").ToMend("choose one where prints are sold")
		}
		if err := t.knownMapping(f.Mapping); err != nil {
			return err
		}
		f.Made = t.Now
		if f.ID, err = t.SaveFeed(f); err != nil {
			return err
		}
		return t.Note(0, "feed %s made for %s", f.Name, u.Name)
	})
	return NewFeed{f, strconv.FormatInt(f.ID, 10) + "." + chance}, err
}

func (t *Gate) knownMapping(id int64) error {
	if id == 0 {
		return nil
	}
	_, err := t.Store.HookMapping(id)
	return fault.InField(err, "mapping")
}

// SetFeedBuyers says what becomes of a feed's orders whose buyer may be in the book. Faults: Invalid; Missing.
func SetFeedBuyers(ctx context.Context, s *studio.Studio, id int64, rule order.BuyerRule) error {
	if !slices.Contains(order.BuyerRules(), rule) {
		return fault.Invalidf("buyers", "%.40q is no rule for buyers", string(rule)).ToMend("use take, propose or new")
	}
	return write(ctx, s, func(t *Gate) error {
		f, err := t.Feed(id)
		if err != nil || f.Buyers == rule {
			return err
		}
		f.Buyers = rule
		if _, err := t.SaveFeed(f); err != nil {
			return err
		}
		return t.Note(0, "buyers of feed %s: %s", f.Name, rule)
	})
}

// RevokeFeed ends a feed for ever; its name stays in the list. Faults: Missing; Refused when it was revoked already.
func RevokeFeed(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Gate) error {
		f, err := t.Feed(id)
		if err != nil {
			return err
		}
		if !f.Revoked.IsZero() {
			return fault.New(fault.Refused, "this feed was revoked already").At("%s", f.Name)
		}
		f.Revoked = t.Now
		if _, err := t.SaveFeed(f); err != nil {
			return err
		}
		return t.Note(0, "feed %s revoked", f.Name)
	})
}

// Caller is a feed that calls, with how often it may.
type Caller struct {
	feed.Feed
	AMinute int
}

// CallerOf tells which feed a token belongs to. The token's hash is compared in constant time.
// Faults: Unknown, in the same words whatever is wrong with it.
func CallerOf(ctx context.Context, s *studio.Studio, token string) (Caller, error) {
	var c Caller
	unknown := fault.New(fault.Unknown, "the token is not known here, or was revoked").ToMend("send the token of a feed as it was shown when the feed was made")
	number, chance, _ := strings.Cut(token, ".")
	id, err := strconv.ParseInt(number, 10, 64)
	if err != nil || len(token) > 200 {
		return c, unknown
	}
	err = read(ctx, s, func(t *Gate) (err error) {
		c.AMinute = cmp.Or(t.Set.FeedsAMinute, studio.DefaultFeedsAMinute)
		c.Feed, err = t.Feed(id)
		return err
	})
	if err != nil && !fault.Is(err, fault.Missing) {
		return Caller{}, err
	}
	if err != nil {
		c.TokenHash = studio.HashOf("") // nobody's: as much is compared as for a feed that is there
	}
	same := subtle.ConstantTimeCompare([]byte(c.TokenHash), []byte(studio.HashOf(chance))) == 1
	if err != nil || !same || !c.Revoked.IsZero() {
		return Caller{}, unknown
	}
	return c, nil
}

// mostSecrets bounds the secrets of one web-hook: the old one and the new one are enough for a change.
const mostSecrets = 4

// FeedSecrets lists when the secrets of a feed's web-hook were made, oldest first, without what they are.
func FeedSecrets(ctx context.Context, s *studio.Studio, feedID int64) ([]feed.Secret, error) {
	out := []feed.Secret{}
	err := read(ctx, s, func(t *Gate) error {
		all, err := t.Store.FeedSecrets(feedID)
		if err != nil {
			return err
		}
		for _, x := range all {
			x.Secret = ""
			out = append(out, x)
		}
		return nil
	})
	return out, err
}

// AddFeedSecret adds a secret to a feed's web-hook, beside those it has; given is the one that the sender
// dictates, "" makes one. It returns the secret, which is not shown again. Faults: Invalid, Missing, Refused.
func AddFeedSecret(ctx context.Context, s *studio.Studio, feedID int64, given string) (string, error) {
	secret := strings.TrimSpace(given)
	if secret == "" {
		var err error
		if secret, err = s.Secret(); err != nil {
			return "", err
		}
	}
	var l fault.List
	l.Add(order.Text("secret", secret, 200, true))
	l.Check(len(secret) >= 16, "secret", "a secret of fewer than 16 characters can be guessed", "use a longer one, or leave it empty to have one made")
	if err := l.Err(); err != nil {
		return "", err
	}
	return secret, write(ctx, s, func(t *Gate) error {
		f, err := t.Feed(feedID)
		if err != nil {
			return err
		}
		if err := f.May(feed.HooksWrite); err != nil {
			return fault.New(fault.Refused, "this feed takes no signed messages").At("%s", f.Name).ToMend("make a feed with the scope %s", feed.HooksWrite)
		}
		have, err := t.Store.FeedSecrets(feedID)
		if err != nil {
			return err
		}
		if len(have) >= mostSecrets {
			return fault.New(fault.Refused, "it has %d secrets already", len(have)).At("%s", f.Name).ToMend("drop one that is used no more")
		}
		if slices.ContainsFunc(have, func(h feed.Secret) bool { return h.Secret == secret }) {
			return fault.New(fault.Taken, "it has this secret already").At("%s", f.Name).In("secret").ToMend("choose another")
		}
		if _, err = t.AddFeedSecret(feed.Secret{Feed: feedID, Secret: secret, Made: t.Now}); err != nil {
			return err
		}
		return t.Note(0, "feed %s has a new secret", f.Name)
	})
}

// DropFeedSecret takes a secret of a feed's web-hook away. Faults: Missing.
func DropFeedSecret(ctx context.Context, s *studio.Studio, feedID, secret int64) error {
	return write(ctx, s, func(t *Gate) error {
		f, err := t.Feed(feedID)
		if err != nil {
			return err
		}
		have, err := t.Store.FeedSecrets(feedID)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(have, func(h feed.Secret) bool { return h.ID == secret }) {
			return fault.New(fault.Missing, "this feed has no such secret").At("%s", f.Name)
		}
		if err := t.Store.DropFeedSecret(secret); err != nil {
			return err
		}
		return t.Note(0, "a secret of feed %s dropped", f.Name)
	})
}
