package tariff

import (
	"slices"
	"testing"

	"solander/calendar"
	"solander/fault"
)

// Both days are in, and are counted from the day of posting: 60 days after 2026-03-04 is 2026-05-03 (27 days of March, 30 of April, 3 of May).
func TestClaimDays(t *testing.T) {
	posted := calendar.Date(2026, 3, 4)
	w := &Window{From: 15, Until: 60}
	first, last, stated := w.Days(posted)
	if !stated || first != calendar.Date(2026, 3, 19) || last != calendar.Date(2026, 5, 3) {
		t.Errorf("from %s to %s, stated %v", first, last, stated)
	}
	if w.Words() != "from day 15 to day 60" || (&Window{Until: 60}).Words() != "until day 60" {
		t.Errorf("%q", w.Words())
	}
	var none *Window
	if _, _, stated := none.Days(posted); stated || none.Words() != "" {
		t.Error("what no card says is told all the same")
	}
}

func TestClaimsOfACardAreLookedAt(t *testing.T) {
	for name, c := range map[string]struct {
		claims Claims
		field  string
	}{
		"whole":          {Claims{Damaged: &Window{Until: 60}, Lost: &Window{From: 15, Until: 60, Status: "secondary"}}, ""},
		"one day":        {Claims{Lost: &Window{From: 7, Until: 7}}, ""},
		"ends too early": {Claims{Lost: &Window{From: 15, Until: 14}}, "services[0].claims.lost.until"},
		"negative":       {Claims{Damaged: &Window{From: -1, Until: 4}}, "services[0].claims.damaged.until"},
		"too long":       {Claims{Missing: &Window{Until: 3651}}, "services[0].claims.missing.until"},
		"no status":      {Claims{Missing: &Window{Until: 60, Status: "rumour"}}, "services[0].claims.missing.status"},
	} {
		card := ground()
		card.Services[0].Claims = &c.claims
		err := card.Check("")
		if c.field == "" && err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if c.field != "" && !slices.ContainsFunc(fault.All(err), func(f *fault.Error) bool { return f.Field == c.field }) {
			t.Errorf("%s: %v, want a fault in %s", name, err, c.field)
		}
	}
}
