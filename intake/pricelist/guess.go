package pricelist

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"solander/intake"
	"solander/intake/cell"
)

// Words of headings, in small letters.
var (
	priceWords = wordSet("price prices preis preise prix pris priser amount rate rates postage porto tarif betrag")
	stepWords  = wordSet("weight weights mass masse step up upto over more above under less than exceeding max maximum gewicht bis poids jusqu vekt inntil volume")
	zoneWords  = wordSet("zone zones zonen zona sone soner group destination")
	whichWords = wordSet("service product table produkt produit leistung")
)

func wordSet(list string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(list) {
		out[w] = true
	}
	return out
}

// says reports whether a text has one of the words.
func says(text string, words map[string]bool) bool {
	return slices.ContainsFunc(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }), func(w string) bool { return words[w] })
}

// Guess proposes how a table is read: the sheet, layout and columns that give the most prices. currency is the studio's.
func Guess(t intake.Table, currency string) Mapping {
	best, most := Mapping{Layout: Down, Head: -1, Step: 0, Zone: -1, Which: -1, Decimal: ".", Currency: currency}, 0
	for i, s := range t.Sheets {
		if s.Hidden {
			continue
		}
		for _, layout := range []Layout{Rows, Down, Across} {
			m, score := guessed(s, layout, currency)
			if m.Sheet = i; score > most {
				best, most = m, score
			}
		}
	}
	return best
}

// GuessIn proposes how a sheet is read in a layout, with the headings in a row when that is said (not below 0).
func GuessIn(t intake.Table, sheet int, layout Layout, head int, currency string) Mapping {
	if sheet < 0 || sheet >= len(t.Sheets) {
		sheet = 0
	}
	if len(t.Sheets) == 0 {
		return Mapping{Layout: layout, Head: -1, Zone: -1, Which: -1, Decimal: ".", Currency: currency}
	}
	s := t.Sheets[sheet]
	m, _ := guessed(s, layout, currency)
	m.Sheet = sheet
	if g := GridOf(s, layout); head >= 0 && head < len(g.Rows) && head != m.Head {
		m.Head = head
		m.First = max(m.First, head+1)
		if layout != Rows {
			m.name(g)
		}
	}
	return m
}

func guessed(s intake.Sheet, layout Layout, currency string) (Mapping, int) {
	g := GridOf(s, layout)
	base := Mapping{Layout: layout, Head: -1, Zone: -1, Which: -1, Decimal: decimalOf(g), Currency: currencyOf(g, currency)}
	base.Last = max(len(g.Rows)-1, 0)
	base.Zones = make([]string, len(g.Heads))
	if layout == Rows {
		return base.rowPerPrice(g)
	}
	best, most := base, 0
	priced := make([][]bool, len(g.Rows))
	for r := range g.Rows {
		priced[r] = make([]bool, len(g.Heads))
		for c := range g.Heads {
			priced[r][c] = base.priced(g.at(r, c))
		}
	}
	for c := range min(len(g.Heads), 6) {
		if m, score := base.byStep(g, priced, c); score > most {
			best, most = m, score
		}
	}
	if most == 0 {
		best.single(g)
	}
	return best, most
}

