// Package bank has the commands of the bank's lines: accounts, files brought in, and what each line is, by her word.
package bank

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"

	"solander/bankfile"
	"solander/banking"
	"solander/cli/desk"
	"solander/fault"
	"solander/intake"
)

// Bank are the commands of the bank's lines.
type Bank struct {
	List    listCmd    `cmd:"" default:"1" help:"List the accounts, with how many of their lines are open."`
	Account accountCmd `cmd:"" help:"Add an account, or change its name and number."`
	Bring   bringCmd   `cmd:"" help:"Bring in a file of the bank: OFX, CSV or a workbook."`
	Open    openCmd    `cmd:"" help:"The open lines of an account, each with what it may be."`
	Lines   linesCmd   `cmd:"" help:"The lines of an account in a state."`
	Yes     yesCmd     `cmd:"" help:"Say that lines are the payments proposed for them, or which payment or order a line is."`
	Aside   asideCmd   `cmd:"" help:"Say that a line has nothing to do with a payment."`
	Reopen  reopenCmd  `cmd:"" help:"Take back what was said of a line."`
	TakeOut takeOutCmd `cmd:"" name:"take-out" help:"Forget a file and its lines, when it was the wrong one."`
}

// Help says how it goes.
func (Bank) Help() string {
	return `Lines are held against payments by amount, day and name. What fits is proposed; nothing is taken without your yes.

Example:

  solander bank account "Current account"
  solander bank bring current march.ofx
  solander bank open current
  solander bank yes current --proposed`
}

// named finds an account by its number in the list or words of its name.
func named(d *desk.Open, name string) (banking.AccountView, error) {
	all, err := banking.Accounts(d.Ctx, d.Studio)
	if err != nil {
		return banking.AccountView{}, err
	}
	return desk.Pick(all, name, "account", "solander bank", func(v banking.AccountView) int64 { return v.ID }, func(v banking.AccountView) string { return v.Name })
}

type listCmd struct{}

// Help gives an example.
func (listCmd) Help() string { return "Example:\n\n  solander bank list" }

// Run lists the accounts.
func (listCmd) Run(d *desk.Open) error {
	all, err := banking.Accounts(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no account is kept yet: solander bank account NAME adds one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("ACCOUNT\tNAME\tNUMBER\tMONEY\tOPEN\tMATCHED\tASIDE\tLAST FILE")
			for _, v := range all {
				last := "none"
				if f := v.Last(); f != nil {
					last = fmt.Sprintf("%s, %s (file %d)", f.Day, f.Name, f.ID)
				}
				row("%d\t%s\t%s\t%s\t%d\t%d\t%d\t%s", v.ID, v.Name, bankfile.Masked(v.Number), v.Currency, v.Lines(bankfile.Open), v.Lines(bankfile.Matched), v.Lines(bankfile.Aside), last)
			}
		})
	})
}

type accountCmd struct {
	Name     string `arg:"" help:"What you call it; with --number, of one that is called so already the number is changed."`
	Change   string `placeholder:"ACCOUNT" help:"The account to change; a new one when left out."`
	Number   string `placeholder:"NUMBER" help:"As the bank's files write it; when left out, the first file that names one says it."`
	Currency string `placeholder:"CODE" help:"ISO 4217; the studio's when left out."`
}

// Help gives an example.
func (accountCmd) Help() string {
	return "Example:\n\n  solander bank account \"Current account\" --number 12-345-678"
}

// Run adds or changes an account.
func (c *accountCmd) Run(d *desk.Open) error {
	a, err := c.which(d)
	if err != nil {
		return err
	}
	a.Name = c.Name
	if c.Number != "" {
		a.Number = c.Number
	}
	if c.Currency != "" {
		a.Currency = c.Currency
	}
	id, err := banking.SaveAccount(d.Ctx, d.Studio, a)
	if err != nil {
		return err
	}
	v, err := banking.Account(d.Ctx, d.Studio, id)
	return d.Done(err, v, "account %d, %s, in %s", v.ID, v.Name, v.Currency)
}

