package lint

import (
	"fmt"
	"slices"
	"strings"

	"solander/measure"
	"solander/money"
	"solander/tariff"
)

// Change is one thing in which a card differs from an older one. Of a cell Was and Now are amounts in minor units and
// Permille is by how much the price changed; of everything else they are -1 and Permille is 0.
type Change struct {
	Kind     string `json:"kind"` // "card", "service", "limit", "surcharge", "dimensional", "cover", "signature", "claims", "zones", "step", "cell"
	Service  string `json:"service,omitempty"`
	Zone     string `json:"zone,omitempty"`
	Step     string `json:"step,omitempty"`
	Was      int64  `json:"was"`
	Now      int64  `json:"now"`
	Permille int64  `json:"permille"`
	Text     string `json:"text"`
}

// Percent is the change of a cell in words.
func (c Change) Percent() string { return percent(c.Permille) }

func percent(permille int64) string {
	sign, n := "+", permille
	if n < 0 {
		sign, n = "−", -n
	}
	return fmt.Sprintf("%s%d.%d %%", sign, n/10, n%10)
}

// Diff says in what card b differs from card a: the head, services, limits, surcharges, rules of mass by volume, cover,
// zones, and every cell. Services are compared by their ids. None: the cards say the same.
func Diff(a, b *tariff.Card) []Change {
	d := &differ{a: a, b: b}
	d.head()
	for i := range a.Services {
		if b.Service(a.Services[i].ID) == nil {
			d.service = a.Services[i].ID
			d.say("service", "%s is gone", a.Services[i].Name)
		}
	}
	for i := range b.Services {
		now := &b.Services[i]
		d.service = now.ID
		was := a.Service(now.ID)
		if was == nil {
			d.say("service", "%s is new", now.Name)
			continue
		}
		d.rules(was, now)
		d.prices(&was.Prices, &now.Prices)
	}
	d.service = ""
	d.zones()
	return d.out
}

// Summary says how far the cells of a service changed, "" when none did: how many, and by how much at least and at most.
func Summary(changes []Change, service string) string {
	n, low, high := 0, int64(0), int64(0)
	for _, c := range changes {
		if c.Kind != "cell" || c.Service != service {
			continue
		}
		if n == 0 || c.Permille < low {
			low = c.Permille
		}
		if n == 0 || c.Permille > high {
			high = c.Permille
		}
		n++
	}
	switch n {
	case 0:
		return ""
	case 1:
		return ": 1 price, by " + percent(low)
	}
	return fmt.Sprintf(": %d prices, by %s to %s", n, percent(low), percent(high))
}

type differ struct {
	a, b    *tariff.Card
	service string
	out     []Change
}

func (d *differ) say(kind, text string, args ...any) {
	d.out = append(d.out, Change{Kind: kind, Service: d.service, Was: -1, Now: -1, Text: fmt.Sprintf(text, args...)})
}

