package sales

import (
	"solander/book"
	"solander/calendar"
	"solander/cli/desk"
	"solander/fault"
	"solander/money"
	"solander/studio"
)

type Amend struct {
	Order       string  `arg:"" predictor:"order" help:"Mark of the order."`
	Promised    string  `placeholder:"DAY" help:"Day by which it is to be handed over."`
	ArriveBy    string  `placeholder:"DAY" help:"Day by which it must be there."`
	To          *string `placeholder:"NAME" help:"Name on the parcel."`
	Line1       *string `name:"line1" placeholder:"TEXT" help:"Street and house number."`
	Line2       *string `name:"line2" placeholder:"TEXT" help:"Second line of the address."`
	City        *string `placeholder:"TEXT" help:"Town."`
	Region      *string `placeholder:"TEXT" help:"State or province."`
	Postcode    *string `placeholder:"TEXT" help:"Postcode."`
	Country     *string `placeholder:"XX" help:"Country, by its name or two letters."`
	InPerson    bool    `help:"It is handed over in person: it needs no address, no parcel and no label."`
	Sent        bool    `help:"It is sent in a parcel after all."`
	Postage     *string `placeholder:"AMOUNT" help:"Postage charged."`
	Tax         *string `placeholder:"AMOUNT" help:"Sales tax."`
	Fee         *string `placeholder:"AMOUNT" help:"The outlet's fee as it really was."`
	Note        *string `placeholder:"TEXT" help:"Note to yourself."`
	GiftMessage *string `placeholder:"TEXT" help:"Message on the packing slip."`
}

func (Amend) Help() string {
	return "What is left out stays as it is.\n\nExample:\n\n  solander amend S-1042 --line1 \"9 Quince Lane\" --note \"she moved\""
}

func (c *Amend) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	in, err := c.changes(d, o)
	if err != nil {
		return err
	}
	v, err := book.Amend(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.ShowOrder(v)
}

func (c *Amend) changes(d *desk.Open, o studio.OrderView) (book.AmendIn, error) {
	var l fault.List
	in := book.AmendIn{Order: o.ID, Note: c.Note, GiftMessage: c.GiftMessage}
	l.Check(!c.InPerson || !c.Sent, "in_person", "it is handed over in person or sent, not both", "leave one of them out")
	if c.InPerson || c.Sent {
		in.InPerson = &c.InPerson
	}
	for _, x := range []struct {
		to          **calendar.Day
		text, field string
	}{{&in.Promised, c.Promised, "promised"}, {&in.ArriveBy, c.ArriveBy, "arrive_by"}} {
		if x.text != "" {
			on, err := desk.Day(x.text, x.field)
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
			a, err := d.Amount(*x.text, x.field)
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
