package tariff

import (
	"errors"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/fault"
	"solander/money"
)

// Check reports every fault of a card as faults whose Field begins with path. A card that passes can
// price any parcel without a panic. See Suspicions for what is possible but odd.
func (c *Card) Check(path string) error {
	var whole *fault.Path
	return c.check(whole.To(path))
}

func (c *Card) check(path fault.Path) error {
	k := &checker{card: c}
	k.id(path, c.ID, map[string]bool{}, "")
	k.at(path, c.Series != "", "series", "is missing", "name the series that the card belongs to")
	k.at(path, c.Operator != "", "operator", "is missing", "name the operator")
	k.at(path, c.Source != "", "source", "is missing", "say where the prices were published")
	k.at(path, c.PriceClass != "", "price_class", "is missing", "write counter, commercial or the like")
	k.at(path, known(c.Status, Statuses()), "status", "is not a status", "use one of "+strings.Join(Statuses(), ", "))
	k.at(path, money.Known(c.Currency), "currency", "is not a currency code", "use an ISO 4217 code such as USD")
	k.at(path, !c.From.IsZero(), "from", "is missing", "write the first day, 2025-10-05")
	k.at(path, c.To.IsZero() || !c.To.Before(c.From), "to", "lies before the first day", "correct one of the two")
	k.at(path, len(c.Services) > 0, "services", "is empty", "a card has at least one service")
	for i, r := range c.Replaces {
		p := path.Entry("replaces", i)
		k.at(p, r.Series != "" && r.Series != c.Series, "series", "is missing or the card's own", "name the series of another card")
		k.at(p, r.Class != "", "class", "is missing", "name the class of mail that this card holds anew")
	}
	for i := range c.Zones {
		k.zones(path.Entry("zones", i), &c.Zones[i])
	}
	ids := map[string]bool{}
	for i := range c.Services {
		p := path.Entry("services", i)
		k.id(p, c.Services[i].ID, ids, "ids of the services of a card differ")
		k.service(p, &c.Services[i])
	}
	return errors.Join(k.faults...)
}

// Statuses returns the words that say how a price is known, in a fixed order.
func Statuses() []string {
	return []string{"primary", "secondary", "extrapolated", "estimated", "invented"}
}

// IsID reports whether a text is an id: 1 to 80 characters, no space at either end, no control characters.
func IsID(id string) bool {
	return id != "" && utf8.RuneCountInString(id) <= 80 && strings.TrimSpace(id) == id && strings.IndexFunc(id, unicode.IsControl) < 0
}

// id checks the form of an id and that it is not in seen yet.
func (k *checker) id(path fault.Path, id string, seen map[string]bool, differ string) {
	ok := IsID(id)
	k.at(path, ok, "id", "is missing or no id", "1 to 80 characters, no space at either end, no control characters")
	k.at(path, !ok || !seen[id], "id", "is used twice", differ)
	seen[id] = true
}

func known[T ~string](v T, list []T) bool {
	for _, l := range list {
		if v == l {
			return true
		}
	}
	return false
}

type checker struct {
	card   *Card
	faults []error
}

func (k *checker) at(path fault.Path, ok bool, field, what, mend string) {
	if !ok {
		at := path.To(field)
		f := at.String()
		k.faults = append(k.faults, fault.Invalidf(f, "%s %s", field, what).At("%s", f).ToMend("%s", mend))
	}
}

func (k *checker) status(path fault.Path, status string) {
	if status != "" && !known(status, Statuses()) {
		k.at(path, false, "status", "is not a status", "use one of "+strings.Join(Statuses(), ", "))
	}
}

