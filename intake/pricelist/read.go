package pricelist

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/money"
	"solander/tariff"
)

// Read reads a sheet as the mapping says. What cannot be read is a doubt that bars, at its cell.
func Read(s intake.Sheet, m Mapping) Reading {
	rd := &reader{Reading: Reading{Mapping: m, Grid: GridOf(s, m.Layout)}, at: map[int64]int{}}
	rd.Mapping.fit(len(rd.Grid.Rows), len(rd.Grid.Heads))
	switch {
	case !money.Known(rd.Mapping.Currency):
		rd.doubt(-1, -1, true, fmt.Sprintf("%.10q is no currency", rd.Mapping.Currency), "write it like USD")
	case m.Layout == Rows:
		rd.rows()
	default:
		rd.table()
	}
	rd.finish()
	return rd.Reading
}

// fit keeps rows and columns within the grid.
func (m *Mapping) fit(rows, columns int) {
	m.Last = min(m.Last, rows-1)
	m.Zones = slices.Clone(m.Zones)
	for len(m.Zones) < columns {
		m.Zones = append(m.Zones, "")
	}
	m.Zones = m.Zones[:columns]
}

type reader struct {
	Reading
	at      map[int64]int // size → its step
	unit    string        // said by a row above
	columns []column      // of a table
	last    int64
}

// column is one with prices, and the zones that they are of: places in Reading.Zones.
type column struct {
	at    int
	zones []int
}

// table reads steps down and zones across.
func (rd *reader) table() {
	m := &rd.Mapping
	for at, text := range m.Zones {
		if text = strings.TrimSpace(text); text != "" && at != m.Step {
			rd.column(at, text)
		}
	}
	if len(rd.columns) == 0 {
		rd.doubt(-1, -1, true, "no column holds prices", "say which zone each column is")
	}
	for row := max(m.First, 0); row <= m.Last; row++ {
		priced := slices.ContainsFunc(rd.columns, func(c column) bool { return !rd.Grid.at(row, c.at).Blank() })
		if !priced {
			if u := unitIn(rd.Grid.at(row, m.Step).Text); u != "" {
				rd.unit = u // a heading between the rows: "Pounds"
			}
			continue
		}
		n, ok := rd.step(row)
		if !ok {
			continue
		}
		for _, c := range rd.columns {
			price := rd.price(row, c.at)
			for _, z := range c.zones {
				rd.put(n, z, Price{price, row, c.at})
			}
		}
	}
}

func (rd *reader) column(at int, text string) {
	c := column{at: at}
	names := ZonesOf(text)
	if text == Every {
		names = []string{""}
	}
	for _, z := range names {
		if slices.Contains(rd.Zones, z) {
			rd.doubt(rd.Mapping.Head, at, true, fmt.Sprintf("zone %s stands in two columns", z), "correct one of them, or leave one out")
			continue
		}
		c.zones, rd.Zones = append(c.zones, len(rd.Zones)), append(rd.Zones, z)
	}
	if len(rd.Zones) > 1 && slices.Contains(rd.Zones, "") {
		rd.doubt(rd.Mapping.Head, at, true, "one column is for every zone and another is not", "name a zone of each column")
	}
	rd.columns = append(rd.columns, c)
}

// rows reads a row for each price.
func (rd *reader) rows() {
	m := &rd.Mapping
	found := false
	for row := max(m.First, 0); row <= m.Last; row++ {
		if m.Which >= 0 && !strings.EqualFold(shown(rd.Grid.at(row, m.Which)), m.Only) || rd.Grid.at(row, m.Price).Blank() && rd.Grid.at(row, m.Step).Blank() {
			continue
		}
		found = true
		zone := ""
		if m.Zone >= 0 {
			if zone = wholeZone(shown(rd.Grid.at(row, m.Zone))); zone == "" {
				rd.doubt(row, m.Zone, true, "no zone stands here", "write it into the file")
				continue
			}
		}
		n, ok := rd.step(row)
		if !ok {
			continue
		}
		z := slices.Index(rd.Zones, zone)
		if z < 0 {
			z, rd.Zones = len(rd.Zones), append(rd.Zones, zone)
		}
		if i, known := rd.at[n]; known && z < len(rd.Prices[i]) && rd.Prices[i][z].Row >= 0 {
			rd.doubt(row, m.Price, true, "the price of this step and zone stands twice, first in "+rd.Grid.Place(rd.Prices[i][z].Row, m.Price), "say which rows belong to the table, or take one out")
			continue
		}
		rd.put(n, z, Price{rd.price(row, m.Price), row, m.Price})
	}
	if !found {
		rd.doubt(-1, -1, true, "no row holds a price of this table", "say in which column the prices stand, and which rows they are")
	}
}

// step reads the step of a row.
func (rd *reader) step(row int) (int64, bool) {
	m := &rd.Mapping
	if m.Step < 0 {
		return 0, rd.newStep(row, 0)
	}
	c := rd.Grid.at(row, m.Step)
	text, ok := readStep(c, m.Decimal)
	if !ok {
		what := "this is no weight: " + fault.Clip(c.Text)
		if c.Blank() {
			what = "no weight stands here"
		}
		rd.doubt(row, m.Step, true, what, "correct the file, or leave the row out by the first and the last row")
		return 0, false
	}
	if text.unit != "" {
		rd.unit = text.unit
	}
	unit := cmp.Or(rd.unit, m.Unit)
	n, by, ok := text.size(unit)
	switch {
	case unit == "":
		rd.doubt(row, m.Step, true, "the unit of the weights is not said", "choose it below")
		return 0, false
	case !ok:
		rd.doubt(row, m.Step, true, "this is no possible weight: "+fault.Clip(shown(c))+" "+unit, "correct the file")
		return 0, false
	case rd.By != "" && rd.By != by:
		rd.doubt(row, m.Step, true, "weights and volumes stand in one table", "leave the rows of one of them out")
		return 0, false
	}
	rd.By = by
	if text.from != "" && rd.last > 0 {
		one, _, _ := stepText{number: "1"}.size(unit)
		if from, _, fine := (stepText{number: text.from}).size(unit); fine && from > rd.last+one {
			rd.doubt(row, m.Step, false, "the range begins beyond the end of the one above", "look whether a row is missing")
		}
	}
	if m.Layout == Rows {
		return n, true
	}
	if n < rd.last {
		rd.doubt(row, m.Step, false, "this weight is less than the one above", "look whether it is a slip of the pen")
	}
	rd.last = n
	return n, rd.newStep(row, n)
}

