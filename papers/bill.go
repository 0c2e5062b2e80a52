package papers

import (
	"slices"
	"strings"

	"solander/calendar"
	"solander/invoice"
	"solander/owing"
)

// Bill is a receipt, an invoice or a credit note as it is printed.
type Bill struct {
	Head
	Name     string // "Invoice I-12"
	Label    string
	From, To []string
	About    []string // what it is about, a sentence each
	Lines    []BillLine
	Sums     []BillSum
	Words    string // of hers, below it
}

// Title names the paper.
func (b Bill) Title() string { return b.Name }

// BillLine is what it is over.
type BillLine struct{ Text, Facts, Amount string }

// BillSum is a line of the sum; Strong ones are what is looked for.
type BillSum struct {
	Name, Amount string
	Strong       bool
}

// BillOf is a paper of money as it is printed.
func BillOf(h Head, b invoice.Bill) Bill {
	x := b.Body
	name := strings.ToUpper(b.Kind.Words()[:1]) + b.Kind.Words()[1:] + " " + b.Label()
	p := Bill{Head: h, Name: name, Label: b.Label(), From: party(x.From), To: party(b.To), Words: x.Terms}
	if x.TaxNumber != "" {
		p.From = append(p.From, "Tax number "+x.TaxNumber)
	}
	about := "Order " + x.Mark
	if x.Outlet != "" {
		about += ", sold by " + x.Outlet
	}
	if x.Ref != "" {
		about += ", reference " + x.Ref
	}
	p.About = append(p.About, about+", of "+x.Placed.Long())
	if x.Reason != "" {
		p.About = append(p.About, "Reason: "+x.Reason)
	}
	if x.Rate != nil {
		p.About = append(p.About, RateOf(*x.Rate))
	}
	for _, l := range x.Lines {
		p.Lines = append(p.Lines, BillLine{l.Text, l.Facts, l.Amount.String()})
	}
	p.Sums = sumsOf(b)
	return p
}

// RateOf says how amounts of another currency came about.
func RateOf(r invoice.Rate) string {
	text := "The sale was agreed as " + r.Total.String() + ", which stands for " + r.Book.String() + ", on " + r.Day.Long()
	if r.Words != "" {
		text += ", by the rate of " + r.Words
	}
	return text
}

func party(p invoice.Party) []string { return append([]string{p.Name}, p.Lines...) }

func sumsOf(b invoice.Bill) []BillSum {
	x := b.Body
	var out []BillSum
	sum := func(name, amount string, strong bool) { out = append(out, BillSum{name, amount, strong}) }
	inBook := func(t invoice.Tax) {
		if t.Book != nil {
			sum("this tax in "+t.Book.Currency, t.Book.String(), false)
		}
	}
	inside := slices.ContainsFunc(x.Taxes, func(t invoice.Tax) bool { return t.Inside })
	if len(x.Taxes) > 0 && !inside {
		sum("Without tax", b.Net.String(), false)
	}
	for _, t := range x.Taxes {
		if !t.Inside {
			sum(t.Text+" on "+t.Base.String(), t.Amount.String(), false)
			inBook(t)
		}
	}
	sum("Total", b.Total.String(), true)
	for _, t := range x.Taxes {
		if t.Inside {
			sum("of which "+strings.ToLower(t.Text), t.Amount.String(), false)
			inBook(t)
		}
	}
	switch {
	case x.Exempt != "":
		sum(x.Exempt, "no tax", false)
	case x.ByOutlet:
		sum("Tax, if any", "by the outlet", false)
	}
	switch b.Kind {
	case invoice.Invoice:
		for _, p := range x.Paid {
			sum(p.Day.Long()+", "+p.Text, p.Amount.Neg().String(), false)
		}
		if len(x.Paid) > 0 {
			sum("Still to pay", x.Owed.String(), true)
		}
	case invoice.Receipt:
		if x.Owed.Sign() > 0 {
			sum("Still to pay of the order", x.Owed.String(), false)
		}
	}
	return out
}

// Statement is the statement of a buyer as it is printed.
type Statement struct {
	Head
	From, To []string
	Span     string
	Rows     []StatementRow
	Sums     []BillSum
}

// Title names the paper.
func (Statement) Title() string { return "Statement" }

// StatementRow is one entry.
type StatementRow struct{ Day, Text, Charge, Paid, Balance string }

// StatementOf is a statement as it is printed.
func StatementOf(h Head, from, to invoice.Party, s owing.Statement) Statement {
	p := Statement{Head: h, From: party(from), To: party(to), Span: SpanOf(s.From, s.Until)}
	if !s.From.IsZero() {
		p.Rows = append(p.Rows, StatementRow{s.From.Long(), "Owed before", "", "", s.Opening.Plain()})
	}
	for _, e := range s.Entries {
		r := StatementRow{Day: e.Day.Long(), Text: e.Text + ", order " + e.Mark, Balance: e.Balance.Plain()}
		if !e.Abroad.IsZero() {
			r.Text += ", " + e.Abroad.String()
		}
		if e.Charge.Sign() != 0 {
			r.Charge = e.Charge.Plain()
		}
		if e.Paid.Sign() != 0 {
			r.Paid = e.Paid.Plain()
		}
		p.Rows = append(p.Rows, r)
	}
	p.Sums = []BillSum{{"Sales", s.Charged.String(), false}, {"Paid", s.Paid.String(), false}}
	switch s.Closing.Sign() {
	case -1:
		p.Sums = append(p.Sums, BillSum{"The studio owes you", s.Closing.Neg().String(), true})
	case 0:
		p.Sums = append(p.Sums, BillSum{"Nothing is owed", s.Closing.String(), true})
	default:
		p.Sums = append(p.Sums, BillSum{"You owe the studio", s.Closing.String(), true})
	}
	for _, a := range s.Abroad {
		name := "of that, owed in its own currency"
		if a.Sign() < 0 {
			name, a = "of that, owed to you in its own currency", a.Neg()
		}
		p.Sums = append(p.Sums, BillSum{name, a.String(), false})
	}
	return p
}

// SpanOf says a span of days: "until 2 March 2031".
func SpanOf(from, until calendar.Day) string {
	if from.IsZero() {
		return "until " + until.Long()
	}
	return from.Long() + " to " + until.Long()
}
