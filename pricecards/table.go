package pricecards

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/studio"
	"solander/tariff"
	"solander/tariff/lint"
	"solander/tariff/renew"
	"solander/tariff/zonelist"
)

// Place says where a table of prices goes.
type Place string

// The places.
const (
	Into  Place = "into"  // into a card of the studio's own
	After Place = "after" // into the card that follows one, of the studio's own
	Alone Place = "alone" // a card of its own
)

// TableIn is a table of prices as it was read, and where it goes.
type TableIn struct {
	Prices   tariff.Prices
	Currency string // in which its prices stand
	Place    Place
	Card     string       // of Into and After: the card; of Alone: the one whose zones it has, "" = none
	Service  string       // of Into and After: whose table it is; of Alone: the service whose zones it has
	Operator string       // of Alone
	Name     string       // of Alone: of the service
	Class    string       // of Alone: of price
	Places   string       // of Alone without Card: where its zones lie, see zonelist.Places
	From     calendar.Day // first day; not of Into
	To       calendar.Day // last day; none: open
	Source   string
	Who      string
}

// Table is the card that a table makes, and what looks like a slip in it.
type Table struct {
	Card    tariff.Card    `json:"card"`
	Service string         `json:"service"` // whose table it is
	Doubts  []lint.Finding `json:"doubts"`
}

// TryTable makes the card without keeping it. Faults: Missing; Invalid, all that is wrong; Refused for a card that comes with the program;
// Taken when another card of the series holds from the same day.
func TryTable(ctx context.Context, s *studio.Studio, in TableIn) (out Table, err error) {
	err = read(ctx, s, func(t *PriceCards) error {
		out, err = t.table(s, in)
		return err
	})
	return out, err
}

// LookOverTable says what looks like a slip in the card that a table makes while not all that it needs is said yet: what is missing is
// taken as anything that does. None where no card could be made of it.
func LookOverTable(ctx context.Context, s *studio.Studio, in TableIn) (out Table) {
	_ = read(ctx, s, func(t *PriceCards) error {
		if in.From.IsZero() && in.Place != Into {
			in.From = t.Today
			if old, _, err := t.card(s, in.Card); err == nil && !in.From.After(old.From) {
				in.From = old.From.Add(1)
			}
		}
		if in.Place == Alone && in.Card == "" && in.Places == "" {
			for i, z := range in.Prices.Zones {
				in.Places += fmt.Sprintf("%s: %06d\n", z, i) // anywhere, each apart
			}
		}
		for _, v := range []*string{&in.Source, &in.Who, &in.Operator, &in.Name, &in.Class} {
			*v = cmp.Or(*v, "to be said")
		}
		made, err := t.table(s, in)
		if err == nil {
			out = made
		}
		return err
	})
	return out
}

// KeepTable makes the card and keeps it. Faults: as TryTable's.
func KeepTable(ctx context.Context, s *studio.Studio, in TableIn) (out Table, err error) {
	err = write(ctx, s, func(t *PriceCards) error {
		if out, err = t.table(s, in); err != nil {
			return err
		}
		return t.keep(s, out.Card)
	})
	return out, err
}

func (t *PriceCards) table(s *studio.Studio, in TableIn) (Table, error) {
	out := Table{Service: in.Service}
	c, doubts, err := t.placed(s, in)
	if err != nil {
		return out, err
	}
	if in.Place == Alone {
		out.Service = c.Services[0].ID
	}
	others, err := t.plain(s)
	if err != nil {
		return out, err
	}
	if err := lint.Refuses(&c, others, t.Set.Currency); err != nil {
		return out, err
	}
	out.Card, out.Doubts = c, append(doubts, lint.Doubts(&c, others)...)
	return out, nil
}

func (t *PriceCards) placed(s *studio.Studio, in TableIn) (tariff.Card, []lint.Finding, error) {
	if in.Place == Alone {
		return t.alone(s, in)
	}
	old, _, err := t.card(s, in.Card)
	if err != nil {
		return tariff.Card{}, nil, err
	}
	d := renew.TableDraft{Service: in.Service, Prices: in.Prices, ID: old.ID, From: in.From, To: in.To, Source: in.Source, Who: in.Who}
	switch {
	case old.Currency != in.Currency:
		return old.Card, nil, fault.Invalidf("currency", "the table is in %s, the card in %s", in.Currency, old.Currency).ToMend("correct the currency of the table, or choose another card")
	case in.Place == Into && !old.Own:
		return old.Card, nil, fault.New(fault.Refused, "this card comes with the program and stays as it is").In("place").ToMend("make the card that follows it")
	case in.Place != Into && in.Place != After:
		return old.Card, nil, fault.Invalidf("place", "%.20q is no place of a table", in.Place).ToMend("use into, after or alone")
	case in.Place == After && in.From.IsZero():
		return old.Card, nil, fault.Invalidf("from", "it is missing").ToMend("say from which day the prices hold")
	case in.Place == After && !in.From.After(old.From):
		return old.Card, nil, fault.Invalidf("from", "%s is not after %s, the first day of %s", in.From, old.From, old.ID).ToMend("take the day from which the new prices hold")
	case in.Place == After:
		d.ID = idOf(old.Series, in.From)
	}
	c, err := renew.WithTable(&old.Card, d)
	return c, nil, err
}

