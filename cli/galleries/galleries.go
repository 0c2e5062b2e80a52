// Package galleries has the commands of galleries: what they have, sold, owe; their statements.
package galleries

import (
	"fmt"
	"io"
	"strings"

	"solander/calendar"
	"solander/cli/desk"
	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Galleries are the commands of galleries.
type Galleries struct {
	List      listCmd      `cmd:"" default:"1" help:"List galleries, with what they have and owe."`
	Save      saveCmd      `cmd:"" help:"Add a gallery, or change one."`
	Show      showCmd      `cmd:"" help:"Show a gallery with its prints and its money."`
	Send      sendCmd      `cmd:"" help:"Note that a print goes to a gallery on consignment."`
	Sold      soldCmd      `cmd:"" help:"Note that a gallery sold a print."`
	Back      backCmd      `cmd:"" help:"Note that a print came back from a gallery."`
	Lost      lostCmd      `cmd:"" help:"Note that a print was lost or spoilt at a gallery."`
	TakeBack  takeBackCmd  `cmd:"" name:"take-back" help:"Take back what was noted last of a print at a gallery."`
	Money     moneyCmd     `cmd:"" help:"Note money of a gallery: paid, costs that it takes off, freight; or take back what was noted."`
	Statement statementCmd `cmd:"" help:"The statement of a gallery: on the screen, as PDF or CSV."`
}

// Help says how it goes.
func (Galleries) Help() string {
	return `A print on consignment stays yours until the gallery sells it; the register says where it is, and no order is given its number.
This is not legal advice: local rules and what was agreed in writing decide.

Example:

  solander gallery save "Harbour Room" --share 40 --bears gallery
  solander gallery send harbour heron 17
  solander gallery sold 1 --price 130.00
  solander gallery statement harbour -o statement.pdf`
}

func named(d *desk.Open, name string) (consigning.View, error) {
	all, err := consigning.Galleries(d.Ctx, d.Studio)
	if err != nil {
		return consigning.View{}, err
	}
	return desk.Pick(all, name, "gallery", "solander gallery", func(v consigning.View) int64 { return v.ID }, func(v consigning.View) string { return v.Name })
}

type listCmd struct{}

// Help gives an example.
func (listCmd) Help() string { return "Example:\n\n  solander gallery list" }

// Run lists them.
func (listCmd) Run(d *desk.Open) error {
	all, err := consigning.Galleries(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no gallery is kept yet: solander gallery save NAME adds one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("GALLERY\tNAME\tKEEPS\tTHERE\tWORTH\tOWES\tOVERDUE")
			for _, v := range all {
				row("%d\t%s\t%s %%\t%d\t%s\t%s\t%s", v.ID, v.Name, money.PerCent(v.Share), v.There, v.Worth, owes(v.Owed), desk.LateIf(v.Overdue.Sign() > 0, v.Overdue.String()))
			}
		})
	})
}

// owes is what a gallery owes: what it paid too much is to be paid back to it.
func owes(a money.Amount) string {
	if a.Sign() < 0 {
		return "nothing, " + order.OwedInWords(a)
	}
	return a.String()
}

type saveCmd struct {
	Name      string `arg:"" help:"Its name."`
	Change    string `placeholder:"GALLERY" help:"The gallery to change; a new one when left out."`
	Share     string `placeholder:"PERCENT" help:"What it keeps of a sale; 40 when nothing is said."`
	Wholesale string `placeholder:"PERCENT" help:"What it pays of the price when it buys outright; 50 when nothing is said."`
	Bears     string `enum:"gallery,artist," default:"" placeholder:"WHO" help:"Who bears the loss of a print there: gallery or artist."`
	PayDays   int    `default:"-1" placeholder:"DAYS" help:"Days within which it pays after a sale; 30 when nothing is said."`
	Address   string `placeholder:"TEXT" help:"Its address, parted by commas."`
	Email     string `placeholder:"ADDRESS" help:"Its e-mail address."`
	Note      string `placeholder:"TEXT" help:"A note to it."`
	Close     bool   `xor:"open" help:"Nothing goes there any more."`
	Open      bool   `xor:"open" help:"Prints go there again."`
}

// Help gives an example.
func (saveCmd) Help() string {
	return "Example:\n\n  solander gallery save \"Harbour Room\" --share 40 --bears gallery --pay-days 30"
}

