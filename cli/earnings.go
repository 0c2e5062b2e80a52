package cli

import "solander/cli/taxes"

// earned are the commands of what sales earn, and of the taxes on them.
type earned struct {
	TaxRates taxes.Rates  `cmd:"" name:"tax-rates" help:"Rates of tax by country and state: entered or loaded, never guessed."`
	Tax      taxes.Tax    `cmd:"" help:"The tax of an order by the rates."`
	Resale   taxes.Resale `cmd:"" help:"Resale certificates, by which a sale bears no tax."`
}

// Help says what they are for.
func (earned) Help() string {
	return `This is no tax or legal advice: your local rules decide. Ask an adviser.

Example:

  solander earnings tax-rates
  solander earnings tax order S-1042`
}
