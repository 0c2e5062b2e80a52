package demo

import (
	"solander/billing"
	"solander/book"
	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/invoice"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/tax"
	"solander/taxing"
)

// taxSource stands beside the rates of tax: they are no rates of any state.
const taxSource = "Invented to look around: ask your state"

// enterTaxRates enters the rates of the state where the invented studio stands.
func (p *past) enterTaxRates(st *studio.Studio) error {
	year, _, _ := p.today.Civil()
	p.rates = []tax.Rate{
		{Country: "US", Region: "VA", From: p.today.Add(-firstDay - 30), Rate: 53_000, Name: "Sales tax", Source: taxSource},
		{Country: "US", Region: "VA", From: firstOf(year), Rate: 55_000, Name: "Sales tax", Source: taxSource},
	}
	return taxing.Enter(p.ctx, st, p.rates...)
}

// taxed is the tax that the rates add to a sale that the studio taxes; nothing where none was entered.
func (p *past) taxed(in book.Sale, goods money.Amount) (money.Amount, error) {
	r, known := tax.Find(p.rates, in.ShipTo.Country, in.ShipTo.Region, in.Placed)
	if !known {
		return dollars(0), nil
	}
	_, amount, err := r.On(goods, in.Postage)
	return amount, err
}

// addGalleries notes what was agreed with two galleries.
func (p *past) addGalleries(st *studio.Studio) error {
	for i, h := range []consign.House{
		{
			Name: p.outlets[tollgate].Name, Address: "3 Lantern Street\nStillwater Cross, VA 24401", Email: "desk@tollgate.example",
			Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30, Note: "Two walls by the window; statement every quarter",
		},
		{
			Name: "Cordwain House Gallery", Address: "8 Chandler Square\nHarrow Mills, VA 24153", Email: "books@cordwain.example",
			Share: 450, Wholesale: 500, Bears: consign.Artist, PayDays: 30, Note: "Buys outright, twice a year",
		},
	} {
		saved, err := consigning.Save(p.ctx, st, h)
		if err != nil {
			return err
		}
		p.galleries[i] = saved
	}
	return nil
}

// consigned are the editions of which prints go to the gallery, the likelier first.
var consigned = []int{9, 14, 25, 22, 12, 7, 27, 20, 6}

// consign signs prints ahead that lie in the drawer for nobody, and sends one of each of n editions to the gallery.
func (p *past) consign(st *studio.Studio, n, backIn int) error {
	d, err := p.t.Drawer()
	if err != nil {
		return err
	}
	in := consigning.SendIn{Gallery: p.galleries[0].ID, Due: p.day.Add(backIn)}
	for _, at := range consigned {
		s := p.stocks[at]
		if len(in.Prints) == n || s == nil || d.Spare(s.ed.ID) < 2 {
			continue
		}
		free, err := p.days.tx.NumbersIn(studio.NumberQuery{Edition: s.ed.ID, Kind: edition.Numbered, State: edition.Free, From: s.ed.Limit / 3})
		if err != nil {
			return err
		}
		if len(free) == 0 {
			continue
		}
		if err := register.SignAhead(p.ctx, st, s.ed.ID, []edition.Number{free[0].Number}); err != nil {
			return err
		}
		in.Prints = append(in.Prints, consigning.SendPrint{Edition: s.ed.ID, Number: free[0].Number})
	}
	sent, err := consigning.Send(p.ctx, st, in)
	p.consignments = append(p.consignments, sent...)
	if err != nil {
		return err
	}
	_, err = consigning.NoteMoney(p.ctx, st, consigning.MoneyIn{Gallery: in.Gallery, Kind: consign.Freight, Amount: dollars(1860), Note: "two flat parcels"})
	return err
}

func (p *past) consignFirst(st *studio.Studio) error { return p.consign(st, 4, 190) }

func (p *past) consignAgain(st *studio.Studio) error { return p.consign(st, 3, 120) }

// ends notes what became of a print at the gallery.
func (p *past) ends(st *studio.Studio, nth int, as consign.State, price int64) error {
	_, err := consigning.End(p.ctx, st, consigning.EndIn{Print: p.consignments[nth].ID, State: as, Price: dollars(price)})
	return err
}

func (p *past) sellsOne(st *studio.Studio) error { return p.ends(st, 0, consign.Sold, 0) }

func (p *past) comesBack(st *studio.Studio) error { return p.ends(st, 2, consign.Back, 0) }

func (p *past) sellsLate(st *studio.Studio) error { return p.ends(st, 1, consign.Sold, 21000) }

func (p *past) sellsLast(st *studio.Studio) error { return p.ends(st, 4, consign.Sold, 0) }

// galleryPays notes that the gallery paid what it owes, less what a frame cost it.
func (p *past) galleryPays(st *studio.Studio) error {
	v, err := consigning.Gallery(p.ctx, st, p.galleries[0].ID)
	if err != nil {
		return err
	}
	in := consigning.MoneyIn{Gallery: v.ID, Kind: consign.Costs, Amount: dollars(1500), Note: "half of a frame, as agreed"}
	if _, err := consigning.NoteMoney(p.ctx, st, in); err != nil {
		return err
	}
	in.Kind, in.Amount, in.Note = consign.Paid, money.Of(v.Owed.Minor-in.Amount.Minor, currency), "with its statement"
	_, err = consigning.NoteMoney(p.ctx, st, in)
	return err
}

// soldOutright is how many orders sellOutright makes.
const soldOutright = 2

// sellOutright sells some prints to the gallery that buys at its wholesale price, for resale and on invoice. It pays before they leave; or
// they leave on its word, and it owes them still.
func (p *past) sellOutright(st *studio.Studio, pays bool) error {
	g := p.galleries[1]
	in := book.Sale{
		Outlet: g.Outlet, Buyer: order.Buyer{Name: g.Name, Email: g.Email}, Placed: p.day, Promised: p.working.Add(p.day, 30),
		ShipTo:  order.Address{Name: g.Name, Line1: "8 Chandler Square", City: "Harrow Mills", Region: "VA", Postcode: "24153", Country: "US"},
		Postage: dollars(0), Tax: dollars(0), Paid: dollars(0), Note: "bought outright, to be paid in 30 days",
	}
	for _, at := range []int{2, 8, 15, 19} {
		e := p.stocks[at].ed
		price, err := g.WholesalePrice(e.Price)
		if err != nil {
			return err
		}
		in.Lines = append(in.Lines, book.SaleLine{Edition: e.ID, Price: &price})
	}
	id, err := book.In(p.t).TakeOrder(in)
	if err != nil {
		return err
	}
	x := &story{order: id}
	if pays {
		x.due = p.working.Add(p.day, 17)
	} else if err := book.Override(p.ctx, st, id, "the gallery pays within 30 days"); err != nil {
		return err
	}
	p.stories = append(p.stories, x)
	if err := p.certifyResale(st, id); err != nil {
		return err
	}
	_, err = billing.Write(p.ctx, st, billing.WriteIn{Kind: invoice.Invoice, Order: id})
	return err
}

// certifyResale keeps the resale certificate of the buyer of an order, once.
func (p *past) certifyResale(st *studio.Studio, id int64) error {
	o, err := p.t.Tx.Order(id)
	if err != nil {
		return err
	}
	had, err := taxing.Resales(p.ctx, st, o.Buyer)
	if err != nil || len(had) > 0 {
		return err
	}
	_, err = taxing.AddResale(p.ctx, st, tax.Certificate{
		Buyer: o.Buyer, Country: "US", Region: "VA", Number: "RC-0417-2280", From: p.day, Until: p.day.Add(3 * 365),
	})
	return err
}
