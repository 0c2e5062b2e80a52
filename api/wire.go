package api

import (
	"github.com/danielgtaylor/huma/v2"

	"solander/book"
	"solander/calendar"
	"solander/currencies"
	"solander/money"
	"solander/order"
)

// Money is an exact amount.
type Money struct {
	Minor    int64  `json:"minor" doc:"In minor units: 4800 is 48.00 USD."`
	Currency string `json:"currency" minLength:"3" maxLength:"3" doc:"ISO 4217; the studio's own, unless it says otherwise."`
}

func moneyOf(a money.Amount) Money { return Money{a.Minor, a.Currency} }

// amount returns nothing of no currency for none.
func (m *Money) amount() money.Amount {
	if m == nil {
		return money.Amount{}
	}
	return money.Of(m.Minor, m.Currency)
}

func (m *Money) given() *money.Amount {
	if m == nil {
		return nil
	}
	a := m.amount()
	return &a
}

// Day is a civil day.
type Day struct{ calendar.Day }

// Schema describes a day.
func (Day) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Format: "date", Description: "A civil day, 2026-04-14.", Examples: []any{"2026-04-14"}}
}

func dayOf(d calendar.Day) *Day {
	if d.IsZero() {
		return nil
	}
	return &Day{d}
}

// day returns no day for none.
func (d *Day) day() calendar.Day {
	if d == nil {
		return calendar.Day{}
	}
	return d.Day
}

// Buyer is who bought.
type Buyer struct {
	Name  string `json:"name" maxLength:"120"`
	Email string `json:"email,omitempty" maxLength:"254"`
	Phone string `json:"phone,omitempty" maxLength:"40"`
}

func (b Buyer) buyer() order.Buyer { return order.Buyer{Name: b.Name, Email: b.Email, Phone: b.Phone} }

// Address is where an order goes.
type Address struct {
	Name     string `json:"name,omitempty" maxLength:"120" doc:"The buyer's name when it is left out."`
	Line1    string `json:"line1" maxLength:"120"`
	Line2    string `json:"line2,omitempty" maxLength:"120"`
	City     string `json:"city" maxLength:"80"`
	Region   string `json:"region,omitempty" maxLength:"80" doc:"State, province or county, where the country asks for it."`
	Postcode string `json:"postcode,omitempty" maxLength:"16"`
	Country  string `json:"country" minLength:"2" maxLength:"80" doc:"A country: ISO 3166-1 alpha-2, or its name in English or its own language. Answers give the two letters."`
}

// address returns an empty one for none.
func (a *Address) address() order.Address {
	if a == nil {
		return order.Address{}
	}
	return order.Address(*a)
}

// NewLine is a print of a new order.
type NewLine struct {
	Edition int64  `json:"edition" doc:"The id of an edition: see /editions."`
	Number  string `json:"number,omitempty" maxLength:"20" doc:"A number that the buyer asks for, such as 17 or AP 2; the lowest one when it is left out."`
	Price   *Money `json:"price,omitempty" doc:"The price now when it is left out."`
}

// NewOrder is a sale as it is sent.
type NewOrder struct {
	Ref         string    `json:"ref" minLength:"1" maxLength:"80" doc:"The name of the order at the outlet, once for all."`
	Buyer       Buyer     `json:"buyer"`
	ShipTo      *Address  `json:"ship_to,omitempty" doc:"Needed unless it is handed over in person."`
	InPerson    bool      `json:"in_person,omitempty" doc:"Handed over to the buyer in person: it needs no address, parcel or label."`
	Lines       []NewLine `json:"lines" nullable:"false" minItems:"1" maxItems:"200" doc:"One a print; two prints of one edition are two lines."`
	SameNumber  bool      `json:"same_number,omitempty" doc:"The same number in every edition of the lines."`
	Placed      *Day      `json:"placed,omitempty" doc:"Today when it is left out."`
	Promised    *Day      `json:"promised,omitempty" doc:"By the outlet's promise when it is left out."`
	ArriveBy    *Day      `json:"arrive_by,omitempty"`
	Postage     *Money    `json:"postage,omitempty"`
	Tax         *Money    `json:"tax,omitempty"`
	Agreed      *Agreeing `json:"agreed,omitempty" doc:"When all of it was agreed in another currency: from then on it is paid in that. Prices, postage and tax stay in the studio's."`
	Paid        *Money    `json:"paid,omitempty" doc:"A first payment, in the currency agreed."`
	PaidWorth   *Money    `json:"paid_worth,omitempty" doc:"Of a first payment in another currency than the studio's, what the bank made of it in the studio's; by the rate of the day when it is left out."`
	PaidNote    string    `json:"paid_note,omitempty" maxLength:"4000"`
	PaidHow     string    `json:"paid_how,omitempty" enum:"cash,card,other" doc:"By what the first payment was made; not said when it is left out."`
	Note        string    `json:"note,omitempty" maxLength:"4000"`
	GiftMessage string    `json:"gift_message,omitempty" maxLength:"4000"`
}

