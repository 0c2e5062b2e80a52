package api

import (
	"log/slog"
	"strings"
	"testing"

	"solander/feed"
	"solander/internal/bed"
	"solander/internal/testpdf"
)

// A feed that may is given the papers of the day as PDF, and no other is; what cannot be is a problem, not a file.
func TestPapersOfTheDay(t *testing.T) {
	b := bed.New(t)
	d := &desk{TB: t, studio: b.Studio, handler: New(b.Studio, Options{Log: slog.New(slog.DiscardHandler)})}
	token := "Bearer " + b.Feed("printer", feed.PapersRead).Token
	get := func(what string) answered {
		return d.call(sent{method: "GET", path: "/api/v1/papers/" + what, token: token})
	}
	get("labels").problem(409, "refused")
	b.Ready(b.Heron.ID)
	for what, pages := range map[string]int{"wraps": 1, "slips": 1, "labels": 1, "everything": 3, "stickers?size=4x2in&first=3": 1, "stickers?paper=a4&columns=2&rows=4&width=99mm&height=68mm&across=101mm&down=68mm": 1} {
		a := get(what).is(200)
		if a.header.Get("Content-Type") != "application/pdf" {
			t.Errorf("%s is %s", what, a.header.Get("Content-Type"))
		}
		if n := len(testpdf.Pages(t, []byte(a.text))); n != pages {
			t.Errorf("%s has %d pages, want %d", what, n, pages)
		}
	}
	for what, field := range map[string]string{"nothing": "kind", "labels?day=soon": "day", "stickers?size=huge": "size", "stickers?size=4x2in&first=11": "first", "stickers?size=4x2in&first=x": "first", "stickers?paper=a4&columns=1&rows=1&width=5xx&height=5cm": "width"} {
		if a := get(what).problem(422, "invalid"); !strings.HasPrefix(a.at("/detail"), field+": ") {
			t.Errorf("%s does not name %s: %s", what, field, a.text)
		}
	}
	if a := get("stickers?paper=a4&columns=3&rows=4&width=99mm&height=68mm&across=101mm&down=68mm").problem(409, "refused"); !strings.Contains(a.text, "larger than its paper") {
		t.Errorf("%s", a.text)
	}
}
