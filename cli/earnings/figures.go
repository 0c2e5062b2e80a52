package earnings

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/cli/desk"
	"solander/earned"
	"solander/earnings"
	"solander/fault"
	"solander/house"
	"solander/money"
)

// figuresCmd tells what was earned in some days, by a grouping.
type figuresCmd struct {
	From string `placeholder:"DAY" help:"The first day."`
	To   string `placeholder:"DAY" help:"The last day."`
	Span string `enum:"month,year,last-year,all," default:"" placeholder:"SPAN" help:"month, year, last-year or all in the place of days; this year when nothing is said."`
	By   string `enum:"picture,edition,size,grade,outlet,buyer,state,month" default:"edition" help:"${enum}."`
	CSV  bool   `help:"As CSV, every part a column."`
}

func (figuresCmd) Help() string {
	return `A print counts when it leaves the house; what sold prints in the house are likely to earn is estimated beside it.

Example:

  solander earnings
  solander earnings --span month --by outlet
  solander earnings --from 2026-01-01 --to 2026-06-30 --by picture --csv > half.csv`
}

// ask are the days that were meant.
func (c *figuresCmd) ask(d *desk.Open) (earned.Ask, error) {
	a := earned.Ask{By: earned.By(c.By)}
	var noFrom, noTo error
	a.From, noFrom = desk.Day(c.From, "from")
	a.To, noTo = desk.Day(c.To, "to")
	if err := errors.Join(noFrom, noTo); err != nil {
		return a, err
	}
	if c.Span != "" && c.From+c.To != "" {
		return a, fault.Invalidf("span", "the time is said twice").ToMend("leave out the span, or the days")
	}
	if c.Span+c.From+c.To == "" {
		c.Span = "year"
	}
	today, err := house.Today(d.Ctx, d.Studio)
	y, m, _ := today.Civil()
	switch c.Span {
	case "month":
		a.From, a.To = calendar.Date(y, m, 1), calendar.Date(y, m+1, 0)
	case "year":
		a.From, a.To = calendar.Date(y, time.January, 1), calendar.Date(y, time.December, 31)
	case "last-year":
		a.From, a.To = calendar.Date(y-1, time.January, 1), calendar.Date(y-1, time.December, 31)
	}
	return a, err
}

func (c *figuresCmd) Run(d *desk.Open) error {
	a, err := c.ask(d)
	if err != nil {
		return err
	}
	if c.By == "month" {
		return c.months(d, a)
	}
	got, err := earned.Get(d.Ctx, d.Studio, a)
	if err != nil {
		return err
	}
	var groups []earnings.Group
	for _, r := range got.Rows {
		groups = append(groups, r.Group)
	}
	if c.CSV {
		return rows(d.Out, c.By, append(groups, got.Total))
	}
	return d.Show(got, func(w io.Writer) {
		if table(w, c.By, append(groups, got.Total)); len(groups) == 0 {
			fmt.Fprintln(w, "nothing was sold and nothing left the house in these days; --from and --until ask for other days")
		}
		if got.Waiting > 0 {
			fmt.Fprintf(w, "%s sold in these days still in the house: what is marked ~ is estimated\n", fault.Count(got.Waiting, "print"))
		}
		for _, b := range got.Below {
			fmt.Fprintf(w, "below cost: %s, %s: %s\n", b.Mark, strings.Join(b.Prints, ", "), money.Of(b.Left().Both(), b.Currency))
		}
	})
}

func (c *figuresCmd) months(d *desk.Open, a earned.Ask) error {
	a.By = earned.ByEdition
	got, err := earned.ByMonth(d.Ctx, d.Studio, a)
	if err != nil {
		return err
	}
	if c.CSV {
		return rows(d.Out, c.By, append(got.Months, got.Total))
	}
	return d.Show(got, func(w io.Writer) {
		if table(w, c.By, append(got.Months, got.Total)); got.Total.Income() == (earnings.Sum{}) && got.Total.Costs() == (earnings.Sum{}) {
			fmt.Fprintln(w, "nothing came in and nothing was paid for in these months: what is sold counts once it is handed over; --from and --until ask for others")
		}
		if n := len(got.Stock); n > 0 {
			last := got.Stock[n-1]
			fmt.Fprintf(w, "in the house at the end, at cost: sheets %s, packaging %s\n", money.Of(last.Sheets+last.Consigned, got.Currency), money.Of(last.Supplies, got.Currency))
		}
	})
}

