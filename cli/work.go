package cli

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"solander/bench"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

type benchCmd struct {
	Day string `placeholder:"DAY" help:"The day; today when left out."`
}

func (benchCmd) Help() string { return "Example:\n\n  solander bench --day 2026-04-14" }

func (c *benchCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	on, err := day(c.Day, "day")
	if err != nil {
		return err
	}
	list, err := st.Bench(d.ctx, on)
	if err != nil {
		return err
	}
	return d.show(list, func(w io.Writer) { printBench(w, list) })
}

func printBench(w io.Writer, list bench.List) {
	fmt.Fprintf(w, "Bench of %s: %d open, %d late\n", list.Day.Long(), list.Open, list.Late)
	empty := true
	for _, g := range bench.Groups() {
		tasks := list.Groups[g]
		if len(tasks) == 0 {
			continue
		}
		empty = false
		fmt.Fprintf(w, "\n%s (%d)\n", g, len(tasks))
		for _, t := range tasks {
			printTask(w, t)
		}
	}
	if empty && !list.Next.IsZero() {
		fmt.Fprintf(w, "nothing to do; the next promise is %s\n", list.Next.Long())
	}
}

func printTask(w io.Writer, t bench.Task) {
	fmt.Fprintf(w, "  [ ] %s\n", strings.Join(filled(t.Mark, t.What, t.Buyer), "  "))
	if second := filled(t.Why, t.Timing, t.Blocked); len(second) > 0 {
		fmt.Fprintf(w, "      %s\n", strings.Join(second, "; "))
	}
	for _, line := range t.Detail {
		fmt.Fprintf(w, "      %s\n", line)
	}
}

func filled(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, t)
		}
	}
	return out
}

type payCmd struct {
	Order  string `arg:"" help:"Mark of the order."`
	Amount string `arg:"" help:"How much."`
	Kind   string `enum:"deposit,balance,refund," default:"" placeholder:"KIND" help:"deposit, balance or refund; when left out, balance if it settles what is owed, else deposit."`
	Day    string `placeholder:"DAY" help:"Day of the payment; today when left out."`
	Note   string `placeholder:"TEXT" help:"A note to it."`
}

func (payCmd) Help() string {
	return "Example:\n\n  solander pay S-1042 60.00 --kind balance"
}

func (c *payCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	a, err := d.amount(c.Amount, "amount")
	if err != nil {
		return err
	}
	on, err := day(c.Day, "day")
	if err != nil {
		return err
	}
	if err := st.Pay(d.ctx, studio.PaymentIn{Order: o.ID, Kind: order.PaymentKind(c.Kind), Amount: a, Day: on, Note: c.Note}); err != nil {
		return err
	}
	return d.after(o.ID)
}

// after shows an order as it stands once something was done to it.
func (d *desk) after(id int64) error {
	v, err := d.st.Order(d.ctx, id)
	if err != nil {
		return err
	}
	return d.showOrder(v)
}

type signCmd struct {
	Order string  `arg:"" help:"Mark of the order."`
	Line  []int64 `placeholder:"ID" help:"Only these lines of it; all that are not signed when left out."`
}

func (signCmd) Help() string {
	return "Example:\n\n  solander sign S-1042\n\nNumbers that no order holds are signed with: solander register sign EDITION NUMBER …"
}

func (c *signCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	lines, err := unsigned(o, c.Line)
	if err != nil {
		return err
	}
	if err := st.Sign(d.ctx, lines); err != nil {
		return err
	}
	return d.after(o.ID)
}

// unsigned returns the lines to sign: those asked for, which must be the order's own, or all live ones
// that are not signed.
func unsigned(o studio.OrderView, asked []int64) ([]int64, error) {
	own := map[int64]bool{}
	var all []int64
	for _, l := range o.Live() {
		own[l.ID] = true
		if !l.Signed {
			all = append(all, l.ID)
		}
	}
	for _, id := range asked {
		if !own[id] {
			return nil, fault.New(fault.Missing, "%s has no line %d", o.Mark, id).In("line").ToMend("solander order %s lists them", o.Mark)
		}
	}
	switch {
	case len(asked) > 0:
		return asked, nil
	case len(all) == 0:
		return nil, fault.New(fault.Refused, "all its prints are signed").At("%s", o.Mark)
	}
	return all, nil
}

