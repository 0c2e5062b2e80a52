// Package fairs has the commands of days at a table: begun, counted, what they cost, took and earned.
package fairs

import (
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/fair"
	"solander/fairs"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Fairs are the commands of days at a table.
type Fairs struct {
	List     listCmd     `cmd:"" default:"1" help:"List days at a table, with what they took and earned."`
	Begin    beginCmd    `cmd:"" help:"Begin a day at a table, with the float in its cash box."`
	Show     showCmd     `cmd:"" help:"Show a day: sold, taken, cost, earned; on the screen, as PDF or CSV."`
	Cost     costCmd     `cmd:"" help:"Note what a day cost, such as its stall fee; or take back what was noted."`
	Carry    carryCmd    `cmd:"" help:"Note that cash of a day was carried to the bank; or take back what was noted."`
	Count    countCmd    `cmd:"" help:"End a day by what lies in its cash box."`
	TakeBack takeBackCmd `cmd:"" name:"take-back" help:"Take back the count of a day; without one, that there was a day."`
}

// Help says how it goes.
func (Fairs) Help() string {
	return `What was taken is what the till sold at that outlet on that day, by each way of paying; it is summed, never entered.

Example:

  solander fair begin "Spring fair" --outlet fair --float 80.00
  solander fair cost spring 45.00 --kind stall --from-box
  solander fair count spring 215.00 --hours 6.5`
}

// named finds a day by its number, its date or words of its name.
func named(d *desk.Open, name string) (fairs.View, error) {
	all, err := fairs.Days(d.Ctx, d.Studio)
	if err != nil {
		return fairs.View{}, err
	}
	return desk.Pick(all, name, "day", "solander fair", func(v fairs.View) int64 { return v.ID }, func(v fairs.View) string { return v.Name + ", " + v.Day.Day.String() })
}

type listCmd struct{}

// Help gives an example.
func (listCmd) Help() string { return "Example:\n\n  solander fair list" }

// Run lists them.
func (listCmd) Run(d *desk.Open) error {
	all, err := fairs.Days(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no day at a table is kept yet: solander fair begin NAME begins one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("DAY\tDATE\tNAME\tPRINTS\tTAKEN\tOFF\tLEFT")
			for _, v := range all {
				row("%d\t%s\t%s\t%d\t%s\t%s\t%s", v.ID, v.Day.Day, v.Name, v.Prints, v.Sum, off(v), v.Left)
			}
		})
	})
}

func off(v fairs.View) string {
	if !v.Ended {
		return "not counted"
	}
	return v.Off.String()
}

type beginCmd struct {
	Name   string `arg:"" help:"Of the fair, or where the table stands."`
	Outlet string `required:"" placeholder:"OUTLET" help:"Of which outlet it is, by its number or words of its name."`
	Day    string `placeholder:"DAY" help:"On which day; today when left out."`
	Float  string `placeholder:"MONEY" help:"What lies in the cash box before the first sale; nothing when left out."`
}

// Help gives an example.
func (beginCmd) Help() string {
	return "Example:\n\n  solander fair begin \"Spring fair\" --outlet fair --float 80.00 --day 2026-04-11"
}

// Run begins a day.
func (c *beginCmd) Run(d *desk.Open) error {
	u, err := d.OutletNamed(c.Outlet)
	if err != nil {
		return err
	}
	in := fair.Day{Outlet: u.ID, Name: c.Name}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	if c.Float != "" {
		if in.Float, err = d.Amount(c.Float, "float"); err != nil {
			return err
		}
	}
	in, err = fairs.Begin(d.Ctx, d.Studio, in)
	return d.Done(err, in, "day %d, %s on %s, with %s in the cash box\nsell over the table by: solander sale --outlet %d --print PRINT --takes-it --paid-by cash\nend the day by: solander fair count %d COUNTED",
		in.ID, in.Name, in.Day, in.Float, in.Outlet, in.ID)
}

type showCmd struct {
	Day string `arg:"" help:"Its number in the list, or words of its name and date."`
	desk.FileOut
}

// Help gives an example.
func (showCmd) Help() string {
	return "A file whose name ends in .csv is a table, any other a PDF.\n\nExample:\n\n  solander fair show spring -o day.pdf"
}