func (k *checker) zones(path fault.Path, t *ZoneTable) {
	k.at(path, t.Name != "", "name", "is missing", "name the table")
	k.at(path, t.Source != "", "source", "is missing", "say where the zones were published")
	k.at(path, known(t.Status, Statuses()), "status", "is not a status", "use one of "+strings.Join(Statuses(), ", "))
	k.at(path, t.Origin.Country == "" || country(t.Origin.Country), "origin.country", "is not a country", "two capital letters")
	k.at(path, len(t.Rows) > 0, "rows", "is empty", "a table has at least one row")
	for i, r := range t.Rows {
		p := path.Entry("rows", i)
		k.at(p, r.Country == "" || country(r.Country), "country", "is not a country", "two capital letters")
		k.at(p, r.Zone != "", "zone", "is missing", "name the zone")
		k.at(p, len(r.From) == len(r.To), "to", "has another length than from", "make them equally long")
		k.at(p, r.From <= r.To, "to", "comes before from", "exchange them")
		k.at(p, r.From == Postcode(r.From) && r.To == Postcode(r.To), "from", "has spaces, hyphens or small letters", "write it as it is compared")
	}
}

func country(code string) bool {
	return len(code) == 2 && code[0] >= 'A' && code[0] <= 'Z' && code[1] >= 'A' && code[1] <= 'Z'
}

func (k *checker) service(p fault.Path, s *Service) {
	k.at(p, s.Class != "", "class", "is missing", "name the class of mail")
	k.at(p, s.Name != "", "name", "is missing", "name the service")
	k.status(p, s.Status)
	for _, c := range s.Countries {
		k.at(p, country(c), "countries", "holds "+c+", which is not a country", "two capital letters")
	}
	for _, f := range s.Forms {
		k.at(p, f == Box || f == Cylinder, "forms", "holds an unknown form", "use box or cylinder")
	}
	k.at(p, s.Zones == "" || k.hasTable(s.Zones), "zones", "names a table that the card does not hold", "add the table or correct the name")
	for i := range s.Limits {
		k.bound(p.Entry("limits", i), &s.Limits[i])
	}
	k.prices(p.To("prices"), &s.Prices)
	k.days(p.To("days"), s.Days)
	k.dimensional(p.To("dimensional"), s.Dimensional)
	k.cover(p.To("cover"), s.Cover)
	k.claims(p.To("claims"), s.Claims)
	k.at(p, s.Signature == nil || amount(*s.Signature), "signature", "is not an amount", "a whole number of minor units")
	ids := map[string]bool{}
	for i := range s.Surcharges {
		q := p.Entry("surcharges", i)
		k.id(q, s.Surcharges[i].ID, ids, "ids of the surcharges of a service differ")
		k.surcharge(q, &s.Surcharges[i])
	}
}

func amount(n int64) bool { return n >= 0 && n <= MostMinor }

func (k *checker) hasTable(name string) bool {
	for i := range k.card.Zones {
		if k.card.Zones[i].Name == name {
			return true
		}
	}
	return false
}

func (k *checker) bound(p fault.Path, b *Bound) {
	k.at(p, slices.Contains(Measures(), b.Measure), "measure", "is not a measure", "see docs/formats/tariff.md, section 2")
	k.at(p, b.Form == "" || b.Form == Box || b.Form == Cylinder, "form", "is not a form", "use box or cylinder")
	k.at(p, b.Min != nil || b.Over != nil || b.Max != nil || b.Under != nil, "measure", "has no number", "give min, over, max or under")
	for _, n := range []*int64{b.Min, b.Over, b.Max, b.Under} {
		k.at(p, n == nil || *n >= 0, "measure", "has a negative number", "numbers are not negative")
	}
}

func (k *checker) surcharge(p fault.Path, s *Surcharge) {
	k.at(p, s.Name != "", "name", "is missing", "name the surcharge")
	k.at(p, s.Form == "" || s.Form == Box || s.Form == Cylinder, "form", "is not a form", "use box or cylinder")
	k.at(p, amount(s.Amount), "amount", "is not an amount", "a whole number of minor units")
	k.status(p, s.Status)
	for i := range s.When {
		k.bound(p.Entry("when", i), &s.When[i])
	}
}