func table(w io.Writer, by string, groups []earnings.Group) {
	desk.Table(w, func(row func(string, ...any)) {
		head, prints := "\tPRINTS", func(g earnings.Group) string { return "\t" + strconv.Itoa(g.Prints) }
		if by == "month" { // its prints are not told by month
			head, prints = "", func(earnings.Group) string { return "" }
		}
		row("%s%s\tINCOME\tCOSTS\tLEFT\tOF IT", strings.ToUpper(by), head)
		for _, g := range groups {
			row("%s%s\t%s\t%s\t%s\t%s", g.Name, prints(g), told(g.Income(), g.Currency), told(g.Costs(), g.Currency), told(g.Left(), g.Currency), share(g))
		}
	})
}

// told is a sum; ~ says that a part of it is estimated.
func told(s earnings.Sum, currency string) string {
	text := money.Of(s.Both(), currency).Plain()
	if s.Estimated != 0 {
		return "~" + text
	}
	return text
}

func share(g earnings.Group) string {
	n, ok := earnings.PerMille(g.Left().Both(), g.Income().Both())
	switch {
	case !ok:
		return "-"
	case n < 0:
		return "-" + money.PerCent(-n) + " %"
	}
	return money.PerCent(n) + " %"
}

// writeCSV writes rows as CSV (RFC 4180).
func writeCSV(w io.Writer, rows [][]string) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out.WriteAll(rows)
}

// rows writes groups as CSV, every part a column.
func rows(w io.Writer, by string, groups []earnings.Group) error {
	head := []string{by, "prints", "currency", "income", "costs", "left", "left_estimated"}
	for _, p := range earnings.Parts() {
		head = append(head, string(p))
	}
	all := [][]string{head}
	for _, g := range groups {
		n := func(m int64) string { return money.Of(m, g.Currency).Plain() }
		prints := strconv.Itoa(g.Prints)
		if by == "month" {
			prints = ""
		}
		row := []string{g.Name, prints, g.Currency, n(g.Income().Both()), n(g.Costs().Both()), n(g.Left().Both()), n(g.Left().Estimated)}
		for _, p := range earnings.Parts() {
			row = append(row, n(g.Of(p).Both()))
		}
		all = append(all, row)
	}
	return writeCSV(w, all)
}

// earnedCmd tells what one order earned.
type earnedCmd struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
}

func (earnedCmd) Help() string {
	return "Every part stands with where it came from.\n\nExample:\n\n  solander earnings order S-1042"
}

func (c *earnedCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	got, err := earned.OfOrder(d.Ctx, d.Studio, o.ID)
	if err != nil {
		return err
	}
	return d.Show(got, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("PART\tAMOUNT\tOF\tFROM")
			for _, p := range got.Pieces {
				s := earnings.Sum{Known: p.Amount.Minor}
				if p.Estimated {
					s = earnings.Sum{Estimated: p.Amount.Minor}
				}
				row("%s\t%s\t%s\t%s", p.Part.Words(), told(s, p.Amount.Currency), p.Print, from(p))
			}
			of := "there is no income"
			if s := share(got.Group); s != "-" {
				of = s + " of the income"
			}
			row("Left\t%s\t\t%s", told(got.Left(), got.Currency), of)
			for _, x := range got.Exchanged {
				row("paid in another currency\t%s\t\t%s, %s", x.Amount.Plain(), x.Source.Name, x.Text)
			}
			if !got.Minutes.IsZero() {
				row("after her minutes\t%s\t\t%s of packing at her wage", got.AfterMinutes().Plain(), got.Minutes)
			}
		})
	})
}

// from says where a part came from, and of postage what the price card says.
func from(p earned.Piece) string {
	var names []string
	for _, s := range p.Sources {
		names = append(names, s.Name)
	}
	out := strings.Join(names, ", ")
	for i, l := range p.ByCard {
		out += map[bool]string{true: ": ", false: "; "}[i == 0] + l.Text + " " + l.Amount.Plain()
	}
	if p.Entry != 0 && len(p.Sources) > 0 && p.Sources[0].Kind == earned.FromOrder {
		out += fmt.Sprintf(", %s (entry %d)", p.Text, p.Entry)
	}
	if p.Estimated {
		out += ", " + p.Text
	}
	return out
}

// pricesCmd tells what an edition's price steps earned, and what others would.
type pricesCmd struct {
	Edition string   `arg:"" optional:"" predictor:"edition" help:"The edition; without it, how far all are sold."`
	Step    []string `sep:"none" placeholder:"SOLD:PRICE" help:"Suppose a price once so many are sold, like 0:90 and 50:110; may be given again."`
	Fewer   string   `placeholder:"PERCENT" help:"Suppose that for each tenth more in price so many per cent fewer buy."`
	CSV     bool     `help:"As CSV: what was taken from sale to sale and at the first price; without an edition, how far all are sold."`
}