// which is the account that is changed: the one that is named to be, or one that is called so already when only its number is said. Else a new one.
func (c *accountCmd) which(d *desk.Open) (bankfile.Account, error) {
	if c.Change != "" {
		v, err := named(d, c.Change)
		return v.Account, desk.In(err, "change")
	}
	all, err := banking.Accounts(d.Ctx, d.Studio)
	if i := slices.IndexFunc(all, func(v banking.AccountView) bool { return v.Name == c.Name }); i >= 0 && c.Number != "" {
		return all[i].Account, err
	}
	return bankfile.Account{}, err
}

type bringCmd struct {
	Account string `arg:"" help:"Its number in the list, or words of its name."`
	File    string `arg:"" predictor:"file" help:"The file of the bank."`
	Trial   bool   `help:"Only tell what it would come to."`

	DayColumn    string `name:"day" placeholder:"HEADING" help:"Of a table: the heading over the days."`
	AmountColumn string `name:"amount" placeholder:"HEADING" help:"The heading over amounts with a sign."`
	InColumn     string `name:"in" placeholder:"HEADING" help:"The heading over money in, where money out stands apart."`
	OutColumn    string `name:"out" placeholder:"HEADING" help:"The heading over money out."`
	NameColumn   string `name:"name" placeholder:"HEADING" help:"The heading over who paid."`
	NoteColumn   string `name:"note" placeholder:"HEADING" help:"The heading over the bank's note."`
	RefColumn    string `name:"ref" placeholder:"HEADING" help:"The heading over the bank's own mark of a line."`
	Days         string `enum:"dm,md," default:"" placeholder:"ORDER" help:"How 4/6/2025 is read: dm or md."`
	Decimal      string `enum:"point,comma," default:"" placeholder:"SIGN" help:"What parts decimals: point or comma."`
	Turned       bool   `help:"Money in is written with a minus."`
}

// Help gives an example.
func (bringCmd) Help() string {
	return `What came before is known again and left. The headings are kept with the account.

Example:

  solander bank bring current march.ofx
  solander bank bring current march.csv --trial --day "Booked on" --amount Betrag --name Von --days dm`
}

func (c *bringCmd) mapping() *bankfile.Mapping {
	m := bankfile.Mapping{
		Day: c.DayColumn, Amount: c.AmountColumn, In: c.InColumn, Out: c.OutColumn, Name: c.NameColumn, Note: c.NoteColumn, Ref: c.RefColumn,
		Days: intake.DayOrder(c.Days), Decimal: map[string]string{"point": ".", "comma": ","}[c.Decimal], Turned: c.Turned,
	}
	if m == (bankfile.Mapping{}) {
		return nil
	}
	return &m
}

// Run brings a file in.
func (c *bringCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Account)
	if err != nil {
		return err
	}
	body, err := d.ReadFileOf(c.File, "file", banking.MaxFile)
	if err != nil {
		return err
	}
	m := c.mapping()
	if m != nil && m.Day == "" && m.Amount == "" && m.In == "" && m.Out == "" { // it only says how to read what is known
		with := v.Mapping
		if with == (bankfile.Mapping{}) {
			return fault.Invalidf("day", "no headings are named, and none are kept with the account").ToMend("name the headings, too: --day, --amount, --name")
		}
		with.Days, with.Decimal, with.Turned = m.Days, m.Decimal, m.Turned
		m = &with
	}
	out, err := banking.Bring(d.Ctx, d.Studio, banking.BringIn{Account: v.ID, Name: filepath.Base(c.File), Body: body, Mapping: m, Try: c.Trial})
	if err != nil {
		return err
	}
	return d.Show(out, func(w io.Writer) {
		verb := "brought in"
		if out.Tried {
			verb = "would be brought in"
		}
		fmt.Fprintf(w, "%s: %s %s, %s known already, of %s to %s; money in %s, out %s\n", v.Name, fault.Count(out.Lines, "line"), verb, fault.Count(out.Known, "line"), out.From, out.To, out.In, out.Out.Neg())
		if !out.Tried && out.Lines > 0 {
			fmt.Fprintf(w, "solander bank open %d shows what they may be\n", v.ID)
		}
	})
}

type openCmd struct {
	Account string `arg:"" help:"Its number in the list, or words of its name."`
}