// newStep refuses a step that stands in two rows of a table.
func (rd *reader) newStep(row int, n int64) bool {
	i, known := rd.at[n]
	if known {
		what := "there is but one price for every size, and this is another row"
		if rd.Mapping.Step >= 0 {
			what = "this weight stands twice, first in " + rd.Grid.Place(rd.Steps[i].Row, rd.Mapping.Step)
		}
		rd.doubt(row, rd.Mapping.Step, true, what, "correct one of them, or leave one out")
	}
	return !known
}

// put notes a price.
func (rd *reader) put(n int64, zone int, p Price) {
	i, known := rd.at[n]
	if !known {
		i = len(rd.Steps)
		rd.at[n] = i
		rd.Steps, rd.Prices = append(rd.Steps, Step{p.Row, n, ""}), append(rd.Prices, nil)
	}
	for len(rd.Prices[i]) <= zone {
		rd.Prices[i] = append(rd.Prices[i], Price{tariff.NotCarried, -1, -1})
	}
	rd.Prices[i][zone] = p
}

// dashes are what lists write where a step is not carried to a zone.
var dashes = map[string]bool{"-": true, "–": true, "—": true, "--": true, "n/a": true, "na": true, "./.": true, "x": true, "not available": true}

// price reads a cell of money; NotCarried where none is read.
func (rd *reader) price(row, col int) tariff.Cell {
	c := rd.Grid.at(row, col)
	bad := func(what, mend string) tariff.Cell {
		rd.doubt(row, col, true, what, mend)
		return tariff.NotCarried
	}
	switch {
	case c.Blank() && rd.Mapping.Empty == NotCarried, c.Kind == intake.Words && dashes[strings.ToLower(strings.TrimSpace(c.Text))]:
		return tariff.NotCarried
	case c.Blank():
		return bad("no price stands here", "write it into the file, or say below that an empty cell is not carried")
	case c.Kind == intake.Date:
		return bad("this is a day, not a price: "+c.Text, "a spreadsheet program made a day of it: write the price as text")
	}
	if c.Merged {
		rd.doubt(row, col, false, "the cell is one with others: its price is taken for each of them", "look whether it is so")
	}
	if bare := strings.TrimRight(strings.TrimSpace(c.Text), "*†‡¹²³⁴§ "); c.Kind == intake.Words && bare != strings.TrimSpace(c.Text) {
		rd.doubt(row, col, false, "a mark stands beside the price", "read what its note says")
		c.Text = bare
	}
	a, ok, trouble := cell.AmountOf(c, rd.Mapping.Currency, rd.Mapping.Decimal)
	switch {
	case !trouble.None():
		mend := trouble.Mend
		if strings.Contains(c.Text, ",") && rd.Mapping.Decimal == "." {
			mend = "a comma stands where the rest of the list has a point: " + mend
		}
		return bad(trouble.What, mend)
	case !ok || a.IsZero():
		return bad("nothing would be paid here", "write the price, or a dash when it is not carried")
	case a.Minor < 0:
		return bad("a price is not negative", "write it like 12.50")
	case a.Minor > tariff.MostMinor:
		return bad("the price is absurdly high", "look at the decimal sign")
	}
	return tariff.Cell(a.Minor)
}

// finish sorts the steps, fills what is missing, and says what is left open.
func (rd *reader) finish() {
	if rd.By == "" {
		rd.By = tariff.ByPiece
	}
	order := make([]int, len(rd.Steps))
	for i := range order {
		order[i] = i
		rd.Steps[i].Text = stepShown(rd.By, rd.Steps[i].Size)
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(rd.Steps[a].Size, rd.Steps[b].Size) })
	steps, prices := make([]Step, len(order)), make([][]Price, len(order))
	for to, from := range order {
		steps[to], prices[to] = rd.Steps[from], rd.Prices[from]
	}
	rd.Steps, rd.Prices = steps, prices
	for i := range rd.Prices {
		for len(rd.Prices[i]) < len(rd.Zones) {
			rd.Prices[i] = append(rd.Prices[i], Price{tariff.NotCarried, -1, -1})
		}
		if rd.Mapping.Layout != Rows || rd.Mapping.Empty == NotCarried {
			continue
		}
		for z, p := range rd.Prices[i] {
			if p.Row < 0 {
				rd.doubt(rd.Steps[i].Row, rd.Mapping.Price, true, fmt.Sprintf("zone %s has no price at %s", rd.Zones[z], rd.Steps[i].Text), "add the row, or say below that what is missing is not carried")
			}
		}
	}
	if len(rd.Steps) == 0 && !rd.Barred() {
		rd.doubt(-1, -1, true, "no row holds prices", "say in which rows they stand")
	}
	if len(rd.Zones) == 1 && rd.Zones[0] == "" {
		rd.Zones = nil
	}
	slices.SortStableFunc(rd.Doubts, func(a, b Doubt) int { return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Col, b.Col)) })
}
