// Package owed has the commands of money owed: what is owed and for how long, statements, and the papers of money.
package owed

import (
	"fmt"
	"io"

	"solander/billing"
	"solander/cli/desk"
	"solander/dues"
	"solander/house"
	"solander/invoice"
	"solander/money"
	"solander/owing"
	"solander/papers"
	"solander/studio"
)

// Owed are the commands of what is owed.
type Owed struct {
	List      listCmd      `cmd:"" default:"1" help:"What is owed today, by age: deposits, balances, what is to be paid back."`
	Statement statementCmd `cmd:"" help:"The statement of a buyer, on the screen or as PDF."`
	Receipt   receiptCmd   `cmd:"" help:"Write the receipt of the payments of an order that have none."`
	Invoice   invoiceCmd   `cmd:"" help:"Write the invoice of an order."`
	Credit    creditCmd    `cmd:"" help:"Correct a receipt or an invoice by a credit note."`
	Papers    papersCmd    `cmd:"" help:"List receipts, invoices and credit notes."`
	Paper     paperCmd     `cmd:"" help:"Show one of them, or print it as PDF."`
	Remind    remindCmd    `cmd:"" help:"Write the draft of a reminder, in your own words, as a file for your mail program; or send it."`
	Mail      mailCmd      `cmd:"" name:"mail-server" help:"The mail server by which you send reminders: show it, name it, forget it."`
	Words     wordsCmd     `cmd:"" help:"What of your own stands on them: tax number, how to pay."`
}

// Help says what they are for.
func (Owed) Help() string {
	return `Receipts, invoices and credit notes are numbered without gaps, and never changed: a credit note corrects one.
This is no tax or legal advice: what must stand on them, your local rules decide. Ask an adviser.

Example:

  solander owed
  solander owed invoice S-1042 -o invoice.pdf
  solander owed credit I-12 --reason "one print came back" --amount 80`
}

type listCmd struct{}

// Help gives an example.
func (listCmd) Help() string { return "Example:\n\n  solander owed list" }

// Run lists what is owed.
func (listCmd) Run(d *desk.Open) error {
	a, err := dues.Owed(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(a, func(w io.Writer) { printAgeing(w, a) })
}

func printAgeing(w io.Writer, a owing.Ageing) {
	desk.Table(w, func(row func(string, ...any)) {
		head := "OWED ON " + a.Day.String()
		for _, s := range a.Spans {
			head += "\t" + s.Words()
		}
		row("%s\tIN ALL", head)
		for _, r := range a.Rows {
			line := r.Kind.Words()
			for _, x := range r.Spans {
				line += "\t" + x.Plain()
			}
			row("%s\t%s", line, r.Sum)
		}
	})
	if len(a.Items)+len(a.Deposits) == 0 {
		fmt.Fprintln(w, "nothing is owed, and no deposit is held: a sale stands here until it is paid")
	}
	for _, part := range []struct {
		name  string
		items []owing.Item
	}{{"open", a.Items}, {"deposits held", a.Deposits}} {
		if len(part.items) == 0 {
			continue
		}
		fmt.Fprintf(w, "\n%s\n", part.name)
		desk.Table(w, func(row func(string, ...any)) {
			row("DAYS\tORDER\tBUYER\tWHAT\tAMOUNT")
			for _, it := range part.items {
				row("%d\t%s\t%d %s\t%s\t%s%s", it.Days, it.Mark, it.Buyer, it.Name, it.Kind.Words(), it.Amount, abroad(it.Abroad))
			}
		})
	}
}

// abroad is an amount in another currency, beside the same in the book's.
func abroad(a money.Amount) string {
	if a.Currency == "" {
		return ""
	}
	return " (" + a.String() + ")"
}

type statementCmd struct {
	Buyer string `arg:"" predictor:"buyer" help:"Whose: number, name or e-mail address."`
	From  string `placeholder:"DAY" help:"From this day on; from the first sale on when left out."`
	Until string `placeholder:"DAY" help:"Until this day; today when left out."`
	desk.FileOut
}

// Help gives an example.
func (statementCmd) Help() string {
	return "Example:\n\n  solander owed statement \"Tobias Pettibone\" -o statement.pdf"
}

// Run shows a statement or prints it.
func (c *statementCmd) Run(d *desk.Open) error {
	id, err := d.BuyerNamed(c.Buyer, "buyer")
	if err != nil {
		return err
	}
	in := dues.StatementIn{Buyer: id}
	if in.From, err = desk.Day(c.From, "from"); err != nil {
		return err
	}
	if in.Until, err = desk.Day(c.Until, "until"); err != nil {
		return err
	}
	v, err := dues.StatementOf(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	if c.Output != "" {
		return desk.Draw(d.Desk, desk.SheetOut(c.FileOut), v.Paper(), nil)
	}
	return d.Show(v, func(w io.Writer) {
		fmt.Fprintf(w, "%s, %s\n\n", v.Buyer.Name, papers.SpanOf(v.From, v.Until))
		desk.Table(w, func(row func(string, ...any)) {
			row("DAY\tORDER\tWHAT\tSALE\tPAID\tOWED")
			row("\t\towed before\t\t\t%s", v.Opening.Plain())
			for _, e := range v.Entries {
				row("%s\t%s\t%s%s\t%s\t%s\t%s", e.Day, e.Mark, e.Text, abroad(e.Abroad), e.Charge.Plain(), e.Paid.Plain(), e.Balance.Plain())
			}
			row("\t\tin all\t%s\t%s\t%s", v.Charged.Plain(), v.Paid.Plain(), v.Closing)
			for _, a := range v.Abroad {
				row("\t\tof that, in its own currency\t\t\t%s", a)
			}
		})
	})
}

// given are what all that write a paper take.
type given struct {
	Number int64  `placeholder:"N" help:"Its number, where the series is to begin; else the next is taken."`
	Day    string `placeholder:"DAY" help:"Its day; today when left out."`
	desk.FileOut
}

type receiptCmd struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
	given
}

// Help gives an example.
func (receiptCmd) Help() string { return "Example:\n\n  solander owed receipt S-1042 -o receipt.pdf" }

// Run writes a receipt.
func (c *receiptCmd) Run(d *desk.Open) error {
	return c.write(d, invoice.Receipt, c.Order)
}

type invoiceCmd struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
	given
}