// Help gives an example.
func (openCmd) Help() string { return "Example:\n\n  solander bank open current" }

// Run lists open lines.
func (c *openCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Account)
	if err != nil {
		return err
	}
	all, err := banking.Open(d.Ctx, d.Studio, v.ID)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no line is open")
		}
		if !v.Opened.IsZero() {
			fmt.Fprintf(w, "lines up to %s are in the opening balance: what they are is noted, and they are not entered into the bank again\n", v.Opened)
		}
		for _, l := range all {
			fmt.Fprintf(w, "%d  %s  %s  %s\n", l.ID, l.Day, l.Amount, desk.OneLine(l.Name+" "+l.Note))
			switch {
			case l.Proposal != nil:
				fmt.Fprintf(w, "    proposed: %s, %s: %s\n", what(l.Proposal.Candidate), l.Proposal.Buyer, reasons(l.Proposal.Reasons))
			case l.Tie:
				fmt.Fprintln(w, "    several are as likely:")
			case len(l.Others) > 0:
				fmt.Fprintln(w, "    it may be:")
			}
			if l.Proposal == nil {
				for _, p := range l.Others {
					fmt.Fprintf(w, "      %s, %s: %s\n", what(p.Candidate), p.Buyer, reasons(p.Reasons))
				}
			}
		}
	})
}

type linesCmd struct {
	Account string `arg:"" help:"Its number in the list, or words of its name."`
	State   string `enum:"open,matched,aside," default:"" placeholder:"STATE" help:"open, matched or aside; all when left out."`
	Limit   int    `default:"100" help:"How many at most, the newest first."`
}

// Help gives an example.
func (linesCmd) Help() string { return "Example:\n\n  solander bank lines current --state matched" }

// Run lists lines.
func (c *linesCmd) Run(d *desk.Open) error {
	if c.Limit < 1 || c.Limit > bankfile.MostLines {
		return fault.Invalidf("limit", "%d lines cannot be listed", c.Limit).ToMend("give a number from 1 to %d", bankfile.MostLines)
	}
	v, err := named(d, c.Account)
	if err != nil {
		return err
	}
	all, err := banking.Lines(d.Ctx, d.Studio, bankfile.Query{Account: v.ID, State: bankfile.State(c.State), Limit: c.Limit})
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("LINE\tDAY\tAMOUNT\tNAME\tSTATE\tWHAT IT IS")
			for _, l := range all {
				row("%d\t%s\t%s\t%s\t%s\t%s", l.ID, l.Day, l.Amount, l.Name, l.State, desk.OrText(l.Is(), l.Why))
			}
		})
	})
}

type yesCmd struct {
	Account  string  `arg:"" help:"Its number in the list, or words of its name."`
	Lines    []int64 `arg:"" optional:"" name:"line" help:"Lines whose proposal is right."`
	Proposed bool    `help:"Every proposal of the account is right."`
	Payment  int64   `placeholder:"PAYMENT" help:"The payment of the book that the one line is."`
	Order    string  `placeholder:"ORDER" predictor:"order" help:"The order of which the one line is a payment that is not noted yet."`
	Payout   int64   `placeholder:"PAYOUT" help:"The payout of an outlet that the one line is."`
	Money    int64   `placeholder:"MONEY" help:"The money of a gallery that the one line is."`
	Gallery  int64   `placeholder:"GALLERY" help:"The gallery that paid what it owes by the one line, by its number; that is noted now."`
	Claim    int64   `placeholder:"CLAIM" help:"The claim that its operator paid by the one line; that is noted, if it was not yet."`
	Carry    int64   `placeholder:"CASH" help:"The cash carried to the bank that the one line is, by its number on the day at the table."`
	Fair     int64   `placeholder:"DAY" help:"The day at a table whose cash the one line is, by its number; that it was carried is noted now."`
}

// Help gives an example.
func (yesCmd) Help() string {
	return `What an order owes becomes a payment of it by that; undo takes that payment back. So it is of what a gallery owes, an operator granted, or lies in
the cash box of a day at a table.

Example:

  solander bank yes current --proposed
  solander bank yes current 12 14
  solander bank yes current 15 --order S-1042
  solander bank yes current 16 --payout 3`
}