// turned says what something was and is, when it differs.
func (d *differ) turned(kind, what, was, now string) {
	if was == now {
		return
	}
	d.say(kind, "%s: %s → %s", what, orNone(was), orNone(now))
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

func (d *differ) head() {
	a, b := d.a, d.b
	d.turned("card", "series", a.Series, b.Series)
	d.turned("card", "operator", a.Operator, b.Operator)
	d.turned("card", "currency", a.Currency, b.Currency)
	d.turned("card", "first day", a.From.String(), b.From.String())
	d.turned("card", "last day", a.To.String(), b.To.String())
	d.turned("card", "price class", a.PriceClass, b.PriceClass)
	d.turned("card", "source", a.Source, b.Source)
	d.turned("card", "status", a.Status, b.Status)
	d.turned("card", "takes the place of", replacedWords(a), replacedWords(b))
	if a.Note != b.Note {
		d.say("card", "the note is another")
	}
}

func replacedWords(c *tariff.Card) string {
	var out []string
	for _, r := range c.Replaces {
		out = append(out, r.Class+" of "+r.Series)
	}
	return strings.Join(out, ", ")
}

// prices compares two tables, cell by cell where both have the step and the zone.
func (d *differ) prices(was, now *tariff.Prices) {
	if was.By != now.By {
		d.say("step", "prices go by %s instead of by %s", now.By, was.By)
		return
	}
	d.turned("step", "sides rounded before multiplying", rounding(was.Round), rounding(now.Round))
	zones := shared(was.Zones, now.Zones)
	d.lists("zone", was.Zones, now.Zones)
	old := map[step]int{}
	for i, r := range was.Rows {
		old[stepOf(r)] = i
	}
	for _, r := range now.Rows {
		i, ok := old[stepOf(r)]
		if !ok {
			d.say("step", "the step up to %s is new", stepText(r))
			continue
		}
		delete(old, stepOf(r))
		for _, z := range zones {
			d.cell(z, r, was.Rows[i].Prices[column(was.Zones, z)], r.Prices[column(now.Zones, z)])
		}
	}
	for _, r := range was.Rows {
		if _, gone := old[stepOf(r)]; gone {
			d.say("step", "the step up to %s is gone", stepText(r))
		}
	}
}

// cell compares one price.
func (d *differ) cell(zone string, r tariff.Row, was, now tariff.Cell) {
	if was == now {
		return
	}
	c := Change{Kind: "cell", Service: d.service, Zone: zone, Was: int64(was), Now: int64(now)}
	at := tariff.Suspicion{Zone: zone}
	if r.Mass > 0 || r.Volume > 0 {
		c.Step = stepText(r)
		at.Step = c.Step
	}
	c.Text = fmt.Sprintf("%s → %s", d.price(was), d.price(now))
	if was > 0 && now >= 0 && d.a.Currency == d.b.Currency {
		c.Permille = permille(int64(was), int64(now))
		c.Text += ", " + percent(c.Permille)
	}
	if where := at.Cell(); where != "" {
		c.Text = where + ": " + c.Text
	}
	d.out = append(d.out, c)
}

func (d *differ) price(c tariff.Cell) string {
	if c == tariff.NotCarried {
		return "not carried"
	}
	return money.Of(int64(c), d.b.Currency).String()
}

// permille is the change from was to now in thousandths of was, to the nearest.
func permille(was, now int64) int64 {
	if now < was {
		return -((2000*(was-now) + was) / (2 * was))
	}
	return (2000*(now-was) + was) / (2 * was)
}

// step is what makes two rows the same.
type step struct {
	mass   measure.Mass
	volume tariff.Volume
}

func stepOf(r tariff.Row) step { return step{r.Mass, r.Volume} }

func stepText(r tariff.Row) string {
	switch {
	case r.Mass > 0:
		return r.Mass.String()
	case r.Volume > 0:
		return r.Volume.String()
	}
	return "any size"
}

// column is where a zone's prices stand; one column serves every zone.
func column(zones []string, zone string) int { return max(0, slices.Index(zones, zone)) }

// shared is the zones that both tables have, in the order of the newer; of tables with one column each it is "".
func shared(was, now []string) []string {
	if len(was) == 0 && len(now) == 0 {
		return []string{""}
	}
	var out []string
	for _, z := range now {
		if slices.Contains(was, z) {
			out = append(out, z)
		}
	}
	return out
}

// lists says what a list of names gained and lost.
func (d *differ) lists(what string, was, now []string) {
	for _, z := range now {
		if !slices.Contains(was, z) {
			d.say("zones", "%s %s is new", what, z)
		}
	}
	for _, z := range was {
		if !slices.Contains(now, z) {
			d.say("zones", "%s %s is gone", what, z)
		}
	}
}

// zones compares the tables that lead to zones.
func (d *differ) zones() {
	type key struct {
		name   string
		origin tariff.Origin
	}
	old := map[key]*tariff.ZoneTable{}
	for i := range d.a.Zones {
		old[key{d.a.Zones[i].Name, d.a.Zones[i].Origin}] = &d.a.Zones[i]
	}
	for i := range d.b.Zones {
		now := &d.b.Zones[i]
		k := key{now.Name, now.Origin}
		was := old[k]
		delete(old, k)
		if was == nil {
			d.say("zones", "table %s is new", tableName(now))
			continue
		}
		d.rows(was, now)
	}
	for i := range d.a.Zones {
		t := &d.a.Zones[i]
		if _, gone := old[key{t.Name, t.Origin}]; gone {
			d.say("zones", "table %s is gone", tableName(t))
		}
	}
}

func (d *differ) rows(was, now *tariff.ZoneTable) {
	type way struct{ country, from, to string }
	old := map[way]tariff.ZoneRow{}
	for _, r := range was.Rows {
		old[way{r.Country, r.From, r.To}] = r
	}
	for _, r := range now.Rows {
		w := way{r.Country, r.From, r.To}
		o, ok := old[w]
		delete(old, w)
		what := fmt.Sprintf("table %s, %s", tableName(now), wayText(r))
		switch {
		case !ok:
			d.say("zones", "%s: zone %s is new", what, r.Zone)
		default:
			d.turned("zones", what, zoneText(o), zoneText(r))
		}
	}
	for _, r := range was.Rows {
		if _, gone := old[way{r.Country, r.From, r.To}]; gone {
			d.say("zones", "table %s, %s: zone %s is gone", tableName(was), wayText(r), r.Zone)
		}
	}
}

func tableName(t *tariff.ZoneTable) string {
	from := strings.TrimSpace(t.Origin.Country + " " + t.Origin.Prefix)
	if from == "" {
		return t.Name
	}
	return t.Name + " from " + from
}

func wayText(r tariff.ZoneRow) string {
	country := r.Country
	if country == "" {
		country = "every country"
	}
	if r.From == "" {
		return country
	}
	return country + " " + r.From + "–" + r.To
}

func zoneText(r tariff.ZoneRow) string {
	if r.Most == 0 {
		return "zone " + r.Zone
	}
	return "zone " + r.Zone + " up to " + r.Most.String()
}