// Run shows one, or writes it.
func (c *showCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Day)
	if err != nil {
		return err
	}
	if strings.HasSuffix(strings.ToLower(c.Output), ".csv") {
		return d.Write(c.FileOut, func(w io.Writer) error { return fairs.WriteCSV(w, v) })
	}
	if c.Output != "" {
		paper, err := fairs.Paper(d.Ctx, d.Studio, v.ID)
		return desk.Draw(d.Desk, desk.SheetOut{Output: c.Output, Force: c.Force}, paper, err)
	}
	return d.Show(v, func(w io.Writer) {
		fmt.Fprintf(w, "%s, %s, %s: %s sold, %s taken\n", v.Name, v.Day.Day, v.OutletName, fault.Count(v.Prints, "print"), v.Sum)
		desk.Table(w, func(row func(string, ...any)) {
			for _, h := range order.Hows() {
				row("paid, %s\t%s", h.Words(), v.Takings.By(h))
			}
			row("float in the cash box\t%s", v.Float)
			row("ought to be in the cash box\t%s\tfloat and cash, less what was paid out of it", v.Box)
			if v.Ended {
				row("counted\t%s\t%s", v.Counted, v.OfCount())
				row("off by\t%s\t%s", v.Off, v.Why)
			}
			for _, s := range v.Costs {
				row("cost %d, %s, %s\t%s\t%s", s.ID, s.Kind.Words(), paidFrom(s), s.Amount, s.Note)
			}
			for _, s := range v.Carried {
				row("cash %d, carried to the bank on %s\t%s\t%s", s.ID, s.Day, s.Amount, s.Note)
			}
			if len(v.Carried) > 0 {
				row("there, with the float\t%s\tafter cash was carried to the bank", v.Lies)
			}
			row("of the takings still in the cash box\t%s", v.Cash)
			for _, s := range v.Earned.Sums {
				row("earned, %s\t%s", strings.ToLower(s.Part.Words()), money.Of(s.Known, v.Earned.Currency))
			}
			row("left of it\t%s\tby the journal; sales tax is no income", v.Left)
			if v.Minutes > 0 {
				row("for an hour at the table\t%s", v.AnHour)
			}
		})
		for _, p := range v.Sold {
			back := ""
			if p.Back {
				back = ", came back"
			}
			fmt.Fprintf(w, "%s: %s, %s%s\n", p.Mark, p.Print, p.Price, back)
		}
		next(w, v)
	})
}

// paidFrom says whether a cost is paid.
func paidFrom(c fair.Cost) string {
	if c.FromBox {
		return "from the box"
	}
	return "to pay"
}

// next says what is to be done of a day.
func next(w io.Writer, v fairs.View) {
	switch {
	case !v.Ended:
		fmt.Fprintf(w, "to do: count the cash box (solander fair count %d COUNTED)\n", v.ID)
	case v.Off.Sign() != 0 && v.Why == "":
		fmt.Fprintf(w, "to do: it is off since it was counted: count again, or say why (solander fair count %d COUNTED --why TEXT)\n", v.ID)
	}
	if v.Ended && v.Cash.Sign() > 0 {
		fmt.Fprintf(w, "to do: carry the cash to the bank (solander fair carry %d)\n", v.ID)
	}
}

type costCmd struct {
	Day     string `arg:"" optional:"" help:"Its number in the list, or words of its name and date."`
	Amount  string `arg:"" optional:"" help:"How much."`
	Kind    string `enum:"stall,travel,other" default:"stall" placeholder:"KIND" help:"stall, travel or other."`
	FromBox bool   `help:"It was paid out of the cash box; otherwise it is owed until the bank pays it."`
	Note    string `placeholder:"TEXT" help:"A note to it."`
	Reverse int64  `placeholder:"COST" help:"Take back a cost that was noted wrongly, by its number."`
}

// Help gives an example.
func (costCmd) Help() string {
	return "Example:\n\n  solander fair cost spring 45.00 --kind stall --from-box\n  solander fair cost --reverse 2"
}

