package studio_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"strings"
	"testing"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

func (b *bed) feed(name string, scopes ...studio.Scope) studio.NewFeed {
	b.Helper()
	f, err := b.AddFeed(b.ctx, studio.Feed{Name: name, Outlet: b.own.ID, Scopes: scopes})
	if err != nil {
		b.Fatal(err)
	}
	return f
}

// fedSale is a sale as a feed sends it.
func (b *bed) fedSale(ref string) studio.Sale {
	return studio.Sale{Ref: ref, Buyer: order.Buyer{Name: "Ada Quill"}, ShipTo: home(), Lines: []studio.SaleLine{{Edition: b.heron.ID}}}
}

func markOf(v studio.FeedOrder) (string, error) { return v.Mark, nil }

func TestFeedsThatAreRefused(t *testing.T) {
	b := newBed(t)
	b.feed("Web", studio.ScopeOrdersWrite)
	for field, f := range map[string]studio.Feed{
		"name":    {Name: " ", Outlet: b.own.ID, Scopes: studio.Scopes()},
		"outlet":  {Name: "x", Scopes: studio.Scopes()},
		"scopes":  {Name: "x", Outlet: b.own.ID},
		"mapping": {Name: "x", Outlet: b.own.ID, Scopes: studio.Scopes(), Mapping: -1},
	} {
		if _, err := b.AddFeed(b.ctx, f); !fault.Is(err, fault.Invalid) || fault.All(err)[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	for _, scopes := range [][]studio.Scope{{"orders:all"}, {studio.ScopeOrdersRead, studio.ScopeOrdersRead}} {
		if _, err := b.AddFeed(b.ctx, studio.Feed{Name: "x", Outlet: b.own.ID, Scopes: scopes}); !fault.Is(err, fault.Invalid) {
			t.Errorf("%v: %v", scopes, err)
		}
	}
	for code, f := range map[fault.Code]studio.Feed{
		fault.Taken:   {Name: "Web", Outlet: b.own.ID, Scopes: studio.Scopes()},
		fault.Missing: {Name: "x", Outlet: 99, Scopes: studio.Scopes()},
	} {
		if _, err := b.AddFeed(b.ctx, f); !fault.Is(err, code) {
			t.Errorf("%s: %v", code, err)
		}
	}
	if _, err := b.AddFeed(b.ctx, studio.Feed{Name: "x", Outlet: b.own.ID, Scopes: studio.Scopes(), Mapping: 99}); !fault.Is(err, fault.Missing) {
		t.Errorf("an unknown mapping: %v", err)
	}
	closed := b.own
	closed.Closed = true
	if _, err := b.SaveOutlet(b.ctx, closed); err != nil {
		t.Fatal(err)
	}
	if _, err := b.AddFeed(b.ctx, studio.Feed{Name: "x", Outlet: b.own.ID, Scopes: studio.Scopes()}); !fault.Is(err, fault.Refused) {
		t.Errorf("a closed outlet: %v", err)
	}
}

// A token is 256 bits of chance, no two are the same, and no copy of the studio holds one.
func TestTokens(t *testing.T) {
	b := newBed(t)
	first, second := b.feed("one", studio.ScopeOrdersRead), b.feed("two", studio.ScopeOrdersRead)
	_, chance, _ := strings.Cut(first.Token, ".")
	_, other, _ := strings.Cut(second.Token, ".")
	if len(chance) != 43 || chance == other { // 43 signs of six bits hold 256
		t.Errorf("tokens %q, %q", first.Token, second.Token)
	}
	if c, err := b.Caller(b.ctx, first.Token); err != nil || c.ID != first.ID || c.AMinute != studio.DefaultFeedsAMinute {
		t.Errorf("%+v, %v", c, err)
	}
	if _, err := b.Caller(b.ctx, "1."+other); !fault.Is(err, fault.Unknown) {
		t.Errorf("another's token: %v", err)
	}
	var copied bytes.Buffer
	if err := b.Backup(b.ctx, &copied); err != nil {
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
	broken := studio.New(b.open(b.path), studio.Options{Random: strings.NewReader("too short")})
	if _, err := broken.AddFeed(b.ctx, studio.Feed{Name: "x", Outlet: b.own.ID, Scopes: studio.Scopes()}); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("without enough chance: %v", err)
	}
}

// A failure between the write and its answer leaves neither; the same request then is done once.
func TestAFailureBetweenWriteAndAnswer(t *testing.T) {
	b := newBed(t)
	f := b.feed("Web", studio.ScopeOrdersWrite)
	c := studio.FeedCall{Feed: f.ID, Key: "k", Print: "p", Say: func(studio.FeedOrder) (string, error) { return "", errors.New("the machine fails here") }}
	if _, err := b.FeedTake(b.ctx, c, b.fedSale("A-1")); err == nil {
		t.Fatal("it did not fail")
	}
	if page, err := b.Orders(b.ctx, studio.OrderQuery{}, ""); err != nil || len(page.Rows) != 0 {
		t.Fatalf("%d orders were kept, %v", len(page.Rows), err)
	}
	c.Say = markOf
	for range 2 {
		if mark, err := b.FeedTake(b.ctx, c, b.fedSale("A-1")); err != nil || mark != "S-1001" {
			t.Errorf("%q, %v", mark, err)
		}
	}
	if page, err := b.Orders(b.ctx, studio.OrderQuery{}, ""); err != nil || len(page.Rows) != 1 || page.Rows[0].Prints[0] != "1/250 Heron at dusk" && !strings.HasPrefix(page.Rows[0].Prints[0], "1/") {
		t.Errorf("the book holds %+v, %v", page.Rows, err)
	}
}

func TestSecretsOfAFeed(t *testing.T) {
	b := newBed(t)
	calls, hooks := b.feed("calls", studio.ScopeOrdersRead), b.feed("hooks", studio.ScopeHooksWrite)
	if _, err := b.AddFeedSecret(b.ctx, calls.ID, ""); !fault.Is(err, fault.Refused) {
		t.Errorf("a feed without a web-hook: %v", err)
	}
	for _, bad := range []string{"short", strings.Repeat("x", 201), "line\nline line line"} {
		if _, err := b.AddFeedSecret(b.ctx, hooks.ID, bad); !fault.Is(err, fault.Invalid) {
			t.Errorf("%.20q: %v", bad, err)
		}
	}
	given := "dictated by the sender"
	if got, err := b.AddFeedSecret(b.ctx, hooks.ID, " "+given+" "); err != nil || got != given {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := b.AddFeedSecret(b.ctx, hooks.ID, given); !fault.Is(err, fault.Taken) {
		t.Errorf("the same again: %v", err)
	}
	for range 3 {
		if got, err := b.AddFeedSecret(b.ctx, hooks.ID, ""); err != nil || len(got) != 43 {
			t.Errorf("%q, %v", got, err)
		}
	}
	if _, err := b.AddFeedSecret(b.ctx, hooks.ID, ""); !fault.Is(err, fault.Refused) {
		t.Errorf("a fifth: %v", err)
	}
	secrets, err := b.FeedSecrets(b.ctx, hooks.ID)
	if err != nil || len(secrets) != 4 || secrets[0].Secret != "" {
		t.Errorf("listed are %+v, %v", secrets, err)
	}
	if err := b.DropFeedSecret(b.ctx, calls.ID, secrets[0].ID); !fault.Is(err, fault.Missing) {
		t.Errorf("another feed's: %v", err)
	}
	if err := b.DropFeedSecret(b.ctx, hooks.ID, secrets[0].ID); err != nil {
		t.Error(err)
	}
}
