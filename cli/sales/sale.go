// Package sales has the commands of the order book: a sale and what becomes of it until it is packed, money in and back, buyers,
// outlets, and taking a wrong mark back. It holds no rule: it reads the input, calls the studio and shows the answer.
package sales

import (
	"fmt"
	"strings"

	"solander/book"
	"solander/buyers"
	"solander/calendar"
	"solander/cli/desk"
	"solander/currencies"
	"solander/dispatch"
	"solander/fault"
	"solander/money"
	"solander/order"
)

type Sale struct {
	Outlet      string   `placeholder:"NAME" predictor:"outlet" help:"Where it was sold: the name of the outlet, or its number."`
	Ref         string   `placeholder:"TEXT" help:"The outlet's own reference of the order."`
	Buyer       string   `placeholder:"NAME" help:"Who bought it."`
	Known       string   `placeholder:"BUYER" predictor:"buyer" help:"A buyer who is in the book already: name, e-mail address or number."`
	Email       string   `placeholder:"ADDRESS" help:"The buyer's e-mail address."`
	Phone       string   `placeholder:"NUMBER" help:"The buyer's telephone number."`
	Another     bool     `help:"Somebody else than the one in the book; without it the same e-mail and name, or the same name and address, is the same buyer."`
	Print       []string `sep:"none" placeholder:"EDITION[:NUMBER][=PRICE]" predictor:"edition" help:"A print of the order; say it again for each. Without a number the lowest free one, without a price the price now."`
	SameNumber  bool     `help:"Give all its prints the same number."`
	To          string   `placeholder:"NAME" help:"Name on the parcel, when it is not the buyer's."`
	Line1       string   `name:"line1" placeholder:"TEXT" help:"Street and house number."`
	Line2       string   `name:"line2" placeholder:"TEXT" help:"Second line of the address."`
	City        string   `placeholder:"TEXT" help:"Town."`
	Region      string   `placeholder:"TEXT" help:"State or province."`
	Postcode    string   `placeholder:"TEXT" help:"Postcode."`
	Country     string   `placeholder:"XX" help:"Country, by its name or two letters of ISO 3166; the studio's own when left out."`
	InPerson    bool     `help:"The buyer takes it in person: it needs no address, no parcel and no label."`
	Placed      string   `placeholder:"DAY" help:"Day of the sale; today when left out."`
	Promised    string   `placeholder:"DAY" help:"Day by which it is to be handed over; the outlet's promise when left out."`
	ArriveBy    string   `placeholder:"DAY" help:"Day by which it must be there."`
	Postage     string   `placeholder:"AMOUNT" help:"Postage charged to the buyer."`
	Tax         string   `placeholder:"AMOUNT" help:"Sales tax on the order."`
	Currency    string   `placeholder:"CODE" help:"In which other currency it was agreed, by the rate of its day; the studio's own when left out. Prices, postage and tax stay in the studio's."`
	Agreed      string   `placeholder:"AMOUNT" help:"What all of it comes to in that currency, when a sum was agreed."`
	Paid        string   `placeholder:"AMOUNT" help:"A first payment, all of it or a deposit, in the currency agreed."`
	PaidWorth   string   `placeholder:"AMOUNT" help:"What the bank made of a first payment in another currency, in the studio's; by the rate of the day when left out."`
	PaidNote    string   `placeholder:"TEXT" help:"A note to the payment."`
	PaidBy      string   `enum:"cash,card,other," default:"" placeholder:"HOW" help:"By what it was paid: cash, card or other; not said when left out."`
	Note        string   `placeholder:"TEXT" help:"A note to yourself."`
	GiftMessage string   `placeholder:"TEXT" help:"A message to go on the packing slip."`
	TakesIt     bool     `help:"She takes it with her: paid in full now, signed and handed over, without an address or a parcel; a name may be left out."`
	Paste       string   `placeholder:"FILE" predictor:"file" help:"Take a pasted mail or address apart (- is the input stream) and print what was understood and what not; nothing is written."`
	File        string   `placeholder:"FILE" predictor:"file" help:"Read the sale from a JSON file instead (- is the input stream)."`
}

