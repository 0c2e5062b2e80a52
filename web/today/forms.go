package today

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/fault"
	"solander/labelling"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/web/form"
)

func moneyWord(owed money.Amount) string {
	if owed.Sign() < 0 {
		return "Refunded"
	}
	return "Paid"
}

// Owed is the payment that settles an order: a refund when the studio owes one. seen is what is owed in the book's currency.
func Owed(id int64, owed, seen money.Amount, day calendar.Day) *book.PaymentIn {
	in := &book.PaymentIn{Order: id, Kind: order.Balance, Amount: owed, Seen: &seen, Day: day}
	if owed.Sign() < 0 {
		in.Kind, in.Amount = order.Refund, owed.Neg()
	}
	return in
}

// moneyForm notes a payment of today.
func moneyForm(in *book.PaymentIn) *form.Form {
	fm := form.New("pay-"+strconv.FormatInt(in.Order, 10), fmt.Sprintf("/orders/%d/pay", in.Order))
	form.Select(fm, "kind", "", &in.Kind).As("hidden")
	fm.AmountAs("amount", "Amount", &in.Amount, in.Amount.Currency).Must()
	fm.AmountIf("stood", "", &in.Seen, in.Seen.Currency).As("hidden")
	return fm
}

func PackForm(in *dispatch.PackIn) *form.Form {
	fm := form.New("pack-"+strconv.FormatInt(in.Order, 10), fmt.Sprintf("/orders/%d/pack", in.Order))
	var total int64
	if in.Total != nil {
		total = *in.Total
	}
	fd := fm.ID("total", "", &total).As("hidden")
	if in.Total != nil {
		fd.Is(strconv.FormatInt(total, 10))
	}
	fm.Then(func(*fault.List) {
		if in.Total = nil; fd.Value != "" {
			in.Total = &total
		}
	})
	return fm
}

// AsPlanned is a packed parcel's carriage as it was planned: its service first among those by which it may go, and its
// postage by the price card.
type AsPlanned struct {
	Services []bench.Service
	Postage  money.Amount
}

// choices offers the services; the planned one stands with its price.
func (a AsPlanned) choices() []form.Choice {
	var out []form.Choice
	for i, s := range a.Services {
		text := s.Name
		if i == 0 && !a.unlisted() {
			text = a.Postage.String() + ", " + s.Name + ", as planned"
		}
		out = append(out, form.Pick(s.Key, text))
	}
	return out
}

// unlisted reports whether nobody knows what the planned service costs, so that it is to be written.
func (a AsPlanned) unlisted() bool { return len(a.Services) > 0 && a.Postage.IsZero() }

// LabelForm notes the service used, the postage paid, the tracking number and what her scale says. The service is chosen, or written down when it
// is none of them; the postage may stay empty when all is as planned: then it is the card's.
func LabelForm(in *labelling.LabelIn, plan AsPlanned, u measure.System) *form.Form {
	fm := form.New("label-"+strconv.FormatInt(in.Parcel, 10), fmt.Sprintf("/parcels/%d/label", in.Parcel))
	var planned, other string
	if len(plan.Services) > 0 {
		planned = plan.Services[0].Key
	}
	chosen := in.Service
	if chosen == "" {
		chosen = planned
	}
	if !plan.offers(chosen) {
		chosen, other = planned, chosen
	}
	form.Select(fm, "by", "Service", &chosen, plan.choices()...).Class = "service"
	fm.Ask("as_planned", "").As("hidden").Is(planned + " " + plan.Postage.Plain())
	asPlanned := fm.Find("as_planned")
	fm.Text("tracking", "Tracking", &in.Tracking).Class = "tracking"
	fm.MassIf("weighed", "Weighed", &in.Weighed, u)
	paid := fm.Amount("paid", "Postage paid", &in.Paid, in.Paid.Currency).OrEmpty()
	paid.Required = plan.unlisted()
	fm.Text("service", "Another service", &other).Class = "tracking"
	fm.Then(func(l *fault.List) {
		in.Service = other
		if in.Service == "" {
			in.Service = chosen
		}
		key, price, _ := strings.Cut(asPlanned.Value, " ")
		switch {
		case paid.Value != "":
		case price != "" && (in.Service == "" || in.Service == key):
			var err error
			in.Paid, err = money.Parse(price, in.Paid.Currency)
			l.Add(err)
		default:
			l.Add(fault.Invalidf("paid", "it is missing").ToMend("write what this service took: the price planned is that of another"))
		}
	})
	return fm
}

func (a AsPlanned) offers(service string) bool {
	return slices.ContainsFunc(a.Services, func(s bench.Service) bool { return s.Key == service })
}

// Restocked is packaging that came.
type Restocked struct {
	Item   int64
	Pieces int
	Cost   *money.Amount // of one; nil: as before
}

func RestockForm(in *Restocked, currency string) *form.Form {
	fm := form.New("restock-"+strconv.FormatInt(in.Item, 10), fmt.Sprintf("/shelf/%d/restock", in.Item))
	fm.Whole("pieces", "Pieces", &in.Pieces).Must()
	fm.AmountIf("unit_cost", "New cost", &in.Cost, currency)
	return fm
}

// PayForm notes a payment or a refund of any day, in the currency in which the order is owed; of another than the book's it asks what that was worth.
func PayForm(in *book.PaymentIn, currency string) *form.Form {
	fm := form.New("pay-"+strconv.FormatInt(in.Order, 10), fmt.Sprintf("/orders/%d/pay", in.Order))
	form.Select(fm, "kind", "What", &in.Kind, form.Pick(string(order.Deposit), "paid, a deposit"), form.Pick(string(order.Balance), "paid"), form.Pick(string(order.Refund), "paid back to the buyer"))
	label := "Amount"
	abroad := in.Amount.Currency != "" && in.Amount.Currency != currency
	if abroad {
		label += " in " + in.Amount.Currency
	}
	fm.AmountAs("amount", label, &in.Amount, currency).OrEmpty().Must()
	fm.AmountIf("stood", "", &in.Seen, currency).As("hidden")
	fm.AmountIf("stood_paid", "", &in.Before, currency).As("hidden")
	if abroad {
		fm.AmountIf("worth", "What the bank made of it", &in.Worth, currency).WithHint("in " + currency + "; by the day's rate when left empty")
	}
	fm.Day("day", "Day", &in.Day)
	fm.Text("note", "Note", &in.Note).Wide()
	return fm
}