// Run keeps a gallery.
func (c *saveCmd) Run(d *desk.Open) error {
	h := consign.House{Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30}
	if c.Change != "" {
		v, err := named(d, c.Change)
		if err != nil {
			return desk.In(err, "change")
		}
		h = v.House
	}
	h.Name = c.Name
	for _, p := range []struct {
		text, field string
		to          *int64
	}{{c.Share, "share", &h.Share}, {c.Wholesale, "wholesale", &h.Wholesale}} {
		if p.text == "" {
			continue
		}
		n, err := consign.ParseShare(p.text)
		if err != nil {
			return desk.In(err, p.field)
		}
		*p.to = n
	}
	if c.Bears != "" {
		h.Bears = consign.Bearer(c.Bears)
	}
	if c.PayDays != -1 {
		h.PayDays = c.PayDays
	}
	for text, to := range map[string]*string{c.Email: &h.Email, c.Note: &h.Note} {
		if text != "" {
			*to = text
		}
	}
	if c.Address != "" {
		h.Address = strings.ReplaceAll(c.Address, ", ", "\n")
	}
	h.Closed = c.Close || h.Closed && !c.Open
	h, err := consigning.Save(d.Ctx, d.Studio, h)
	return d.Done(err, h, "gallery %d, %s, keeps %s %%", h.ID, h.Name, money.PerCent(h.Share))
}

type showCmd struct {
	Gallery string `arg:"" help:"Its number in the list, or words of its name."`
}

// Help gives an example.
func (showCmd) Help() string { return "Example:\n\n  solander gallery show harbour" }

// Run shows one.
func (c *showCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Gallery)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) {
		fmt.Fprintf(w, "%s keeps %s %%; it owes %s\n", v.Name, money.PerCent(v.Share), owes(v.Owed))
		for _, t := range consigning.Terms(v.House) {
			fmt.Fprintln(w, t)
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("\nPRINT\tNUMBER\tWENT\tPRICE\tSTANDS\tHERS")
			for _, p := range v.Prints {
				row("%d\t%s\t%s\t%s\t%s\t%s", p.ID, p.Label, p.Went, p.Price, p.State.Words(), p.Hers())
			}
		})
		for _, m := range v.Moneys {
			if !m.Reversed {
				fmt.Fprintf(w, "money %d: %s, %s, %s\n", m.ID, m.Day, m.Amount, m.Kind.Words())
			}
		}
		for _, x := range v.Debts {
			fmt.Fprintf(w, "owed: %s of %s, by %s\n", x.Owed, x.Print.Number, desk.LateIf(x.Late > 0, x.By.String()))
		}
	})
}

type sendCmd struct {
	Gallery string `arg:"" help:"Its number in the list, or words of its name."`
	Edition string `arg:"" predictor:"edition" help:"The edition, by its number or words of its name."`
	Number  string `arg:"" optional:"" help:"The number; the lowest signed one that nobody has when left out."`
	Price   string `placeholder:"MONEY" help:"At which it is offered; the edition's when left out."`
	Day     string `placeholder:"DAY" help:"On which it goes; today when left out."`
	Due     string `placeholder:"DAY" help:"By which it comes back unless it is sold."`
}

// Help gives an example.
func (sendCmd) Help() string {
	return "It must be signed and lie in the drawer.\n\nExample:\n\n  solander gallery send harbour heron 17 --price 130.00 --due 2026-06-30"
}

// Run sends a print.
func (c *sendCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Gallery)
	if err != nil {
		return err
	}
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	p := consigning.SendPrint{Edition: e.ID}
	if c.Number != "" {
		if p.Number, err = desk.Number(c.Number, e.Edition); err != nil {
			return err
		}
	}
	if c.Price != "" {
		if p.Price, err = d.Amount(c.Price, "price"); err != nil {
			return err
		}
	}
	in := consigning.SendIn{Gallery: v.ID, Prints: []consigning.SendPrint{p}}
	if in.Day, in.Due, err = days(c.Day, "day", c.Due, "due"); err != nil {
		return err
	}
	out, err := consigning.Send(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Say(out[0], "%s of %s is at %s on consignment as print %d, at %s", numberOf(out[0].Number, e.Edition), e.Title, v.Name, out[0].ID, out[0].Price)
}

func numberOf(n edition.Number, e edition.Edition) string { return n.Of(e) }

