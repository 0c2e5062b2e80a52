package prices

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/pricelist"
	"solander/money"
	"solander/pricecards"
	"solander/tariff"
	"solander/web/form"
	"solander/web/page"
)

// rowsShown bounds what one page shows of a list.
const rowsShown = 120

// ask asks how the list is read and where its table goes.
func (x *list) ask() *form.Form {
	m := &x.mapping
	fm := form.New("list", "/studio/cards/list")
	fm.Ask("file", "").As("hidden").Is(form.Text64(x.arrival.ID))
	fm.Ask("laid", "").As("hidden").Is(laidOut(m.Sheet, m.Layout, m.Head))
	if len(x.table.Sheets) > 1 {
		var sheets []form.Choice
		for i, s := range x.table.Sheets {
			sheets = append(sheets, form.Pick(strconv.Itoa(i), s.Name))
		}
		fm.Whole("sheet", "Sheet", &m.Sheet).Of(sheets...)
	}
	form.Select(fm, "layout", "Laid out", &m.Layout, form.Pick("down", "weights down, zones across"), form.Pick("across", "zones down, weights across"), form.Pick("rows", "a row for each price"))
	g := pricelist.GridOf(x.sheet(), m.Layout)
	rows := rowChoices(g)
	place := func(name, label string, v *int, none ...form.Choice) {
		n := *v + 1
		fm.Whole(name, label, &n).Of(append(none, rows...)...)
		fm.Then(func(*fault.List) { *v = n - 1 })
	}
	place("head", "Headings stand in", &m.Head, form.Pick("0", "there are none"))
	place("first", "First prices in", &m.First)
	place("last", "Last prices in", &m.Last)
	columns := columnChoices(g, m.Head)
	rows = columns
	place("step", "Weights stand in", &m.Step, form.Pick("0", "there are none"))
	if m.Layout == pricelist.Rows {
		place("zone", "Zones stand in", &m.Zone, form.Pick("0", "there are none"))
		place("price", "Prices stand in", &m.Price)
		place("which", "The service stands in", &m.Which, form.Pick("0", "there is but one"))
		fm.Text("only", "and the table is of", &m.Only)
	} else {
		x.askColumns(fm, g)
	}
	var units []form.Choice
	for _, u := range append([]string{""}, pricelist.Units()...) {
		units = append(units, form.Pick(u, cmp.Or(u, "as each cell says")))
	}
	form.Select(fm, "unit", "Weights without a unit are in", &m.Unit, units...)
	form.Select(fm, "decimal", "Decimals stand after a", &m.Decimal, form.Pick(".", "point: 1.50"), form.Pick(",", "comma: 1,50"))
	fm.Text("currency", "Money is in", &m.Currency).Must().Small().Upper()
	form.Select(fm, "empty", "An empty cell is", &m.Empty, form.Pick("", "a price that is missing"), form.Pick(pricelist.NotCarried, "not carried there"))
	x.askPlace(fm)
	fm.Tick("sure", "What is in doubt is so", &x.sure)
	return fm
}

// askColumns asks of each column which zones it holds.
func (x *list) askColumns(fm *form.Form, g pricelist.Grid) {
	m := &x.mapping
	for len(m.Zones) < len(g.Heads) {
		m.Zones = append(m.Zones, "")
	}
	for c, head := range g.Heads[:min(len(g.Heads), mostZones)] {
		if c == m.Step {
			continue
		}
		label := "Column " + head
		if head[0] <= '9' {
			label = "Row " + head
		}
		if m.Head >= 0 && m.Head < len(g.Rows) {
			if text := strings.TrimSpace(g.Rows[m.Head][c].Text); text != "" {
				label += ", " + fault.Clip(text)
			}
		}
		fm.Text(fmt.Sprintf("zones[%d]", c), label, &m.Zones[c])
	}
}

// mostZones bounds the columns that are asked about.
const mostZones = 60

// askPlace asks where the table goes: into a card, into the card after one, or alone.
func (x *list) askPlace(fm *form.Form) {
	var choices []form.Choice
	for _, c := range x.cards {
		for _, s := range c.Services {
			if c.Own {
				choices = append(choices, form.Pick(placeKey(pricecards.Into, c.ID, s.ID), "in "+c.ID+": in the place of "+s.Name))
			}
			choices = append(choices, form.Pick(placeKey(pricecards.After, c.ID, s.ID), "the card after "+c.ID+": "+s.Name+" anew"))
		}
	}
	choices = append(choices, form.Pick(placeKey(pricecards.Alone, "", ""), "a card of its own"))
	for _, c := range x.cards {
		for _, s := range c.Services {
			if s.Zones != "" {
				choices = append(choices, form.Pick(placeKey(pricecards.Alone, c.ID, s.ID), "a card of its own, zones as "+s.Name+" of "+c.ID))
			}
		}
	}
	fm.Bind("place", "They become", placeKey(x.in.Place, x.in.Card, x.in.Service), func(typed string) error {
		parts := strings.Split(typed, "|")
		if len(parts) != 3 {
			return fault.Invalidf("place", "it is none of the list").ToMend("choose one of the list")
		}
		x.in.Place, x.in.Card, x.in.Service = pricecards.Place(parts[0]), parts[1], parts[2]
		return nil
	}).Of(choices...).Wide()
	fm.Day("from", "They hold from", &x.in.From)
	fm.Day("to", "till", &x.in.To).WithHint("empty: till the next card")
	fm.Text("source", "Where they stand", &x.in.Source).Must().Wide().WithHint("such as the operator’s list and its day")
	fm.Text("who", "Taken in by", &x.in.Who).Must()
	fm.Area("places", "Where its zones lie", &x.in.Places).Wide().
		WithHint("a zone a line, such as Europe: Denmark, DE, Sweden; or a place a line, such as Denmark 2. A place is a country, postcodes such as 10-19, home, or everywhere else")
	fm.Text("operator", "Operator", &x.in.Operator).WithHint("of a card of its own")
	fm.Text("name", "Service", &x.in.Name).WithHint("of a card of its own")
	fm.Text("class", "Class of price", &x.in.Class).WithHint("of a card of its own, such as counter")
	fm.Then(func(l *fault.List) {
		alone := x.in.Place == pricecards.Alone
		l.Check(!alone || x.in.Operator != "", "operator", "it is missing", "say whose prices they are")
		l.Check(!alone || x.in.Name != "", "name", "it is missing", "say what the service is called")
		l.Check(x.in.Place == pricecards.Into || !x.in.From.IsZero(), "from", "it is missing", "say from which day the prices hold")
	})
}