// alone makes a card of its own: parcels start in the studio's country, and go wherever its zones lead; without zones, within it. It
// says what is in doubt about the places of its zones.
func (t *PriceCards) alone(s *studio.Studio, in TableIn) (tariff.Card, []lint.Finding, error) {
	series := idOf(in.Operator+" "+in.Class, calendar.Day{})
	service := tariff.Service{ID: idOf(in.Name, calendar.Day{}), Class: idOf(in.Name, calendar.Day{}), Name: in.Name}
	head := tariff.Card{
		ID: idOf(series, in.From), Series: series, Operator: in.Operator, Currency: in.Currency, From: in.From, To: in.To, PriceClass: in.Class, Source: in.Source,
	}
	home := false
	service.Abroad, service.Countries = &home, []string{t.origin().Country}
	var doubts []lint.Finding
	switch {
	case in.Card != "" && in.Places != "":
		return head, nil, fault.Invalidf("places", "its zones are those of another service already").ToMend("empty this, or choose a card with zones of its own")
	case in.Card != "":
		from, _, err := t.card(s, in.Card)
		if err != nil {
			return head, nil, err
		}
		like := from.Service(in.Service)
		if like == nil || like.Zones == "" {
			return head, nil, fault.Invalidf("zones", "%.60q of %s has no zones", in.Service, in.Card).ToMend("choose a service that has")
		}
		service.Zones, service.Abroad, service.Countries = like.Zones, like.Abroad, like.Countries
		for _, z := range from.Zones {
			if z.Name == like.Zones {
				head.Zones = append(head.Zones, z)
			}
		}
	case len(in.Prices.Zones) > 0:
		table, found, err := t.places(in)
		if err != nil {
			return head, nil, err
		}
		head.Zones, service.Zones, service.Countries, doubts = []tariff.ZoneTable{table}, table.Name, nil, found
		service.Abroad = reach(table, t.origin().Country)
	case in.Places != "":
		return head, nil, fault.Invalidf("places", "the prices are the same everywhere: nothing asks where a zone lies").ToMend("empty this, or name the zone of each column")
	}
	all, err := s.AllCards(t.Turn)
	if err != nil {
		return head, nil, err
	}
	for n, first := 2, head.ID; slices.ContainsFunc(all, func(c dayplan.Card) bool { return c.ID == head.ID }); n++ {
		head.ID, head.Series = fmt.Sprintf("%s-%d", first, n), fmt.Sprintf("%s-%d", series, n)
	}
	c, err := renew.NewCard(head, service, in.Prices, in.Who)
	return c, doubts, err
}

// places reads where the zones of a card of its own lie. Postcodes of home are those from the studio's own.
func (t *PriceCards) places(in TableIn) (tariff.ZoneTable, []lint.Finding, error) {
	at := t.origin()
	table := tariff.ZoneTable{Name: idOf(in.Name, calendar.Day{}), Origin: tariff.Origin{Country: at.Country}, Source: in.Source, Status: "secondary"}
	if strings.TrimSpace(in.Places) == "" {
		return table, nil, fault.Invalidf("places", "the prices differ by zone, and nothing says which zone a place is in").
			ToMend("say where the zones %s lie, take the zones of a service that has the same, or one column alone as the zone *", strings.Join(in.Prices.Zones, ", "))
	}
	read := zonelist.Places(in.Places, at.Country, in.Prices.Zones)
	var doubts []lint.Finding
	var wrong fault.List
	for _, d := range read.Doubts {
		if d.Bars {
			wrong.Add(fault.Invalidf("places", "%s", d.What).ToMend("%s", d.Mend))
		}
		doubts = append(doubts, lint.Finding{Kind: "places", Text: d.What, Mend: d.Mend})
	}
	table.Rows = read.Rows
	if slices.ContainsFunc(read.Rows, func(r tariff.ZoneRow) bool { return r.From != "" && r.Country == at.Country }) {
		table.Origin.Prefix = tariff.Postcode(at.Postcode)
	}
	return table, doubts, wrong.Err()
}

// reach says where a table leads: true abroad alone, false within the country alone, nil both.
func reach(table tariff.ZoneTable, home string) *bool {
	within, abroad := false, false
	for _, r := range table.Rows {
		if r.Country == home {
			within = true
		} else {
			abroad = true
		}
	}
	if within && abroad {
		return nil
	}
	return &abroad
}

// CardTables is a card of the studio's country and currency, and its services.
type CardTables struct {
	CardInfo
	Services []tariff.Service
}

// Tables lists the cards that a table may go into or after, those that plans of today go by first.
func Tables(ctx context.Context, s *studio.Studio) ([]CardTables, error) {
	list, err := Cards(ctx, s)
	if err != nil {
		return nil, err
	}
	var out []CardTables
	err = read(ctx, s, func(t *PriceCards) error {
		all, err := s.AllCards(t.Turn)
		if err != nil {
			return err
		}
		for i, c := range all {
			if i < len(list) && list[i].ID == c.ID && list[i].Here {
				out = append(out, CardTables{list[i], c.Services})
			}
		}
		return nil
	})
	slices.SortStableFunc(out, func(a, b CardTables) int {
		if a.Used == b.Used {
			return 0
		}
		if a.Used {
			return -1
		}
		return 1
	})
	return out, err
}
