package api

import (
	"log/slog"
	"strings"
	"testing"

	"solander/feed"
	"solander/internal/bed"
	"solander/quote"
)

// A feed that may is told what sending would cost, as the use case says it, with the fee of its own outlet; what is asked wrongly is a problem
// that names the parameter.
func TestQuote(t *testing.T) {
	b := bed.New(t)
	d := &desk{TB: t, studio: b.Studio, handler: New(b.Studio, Options{Log: slog.New(slog.DiscardHandler)})}
	token := "Bearer " + b.Feed("site", feed.QuotesRead).Token
	get := func(what string) answered {
		return d.call(sent{method: "GET", path: "/api/v1/quote" + what, token: token})
	}
	want, err := quote.Ask(b.Ctx, b.Studio, quote.In{Size: "11 x 14", Prints: 2, Postcode: "97201"})
	b.Must(err)
	a := get("?size=11+x+14&prints=2&postcode=97201").is(200)
	if want.Words == "" || a.at("/words") != want.Words || !strings.Contains(a.text, `"not_counted"`) || !strings.Contains(a.text, `"packaging":"`) {
		t.Errorf("%s\nwant %q", a.text, want.Words)
	}
	for what, field := range map[string]string{"": "size", "?size=big": "size", "?size=8+x+10&prints=no": "prints", "?size=8+x+10&prints=0": "prints", "?edition=x": "edition", "?size=8+x+10&worth=lots": "worth", "?size=8+x+10&country=Elsewhere": "country"} {
		if a := get(what).problem(422, "invalid"); !strings.HasPrefix(a.at("/detail"), field+": ") {
			t.Errorf("%s does not name %s: %s", what, field, a.text)
		}
	}
	get("?edition=99").problem(404, "missing")
}