// byStep guesses a table whose steps stand in a column.
func (m Mapping) byStep(g Grid, isPriced [][]bool, step int) (Mapping, int) {
	m.Step, m.Zones = step, slices.Clone(m.Zones)
	m.First = -1
	amounts := make([]int, len(g.Heads))
	rows, units, rising, last := 0, 0, 0, int64(0)
	for r := range g.Rows {
		text, ok := readStep(g.at(r, step), m.Decimal)
		if !ok || zoneWord.MatchString(g.at(r, step).Text) {
			continue
		}
		priced := 0
		for c := range g.Heads {
			if c != step && isPriced[r][c] {
				priced++
			}
		}
		if priced == 0 {
			continue
		}
		if m.First < 0 {
			m.First = r
		}
		m.Last = r
		for c := range g.Heads {
			if c != step && isPriced[r][c] {
				amounts[c]++
			}
		}
		rows++
		if text.unit != "" {
			units++
		}
		n, _, _ := text.size("kg")
		if text.unit != "" || n >= last {
			rising++
		}
		last = n
	}
	if rows < 2 {
		return m, 0
	}
	for c := range m.Zones {
		if 2*amounts[c] >= rows {
			m.Zones[c] = "?"
		}
	}
	m.findHead(g)
	m.name(g)
	cells, headUnits, zoned := 0, 0, false
	for c, z := range m.Zones {
		if z == "" {
			continue
		}
		cells += amounts[c]
		head := g.at(m.Head, c)
		if text, ok := readStep(head, m.Decimal); ok && text.unit != "" {
			headUnits++
		}
		zoned = zoned || says(head.Text, zoneWords)
	}
	if cells == 0 {
		return m, 0
	}
	score := 10 * cells * rising / rows
	if units > 0 { // one without takes the unit of the one above
		score += 20 * cells
	}
	if m.Unit != "" {
		score += 10 * cells
	}
	if zoned || says(g.at(m.Head, step).Text, zoneWords) && units > 0 {
		score += 15 * cells
	}
	if headUnits > 0 {
		score -= 25 * cells
	}
	if says(g.at(m.Head, step).Text, zoneWords) && units == 0 {
		score -= 15 * cells // the first column holds zones
	}
	if rows >= len(g.Heads)-1 {
		score += cells
	}
	return m, score - 2*step*cells
}

// single guesses a list of one price: a row, or a column, without steps.
func (m *Mapping) single(g Grid) {
	m.Step = -1
	for r := range g.Rows {
		for c := range g.Heads {
			if _, ok, _ := cell.AmountOf(g.at(r, c), m.Currency, m.Decimal); ok {
				m.First, m.Last, m.Zones[c] = r, r, Every
				return
			}
		}
	}
}

// priced reports a cell that may be a price.
func (m *Mapping) priced(c intake.Cell) bool {
	if c.Kind == intake.Words {
		if dashes[strings.ToLower(strings.TrimSpace(c.Text))] {
			return true
		}
		c.Text = strings.TrimRight(strings.TrimSpace(c.Text), "*†‡¹²³⁴§ ")
		if strings.ContainsAny(c.Text, "()") || len(c.Text) > 24 {
			return false
		}
	}
	_, ok, trouble := cell.AmountOf(c, m.Currency, m.Decimal)
	return ok || trouble.Rule == "amount.decimal" || trouble.Rule == "amount.currency"
}

// findHead takes the row above the prices that tells the most columns apart.
func (m *Mapping) findHead(g Grid) {
	most := 0
	m.Head = -1
	for r := m.First - 1; r >= max(0, m.First-5); r-- {
		seen := map[string]bool{}
		for c, z := range m.Zones {
			if text := shown(g.at(r, c)); z != "" && text != "" && len(text) <= 60 {
				seen[text] = true
			}
		}
		if len(seen) > most {
			most, m.Head = len(seen), r
		}
	}
}

// name names the zones of the columns with prices by their headings, and finds the unit of the steps.
func (m *Mapping) name(g Grid) {
	columns := 0
	for c, z := range m.Zones {
		if z == "" || c == m.Step {
			m.Zones[c] = ""
			continue
		}
		head := shown(g.at(m.Head, c))
		if u := unitIn(head); u != "" && !strings.ContainsAny(head, "0123456789") && !says(head, zoneWords) {
			m.Zones[c] = "" // the same steps in another unit
			continue
		}
		columns++
		m.Zones[c] = strings.Join(ZonesOf(head), ", ")
		if m.Zones[c] == "" {
			m.Zones[c] = itoa(columns)
		}
	}
	if columns == 1 {
		for c, z := range m.Zones {
			if z != "" && !says(shown(g.at(m.Head, c)), zoneWords) {
				m.Zones[c] = Every
			}
		}
	}
	m.Unit = m.unitAbove(g)
}

