package cli

import (
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
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

func (c *repriceCmd) Run(d *open) error {
	e, err := d.editionNamed(c.Edition)
	if err != nil {
		return err
	}
	price, cost, steps := e.Price, e.PrintCost, e.Steps
	if c.Price != "" {
		if price, err = d.amount(c.Price, "price"); err != nil {
			return err
		}
	}
	if c.PrintCost != "" {
		if cost, err = d.amount(c.PrintCost, "print_cost"); err != nil {
			return err
		}
	}
	if len(c.Step) > 0 || c.NoSteps {
		if steps, err = c.steps(d); err != nil {
			return err
		}
	}
	if err := d.st.Reprice(d.ctx, e.ID, price, steps, cost); err != nil {
		return err
	}
	return d.showEdition(e.ID)
}

func (c *repriceCmd) steps(d *open) ([]edition.PriceStep, error) {
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
