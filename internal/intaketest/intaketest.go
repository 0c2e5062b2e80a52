// Package intaketest writes tables and mappings of tests in a few signs.
package intaketest

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"solander/calendar"
	"solander/intake"
	"solander/intake/proposal"
)

var (
	Green = intake.RGB(0xC6, 0xEF, 0xCE)
	rose  = intake.RGB(0xFF, 0xC7, 0xCE)
)

// SheetOf makes a sheet of texts: one line a row, cells parted by |. A line may begin with the colour of its row in brackets: [green].
// A cell =12.5 is a number, @2025-03-04 a day, ^ carries the cell above as a merged one.
func SheetOf(t testing.TB, name, text string) intake.Sheet {
	t.Helper()
	s := intake.Sheet{Name: name}
	for i, line := range strings.Split(strings.Trim(text, "\n"), "\n") {
		line = strings.TrimSpace(line)
		fill := intake.Fill(0)
		for word, f := range map[string]intake.Fill{"[green]": Green, "[rose]": rose} {
			if rest, ok := strings.CutPrefix(line, word); ok {
				line, fill = rest, f
			}
		}
		row := intake.Row{N: i + 1}
		for j, cell := range strings.Split(line, "|") {
			c := cellOf(t, strings.TrimSpace(cell))
			if c.Text == "^" {
				c = s.Rows[len(s.Rows)-1].At(j)
				c.Merged = true
			}
			if c.Kind != intake.Blank {
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

func cellOf(t testing.TB, text string) intake.Cell {
	t.Helper()
	switch {
	case text == "":
		return intake.Cell{}
	case text[0] == '=':
		return intake.Cell{Kind: intake.Number, Number: text[1:], Text: text[1:]}
	case text[0] == '@':
		d, err := calendar.ParseDay(text[1:])
		if err != nil {
			t.Fatal(err)
		}
		return intake.Cell{Kind: intake.Date, Day: d, Text: d.Short()}
	}
	return intake.Cell{Kind: intake.Words, Text: strings.ReplaceAll(text, "¶", "\n")}
}

func TableOf(t testing.TB, text string) intake.Table {
	t.Helper()
	return intake.Table{Name: "sales.xlsx", Kind: intake.Workbook, Hash: "0", Sheets: []intake.Sheet{SheetOf(t, "Sales", text)}}
}

// MappingOf makes a mapping of headings: "Date=sold_on, Who=buyer".
func MappingOf(header int, columns string) intake.Mapping {
	m := intake.Mapping{Format: intake.MappingFormat, Name: "her workbook", Currency: "USD", Outlet: "Fair", Country: "US", Days: intake.MonthDay, Decimal: ".", Unit: "in", Several: "each", Sheets: []intake.SheetMap{{Header: header}}}
	for i, c := range strings.Split(columns, ",") {
		heading, field, _ := strings.Cut(strings.TrimSpace(c), "=")
		m.Sheets[0].Columns = append(m.Sheets[0].Columns, intake.Column{Column: i, Heading: heading, Field: intake.Field(field)})
	}
	m.Fills = []intake.FillMap{{Fill: Green, Means: intake.Sent}, {Fill: rose, Means: intake.Waiting}}
	m.Words = []intake.WordMap{{Text: "posted", Means: intake.Sent}, {Text: "waits", Means: intake.Waiting}, {Text: "called off", Means: intake.Cancelled}, {Text: "test", Means: intake.Ignore}}
	return m
}

const HerColumns = "Date=sold_on, Who=buyer, Picture=title, Size=size, Grade=grade, No.=number, Price=price, Paid=paid, State=state, Remarks=note"

const HerSheet = `
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

// Guessed tells the columns of a guess in short.
func Guessed(m intake.Mapping) []string {
	var all []string
	for _, s := range m.Sheets {
		line := fmt.Sprintf("%s %d:", s.Sheet, s.Header)
		if s.Skip {
			line = s.Sheet + " skipped"
		}
		for _, c := range s.Columns {
			if c.Field != intake.Unused {
				line += fmt.Sprintf(" %s=%s", intake.Letters(c.Column), c.Field)
			}
		}
		all = append(all, line)
	}
	return all
}

func Text(s string) intake.Cell { return intake.Cell{Kind: intake.Words, Text: s} }

func Read(t testing.TB, in intake.Input) intake.Report {
	t.Helper()
	r, err := proposal.Read(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Short tells an order in a line.
func Short(r intake.Report, p intake.Proposal) string {
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

func Orders(r intake.Report) []string {
	var all []string
	for _, p := range r.Proposals {
		all = append(all, Short(r, p))
	}
	return all
}

// Rules tells the problems in short: rule, row, column, with ! when it bars.
func Rules(r intake.Report) []string {
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

func OutletMapping() intake.Mapping {
	m := MappingOf(1, outletColumns)
	m.Outlet = "Corner shop"
	return m
}

const outletColumns = "Order=ref, Date=sold_on, Name=buyer, Email=email, Address=address, Item=title, Qty=quantity, Total=total, Shipping=postage, Fee=fee, Sent=sent_on, Tracking=tracking"
