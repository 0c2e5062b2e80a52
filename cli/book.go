package cli

import (
	"fmt"
	"io"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

type ordersCmd struct {
	Text   string `arg:"" optional:"" help:"Only orders with this in mark, reference, buyer, e-mail, town, title or number."`
	Stage  string `placeholder:"STAGE" help:"Only open orders at this stage: money, sheet, signing, packing, label, hand-over."`
	State  string `placeholder:"STATE" help:"Only orders in this state: open, closed, cancelled, returned."`
	Outlet string `placeholder:"NAME" help:"Only orders of this outlet."`
	Before int64  `placeholder:"ID" help:"The next page: orders before this one."`
	Limit  int    `default:"50" help:"How many at most."`
}

func (ordersCmd) Help() string {
	return "Example:\n\n  solander orders --stage signing\n  solander orders halloran --json"
}

func (c *ordersCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	q, stage, err := c.query(d)
	if err != nil {
		return err
	}
	page, err := st.Orders(d.ctx, q, stage)
	if err != nil {
		return err
	}
	return d.show(page, func(w io.Writer) {
		printOrders(w, page.Rows)
		if page.Next != 0 {
			fmt.Fprintf(w, "more: --before %d\n", page.Next)
		}
	})
}

func (c *ordersCmd) query(d *desk) (studio.OrderQuery, order.Stage, error) {
	var l fault.List
	q := studio.OrderQuery{State: order.State(c.State), Text: c.Text, Before: c.Before, Limit: c.Limit}
	l.Check(c.Limit >= 1 && c.Limit <= 1000, "limit", fmt.Sprintf("%d is not a possible number of rows", c.Limit), "use 1 to 1000")
	l.Check(c.Before >= 0, "before", "it is negative", "use the number the last page named")
	l.Add(oneOf(c.State, "state", []order.State{order.Open, order.Closed, order.Cancelled, order.Returned}))
	l.Add(oneOf(c.Stage, "stage", order.Stages()))
	if c.Outlet != "" {
		o, err := d.outletNamed(c.Outlet)
		l.Add(err)
		q.Outlet = o.ID
	}
	return q, order.Stage(c.Stage), l.Err()
}

// oneOf checks a word against the words there are; "" is fine.
func oneOf[T ~string](word, field string, words []T) error {
	all := make([]string, len(words))
	for i, w := range words {
		if string(w) == word {
			return nil
		}
		all[i] = string(w)
	}
	if word == "" {
		return nil
	}
	return fault.Invalidf(field, "%.40q is no %s", word, field).ToMend("use one of %s", strings.Join(all, ", "))
}

func printOrders(w io.Writer, rows []studio.OrderRow) {
	table(w, func(row func(string, ...any)) {
		row("ORDER\tPLACED\tPROMISED\tSTAGE\tOWED\tBUYER\tOUTLET\tPRINTS")
		for _, r := range rows {
			stage := string(r.Stage)
			if r.State != order.Open {
				stage = string(r.State)
			}
			if r.Late > 0 {
				stage += fmt.Sprintf(" (%d late)", r.Late)
			}
			row("%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s", r.Mark, r.Placed, r.Promised, stage, r.Owed, r.BuyerName, r.OutletName, strings.Join(r.Prints, "; "))
		}
	})
}

type orderCmd struct {
	Order string `arg:"" help:"Mark of the order."`
}

func (orderCmd) Help() string { return "Example:\n\n  solander order S-1042" }

func (c *orderCmd) Run(d *desk) error {
	v, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	return d.showOrder(v)
}

type amendCmd struct {
	Order       string  `arg:"" help:"Mark of the order."`
	Promised    string  `placeholder:"DAY" help:"Day by which it is to be handed over."`
	ArriveBy    string  `placeholder:"DAY" help:"Day by which it must be there."`
	To          *string `placeholder:"NAME" help:"Name on the parcel."`
	Line1       *string `name:"line1" placeholder:"TEXT" help:"Street and house number."`
	Line2       *string `name:"line2" placeholder:"TEXT" help:"Second line of the address."`
	City        *string `placeholder:"TEXT" help:"Town."`
	Region      *string `placeholder:"TEXT" help:"State or province."`
	Postcode    *string `placeholder:"TEXT" help:"Postcode."`
	Country     *string `placeholder:"XX" help:"Country."`
	Postage     *string `placeholder:"AMOUNT" help:"Postage charged."`
	Tax         *string `placeholder:"AMOUNT" help:"Sales tax."`
	Fee         *string `placeholder:"AMOUNT" help:"The outlet's fee as it really was."`
	Note        *string `placeholder:"TEXT" help:"Note to yourself."`
	GiftMessage *string `placeholder:"TEXT" help:"Message on the packing slip."`
}

func (amendCmd) Help() string {
	return "What is left out stays as it is.\n\nExample:\n\n  solander amend S-1042 --line1 \"9 Quince Lane\" --note \"she moved\""
}

func (c *amendCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	in, err := c.changes(d, o)
	if err != nil {
		return err
	}
	v, err := st.Amend(d.ctx, in)
	if err != nil {
		return err
	}
	return d.showOrder(v)
}

func (c *amendCmd) changes(d *desk, o studio.OrderView) (studio.AmendIn, error) {
	var l fault.List
	in := studio.AmendIn{Order: o.ID, Note: c.Note, GiftMessage: c.GiftMessage}
	for _, x := range []struct {
		to          **calendar.Day
		text, field string
	}{{&in.Promised, c.Promised, "promised"}, {&in.ArriveBy, c.ArriveBy, "arrive_by"}} {
		if x.text != "" {
			on, err := day(x.text, x.field)
			l.Add(err)
			*x.to = &on
		}
	}
	for _, x := range []struct {
		to    **money.Amount
		text  *string
		field string
	}{{&in.Postage, c.Postage, "postage"}, {&in.Tax, c.Tax, "tax"}, {&in.Fee, c.Fee, "fee"}} {
		if x.text != nil {
			a, err := d.amount(*x.text, x.field)
			l.Add(err)
			*x.to = &a
		}
	}
	to, moved := o.ShipTo, false
	for _, x := range []struct {
		to   *string
		text *string
	}{{&to.Name, c.To}, {&to.Line1, c.Line1}, {&to.Line2, c.Line2}, {&to.City, c.City}, {&to.Region, c.Region}, {&to.Postcode, c.Postcode}, {&to.Country, c.Country}} {
		if x.text != nil {
			*x.to, moved = *x.text, true
		}
	}
	if moved {
		in.ShipTo = &to
	}
	return in, l.Err()
}

type renumberCmd struct {
	Line   int64  `arg:"" help:"Number of the line (solander order shows it)."`
	Number string `arg:"" help:"The number wanted: 17, 17/250 or AP 2."`
}

func (renumberCmd) Help() string { return "Example:\n\n  solander renumber 88 17" }

func (c *renumberCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	if err := st.Renumber(d.ctx, c.Line, c.Number); err != nil {
		return err
	}
	return d.say(map[string]any{"line": c.Line, "number": c.Number}, "line %d has number %s", c.Line, c.Number)
}

type dropCmd struct {
	Line   int64  `arg:"" help:"Number of the line (solander order shows it)."`
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (dropCmd) Help() string {
	return "Example:\n\n  solander drop 88 --reason \"chose one print only\""
}

func (c *dropCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	if err := st.DropLine(d.ctx, c.Line, c.Reason); err != nil {
		return err
	}
	return d.say(map[string]any{"dropped": c.Line}, "line %d is out of its order", c.Line)
}

type overrideCmd struct {
	Order  string `arg:"" help:"Mark of the order."`
	Reason string `placeholder:"TEXT" help:"Why; it is recorded for good."`
	Lift   bool   `help:"Take the override back."`
}

func (overrideCmd) Help() string {
	return "Example:\n\n  solander override S-1042 --reason \"gallery pays at the end of the month\""
}

func (c *overrideCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.Lift {
		err = st.LiftOverride(d.ctx, o.ID)
	} else {
		err = st.Override(d.ctx, o.ID, c.Reason)
	}
	if err != nil {
		return err
	}
	return d.after(o.ID)
}

type cancelCmd struct {
	Order  string `arg:"" help:"Mark of the order."`
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
	Refund string `placeholder:"AMOUNT" help:"What is paid back now."`
}

func (cancelCmd) Help() string {
	return "Example:\n\n  solander cancel S-1042 --reason \"bought twice by mistake\" --refund 120"
}

func (c *cancelCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	in := studio.CancelIn{Order: o.ID, Reason: c.Reason}
	if in.Refund, err = d.amount(c.Refund, "refund"); err != nil {
		return err
	}
	if err := st.Cancel(d.ctx, in); err != nil {
		return err
	}
	return d.after(o.ID)
}

type takeBackCmd struct {
	Order  string  `arg:"" help:"Mark of the order."`
	Line   []int64 `placeholder:"ID" help:"Only these lines; all when left out."`
	Spoilt bool    `help:"They came back damaged: their sheets are destroyed."`
	Reason string  `required:"" placeholder:"TEXT" help:"Why."`
	Refund string  `placeholder:"AMOUNT" help:"What is paid back now."`
}

func (takeBackCmd) Help() string {
	return "Example:\n\n  solander take-back S-1042 --spoilt --reason \"corner crushed in the post\" --refund 120"
}

func (c *takeBackCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	in := studio.TakeBackIn{Order: o.ID, Lines: c.Line, Spoilt: c.Spoilt, Reason: c.Reason}
	if in.Refund, err = d.amount(c.Refund, "refund"); err != nil {
		return err
	}
	if err := st.TakeBack(d.ctx, in); err != nil {
		return err
	}
	return d.after(o.ID)
}

type outletsCmd struct {
	File string `placeholder:"FILE" help:"Add an outlet, or change the one whose id it names, from a JSON file (- is the input stream)."`
}

func (outletsCmd) Help() string {
	return `Example:

  solander outlets
  echo '{"name": "Autumn fair", "fee_permille": 0, "fee_fixed": {"minor": 0, "currency": "USD"},
    "promise_days": 5}' | solander outlets --file -`
}

func (c *outletsCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	if c.File != "" {
		var o order.Outlet
		if err := d.readJSON(c.File, "file", &o); err != nil {
			return err
		}
		if o, err = st.SaveOutlet(d.ctx, o); err != nil {
			return err
		}
		return d.say(o, "outlet %d %s is saved", o.ID, o.Name)
	}
	rows, err := st.Outlets(d.ctx)
	if err != nil {
		return err
	}
	return d.show(rows, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
			row("OUTLET\tNAME\tFEE\tFIXED\tPROMISE\tTAX")
			for _, o := range rows {
				tax := "by the studio"
				if o.CollectsTax {
					tax = "by the outlet"
				}
				row("%d\t%s\t%d.%d %%\t%s\t%d working days\t%s", o.ID, o.Name, o.FeePermille/10, o.FeePermille%10, o.FeeFixed, o.PromiseDays, tax)
			}
		})
	})
}

