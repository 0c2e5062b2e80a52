package cli

import (
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/studio"
)

type repriceCmd struct {
	Edition   string   `arg:"" help:"The edition: its number, or words of its name that fit no other."`
	Price     string   `placeholder:"AMOUNT" help:"The first price; stays when left out."`
	Step      []string `sep:"none" placeholder:"SOLD=AMOUNT" help:"The price from so many sold; say it again for each. When left out the steps stay."`
	NoSteps   bool     `help:"Drop all price steps."`
	PrintCost string   `placeholder:"AMOUNT" help:"What the lab asks for a sheet; stays when left out."`
}

func (repriceCmd) Help() string {
	return "Example:\n\n  solander reprice \"heron 12x16 fine\" --price 120 --step 50=140 --step 100=165"
}

func (c *repriceCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	e, err := d.editionNamed(c.Edition)
	if err != nil {
		return err
	}
	var given studio.Prices
	if c.Price != "" {
		if given.Price, err = d.amount(c.Price, "price"); err != nil {
			return err
		}
	}
	if c.PrintCost != "" {
		if given.PrintCost, err = d.amount(c.PrintCost, "print_cost"); err != nil {
			return err
		}
	}
	if given.Steps, err = c.steps(d); err != nil {
		return err
	}
	err = st.Reprice(d.ctx, e.ID, func(p *studio.Prices) error {
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
	return d.showEdition(e.ID)
}

func (c *repriceCmd) steps(d *desk) ([]edition.PriceStep, error) {
	var steps []edition.PriceStep
	for _, text := range c.Step {
		sold, price, ok := strings.Cut(text, "=")
		n, err := strconv.Atoi(strings.TrimSpace(sold))
		if !ok || err != nil {
			return nil, fault.Invalidf("step", "%.40q is not a price step", text).ToMend("write it like 50=140")
		}
		a, err := d.amount(price, "step")
		if err != nil {
			return nil, err
		}
		steps = append(steps, edition.PriceStep{FromSold: n, Price: a})
	}
	return steps, nil
}
