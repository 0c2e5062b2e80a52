package sales

import (
	"fmt"
	"io"
	"strings"

	"solander/book"
	"solander/cli/desk"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

type Orders struct {
	Text   string `arg:"" optional:"" help:"Only orders with this in mark, reference, buyer, e-mail, town, title or number."`
	Stage  string `placeholder:"STAGE" predictor:"stage" help:"Only open orders at this stage: money, sheet, signing, address, packing, label, hand-over."`
	State  string `placeholder:"STATE" help:"Only orders in this state: open, closed, cancelled, returned."`
	Outlet string `placeholder:"NAME" predictor:"outlet" help:"Only orders of this outlet."`
	Before int64  `placeholder:"ID" help:"The next page: orders before this one."`
	Limit  int    `default:"50" help:"How many at most."`
}

func (Orders) Help() string {
	return "Example:\n\n  solander orders --stage signing\n  solander orders halloran --json"
}

func (c *Orders) Run(d *desk.Open) error {
	q, stage, err := c.query(d)
	if err != nil {
		return err
	}
	page, err := book.Orders(d.Ctx, d.Studio, q, stage)
	if err != nil {
		return err
	}
	return d.Show(page, func(w io.Writer) {
		printOrders(w, page.Rows)
		if page.Next != 0 {
			fmt.Fprintf(w, "more: --before %d\n", page.Next)
		}
	})
}

func (c *Orders) query(d *desk.Open) (studio.OrderQuery, order.Stage, error) {
	var l fault.List
	q := studio.OrderQuery{State: order.State(c.State), Text: c.Text, Before: c.Before, Limit: c.Limit}
	l.Check(c.Limit >= 1 && c.Limit <= 1000, "limit", fmt.Sprintf("%d is not a possible number of rows", c.Limit), "use 1 to 1000")
	l.Check(c.Before >= 0, "before", "it is negative", "use the number the last page named")
	l.Add(oneOf(c.State, "state", []order.State{order.Open, order.Closed, order.Cancelled, order.Returned}))
	stage := stageSaid(c.Stage)
	l.Add(oneOf(string(stage), "stage", order.Stages()))
	if c.Outlet != "" {
		o, err := d.OutletNamed(c.Outlet)
		l.Add(err)
		q.Outlet = o.ID
	}
	return q, stage, l.Err()
}

// stageSaid is a stage by its own name or as the lists say it: "packing", "to pack".
func stageSaid(text string) order.Stage {
	for _, s := range order.Stages() {
		if s.Words() == text {
			return s
		}
	}
	return order.Stage(text)
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
	desk.Table(w, func(row func(string, ...any)) {
		row("ORDER\tPLACED\tPROMISED\tSTAGE\tOWED\tBUYER\tOUTLET\tPRINTS")
		for _, r := range rows {
			stage := r.Stage.Words()
			if r.State != order.Open {
				stage = string(r.State)
			}
			if r.Late > 0 {
				stage = desk.Late(stage + fmt.Sprintf(" (%d late)", r.Late))
			}
			owed := r.Owed.String()
			if r.Owed.Sign() < 0 {
				owed = order.OwedInWords(r.Owed)
			}
			row("%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s", r.Mark, r.Placed, r.Promised, stage, owed, r.BuyerName, r.OutletName, strings.Join(r.Prints, "; "))
		}
	})
}
