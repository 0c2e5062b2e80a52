package cards

import (
	"io"
	"os"

	"solander/cli/desk"
	"solander/fault"
	"solander/money"
	"solander/pricecards"
	"solander/studio"
	"solander/tariff/renew"
)

type tariffPaidCmd struct {
	Card string `arg:"" help:"Id of the card."`
}

func (tariffPaidCmd) Help() string {
	return "What the last year's parcels cost, against the card, by service, step and zone.\n\nExample:\n\n  solander tariff paid us-usps-commercial-2025-10-05"
}

func (c *tariffPaidCmd) Run(d *desk.Open) error {
	g, err := pricecards.GridOf(d.Ctx, d.Studio, c.Card)
	if err != nil {
		return err
	}
	return d.Show(g.Drifts, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("SERVICE\tSTEP\tZONE\tPARCELS\tBY THE CARD\tPAID\tTIMES")
			amount := func(n int64) money.Amount { return money.Of(n, g.Card.Currency) }
			for _, x := range g.Drifts {
				row("%s\tall\t\t%d\t%s\t%s\t%s", x.Service, x.Parcels, amount(x.Estimated), amount(x.Paid), x.Factor())
				for _, u := range x.Cells {
					row("%s\t%s\t%s\t%d\t%s\t%s\t%s", u.Service, u.Step(&g.Card), u.Zone, u.Parcels, amount(u.Estimated), amount(u.Paid), u.Factor())
				}
			}
		})
	})
}

type tariffRenewCmd struct {
	Card   string `arg:"" help:"Id of the card that the new one follows."`
	Prices string `predictor:"file" help:"File of prices (service, step, zone, price); without it the prices that you use are printed, to be typed over."`
	From   string `help:"First day of the new card."`
	Source string `help:"Where the prices stand: the operator's page and its day."`
	Factor string `help:"What all other prices are carried over by: 1.043 or +4.3 %. Left out: by as much as the typed prices rose."`
	Sure   bool   `help:"Keep the card though prices look like slips of the pen."`
}

func (tariffRenewCmd) Help() string {
	return "The next price card: the prices that you use, typed from the operator's page, and all else carried over and marked so.\n\nExample:\n\n" +
		"  solander tariff renew us-usps-commercial-2025-10-05 > prices.csv\n  solander tariff renew us-usps-commercial-2025-10-05 --prices prices.csv --from 2026-07-12 --source \"their page of 12 July\""
}

func (c *tariffRenewCmd) Run(d *desk.Open) error {
	g, err := pricecards.GridOf(d.Ctx, d.Studio, c.Card)
	if err != nil {
		return err
	}
	if c.Prices == "" {
		return d.Show(g.Asked, func(w io.Writer) { err = renew.WritePrices(w, &g.Card, g.Asked) })
	}
	in := pricecards.RenewIn{Card: c.Card, Source: c.Source, Who: studio.Who(d.Ctx)}
	var l fault.List
	in.From, err = desk.Day(c.From, "from")
	l.Add(err)
	in.Factor, err = renew.ParseFactor(c.Factor)
	l.Add(desk.In(err, "factor"))
	f, err := os.Open(c.Prices)
	if err != nil {
		return desk.FileFault(err, c.Prices, "prices")
	}
	defer f.Close()
	in.Typed, err = renew.ReadPrices(f, &g.Card)
	l.Add(err)
	if err := l.Err(); err != nil {
		return err
	}
	n, err := pricecards.TryRenew(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	if len(n.Doubts) > 0 && !c.Sure {
		for _, x := range n.Doubts {
			l.Add(fault.New(fault.Refused, "%s", x.Text).At("%s", x.Where).ToMend("look at it again; --sure keeps the card as it is"))
		}
		return l.Err()
	}
	n, err = pricecards.Renew(d.Ctx, d.Studio, in)
	return d.Done(err, n, "card %s is kept: %s typed, all else × %s, from %s", n.Card.ID, fault.Count(len(in.Typed), "price"), n.Factor, n.Card.From)
}