// unitAbove finds the unit of the steps: in the heading of their column, from below, else in any text above the prices.
func (m *Mapping) unitAbove(g Grid) string {
	for r := min(m.First, len(g.Rows)) - 1; r >= 0; r-- {
		if u := unitIn(g.at(r, m.Step).Text); u != "" {
			return u
		}
	}
	for r := min(m.First, len(g.Rows)) - 1; r >= 0; r-- {
		for c := range g.Heads {
			if u := unitIn(g.at(r, c).Text); u != "" && (says(g.at(r, c).Text, stepWords) || strings.ContainsAny(g.at(r, c).Text, "([")) {
				return u
			}
		}
	}
	return ""
}

// rowPerPrice guesses a list with a row for each price, by its headings.
func (m Mapping) rowPerPrice(g Grid) (Mapping, int) {
	for r := range min(len(g.Rows), 15) {
		step, zone, price, which := -1, -1, -1, -1
		for c := range g.Heads {
			text := strings.ReplaceAll(g.at(r, c).Text, "_", " ")
			switch {
			case g.at(r, c).Kind != intake.Words:
			case price < 0 && says(text, priceWords) && !says(text, wordSet("class")):
				price = c
			case zone < 0 && says(text, zoneWords):
				zone = c
			case step < 0 && says(text, stepWords) && !says(text, wordSet("length width height thickness")):
				step = c
			case which < 0 && says(text, whichWords):
				which = c
			}
		}
		if price < 0 || step < 0 || zone < 0 && which < 0 {
			continue
		}
		m.Head, m.First, m.Step, m.Zone, m.Price, m.Which = r, r+1, step, zone, price, which
		m.Unit = unitIn(strings.ReplaceAll(g.at(r, step).Text, "_", " "))
		n := 0
		for row := m.First; row < len(g.Rows); row++ {
			if m.priced(g.at(row, price)) {
				n++
				m.Last = row
				if which >= 0 && m.Only == "" {
					m.Only = shown(g.at(row, which))
				}
			}
		}
		if n >= 2 {
			return m, 10_000 * n // her headings say so
		}
	}
	return m, 0
}

var (
	withComma = regexp.MustCompile(`\d,\d{2}(\D|$)`)
	withPoint = regexp.MustCompile(`\d\.\d{2}(\D|$)`)
)

// decimalOf is the sign before decimals that most cells have.
func decimalOf(g Grid) string {
	commas, points := 0, 0
	for _, r := range g.Rows {
		for _, c := range r {
			if c.Kind != intake.Words || len(c.Text) > 30 {
				continue
			}
			comma, point := withComma.MatchString(c.Text), withPoint.MatchString(c.Text)
			commas, points = commas+intake.One(comma && !point), points+intake.One(point && !comma)
		}
	}
	if commas > points {
		return ","
	}
	return "."
}

// currencyOf is the currency whose sign or code stands in the list; the studio's own when it may be that one, or none stands.
func currencyOf(g Grid, own string) string {
	found := ""
	for _, r := range g.Rows {
		for _, c := range r {
			if c.Kind != intake.Words || len(c.Text) > 60 || !strings.ContainsFunc(c.Text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsSymbol(r) }) {
				continue
			}
			words := strings.FieldsFunc(c.Text, func(r rune) bool { return !unicode.IsLetter(r) })
			for _, s := range cell.Signs {
				codes := strings.Fields(s.Currency)
				code := ""
				for _, w := range words {
					if up := strings.ToUpper(w); slices.Contains(codes, up) {
						code = up
					} else if w == s.Sign {
						code = codes[0]
					}
				}
				if symbol := !unicode.IsLetter([]rune(s.Sign)[0]) || strings.ContainsAny(s.Sign, "$."); code == "" && symbol && strings.Contains(c.Text, s.Sign) {
					code = codes[0]
				}
				if code == "" {
					continue
				}
				if slices.Contains(codes, own) && (len(codes) == 1 || !slices.Contains(words, code) || code == own) {
					return own
				}
				if found == "" {
					found = code
				}
				break
			}
		}
	}
	if found != "" {
		return found
	}
	return own
}