func placeKey(p pricecards.Place, card, service string) string {
	return string(p) + "|" + card + "|" + service
}

func rowChoices(g pricelist.Grid) []form.Choice {
	var out []form.Choice
	for i, name := range g.Names {
		var words []string
		for _, c := range g.Rows[i] {
			if t := strings.TrimSpace(c.Text); t != "" && len(words) < 3 {
				words = append(words, fault.Clip(t))
			}
		}
		kind := "row "
		if name[0] > '9' {
			kind = "column "
		}
		out = append(out, form.Pick(strconv.Itoa(i+1), kind+name+": "+strings.Join(words, ", ")))
	}
	return out
}

func columnChoices(g pricelist.Grid, head int) []form.Choice {
	var out []form.Choice
	for i, name := range g.Heads {
		text := "column " + name
		if name[0] <= '9' {
			text = "row " + name
		}
		if head >= 0 && head < len(g.Rows) {
			if t := strings.TrimSpace(g.Rows[head][i].Text); t != "" {
				text += ": " + fault.Clip(t)
			}
		}
		out = append(out, form.Pick(strconv.Itoa(i+1), text))
	}
	return out
}

func (f *Prices) showList(w http.ResponseWriter, r *http.Request, x *list) error {
	fr, err := f.Frame(r, "studio", "Prices from "+x.arrival.Name)
	if err != nil {
		return err
	}
	p := &ListPage{Frame: fr, Arrival: x.arrival, Form: x.ask(), Made: x.made, Alone: x.in.Place == pricecards.Alone}
	var fail *page.Failure
	switch {
	case x.err != nil:
		fail = &page.Failure{Form: p.Form.Name, Typed: x.typed, Err: x.err}
		p.Put(p.Form, fail)
	case x.typed != nil:
		p.Form.Read(x.typed)
	}
	p.Columns, p.Across = p.Form.Fields("zones["), x.mapping.Layout == pricelist.Across
	read := x.read()
	if p.Read = &read; x.made == nil && !read.Barred() {
		x.in.Currency, x.in.Prices = x.mapping.Currency, read.Table()
		made := pricecards.LookOverTable(r.Context(), f.Seen(r), x.in)
		x.made = &made
	}
	p.grid(x)
	return f.Show(w, r, page.StatusOf(fail), "pricelist", p)
}

// grid lays the rows out as they are read, with each doubt at its cell.
func (p *ListPage) grid(x *list) {
	read := *p.Read
	g, m := read.Grid, read.Mapping
	p.Heads = g.Heads[:min(len(g.Heads), mostZones)]
	says := map[[2]int][]string{}
	tell := func(row, col int, d listDoubt) {
		p.Doubts = append(p.Doubts, d)
		says[[2]int{row, col}] = append(says[[2]int{row, col}], d.What)
	}
	for _, d := range read.Doubts {
		tell(d.Row, d.Col, listDoubt{g.Place(d.Row, d.Col), d.What, d.Mend, d.Bars})
	}
	if x.made != nil {
		for _, d := range x.made.Doubts {
			row, col, ok := -1, -1, false
			if d.Service == x.made.Service {
				row, col, ok = read.Find(d.Zone, d.Step)
			}
			place := d.Where()
			if ok {
				place = g.Place(row, col)
			} else {
				row, col = -1, -1
			}
			tell(row, col, listDoubt{place, d.Text, d.Mend, false})
		}
	}
	prices := map[[2]int]tariff.Cell{}
	for _, row := range read.Prices {
		for _, c := range row {
			prices[[2]int{c.Row, c.Col}] = c.Cell
		}
	}
	for i, cells := range g.Rows {
		if len(p.Rows) >= rowsShown && !slices.ContainsFunc(read.Doubts, func(d pricelist.Doubt) bool { return d.Row == i }) {
			p.Hidden++
			continue
		}
		row := listRow{Name: g.Names[i], Head: i == m.Head}
		for c, cell := range cells[:min(len(cells), mostZones)] {
			at := [2]int{i, c}
			out := listCell{Text: fault.Clip(shown(cell)), Says: strings.Join(says[at], "; ")}
			price, taken := prices[at]
			switch {
			case out.Says != "":
				out.Class = "odd"
			case taken && price != tariff.NotCarried:
				out.Class, out.Text = "taken", money.Of(int64(price), m.Currency).Plain()
			case taken, c == m.Step && i >= m.First && i <= m.Last && !cell.Blank():
				out.Class = "taken"
			}
			row.Cells = append(row.Cells, out)
		}
		p.Rows = append(p.Rows, row)
	}
}

func shown(c intake.Cell) string { return cmp.Or(c.Text, c.Number) }