func (pricesCmd) Help() string {
	return `What steps brought against one price for all, what is left would bring, and how long it may take, with its band.

Example:

  solander earnings prices
  solander earnings prices heron
  solander earnings prices heron --csv > heron.csv
  solander earnings prices heron --step 0:90 --step 40:120 --fewer 10`
}

func (c *pricesCmd) Run(d *desk.Open) error {
	if c.Edition == "" {
		return c.list(d)
	}
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	in, err := c.supposed(d)
	if err != nil {
		return err
	}
	got, err := earned.PricesOf(d.Ctx, d.Studio, e.ID, in)
	if err != nil {
		return err
	}
	if c.CSV {
		out := [][]string{{"sold", "day", "taken", "at_the_first_price", "currency"}}
		for _, x := range got.Course() {
			out = append(out, []string{strconv.Itoa(x.Sold), x.Day.String(), x.Income.Plain(), x.Flat.Plain(), x.Income.Currency})
		}
		return writeCSV(d.Out, out)
	}
	return d.Show(got, func(w io.Writer) { tellPrices(w, got) })
}

// supposed reads the steps and shares that were given.
func (c *pricesCmd) supposed(d *desk.Open) (earned.If, error) {
	var in earned.If
	for _, text := range c.Step {
		sold, price, ok := strings.Cut(text, ":")
		n, err := strconv.Atoi(strings.TrimSpace(sold))
		if !ok || err != nil {
			return in, fault.Invalidf("step", "%.40q is no step", text).ToMend("write it like 50:110.00")
		}
		a, err := d.Amount(price, "step")
		if err != nil {
			return in, err
		}
		in.Steps = append(in.Steps, earnings.Step{FromSold: n, Price: a})
	}
	if c.Fewer != "" {
		n, err := strconv.ParseFloat(strings.TrimSuffix(c.Fewer, "%"), 64)
		if err != nil || !(n >= 0 && n < 100) {
			return in, fault.Invalidf("fewer", "%.20q is not a share of buyers", c.Fewer).ToMend("give per cent from 0 to 99")
		}
		in.Fewer = int(math.Round(n * 10))
	}
	if in.Fewer > 0 && len(in.Steps) == 0 {
		return in, fault.Invalidf("fewer", "no prices are supposed").ToMend("give them by --step")
	}
	return in, nil
}

func tellPrices(w io.Writer, got earned.Prices) {
	desk.Table(w, func(row func(string, ...any)) {
		row("ONCE SOLD\tPRICE\tSOLD SO\tIN DAYS\tTAKEN")
		for _, s := range got.Earned.Steps {
			row("%d\t%s\t%d\t%d\t%s", s.FromSold, s.Price, s.Sold, s.Days, money.Of(s.Income.Minor, s.Price.Currency))
		}
	})
	fmt.Fprintf(w, "%s brought %s; at the first price %s: by the steps %s\n", fault.Count(got.Earned.Sold, "print"), got.Earned.Income, got.Earned.Flat, got.ByTheSteps())
	for _, x := range []struct {
		name string
		o    *earnings.Outcome
	}{{"as they stand", got.Stands}, {"all at today's price", got.Flat}, {"as supposed", got.If}} {
		if x.o == nil {
			continue
		}
		fmt.Fprintf(w, "%s: the %d left would bring %s", x.name, x.o.Left, x.o.Income)
		if x.o.Known {
			fmt.Fprintf(w, " in about %.0f days (8 of 10 cases: %.0f to %.0f)", x.o.Days, x.o.Sooner, x.o.Later)
		}
		fmt.Fprintln(w)
	}
	for _, r := range got.Runs {
		switch {
		case r.Never:
			fmt.Fprintf(w, "run %d never pays for itself: a print costs as much as it brings\n", r.Run)
		default:
			fmt.Fprintf(w, "run %d of %s has paid for itself after %s\n", r.Run, r.Cost, fault.Count(int(r.Even.Prints), "print"))
		}
	}
}

func (c *pricesCmd) list(d *desk.Open) error {
	all, err := earned.Through(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if c.CSV {
		out := [][]string{{"edition", "days_since_the_first_sale", "sold", "numbers"}}
		for _, x := range all {
			for _, p := range x.Points {
				out = append(out, []string{x.Name, strconv.Itoa(p.Day), strconv.Itoa(p.Sold), strconv.Itoa(x.Limit)})
			}
		}
		return writeCSV(d.Out, out)
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no print of a limited edition was sold yet: solander sale takes the first")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("EDITION\tNUMBERS\tSOLD\tPRICES\tNOW\tDAYS")
			for _, x := range all {
				row("%s\t%d\t%d\t%d\t%s\t%d", x.Name, x.Limit, x.Sold, x.Steps, x.Price, x.Days)
			}
		})
	})
}