func days(a, fieldA, b, fieldB string) (x, y calendar.Day, err error) {
	if x, err = desk.Day(a, fieldA); err != nil {
		return x, y, err
	}
	y, err = desk.Day(b, fieldB)
	return x, y, err
}

type ended struct {
	Print int64  `arg:"" help:"The print, by its number in the gallery's list."`
	Day   string `placeholder:"DAY" help:"On which it happened; today when left out."`
}

func (c *ended) note(d *desk.Open, in consigning.EndIn) error {
	var err error
	in.Print = c.Print
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	p, err := consigning.End(d.Ctx, d.Studio, in)
	return d.Done(err, p, "print %d: %s on %s; hers %s", p.ID, p.State.Words(), p.Ended, p.Hers())
}

type soldCmd struct {
	ended
	Price string `placeholder:"MONEY" help:"For how much; the price agreed when left out."`
}

// Help gives an example.
func (soldCmd) Help() string {
	return "Example:\n\n  solander gallery sold 3 --price 130.00 --day 2026-03-04"
}

// Run notes a sale.
func (c *soldCmd) Run(d *desk.Open) error {
	in := consigning.EndIn{State: consign.Sold}
	if c.Price != "" {
		var err error
		if in.Price, err = d.Amount(c.Price, "price"); err != nil {
			return err
		}
	}
	return c.note(d, in)
}

type backCmd struct{ ended }

// Help gives an example.
func (backCmd) Help() string { return "Example:\n\n  solander gallery back 3" }

// Run notes that a print came back.
func (c *backCmd) Run(d *desk.Open) error { return c.note(d, consigning.EndIn{State: consign.Back}) }

type lostCmd struct {
	ended
	Why string `required:"" placeholder:"TEXT" help:"What happened."`
}

// Help gives an example.
func (lostCmd) Help() string {
	return "Example:\n\n  solander gallery lost 3 --why \"water in the store\""
}

// Run notes a loss.
func (c *lostCmd) Run(d *desk.Open) error {
	return c.note(d, consigning.EndIn{State: consign.Lost, Why: c.Why})
}

type takeBackCmd struct {
	Print int64 `arg:"" help:"The print, by its number in the gallery's list."`
}

// Help gives an example.
func (takeBackCmd) Help() string { return "Example:\n\n  solander gallery take-back 3" }

// Run takes back what was noted last.
func (c *takeBackCmd) Run(d *desk.Open) error {
	p, err := consigning.TakeBack(d.Ctx, d.Studio, c.Print)
	return d.Done(err, p, "print %d: %s", p.ID, p.State.Words())
}

type moneyCmd struct {
	Gallery string `arg:"" optional:"" help:"Its number in the list, or words of its name."`
	Amount  string `arg:"" optional:"" help:"How much."`
	Kind    string `enum:"paid,costs,freight" default:"paid" placeholder:"KIND" help:"paid; costs that the gallery takes off; or freight that you paid."`
	Day     string `placeholder:"DAY" help:"On which it was; today when left out."`
	Note    string `placeholder:"TEXT" help:"A note to it."`
	Reverse int64  `placeholder:"MONEY" help:"Take back money that was noted wrongly, by its number."`
}

// Help gives an example.
func (moneyCmd) Help() string {
	return "Example:\n\n  solander gallery money harbour 78.00\n  solander gallery money harbour 12.50 --kind costs --note framing\n  solander gallery money --reverse 4"
}

// Run notes money, or takes it back.
func (c *moneyCmd) Run(d *desk.Open) error {
	if c.Reverse != 0 {
		return desk.TakeBack(d, c.Reverse, c.Gallery, "a gallery", "money", consigning.ReverseMoney)
	}
	if c.Amount == "" {
		return fault.Invalidf("amount", "no amount is given").ToMend("name the gallery and how much")
	}
	v, err := named(d, c.Gallery)
	if err != nil {
		return err
	}
	a, err := d.Amount(c.Amount, "amount")
	if err != nil {
		return err
	}
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	m, err := consigning.NoteMoney(d.Ctx, d.Studio, consigning.MoneyIn{Gallery: v.ID, Kind: consign.Kind(c.Kind), Amount: a, Day: on, Note: c.Note})
	return d.Done(err, m, "%s: %s %s", v.Name, m.Amount, m.Kind.Words())
}
