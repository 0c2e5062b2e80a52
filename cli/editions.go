package cli

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/studio"
)

type worksCmd struct {
	Add  string `placeholder:"TITLE" help:"Add a work of this title."`
	Year int    `placeholder:"YEAR" help:"Year of the picture, with --add."`
	Note string `placeholder:"TEXT" help:"A note to it, with --add."`
}

func (worksCmd) Help() string {
	return "Example:\n\n  solander works\n  solander works --add \"Low tide, morning\" --year 2025"
}

func (c *worksCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	if c.Add != "" {
		w, err := st.SaveWork(d.ctx, edition.Work{Title: c.Add, Year: c.Year, Note: c.Note})
		if err != nil {
			return err
		}
		return d.say(w, "work %d %s is added", w.ID, w.Title)
	}
	works, err := st.Works(d.ctx)
	if err != nil {
		return err
	}
	set, err := st.Settings(d.ctx)
	if err != nil {
		return err
	}
	return d.show(works, func(w io.Writer) {
		for _, wk := range works {
			fmt.Fprintf(w, "%d  %s\n", wk.ID, wk.Title)
			table(w, func(row func(string, ...any)) {
				for _, e := range wk.Editions {
					row("    edition %d\t%s\t%s\t%s\t%s\ton hand %d", e.ID, e.Size(set.Units), e.Grade, soldOf(e), e.PriceNow, e.OnHand)
				}
			})
		}
	})
}

func soldOf(e studio.EditionRow) string {
	switch {
	case e.Closed:
		return fmt.Sprintf("%d sold, ended", e.Sold)
	case e.Open():
		return fmt.Sprintf("%d sold, open edition", e.Sold)
	}
	return fmt.Sprintf("%d of %d sold", e.Sold, e.Limit)
}

type declareCmd struct {
	File string `required:"" placeholder:"FILE" help:"The edition in a JSON file (- is the input stream)."`
}

func (declareCmd) Help() string {
	return `The limit and the number of proofs are declared once: nothing can raise them afterwards. Many places
ask by law what a seller of limited editions must disclose; see what holds where you sell.

Example:

  echo '{"work": 1, "width_nm": "12 in", "height_nm": "16 in", "paper": "cotton rag",
    "grammage_mg_m2": "310 gsm", "caliper_nm": "20 pt", "grade": "fine", "technique": "pigment print",
    "limit": 250, "proofs": {"ap": 5}, "tightest_roll_nm": "3 in",
    "price": {"minor": 12000, "currency": "USD"}, "print_cost": {"minor": 1450, "currency": "USD"}}' |
    solander declare --file -`
}

func (c *declareCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	var e edition.Edition
	if err := d.readJSON(c.File, "file", &e); err != nil {
		return err
	}
	e, err = st.Declare(d.ctx, e)
	if err != nil {
		return err
	}
	return d.say(e, "edition %d %s is declared", e.ID, e.Name("inch"))
}

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
	if err := st.Reprice(d.ctx, e.ID, price, steps, cost); err != nil {
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

type endCmd struct {
	Edition string `arg:"" help:"The edition: its number, or words of its name that fit no other."`
}

func (endCmd) Help() string { return "Example:\n\n  solander end \"heron 12x16 fine\"" }

func (c *endCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	e, err := d.editionNamed(c.Edition)
	if err != nil {
		return err
	}
	if err := st.CloseEdition(d.ctx, e.ID); err != nil {
		return err
	}
	return d.showEdition(e.ID)
}

// showEdition shows an edition with its numbers.
func (d *desk) showEdition(id int64) error {
	v, err := d.st.Edition(d.ctx, id)
	if err != nil {
		return err
	}
	return d.show(v, func(w io.Writer) { printEdition(w, v) })
}

func printEdition(w io.Writer, v studio.EditionView) {
	fmt.Fprintf(w, "edition %d %s, %s\n", v.ID, v.Name("inch"), v.Paper)
	fmt.Fprintf(w, "price now %s, sold %d, on hand %d, ordered %d\n", v.PriceNow, v.Sold, v.OnHand, v.Outstanding)
	for _, s := range edition.States() {
		if n := v.Counts[s]; n > 0 {
			fmt.Fprintf(w, "  %s: %d\n", s, n)
		}
	}
	table(w, func(row func(string, ...any)) {
		for _, n := range v.Numbers {
			if n.Standing.State != edition.Free {
				row("  %s\t%s\t%s\t%s", n.Number.Of(v.Edition), n.Standing.State, n.OrderMark, n.Buyer)
			}
		}
	})
}