type packCmd struct {
	Order string `arg:"" help:"Mark of the order."`
	Total string `placeholder:"AMOUNT" help:"The plan's total as you saw it; it is refused when the plan is another one now."`
}

func (packCmd) Help() string {
	return "Example:\n\n  solander plan S-1042 --text\n  solander pack S-1042"
}

func (c *packCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	in := studio.PackIn{Order: o.ID}
	if c.Total != "" {
		a, err := d.amount(c.Total, "total")
		if err != nil {
			return err
		}
		in.Total = &a.Minor
	}
	parcels, err := st.Pack(d.ctx, in)
	if err != nil {
		return err
	}
	return d.show(parcels, func(w io.Writer) {
		for _, p := range parcels {
			printParcel(w, p)
		}
	})
}

type labelCmd struct {
	Parcel   string `arg:"" help:"Mark of an order with one parcel to label, or the parcel's number."`
	Service  string `placeholder:"NAME" help:"The service used; the planned one when left out."`
	Paid     string `required:"" placeholder:"AMOUNT" help:"Postage actually paid."`
	Tracking string `placeholder:"NUMBER" help:"Tracking number; its check digit is verified."`
	Day      string `placeholder:"DAY" help:"Day; today when left out."`
}

func (labelCmd) Help() string {
	return "This notes what was bought elsewhere: it buys no postage.\n\nExample:\n\n  solander label S-1042 --paid 6.37 --tracking \"9400 1118 9922 3100 0002 05\""
}

func (c *labelCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	parcel, err := d.parcelNamed(c.Parcel, studio.Packed)
	if err != nil {
		return err
	}
	in := studio.LabelIn{Parcel: parcel.ID, Service: c.Service, Tracking: c.Tracking}
	if in.Paid, err = d.amount(c.Paid, "paid"); err != nil {
		return err
	}
	if in.Day, err = day(c.Day, "day"); err != nil {
		return err
	}
	if err := st.Label(d.ctx, in); err != nil {
		return err
	}
	return d.after(parcel.Order)
}

// parcelNamed finds a parcel by its number, or by the order it is the only one of in those states.
func (d *desk) parcelNamed(name string, states ...studio.ParcelState) (studio.Parcel, error) {
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return d.parcelByID(id)
	}
	o, err := d.orderNamed(name)
	if err != nil {
		return studio.Parcel{}, err
	}
	var open []studio.Parcel
	var ids []string
	for _, p := range o.Parcels {
		if slices.Contains(states, p.State) {
			open, ids = append(open, p), append(ids, strconv.FormatInt(p.ID, 10))
		}
	}
	switch len(open) {
	case 1:
		return open[0], nil
	case 0:
		return studio.Parcel{}, fault.New(fault.Refused, "it has no such parcel").At("%s", o.Mark).In("parcel").ToMend("pack it first: solander pack %s", o.Mark)
	}
	return studio.Parcel{}, fault.Invalidf("parcel", "%s has %d such parcels: %s", o.Mark, len(open), strings.Join(ids, ", ")).ToMend("name the parcel by its number")
}

// parcelByID finds an open parcel; its order is needed to show it afterwards.
func (d *desk) parcelByID(id int64) (studio.Parcel, error) {
	page, err := d.allOpen()
	if err != nil {
		return studio.Parcel{}, err
	}
	for _, r := range page {
		v, err := d.st.Order(d.ctx, r.ID)
		if err != nil {
			return studio.Parcel{}, err
		}
		for _, p := range v.Parcels {
			if p.ID == id {
				return p, nil
			}
		}
	}
	return studio.Parcel{}, fault.New(fault.Missing, "there is no open parcel %d", id).In("parcel").ToMend("solander orders --stage label lists the orders that have one")
}

