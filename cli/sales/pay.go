package sales

import (
	"errors"

	"solander/book"
	"solander/cli/desk"
	"solander/currencies"
	"solander/money"
	"solander/order"
)

type Pay struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order."`
	Amount string `arg:"" help:"How much: of an order that was agreed in another currency, in that."`
	Worth  string `placeholder:"AMOUNT" help:"Of money in another currency, what the bank made of it in the studio's; by the rate of the day when left out."`
	Kind   string `enum:"deposit,balance,refund," default:"" placeholder:"KIND" help:"deposit, balance or refund; when left out, balance if it settles what is owed, else deposit."`
	Day    string `placeholder:"DAY" help:"Day of the payment; today when left out."`
	How    string `enum:"cash,card,other," default:"" placeholder:"HOW" help:"cash, card or other; not said when left out."`
	Note   string `placeholder:"TEXT" help:"A note to it."`
	Fee    string `placeholder:"AMOUNT" help:"What was kept back of it on its way; by the outlet's fee table when left out."`
}

func (Pay) Help() string {
	return "Example:\n\n  solander pay S-1042 60.00 --kind balance"
}

func (c *Pay) Run(d *desk.Open) error {
	o, noOrder := d.OrderNamed(c.Order)
	in := book.PaymentIn{Order: o.ID, Kind: order.PaymentKind(c.Kind), Note: c.Note, How: order.How(c.How)}
	noAmount := owedIn(d, o.ID, c.Amount, "amount", &in.Amount)
	var noDay, noFee, noWorth error
	in.Day, noDay = desk.Day(c.Day, "day")
	in.Worth, noWorth = desk.Perhaps(c.Worth, o.Postage.Currency, "worth")
	if c.Fee != "" {
		var fee money.Amount
		fee, noFee = d.Amount(c.Fee, "fee")
		in.Fee = &fee
	}
	if err := errors.Join(noOrder, noAmount, noDay, noFee, noWorth); err != nil { // all that is wrong at once
		return err
	}
	if err := book.Pay(d.Ctx, d.Studio, in); err != nil {
		return err
	}
	return d.After(o.ID)
}

// owedIn reads an amount of the currency in which an order is owed.
func owedIn(d *desk.Open, id int64, text, field string, to *money.Amount) error {
	if text == "" || id == 0 {
		a, err := d.Amount(text, field)
		*to = a
		return err
	}
	st, err := currencies.Of(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	cur := st.Book.Currency
	if st.Agreed.Stands() {
		cur = st.Agreed.Total.Currency
	}
	*to, err = money.Parse(text, cur)
	return desk.In(err, field)
}