// Agreeing is another currency than the studio's, in which a sale was agreed.
type Agreeing struct {
	Currency string `json:"currency" minLength:"3" maxLength:"3" doc:"ISO 4217."`
	Minor    *int64 `json:"minor,omitempty" doc:"What all of the order comes to, in minor units of it; by the rate of the day of the sale when it is left out."`
}

func (a *Agreeing) agree() *currencies.AgreeIn {
	if a == nil {
		return nil
	}
	in := currencies.AgreeIn{Currency: a.Currency}
	if a.Minor != nil {
		total := money.Of(*a.Minor, a.Currency)
		in.Total = &total
	}
	return &in
}

func (in NewOrder) sale(outlet int64) book.Sale {
	s := book.Sale{
		Outlet: outlet, Ref: in.Ref, Buyer: in.Buyer.buyer(), ShipTo: in.ShipTo.address(), InPerson: in.InPerson, SameNumber: in.SameNumber,
		Placed: in.Placed.day(), Promised: in.Promised.day(), ArriveBy: in.ArriveBy.day(),
		Postage: in.Postage.amount(), Tax: in.Tax.amount(), Agreed: in.Agreed.agree(), Paid: in.Paid.amount(), PaidWorth: in.PaidWorth.given(), PaidNote: in.PaidNote, PaidHow: order.How(in.PaidHow),
		Note: in.Note, GiftMessage: in.GiftMessage,
	}
	for _, l := range in.Lines {
		s.Lines = append(s.Lines, book.SaleLine{Edition: l.Edition, Number: l.Number, Price: l.Price.given()})
	}
	return s
}

// Change changes an order; what is left out stays.
type Change struct {
	Promised    *Day    `json:"promised,omitempty"`
	ArriveBy    *Day    `json:"arrive_by,omitempty"`
	InPerson    *bool   `json:"in_person,omitempty" doc:"Handed over in person, or sent after all."`
	Postage     *Money  `json:"postage,omitempty"`
	Tax         *Money  `json:"tax,omitempty"`
	Note        *string `json:"note,omitempty" maxLength:"4000"`
	GiftMessage *string `json:"gift_message,omitempty" maxLength:"4000"`
}

func (in Change) amend() book.AmendIn {
	a := book.AmendIn{InPerson: in.InPerson, Note: in.Note, GiftMessage: in.GiftMessage, Postage: in.Postage.given(), Tax: in.Tax.given()}
	if in.Promised != nil {
		a.Promised = &in.Promised.Day
	}
	if in.ArriveBy != nil {
		a.ArriveBy = &in.ArriveBy.Day
	}
	return a
}

// NewPayment is money in, or back.
type NewPayment struct {
	Amount Money  `json:"amount" doc:"In the currency in which the order was agreed."`
	Worth  *Money `json:"worth,omitempty" doc:"Of an amount in another currency than the studio's, what the bank made of it in the studio's; by the rate of the day when it is left out."`
	Kind   string `json:"kind,omitempty" enum:"deposit,balance,refund" doc:"A balance when it settles the order, else a deposit, when it is left out."`
	Day    *Day   `json:"day,omitempty" doc:"Today when it is left out."`
	How    string `json:"how,omitempty" enum:"cash,card,other" doc:"By what it was made; when it is left out, not said, or of a refund the way of all that was paid."`
	Note   string `json:"note,omitempty" maxLength:"4000"`
	Seen   *Money `json:"seen,omitempty" doc:"What had been paid of the order before this, less what was paid back, as the caller knows it, in the studio's currency (paid of the order as it was read): when it is another sum meanwhile, nothing is done. Whatever it is, when it is left out."`
}

func (in NewPayment) payment() book.PaymentIn {
	return book.PaymentIn{Kind: order.PaymentKind(in.Kind), Amount: in.Amount.amount(), Worth: in.Worth.given(), Day: in.Day.day(), Note: in.Note, How: order.How(in.How), Before: in.Seen.given()}
}
