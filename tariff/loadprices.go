package tariff

import (
	"slices"

	"solander/fault"
	"solander/measure"
	"solander/money"
)

var (
	priceHeader  = []string{"step", "zone", "price", "source", "status"}
	sharedHeader = []string{"service", "step", "zone", "price", "source", "status"}
	coverHeader  = []string{"up_to", "price", "source", "status"}
	zoneHeader   = []string{"table", "origin_country", "origin_prefix", "country", "from", "to", "zone", "most", "source", "status"}
)

// grid gathers prices by step and zone while a table is read. What a cell says is read once for each text.
type grid struct {
	zones  []string
	zone   map[string]int // its column
	rows   []Row          // their Prices are absent where a column came later
	at     map[int64]int  // step → row
	steps  map[string]Row
	prices map[string]Cell
}

// absent marks a cell for which there is no row in the file.
const absent Cell = -2

func (l *loader) readPrices(from table, c *Card, s *Service) error {
	want := priceHeader
	if from.only != "" {
		want = sharedHeader
	}
	t, err := l.readTable(from.file, want)
	if err != nil {
		return err
	}
	g := &grid{zone: map[string]int{}, at: map[int64]int{}, steps: map[string]Row{}, prices: map[string]Cell{}}
	for i := range t.rows {
		if from.only != "" && t.get(i, "service") != from.only {
			continue
		}
		if err := g.add(t, i, c, s.Prices.By); err != nil {
			return err
		}
	}
	if len(g.rows) == 0 {
		return fault.New(fault.Invalid, "no row belongs to service %q", from.only).At("%s", from.file).ToMend("correct prices.only in card.toml")
	}
	abroad := s.Abroad != nil && *s.Abroad
	return g.into(&s.Prices, t, abroad)
}

func (g *grid) add(t *csvTable, i int, c *Card, by By) error {
	text := t.get(i, "step")
	row, known := g.steps[text]
	if !known {
		if err := row.readStep(t, i, by); err != nil {
			return err
		}
		g.steps[text] = row
	}
	source, status := t.get(i, "source"), t.get(i, "status")
	key := max(int64(row.Mass), int64(row.Volume))
	at, ok := g.at[key]
	if !ok {
		at = len(g.rows)
		row.Source, row.Status = source, status
		g.at[key], g.rows = at, append(g.rows, row)
	}
	into := &g.rows[at]
	if into.Source != source || into.Status != status {
		return t.bad(i, "source", "give all prices of a step one source and status", "the step has two sources or statuses")
	}
	col := g.column(t.get(i, "zone"))
	for len(into.Prices) <= col {
		into.Prices = append(into.Prices, absent)
	}
	if into.Prices[col] != absent {
		return t.bad(i, "zone", "keep one of them", "the price of this step and zone is given twice")
	}
	text = t.get(i, "price")
	cell, known := g.prices[text]
	if !known {
		cell = NotCarried
		if text != "-" {
			price, err := t.amount(i, "price", c.Currency)
			if err != nil {
				return err
			}
			cell = Cell(price)
		}
		g.prices[text] = cell
	}
	into.Prices[col] = cell
	return nil
}

// column is where the prices of a zone stand, in the order in which zones come up.
func (g *grid) column(zone string) int {
	col, ok := g.zone[zone]
	if !ok {
		col = len(g.zones)
		g.zone[zone], g.zones = col, append(g.zones, zone)
	}
	return col
}

// amount reads a cell in major units into minor ones.
func (t *csvTable) amount(i int, column, currency string) (int64, error) {
	text, err := t.number(i, column)
	if err != nil {
		return 0, err
	}
	a, err := money.Parse(text, currency)
	if err != nil {
		return 0, t.in(i, column, err)
	}
	if a.Minor < 0 {
		return 0, t.bad(i, column, "a price is not negative", "%s is negative", text)
	}
	return a.Minor, nil
}

func (r *Row) readStep(t *csvTable, i int, by By) error {
	text, err := t.number(i, "step")
	if err != nil {
		return err
	}
	switch by {
	case ByMass:
		r.Mass, err = measure.ParseMass(text, "")
	case ByVolume:
		r.Volume, err = ParseVolume(text)
	default:
		if text != "" {
			return t.bad(i, "step", "leave it empty", "a price by piece has no step")
		}
	}
	if err != nil {
		return t.in(i, "step", err)
	}
	return nil
}

// into writes the grid into a table of prices. A missing cell is a hole, except abroad, where it means
// that the operator does not carry it.
func (g *grid) into(p *Prices, t *csvTable, abroad bool) error {
	if len(g.zones) > 1 && slices.Contains(g.zones, "") {
		return fault.New(fault.Invalid, "some rows name a zone and some do not").At("%s, column zone", t.file).ToMend("name a zone in all rows or in none")
	}
	for i := range g.rows {
		r := &g.rows[i]
		for len(r.Prices) < len(g.zones) {
			r.Prices = append(r.Prices, absent)
		}
		for col, cell := range r.Prices {
			if cell != absent {
				continue
			}
			if !abroad {
				return fault.New(fault.Invalid, "zone %s has no price at %s", g.zones[col], r.step()).At("%s", t.file).ToMend("add the row, or write - when it is not carried")
			}
			r.Prices[col] = NotCarried
		}
	}
	slices.SortFunc(g.rows, func(a, b Row) int {
		return int(max(min(int64(a.Mass-b.Mass)+int64(a.Volume-b.Volume), 1), -1))
	})
	p.Rows = g.rows
	if g.zones[0] != "" {
		p.Zones = g.zones
	}
	return nil
}

func (l *loader) readCover(file string, c *Card, cover *Cover) error {
	t, err := l.readTable(file, coverHeader)
	if err != nil {
		return err
	}
	cover.Source, cover.Status = t.get(0, "source"), t.get(0, "status")
	for i := range t.rows {
		upTo, err := t.amount(i, "up_to", c.Currency)
		if err != nil {
			return err
		}
		price, err := t.amount(i, "price", c.Currency)
		if err != nil {
			return err
		}
		cover.Steps = append(cover.Steps, CoverStep{upTo, price})
	}
	return nil
}