// Run notes a cost, or takes it back.
func (c *costCmd) Run(d *desk.Open) error {
	if c.Reverse != 0 {
		return desk.TakeBack(d, c.Reverse, c.Day, "a day", "cost", fairs.ReverseCost)
	}
	if c.Amount == "" {
		return fault.Invalidf("amount", "no amount is given").ToMend("name the day and how much")
	}
	v, err := named(d, c.Day)
	if err != nil {
		return err
	}
	a, err := d.Amount(c.Amount, "amount")
	if err != nil {
		return err
	}
	x, err := fairs.AddCost(d.Ctx, d.Studio, fair.Cost{FairDay: v.ID, Kind: fair.Kind(c.Kind), Amount: a, FromBox: c.FromBox, Note: c.Note})
	return d.Done(err, x, "%s: cost %d, %s, %s", v.Name, x.ID, x.Amount, x.Kind.Words())
}

type carryCmd struct {
	Day     string `arg:"" optional:"" help:"Its number in the list, or words of its name and date."`
	Amount  string `arg:"" optional:"" help:"How much; all of its takings that are in the cash box when left out."`
	On      string `placeholder:"DAY" help:"When it was paid in; today when left out."`
	Note    string `placeholder:"TEXT" help:"A note to it."`
	Reverse int64  `placeholder:"CASH" help:"Take back what was noted wrongly, by its number."`
}

// Help gives an example.
func (carryCmd) Help() string {
	return `A line of the bank that is found to be this cash enters it no second time.

Example:

  solander fair carry spring 170.00 --on 2026-04-13
  solander fair carry --reverse 1`
}

// Run notes that cash was carried, or takes it back.
func (c *carryCmd) Run(d *desk.Open) error {
	if c.Reverse != 0 {
		return desk.TakeBack(d, c.Reverse, c.Day, "a day", "cash", fairs.CarryBack)
	}
	if c.Day == "" {
		return fault.Invalidf("day", "no day at a table is named").ToMend("name the day, and how much was carried")
	}
	v, err := named(d, c.Day)
	if err != nil {
		return err
	}
	in := fair.Carry{FairDay: v.ID, Amount: v.Cash, Note: c.Note}
	if c.Amount != "" {
		if in.Amount, err = d.Amount(c.Amount, "amount"); err != nil {
			return err
		}
	}
	if in.Day, err = desk.Day(c.On, "on"); err != nil {
		return err
	}
	in, err = fairs.Carry(d.Ctx, d.Studio, in)
	return d.Done(err, in, "%s: cash %d, %s carried to the bank on %s", v.Name, in.ID, in.Amount, in.Day)
}

type countCmd struct {
	Day     string `arg:"" help:"Its number in the list, or words of its name and date."`
	Counted string `arg:"" help:"What lies in the cash box, float and all."`
	Why     string `placeholder:"TEXT" help:"A word on why it is off."`
	Hours   string `placeholder:"HOURS" help:"At the table, like 6.5."`
}

// Help gives an example.
func (countCmd) Help() string {
	return "Counted again, the later count stands.\n\nExample:\n\n  solander fair count spring 215.00 --why \"wrong change\" --hours 6.5"
}

// Run ends a day.
func (c *countCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Day)
	if err != nil {
		return err
	}
	in := fairs.CountIn{Day: v.ID, Why: c.Why}
	if in.Counted, err = d.Amount(c.Counted, "counted"); err != nil {
		return err
	}
	if in.Minutes, err = fair.ParseHours(c.Hours); err != nil {
		return desk.In(err, "hours")
	}
	v, err = fairs.Count(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) {
		fmt.Fprintf(w, "%s: %s counted, off by %s; %s left of %s taken\n", v.Name, v.Counted, v.Off, v.Left, v.Sum)
		next(w, v)
	})
}

type takeBackCmd struct {
	Day string `arg:"" help:"Its number in the list, or words of its name and date."`
}

// Help gives an example.
func (takeBackCmd) Help() string { return "Example:\n\n  solander fair take-back spring" }

// Run takes back.
func (c *takeBackCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Day)
	if err != nil {
		return err
	}
	if v.Ended {
		x, err := fairs.Reopen(d.Ctx, d.Studio, v.ID)
		return d.Done(err, x, "%s: the count is taken back", x.Name)
	}
	x, err := fairs.Drop(d.Ctx, d.Studio, v.ID)
	return d.Done(err, x, "%s: it was no day at a table", x.Name)
}