// allOpen lists all open orders.
func (d *desk) allOpen() ([]studio.OrderRow, error) {
	st, err := d.studio()
	if err != nil {
		return nil, err
	}
	var rows []studio.OrderRow
	q := studio.OrderQuery{State: order.Open, Limit: 500}
	for {
		page, err := st.Orders(d.ctx, q, "")
		if err != nil {
			return nil, err
		}
		rows = append(rows, page.Rows...)
		if page.Next == 0 {
			return rows, nil
		}
		q.Before = page.Next
	}
}

type handOverCmd struct {
	Parcel []int64 `arg:"" optional:"" help:"Numbers of the parcels; all that are labelled when left out."`
	Day    string  `placeholder:"DAY" help:"Day; today when left out."`
	Note   string  `placeholder:"TEXT" help:"A note to it."`
	List   bool    `help:"List past hand-overs instead."`
	Show   int64   `placeholder:"ID" help:"Show one past hand-over instead."`
}

func (handOverCmd) Help() string {
	return "Example:\n\n  solander hand-over --day 2026-04-14\n  solander hand-over --list"
}

func (c *handOverCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	switch {
	case c.List:
		return c.list(d)
	case c.Show != 0:
		return d.showHandOver(c.Show)
	}
	on, err := day(c.Day, "day")
	if err != nil {
		return err
	}
	h, err := st.HandOver(d.ctx, studio.HandOverIn{Day: on, Parcels: c.Parcel, Note: c.Note})
	if err != nil {
		return err
	}
	return d.showHandOver(h.ID)
}

func (c *handOverCmd) list(d *desk) error {
	rows, err := d.st.HandOvers(d.ctx)
	if err != nil {
		return err
	}
	return d.show(rows, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
			row("HAND-OVER\tDAY\tPARCELS\tNOTE")
			for _, h := range rows {
				row("%d\t%s\t%d\t%s", h.ID, h.Day.Long(), h.Parcels, oneLine(h.Note))
			}
		})
	})
}

func (d *desk) showHandOver(id int64) error {
	h, parcels, orders, err := d.st.HandOverDetail(d.ctx, id)
	if err != nil {
		return err
	}
	marks := map[int64]string{}
	for _, o := range orders {
		marks[o.ID] = o.Mark + " " + o.BuyerData.Name
	}
	answer := struct {
		studio.HandOver
		Parcels []studio.Parcel `json:"parcel_list"`
	}{h, parcels}
	return d.show(answer, func(w io.Writer) {
		fmt.Fprintf(w, "hand-over %d, %s, parcels: %d\n", h.ID, h.Day.Long(), len(parcels))
		var paid money.Amount
		table(w, func(row func(string, ...any)) {
			for _, p := range parcels {
				row("  parcel %d\t%s\t%s\t%s\t%s", p.ID, marks[p.Order], p.Service, p.Paid, p.Tracking)
				if sum, err := paid.Add(p.Paid); err == nil {
					paid = sum
				}
			}
		})
		fmt.Fprintf(w, "postage paid: %s\n", paid)
	})
}

type undoCmd struct {
	Mark int64 `arg:"" optional:"" help:"Number of the mark; lists the latest marks when left out."`
}

func (undoCmd) Help() string { return "Example:\n\n  solander undo\n  solander undo 311" }

func (c *undoCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	if c.Mark != 0 {
		if err := st.Undo(d.ctx, c.Mark); err != nil {
			return err
		}
		return d.say(map[string]int64{"undone": c.Mark}, "mark %d is taken back", c.Mark)
	}
	marks, err := st.RecentMarks(d.ctx)
	if err != nil {
		return err
	}
	return d.show(marks, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
			row("MARK\tDAY\tWHAT\tTEXT\tWHO")
			for _, m := range marks {
				text := m.Text
				if m.Undone {
					text += " (taken back)"
				}
				row("%d\t%s\t%s\t%s\t%s", m.ID, m.Day, m.Kind, text, m.Who)
			}
		})
	})
}
