package api

import (
	"log/slog"
	"strings"
	"testing"

	"solander/feed"
	"solander/internal/bed"
	"solander/waiting"
)

// A feed that may print the papers of the day is told the days ahead, as the use case says them; another is not, and what is asked wrongly is a
// problem that names the parameter.
func TestAhead(t *testing.T) {
	b := bed.New(t)
	d := &desk{TB: t, studio: b.Studio, handler: New(b.Studio, Options{Log: slog.New(slog.DiscardHandler)})}
	token := "Bearer " + b.Feed("site", feed.PapersRead).Token
	b.Combine(true)
	here, comes := b.Ready(b.Card.ID), b.Paid(b.Card.ID)
	want, err := waiting.Ahead(b.Ctx, b.Studio, 0)
	b.Must(err)
	get := func(what, token string) answered {
		return d.call(sent{method: "GET", path: "/api/v1/ahead" + what, token: token})
	}
	a := get("", token).is(200)
	if a.at("/orders/0/mark") != here.Mark || a.at("/orders/0/with/0") != comes.Mark || a.at("/orders/0/text") != want.Orders[0].Text || !want.Orders[0].Waits {
		t.Errorf("%s\nwant %+v", a.text, want)
	}
	if got := get("?days=1", token).is(200); !strings.Contains(got.text, `"waits":false`) {
		t.Errorf("of today alone: %s", got.text)
	}
	for _, days := range []string{"0", "x", "99"} {
		if a := get("?days="+days, token).problem(422, "invalid"); !strings.HasPrefix(a.at("/detail"), "days: ") {
			t.Errorf("%s: %s", days, a.text)
		}
	}
	get("", "Bearer "+b.Feed("other", feed.QuotesRead).Token).problem(403, "denied")
}
