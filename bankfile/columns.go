package bankfile

import (
	"slices"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/money"
)

// Mapping says what stands in which column of a bank's table, by the heading as it stands there. A table has either one column of
// amounts, with a sign, or one of money in and one of money out.
type Mapping struct {
	Day      string          `json:"day"`
	Amount   string          `json:"amount,omitempty"`
	In       string          `json:"in,omitempty"`
	Out      string          `json:"out,omitempty"`
	Name     string          `json:"name,omitempty"`
	Note     string          `json:"note,omitempty"`
	Ref      string          `json:"ref,omitempty"`
	Account  string          `json:"account,omitempty"`
	Currency string          `json:"currency,omitempty"`
	Days     intake.DayOrder `json:"days,omitempty"`    // how 4/6/2025 is read; "" = not decided
	Decimal  string          `json:"decimal,omitempty"` // "." or ","; "" = not decided
	Turned   bool            `json:"turned,omitempty"`  // money in is written negative, as on some statements of cards
}

// Validate looks at a mapping alone. Faults: Invalid.
func (m Mapping) Validate() error {
	var l fault.List
	l.Check(m.Day != "", "day", "no column of days is named", "name the heading under which the days stand")
	l.Check((m.Amount != "") != (m.In != "" || m.Out != ""), "amount", "no column of amounts is named, or two kinds of them", "name one with signs, or one of money in and one of money out")
	l.Check(m.Name != "" || m.Note != "", "name", "no column of names or notes is named", "name the heading under which it stands who paid")
	l.Check(m.Days == "" || m.Days == intake.DayMonth || m.Days == intake.MonthDay, "days", "days are written neither way", "use dm or md")
	l.Check(m.Decimal == "" || m.Decimal == "." || m.Decimal == ",", "decimal", "decimals are parted by a point or a comma", "use . or ,")
	for _, h := range m.headings() {
		if len(*h.at) > 200 {
			l.Add(fault.Invalidf(h.field, "the heading is too long").ToMend("write it as it stands in the file"))
		}
	}
	return l.Err()
}

type heading struct {
	field string
	at    *string
}

func (m *Mapping) headings() []heading {
	return []heading{
		{"day", &m.Day},
		{"amount", &m.Amount},
		{"in", &m.In},
		{"out", &m.Out},
		{"name", &m.Name},
		{"note", &m.Note},
		{"ref", &m.Ref},
		{"account", &m.Account},
		{"currency", &m.Currency},
	}
}

// words are headings that banks write, folded, the likelier first (common practice, no source).
var words = map[string][]string{
	"day": {
		"booking date", "date posted", "posting date", "posted date", "transaction date", "date", "day", "buchungstag", "buchungsdatum", "datum",
		"date operation", "date de comptabilisation", "fecha", "data", "value date", "valuta",
	},
	"amount":   {"amount", "transaction amount", "betrag", "montant", "importe", "importo", "belopp", "bedrag", "umsatz", "value"},
	"in":       {"credit", "money in", "paid in", "credit amount", "deposits", "deposit", "haben", "gutschrift", "crédit"},
	"out":      {"debit", "money out", "paid out", "debit amount", "withdrawals", "withdrawal", "soll", "lastschrift", "débit"},
	"name":     {"name", "payee", "payer", "counterparty", "counterparty name", "beneficiary", "begünstigter zahlungspflichtiger", "auftraggeber empfänger", "name zahlungsbeteiligter", "nom", "description", "details"},
	"note":     {"memo", "note", "reference", "purpose", "remittance information", "verwendungszweck", "libellé", "narrative", "description", "details"},
	"ref":      {"transaction id", "transaction number", "id", "entry reference", "bank reference", "unique id"},
	"account":  {"account", "account number", "iban", "auftragskonto", "konto", "compte"},
	"currency": {"currency", "währung", "devise", "moneda", "ccy"},
}

// mostAbove is how many rows are looked at for the headings.
const mostAbove = 30

// Guess proposes a mapping from the headings of a table. ok is false when it has none that say where day and amount stand.
func Guess(t intake.Table) (m Mapping, ok bool) {
	for _, s := range t.Sheets {
		for i, r := range s.Rows {
			if i >= mostAbove {
				break
			}
			if m, ok := guessed(r); ok {
				return m, true
			}
		}
	}
	return Mapping{}, false
}