type findCmd struct {
	Text []string `arg:"" help:"What to look for: a number of a work, a mark, a buyer, a town, a tracking number."`
}

func (findCmd) Help() string {
	return "Example:\n\n  solander find 17/250 heron\n  solander find halloran"
}

func (c *findCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	found, err := st.Find(d.ctx, strings.Join(c.Text, " "))
	if err != nil {
		return err
	}
	return d.show(found, func(w io.Writer) { printFound(w, found) })
}

func printFound(w io.Writer, f studio.Found) {
	if len(f.Numbers)+len(f.Orders)+len(f.Buyers)+len(f.Works) == 0 {
		fmt.Fprintf(w, "nothing found for %q\n", f.Text)
		return
	}
	for _, n := range f.Numbers {
		fmt.Fprintf(w, "%s %s: %s", n.Label, n.Edition.Name("inch"), n.Row.Standing.State)
		if n.Row.OrderMark != "" {
			fmt.Fprintf(w, ", %s %s", n.Row.OrderMark, n.Row.Buyer)
		}
		fmt.Fprintln(w)
	}
	for _, wk := range f.Works {
		fmt.Fprintf(w, "work %d %s\n", wk.ID, wk.Title)
	}
	for _, b := range f.Buyers {
		fmt.Fprintf(w, "buyer %d %s\n", b.ID, strings.Join(filled(b.Name, b.Email, b.Phone), ", "))
	}
	if len(f.Orders) > 0 {
		printOrders(w, f.Orders)
	}
}
