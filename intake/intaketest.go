// Package intaketest writes tables and mappings of tests in a few signs.
package intake

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"solander/calendar"
)

var (
	green = RGB(0xC6, 0xEF, 0xCE)
	rose  = RGB(0xFF, 0xC7, 0xCE)
)

// sheetOf makes a sheet of texts: one line a row, cells parted by |. A line may begin with the colour of its row in brackets: [green].
// A cell =12.5 is a number, @2025-03-04 a day, ^ carries the cell above as a merged one.
func sheetOf(t testing.TB, name, text string) Sheet {
	t.Helper()
	s := Sheet{Name: name}
	for i, line := range strings.Split(strings.Trim(text, "\n"), "\n") {
		line = strings.TrimSpace(line)
		fill := Fill(0)
		for word, f := range map[string]Fill{"[green]": green, "[rose]": rose} {
			if rest, ok := strings.CutPrefix(line, word); ok {
				line, fill = rest, f
			}
		}
		row := Row{N: i + 1}
		for j, cell := range strings.Split(line, "|") {
			c := cellOf(t, strings.TrimSpace(cell))
			if c.Text == "^" {
				c = s.Rows[len(s.Rows)-1].At(j)
				c.Merged = true
			}
			if c.Kind != Blank {
				c.Fill = fill
			}
			row.Cells = append(row.Cells, c)
		}
		if !row.Blank() {
			s.Rows = append(s.Rows, row)
		}
	}
	return s
}

func cellOf(t testing.TB, text string) Cell {
	t.Helper()
	switch {
	case text == "":
		return Cell{}
	case text[0] == '=':
		return Cell{Kind: Number, Number: text[1:], Text: text[1:]}
	case text[0] == '@':
		d, err := calendar.ParseDay(text[1:])
		if err != nil {
			t.Fatal(err)
		}
		return Cell{Kind: Date, Day: d, Text: d.Short()}
	}
	return Cell{Kind: Words, Text: strings.ReplaceAll(text, "¶", "\n")}
}

func tableOf(t testing.TB, text string) Table {
	t.Helper()
	return Table{Name: "sales.xlsx", Kind: Workbook, Hash: "0", Sheets: []Sheet{sheetOf(t, "Sales", text)}}
}

// mappingOf makes a mapping of headings: "Date=sold_on, Who=buyer".
func mappingOf(header int, columns string) Mapping {
	m := Mapping{Format: MappingFormat, Name: "her workbook", Currency: "USD", Outlet: "Fair", Country: "US", Days: MonthDay, Decimal: ".", Unit: "in", Several: "each", Sheets: []SheetMap{{Header: header}}}
	for i, c := range strings.Split(columns, ",") {
		heading, field, _ := strings.Cut(strings.TrimSpace(c), "=")
		m.Sheets[0].Columns = append(m.Sheets[0].Columns, Column{Column: i, Heading: heading, Field: Field(field)})
	}
	m.Fills = []FillMap{{green, Sent}, {rose, Waiting}}
	m.Words = []WordMap{{"posted", Sent}, {"waits", Waiting}, {"called off", Cancelled}, {"test", Ignore}}
	return m
}

const herColumns = "Date=sold_on, Who=buyer, Picture=title, Size=size, Grade=grade, No.=number, Price=price, Paid=paid, State=state, Remarks=note"

const herSheet = `
Prints sold in spring
Date|Who|Picture|Size|Grade|No.|Price|Paid|State|Remarks
[green] @2025-03-04|Edda Quill|Heron at dusk|12x18|fine|17/250|=120|=120||
[rose] @2025-03-05|Odo Marsh|Heron at dusk|12 x 18 in|fine|#18|=120|||half paid, 60 still due
June|
@2025-06-04|Ysolde Finch|Heron at dusk|12x18|fine|AP 2|$150.00|yes|waits|
@2025-06-05|Tam Reed|Low tide|8x10|standard|3 of 75, 4 of 75|40|40|waits|a gift
Date|Who|Picture|Size|Grade|No.|Price|Paid|State|Remarks
June 9th 2025|Nell Vane|Low tide|8x10|standard|5|40|no|called off|
Total||||||=510|=360||
`

// guessed tells the columns of a guess in short.
func guessed(m Mapping) []string {
	var all []string
	for _, s := range m.Sheets {
		line := fmt.Sprintf("%s %d:", s.Sheet, s.Header)
		if s.Skip {
			line = s.Sheet + " skipped"
		}
		for _, c := range s.Columns {
			if c.Field != Unused {
				line += fmt.Sprintf(" %s=%s", Letters(c.Column), c.Field)
			}
		}
		all = append(all, line)
	}
	return all
}

func text(s string) Cell { return Cell{Kind: Words, Text: s} }

func read(t testing.TB, in Input) Report {
	t.Helper()
	r, err := Read(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// short tells an order in a line.
func short(r Report, p Proposal) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s", p.Status, p.Placed)
	if p.Buyer >= 0 {
		b.WriteString(" " + r.Buyers[p.Buyer].Buyer.Name)
	}
	for _, l := range p.Lines {
		b.WriteString(" |")
		if l.Edition >= 0 {
			b.WriteString(" " + r.Editions[l.Edition].Words())
		}
		if !l.Number.IsZero() {
			b.WriteString(" no " + l.Number.String())
		}
		if l.Price != nil {
			b.WriteString(" " + l.Price.Plain())
		}
	}
	for _, m := range p.Payments {
		b.WriteString(" +" + m.Amount.Plain())
	}
	if p.Owed != nil {
		b.WriteString(" owed " + p.Owed.Plain())
	}
	b.WriteString(" " + string(p.State))
	return b.String()
}

func orders(r Report) []string {
	var all []string
	for _, p := range r.Proposals {
		all = append(all, short(r, p))
	}
	return all
}

// rules tells the problems in short: rule, row, column, with ! when it bars.
func rules(r Report) []string {
	var all []string
	for _, p := range r.Problems {
		s := fmt.Sprintf("%s %d%s", p.Rule, p.Row, p.Column)
		if p.Bars {
			s += "!"
		}
		for _, o := range p.Others {
			s += fmt.Sprintf(" %d%s", o.Row, o.Column)
		}
		all = append(all, s)
	}
	slices.Sort(all)
	return all
}

func outletMapping() Mapping {
	m := mappingOf(1, outletColumns)
	m.Outlet = "Corner shop"
	return m
}

const outletColumns = "Order=ref, Date=sold_on, Name=buyer, Email=email, Address=address, Item=title, Qty=quantity, Total=total, Shipping=postage, Fee=fee, Sent=sent_on, Tracking=tracking"