func guessed(r intake.Row) (m Mapping, ok bool) {
	used := map[int]bool{}
	for _, h := range m.headings() {
		for _, w := range words[h.field] {
			at := slices.IndexFunc(r.Cells, func(c intake.Cell) bool { return intake.Fold(c.Text) == w })
			if at >= 0 && !used[at] {
				*h.at, used[at] = intake.Clean(r.Cells[at].Text), true
				break
			}
		}
	}
	if m.Amount != "" {
		m.In, m.Out = "", ""
	}
	return m, m.Validate() == nil
}

// columns are where the headings of a mapping stand; -1 for none.
type columns struct {
	sheet, row int
	at         map[string]int
}

// find looks for the row that has all headings of a mapping.
func (m Mapping) find(t intake.Table) (columns, error) {
	var missing, there []string
	for si, s := range t.Sheets {
		for i, r := range s.Rows {
			if i >= mostAbove {
				break
			}
			c, lacks := columns{si, i, map[string]int{}}, []string(nil)
			for _, h := range m.headings() {
				c.at[h.field] = -1
				if *h.at == "" {
					continue
				}
				if c.at[h.field] = slices.IndexFunc(r.Cells, func(x intake.Cell) bool { return intake.Fold(x.Text) == intake.Fold(*h.at) }); c.at[h.field] < 0 {
					lacks = append(lacks, *h.at)
				}
			}
			if len(lacks) == 0 {
				return c, nil
			}
			said := saidIn(r)
			if missing == nil || len(lacks) < len(missing) || len(lacks) == len(missing) && len(said) > len(there) {
				missing, there = lacks, said
			}
		}
	}
	if len(there) == 0 {
		return columns{}, fault.Invalidf("file", "it has no row of headings with %q, and none at all", fault.Clip(strings.Join(missing, ", "))).ToMend("choose the file with the lines of the account")
	}
	return columns{}, fault.Invalidf("file", "it has no row of headings with %q; the headings there are %q", fault.Clip(strings.Join(missing, ", ")), fault.Clip(strings.Join(there, ", "))).
		ToMend("say under which of these day, amount and name stand: they are kept with the account then instead of the others")
}

// saidIn is what stands in the cells of a row.
func saidIn(r intake.Row) (out []string) {
	for _, c := range r.Cells {
		if text := intake.Clean(c.Text); text != "" {
			out = append(out, text)
		}
	}
	return out
}

// ReadTable reads a bank's table by a mapping, of an account in a currency. Which way days and decimals are written is found in the file
// where it can be, and returned with the mapping.
// Faults: TooLarge beyond the limits; Invalid for each row that cannot be read, and when days or decimals can be read both ways;
// Refused for rows of another account or another currency.
func ReadTable(t intake.Table, m Mapping, currency string) (Statement, Mapping, error) {
	s := Statement{Kind: Table, Currency: currency}
	if err := m.Validate(); err != nil {
		return s, m, err
	}
	c, err := m.find(t)
	if err != nil {
		return s, m, err
	}
	rows := t.Sheets[c.sheet].Rows[c.row+1:]
	if len(rows) > MostLines {
		return s, m, tooMany()
	}
	m.settle(rows, c, currency)
	var wrong wrongs
	for _, r := range rows {
		l, is, f := m.line(r, c, &s)
		switch {
		case f != nil:
			wrong.add(r.N, f)
		case is:
			s.Lines = append(s.Lines, l)
		default:
			s.Skipped++
		}
	}
	if err := wrong.err(); err != nil {
		return s, m, err
	}
	if len(s.Lines) == 0 {
		return s, m, fault.Invalidf("file", "no row below the headings has a day and an amount").ToMend("choose the file with the lines of the account")
	}
	return s, m, nil
}

// settle decides how days and decimals are written, from what can be read in one way alone.
func (m *Mapping) settle(rows []intake.Row, c columns, currency string) {
	for _, r := range rows {
		if m.Days == "" && c.at["day"] >= 0 {
			m.Days = surely(func(o intake.DayOrder) bool {
				d, ok, _ := cell.DayOf(r.At(c.at["day"]), o)
				other := intake.DayMonth
				if o == other {
					other = intake.MonthDay
				}
				e, also, _ := cell.DayOf(r.At(c.at["day"]), other)
				parts := cell.DayParts(r.At(c.at["day"]).Text)
				first := len(parts) == 3 && (o == intake.DayMonth && parts[0] == two(d.Day) || o == intake.MonthDay && parts[1] == two(d.Day))
				return ok && also && d == e && d.Order && d.Day > 12 && first
			})
		}
		for _, col := range []string{"amount", "in", "out"} {
			if m.Decimal == "" && c.at[col] >= 0 {
				m.Decimal = mark(r.At(c.at[col]), currency)
			}
		}
	}
}