// Run matches lines.
func (c *yesCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Account)
	if err != nil {
		return err
	}
	all, err := c.said(d, v.ID)
	if err != nil {
		return err
	}
	if err := banking.Match(d.Ctx, d.Studio, all); err != nil {
		return err
	}
	return d.Say(all, "%s matched", fault.Count(len(all), "line"))
}

// said are the pairs that she said yes to.
func (c *yesCmd) said(d *desk.Open, account int64) ([]banking.MatchIn, error) {
	named := 0
	for _, is := range []bool{c.Payment != 0, c.Order != "", c.Payout != 0, c.Money != 0, c.Gallery != 0, c.Claim != 0, c.Carry != 0, c.Fair != 0} {
		if is {
			named++
		}
	}
	if named > 0 {
		if len(c.Lines) != 1 || named > 1 || c.Proposed {
			return nil, fault.Invalidf("line", "a line is one thing").ToMend("name one line, and one of --payment, --order, --payout, --money, --gallery, --claim, --carry and --fair")
		}
		in := banking.MatchIn{Line: c.Lines[0], Payment: c.Payment, Payout: c.Payout, Money: c.Money, Gallery: c.Gallery, Claim: c.Claim, Carry: c.Carry, Fair: c.Fair}
		if c.Order != "" {
			o, err := d.OrderNamed(c.Order)
			if err != nil {
				return nil, err
			}
			in.Order = o.ID
		}
		return []banking.MatchIn{in}, nil
	}
	if c.Proposed == (len(c.Lines) > 0) {
		return nil, fault.Invalidf("line", "no line is named").ToMend("name those whose proposal is right, or say --proposed for all of them")
	}
	open, err := banking.Open(d.Ctx, d.Studio, account)
	if err != nil {
		return nil, err
	}
	if c.Proposed {
		for _, l := range open {
			if l.Proposal != nil {
				c.Lines = append(c.Lines, l.ID)
			}
		}
	}
	var out []banking.MatchIn
	for _, id := range c.Lines {
		i := slices.IndexFunc(open, func(l banking.OpenLine) bool { return l.ID == id })
		if i < 0 || open[i].Proposal == nil {
			return nil, fault.New(fault.Missing, "nothing is proposed for line %d", id).In("line").ToMend("solander bank open %d shows what it may be", account)
		}
		out = append(out, banking.Yes(id, open[i].Proposal.Candidate))
	}
	if len(out) == 0 {
		return nil, fault.New(fault.Missing, "nothing is proposed").In("proposed").ToMend("solander bank open %s shows what the lines may be", strconv.FormatInt(account, 10))
	}
	return out, nil
}

type asideCmd struct {
	Line int64  `arg:"" help:"The line, by its number."`
	Why  string `required:"" placeholder:"TEXT" help:"What it is."`
}

// Help gives an example.
func (asideCmd) Help() string { return "Example:\n\n  solander bank aside 17 --why \"the bank's fee\"" }

// Run sets a line aside.
func (c *asideCmd) Run(d *desk.Open) error {
	return d.Done(banking.SetAside(d.Ctx, d.Studio, c.Line, c.Why), c, "line %d is set aside", c.Line)
}

type reopenCmd struct {
	Line int64 `arg:"" help:"The line, by its number."`
}

// Help gives an example.
func (reopenCmd) Help() string {
	return "What it was stays in the book.\n\nExample:\n\n  solander bank reopen 17"
}

// Run takes back what was said of a line.
func (c *reopenCmd) Run(d *desk.Open) error {
	return d.Done(banking.Reopen(d.Ctx, d.Studio, c.Line), c, "line %d is open again", c.Line)
}

type takeOutCmd struct {
	File int64 `arg:"" help:"The file, by its number in the list."`
}

// Help gives an example.
func (takeOutCmd) Help() string { return "Example:\n\n  solander bank take-out 3" }

// Run forgets a file.
func (c *takeOutCmd) Run(d *desk.Open) error {
	f, err := banking.TakeOut(d.Ctx, d.Studio, c.File)
	return d.Done(err, f, "%s is taken out, with %s", f.Name, fault.Count(f.Lines, "line"))
}
