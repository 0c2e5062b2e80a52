package feeds_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"strings"
	"testing"

	"solander/book"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/internal/bed"
	"solander/studio"
)

func TestFeedsThatAreRefused(t *testing.T) {
	b := bed.New(t)
	b.Feed("Web", feed.OrdersWrite)
	for field, f := range map[string]feed.Feed{
		"name":    {Name: " ", Outlet: b.Own.ID, Scopes: feed.Scopes()},
		"outlet":  {Name: "x", Scopes: feed.Scopes()},
		"scopes":  {Name: "x", Outlet: b.Own.ID},
		"mapping": {Name: "x", Outlet: b.Own.ID, Scopes: feed.Scopes(), Mapping: -1},
	} {
		if _, err := feeds.AddFeed(b.Ctx, b.Studio, f); !fault.Is(err, fault.Invalid) || fault.All(err)[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	for _, scopes := range [][]feed.Scope{{"orders:all"}, {feed.OrdersRead, feed.OrdersRead}} {
		if _, err := feeds.AddFeed(b.Ctx, b.Studio, feed.Feed{Name: "x", Outlet: b.Own.ID, Scopes: scopes}); !fault.Is(err, fault.Invalid) {
			t.Errorf("%v: %v", scopes, err)
		}
	}
	for code, f := range map[fault.Code]feed.Feed{
		fault.Taken:   {Name: "Web", Outlet: b.Own.ID, Scopes: feed.Scopes()},
		fault.Missing: {Name: "x", Outlet: 99, Scopes: feed.Scopes()},
	} {
		if _, err := feeds.AddFeed(b.Ctx, b.Studio, f); !fault.Is(err, code) {
			t.Errorf("%s: %v", code, err)
		}
	}
	if _, err := feeds.AddFeed(b.Ctx, b.Studio, feed.Feed{Name: "x", Outlet: b.Own.ID, Scopes: feed.Scopes(), Mapping: 99}); !fault.Is(err, fault.Missing) {
		t.Errorf("an unknown mapping: %v", err)
	}
	closed := b.Own
	closed.Closed = true
	if _, err := house.SaveOutlet(b.Ctx, b.Studio, closed); err != nil {
		t.Fatal(err)
	}
	if _, err := feeds.AddFeed(b.Ctx, b.Studio, feed.Feed{Name: "x", Outlet: b.Own.ID, Scopes: feed.Scopes()}); !fault.Is(err, fault.Refused) {
		t.Errorf("a closed outlet: %v", err)
	}
}

// A token is 256 bits of chance, no two are the same, and no copy of the studio holds one.
func TestTokens(t *testing.T) {
	b := bed.New(t)
	first, second := b.Feed("one", feed.OrdersRead), b.Feed("two", feed.OrdersRead)
	_, chance, _ := strings.Cut(first.Token, ".")
	_, other, _ := strings.Cut(second.Token, ".")
	if len(chance) != 43 || chance == other { // 43 signs of six bits hold 256
		t.Errorf("tokens %q, %q", first.Token, second.Token)
	}
	if c, err := feeds.CallerOf(b.Ctx, b.Studio, first.Token); err != nil || c.ID != first.ID || c.AMinute != studio.DefaultFeedsAMinute {
		t.Errorf("%+v, %v", c, err)
	}
	if _, err := feeds.CallerOf(b.Ctx, b.Studio, "1."+other); !fault.Is(err, fault.Unknown) {
		t.Errorf("another's token: %v", err)
	}
	var copied bytes.Buffer
	if err := house.Backup(b.Ctx, b.Studio, &copied); err != nil {
		t.Fatal(err)
	}
	zip, err := gzip.NewReader(&copied)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(zip)
	if err != nil || strings.Contains(string(text), chance) || !strings.Contains(string(text), first.TokenHash) {
		t.Errorf("the copy holds the token, or not its hash (%v)", err)
	}
	broken := studio.New(b.Open(b.Path), studio.Options{Random: strings.NewReader("too short")})
	if _, err := feeds.AddFeed(b.Ctx, broken, feed.Feed{Name: "x", Outlet: b.Own.ID, Scopes: feed.Scopes()}); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("without enough chance: %v", err)
	}
}

// A failure between the write and its answer leaves neither; the same request then is done once.
func TestAFailureBetweenWriteAndAnswer(t *testing.T) {
	b := bed.New(t)
	f := b.Feed("Web", feed.OrdersWrite)
	c := feeds.FeedCall{Feed: f.ID, Key: "k", Print: "p", Say: func(feeds.FeedOrder) (string, error) { return "", errors.New("the machine fails here") }}
	if _, err := feeds.FeedTake(b.Ctx, b.Studio, c, b.FedSale("A-1")); err == nil {
		t.Fatal("it did not fail")
	}
	if page, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, ""); err != nil || len(page.Rows) != 0 {
		t.Fatalf("%d orders were kept, %v", len(page.Rows), err)
	}
	c.Say = bed.MarkOf
	for range 2 {
		if mark, err := feeds.FeedTake(b.Ctx, b.Studio, c, b.FedSale("A-1")); err != nil || mark != "S-1001" {
			t.Errorf("%q, %v", mark, err)
		}
	}
	if page, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, ""); err != nil || len(page.Rows) != 1 || page.Rows[0].Prints[0] != "1/250 Heron at dusk" && !strings.HasPrefix(page.Rows[0].Prints[0], "1/") {
		t.Errorf("the book holds %+v, %v", page.Rows, err)
	}
}

