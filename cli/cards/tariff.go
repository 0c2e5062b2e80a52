// Package cards is the commands of price cards: listed, looked over, compared, loaded, made anew.
package cards

import (
	"fmt"
	"io"
	"os"

	"solander/cli/desk"
	"solander/fault"
	"solander/pricecards"
	"solander/tariff"
	"solander/tariff/lint"
)

type Tariff struct {
	List  tariffListCmd  `cmd:"" default:"withargs" help:"The price cards there are (this is what tariff alone does)."`
	Add   tariffAddCmd   `cmd:"" help:"Load a price card from a folder."`
	Drop  tariffDropCmd  `cmd:"" help:"Drop a price card that was loaded."`
	Paid  tariffPaidCmd  `cmd:"" help:"What was paid against a card."`
	Renew tariffRenewCmd `cmd:"" help:"Make the next card: type the prices that you use, carry over the rest."`
	Table tariffTableCmd `cmd:"" help:"Make a price card of an operator's list: a workbook, or text with commas."`
	Zones tariffZonesCmd `cmd:"" help:"Take in the operator's zones for your postcode, or say by which zones parcels are priced."`
	Lint  tariffLintCmd  `cmd:"" help:"Look a price card over: holes, prices that fall, zones without prices, dates, currency."`
	Diff  tariffDiffCmd  `cmd:"" help:"Say in what one price card differs from another, cell by cell."`
}

type tariffListCmd struct{}

func (tariffListCmd) Help() string {
	return "Prices and rules are copies of published ones: before you rely on a card, look whether it still holds.\n\nExample:\n\n  solander tariff"
}

func (c *tariffListCmd) Run(d *desk.Open) error {
	rows, err := pricecards.Cards(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(rows, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("CARD\tFROM\tTO\tUSED\tOWN\tNOTE")
			for _, r := range rows {
				row("%s\t%s\t%s\t%s\t%s\t%s", r.ID, r.From, r.To, yes(r.Used), yes(r.Own), r.Warning)
			}
		})
	})
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

type tariffAddCmd struct {
	Folder string `arg:"" predictor:"file" help:"Folder with card.toml and its tables (docs/formats/tariff.md, section 10)."`
}

func (tariffAddCmd) Help() string { return "Example:\n\n  solander tariff add ./post-2027-01" }

func (c *tariffAddCmd) Run(d *desk.Open) error {
	info, err := os.Stat(c.Folder)
	if err != nil {
		return desk.FileFault(err, c.Folder, "folder")
	}
	if !info.IsDir() {
		return fault.Invalidf("folder", "it is no folder").At("%s", c.Folder).ToMend("name the folder that holds card.toml")
	}
	card, err := tariff.Load(os.DirFS(c.Folder))
	if err != nil {
		return err
	}
	doubts, err := pricecards.LookOver(d.Ctx, d.Studio, card)
	if err != nil {
		return err
	}
	if err := pricecards.AddCard(d.Ctx, d.Studio, card); err != nil {
		return err
	}
	return d.Show(map[string]any{"card": card.ID, "doubts": list(doubts)}, func(w io.Writer) {
		fmt.Fprintf(w, "card %s is loaded: %s, from %s\n", card.ID, card.Operator, card.From)
		printDoubts(w, doubts)
	})
}

// cardOf finds a card among the studio's by its id, else in a folder or a file.
func cardOf(d *desk.Open, name string) (tariff.Card, error) {
	c, err := pricecards.Card(d.Ctx, d.Studio, name)
	if fault.Is(err, fault.Missing) {
		return d.CardIn(name)
	}
	return c, err
}

// list is never null in JSON.
func list[T any](l []T) []T { return append([]T{}, l...) }

type tariffLintCmd struct {
	Card string `arg:"" predictor:"file" help:"Folder or file of JSON with a price card, or the id of one that is loaded."`
}

func (tariffLintCmd) Help() string {
	return "What a card must not hold is a fault, with its place and how to mend it. What is possible but looks like a slip is listed; nothing listed does not prove a card right: compare a few prices with the operator's list.\n\nExample:\n\n  solander tariff lint ./post-2027-01"
}

func (c *tariffLintCmd) Run(d *desk.Open) error {
	card, err := cardOf(d, c.Card)
	if err != nil {
		return err
	}
	doubts, err := pricecards.LookOver(d.Ctx, d.Studio, card)
	if err != nil {
		return err
	}
	return d.Show(list(doubts), func(w io.Writer) {
		if len(doubts) == 0 {
			fmt.Fprintf(w, "card %s: nothing looks like a slip\n", card.ID)
		}
		printDoubts(w, doubts)
	})
}

func printDoubts(w io.Writer, doubts []lint.Finding) {
	if len(doubts) == 0 {
		return
	}
	desk.Table(w, func(row func(string, ...any)) {
		row("LOOKS LIKE\tWHERE\tWHAT\tHOW TO MEND IT")
		for _, f := range doubts {
			row("%s\t%s\t%s\t%s", f.Kind, f.Where(), f.Text, f.Mend)
		}
	})
}

type tariffDiffCmd struct {
	A string `arg:"" predictor:"file" help:"The older card: a folder, a file of JSON, or the id of one that is loaded."`
	B string `arg:"" predictor:"file" help:"The newer card, as well."`
}

func (tariffDiffCmd) Help() string {
	return "Services are compared by their ids, steps and zones by what they say.\n\nExample:\n\n  solander tariff diff us-usps-retail-2025-07-13 us-usps-retail-2025-10-05"
}

func (c *tariffDiffCmd) Run(d *desk.Open) error {
	a, err := cardOf(d, c.A)
	if err != nil {
		return err
	}
	b, err := cardOf(d, c.B)
	if err != nil {
		return err
	}
	changes := lint.Diff(&a, &b)
	return d.Show(list(changes), func(w io.Writer) {
		if len(changes) == 0 {
			fmt.Fprintln(w, "the two cards say the same")
		}
		service := ""
		for _, ch := range changes {
			if ch.Service != service {
				service = ch.Service
				fmt.Fprintf(w, "%s%s\n", service, lint.Summary(changes, service))
			}
			indent := "  "
			if service == "" {
				indent = ""
			}
			fmt.Fprintf(w, "%s%s\n", indent, ch.Text)
		}
	})
}

type tariffDropCmd struct {
	Card string `arg:"" help:"Id of the card."`
}

func (tariffDropCmd) Help() string { return "Example:\n\n  solander tariff drop post-2027-01" }

func (c *tariffDropCmd) Run(d *desk.Open) error {
	err := pricecards.DropCard(d.Ctx, d.Studio, c.Card)
	return d.Done(err, map[string]string{"dropped": c.Card}, "card %s is dropped", c.Card)
}
