package editions

import (
	"strconv"
	"strings"

	"solander/cli/desk"
	"solander/edition"
	"solander/fault"
	"solander/register"
)

type Reprice struct {
	Edition   string   `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Price     string   `placeholder:"AMOUNT" help:"The first price; stays when left out."`
	Step      []string `sep:"none" placeholder:"SOLD=AMOUNT" help:"The price from so many sold; say it again for each. When left out the steps stay."`
	NoSteps   bool     `help:"Drop all price steps."`
	PrintCost string   `placeholder:"AMOUNT" help:"What the lab asks for a sheet; stays when left out."`
}

func (Reprice) Help() string {
	return "Example:\n\n  solander reprice \"heron 12x16 fine\" --price 120 --step 50=140 --step 100=165"
}

func (c *Reprice) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	var given register.Prices
	if c.Price != "" {
		if given.Price, err = d.Amount(c.Price, "price"); err != nil {
			return err
		}
	}
	if c.PrintCost != "" {
		if given.PrintCost, err = d.Amount(c.PrintCost, "print_cost"); err != nil {
			return err
		}
	}
	if given.Steps, err = steps(d, c.Step); err != nil {
		return err
	}
	err = register.Reprice(d.Ctx, d.Studio, e.ID, func(p *register.Prices) error {
		if c.Price != "" {
			p.Price = given.Price
		}
		if c.PrintCost != "" {
			p.PrintCost = given.PrintCost
		}
		if len(c.Step) > 0 || c.NoSteps {
			p.Steps = given.Steps
		}
		return nil
	})
	if err != nil {
		return err
	}
	return showEdition(d, e.ID)
}

// steps reads price steps as flags name them.
func steps(d *desk.Open, said []string) ([]edition.PriceStep, error) {
	var steps []edition.PriceStep
	for _, text := range said {
		sold, price, ok := strings.Cut(text, "=")
		n, err := strconv.Atoi(strings.TrimSpace(sold))
		if !ok || err != nil {
			return nil, fault.Invalidf("step", "%.40q is not a price step", text).ToMend("write it like 50=140")
		}
		a, err := d.Amount(price, "step")
		if err != nil {
			return nil, err
		}
		steps = append(steps, edition.PriceStep{FromSold: n, Price: a})
	}
	return steps, nil
}