func (Sale) Help() string {
	return `Example:

  solander sale --paste mail.txt
  solander sale --outlet fair --print "heron 12x16 fine" --takes-it --paid-by cash
  solander sale --outlet fair --buyer "Ines Halloran" --print "heron 12x16 fine:17" --print 4
    --line1 "8 Quince Lane" --city Pinfold --region VA --postcode 24011 --postage 6 --paid 40

A file holds the same by name: {"outlet": "fair", "ref": "W-77", "buyer": {"name": "…"}, "ship_to":
{"name": "…", "line1": "…", "city": "…", "region": "…", "postcode": "…", "country": "US"},
"prints": [{"edition": "heron 12x16 fine", "number": "17", "price": "95.00"}], "paid": "40.00"}.`
}

// saleFile is a sale in a file. Amounts are text in the studio's currency, days like 2026-04-14.
type saleFile struct {
	Outlet      string        `json:"outlet"`
	Ref         string        `json:"ref"`
	Buyer       order.Buyer   `json:"buyer"`
	ShipTo      order.Address `json:"ship_to"`
	InPerson    bool          `json:"in_person"`
	Prints      []salePrint   `json:"prints"`
	SameNumber  bool          `json:"same_number"`
	Another     bool          `json:"another"` // somebody else than the one in the book
	Placed      string        `json:"placed"`
	Promised    string        `json:"promised"`
	ArriveBy    string        `json:"arrive_by"`
	Postage     string        `json:"postage"`
	Tax         string        `json:"tax"`
	Currency    string        `json:"currency"`   // in which other one it was agreed
	Agreed      string        `json:"agreed"`     // as what
	Paid        string        `json:"paid"`       // in the currency agreed
	PaidWorth   string        `json:"paid_worth"` // in the studio's
	PaidNote    string        `json:"paid_note"`
	PaidBy      string        `json:"paid_by"`
	Note        string        `json:"note"`
	GiftMessage string        `json:"gift_message"`
}

type salePrint struct {
	Edition string `json:"edition"`
	Number  string `json:"number"`
	Price   string `json:"price"`
}

