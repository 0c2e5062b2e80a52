package tariff

import (
	"testing"

	"solander/calendar"
	"solander/measure"
)

// Each case changes one thing and names the rule that must break first.
func TestTheFirstBrokenRule(t *testing.T) {
	flat := func(c *Card) *Service { return &c.Services[0] }
	for name, c := range map[string]struct {
		change func(*Service)
		parcel func(*Parcel)
		extras Extras
		want   string
	}{
		"nothing":                {want: ""},
		"issued":                 {parcel: func(p *Parcel) { p.IssuedFor = []string{"priority"} }, want: "service.issued"},
		"issued for it":          {parcel: func(p *Parcel) { p.IssuedFor = []string{"ground"} }, want: ""},
		"container by mass":      {parcel: func(p *Parcel) { p.Container = "box" }, want: "service.container"},
		"container's own price":  {change: func(s *Service) { s.Container = "box" }, parcel: func(p *Parcel) { p.Container = "box" }, want: ""},
		"container without it":   {change: func(s *Service) { s.Container = "box" }, want: "service.container"},
		"form":                   {change: func(s *Service) { s.Forms = []Form{Cylinder} }, want: "service.form"},
		"stiff":                  {change: func(s *Service) { s.Flexible = true }, want: "service.flexible"},
		"bends":                  {change: func(s *Service) { s.Flexible = true }, parcel: func(p *Parcel) { p.Stiff = false }, want: ""},
		"limit of another form":  {change: func(s *Service) { s.Limits = []Bound{{Form: Cylinder, Measure: Length, Max: ptr(int64(1))}} }, want: ""},
		"smallest length":        {change: func(s *Service) { s.Limits = []Bound{{Measure: Length, Min: ptr(int64(10*in + 1))}} }, want: "limit.length"},
		"more than":              {change: func(s *Service) { s.Limits = []Bound{{Measure: Length, Over: ptr(int64(10 * in))}} }, want: "limit.length"},
		"less than":              {change: func(s *Service) { s.Limits = []Bound{{Measure: Width, Under: ptr(int64(8 * in))}} }, want: "limit.width"},
		"tracking":               {change: func(s *Service) { s.Tracking = false }, extras: Extras{Tracking: true}, want: "service.tracking"},
		"too heavy for the list": {parcel: func(p *Parcel) { p.Mass = 70*lb - 1 }, change: func(s *Service) { s.Prices.Rows = s.Prices.Rows[:2] }, want: "price.step"},
		"dash":                   {change: func(s *Service) { s.Prices.Rows[0].Prices = []Cell{NotCarried, 1} }, want: "price.dash"},
		"cover":                  {change: func(s *Service) { s.Cover = nil }, extras: Extras{Cover: 1}, want: "cover.most"},
		"signature":              {change: func(s *Service) { s.Signature = nil }, extras: Extras{Signature: true}, want: "service.signature"},
	} {
		card := ground()
		if c.change != nil {
			c.change(flat(card))
		}
		p := box(10*in, 8*in, in, 4*oz)
		if c.parcel != nil {
			c.parcel(p)
		}
		o := offer(card, near)
		_, why := o.Price(p, c.extras)
		got := ""
		if why != nil {
			got = why.Rule
			if why.Text == "" {
				t.Errorf("%s: no words", name)
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
		if _, ok := o.Cost(p, c.extras); ok != (c.want == "") {
			t.Errorf("%s: Cost and Price disagree", name)
		}
	}
}

func TestWays(t *testing.T) {
	for name, c := range map[string]struct {
		from, to Place
		change   func(*Card)
		want     string
	}{
		"near":                    {roanoke, near, nil, ""},
		"abroad":                  {roanoke, Place{"CA", "K1A"}, nil, "service.destination"},
		"country not served":      {roanoke, near, func(c *Card) { c.Services[0].Countries = []string{"CA"} }, "service.destination"},
		"origin without a table":  {Place{"US", "97201"}, near, nil, "zone.origin"},
		"destination without row": {roanoke, Place{"US", "10001"}, nil, "zone.destination"},
		"postcode too short":      {roanoke, Place{"US", "90"}, nil, "zone.destination"},
		"zone without column":     {roanoke, Place{"US", "96910"}, nil, "price.zone"},
		"no zones": {Place{"US", "97201"}, near, func(c *Card) {
			s := &c.Services[0]
			s.Zones, s.Prices.Zones = "", nil
			s.Prices.Rows = []Row{{Mass: lb, Prices: []Cell{5}}}
		}, ""},
	} {
		card := ground()
		if c.change != nil {
			c.change(card)
		}
		_, why := NewOffer(card, &card.Services[0], c.from, c.to)
		got := ""
		if why != nil {
			got = why.Rule
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

func TestZoneMass(t *testing.T) {
	c := ground()
	c.Zones[0].Rows[0].Most = measure.Pound
	o := offer(c, near)
	if _, ok := o.Cost(box(10*in, 8*in, in, lb), Extras{}); !ok {
		t.Error("a pound is refused")
	}
	if _, why := o.Price(box(10*in, 8*in, in, lb+1), Extras{}); why == nil || why.Rule != "zone.mass" {
		t.Errorf("more than a pound is taken: %+v", why)
	}
}

func TestSelectTakesTheLatestOfEachSeries(t *testing.T) {
	cards := []Card{
		{ID: "a1", Series: "a", From: day("2025-07-13"), To: day("2025-10-04"), PriceClass: "retail"},
		{ID: "a2", Series: "a", From: day("2025-10-05"), To: day("2026-01-18"), PriceClass: "retail"},
		{ID: "b1", Series: "b", From: day("2025-10-05"), PriceClass: "commercial"},
	}
	ids := func(cs []*Card) string {
		s := ""
		for _, c := range cs {
			s += c.ID + " "
		}
		return s
	}
	for _, c := range []struct{ day, class, want string }{
		{"2025-07-12", "", ""}, {"2025-10-04", "", "a1 "}, {"2025-10-05", "", "a2 b1 "}, {"2027-01-01", "", "a2 b1 "}, {"2025-10-05", "retail", "a2 "},
	} {
		var classes []string
		if c.class != "" {
			classes = []string{c.class}
		}
		if got := ids(Select(cards, classes, day(c.day))); got != c.want {
			t.Errorf("%s %s: %q, want %q", c.day, c.class, got, c.want)
		}
	}
	for _, c := range []struct{ id, day, want string }{{"a2", "2026-01-18", ""}, {"a2", "2026-01-19", "card.ended"}, {"b1", "2026-10-06", ""}, {"b1", "2026-10-07", "card.old"}} {
		for i := range cards {
			if code, text := cards[i].Stale(day(c.day)); cards[i].ID == c.id && (code != c.want || (code == "") != (text == "")) {
				t.Errorf("%s on %s: %q %q", c.id, c.day, code, text)
			}
		}
	}
}

func TestDaysInThePost(t *testing.T) {
	holidays := []calendar.Day{day("2025-11-11")}
	for _, c := range []struct {
		from    string
		max     int
		counted Counting
		want    string
	}{
		{"2025-11-03", 5, DeliveryDays, "2025-11-08"}, // a Monday; Saturday counts
		{"2025-11-06", 5, DeliveryDays, "2025-11-13"}, // Thursday; Sunday the 9th and Veterans Day are left out
		{"2025-11-06", 5, CalendarDays, "2025-11-11"},
		{"2025-11-06", 2, WeekDays, "2025-11-10"},
		{"2025-11-09", 0, DeliveryDays, "2025-11-09"},
	} {
		d := Days{Max: c.max, Counted: c.counted}
		if got := d.Arrives(day(c.from), holidays).String(); got != c.want {
			t.Errorf("%s + %d %s: %s, want %s", c.from, c.max, c.counted, got, c.want)
		}
	}
}