// Help gives an example.
func (invoiceCmd) Help() string { return "Example:\n\n  solander owed invoice S-1042 -o invoice.pdf" }

// Run writes an invoice.
func (c *invoiceCmd) Run(d *desk.Open) error {
	return c.write(d, invoice.Invoice, c.Order)
}

func (c *given) write(d *desk.Open, k invoice.Kind, mark string) error {
	o, err := d.OrderNamed(mark)
	if err != nil {
		return err
	}
	in := billing.WriteIn{Kind: k, Order: o.ID, Number: c.Number}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	b, err := billing.Write(d.Ctx, d.Studio, in)
	return c.given(d, b, err)
}

// given answers with the paper that was written.
func (c *given) given(d *desk.Open, b invoice.Bill, err error) error {
	if err != nil {
		return err
	}
	if c.Output != "" {
		if err := draw(d, c.FileOut, b.ID); err != nil || c.Output == "-" {
			return err
		}
	}
	return d.Say(b, "%s %s over %s is written", b.Kind.Words(), b.Label(), b.Total)
}

func draw(d *desk.Open, c desk.FileOut, id int64) error {
	p, err := billing.Paper(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	return desk.Draw(d.Desk, desk.SheetOut(c), p, nil)
}

type creditCmd struct {
	Bill   string `arg:"" help:"The receipt or invoice: I-12."`
	Amount string `placeholder:"MONEY" help:"What it takes off; all that is left when left out."`
	Reason string `required:"" placeholder:"TEXT" help:"Why; it stands on the credit note."`
	given
}

// Help gives an example.
func (creditCmd) Help() string {
	return "No money moves by it: solander pay records what is paid back.\n\nExample:\n\n  solander owed credit I-12 --reason \"one print came back\" --amount 80"
}

// Run writes a credit note.
func (c *creditCmd) Run(d *desk.Open) error {
	v, err := billing.Numbered(d.Ctx, d.Studio, c.Bill)
	if err != nil {
		return err
	}
	in := billing.CorrectIn{Bill: v.ID, Reason: c.Reason, Number: c.Number}
	if c.Amount != "" {
		if in.Amount, err = money.Parse(c.Amount, v.Total.Currency); err != nil {
			return desk.In(err, "amount")
		}
	}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	b, err := billing.Correct(d.Ctx, d.Studio, in)
	return c.given.given(d, b, err)
}

type papersCmd struct {
	Kind   string `placeholder:"KIND" help:"receipt, invoice or credit; all when left out."`
	Order  string `placeholder:"MARK" predictor:"order" help:"Of one order."`
	Before int64  `placeholder:"ID" help:"Go on with the list before this one."`
}

// Help gives an example.
func (papersCmd) Help() string { return "Example:\n\n  solander owed papers --kind invoice" }

// Run lists papers.
func (c *papersCmd) Run(d *desk.Open) error {
	q := invoice.Query{Kind: invoice.Kind(c.Kind), Before: c.Before}
	if c.Order != "" {
		o, err := d.OrderNamed(c.Order)
		if err != nil {
			return err
		}
		q.Order = o.ID
	}
	p, err := billing.List(d.Ctx, d.Studio, q)
	if err != nil {
		return err
	}
	return d.Show(p, func(w io.Writer) {
		if len(p.Bills) == 0 {
			fmt.Fprintln(w, "no such paper is written yet: solander owed invoice ORDER writes one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("PAPER\tDAY\tORDER\tFOR\tTOTAL\tTAX")
			for _, b := range p.Bills {
				row("%s\t%s\t%s\t%s\t%s\t%s", b.Label(), b.Day, b.Body.Mark, b.To.Name, b.Total, b.Tax.Plain())
			}
		})
		if p.Next != 0 {
			fmt.Fprintf(w, "older ones: solander owed papers --before %d\n", p.Next)
		}
	})
}

type paperCmd struct {
	Bill string `arg:"" help:"Which: I-12."`
	desk.FileOut
}

// Help gives an example.
func (paperCmd) Help() string { return "Example:\n\n  solander owed paper I-12 -o invoice.pdf" }

// Run shows a paper or prints it.
func (c *paperCmd) Run(d *desk.Open) error {
	v, err := billing.Numbered(d.Ctx, d.Studio, c.Bill)
	if err != nil {
		return err
	}
	if c.Output != "" {
		return draw(d, c.FileOut, v.ID)
	}
	return d.Show(v, func(w io.Writer) {
		fmt.Fprintf(w, "%s %s of %s, order %s, for %s\n", v.Kind.Words(), v.Label(), v.Day, v.Body.Mark, v.To.Name)
		if v.Body.Rate != nil {
			fmt.Fprintln(w, papers.RateOf(*v.Body.Rate))
		}
		desk.Table(w, func(row func(string, ...any)) {
			for _, l := range v.Body.Lines {
				row("  %s\t%s", l.Text, l.Amount)
			}
			for _, t := range v.Body.Taxes {
				row("  %s on %s\t%s", t.Text, t.Base, t.Amount)
				if t.Book != nil {
					row("  this tax in %s\t%s", t.Book.Currency, t.Book)
				}
			}
			row("  total\t%s", v.Total)
			for _, n := range v.Notes {
				row("  %s %s: %s\t%s", n.Kind.Words(), n.Label(), n.Body.Reason, n.Total.Neg())
			}
			if len(v.Notes) > 0 {
				row("  left of it\t%s", v.Left)
			}
		})
	})
}

type wordsCmd struct {
	Reminder  *string `placeholder:"TEXT" help:"Of a reminder; empty for the usual words."`
	TaxNumber *string `placeholder:"TEXT" help:"The number under which you are registered for tax; empty for none."`
	Text      *string `placeholder:"TEXT" help:"Below each invoice: how and until when to pay."`
}

// Help gives an example.
func (wordsCmd) Help() string {
	return "Example:\n\n  solander owed words --tax-number 12-345 --text \"Please pay within 14 days.\""
}

// Run shows or keeps the words.
func (c *wordsCmd) Run(d *desk.Open) error {
	terms := invoice.Terms{}
	change := func(set *studio.Settings) error {
		for to, typed := range map[*string]*string{&set.Bills.Reminder: c.Reminder, &set.Bills.TaxNumber: c.TaxNumber, &set.Bills.Words: c.Text} {
			if typed != nil {
				*to = *typed
			}
		}
		terms = set.Bills
		return nil
	}
	if c.TaxNumber != nil || c.Text != nil || c.Reminder != nil {
		if err := house.ChangeSettings(d.Ctx, d.Studio, change); err != nil {
			return err
		}
	} else {
		set, err := d.Studio.Settings(d.Ctx)
		if err != nil {
			return err
		}
		terms = set.Bills
	}
	return d.Show(terms, func(w io.Writer) {
		fmt.Fprintf(w, "tax number: %s\nbelow an invoice: %s\nreminder: %s\n", desk.OrText(terms.TaxNumber, "none"), desk.OrText(terms.Words, "nothing"), desk.OrText(terms.Reminder, "the usual words"))
	})
}