// two is a day of the month above 12 as it is written.
func two(day int) string { return string([]byte{byte('0' + day/10), byte('0' + day%10)}) }

func surely(is func(intake.DayOrder) bool) intake.DayOrder {
	for _, o := range []intake.DayOrder{intake.DayMonth, intake.MonthDay} {
		if is(o) {
			return o
		}
	}
	return ""
}

// mark is the sign of decimals that a cell shows beyond doubt: one or two digits stand behind it, at the end.
func mark(c intake.Cell, currency string) string {
	text := strings.TrimRight(strings.TrimSpace(c.Text), " -\u00a0ABCDEFGHIJKLMNOPQRSTUVWXYZ€$£")
	at := strings.LastIndexAny(text, ".,")
	if c.Kind != intake.Words || at < 0 || len(text)-at-1 > 2 || len(text)-at-1 < 1 || money.Digits(currency) == 0 {
		return ""
	}
	return text[at : at+1]
}

// line reads one row; is is false for a row that holds neither day nor amount.
func (m Mapping) line(r intake.Row, c columns, s *Statement) (l Line, is bool, f *fault.Error) {
	l.Row = r.N
	at := func(field string) intake.Cell { return r.At(c.at[field]) }
	d, hasDay, trouble := cell.DayOf(at("day"), m.Days)
	if trouble.Bars {
		if at("amount").Blank() && at("in").Blank() && at("out").Blank() {
			return l, false, nil
		}
		return l, false, told(trouble)
	}
	amount, hasAmount, f := m.amount(at, s.Currency)
	switch {
	case f != nil && hasDay:
		return l, false, f
	case !hasDay || !hasAmount:
		return l, false, nil
	case d.Year == 0:
		return l, false, fault.Invalidf("file", "the day lacks its year").ToMend("ask the bank for whole days")
	}
	if in := intake.Clean(at("currency").Text); in != "" && !strings.EqualFold(in, s.Currency) {
		return l, false, fault.New(fault.Refused, "it is in %.10s, the account is in %s", in, s.Currency).In("file").ToMend("bring in the file of the account in %.10s", in)
	}
	if of := intake.Clean(at("account").Text); of != "" {
		if s.Account == "" {
			s.Account = of
		}
		if !SameAccount(s.Account, of) {
			return l, false, fault.New(fault.Refused, "it is of another account than the rows above").In("file").ToMend("bring in a file of one account")
		}
	}
	l.Day, l.Amount = d.In(d.Year), amount
	l.Name, l.Note, l.Ref = tidy(textOf(at("name"))), tidy(textOf(at("note"))), tidy(textOf(at("ref")))
	return l, true, nil
}

func textOf(c intake.Cell) string {
	if c.Kind == intake.Number && c.Text == "" {
		return c.Number
	}
	return c.Text
}

// amount is what a row is about: of one column with signs, or money in less money out.
func (m Mapping) amount(at func(string) intake.Cell, currency string) (sum money.Amount, has bool, f *fault.Error) {
	sum = money.Of(0, currency)
	for _, field := range []string{"amount", "in", "out"} {
		if at(field).Blank() {
			continue
		}
		a, ok, trouble := cell.AmountOf(at(field), currency, m.Decimal)
		if trouble.Bars {
			return sum, false, m.otherSign(at(field), currency, told(trouble))
		}
		if !ok {
			continue
		}
		if has = true; field == "out" && a.Sign() > 0 {
			a = a.Neg() // most write money out without a sign, some with one
		}
		sum.Minor += a.Minor
	}
	if m.Turned {
		sum = sum.Neg()
	}
	return sum, has, nil
}

// otherSign says of an amount that cannot be read whether it can with the other decimal sign than the mapping's, as files before had it.
func (m Mapping) otherSign(c intake.Cell, currency string, unread *fault.Error) *fault.Error {
	words := map[string]string{",": "comma", ".": "point"}
	for sign, word := range words {
		if m.Decimal == "" || m.Decimal == sign {
			continue
		}
		if _, ok, _ := cell.AmountOf(c, currency, sign); ok {
			return fault.Invalidf("decimal", "%q is no amount with a decimal %s, as this account's files are read", textOf(c), words[m.Decimal]).
				ToMend("say that this file parts decimals by a %s", word)
		}
	}
	return unread
}

func told(t cell.Trouble) *fault.Error {
	field := t.Ask
	if field == "" {
		field = "file"
	}
	return fault.Invalidf(field, "%s", t.What).ToMend("%s", t.Mend)
}
