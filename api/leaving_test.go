package api

import (
	"log/slog"
	"strings"
	"testing"

	"solander/feed"
	"solander/internal/bed"
	"solander/leaving"
	"solander/measure"
	"solander/studio"
)

// A feed that may print the day's papers is told by which ways its parcels leave; nothing while nobody said how.
func TestLeaving(t *testing.T) {
	b := bed.New(t)
	d := &desk{TB: t, studio: b.Studio, handler: New(b.Studio, Options{Log: slog.New(slog.DiscardHandler)})}
	get := func(what string, scope feed.Scope) answered {
		return d.call(sent{method: "GET", path: "/api/v1/leaving" + what, token: "Bearer " + b.Feed("site for "+what+string(scope), scope).Token})
	}
	card, heron := b.Ready(b.Card.ID), b.Ready(b.Heron.ID)
	if a := get("", feed.PapersRead).is(200); a.at("/text") != "" || !strings.Contains(a.text, `"trips":[]`) {
		t.Errorf("before anything is said: %s", a.text)
	}
	b.ChangeSettings(func(s *studio.Settings) {
		s.Leaving = []leaving.Way{{ID: "mailbox", Name: "the mailbox", Kind: leaving.Mailbox, Opening: &leaving.Opening{Length: 12 * measure.Inch, Width: measure.Inch}}}
	})
	a := get("?day=2026-03-04", feed.PapersRead).is(200)
	if a.at("/text") != "1 to the mailbox, 1 stays" || a.at("/trips/0/orders/0") != card.Mark || a.at("/stays/0/order") != heron.Mark || a.at("/stays/0/mend") == "" || a.at("/day") != "2026-03-04" {
		t.Errorf("%s", a.text)
	}
	get("?day=someday", feed.PapersRead).problem(422, "invalid")
	get("", feed.QuotesRead).problem(403, "denied")
}
