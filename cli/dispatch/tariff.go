package dispatch

import (
	"io"
	"os"

	"solander/cli/desk"
	"solander/fault"
	"solander/pricecards"
	"solander/tariff"
)

type Tariff struct {
	List  tariffListCmd  `cmd:"" default:"withargs" help:"The price cards there are (this is what tariff alone does)."`
	Add   tariffAddCmd   `cmd:"" help:"Load a price card from a folder."`
	Drop  tariffDropCmd  `cmd:"" help:"Drop a price card that was loaded."`
	Paid  tariffPaidCmd  `cmd:"" help:"What was paid against a card."`
	Renew tariffRenewCmd `cmd:"" help:"Make the next card: type the prices that you use, carry over the rest."`
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
	err = pricecards.AddCard(d.Ctx, d.Studio, card)
	return d.Done(err, map[string]string{"card": card.ID}, "card %s is loaded: %s, from %s", card.ID, card.Operator, card.From)
}

type tariffDropCmd struct {
	Card string `arg:"" help:"Id of the card."`
}

func (tariffDropCmd) Help() string { return "Example:\n\n  solander tariff drop post-2027-01" }

func (c *tariffDropCmd) Run(d *desk.Open) error {
	err := pricecards.DropCard(d.Ctx, d.Studio, c.Card)
	return d.Done(err, map[string]string{"dropped": c.Card}, "card %s is dropped", c.Card)
}