func TestSecretsOfAFeed(t *testing.T) {
	b := bed.New(t)
	calls, hooks := b.Feed("calls", feed.OrdersRead), b.Feed("hooks", feed.HooksWrite)
	if _, err := feeds.AddFeedSecret(b.Ctx, b.Studio, calls.ID, ""); !fault.Is(err, fault.Refused) {
		t.Errorf("a feed without a web-hook: %v", err)
	}
	for _, bad := range []string{"short", strings.Repeat("x", 201), "line\nline line line"} {
		if _, err := feeds.AddFeedSecret(b.Ctx, b.Studio, hooks.ID, bad); !fault.Is(err, fault.Invalid) {
			t.Errorf("%.20q: %v", bad, err)
		}
	}
	given := "dictated by the sender"
	if got, err := feeds.AddFeedSecret(b.Ctx, b.Studio, hooks.ID, " "+given+" "); err != nil || got != given {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := feeds.AddFeedSecret(b.Ctx, b.Studio, hooks.ID, given); !fault.Is(err, fault.Taken) {
		t.Errorf("the same again: %v", err)
	}
	for range 3 {
		if got, err := feeds.AddFeedSecret(b.Ctx, b.Studio, hooks.ID, ""); err != nil || len(got) != 43 {
			t.Errorf("%q, %v", got, err)
		}
	}
	if _, err := feeds.AddFeedSecret(b.Ctx, b.Studio, hooks.ID, ""); !fault.Is(err, fault.Refused) {
		t.Errorf("a fifth: %v", err)
	}
	secrets, err := feeds.FeedSecrets(b.Ctx, b.Studio, hooks.ID)
	if err != nil || len(secrets) != 4 || secrets[0].Secret != "" {
		t.Errorf("listed are %+v, %v", secrets, err)
	}
	if err := feeds.DropFeedSecret(b.Ctx, b.Studio, calls.ID, secrets[0].ID); !fault.Is(err, fault.Missing) {
		t.Errorf("another feed's: %v", err)
	}
	if err := feeds.DropFeedSecret(b.Ctx, b.Studio, hooks.ID, secrets[0].ID); err != nil {
		t.Error(err)
	}
}

// A feed and its mapping change together: what a feed that is gone should have read is not kept either.
func TestAFeedIsMappedAtOnce(t *testing.T) {
	b := bed.New(t)
	f := b.Feed("Till", feed.HooksWrite)
	m := feed.Mapping{Name: "till", Body: []byte(`{"format": "solander-hook/1", "order": {"ref": "/no", "buyer.name": "/who", "ship_to.line1": "/street", "ship_to.city": "/town", "ship_to.country": "US"}, "lines": "/items", "line": {"edition": "/code"}, "editions": {"HD": 1}}`)}
	first := bed.Must(feeds.MapFeed(b.Ctx, b.Studio, f.ID, m))
	m.Body = []byte(strings.Replace(string(m.Body), "/code", "/print", 1))
	again := bed.Must(feeds.MapFeed(b.Ctx, b.Studio, f.ID, m))
	if got := bed.Must(feeds.Feed(b.Ctx, b.Studio, f.ID)); again.ID != first.ID || got.Mapping != first.ID {
		t.Errorf("mapping %d in the place of %d; the feed reads by %d", again.ID, first.ID, got.Mapping)
	}
	if err := feeds.RevokeFeed(b.Ctx, b.Studio, f.ID); err != nil {
		t.Fatal(err)
	}
	m.Name = "another"
	if _, err := feeds.MapFeed(b.Ctx, b.Studio, f.ID, m); !fault.Is(err, fault.Refused) {
		t.Errorf("a revoked feed: %v", err)
	}
	if all := bed.Must(feeds.HookMappings(b.Ctx, b.Studio)); len(all) != 1 || string(all[0].Body) != string(again.Body) {
		t.Errorf("there are %d mappings: %v", len(all), all)
	}
}