func (c *Sale) Run(d *desk.Open) error {
	if c.Paste != "" {
		return c.takeApart(d)
	}
	f := c.asFile()
	if c.File != "" {
		if c.Outlet != "" || c.Buyer != "" || len(c.Print) > 0 {
			return fault.Invalidf("file", "a sale comes from a file or from flags, not both").ToMend("leave one of them out")
		}
		f = saleFile{}
		if err := d.ReadJSON(c.File, "file", &f); err != nil {
			return err
		}
	}
	if err := c.withKnown(d, &f); err != nil {
		return err
	}
	if a := &f.ShipTo; a.Country == "" && a.Line1 != "" {
		set, err := d.Studio.Settings(d.Ctx)
		if err != nil {
			return err
		}
		a.Country = set.Address.Country
	}
	in, err := f.sale(d)
	if err != nil {
		return err
	}
	take := book.TakeOrder
	if c.TakesIt {
		take = dispatch.SellInPerson
	}
	v, err := take(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.ShowOrder(v)
}

// withKnown puts a buyer of the book into a sale; the parcel bears her name unless another is given.
func (c *Sale) withKnown(d *desk.Open, f *saleFile) error {
	if c.Known == "" {
		return nil
	}
	id, err := d.BuyerNamed(c.Known, "known")
	if err != nil {
		return err
	}
	v, err := buyers.Buyer(d.Ctx, d.Studio, id)
	if f.Buyer.ID = v.ID; f.ShipTo.Name == "" && f.ShipTo != (order.Address{}) {
		f.ShipTo.Name = v.Name
	}
	return err
}

func (c *Sale) asFile() saleFile {
	name := c.To
	if name == "" {
		name = c.Buyer
	}
	f := saleFile{
		Outlet: c.Outlet, Ref: c.Ref, SameNumber: c.SameNumber,
		Buyer: order.Buyer{Name: c.Buyer, Email: c.Email, Phone: c.Phone}, Another: c.Another,
		ShipTo: order.Address{Name: name, Line1: c.Line1, Line2: c.Line2, City: c.City, Region: c.Region, Postcode: c.Postcode, Country: c.Country},
		Placed: c.Placed, Promised: c.Promised, ArriveBy: c.ArriveBy, Postage: c.Postage, Tax: c.Tax,
		Currency: c.Currency, Agreed: c.Agreed, Paid: c.Paid, PaidWorth: c.PaidWorth, PaidNote: c.PaidNote, PaidBy: c.PaidBy, Note: c.Note, GiftMessage: c.GiftMessage, InPerson: c.InPerson,
	}
	if (c.InPerson || c.TakesIt) && f.ShipTo == (order.Address{Name: f.ShipTo.Name, Country: f.ShipTo.Country}) {
		f.ShipTo = order.Address{}
	}
	for _, p := range c.Print {
		f.Prints = append(f.Prints, parsePrint(p))
	}
	return f
}

// parsePrint reads EDITION[:NUMBER][=PRICE].
func parsePrint(s string) salePrint {
	var p salePrint
	s, p.Price, _ = strings.Cut(s, "=")
	if i := strings.LastIndexByte(s, ':'); i >= 0 {
		s, p.Number = s[:i], s[i+1:]
	}
	p.Edition = strings.TrimSpace(s)
	return p
}

// sale resolves the names of a sale; every fault it meets is told at once.
func (f saleFile) sale(d *desk.Open) (book.Sale, error) {
	var l fault.List
	in := book.Sale{
		Ref: f.Ref, Buyer: f.Buyer, ShipTo: f.ShipTo, InPerson: f.InPerson, SameNumber: f.SameNumber, Another: f.Another,
		Note: f.Note, GiftMessage: f.GiftMessage, PaidNote: f.PaidNote, PaidHow: order.How(f.PaidBy),
	}
	if f.Outlet == "" {
		l.Add(fault.Invalidf("outlet", "the outlet is missing").ToMend("solander outlets lists them"))
	} else {
		o, err := d.OutletNamed(f.Outlet)
		l.Add(err)
		in.Outlet = o.ID
	}
	if len(f.Prints) == 0 {
		l.Add(fault.Invalidf("print", "no print is named").ToMend("add --print EDITION; solander works lists the editions"))
	}
	for i, p := range f.Prints {
		line, err := p.line(d, i)
		l.Add(err)
		in.Lines = append(in.Lines, line)
	}
	for _, x := range []struct {
		to          *calendar.Day
		text, field string
	}{{&in.Placed, f.Placed, "placed"}, {&in.Promised, f.Promised, "promised"}, {&in.ArriveBy, f.ArriveBy, "arrive_by"}} {
		var err error
		*x.to, err = desk.Day(x.text, x.field)
		l.Add(err)
	}
	for _, x := range []struct {
		to          *money.Amount
		text, field string
	}{{&in.Postage, f.Postage, "postage"}, {&in.Tax, f.Tax, "tax"}} {
		var err error
		*x.to, err = d.Amount(x.text, x.field)
		l.Add(err)
	}
	var err error
	in.Agreed, in.Paid, err = f.money(d)
	l.Add(err)
	if f.PaidWorth != "" {
		var worth money.Amount
		worth, err = d.Amount(f.PaidWorth, "paid_worth")
		in.PaidWorth = &worth
		l.Add(err)
	}
	return in, l.Err()
}

// money is in which other currency the sale was agreed, if it was, and what was paid in that.
func (f saleFile) money(d *desk.Open) (agreed *currencies.AgreeIn, paid money.Amount, err error) {
	if f.Currency == "" {
		if f.Agreed != "" {
			return nil, paid, fault.Invalidf("currency", "it is missing").ToMend("name the currency of what was agreed, or leave that out")
		}
		paid, err = d.Amount(f.Paid, "paid")
		return nil, paid, err
	}
	agreed = &currencies.AgreeIn{Currency: strings.ToUpper(strings.TrimSpace(f.Currency))}
	if err := agreed.Validate(); err != nil {
		return nil, paid, err
	}
	if agreed.Total, err = desk.Perhaps(f.Agreed, agreed.Currency, "agreed"); err != nil {
		return nil, paid, err
	}
	given, err := desk.Perhaps(f.Paid, agreed.Currency, "paid")
	if given != nil {
		paid = *given
	}
	return agreed, paid, err
}

func (p salePrint) line(d *desk.Open, i int) (book.SaleLine, error) {
	ed, err := d.EditionNamed(p.Edition)
	if err != nil {
		return book.SaleLine{}, err
	}
	line := book.SaleLine{Edition: ed.ID, Number: p.Number}
	if p.Price != "" {
		a, err := d.Amount(p.Price, fmt.Sprintf("prints[%d].price", i))
		if err != nil {
			return line, err
		}
		line.Price = &a
	}
	return line, nil
}
