package sales

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"solander/buyers"
	"solander/calendar"
	"solander/cli/desk"
	"solander/order"
	"solander/studio"
)

type Buyers struct {
	List   buyersListCmd   `cmd:"" default:"withargs" help:"List buyers by name, or search them."`
	Likely buyersLikelyCmd `cmd:"" help:"Buyers who may be the same person."`
	Merge  buyersMergeCmd  `cmd:"" help:"Take buyers as the same person."`
	Part   buyersPartCmd   `cmd:"" help:"Give some of a buyer's orders to a buyer of their own."`
	Apart  buyersApartCmd  `cmd:"" help:"Note that buyers are not the same person."`
}

func (Buyers) Help() string {
	return `Every deed tells its number, and solander undo takes it back.

Example:

  solander buyers halloran
  solander buyers likely
  solander buyers merge 17 23 40
  solander buyers part 17 S-1042
  solander buyers apart 17 23`
}

type buyersListCmd struct {
	Words []string `arg:"" optional:"" help:"Words of a name, an e-mail address or a telephone number."`
	After int64    `placeholder:"NUMBER" help:"The last buyer of the page before."`
}

func (buyersListCmd) Help() string { return "Example:\n\n  solander buyers list halloran" }

func (c *buyersListCmd) Run(d *desk.Open) error {
	page, err := buyers.Buyers(d.Ctx, d.Studio, studio.BuyerQuery{Text: strings.Join(c.Words, " "), After: c.After})
	if err != nil {
		return err
	}
	return d.Show(page, func(w io.Writer) {
		if len(page.Rows) == 0 {
			fmt.Fprintln(w, "no buyer is like that")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("BUYER\tNAME\tE-MAIL\tPHONE\tORDERS\tLATEST")
			for _, b := range page.Rows {
				row("%d\t%s\t%s\t%s\t%d\t%s", b.ID, b.Name, b.Email, b.Phone, b.Orders, dayOrNone(b.Last))
			}
		})
		if page.Next != 0 {
			fmt.Fprintf(w, "more: --after %d\n", page.Next)
		}
	})
}

func dayOrNone(d calendar.Day) string {
	if d.IsZero() {
		return "-"
	}
	return d.String()
}

type buyersLikelyCmd struct{}

func (buyersLikelyCmd) Help() string { return "Example:\n\n  solander buyers likely" }

func (buyersLikelyCmd) Run(d *desk.Open) error {
	groups, err := buyers.LikelyBuyers(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(groups, func(w io.Writer) {
		if len(groups) == 0 {
			fmt.Fprintln(w, "nobody is in the book twice, as far as can be seen")
		}
		for _, g := range groups {
			fmt.Fprintln(w, "perhaps the same person:")
			desk.Table(w, func(row func(string, ...any)) {
				for _, b := range g.Buyers {
					row("  %d\t%s\t%s\t%d orders\t%s", b.ID, b.Name, b.Email, b.Orders, b.Rule)
				}
			})
		}
	})
}

type buyersMergeCmd struct {
	Buyer  string   `arg:"" predictor:"buyer" help:"The buyer who stays: name, e-mail address or number."`
	Others []string `arg:"" predictor:"buyer" help:"The others."`
}

func (buyersMergeCmd) Help() string { return "Example:\n\n  solander buyers merge 17 23 40" }

func (c *buyersMergeCmd) Run(d *desk.Open) error {
	into, noBuyer := d.BuyerNamed(c.Buyer, "buyer")
	others, noOthers := d.BuyersNamed(c.Others, "others")
	if err := errors.Join(noBuyer, noOthers); err != nil {
		return err
	}
	done, err := buyers.MergeBuyers(d.Ctx, d.Studio, buyers.MergeIn{Into: into, Others: others})
	if err != nil {
		return err
	}
	return d.Say(done, "buyer %d %s has their orders now; solander undo %d takes it back", done.Buyer.ID, done.Buyer.Name, done.Mark)
}

type buyersPartCmd struct {
	Buyer  string   `arg:"" predictor:"buyer" help:"The buyer: name, e-mail address or number."`
	Orders []string `arg:"" predictor:"order" help:"Marks of the orders that are another person's."`
	Name   string   `placeholder:"TEXT" help:"Who that is; as the first order says when it is left out."`
	Email  string   `placeholder:"ADDRESS" help:"E-mail address, with a name."`
	Phone  string   `placeholder:"NUMBER" help:"Telephone number, with a name."`
}

func (buyersPartCmd) Help() string {
	return "Example:\n\n  solander buyers part 17 S-1042 --name \"Odo Halloran\""
}

func (c *buyersPartCmd) Run(d *desk.Open) error {
	id, err := d.BuyerNamed(c.Buyer, "buyer")
	if err != nil {
		return err
	}
	done, err := buyers.PartBuyer(d.Ctx, d.Studio, buyers.PartIn{Buyer: id, Orders: c.Orders, As: order.Buyer{Name: c.Name, Email: c.Email, Phone: c.Phone}})
	if err != nil {
		return err
	}
	return d.Say(done, "the orders are of buyer %d %s now; solander undo %d takes it back", done.Buyer.ID, done.Buyer.Name, done.Mark)
}

type buyersApartCmd struct {
	Buyers []string `arg:"" predictor:"buyer" help:"Buyers, each another person than any other: names, e-mail addresses or numbers."`
}

func (buyersApartCmd) Help() string { return "Example:\n\n  solander buyers apart 17 23" }

func (c *buyersApartCmd) Run(d *desk.Open) error {
	ids, err := d.BuyersNamed(c.Buyers, "buyers")
	if err != nil {
		return err
	}
	done, err := buyers.TellApart(d.Ctx, d.Studio, ids)
	if err != nil {
		return err
	}
	return d.Say(done, "noted: they are not the same person; solander undo %d takes it back", done.Mark)
}
